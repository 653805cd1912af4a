"""Drillis and Contini 1966 (as drawn in Winter, figure 4.1; from memory): heights and lengths close on one another.

Tolerance 0.003 of stature, the size of the drawing's own gaps.
"""

import pytest

from firstpush.core.people.athlete import Athlete
from firstpush.core.people.body_size import body_size
from firstpush.core.tables import read_table

TOLERANCE = 0.003
ELBOW_HEIGHT, WRIST_HEIGHT, FINGERTIP_HEIGHT = 0.630, 0.485, 0.377
"""Printed in the figure and not needed by the project."""


def share(row: str) -> float:
    """Return one shipped fraction of stature."""
    return read_table("drillis_contini_1966").number(row, "fraction_of_stature")


@pytest.mark.parametrize(
    ("upper", "segment", "lower"),
    [
        (lambda: share("shoulder height"), "upper arm", lambda: ELBOW_HEIGHT),
        (lambda: ELBOW_HEIGHT, "forearm", lambda: WRIST_HEIGHT),
        (lambda: WRIST_HEIGHT, "hand", lambda: FINGERTIP_HEIGHT),
        (lambda: share("hip height"), "thigh", lambda: share("knee height")),
        (lambda: share("knee height"), "shank", lambda: share("ankle height")),
    ],
)
def test_a_height_less_a_segment_is_the_next_height(upper, segment: str, lower) -> None:  # type: ignore[no-untyped-def]
    """.818 - .186 = .632 (printed .630), .630 - .146 = .484 (.485), .485 - .108 = .377, and so down the leg."""
    assert upper() - share(segment) == pytest.approx(lower(), abs=TOLERANCE)


def test_hips_are_half_as_wide_as_printed() -> None:
    """The figure prints the whole width of the hips, 0.191."""
    assert 2 * share("hip half width") == pytest.approx(0.191, abs=0.0005)


def test_lengths_not_measured_come_from_the_table() -> None:
    """An athlete of 1.80 m with nothing measured gets 0.186 and 0.146 of it, marked as not measured."""
    body = body_size(Athlete(name="reference person", mass=80.0, stature=1.80, chairs=()))
    assert body.upper_arm.value == pytest.approx(0.186 * 1.80, abs=1e-12)
    assert body.forearm.value == pytest.approx(0.146 * 1.80, abs=1e-12)
    assert body.upper_arm.needs_a_word
    assert body.hand.value < 0.108 * 1.80 / 2, "the project's hand ends at the knuckle, the table's at the fingertip"
