"""What lies there: bands and their pulls, cuffs, balls, posts and floor.

Public: `load_kit`, `load_venue`, `fit_band`, and the values in `kit` and `venue`.
"""
