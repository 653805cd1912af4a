"""How long exercises and the changes between them take, worked out once where many sessions are weighed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import BEFORE_WE_START, change, whole_seconds
from firstpush.core.session.timeline import doing_seconds, side_change_seconds, work_seconds


class Timing:
    """Times of exercises and of the changes between them, each worked out once; for candidates of different ids."""

    def __init__(self) -> None:
        self._changes: dict[tuple[str | None, str | None], int] = {}
        self._doing: dict[tuple[str, str], tuple[int, int, int]] = {}

    def change(self, before: Candidate | None, after: Candidate | None) -> int:
        """Return the seconds from one exercise to the next [s]."""
        key = (before.id if before is not None else None, after.id if after is not None else None)
        if key not in self._changes:
            self._changes[key] = change(before=before, after=after).total_s
        return self._changes[key]

    def doing(self, chosen: Chosen) -> int:
        """Return the seconds from the first set of an exercise to the end of its last [s]."""
        return self._times(chosen)[0]

    def work(self, chosen: Chosen) -> int:
        """Return the seconds in which an arm works [s]."""
        return self._times(chosen)[1]

    def side_changes(self, chosen: Chosen) -> int:
        """Return the seconds for changing sides inside an exercise [s]."""
        return self._times(chosen)[2]

    def changes(self, items: Sequence[Chosen]) -> int:
        """Return the seconds of all changes of a session, the last freeing included [s]."""
        path: list[Candidate | None] = [None, *(each.candidate for each in items), None]
        return sum(self.change(before, after) for before, after in pairwise(path)) if items else 0

    def total(self, items: Sequence[Chosen]) -> int:
        """Return the length of a session done in this order [s]; the same as its timeline's."""
        if not items:
            return 0
        return whole_seconds(BEFORE_WE_START.value) + self.changes(items) + sum(map(self.doing, items))

    def _times(self, chosen: Chosen) -> tuple[int, int, int]:
        key = (chosen.candidate.id, chosen.dose.name)
        if key not in self._doing:
            self._doing[key] = (doing_seconds(chosen), work_seconds(chosen), side_change_seconds(chosen))
        return self._doing[key]
