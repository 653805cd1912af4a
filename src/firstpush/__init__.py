"""Firstpush: computed, drawn and timed shoulder sessions for wheelchair court athletes."""
