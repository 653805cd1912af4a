"""A session that was made, for every test of its pages."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from club_people import ClubPeople

sys.path.insert(0, str(Path(__file__).parent))
from made_sessions import Made, made_session


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Return a session of Runa, 12 minutes, made by the owner."""
    return made_session(people)
