"""Programmes: sessions over days and weeks for one athlete, made, shown, printed and put into a calendar."""
