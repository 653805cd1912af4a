"""What one session loses against another, wish by wish, in words."""

from __future__ import annotations

from collections.abc import Iterable

from firstpush.core.exercises.definition import PARTS
from firstpush.core.people.athlete import Side
from firstpush.core.session.timeline import clock
from firstpush.core.session.wishes import FIT_STEP, RATIO_STEP, Served, WishName
from firstpush.core.words import listed


def loss(wish: WishName, *, best: Served, other: Served) -> str:
    """Return in words what `wish` loses from `best` to `other`, for example "the control part would stay empty"."""
    return _in_words(wish, best, other)[0]


def loss_in_short(wish: WishName, *, best: Served, other: Served) -> str:
    """Return what `loss` tells as what there would be instead: "no control part", "0:30 less work"."""
    return _in_words(wish, best, other)[1]


def _in_words(wish: WishName, best: Served, other: Served) -> tuple[str, str]:
    """Return the loss as a sentence's half, and in short as what there would be instead."""
    match wish:
        case "due":
            gone = aims_in_words(best.due - other.due)
            return f"{listed(gone)} would stay untrained, which is due", f"no {listed(gone, last='or')}, which is due"
        case "parts":
            lost = [part for part in PARTS if part in best.parts - other.parts]
            return (
                f"the {listed(lost)} part{_s(len(lost))} would stay empty",
                f"no {listed(lost, last='or')} part",
            )
        case "balance":
            missing = (other.missing_tenths - best.missing_tenths) / RATIO_STEP
            return (
                f"the back of the shoulders would lack {missing:g} set{_s(missing)} beside the front",
                f"{missing:g} set{_s(missing)} too few at the back of the shoulders",
            )
        case "unchanged":
            return "more of the session before would change", "more of the session before changed"
        case "aims":
            return _lost_aims(best, other)
        case "even sides":
            more = other.uneven - best.uneven
            return f"one side would get {more} more sets than the other", f"{more} more sets on one side"
        case "familiar":
            more_new = "more that the athlete has never done"
            return f"there would be {more_new}", more_new
        case "care":
            more_care = "more that asks for care with this athlete"
            return f"there would be {more_care}", more_care
        case "change":
            return "it would go on with what has been done for weeks", "more of what has been done for weeks"
        case "fit":
            return _worse_fit((best.fit - other.fit) / FIT_STEP, fewer=best.sets - other.sets)
        case "work":
            less = f"{clock(best.work_s - other.work_s)} less work"
            return f"there would be {less} in the same minutes", less
        case "setting up":
            longer = clock(other.setting_up_s - best.setting_up_s)
            return f"setting up would take {longer} longer", f"{longer} longer setting up"


def _worse_fit(sets: float, *, fewer: int) -> tuple[str, str]:
    """Return what is lost when so many sets [1] less fit as wanted; a set half as near to its load counts half.

    What has no load of its own fits by itself: where there are `fewer` sets, their number is what is lost.
    """
    if fewer >= sets:
        less = f"{fewer} set{_s(fewer)} fewer"
        return f"there would be {less}", less
    if fewer > 0:
        less = f"{fewer} set{_s(fewer)} fewer, and loads farther off"
        return f"there would be {less}", less
    whole = round(sets)
    if whole < 1:
        return "the sets would be a little farther from their wanted load", "loads a little farther off"
    counted = f"{whole} set{_s(whole)}"
    return (
        f"{counted} less would be near {'their' if whole > 1 else 'its'} wanted load",
        f"{counted} fewer near the wanted load",
    )


def _lost_aims(best: Served, other: Served) -> tuple[str, str]:
    gone = aims_in_words(best.aims - other.aims)
    thinner = aims_in_words((best.full_aims - other.full_aims) - (best.aims - other.aims))
    said, short = [], []
    if gone:
        said.append(f"{listed(gone)} would go untrained")
        short.append(f"no {listed(gone, last='or')}")
    if thinner:
        said.append(f"{listed(thinner)} would get fewer sets than count as full")
        short.append(f"too few sets of {listed(thinner)}")
    return listed(said), listed(short)


def aims_in_words(aims: Iterable[tuple[str, Side]]) -> list[str]:
    """Return aims, each with its side where it is one side only."""
    sides: dict[str, set[Side]] = {}
    for aim, side in sorted(aims):
        sides.setdefault(aim, set()).add(side)
    return [aim if len(on) == 2 else f"{aim} on the {next(iter(on))}" for aim, on in sides.items()]


def _s(number: float) -> str:
    return "" if number == 1 else "s"
