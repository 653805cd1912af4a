"""What happens when in a session, to the second."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import BEFORE_WE_START, Change, change, change_of_sides, whole_seconds

StepKind = Literal["briefing", "free the chair", "move", "set up", "block the chair", "set", "pause", "change sides"]


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing that is done from `start_s` to `end_s` [s].

    Parameters
    ----------
    kind : str
        "briefing", "free the chair", "move", "set up", "block the chair", "set", "pause" or "change sides".
    start_s, end_s : int
        Whole seconds since the start of the session [s].
    exercise : str or None
        Id of the exercise; None for what belongs to the whole session.
    side : str or None
        The side that works; None for both arms together and where no arm works.
    words : str
        What to do, in one sentence without a full stop.
    """

    kind: StepKind
    start_s: int
    end_s: int
    exercise: str | None = None
    side: Side | None = None
    words: str

    @property
    def seconds(self) -> int:
        """How long it takes [s]."""
        return self.end_s - self.start_s


@dataclass(frozen=True, kw_only=True)
class Timeline:
    """The steps of a session, each beginning where the one before ends."""

    steps: tuple[Step, ...]

    @property
    def total_s(self) -> int:
        """When the last step ends [s]."""
        return self.steps[-1].end_s if self.steps else 0

    def seconds_of(self, *kinds: StepKind) -> int:
        """Return the seconds of all steps of these kinds together."""
        return sum(step.seconds for step in self.steps if step.kind in kinds)

    def steps_of(self, exercise: str) -> tuple[Step, ...]:
        """Return the steps of one exercise, its setting up included."""
        return tuple(step for step in self.steps if step.exercise == exercise)


@dataclass(frozen=True, kw_only=True)
class _Part:
    """A step that does not know yet when it comes."""

    kind: StepKind
    seconds: int
    words: str
    exercise: str | None = None
    side: Side | None = None


def timeline(items: Sequence[Chosen]) -> Timeline:
    """Return what happens when, in the order of `items`.

    The session begins with the check before the start and ends with a chair that is free.  Of two sides done one
    after the other, one works while the other rests, unless all sets of one side first takes less time.

    Parameters
    ----------
    items : sequence of Chosen
        Exercises with their doses, in the order in which they are done.

    Returns
    -------
    Timeline
        Steps without gap or overlap; empty for no items.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import exercise_named
    >>> push = Candidate(exercise=exercise_named("graded_push_lengths"), sides=("left", "right"))
    >>> for step in timeline([Chosen(candidate=push, dose=push.exercise.doses[0])]).steps:
    ...     print(step.start_s, step.end_s, step.kind)
    0 60 briefing
    60 80 set up
    80 150 set
    150 190 pause
    190 260 set
    """
    if not items:
        return Timeline(steps=())
    steps: list[Step] = []
    now = 0
    for part in _parts(items):
        if part.seconds > 0:
            end = now + part.seconds
            steps.append(
                Step(
                    kind=part.kind,
                    start_s=now,
                    end_s=end,
                    exercise=part.exercise,
                    side=part.side,
                    words=part.words,
                )
            )
            now = end
    return Timeline(steps=tuple(steps))


def doing_seconds(chosen: Chosen) -> int:
    """Return the time from the first set of an exercise to the end of its last [s]."""
    return sum(part.seconds for part in _doing(chosen))


def work_seconds(chosen: Chosen) -> int:
    """Return the time in which an arm works [s]."""
    return sum(part.seconds for part in _doing(chosen) if part.kind == "set")


def side_change_seconds(chosen: Chosen) -> int:
    """Return the time for changing sides inside an exercise, with freeing and blocking the chair [s]."""
    return sum(part.seconds for part in _doing(chosen) if part.kind not in ("set", "pause"))


def clock(seconds: int) -> str:
    """Return seconds as minutes and seconds.

    Examples
    --------
    >>> clock(250)
    '4:10'
    """
    return f"{seconds // 60}:{seconds % 60:02d}"


def _parts(items: Sequence[Chosen]) -> Iterator[_Part]:
    yield _Part(
        kind="briefing",
        seconds=whole_seconds(BEFORE_WE_START.value),
        words="Before we start: ask after pain, look over bands, straps, casters and floor",
    )
    before: Candidate | None = None
    for chosen in items:
        yield from _changing(change(before=before, after=chosen.candidate), before=before, after=chosen.candidate)
        yield from _doing(chosen)
        before = chosen.candidate
    yield from _changing(change(before=before, after=None), before=before, after=None)


def _changing(what: Change, *, before: Candidate | None, after: Candidate | None) -> Iterator[_Part]:
    # Freeing the chair still belongs to the exercise before it.
    yield _Part(
        kind="free the chair",
        seconds=what.free_s,
        words="Free the chair",
        exercise=before.id if before is not None else None,
    )
    if after is None:
        return
    title = after.exercise.title
    yield _Part(kind="move", seconds=what.move_s, words=_place_words(after), exercise=after.id)
    yield _Part(
        kind="set up",
        seconds=what.set_up_s,
        words=f"Set up {title}" + (f": {', '.join(fixing)}" if (fixing := list(_fixing_words(after))) else ""),
        exercise=after.id,
    )
    yield _Part(kind="block the chair", seconds=what.block_s, words="Block the chair", exercise=after.id)


def _place_words(candidate: Candidate) -> str:
    if candidate.post is None:
        return f"Go to the free floor for {candidate.exercise.title}"
    side = candidate.sides[0]
    where = {
        "front": ", facing it",
        "behind": ", with the back to it",
        "working side": f", working side ({side}) towards it",
        "other side": f", working side ({side}) away from it",
    }.get(candidate.anchor_side or ("working side" if candidate.exercise.leans_on_post else ""), "")
    far = "" if candidate.distance is None else f", {candidate.distance:.2f} m from it"
    return f"Go to {candidate.post}{where}{far}"


def _fixing_words(candidate: Candidate) -> Iterator[str]:
    if candidate.exercise.contact == "partner":
        yield "the partner takes the place"
    if candidate.strap != "none":
        yield f"{candidate.strap} strap on"
    if candidate.attach != "hand":
        yield f"{candidate.attach.replace('_', ' ')} on, with a second hand"
    if candidate.band is None:
        return
    yield f"{candidate.band}" + ("" if candidate.strands <= 1 else f" in {candidate.strands} strands")
    if candidate.slack_length is not None:
        yield f"{candidate.slack_length:.2f} m slack"
    if candidate.anchor_height is not None:
        yield f"tied {candidate.anchor_height:.2f} m above the floor"


def _doing(chosen: Chosen) -> Iterable[_Part]:
    candidate, dose = chosen.candidate, chosen.dose
    if candidate.together or len(candidate.sides) == 1:
        side = None if candidate.together else candidate.sides[0]
        return _in_a_row(candidate, dose, side)
    alternating, one_by_one = list(_alternating(candidate, dose)), list(_one_by_one(candidate, dose))
    shorter = sum(part.seconds for part in one_by_one) < sum(part.seconds for part in alternating)
    return one_by_one if shorter else alternating


def _in_a_row(candidate: Candidate, dose: DoseOption, side: Side | None) -> list[_Part]:
    parts = []
    for number in range(1, dose.sets + 1):
        if number > 1:
            parts.append(_pause(candidate, whole_seconds(dose.pause_s)))
        parts.append(_set(candidate, dose, side=side, number=number))
    return parts


def _one_by_one(candidate: Candidate, dose: DoseOption) -> Iterator[_Part]:
    first, second = candidate.sides
    yield from _in_a_row(candidate, dose, first)
    yield from _side_change(candidate, second)
    yield from _in_a_row(candidate, dose, second)


def _alternating(candidate: Candidate, dose: DoseOption) -> Iterator[_Part]:
    first, second = candidate.sides
    # A side rests through both changes and through the set of the other side; only what is missing is a pause.
    rested = whole_seconds(dose.set_seconds) + 2 * change_of_sides(candidate).total_s
    for number in range(1, dose.sets + 1):
        if number > 1:
            yield from _side_change(candidate, first)
            yield _pause(candidate, max(0, whole_seconds(dose.pause_s) - rested))
        yield _set(candidate, dose, side=first, number=number)
        yield from _side_change(candidate, second)
        yield _set(candidate, dose, side=second, number=number)


def _side_change(candidate: Candidate, side: Side) -> Iterator[_Part]:
    what = change_of_sides(candidate)
    yield _Part(kind="free the chair", seconds=what.free_s, words="Free the chair", exercise=candidate.id)
    words = "Turn the chair for" if what.block_s or what.free_s or _turns(candidate) else "Change to"
    yield _Part(
        kind="change sides", seconds=what.move_s, words=f"{words} the {side} side", exercise=candidate.id, side=side
    )
    yield _Part(kind="block the chair", seconds=what.block_s, words="Block the chair", exercise=candidate.id)


def _turns(candidate: Candidate) -> bool:
    return candidate.post is not None and (
        candidate.exercise.leans_on_post or candidate.anchor_side in ("working side", "other side")
    )


def _set(candidate: Candidate, dose: DoseOption, *, side: Side | None, number: int) -> _Part:
    amount = f"{dose.repetitions} times" if dose.repetitions is not None else f"{dose.seconds:g} s"
    where = "" if side is None else f", {side} side"
    return _Part(
        kind="set",
        seconds=whole_seconds(dose.set_seconds),
        words=f"{candidate.exercise.title}{where}: set {number} of {dose.sets}, {amount}",
        exercise=candidate.id,
        side=side,
    )


def _pause(candidate: Candidate, seconds: int) -> _Part:
    return _Part(kind="pause", seconds=seconds, words=f"Pause {seconds} s", exercise=candidate.id)
