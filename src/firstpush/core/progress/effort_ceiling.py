"""Effort above what is meant: from which number on a session answers at once, and with which words."""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.measured import Measured

USUAL_CEILING = Measured(
    name="effort above which a set is more than what is meant",
    value=15,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: 12 to 15 trains",
    known="common practice",
)
BEFORE_A_MATCH = Measured(
    name="effort above which a set is more than what is meant before a match",
    value=13,
    unit="of 6-20",
    spread=0,
    source="no set comes near an effort of 15 before a match: 14 is near it",
    known="our choice",
)
BEFORE_PLAY = ("before a match",)
"""Kinds of session that must not tire."""


@dataclass(frozen=True, kw_only=True)
class EffortCeiling:
    """The largest effort that is meant (6-20), and the clauses said above it, with ``{effort}`` and ``{ceiling}``."""

    effort: int
    what: str = "effort {effort} is above what is meant, {ceiling}"
    do: str = "Take the easier one, or stop here"


def effort_ceiling(kind: str) -> EffortCeiling:
    """Return the ceiling of a kind of session; an answer before the start may set a lower one.

    Parameters
    ----------
    kind : str
        As in `firstpush.core.session.kinds.KIND_NAMES`.

    Examples
    --------
    >>> [effort_ceiling(kind).effort for kind in ("strength", "before a match")]
    [15, 13]
    """
    return EffortCeiling(effort=round((BEFORE_A_MATCH if kind in BEFORE_PLAY else USUAL_CEILING).value))
