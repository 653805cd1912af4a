"""How many steps an arm has had in a week: an ache after many at once cannot be traced to one of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date

from firstpush.core.people.athlete import Side
from firstpush.core.progress.week_load import WEEK


def others_stepped(
    exercise: str,
    *,
    stepped_on: Mapping[str, date],
    arms_of: Mapping[str, Collection[Side]],
    on: date,
) -> int:
    """Return how many other exercises of the arms of one exercise were made harder in the seven days up to `on`.

    Parameters
    ----------
    exercise : str
    stepped_on : mapping of exercise to date
        When each was last made harder.
    arms_of : mapping of exercise to arms
        Which arms each loads; where that is not known, or none, it counts for both.
    on : date

    Examples
    --------
    >>> day = date(2026, 11, 25)
    >>> arms = {"row": ("left", "right"), "press": ("left",), "turn": ("right",)}
    >>> stepped = {"row": day, "press": day}
    >>> [others_stepped(each, stepped_on=stepped, arms_of=arms, on=day) for each in ("row", "press", "turn")]
    [1, 1, 1]
    """
    mine = set(arms_of.get(exercise, ()))

    def meets(other: str) -> bool:
        theirs = set(arms_of.get(other, ()))
        return not mine or not theirs or bool(mine & theirs)

    return sum(other != exercise and 0 <= (on - day).days < WEEK and meets(other) for other, day in stepped_on.items())
