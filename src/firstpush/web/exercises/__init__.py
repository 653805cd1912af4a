"""Exercises of the library, and a club's own."""
