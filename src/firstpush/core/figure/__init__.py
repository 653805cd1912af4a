"""Drawings of an exercise: from a scene, with the pose and numbers of the physics, to still and moving SVG.

`Scene` in scene.py says what is drawn; `draw_still`, `draw_single`, `draw_moving` and `draw_push_lane` draw it;
`choose_view` picks the side that shows the movement.
"""
