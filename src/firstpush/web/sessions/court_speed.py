"""How fast an athlete is on court, as a session takes it in: the tests of its day, kept with what it was made from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from firstpush.core.courses import AthleteSpeed, athlete_speed
from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import Athlete
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.courses.models import SpeedKind
from firstpush.web.courses.speeds import backward_of, circle_of, holding, sprint_of


def speed_rows(record: AthleteRecord) -> list[dict[str, Any]]:
    """Return the newest speed test of each kind that holds, as plain data."""
    newest = {each.kind: {"kind": each.kind, "measured": each.measured} for each in holding(record.speed_tests.all())}
    return [newest[kind] for kind in SpeedKind.values if kind in newest]


def speed_from(rows: Sequence[Mapping[str, Any]], *, athlete: Athlete) -> AthleteSpeed | None:
    """Return how fast an athlete is by what `speed_rows` gave; None where nothing was measured."""
    measured = {str(row["kind"]): row["measured"] for row in rows}
    if not measured:
        return None
    sprint = sprint_of(measured["sprint"]) if "sprint" in measured else None
    circle = circle_of(measured["circle"], sprint=sprint) if "circle" in measured else None
    backward = None
    if sprint is not None and "backward" in measured:
        try:
            backward = backward_of(measured["backward"], sprint=sprint)
        except OutOfRangeError:
            # It was checked against the sprint of its own day.
            backward = None
    return athlete_speed(sprint=sprint, circle=circle, backward=backward, athlete=athlete)
