"""What is wished of a session, in order, and how well a given session serves each wish; see docs/why/session.md."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from firstpush.core.exercises.definition import PARTS, Exercise, Part
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timeline import clock, timeline

WishName = Literal["parts", "balance", "aims", "fit", "work", "setting up"]
WISHES: tuple[WishName, ...] = ("parts", "balance", "aims", "fit", "work", "setting up")
"""The wishes, the one that matters most first; the time is no wish but a limit."""

POSTERIOR_AIMS = frozenset({"scapular retraction", "external rotation", "shoulder extension"})
ANTERIOR_AIMS = frozenset({"scapular protraction", "elbow extension", "internal rotation", "shoulder elevation"})
"""Aims at the back and at the front of the shoulder; elbow extension stands for pressing."""

POSTERIOR_RATIO = Measured(
    name="sets at the back of the shoulder for each set at its front",
    value=2.0,
    unit="1",
    spread=0.5,
    source="pushing trains the front; programmes that worked were mostly for the back (Curtis 1999, Mulroy 2011)",
    known="common practice",
)
CORE_AIMS = frozenset(
    {
        "chest length",
        "scapular retraction",
        "external rotation",
        "anti-rotation",
        "scapular protraction",
        "shoulder control",
        "pushing",
    }
)
"""What a session for shoulders that last is about; each counts as several of the others."""
CORE_AIM_WEIGHT = Measured(
    name="other aims that one core aim outweighs",
    value=4.0,
    unit="1",
    spread=1.0,
    source="programmes that lowered shoulder pain were about front length, retraction and rotation (Mulroy 2011)",
    known="our choice",
)
FIT_STEP = 100
"""Preferences are counted in hundredths of a set, so that a plan is compared in whole numbers."""


def is_posterior(exercise: Exercise) -> bool:
    """Whether it is strength work for the back of the shoulder."""
    return exercise.part == "strength" and bool(POSTERIOR_AIMS & set(exercise.aims))


def is_anterior(exercise: Exercise) -> bool:
    """Whether it is strength work for the front of the shoulder; what also works the back is not counted."""
    return exercise.part == "strength" and bool(ANTERIOR_AIMS & set(exercise.aims)) and not is_posterior(exercise)


def aim_weight(aim: str) -> int:
    """Return how much training `aim` counts among the aims of a session."""
    return int(CORE_AIM_WEIGHT.value) if aim in CORE_AIMS else 1


def place_in_order(exercise: Exercise) -> int:
    """Return the place in the order of a session: by parts, and inside strength the front of the shoulder last."""
    return 2 * PARTS.index(exercise.part) + is_anterior(exercise)


def fit_of(chosen: Chosen) -> int:
    """Return the sets of both sides weighted by preference, in hundredths of a set."""
    return round(FIT_STEP * chosen.candidate.preference) * sum(chosen.candidate.side_sets(chosen.dose).values())


def balanced_sides(offered: Iterable[Candidate]) -> tuple[Side, ...]:
    """Return the sides on which work for the front and for the back is offered, so that balance can be asked."""
    known = list(offered)
    return tuple(
        side
        for side in SIDES
        if any(side in each.sides and is_posterior(each.exercise) for each in known)
        and any(side in each.sides and is_anterior(each.exercise) for each in known)
    )


def missing_sets(items: Iterable[Chosen], side: Side) -> int:
    """Return how many sets at the back of the shoulder `side` lacks of twice those at the front; 0 for enough."""
    back = front = 0
    for chosen in items:
        sets = chosen.candidate.side_sets(chosen.dose).get(side, 0)
        back += sets if is_posterior(chosen.candidate.exercise) else 0
        front += sets if is_anterior(chosen.candidate.exercise) else 0
    return max(0, int(POSTERIOR_RATIO.value) * front - back)


@dataclass(frozen=True, kw_only=True)
class Served:
    """How well a session serves the wishes.

    Parameters
    ----------
    parts : frozenset of str
        Parts that have an exercise.
    missing_sets : int
        Sets at the back of the shoulder that are missing, both sides together.
    aims : frozenset of (str, str)
        Aim and side, for each that is trained.
    fit : int
        Sets weighted by preference, in hundredths of a set.
    work_s, setting_up_s : int
        Time in which an arm works, and time for setting up and changing sides [s].
    """

    parts: frozenset[Part]
    missing_sets: int
    aims: frozenset[tuple[str, Side]]
    fit: int
    work_s: int
    setting_up_s: int

    @property
    def rank(self) -> tuple[int, ...]:
        """One number for each of `WISHES`, larger is better; sessions are compared by the first that differs."""
        aims = sum(aim_weight(aim) for aim, _ in self.aims)
        return (len(self.parts), -self.missing_sets, aims, self.fit, self.work_s, -self.setting_up_s)


def served_by(items: Sequence[Chosen], *, offered: Sequence[Candidate]) -> Served:
    """Return how well `items`, done in this order, serve the wishes, counted on the timeline.

    Parameters
    ----------
    items : sequence of Chosen
        The session.
    offered : sequence of Candidate
        All that it was chosen from: balance is asked only where both kinds of work are offered.
    """
    plan = timeline(items)
    return Served(
        parts=frozenset(each.candidate.exercise.part for each in items),
        missing_sets=sum(missing_sets(items, side) for side in balanced_sides(offered)),
        aims=frozenset(
            (aim, side) for each in items for aim in each.candidate.exercise.aims for side in each.candidate.sides
        ),
        fit=sum(fit_of(each) for each in items),
        work_s=plan.seconds_of("set"),
        setting_up_s=plan.seconds_of("free the chair", "move", "set up", "block the chair", "change sides"),
    )


def first_worse(*, best: Served, other: Served) -> WishName | None:
    """Return the first wish that `other` serves otherwise than `best`, which is worse; None when all are equal."""
    for wish, one, two in zip(WISHES, best.rank, other.rank, strict=True):
        if one != two:
            return wish
    return None


def loss(wish: WishName, *, best: Served, other: Served) -> str:
    """Return in words what `wish` loses from `best` to `other`, for example "the control part would stay empty"."""
    if wish == "parts":
        lost = [part for part in PARTS if part in best.parts - other.parts]
        return f"the {listed(lost)} part{'s' if len(lost) > 1 else ''} would stay empty"
    if wish == "balance":
        missing = other.missing_sets - best.missing_sets
        return (
            f"the back of the shoulders would fall {missing} set{'s' if missing > 1 else ''} short of "
            f"{POSTERIOR_RATIO.value:g} for each set at the front"
        )
    if wish == "aims":
        return f"{listed(_aims_in_words(best.aims - other.aims))} would go untrained"
    if wish == "fit":
        return (
            f"there would be fewer sets near their wanted load "
            f"({other.fit / FIT_STEP:g} instead of {best.fit / FIT_STEP:g})"
        )
    if wish == "work":
        return f"there would be {clock(best.work_s - other.work_s)} less work in the same minutes"
    return f"setting up would take {clock(other.setting_up_s - best.setting_up_s)} longer"


def _aims_in_words(aims: Iterable[tuple[str, Side]]) -> list[str]:
    sides: dict[str, set[Side]] = {}
    for aim, side in sorted(aims):
        sides.setdefault(aim, set()).add(side)
    return [aim if len(on) == 2 else f"{aim} on the {next(iter(on))}" for aim, on in sides.items()]


def listed(words: Sequence[str]) -> str:
    """Return words as "a, b and c"."""
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]])) if words else "nothing"
