"""Chair stability against hand sums, symmetry and a second method: does any set of contact forces hold the chair?

Seen from above, X forward, Y left; contacts L and R of the rear wheels, c of the casters, a of the anti-tip wheel:

            Y          L
            ^          |        P o--> F     each F acts on the hand, N up, friction in the plane at L and R only
            |     a----O----c c
            +--> X     |
                       R
"""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.people.athlete import Chair
from firstpush.core.people.chair_presets import track_at_floor
from firstpush.core.setup.chair_loads import Footprint
from firstpush.core.setup.chair_stability import (
    ASKED_FACTOR,
    Blocking,
    ChairStability,
    chair_notices,
    chair_stability,
    chock_hold,
    footprint_of,
)

FACTORS = ("tips_backward", "tips_forward", "tips_left", "tips_right", "rolls", "slides", "climbs", "yaws")
BLOCKINGS: tuple[Blocking, ...] = ("free", "brakes", "chocks", "brakes and chocks")
HEIGHT = 0.08
LARGEST = 1e4
"""Where the linear programme stops looking: pulls 10,000 times as large never tip the chair."""


def case(seed: int, *, anti_tip: bool = False, caster_track: float = 0.0, hands: int = 2) -> dict[str, Any]:
    """Return a chair and pulls drawn with `seed`."""
    rng = np.random.default_rng(seed)
    return {
        "weight": rng.uniform(500, 1100),
        "centre_of_mass": np.array([rng.uniform(0.05, 0.2), rng.uniform(-0.03, 0.03), rng.uniform(0.5, 0.8)]),
        "hand_positions": np.stack(
            [rng.uniform(-0.2, 0.7, hands), rng.uniform(-0.5, 0.5, hands), rng.uniform(0.4, 1.5, hands)], axis=-1
        ),
        "pulls": rng.normal(0, 40, (hands, 3)),
        "footprint": Footprint(
            wheelbase=rng.uniform(0.35, 0.5),
            track=rng.uniform(0.55, 0.8),
            axle_height=rng.uniform(0.28, 0.33),
            anti_tip=0.2 if anti_tip else None,
            caster_track=caster_track,
        ),
    }


def stability(given: dict[str, Any], blocking: Blocking = "brakes", **other: Any) -> ChairStability:
    """Return the stability of a case on an ordinary floor."""
    rest: dict[str, Any] = {"friction": 0.6, "rolling": 0.01, "chock_height": HEIGHT} | other
    return chair_stability(**given, blocking=blocking, **rest)


def largest_factor_with_a_hold(given: dict[str, Any], contacts: list[tuple[np.ndarray, np.ndarray]]) -> float:
    """Return the largest multiple of the pulls that forces along `contacts` (place, direction) can balance."""
    C, P, F = given["centre_of_mass"], given["hand_positions"], given["pulls"]
    weight = np.array([0, 0, -given["weight"]])
    columns = [np.concatenate([d, np.cross(p, d)]) for p, d in contacts]
    pulls = np.concatenate([F.sum(axis=0), np.cross(P, F).sum(axis=0)])
    answer = linprog(
        c=[-1.0, *[0.0] * len(columns)],
        A_eq=np.column_stack([pulls, *columns]),
        b_eq=-np.concatenate([weight, np.cross(C, weight)]),
        bounds=[(0, LARGEST)] + [(0, None)] * len(columns),
        method="highs",
    )
    assert answer.status in (0, 2), answer.message
    return float(answer.x[0]) if answer.status == 0 else 0.0


def upright_contacts(foot: Footprint) -> list[tuple[np.ndarray, np.ndarray]]:
    """Casters and anti-tip wheel, which only push upward."""
    up = np.array([0.0, 0, 1])
    places = [np.array([foot.wheelbase, s * foot.caster_track / 2, 0]) for s in (1, -1)]
    if foot.anti_tip is not None:
        places.append(np.array([-foot.anti_tip, 0, 0]))
    return [(p, up) for p in places]


def braked_contacts(foot: Footprint, friction: float, sides: int = 256) -> list[tuple[np.ndarray, np.ndarray]]:
    """Rear wheels that push within a cone of friction, drawn with so many sides."""
    angles = 2 * math.pi * np.arange(sides) / sides
    wheels = [np.array([0, s * foot.track / 2, 0]) for s in (1, -1)]
    cone = [np.array([friction * math.cos(a), friction * math.sin(a), 1.0]) for a in angles]
    return upright_contacts(foot) + [(w, d) for w in wheels for d in cone]


def gripping_contacts(foot: Footprint) -> list[tuple[np.ndarray, np.ndarray]]:
    """Rear wheels that only push upward, and hold in the plane without limit."""
    flat = [np.array(d) for d in ((1.0, 0, 0), (-1.0, 0, 0), (0, 1.0, 0), (0, -1.0, 0))]
    wheels = [np.array([0, s * foot.track / 2, 0]) for s in (1, -1)]
    return upright_contacts(foot) + [(w, d) for w in wheels for d in [np.array([0, 0, 1.0]), *flat]]


def chocked_contacts(foot: Footprint) -> list[tuple[np.ndarray, np.ndarray]]:
    r"""Each wheel turns freely: floor and chock push it through its axle; sideways the tyre holds without limit.

    F -->   (o) R            n = (-e, R - h) / R from the chock's edge through the axle
             \  n
    ----------+--[h]----     e = sqrt(2 R h - h^2)
    """
    R = foot.axle_height
    e = math.sqrt(2 * R * HEIGHT - HEIGHT**2)
    out = upright_contacts(foot)
    for s in (1, -1):
        axle, tyre = np.array([0, s * foot.track / 2, R]), np.array([0, s * foot.track / 2, 0.0])
        out += [(axle, np.array(d)) for d in ((0, 0, 1.0), (-e, 0, R - HEIGHT), (e, 0, R - HEIGHT))]
        out += [(tyre, np.array([0, side, 0.0])) for side in (-1, 1)]
    return out


@pytest.mark.parametrize("anti_tip", [False, True])
@pytest.mark.parametrize("caster_track", [0.0, 0.35])
def test_tipping_is_where_no_upward_forces_at_the_wheels_balance_the_chair(anti_tip: bool, caster_track: float) -> None:
    """Linear programming over the contact forces, friction without limit, finds the same factor."""
    for seed in range(25):
        given = case(seed, anti_tip=anti_tip, caster_track=caster_track)
        held = stability(given)
        tips = min(held.tips_backward, held.tips_forward, held.tips_left, held.tips_right)
        free = largest_factor_with_a_hold(given, gripping_contacts(given["footprint"]))
        assert min(tips, LARGEST) == pytest.approx(free, rel=1e-6), seed


@pytest.mark.parametrize("anti_tip", [False, True])
def test_braked_chair_holds_as_long_as_friction_can_balance_it(anti_tip: bool) -> None:
    """With one caster contact all loads are fixed, and linear programming over friction cones finds the same factor."""
    for seed in range(25):
        given = case(seed, anti_tip=anti_tip)
        # A polygon of 256 sides inside the cone is short by 1 - cos(pi / 256), 0.008 %.
        expected = largest_factor_with_a_hold(given, braked_contacts(given["footprint"], 0.6))
        assert stability(given).factor == pytest.approx(expected, rel=4e-4), seed


def test_wider_casters_never_make_the_answer_unsafe() -> None:
    """Where the sideways share of the casters is not fixed, the factor is at or below the best hold."""
    for seed in range(25):
        given = case(seed, anti_tip=True, caster_track=0.35)
        best = largest_factor_with_a_hold(given, braked_contacts(given["footprint"], 0.6))
        assert stability(given).factor <= best * (1 + 4e-4), seed


def test_wheels_that_turn_freely_between_chocks() -> None:
    """Linear programming with pushes through the axle never holds less, and in a pull without side force the same."""
    for seed in range(25):
        given = case(seed, anti_tip=seed % 2 == 0)
        free = stability(given, "chocks")
        expected = largest_factor_with_a_hold(given, chocked_contacts(given["footprint"]))
        assert free.factor <= expected * (1 + 1e-6), seed
        given["pulls"][:, 1] = 0
        expected = largest_factor_with_a_hold(given, chocked_contacts(given["footprint"]))
        assert stability(given, "chocks").factor == pytest.approx(expected, rel=1e-6), seed


def test_brakes_and_chocks_hold_no_less_than_the_weaker_and_no_more_than_both_together() -> None:
    """At least the smaller of brakes and chocks alone; at most what all contact forces together could hold."""
    for seed in range(25):
        given = case(seed)
        brakes, chocks = stability(given).factor, stability(given, "chocks").factor
        both = stability(given, "brakes and chocks").factor
        contacts = braked_contacts(given["footprint"], 0.6) + chocked_contacts(given["footprint"])
        assert both >= min(brakes, chocks) * (1 - 1e-9), seed
        assert both <= largest_factor_with_a_hold(given, contacts) * (1 + 1e-6), seed


@pytest.mark.parametrize("blocking", BLOCKINGS)
def test_factor_falls_as_the_pulls_grow(blocking: Blocking) -> None:
    """Twice the pulls have half the factor, in every mode."""
    for seed in range(20):
        given = case(seed, anti_tip=True)
        once = stability(given, blocking)
        twice = stability(given | {"pulls": 2 * given["pulls"]}, blocking)
        for name in FACTORS:
            assert 2 * getattr(twice, name) == pytest.approx(getattr(once, name), rel=1e-9), name


@pytest.mark.parametrize("blocking", BLOCKINGS)
def test_heavier_in_proportion_changes_nothing(blocking: Blocking) -> None:
    """Weight and pulls times 3, or all lengths times 3, leave every factor."""
    given = case(3, anti_tip=True, caster_track=0.3)
    foot = given["footprint"]
    heavy = given | {"weight": 3 * given["weight"], "pulls": 3 * given["pulls"]}
    large = given | {
        "centre_of_mass": 3 * given["centre_of_mass"],
        "hand_positions": 3 * given["hand_positions"],
        "footprint": Footprint(
            wheelbase=3 * foot.wheelbase,
            track=3 * foot.track,
            axle_height=3 * foot.axle_height,
            anti_tip=3 * foot.anti_tip,
            caster_track=0.9,
        ),
    }
    for name in FACTORS:
        expected = pytest.approx(getattr(stability(given, blocking), name))
        assert getattr(stability(heavy, blocking), name) == expected, name
        assert getattr(stability(large, blocking, chock_height=3 * HEIGHT), name) == expected, name


@pytest.mark.parametrize("blocking", BLOCKINGS)
@given(seed=st.integers(0, 10_000), anti_tip=st.booleans())
@settings(max_examples=25, deadline=None)
def test_mirrored_pull_swaps_left_and_right(blocking: Blocking, seed: int, anti_tip: bool) -> None:
    """A mirror in the middle plane swaps the side the chair tips to, and nothing else."""
    given = case(seed, anti_tip=anti_tip)
    mirror = np.array([1, -1, 1])
    mirrored = given | {name: given[name] * mirror for name in ("centre_of_mass", "hand_positions", "pulls")}
    one, other = stability(given, blocking), stability(mirrored, blocking)
    swapped = {"tips_left": "tips_right", "tips_right": "tips_left"}
    for name in FACTORS:
        assert getattr(one, name) == pytest.approx(getattr(other, swapped.get(name, name)), rel=1e-5), name
    assert one.margin == pytest.approx(float(other.margin))


def test_turned_about_the_vertical_a_symmetric_load_tips_left_as_it_tips_right() -> None:
    """A sideways pull at the middle, from the left or from the right, and a pull split over two hands are the same."""
    given = case(5) | {"centre_of_mass": np.array([0.12, 0, 0.6])}
    left = stability(given | {"hand_positions": [[0, 0, 1.0]], "pulls": [[0, 80, 0]]})
    right = stability(given | {"hand_positions": [[0, 0, 1.0]], "pulls": [[0, -80, 0]]})
    split = stability(given | {"hand_positions": [[0, 0, 1.0]] * 2, "pulls": [[0, 40, 0]] * 2})
    assert left.tips_left == pytest.approx(float(right.tips_right))
    assert split.tips_left == pytest.approx(float(left.tips_left))
    assert np.isinf(left.tips_right)
    assert left.tips_left == pytest.approx(
        # Triangle of contacts: half width at x is track / 2 (1 - x / wheelbase); x stays at 0.12.
        given["weight"] * given["footprint"].track / 2 * (1 - 0.12 / given["footprint"].wheelbase) / (80 * 1.0)
    )


def test_one_sided_pull_turns_a_braked_chair_before_it_slides() -> None:
    """The wheel under the pull gives first: half the pull and the couple 2 y F / track come on it together.

    Pull F forward at y = 0.35, track 0.70: that wheel gets F / 2 + F 0.35 / 0.70 = F, the other nothing.
    """
    given = case(0) | {
        "weight": 900.0,
        "centre_of_mass": np.array([0.10, 0, 0.6]),
        "hand_positions": np.array([[0.0, 0.35, 0.0]]),
        "pulls": np.array([[100.0, 0, 0]]),
        "footprint": Footprint(wheelbase=0.40, track=0.70, axle_height=0.30, anti_tip=None),
    }
    held = stability(given)
    on_each_rear_wheel = 900 * (0.40 - 0.10) / 0.40 / 2
    assert held.yaws == pytest.approx(0.6 * on_each_rear_wheel / 100)
    assert held.slides == pytest.approx(0.6 * 2 * on_each_rear_wheel / 100)
    assert held.governing_mode == "turns on the spot"


def test_upward_pull_takes_the_weight_off() -> None:
    """A pull up through the centre of mass empties all edges at once, at the weight."""
    given = case(1)
    C = given["centre_of_mass"]
    lifted = stability(given | {"hand_positions": C[None, :], "pulls": np.array([[0, 0, given["weight"] / 4]])})
    for name in ("tips_backward", "tips_forward", "tips_left", "tips_right"):
        assert getattr(lifted, name) == pytest.approx(4), name


def test_band_fixed_to_the_chair_never_moves_it() -> None:
    """No outside pull: every factor is infinite, even for a free chair, and the governing mode is none."""
    still = stability(case(2) | {"pulls": np.zeros((2, 3))}, "free")
    assert np.isinf(still.factor)
    assert still.governing_mode == "none"
    assert still.holds
    assert chair_notices(still) == ()


def test_chair_that_stands_outside_its_wheels_has_no_factor_left() -> None:
    """A centre of mass behind the axle with no anti-tip wheel has factor 0, not a negative one."""
    given = case(4)
    given["centre_of_mass"][0] = -0.02
    assert stability(given).tips_backward == 0
    assert stability(given).margin < 0


def test_many_cases_at_once_are_the_cases_one_by_one() -> None:
    """A leading shape of cases and frames, also where only the pulls have it."""
    given = case(6)
    pulls = np.random.default_rng(0).normal(0, 40, (3, 4, 2, 3))
    together = stability(given | {"pulls": pulls}, "brakes and chocks")
    assert together.factor.shape == (3, 4)
    for i, j in np.ndindex(3, 4):
        alone = stability(given | {"pulls": pulls[i, j]}, "brakes and chocks")
        assert together.factor[i, j] == pytest.approx(float(alone.factor))
        assert together.governing_mode[i, j] == alone.governing_mode
        assert together.zero_moment_point[i, j] == pytest.approx(alone.zero_moment_point)
    heavier = stability(given | {"weight": np.array([600.0, 900.0])})
    assert heavier.factor.shape == (2,)


def test_notices_name_the_mode_and_the_remedy() -> None:
    """A stop names how the chair gives and at what multiple; the casters that lift are told apart."""
    given = case(0, anti_tip=True) | {
        "weight": 880.0,
        "centre_of_mass": np.array([0.12, 0, 0.6]),
        "hand_positions": np.array([[0.3, 0, 1.0]]),
        "pulls": np.array([[-140.0, 0, 0]]),
    }
    stop, note = chair_notices(stability(given, "free"), about="press")
    assert (stop.id, stop.level, stop.about) == ("chair-does-not-hold", "stop", "press")
    assert "not blocked, rolls at 0.1 times" in stop.what
    assert "chocks" in stop.do
    assert (note.id, note.level) == ("casters-lift", "note")
    light = given | {"pulls": given["pulls"] / 4}
    assert stability(light, "chocks").factor >= ASKED_FACTOR.value
    assert chair_notices(stability(light, "chocks")) == ()


@pytest.mark.parametrize(("degrees", "grows"), [(15, 0.081), (18, 0.097), (20, 0.107)])
def test_camber_widens_the_track(degrees: float, grows: float) -> None:
    """Half the track grows by r sin(camber), wheels of 0.3125 m radius; three printed digits."""
    wide = track_at_floor(hub_width=0.5, wheel_diameter=0.625, camber=math.radians(degrees))
    assert (wide - 0.5) / 2 == pytest.approx(grows, abs=0.0005)


def test_chock_hold_is_the_slope_of_the_push_through_the_axle() -> None:
    """A chock of R (1 - cos 45) touches the wheel 45 degrees up: hold 1; at the axle nothing climbs it."""
    assert chock_hold(axle_height=0.3, chock_height=0.3 * (1 - math.cos(math.pi / 4))) == pytest.approx(1)
    assert chock_hold(axle_height=0.3, chock_height=0.3) == math.inf
    assert np.isinf(stability(case(1), "chocks", chock_height=0.4).climbs)


def test_what_cannot_be_is_refused() -> None:
    """No weight, no chock height, no such blocking, no wheelbase; the sound case goes through."""
    given = case(1)
    assert stability(given, "chocks").factor > 0
    with pytest.raises(OutOfRangeError, match="weight of athlete and chair is 0"):
        stability(given | {"weight": 0.0})
    with pytest.raises(OutOfRangeError, match="measure the chocks"):
        stability(given, "chocks", chock_height=None)
    with pytest.raises(OutOfRangeError, match="above 0 m"):
        stability(given, "chocks", chock_height=0.0)
    with pytest.raises(UnknownNameError, match="did you mean 'brakes'"):
        stability(given, "brake")  # type: ignore[arg-type]
    with pytest.raises(OutOfRangeError, match="wheelbase is 0"):
        Footprint(wheelbase=0, track=0.6, axle_height=0.3, anti_tip=None)
    with pytest.raises(OutOfRangeError, match="leave it out"):
        Footprint(wheelbase=0.4, track=0.6, axle_height=0.3, anti_tip=-0.2)


def test_footprint_of_a_chair_with_camber() -> None:
    """Track 0.46 + 0.63 sin 18, axle at 0.315 cos 18."""
    chair = Chair(
        name="court chair",
        kind="court",
        brakes=False,
        anti_tip=0.2,
        mass=11.5,
        seat_height=0.5,
        backrest_height=0.28,
        strap="waist",
        hip_to_axle=0.06,
        caster_share=0.28,
        footplate_reach=0.62,
        wheel_diameter=0.63,
        camber=math.radians(18),
        hub_width=0.46,
        wheelbase=0.42,
        overall_width=0.84,
        overall_length=0.96,
    )
    foot = footprint_of(chair)
    assert foot.track == pytest.approx(0.46 + 0.63 * math.sin(math.pi / 10))
    assert foot.axle_height == pytest.approx(0.63 / 2 * math.cos(math.pi / 10))
    assert (foot.anti_tip, foot.caster_track, footprint_of(chair, caster_track=0.3).caster_track) == (0.2, 0.0, 0.3)
