"""A composed session, as values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, LeftOut
from firstpush.core.session.collide import Collision
from firstpush.core.session.kinds import KindName
from firstpush.core.session.model import Level
from firstpush.core.session.timeline import Step, Timeline

Status = Literal["proven best", "best found"]


@dataclass(frozen=True, kw_only=True)
class SessionItem:
    """One exercise of a session.

    Parameters
    ----------
    candidate : Candidate
        The exercise with its set-up.
    dose : DoseOption
        How much of it.
    sides : tuple of str
        The sides that work, in their order.
    setting_up_s : int
        From the end of the exercise before to the first set, without freeing the chair [s].
    reason : str
        What it is for and what the next best in its place would lose, in one sentence without a full stop.
    """

    candidate: Candidate
    dose: DoseOption
    sides: tuple[Side, ...]
    setting_up_s: int
    reason: str


@dataclass(frozen=True, kw_only=True)
class Session:
    """Exercises in their order with their times, and why these.

    Parameters
    ----------
    kind : str
        One of `KIND_NAMES`.
    minutes : float
        The time given [min].
    items : tuple of SessionItem
        In the order in which they are done; empty when nothing fits, and then a notice says what would help.
    timeline : Timeline
        Every step, to the second.
    status : str
        "proven best" (no session serves the wishes better) or "best found" (see `levels` for what is open).
    levels : tuple of Level
        What each wish reached, and the bound of what could be reached.
    left_out : tuple of LeftOut
        Exercises that are not in it, each with its reason.
    notices : tuple of Notice
        What must be told about the session as a whole.
    collision : Collision or None
        What collides, when what was asked by hand does not fit together; there are no items then.
    """

    kind: KindName
    minutes: float
    items: tuple[SessionItem, ...]
    timeline: Timeline
    status: Status
    levels: tuple[Level, ...]
    left_out: tuple[LeftOut, ...]
    notices: tuple[Notice, ...]
    collision: Collision | None = None

    @property
    def total_s(self) -> int:
        """Time from the check before the start to the chair that is free again [s]."""
        return self.timeline.total_s

    @property
    def unused_s(self) -> int:
        """Whole seconds of the time given that are left over [s]."""
        return int(self.minutes * 60) - self.total_s

    @property
    def bound(self) -> Level | None:
        """The first wish that may be served better than it is; None when the session is proven best."""
        return next((level for level in self.levels if not level.proven), None)

    def steps_of(self, item: SessionItem) -> tuple[Step, ...]:
        """Return the steps of one exercise of the session."""
        return self.timeline.steps_of(item.candidate.id)
