"""What one session loses against another, wish by wish, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from firstpush.core.exercises.definition import PARTS
from firstpush.core.people.athlete import Side
from firstpush.core.session.timeline import clock
from firstpush.core.session.wishes import FIT_STEP, RATIO_STEP, Served, WishName


def loss(wish: WishName, *, best: Served, other: Served) -> str:
    """Return in words what `wish` loses from `best` to `other`, for example "the control part would stay empty"."""
    match wish:
        case "due":
            return f"{listed(aims_in_words(best.due - other.due))} would stay untrained, which is due"
        case "parts":
            lost = [part for part in PARTS if part in best.parts - other.parts]
            return f"the {listed(lost)} part{'s' if len(lost) > 1 else ''} would stay empty"
        case "balance":
            missing = (other.missing_tenths - best.missing_tenths) / RATIO_STEP
            return f"the back of the shoulders would lack {missing:g} set{'s' if missing != 1 else ''} beside the front"
        case "unchanged":
            return "more of the earlier plan would change"
        case "aims":
            return _lost_aims(best, other)
        case "even sides":
            return f"one side would get {other.uneven - best.uneven} more sets than the other"
        case "familiar":
            return "there would be more that the athlete has never done"
        case "care":
            return "there would be more that asks for care with this athlete"
        case "change":
            return "it would go on with what has been done for weeks"
        case "fit":
            return _farther_from_their_load((best.fit - other.fit) / FIT_STEP)
        case "work":
            return f"there would be {clock(best.work_s - other.work_s)} less work in the same minutes"
        case "setting up":
            return f"setting up would take {clock(other.setting_up_s - best.setting_up_s)} longer"


def loss_in_short(wish: WishName, *, best: Served, other: Served) -> str:
    """Return what `loss` tells as what there would be instead: "no control part", "0:30 less work"."""
    match wish:
        case "due":
            return f"no {_or(aims_in_words(best.due - other.due))}, which is due"
        case "parts":
            return f"no {_or([part for part in PARTS if part in best.parts - other.parts])} part"
        case "balance":
            missing = (other.missing_tenths - best.missing_tenths) / RATIO_STEP
            return f"{missing:g} set{'s' if missing != 1 else ''} too few at the back of the shoulders"
        case "unchanged":
            return "more changes of the earlier plan"
        case "aims":
            return _lost_aims_in_short(best, other)
        case "even sides":
            return f"{other.uneven - best.uneven} more sets on one side"
        case "familiar":
            return "more that the athlete has never done"
        case "care":
            return "more that asks for care with this athlete"
        case "change":
            return "more of what has been done for weeks"
        case "fit":
            return _farther_in_short((best.fit - other.fit) / FIT_STEP)
        case "work":
            return f"{clock(best.work_s - other.work_s)} less work"
        case "setting up":
            return f"{clock(other.setting_up_s - best.setting_up_s)} longer setting up"


def _farther_in_short(sets: float) -> str:
    whole = round(sets)
    return (
        f"{whole} set{'s' if whole > 1 else ''} fewer near the wanted load"
        if whole >= 1
        else "loads a little farther off"
    )


def _lost_aims_in_short(best: Served, other: Served) -> str:
    gone = aims_in_words(best.aims - other.aims)
    thinner = aims_in_words((best.full_aims - other.full_aims) - (best.aims - other.aims))
    said = [f"no {_or(gone)}"] if gone else []
    if thinner:
        said.append(f"too few sets of {listed(thinner)}")
    return " and ".join(said)


def _or(words: Sequence[str]) -> str:
    return " or ".join(filter(None, [", ".join(words[:-1]), words[-1]]))


def _farther_from_their_load(sets: float) -> str:
    """Return what is lost when so many sets [1] less are near their wanted load; a set half as near counts half."""
    whole = round(sets)
    if whole < 1:
        return "the sets would be a little farther from their wanted load"
    return f"{whole} set{'s' if whole > 1 else ''} less would be near {'their' if whole > 1 else 'its'} wanted load"


def _lost_aims(best: Served, other: Served) -> str:
    gone = aims_in_words(best.aims - other.aims)
    thinner = aims_in_words((best.full_aims - other.full_aims) - (best.aims - other.aims))
    said = []
    if gone:
        said.append(f"{listed(gone)} would go untrained")
    if thinner:
        said.append(f"{listed(thinner)} would get fewer sets than count as full")
    return " and ".join(said)


def aims_in_words(aims: Iterable[tuple[str, Side]]) -> list[str]:
    """Return aims, each with its side where it is one side only."""
    sides: dict[str, set[Side]] = {}
    for aim, side in sorted(aims):
        sides.setdefault(aim, set()).add(side)
    return [aim if len(on) == 2 else f"{aim} on the {next(iter(on))}" for aim, on in sides.items()]


def listed(words: Sequence[str]) -> str:
    """Return words as "a, b and c"."""
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]])) if words else "nothing"
