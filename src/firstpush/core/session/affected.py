"""What of a session must be set up again when a band tears, a post is taken, or a shoulder hurts more than usual.

Everything that is not named here stays as it is: nobody has to learn a session anew for another's torn band.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side

Setup = Mapping[str, Any]
"""One set-up of a session document."""


@dataclass(frozen=True, kw_only=True)
class BandGone:
    """Bands of one name were taken out of use; `left` is how many of them remain."""

    band: str
    left: int = 0


@dataclass(frozen=True, kw_only=True)
class PostTaken:
    """A post is not to be had: others use it, or it is in the way today."""

    post: str


@dataclass(frozen=True, kw_only=True)
class SoreShoulder:
    """A shoulder that hurts otherwise than when the session was made: more, or less."""

    side: Side


Event = BandGone | PostTaken | SoreShoulder


@dataclass(frozen=True, kw_only=True)
class Affected:
    """An exercise of a session that must be set up again; `because` is a clause without a full stop."""

    exercise: str
    title: str
    because: str


def affected(
    document: Mapping[str, Any], event: Event, *, exercises: Mapping[str, Exercise] | None = None
) -> tuple[Affected, ...]:
    """Return what of a session must be set up again after `event`, in the order of the session.

    Parameters
    ----------
    document : mapping
        A session document, see `firstpush.core.session.document`.
    event : BandGone, PostTaken or SoreShoulder
    exercises : mapping of exercise id to Exercise, optional
        They say whether both hands are needed, and whether each holds a band of its own.  For an exercise that is not
        among them both are taken to be so: setting up once too often costs seconds, once too seldom a shoulder.

    Returns
    -------
    tuple of Affected
        Empty when the session can stay as it is.

    Examples
    --------
    >>> row = {"side": "right", "arms": ["right"], "band": {"name": "flat 24", "post": "wall bars"}}
    >>> session = {"items": [{"exercise": "row", "title": "Row", "sides": ["right"], "setups": [row]}]}
    >>> [each.because for each in affected(session, BandGone(band="flat 24"))]
    ['it is done with flat 24, and none is left']
    >>> affected(session, BandGone(band="flat 24", left=2))
    ()
    """
    known = exercises if exercises is not None else {}
    found = []
    for item in document.get("items", ()):
        exercise = known.get(str(item.get("exercise")))
        reasons = (_because(setup, event, exercise) for setup in done_setups(item))
        because = next((reason for reason in reasons if reason), "")
        if because:
            found.append(Affected(exercise=str(item["exercise"]), title=str(item["title"]), because=because))
    return tuple(found)


def done_setups(item: Mapping[str, Any]) -> Iterator[Setup]:
    """Yield the set-ups of the sides that are done; one of both arms together stands under one side."""
    sides = item.get("sides", ())
    for setup in item.get("setups", ()):
        if len(setup.get("arms", ())) != 1 or setup.get("side") in sides:
            yield setup


def _because(setup: Setup, event: Event, exercise: Exercise | None) -> str:
    band = setup.get("band")
    match event:
        case BandGone(band=name, left=left):
            if band is None or band["name"] != name or left >= (needed := bands_needed(setup, exercise)):
                return ""
            if left < 1:
                return f"it is done with {name}, and none is left"
            return f"it is done with {needed} of {name}, and {left} is left"
        case PostTaken(post=name):
            return f"it is done at {name}" if band is not None and band.get("post") == name else ""
        case SoreShoulder(side=side):
            if side in setup.get("arms", ()):
                return f"the {side} arm works in it"
            # With both hands on one band the other arm pulls too; with one arm at work its hand holds the frame.
            on_frame = any("frame" in words for words in setup.get("support", ()))
            if exercise is None or exercise.needs.hands == 2 or on_frame:
                return f"the {side} hand has a part in it"
    return ""


def bands_needed(setup: Setup, exercise: Exercise | None) -> int:
    """Return how many bands of one name a set-up takes: two where each hand has one of its own.

    Parameters
    ----------
    setup : mapping
        One set-up of a session document.
    exercise : Exercise or None
        None counts as one in which each hand holds a band.
    """
    band = setup.get("band")
    if band is None:
        return 0
    if band.get("one_band_for_both_hands") or len(setup.get("arms", ())) < 2:
        return 1
    uses = () if exercise is None else (exercise.band, exercise.band_without_post)
    grips = {use.grip for use in uses if use is not None}
    return 2 if not grips or "each" in grips else 1
