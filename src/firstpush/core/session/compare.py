"""What changed from one session document to another, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from firstpush.core.session.first_set import first_set_of
from firstpush.core.session.timeline import clock
from firstpush.core.words import listed

DifferenceKind = Literal["added", "gone", "dose", "sides", "set-up", "order", "time"]


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One thing that changed, as a sentence without a full stop."""

    kind: DifferenceKind
    words: str


def differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Difference, ...]:
    """Return what changed from one session to another.

    Parameters
    ----------
    before, after : mapping
        Session documents, see `firstpush.core.session.document`; what one of them does not say is passed over.

    Examples
    --------
    >>> one = {"items": [{"exercise": "low_row", "title": "Low row", "dose": {"name": "two sets of ten"}}]}
    >>> two = {"items": [{"exercise": "low_row", "title": "Low row", "dose": {"name": "one set of ten"}}]}
    >>> [each.words for each in differences(one, two)]
    ['Low row: one set of ten instead of two sets of ten']
    """
    old, new = _items(before), _items(after)
    found = [Difference(kind="gone", words=f"{_title(item)} is gone") for id_, item in old.items() if id_ not in new]
    found += [Difference(kind="added", words=f"{_title(item)} is new") for id_, item in new.items() if id_ not in old]
    for id_ in new:
        if id_ in old:
            found += _of_item(old[id_], new[id_])
    stayed = [id_ for id_ in old if id_ in new]
    now = [id_ for id_ in new if id_ in old]
    if stayed != now:
        moved = _moved(stayed, now)
        words = (
            f"{listed([_title(new[id_]) for id_ in moved])} {'comes' if len(moved) == 1 else 'come'} at another place"
        )
        found.append(Difference(kind="order", words=words))
    one, two = before.get("total_s"), after.get("total_s")
    if isinstance(one, int) and isinstance(two, int) and one != two:
        found.append(Difference(kind="time", words=f"it takes {clock(two)} instead of {clock(one)}"))
    return tuple(found)


def _items(document: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    return {str(item.get("exercise", item.get("title", ""))): item for item in document.get("items", ())}


def _title(item: Mapping[str, Any]) -> str:
    return str(item.get("title", item.get("exercise", "")))


def _of_item(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Difference]:
    title = _title(after)
    one, two = (each.get("dose", {}).get("name") for each in (before, after))
    if one != two:
        yield Difference(kind="dose", words=f"{title}: {two} instead of {one}{_first_time(after)}")
    one, two = (tuple(each.get("sides", ())) for each in (before, after))
    if one != two:
        now, then = _arms(after), _arms(before)
        if now == then:
            # The same arms in another order, or told without its set-ups.
            now, then = (f"{' and '.join(each)} side" for each in (two, one))
        yield Difference(kind="sides", words=f"{title}: {now} instead of {then}")
    old, new = (_bands(each) for each in (before, after))
    said: dict[str, list[str]] = {}
    for side in new:
        if side in old and old[side] != new[side]:
            changed = "; ".join(
                f"{name} {value} instead of {old[side].get(name, 'none')}"
                for name, value in new[side].items()
                if value != old[side].get(name)
            )
            said.setdefault(changed, []).append(side)
    for changed, sides in said.items():
        where = "" if len(sides) == len(new) else f", {' and '.join(sides)}"
        yield Difference(kind="set-up", words=f"{title}{where}: {changed}")


def _first_time(item: Mapping[str, Any]) -> str:
    """Return what a first time makes of the dose where a set-up is tried out; empty otherwise."""
    tried = any((setup.get("target") or {}).get("kind") == "try-out" for setup in item.get("setups", ()))
    dose = item["dose"]
    return f"; {first_set_of(dose['sets'])}" if tried and dose.get("repetitions") else ""


def _arms(item: Mapping[str, Any]) -> str:
    """Return which arms work: both at once, one after the other, or one alone."""
    sides = tuple(item.get("sides", ()))
    if any(len(setup.get("arms", ())) == 2 for setup in item.get("setups", ())):
        return "both arms together"
    return f"{sides[0]} side only" if len(sides) == 1 else "one side after the other"


def _bands(item: Mapping[str, Any]) -> dict[str, dict[str, str]]:
    """Return how the band of each side is laid, by what it is called; sides that are not done are passed over."""
    done = item.get("sides", ())
    found = {}
    for setup in item.get("setups", ()):
        band = setup.get("band")
        if band is None or (done and len(setup.get("arms", ())) == 1 and setup.get("side") not in done):
            continue
        strands = "" if band.get("strands", 1) == 1 else ", folded double"
        found[str(setup.get("side"))] = {
            "band": f"{band.get('name')}{strands}",
            **{
                name: f"{band[key]:.2f} m"
                for name, key in (("mark", "slack_length_m"), ("height", "anchor_height_m"), ("distance", "distance_m"))
                if band.get(key) is not None
            },
            **({"post": str(band["post"])} if band.get("post") else {}),
            "strap": str(setup.get("strap", "none")),
        }
    return found


def _moved(before: Sequence[str], after: Sequence[str]) -> list[str]:
    """Return the fewest items that were put elsewhere: all outside the longest run that kept its order."""
    place = {id_: at for at, id_ in enumerate(before)}
    runs: list[list[str]] = []
    for id_ in after:
        before_it: list[list[str]] = [run for run in runs if place[run[-1]] < place[id_]]
        longest = max(before_it, key=lambda run: len(list(run))) if before_it else []
        runs.append([*longest, id_])
    whole: list[str] = max(runs, key=lambda run: len(list(run)))
    stayed = set(whole)
    return [id_ for id_ in after if id_ not in stayed]
