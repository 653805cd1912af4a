"""Pull over the pull at double length: means of Page 2000 and Simoneau 2001, from memory.

At 200 % the bands of the table lay between 1.51 and 1.66; 10 % is therefore what a single shape can promise.
"""

import pytest

from firstpush.core.kit.bands import fit_band
from firstpush.core.kit.kit import Band, Pull

SHAPE = {0.25: 0.38, 0.50: 0.64, 0.75: 0.84, 1.0: 1.0, 1.25: 1.14, 1.50: 1.29, 1.75: 1.42, 2.0: 1.57, 2.5: 1.88}
AT_DOUBLE_LENGTH_N = 18.0


def band(elongations: list[float]) -> Band:
    """Return a band of the published shape, pulled at `elongations`."""
    return Band(
        name="flat",
        material="latex-free",
        length=2.0,
        count=1,
        limit_elongation=2.5,
        pulls=tuple(Pull(elongation=e, force=AT_DOUBLE_LENGTH_N * SHAPE[e]) for e in elongations),
    )


@pytest.mark.parametrize("elongation", [e for e in SHAPE if e >= 0.5])
def test_one_pull_at_double_length_tells_the_rest(elongation: float) -> None:
    """One point at 100 % predicts the pull from 50 to 250 % within 10 %."""
    predicted = float(fit_band(band([1.0])).tension(1.0 + elongation))
    assert predicted == pytest.approx(AT_DOUBLE_LENGTH_N * SHAPE[elongation], rel=0.10)


@pytest.mark.parametrize("left_out", list(SHAPE)[1:-1])
def test_a_point_left_out_is_met_by_the_others(left_out: float) -> None:
    """Each point between the ends is predicted from all others within 2 % of the largest pull.

    The shape is given to two decimals, which alone is 0.3 % of the largest; an earlier study of the law found 1.3 %.
    The ends are left out here: without them the law extrapolates, see below.
    """
    predicted = float(fit_band(band([e for e in SHAPE if e != left_out])).tension(1.0 + left_out))
    largest = AT_DOUBLE_LENGTH_N * max(SHAPE.values())
    assert abs(predicted - AT_DOUBLE_LENGTH_N * SHAPE[left_out]) < 0.02 * largest


def test_far_point_is_met_from_the_near_ones() -> None:
    """250 % predicted from 150 % and less is within 5 % and not above (an earlier study of the law: 4 % too low)."""
    near = fit_band(band([e for e in SHAPE if e <= 1.5]))
    ratio = float(near.tension(3.5)) / (AT_DOUBLE_LENGTH_N * SHAPE[2.5])
    assert 0.95 < ratio < 1.0


def test_exponent_of_the_shape_is_that_of_rubber() -> None:
    """A power law through the published points has an exponent between 0.64 and 0.71 (derived from the same means)."""
    exponent = fit_band(band(list(SHAPE))).exponent
    assert exponent is not None
    assert 0.64 <= exponent <= 0.71
