"""The kinds of session: what each leaves out, how many sets it has, and how light its loads are."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal, get_args

from firstpush.core.errors import UnknownNameError
from firstpush.core.exercises.definition import PARTS, DoseOption, Exercise, Part
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.kit.venue_file import heights_between
from firstpush.core.measured import Measured

KindName = Literal["before training", "before a match", "strength", "home", "travel"]
KIND_NAMES: tuple[KindName, ...] = get_args(KindName)

MATCH_LOAD = Measured(
    name="share of the load wanted before training that is wanted before a match",
    value=0.6,
    unit="1",
    spread=0.1,
    source="tiring the cuff just before a match is poor practice, so no set comes near an effort of 15",
    known="our choice",
)
STATIC_HOLD = Measured(
    name="a stretch held this long is static",
    value=8.0,
    unit="s",
    spread=0.0,
    source="moving before play, holding after it; long static holds cost strength for a while (Behm 2016, read)",
    known="our choice",
)
DOOR_ROOM = Measured(
    name="free floor before a closed door", value=1.8, unit="m", spread=0.0, source="", known="our choice"
)
DOOR_HEIGHTS = heights_between(low=0.20, high=1.90, step=None)
"""A door anchor is shut in at any height of the hinge side; its own knot keeps it from slipping [m]."""
MINUTES_EACH = Measured(
    name="minutes of a session for each exercise, at least",
    value=2.0,
    unit="min",
    spread=0.5,
    source="every exercise is explained, set up and looked at; many short ones are none of these",
    known="our choice",
)
CLOSED_DOOR = Post(name="closed door", heights=DOOR_HEIGHTS, room_in_front=DOOR_ROOM.value, places=1)
ROOM = Venue(name="a room", surface="firm floor", floor_length=3.0, floor_width=2.5, helpers=0)
"""Where a session at home or on a journey takes place when nothing else is said: 3 × 2.5 m, nothing to tie to."""


@dataclass(frozen=True, kw_only=True)
class Kind:
    """What a kind of session asks for.

    Parameters
    ----------
    parts : tuple of str
        The parts it has.
    usual_minutes : (float, float)
        What is usual for it; another time is allowed and told [min].
    full_sets : int
        Sets of strength work from which an aim counts as fully trained.
    most_sets : int
        Sets of one strength exercise on a side, at most.
    fewest_sets : int
        Sets of one strength exercise on a side, at least.
    load_share : float
        Share of the load wanted before training [1].
    static_stretch : bool
        Whether a stretch may be held long.
    with_others : bool
        Whether a second person is there, and cones, a wall and a court.
    nothing_new : bool
        Whether only what the athlete has done before is offered, as far as that is known.
    both_alike : bool
        Whether strength work that one side alone can do is left out, where both should get the same.
    lesser_aims : frozenset of str
        Aims that count less, because setting up for them takes too much of the time.
    source : str
        Where its rules come from; all of them are common practice.
    """

    name: KindName
    parts: tuple[Part, ...] = ("mobility", "strength", "control", "court")
    usual_minutes: tuple[float, float]
    full_sets: int = 2
    most_sets: int = 2
    fewest_sets: int = 1
    load_share: float = 1.0
    static_stretch: bool = True
    with_others: bool = True
    nothing_new: bool = False
    both_alike: bool = False
    lesser_aims: frozenset[str] = frozenset()
    source: str

    def why_not(self, exercise: Exercise) -> str | None:
        """Return why `exercise` has no place in this kind of session, or None when it has one."""
        if exercise.part not in self.parts:
            return f"a session {self.spoken} has no {exercise.part} part"
        if exercise.contact == "partner" and not self.with_others:
            return f"it needs a second person, and a session {self.spoken} is done alone"
        if exercise.contact == "ball on wall" and not self.with_others:
            return f"it needs a wall for the ball, and a session {self.spoken} has a room only"
        if exercise.contact == "hands on rail" and not self.with_others:
            return f"it needs a rail that holds the chair, and a session {self.spoken} has a room only"
        if not self.static_stretch and _is_static_stretch(exercise):
            return f"a stretch held for {STATIC_HOLD.value:g} s or longer comes after a match, not before it"
        return None

    def doses(self, exercise: Exercise) -> tuple[DoseOption, ...]:
        """Return the doses that `exercise` may have in this kind of session, the one with most sets first.

        Only strength work is cut or lengthened: one set more than the file's most where the kind has more, and as
        many sets as it allows where the file has more.
        """
        if exercise.part != "strength":
            return exercise.doses
        found: dict[tuple[object, ...], DoseOption] = {}
        for dose in exercise.doses:
            fewest = dose.sets if dose.only_with_care else self.fewest_sets
            allowed = min(max(dose.sets, fewest), self.most_sets)
            longer = dose.sets == 2 and not dose.only_with_care
            for sets in {allowed, self.most_sets} if longer else {allowed}:
                made = with_sets(dose, sets)
                found.setdefault((sets, made.repetitions, made.seconds), made)
        return tuple(sorted(found.values(), key=lambda each: -each.sets))

    def with_doses_of(self, exercise: Exercise) -> Exercise:
        """Return `exercise` with the doses that it may have in this kind of session, chosen or by hand."""
        by_hand = exercise.by_hand
        if not self.static_stretch:
            by_hand = tuple(dose for dose in by_hand if not _is_held_long(exercise, dose))
        if exercise.part == "strength":
            by_hand = tuple(with_sets(dose, min(dose.sets, self.most_sets)) for dose in by_hand)
        return replace(exercise, doses=self.doses(exercise), by_hand=by_hand)

    @property
    def spoken(self) -> str:
        """The kind as it stands in a sentence: "a session ... "."""
        return {"strength": "for strength", "home": "at home", "travel": "on a journey"}.get(self.name, self.name)


_ALONE: tuple[Part, ...] = ("mobility", "strength", "control")
_KINDS = (
    Kind(name="before training", usual_minutes=(10, 20), source="warm-ups of 15 to 20 minutes; trials used 10"),
    Kind(
        name="before a match",
        usual_minutes=(8, 10),
        full_sets=1,
        most_sets=1,
        load_share=MATCH_LOAD.value,
        static_stretch=False,
        nothing_new=True,
        both_alike=True,
        lesser_aims=frozenset({"anti-rotation"}),
        source="8 to 10 minutes, no set near an effort of 15, moving instead of holding",
    ),
    Kind(
        name="strength",
        usual_minutes=(25, 45),
        full_sets=3,
        most_sets=3,
        fewest_sets=2,
        source="three sets for each major muscle group, twice a week (Martin Ginis 2018, read)",
    ),
    Kind(
        name="home",
        parts=_ALONE,
        usual_minutes=(10, 25),
        fewest_sets=2,
        with_others=False,
        source="done alone, in a room",
    ),
    Kind(
        name="travel", parts=_ALONE, usual_minutes=(8, 20), with_others=False, source="done alone, with what was packed"
    ),
)


def most_exercises(limit_s: int) -> int:
    """Return how many exercises a session of this length has at most [s]; one for each part always may be."""
    return max(len(PARTS), math.ceil(limit_s / (60 * MINUTES_EACH.value)))


def kind_named(name: str) -> Kind:
    """Return a kind of session.

    Raises
    ------
    UnknownNameError
        For a name that is not in `KIND_NAMES`.
    """
    for kind in _KINDS:
        if kind.name == name:
            return kind
    raise UnknownNameError(kind="kind of session", given=name, known=KIND_NAMES)


def venue_in(kind: Kind, venue: Venue, kit: Kit) -> Venue:
    """Return `venue` with a closed door to tie to, where the session is done alone and the kit has a door anchor."""
    if kind.with_others or kit.door_anchors == 0 or any(post.name == CLOSED_DOOR.name for post in venue.posts):
        return venue
    return replace(venue, posts=(*venue.posts, CLOSED_DOOR))


_NUMBERS = ("no", "one", "two", "three", "four", "five")
_TIMES = {1: "once", 2: "twice"}


def with_sets(dose: DoseOption, sets: int) -> DoseOption:
    """Return `dose` with another number of sets, and a name that says so.

    Examples
    --------
    >>> from firstpush.core.exercises.definition import DoseOption
    >>> with_sets(DoseOption(name="two sets of ten a side", sets=2, repetitions=10, per_side=True), 3).name
    'three sets of ten a side'
    >>> with_sets(DoseOption(name="six stops, twice", sets=2, seconds=30), 1).name
    'six stops, once'
    >>> with_sets(DoseOption(name="two times 20 seconds an arm", sets=2, seconds=20, per_side=True), 1).name
    '20 seconds an arm'
    """
    if sets == dose.sets:
        return dose
    for words, new in zip(_counted(dose.sets), _counted(sets), strict=True):
        if words and words in dose.name:
            return replace(dose, name=dose.name.replace(words, new, 1), sets=sets)
    return replace(dose, name=f"{dose.name}, {_counted(sets)[0]}", sets=sets)


def _counted(sets: int) -> tuple[str, ...]:
    """Return the ways in which a dose says its sets, in words and as typed; empty for what one set does not say."""
    number = _NUMBERS[sets] if sets < len(_NUMBERS) else str(sets)
    times = _TIMES.get(sets, f"{number} times")
    ending = "s" if sets > 1 else ""
    return (f"{number} set{ending}", f"{sets} set{ending} of", f", {times}", f"{number} times " if sets > 1 else "")


def _is_static_stretch(exercise: Exercise) -> bool:
    return any(_is_held_long(exercise, dose) for dose in exercise.doses)


def _is_held_long(exercise: Exercise, dose: DoseOption) -> bool:
    return exercise.part == "mobility" and dose.hold_s >= STATIC_HOLD.value
