"""What was logged after a session, and what follows from it for the next.

Public: `effort_zone`.
"""
