"""How a fast push looks: where the hand meets the rim, in clock words that say from which side they are seen."""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Known
from firstpush.core.people.athlete import Side


@dataclass(frozen=True, kw_only=True)
class PushFact:
    """One thing to look for while lanes are pushed, with how it is known."""

    says: str
    source: str
    known: Known


FAST = (
    PushFact(
        says="Contact near the top of the wheel, then forward: short quick strokes gather speed.",
        source="Haydon 2018: rugby players with more function meet the rim nearer to its top over 5 m",
        known="read",
    ),
    PushFact(
        says="Letting go farther round the wheel goes with more acceleration.",
        source="Haydon 2022, rugby",
        known="read",
    ),
)
"""For the fast lengths."""
EASY = (
    PushFact(
        says="Long smooth strokes, few of them; the hand drops below the rim on its way back.",
        source="clinical guideline on upper limbs after spinal cord injury, 2005",
        known="from memory",
    ),
)
"""For the easy lengths."""


def facts_at(share: float) -> tuple[PushFact, ...]:
    """Return what to look for at a share of the maximal speed: up to a half the easy push, above it the fast one."""
    return EASY if share <= 0.5 else FAST


def clock_words(angle: float, *, seen_from: Side) -> str:
    """Return a place on the rim as an hour, and from which side of the chair it is read.

    Parameters
    ----------
    angle : float
        From the top of the wheel, forward positive [rad].
    seen_from : str
        Side on which the observer stands: from the right, forward is clockwise; from the left, anticlockwise.

    Raises
    ------
    OutOfRangeError
        For an angle beyond the wheel.

    Examples
    --------
    >>> clock_words(math.radians(60), seen_from="right")
    "2 o'clock, seen from the right"
    >>> clock_words(math.radians(60), seen_from="left")
    "10 o'clock, seen from the left"
    """
    if not -math.pi <= angle <= math.pi:
        raise OutOfRangeError(
            f"{math.degrees(angle):.0f} degrees from the top of the wheel is no place on it; allowed is -180 to 180"
            " degrees; measure from the top, forward positive."
        )
    hours = math.degrees(angle) / 30.0 * (1.0 if seen_from == "right" else -1.0)
    hour = round(2.0 * hours) / 2.0 % 12.0
    whole = int(hour) or 12
    said = f"half past {whole}" if hour % 1.0 else f"{whole} o'clock"
    return f"{said}, seen from the {seen_from}"
