"""Which bar the hands take; heights of the demo's venues, and what is near by comparing all."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from firstpush.core.kit.venue import Post, Venue
from firstpush.core.setup.rails import rail_place


def bones(left: float, right: float) -> Any:
    """Return hands at these heights [m]; of a skeleton no more is asked."""
    return SimpleNamespace(
        arms={s: SimpleNamespace(hand=np.array([[0.5, 0.0, h]])) for s, h in (("left", left), ("right", right))}
    )


def venue(**heights: tuple[float, ...]) -> Venue:
    """Return a venue with posts of these names."""
    posts = tuple(Post(name=name, heights=each, room_in_front=3.0, places=1) for name, each in heights.items())
    return Venue(name="hall", posts=posts)


BARS = tuple(round(0.15 * number, 2) for number in range(1, 17))
UPRIGHT = tuple(round(0.05 * number, 2) for number in range(2, 41))


@pytest.mark.parametrize("hands", [round(0.02 * number + 0.6, 2) for number in range(30)])
def test_of_bars_the_nearest_is_taken(hands: float) -> None:
    """Of bars 0.15 m from each other one is always within 0.075 m."""
    found = rail_place(venue(bars=BARS, upright=UPRIGHT), bones(hands - 0.01, hands + 0.01))
    assert found is not None and found.name == "bars"
    assert all(abs(found.height - hands) <= abs(each - hands) + 1e-9 for each in BARS)


def test_an_upright_is_no_rail_and_a_bar_far_off_none_either() -> None:
    """What can be tied to at any height has nothing to put two hands on; 1.05 m is 0.15 m above the hands."""
    assert rail_place(venue(upright=UPRIGHT), bones(0.9, 0.9)) is None
    assert rail_place(venue(railing=(0.45, 1.05)), bones(0.9, 0.9)) is None
    assert rail_place(venue(railing=(0.45, 0.95)), bones(0.9, 0.9)) is not None
    assert rail_place(venue(), bones(0.9, 0.9)) is None
