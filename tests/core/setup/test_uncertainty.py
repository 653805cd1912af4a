"""Ranges of predicted loads: they hold the value, follow their causes, agree with first order, pair where compared."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from setup_cases import BANDED, EVEN, best, case_of, only, searched

from firstpush.core.body.moments import arm_moments
from firstpush.core.body.rotations import Array
from firstpush.core.people.athlete import SIDES
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.core.setup.uncertainty import Draws, draws, sampled, step_between

FEW = 4000


def of_setup(setup: ExerciseSetup, drawn: Draws, *, band: BandSetup | None = None) -> Array:
    """Return the largest load of every sample."""
    assert setup.load is not None and setup.limiting is not None
    found: Array = sampled(
        setup.exercise,
        setup.body,
        setup.chair,
        setup.movement,
        side=setup.side,
        attach=setup.attach,
        band=setup.band if band is None else band,
        ball_mass=setup.ball.mass if setup.ball else 0.0,
        load=setup.load,
        limiting=setup.limiting,
        drawn=drawn,
    ).peak
    return found


def still(samples: int) -> dict[str, Any]:
    """Return draws that change nothing; an angle error of exactly 0 has no axis, so it is a hair above."""
    return {
        "arm": {side: np.full((samples, 4), 1e-9) for side in SIDES},
        "trunk": np.zeros((samples, 3)),
        "shoulder": {side: np.zeros((samples, 3)) for side in SIDES},
        "upper": np.zeros(samples),
        "fore": np.zeros(samples),
        "place": np.zeros((samples, 3)),
        "mark": np.zeros(samples),
        "band": np.zeros(samples),
    }


def one_at_a_time(step: float) -> Draws:
    """Return draws that move each cause alone, down in one sample and up in the next, by `step` standard deviations."""
    places: list[tuple[str, Any, int]] = []
    for name in ("arm", "shoulder"):
        places += [(name, side, axis) for side in SIDES for axis in range(4 if name == "arm" else 3)]
    places += [(name, None, axis) for name in ("trunk", "place") for axis in range(3)]
    places += [(name, None, -1) for name in ("upper", "fore", "mark", "band")]
    drawn = still(2 * len(places))
    for index, (name, side, axis) in enumerate(places):
        array = drawn[name] if side is None else drawn[name][side]
        for row, sign in ((2 * index, -1.0), (2 * index + 1, 1.0)):
            if axis < 0:
                array[row] = sign * step
            else:
                array[row, axis] = sign * step
    return Draws(**drawn)


@pytest.mark.parametrize("name", [*BANDED, "ball_circles"])
@pytest.mark.parametrize("side", SIDES)
def test_the_range_holds_the_value(name: str, side: Any) -> None:
    """The value lies inside its range, and nothing is given with more digits than the range allows."""
    setup = best(name, side, ranges=True)
    for estimate in filter(None, (setup.peak, setup.pull)):
        assert estimate.low <= estimate.value <= estimate.high
        assert estimate.high > estimate.low
        assert (estimate.digits == 0) == (estimate.high - estimate.low >= 1)


def test_no_error_gives_the_value_itself() -> None:
    """With every draw at 0 each sample is the predicted load."""
    for name in BANDED:
        setup = best(name)
        assert setup.peak is not None
        np.testing.assert_allclose(of_setup(setup, Draws(**still(3))), setup.peak.value, rtol=1e-6)


@pytest.mark.parametrize("name", ["external_rotation_90", "anti_rotation_press", "seated_row"])
def test_spread_agrees_with_first_order(name: str) -> None:
    """Monte Carlo against sums of squares of finite differences, one cause at a time: within 10 %.

    Central differences over half a standard deviation; what is left is the curvature.
    """
    setup = best(name)
    step = 0.5
    moved = of_setup(setup, one_at_a_time(step)).reshape(-1, 2)
    first_order = float(np.sqrt(np.sum(((moved[:, 1] - moved[:, 0]) / (2 * step)) ** 2)))
    drawn = of_setup(setup, draws(np.random.default_rng(1), samples=FEW))
    assert float(drawn.std()) == pytest.approx(first_order, rel=0.10)


def test_the_band_alone_spreads_the_load_by_its_own_share() -> None:
    """Only the pull is uncertain by 8 %: the part of the load that the band gives spreads by 8 %, by hand.

    Rotation at shoulder height: the arm's own weight adds to or takes from it, and does not spread.
    """
    setup = best("external_rotation_90")
    assert setup.band is not None and setup.load is not None and setup.band.law.relative_spread is not None
    causes = still(FEW)
    causes["band"] = np.random.default_rng(3).standard_normal(FEW)
    loads = of_setup(setup, Draws(**causes))
    frame = int(np.argmax(setup.load))
    resting = arm_moments(setup.body, setup.movement.skeleton, side="right").shoulder.external_rotation
    share = float(setup.load[frame] - resting[frame])
    assert float(loads.std()) == pytest.approx(setup.band.law.relative_spread * share, rel=0.06)


def test_a_less_known_band_gives_a_wider_range() -> None:
    """20 % instead of 8 % on the pull widens the range of the load."""
    setup = best("external_rotation_90")
    assert setup.band is not None
    drawn = draws(np.random.default_rng(2), samples=FEW)
    spreads = [
        float(of_setup(setup, drawn, band=replace(setup.band, law=replace(setup.band.law, relative_spread=s))).std())
        for s in (0.0, 0.08, 0.20)
    ]
    assert spreads[0] < spreads[1] < spreads[2]
    assert spreads[2] > 1.4 * spreads[1]


def test_a_short_mark_is_less_sure_than_a_long_one() -> None:
    """1.5 cm on a mark of 0.3 m is 5 %, on one of 1.2 m it is 1.25 %: the load of the short one spreads more."""
    setup = best("external_rotation_90", case=case_of(EVEN))
    assert setup.band is not None
    causes = still(FEW)
    causes["mark"] = np.random.default_rng(4).standard_normal(FEW)
    relative = []
    for factor in (0.5, 1.0, 2.0):
        band = setup.band
        anchor = np.asarray(band.anchor)
        near = setup.movement.skeleton.arms["right"].hand.mean(axis=0)
        # The same stretch at half and twice the length: anchor moved along the line.
        other = replace(
            band,
            slack_length=band.slack_length * factor,
            ends={side: near + factor * (end - near) for side, end in band.ends.items()},
        )
        assert np.all(np.isfinite(anchor))
        loads = of_setup(setup, Draws(**causes), band=other)
        relative.append(float(loads.std() / loads.mean()))
    assert relative[0] > relative[1] > relative[2]


def test_the_same_seed_gives_the_same_range_and_another_nearly_the_same() -> None:
    """Digits follow from the seed; another seed moves the ends of 10,000 samples by little."""
    one = searched("seated_row", rng=np.random.default_rng(5), best=1, ranges=True).best
    two = searched("seated_row", rng=np.random.default_rng(5), best=1, ranges=True).best
    other = searched("seated_row", rng=np.random.default_rng(6), best=1, ranges=True).best
    assert one.peak == two.peak and one.pull == two.pull
    assert other.peak.value == one.peak.value
    assert other.peak.low == pytest.approx(one.peak.low, rel=0.03)
    assert other.peak.high == pytest.approx(one.peak.high, rel=0.03)


def test_a_step_is_surer_than_the_loads_it_joins() -> None:
    """One band, one mark, the chair a little farther: "+9 % (7-11)", far narrower than two loads each known to 20 %.

    Unpaired, the ratio of two loads of the same spread spreads by the root of two more than either.
    """
    case = case_of(EVEN, only("flat 24"))
    before = best("external_rotation_90", case=case, target_nm=6.0)
    after = best("external_rotation_90", case=case, target_nm=6.55, like=before.band)
    assert before.band is not None and after.band is not None
    assert (before.band.band, before.band.slack_length) == (after.band.band, after.band.slack_length)
    step = step_between(before, after, rng=np.random.default_rng(7))
    assert before.peak is not None and after.peak is not None
    assert step.unit == "%"
    assert step.value == pytest.approx(100 * (after.peak.value / before.peak.value - 1))
    assert step.low <= step.value <= step.high
    one = of_setup(before, draws(np.random.default_rng(8)))
    two = of_setup(after, draws(np.random.default_rng(9)))
    unpaired = np.quantile(100 * (two / one - 1), [0.05, 0.95])
    assert step.high - step.low < 0.25 * (unpaired[1] - unpaired[0])
    assert step.low > 0


def test_no_step_is_no_step() -> None:
    """A set-up against itself is +0 % (0-0)."""
    setup = best("external_rotation_90")
    step = step_between(setup, setup, rng=np.random.default_rng(1))
    assert (step.value, step.low, step.high) == (0.0, 0.0, 0.0)
