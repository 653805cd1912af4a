"""Drawings of an exercise: one scene, from the same pose and numbers as the physics, as still and moving SVG."""
