"""The exercise set-up: search of band, mark, anchor and distance for a wanted load, with every hard check.

Public: `circumstances`, `search_setup`, and the values in `result`.
"""
