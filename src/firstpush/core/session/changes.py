"""How long it takes to get from one set-up to the next, in whole seconds.

An exercise without a post takes the chair away from the post: a change therefore depends only on what comes before it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate


def _time(name: str, seconds: float, source: str) -> Measured:
    return Measured(name=name, value=seconds, unit="s", spread=seconds / 2, source=source, known="our choice")


BEFORE_WE_START = _time(
    "the check before the start", 60, "asking after pain and sleep, looking at bands, straps, casters and floor"
)
SHOW = _time("showing the exercise", 10, "saying the cue and showing one repetition")
CHANGE_PLACE = _time("change of post or of chair direction", 25, "rolling there, or turning the chair round")
CHANGE_DISTANCE = _time("change of distance from the same post", 10, "rolling to the next mark on the floor")
CHANGE_BAND = _time("change of band", 10, "taking one off and tying the other")
CHANGE_LENGTH = _time("change of slack mark or strands of the same band", 10, "gripping at the next mark")
CHANGE_HEIGHT = _time("change of anchor height", 10, "moving the loop to another bar")
BLOCK = _time("blocking the chair", 20, "brakes on, chocks under both wheels, a push to test")
FREE = _time("freeing the chair", 15, "chocks away, brakes off")
CHANGE_HAND = _time("change to the other hand", 5, "handing the band or the ball over")
PUT_ON_CUFF = _time("putting a cuff on an arm", 20, "a second hand closes it, and looks at the skin under it")
PUT_ON_STRAP = _time("putting a strap on", 20, "round chest or pelvis, and a breath to test")
TIMES = (
    BEFORE_WE_START,
    SHOW,
    CHANGE_PLACE,
    CHANGE_DISTANCE,
    CHANGE_BAND,
    CHANGE_LENGTH,
    CHANGE_HEIGHT,
    BLOCK,
    FREE,
    CHANGE_HAND,
    PUT_ON_CUFF,
    PUT_ON_STRAP,
)
"""Every time that is counted beside sets and pauses; none was measured."""

SAME_LENGTH = Measured(
    name="lengths closer than this count as the same",
    value=0.01,
    unit="m",
    spread=0.0,
    source="a centimetre is what a tape on the floor shows",
    known="our choice",
)


def whole_seconds(seconds: float) -> int:
    """Return `seconds` rounded up, so that no plan is shorter than what it counts.

    Examples
    --------
    >>> whole_seconds(40.0), whole_seconds(40.2)
    (40, 41)
    """
    # Sums of binary fractions may end a hair above a whole second.
    return math.ceil(seconds - 1e-9)


@dataclass(frozen=True, kw_only=True)
class Change:
    """What is done between two sets, in this order; each in whole seconds [s].

    Parameters
    ----------
    free_s : int
        Freeing the chair.
    move_s : int
        Rolling to another place, turning the chair, or changing hands.
    set_up_s : int
        Tying the band, setting the height, cuffs and strap on, showing the exercise.
    block_s : int
        Blocking the chair.
    """

    free_s: int = 0
    move_s: int = 0
    set_up_s: int = 0
    block_s: int = 0

    @property
    def total_s(self) -> int:
        """All of it together [s]."""
        return self.free_s + self.move_s + self.set_up_s + self.block_s


def direction(candidate: Candidate, side: Side) -> str | None:
    """Return where the post stands, seen from the chair, when `side` works."""
    where = candidate.anchor_side
    if where is None and candidate.exercise.leans_on_post:
        where = "working side"
    if where == "working side":
        return side
    if where == "other side":
        return "left" if side == "right" else "right"
    return where


def change(*, before: Candidate | None, after: Candidate | None) -> Change:
    """Return what is to be done from the end of `before` to the first set of `after`.

    Parameters
    ----------
    before : Candidate or None
        The exercise just ended; None at the start of the session.
    after : Candidate or None
        The exercise to come; None at the end of the session.

    Returns
    -------
    Change
        At most the exercise's own setting-up time (`Exercise.setting_up_s`), beside freeing, blocking and dressing.
    """
    was_blocked = before is not None and before.blocked
    free = whole_seconds(FREE.value)
    if after is None:
        return Change(free_s=free if was_blocked else 0)
    full = whole_seconds(after.exercise.setting_up_s)
    if after.post is None:
        travels = after.exercise.needs.floor_length > 0
        move = max(0, full - whole_seconds(SHOW.value)) if travels else 0
        new, left = after.blocked, True
    else:
        at_post = before is not None and before.post == after.post
        turned = not (
            at_post and before is not None and direction(before, before.sides[-1]) == direction(after, after.sides[0])
        )
        rolled = turned or not _same(before.distance if before is not None else None, after.distance)
        at_anchor = _fixing_seconds(before if at_post else None, after)
        rolling = CHANGE_PLACE.value if turned else CHANGE_DISTANCE.value if rolled else 0.0
        full = min(full, whole_seconds(SHOW.value + rolling + at_anchor))
        move = min(whole_seconds(rolling), max(0, full - whole_seconds(SHOW.value)))
        new, left = after.blocked and (rolled or not was_blocked), rolled
    return Change(
        free_s=free if was_blocked and (left or not after.blocked) else 0,
        move_s=move,
        set_up_s=full - move + _dressing_seconds(before, after),
        block_s=whole_seconds(BLOCK.value) if new else 0,
    )


def _dressing_seconds(before: Candidate | None, after: Candidate) -> int:
    """Return the time for cuffs and strap that were not on before; taking them off is part of it [s]."""
    cuffs = 0 if after.attach == "hand" or (before is not None and before.attach == after.attach) else len(after.sides)
    strapped = after.strap != "none" and (before is None or before.strap != after.strap)
    return whole_seconds(cuffs * PUT_ON_CUFF.value + strapped * PUT_ON_STRAP.value)


def change_of_sides(candidate: Candidate) -> Change:
    """Return what is to be done between the two sides of an exercise that is done on one after the other."""
    first, last = candidate.sides[0], candidate.sides[-1]
    if first == last or candidate.together:
        return Change()
    turned = candidate.post is not None and direction(candidate, first) != direction(candidate, last)
    # A band off the line of the shoulder needs the chair on the other mark.
    rolled = candidate.exercise.band is not None and candidate.exercise.band.sideways != 0.0
    if not turned and not rolled:
        return Change(move_s=whole_seconds(CHANGE_HAND.value))
    return Change(
        free_s=whole_seconds(FREE.value) if candidate.blocked else 0,
        move_s=whole_seconds(CHANGE_PLACE.value if turned else CHANGE_DISTANCE.value),
        block_s=whole_seconds(BLOCK.value) if candidate.blocked else 0,
    )


def _fixing_seconds(before: Candidate | None, after: Candidate) -> float:
    """Return the time for band, length and height at the post of `after`, where `before` left its band or not [s]."""
    if after.band is None:
        return 0.0
    if before is None or before.band is None:
        return CHANGE_BAND.value + CHANGE_HEIGHT.value
    seconds = 0.0
    if before.band != after.band:
        seconds += CHANGE_BAND.value
    elif before.strands != after.strands or not _same(before.slack_length, after.slack_length):
        seconds += CHANGE_LENGTH.value
    if not _same(before.anchor_height, after.anchor_height):
        seconds += CHANGE_HEIGHT.value
    return seconds


def _same(one: float | None, other: float | None) -> bool:
    """Whether two lengths are the same to the centimetre; two that are not used are the same [m]."""
    if one is None or other is None:
        return one is other
    return abs(one - other) < SAME_LENGTH.value
