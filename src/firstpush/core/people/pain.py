"""The one rule about pain: page, sheet, set-up and decision all ask it what a pain means for the exercise in hand."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.notices import Level

PAIN_LEVELS = range(11)
"""Pain is a whole number from 0 (none) to 10."""

Feeling = Literal["as usual", "more than usual", "new", "sharp"]
FEELINGS: tuple[Feeling, ...] = ("as usual", "more than usual", "new", "sharp")
"""What a pain is like: one the athlete knows at this place (no worse, or worse than usual), a new or a sharp one."""

Outcome = Literal["go on", "go on with care", "easier", "stop the exercise", "stop the arm"]
OUTCOMES: tuple[Outcome, ...] = ("go on", "go on with care", "easier", "stop the exercise", "stop the arm")
"""From the mildest to the gravest.

easier
    This exercise stops; its easier variant may be offered where one is prepared.
stop the exercise
    This exercise stops, and nothing like it is offered.
stop the arm
    Nothing loads this arm today (neither arm, for neck and back), and somebody qualified looks at it.
"""

PAIN_LIMIT = Measured(
    name="familiar pain that may go on",
    value=2,
    unit="of 10",
    spread=0,
    source="pain-monitoring model: 0-2 safe (Thomee 1997; Silbernagel 2001)",
    known="from memory",
)
STOPPING_PAIN = 6
"""Pain at or above this stops the arm: more than 5 of 10 is too much in the pain-monitoring model (from memory)."""
LARGEST_LIMIT = STOPPING_PAIN - 1
"""The highest limit that a practitioner may set for one athlete [of 10]."""


@dataclass(frozen=True, kw_only=True)
class PainAnswer:
    """What a pain means for the exercise in hand, and because of what, as a clause without a full stop."""

    outcome: Outcome
    because: str

    @property
    def is_too_much(self) -> bool:
        """Whether the exercise in hand may not go on as it is."""
        return self.outcome not in ("go on", "go on with care")


def pain_answer(
    level: int,
    *,
    feeling: Feeling = "as usual",
    usual: int | None = None,
    limit: int | None = None,
    before: int | None = None,
) -> PainAnswer:
    """Return what a pain means for the exercise in hand.

    Parameters
    ----------
    level : int
        Pain now, 0 to 10.
    feeling : str
        "as usual", "more than usual", "new" or "sharp"; what is not asked counts as usual here, and whoever did not
        ask says so (see `firstpush.core.people.health.may_be_new`).
    usual : int or None
        The athlete's usual level at this place, 0 to 10; None is unknown, and the limit alone decides.
    limit : int or None
        Up to which a familiar pain may go on for this athlete, 0 to 5; None takes `PAIN_LIMIT`.
    before : int or None
        Pain last said at this place in this session, 0 to 10; None when nothing was said.

    Returns
    -------
    PainAnswer
        A higher level never gives a milder outcome, everything else being equal.

    Raises
    ------
    OutOfRangeError
        For a level, usual, limit or earlier level outside its range, or another word for what it feels like.

    Source
    ------
    Common practice: familiar pain up to the usual level and 2 of 10 goes on with care; what is new, sharp, rising or
    above the limit stops the exercise; more than 5 stops.  The numbers are from the pain-monitoring model
    (Thomee 1997; Silbernagel 2001), from memory.  What is said to be more than usual counts as above the usual level,
    whatever number that has.  That pain which was there and rises within a session counts, and
    pain that comes on up to the usual level does not, is our choice.

    Examples
    --------
    >>> pain_answer(2, usual=3).outcome
    'go on with care'
    >>> pain_answer(3, usual=3)
    PainAnswer(outcome='easier', because='3 of 10 is above the limit of 2')
    >>> pain_answer(1, feeling="new").outcome
    'stop the exercise'
    """
    allowed = round(PAIN_LIMIT.value) if limit is None else limit
    _check(level, feeling=feeling, usual=usual, limit=allowed, before=before)
    if level >= STOPPING_PAIN:
        return PainAnswer(outcome="stop the arm", because=f"{level} of 10 is more than {LARGEST_LIMIT}")
    if level == 0:
        return PainAnswer(outcome="go on", because="no pain")
    if feeling in ("new", "sharp"):
        return PainAnswer(outcome="stop the exercise", because=f"a {feeling} pain of {level} of 10")
    if level > allowed:
        return PainAnswer(outcome="easier", because=f"{level} of 10 is above the limit of {allowed}")
    if usual is not None and level > usual:
        return PainAnswer(outcome="easier", because=f"{level} of 10 is above the usual {usual}")
    if feeling == "more than usual":
        return PainAnswer(outcome="easier", because=f"{level} of 10, known here, but more than usual")
    if before and level > before:
        return PainAnswer(outcome="easier", because=f"it rose from {before} to {level} of 10 in this session")
    if usual is None:
        return PainAnswer(outcome="go on with care", because=f"{level} of 10, said to be as usual")
    return PainAnswer(outcome="go on with care", because=f"a familiar pain of {level} of 10")


def highest_going_on(*, usual: int | None, limit: int | None) -> int:
    """Return the highest familiar pain with which an exercise goes on as it is, 0 to 5: above it, it stops.

    Parameters
    ----------
    usual, limit : int or None
        As for `pain_answer`.

    Examples
    --------
    >>> highest_going_on(usual=None, limit=None), highest_going_on(usual=1, limit=3)
    (2, 1)
    """
    return max(level for level in PAIN_LEVELS if not pain_answer(level, usual=usual, limit=limit).is_too_much)


def pain_table(*, usual: int | None, limit: int | None) -> dict[str, list[list[PainAnswer]]]:
    """Return every answer there is for one place of one athlete, for a page that must answer by itself.

    Parameters
    ----------
    usual, limit : int or None
        As for `pain_answer`.

    Returns
    -------
    dict of feeling to list of list of PainAnswer
        ``table[feeling][before][level]`` with 11 × 11 answers; nothing said before is ``before`` 0.
    """
    return {
        feeling: [
            [pain_answer(level, feeling=feeling, usual=usual, limit=limit, before=before) for level in PAIN_LEVELS]
            for before in PAIN_LEVELS
        ]
        for feeling in FEELINGS
    }


Offer = Literal["planned", "easier", "leave out", "none"]
OFFERS: tuple[Offer, ...] = ("planned", "easier", "leave out", "none")
"""From the freest to the strictest.

planned
    As it is planned.
easier
    The easier variant comes first; without one, as "leave out".
leave out
    To leave it out is what is proposed; its easier variant may be taken after that word was read.
none
    It is not offered.
"""


@dataclass(frozen=True, kw_only=True)
class LaterAnswer:
    """What a pain said earlier in a session means for an exercise that comes later.

    Parameters
    ----------
    offer : str
        One of `OFFERS`.
    level : str
        Of the notice.
    what, do : str
        Clauses; empty where nothing is to be told.  In `what` stand ``{pain}``, ``{place}``, ``{in}`` and
        ``{arm}``, for whoever knows the pain to fill in.
    """

    offer: Offer
    level: Level = "note"
    what: str = ""
    do: str = ""


_SAID = "{pain}{in}, {place}"
LATER: dict[Outcome, LaterAnswer] = {
    "go on": LaterAnswer(offer="planned"),
    "go on with care": LaterAnswer(offer="planned"),
    "easier": LaterAnswer(
        offer="easier",
        level="caution",
        what=f"{_SAID}: more than may go on as planned",
        do="The easier one; stop when the pain rises",
    ),
    "stop the exercise": LaterAnswer(
        offer="leave out",
        level="caution",
        what=f"{_SAID}: nothing that loads {{arm}} today",
        do="Leave it out, and have the place looked at before it is loaded again",
    ),
    "stop the arm": LaterAnswer(
        offer="none",
        level="stop",
        what=f"{_SAID}: nothing that loads {{arm}} today",
        do="Not offered today; somebody qualified looks at it first",
    ),
}
"""What each outcome of a pain means for the rest of the session (common practice, see `pain_later`)."""


def pain_later(outcome: Outcome, *, side: str | None, arms: Collection[str]) -> LaterAnswer:
    """Return what a pain said earlier in a session means for an exercise that comes later.

    Parameters
    ----------
    outcome : str
        Of the pain, in the exercise in which it came or before the start.
    side : str or None
        Where it hurts; None for neck and back, where the pulls of either arm end.
    arms : collection of str
        The arms that the later exercise works; neither for one that works none.

    Returns
    -------
    LaterAnswer
        A graver outcome never frees the offer, and the other arm is as planned.

    Raises
    ------
    OutOfRangeError
        For an outcome that is none.

    Source
    ------
    Common practice: what stops an exercise by pain is not tried again on the same arm in the same session, with another
    exercise either, until it was looked at; what is familiar and too much is loaded less.  So it is before the start,
    too: see `firstpush.core.people.before_start.effect_of_pain`.
    """
    if outcome not in LATER:
        raise OutOfRangeError(f'the outcome of a pain is "{outcome}"; allowed is {", ".join(OUTCOMES)}. Use one.')
    same = bool(arms) if side is None else side in arms
    return LATER[outcome] if same else LATER["go on"]


def _check(level: int, *, feeling: str, usual: int | None, limit: int, before: int | None) -> None:
    for what, value in (("pain", level), ("usual pain", usual), ("earlier pain", before)):
        if value is not None and (isinstance(value, bool) or value not in PAIN_LEVELS):
            raise OutOfRangeError(
                f"{what} is {value}; allowed are the whole numbers 0 to 10. Ask again with 0 for none and 10 for the "
                "worst that can be thought of."
            )
    if limit not in range(LARGEST_LIMIT + 1):
        raise OutOfRangeError(
            f"the limit of pain is {limit} of 10; allowed is 0 to {LARGEST_LIMIT}. "
            f"More than {LARGEST_LIMIT} always stops: choose a lower limit."
        )
    if feeling not in FEELINGS:
        raise OutOfRangeError(f'pain feels "{feeling}"; allowed is {", ".join(FEELINGS)}. Choose one of these.')
