"""Whether an exercise is right for every body: range, reach, load, band, mirror, drawing.

Public: `check_exercise`, `Finding`.
"""
