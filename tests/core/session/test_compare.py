"""What changed between two sessions, against sessions written down by hand."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.session.compare import differences


def item(id_: str, **other: Any) -> dict[str, Any]:
    """Return an item of a session document."""
    return {
        "exercise": id_,
        "title": id_.capitalize(),
        "dose": {"name": "two sets"},
        "sides": ["right", "left"],
    } | other


def laid(side: str, **band: Any) -> dict[str, Any]:
    """Return a set-up of one side with a band."""
    known = {"name": "flat", "strands": 1, "slack_length_m": 0.5, "post": "bars", "anchor_height_m": 0.9}
    return {"side": side, "arms": [side], "band": known | {"distance_m": 0.6} | band, "strap": "none"}


def said(before: list[dict[str, Any]], after: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """Return what changed, by kind and in words."""
    return [(each.kind, each.words) for each in differences({"items": before}, {"items": after})]


def test_nothing_changed_says_nothing() -> None:
    """The same session twice has no difference."""
    same = [item("row", setups=[laid("right")]), item("press")]
    assert said(same, same) == []


def test_what_is_gone_and_what_is_new() -> None:
    """Gone comes first, then what came."""
    assert said([item("row"), item("press")], [item("press"), item("punch")]) == [
        ("gone", "Row is gone"),
        ("added", "Punch is new"),
    ]


def test_another_dose_and_other_sides() -> None:
    """Each says what it is now and what it was."""
    after = item("row", dose={"name": "one set"}, sides=["right"])
    assert said([item("row")], [after]) == [
        ("dose", "Row: one set instead of two sets"),
        ("sides", "Row: right side only instead of one side after the other"),
    ]


def test_a_set_up_that_changed_on_both_sides_is_said_once() -> None:
    """Distance and strands of both sides; of one side alone with its name."""
    before = [item("row", setups=[laid("right"), laid("left")])]
    both = [item("row", setups=[laid(side, distance_m=0.7, strands=2) for side in ("right", "left")])]
    assert said(before, both) == [
        ("set-up", "Row: band flat, folded double instead of flat; distance 0.70 m instead of 0.60 m")
    ]
    one = [item("row", setups=[laid("right"), laid("left", distance_m=0.7)])]
    assert said(before, one) == [("set-up", "Row, left: distance 0.70 m instead of 0.60 m")]


def test_the_time_is_said_when_it_changed() -> None:
    """In minutes and seconds."""
    found = differences({"items": [], "total_s": 1075}, {"items": [], "total_s": 1030})
    assert [each.words for each in found] == ["it takes 17:10 instead of 17:55"]


@given(st.permutations(["a", "b", "c", "d", "e"]))
def test_as_few_as_possible_are_called_moved(order: list[str]) -> None:
    """What is called moved, taken out, leaves both in one order; no smaller set of exercises does."""
    before, after = [item(id_) for id_ in "abcde"], [item(id_) for id_ in order]
    found = [words for kind, words in said(before, after) if kind == "order"]
    smallest = next(
        size
        for size in range(6)
        if any(
            [x for x in "abcde" if x not in out] == [x for x in order if x not in out]
            for out in combinations("abcde", size)
        )
    )
    if smallest == 0:
        assert found == []
        return
    (words,) = found
    moved = [name.casefold() for name in words.replace(" and ", ", ").split(" come")[0].split(", ")]
    assert len(moved) == smallest
    assert [x for x in "abcde" if x not in moved] == [x for x in order if x not in moved]


def test_both_arms_at_once_are_not_two_sides() -> None:
    """From one arm at a time to both arms and back: said as that, not as the same two sides in another order."""
    together = item("row", sides=["left", "right"], setups=[{"side": "right", "arms": ["left", "right"]}])
    alternate = item("row", setups=[{"side": "right", "arms": ["right"]}, {"side": "left", "arms": ["left"]}])
    now = "both arms together instead of one side after the other"
    assert said([alternate], [together]) == [("sides", f"Row: {now}")]
    back = "one side after the other instead of both arms together"
    assert said([together], [alternate]) == [("sides", f"Row: {back}")]
