"""The athlete and the chair: values, files, body sizes, health rules.

Public: `load_athlete`, `body_size`, `health_notices`, and the values in `athlete`.
"""
