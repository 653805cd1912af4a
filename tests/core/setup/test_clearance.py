"""Clearance of the band and its recoil, against brute-force sampling and hand geometry."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.errors import OutOfRangeError
from firstpush.core.setup.clearance import (
    BAND_CLEARANCE,
    RECOIL_CLEARANCE,
    Capsules,
    band_clearance,
    recoil_distance,
    segment_to_capsules_distance,
)

points = st.tuples(*[st.floats(-1, 1).map(lambda x: round(x, 3)) for _ in range(3)]).map(np.array)


def one(start: Any, end: Any, radius: float = 0.0) -> Capsules:
    """Return a single capsule."""
    return Capsules(
        names=("rod",), start=np.array([start], float), end=np.array([end], float), radius=np.array([radius])
    )


def sampled(a: Any, b: Any, c: Any, d: Any, n: int = 401) -> float:
    """Return the smallest distance of `n` points of one segment to `n` of the other."""
    t = np.linspace(0, 1, n)[:, None]
    first, second = a + t * (b - a), c + t * (d - c)
    return float(np.sqrt(np.min(np.sum((first[:, None] - second[None]) ** 2, axis=-1))))


@given(a=points, b=points, c=points, d=points)
@settings(max_examples=150, deadline=None)
def test_distance_is_the_smallest_over_all_points(a: Any, b: Any, c: Any, d: Any) -> None:
    """Never above what 401 x 401 points find, and below it by no more than half their spacing."""
    exact = float(segment_to_capsules_distance(a, b, one(c, d))[0])
    found = sampled(a, b, c, d)
    spacing = (np.linalg.norm(b - a) + np.linalg.norm(d - c)) / 400 / 2
    assert exact <= found + 1e-7
    assert found <= exact + spacing + 1e-7


@given(a=points, b=points, c=points, shift=st.floats(-2, 2), length=st.floats(-2, 2))
@settings(max_examples=100, deadline=None)
def test_parallel_segments_need_no_case_of_their_own(a: Any, b: Any, c: Any, shift: float, length: float) -> None:
    """Parallel, overlapping or collinear, the distance is that of sampling."""
    start, end = c + shift * (b - a), c + (shift + length) * (b - a)
    exact = float(segment_to_capsules_distance(a, b, one(start, end))[0])
    found = sampled(a, b, start, end)
    spacing = np.linalg.norm(b - a) * (1 + abs(length)) / 400 / 2
    assert exact - 1e-7 <= found <= exact + spacing + 1e-7


@given(a=points, b=points, c=points, d=points, radius=st.floats(0, 0.3))
@settings(max_examples=100, deadline=None)
def test_which_end_comes_first_does_not_matter(a: Any, b: Any, c: Any, d: Any, radius: float) -> None:
    """Ends swapped, or band and rod swapped: the same distance, and the radius is taken off."""
    first = segment_to_capsules_distance(a, b, one(c, d, radius))
    assert segment_to_capsules_distance(b, a, one(d, c, radius)) == pytest.approx(first, abs=1e-6)
    assert segment_to_capsules_distance(c, d, one(a, b, radius)) == pytest.approx(first, abs=1e-6)
    assert segment_to_capsules_distance(a, b, one(c, d))[0] - radius == pytest.approx(float(first[0]), abs=1e-9)


def test_points_and_spheres() -> None:
    """Both segments of no length, and a sphere beside a band: 3-4-5 triangles."""
    assert segment_to_capsules_distance([0, 0, 0], [0, 0, 0], one([3, 4, 0], [3, 4, 0]))[0] == pytest.approx(5)
    assert segment_to_capsules_distance([-9, 0, 0], [9, 0, 0], one([2, 3, 4], [2, 3, 4], 1))[0] == pytest.approx(5 - 1)
    assert segment_to_capsules_distance([0, 0, 0], [1, 0, 0], one([4, 4, 0], [4, 4, 0], 0.5))[0] == pytest.approx(
        5 - 0.5
    )


def test_band_through_a_thigh_is_negative() -> None:
    """Through the middle line of a rod of 8 cm the distance is minus 8 cm, below the 2 cm asked."""
    distance = segment_to_capsules_distance([0, -1, 0], [0, 1, 0], one([-1, 0, 0], [1, 0, 0], 0.08))
    assert distance[0] == pytest.approx(-0.08)
    assert distance[0] < BAND_CLEARANCE.value


def test_many_frames_against_many_capsules() -> None:
    """Cases x frames x capsules give what one pair at a time gives."""
    rng = np.random.default_rng(1)
    start, end = rng.normal(size=(2, 4, 5, 3))
    rods = Capsules(
        names=("a", "b", "c"),
        start=rng.normal(size=(5, 3, 3)),
        end=rng.normal(size=(5, 3, 3)),
        radius=np.array([0.1, 0.2, 0.05]),
    )
    together = segment_to_capsules_distance(start, end, rods)
    assert together.shape == (4, 5, 3)
    for i, j, k in np.ndindex(4, 5, 3):
        alone = one(rods.start[j, k], rods.end[j, k], rods.radius[k])
        assert together[i, j, k] == pytest.approx(float(segment_to_capsules_distance(start[i, j], end[i, j], alone)[0]))


def test_band_is_not_looked_at_next_to_the_hand() -> None:
    """A forearm that starts at the hand is touched at once, and is clear 10 cm further along the band."""
    forearm = one([0, 0, 1], [0, 0.25, 1], 0.03)
    hand, anchor = [0, 0, 1], [1, 0, 1]
    assert band_clearance(hand=hand, anchor=anchor, capsules=forearm)[0] == pytest.approx(-0.03)
    assert band_clearance(hand=hand, anchor=anchor, capsules=forearm, leave_out_at_hand=0.10)[0] == pytest.approx(0.07)
    short = band_clearance(hand=hand, anchor=[0.05, 0, 1], capsules=forearm, leave_out_at_hand=0.10)
    assert short[0] == pytest.approx(0.05 - 0.03), "a band shorter than that is looked at where it ends"


def test_recoil_stops_one_slack_length_behind_the_hand() -> None:
    """The head 1.0 m behind the hand: slack of 0.8 m ends 0.2 m before its centre, slack of 1.5 m goes through it."""
    common: dict[str, Any] = {"anchor": [1, 0, 1], "hand": [0, 0, 1], "head_centre": [-1, 0, 1], "head_radius": 0.09}
    assert recoil_distance(slack_length=0.8, **common) == pytest.approx(0.2 - 0.09)
    assert recoil_distance(slack_length=1.5, **common) == pytest.approx(-0.09)
    assert (
        recoil_distance(slack_length=0.8, **common)
        > RECOIL_CLEARANCE.value
        > recoil_distance(slack_length=0.9, **common)
    )


@given(anchor=points, hand=points, head=points, slack=st.floats(0.1, 2))
@settings(max_examples=100, deadline=None)
def test_recoil_is_the_nearest_point_of_the_ray(anchor: Any, hand: Any, head: Any, slack: float) -> None:
    """2001 points from the anchor to one slack length behind the hand find the same distance."""
    length = float(np.linalg.norm(hand - anchor))
    if length < 1e-3:
        return
    reach = (length + slack) * np.linspace(0, 1, 2001)[:, None]
    found = float(np.linalg.norm(anchor + reach * (hand - anchor) / length - head, axis=-1).min())
    exact = float(recoil_distance(anchor=anchor, hand=hand, slack_length=slack, head_centre=head, head_radius=0.0))
    assert exact - 1e-9 <= found <= exact + (length + slack) / 4000 + 1e-9


def test_recoil_of_a_hand_at_the_anchor_counts_every_direction() -> None:
    """Anywhere within one slack length is hit."""
    at_post: dict[str, Any] = {"anchor": [0, 0, 1], "hand": [0, 0, 1], "slack_length": 0.8, "head_radius": 0.1}
    assert recoil_distance(head_centre=[0, 1.2, 1], **at_post) == pytest.approx(1.2 - 0.8 - 0.1)
    assert recoil_distance(head_centre=[0.3, 0, 1], **at_post) == pytest.approx(-0.1)


def test_recoil_over_frames() -> None:
    """Hands over frames and slack lengths over cases broadcast."""
    hands = np.array([[0.0, 0, 1], [0.2, 0.1, 1.1], [0.4, 0.2, 1.2]])
    slack = np.array([[0.5], [1.0]])
    out = recoil_distance(anchor=[2, 0, 1], hand=hands, slack_length=slack, head_centre=[-0.5, 0, 1.3], head_radius=0.1)
    assert out.shape == (2, 3)
    alone = recoil_distance(
        anchor=[2, 0, 1], hand=hands[2], slack_length=1.0, head_centre=[-0.5, 0, 1.3], head_radius=0.1
    )
    assert out[1, 2] == pytest.approx(float(alone))


def test_capsules_that_do_not_match_are_refused() -> None:
    """Two names for one rod."""
    with pytest.raises(OutOfRangeError, match="must be as many"):
        Capsules(names=("a", "b"), start=np.zeros((1, 3)), end=np.ones((1, 3)), radius=np.array([0.1]))
