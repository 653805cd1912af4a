"""What computes: people, kit, exercises, body, set-up, figure, session.

Knows no web, network, database, clock or random state: those come in as arguments.
The folders import only from what stands before them in that list.
"""
