"""Pose convention, kinematics, two-bone arm solution, interpolation and joint moments.

Frames and samples are stacked in front: every array is (..., 3) or (..., 3, 3).
"""
