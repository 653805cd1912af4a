"""Which limbs an athlete has, and words that name only what is there: no shoes for who has no feet."""

from __future__ import annotations

from collections.abc import Collection

from firstpush.core.people.athlete import SIDES, Athlete, Side

WITHOUT_HAND = ("above elbow", "below elbow", "hand")
WITHOUT_FOOT = ("above knee", "below knee", "foot")
"""Where an arm can end that has no hand, and a leg that has no foot."""
_WITHOUT_KNEE = ("above knee",)
_WITHOUT_LEG = ("above knee", "below knee")

_WITHOUT_FEET: tuple[tuple[str, str], ...] = (
    ("traps and shoes", "traps"),
    ("traps or shoes", "traps"),
    ("traps, shoes and clothing", "traps and clothing"),
    ("tight strap or shoe", "tight strap"),
    ("belt and binder, shoes and tight clothing", "belt and binder, and tight clothing"),
    ("kick the feet off or pull", "pull"),
    ("; feet fixed", ""),
    ("Feet fixed, start", "Start"),
    ("feet fixed, start", "start"),
    ("a rail that the feet go under", "a rail that the footplate goes under"),
    ("feet under it, footplate", "footplate"),
)
_WITHOUT_KNEES: tuple[tuple[str, str], ...] = (
    (", legs up", ""),
    ("No forced leg stretch, no band on the knee", "No forced stretch"),
    ("warm swollen leg", "warm swollen thigh"),
    ("knees or casters cutting", "casters cutting"),
    ("beside the knee", "beside the seat"),
    ("that knee", "that thigh"),
    ("the opposite knee", "the opposite thigh"),
)
"""What is said, and what is said instead; the first letter of a word that may begin a sentence is left out."""


def hand_lost_with(missing: Collection[str], side: Side) -> str:
    """Return the missing limb with which the hand of a side is gone, or "" where the hand is there.

    Parameters
    ----------
    missing : collection of str
        Missing limbs, for example "left below elbow".
    side : str

    Examples
    --------
    >>> hand_lost_with({"left below elbow"}, "left"), hand_lost_with({"left below elbow"}, "right")
    ('left below elbow', '')
    """
    return next((f"{side} {limb}" for limb in WITHOUT_HAND if f"{side} {limb}" in missing), "")


def has_no_feet(missing: Collection[str]) -> bool:
    """Whether neither foot is there; one is enough to hold a rail, or to wear a shoe.

    Parameters
    ----------
    missing : collection of str
        Missing limbs, for example "left above knee".

    Examples
    --------
    >>> has_no_feet({"left above knee", "right foot"}), has_no_feet({"left above knee"})
    (True, False)
    """
    return _lacks_both(missing, WITHOUT_FOOT)


def has_no_knees(missing: Collection[str]) -> bool:
    """Whether neither knee is there; `missing` as for `has_no_feet`."""
    return _lacks_both(missing, _WITHOUT_KNEE)


def legs_missing(missing: Collection[str]) -> int:
    """Return how many legs end above or below the knee, 0 to 2; `missing` as for `has_no_feet`."""
    return sum(any(f"{side} {limb}" in missing for limb in _WITHOUT_LEG) for side in SIDES)


def _lacks_both(missing: Collection[str], limbs: Collection[str]) -> bool:
    return all(any(f"{side} {limb}" in missing for limb in limbs) for side in SIDES)


def for_limbs(words: str, missing: Collection[str]) -> str:
    """Return words without what asks for feet or knees of somebody who has none.

    Parameters
    ----------
    words : str
        Of a notice, a question, a card or an exercise.
    missing : collection of str
        As for `has_no_feet`.

    Examples
    --------
    >>> for_limbs("Straps and shoes loose; tilt back, legs up", {"left above knee", "right above knee"})
    'Straps loose; tilt back'
    """
    told = (*(_WITHOUT_FEET if has_no_feet(missing) else ()), *(_WITHOUT_KNEES if has_no_knees(missing) else ()))
    for said, instead in told:
        words = words.replace(said, instead)
    return words


def for_limbs_of(words: str, athlete: Athlete) -> str:
    """Return words as `for_limbs` does, for an athlete; limbs that nobody asked about count as there."""
    return for_limbs(words, athlete.missing_limbs or ())
