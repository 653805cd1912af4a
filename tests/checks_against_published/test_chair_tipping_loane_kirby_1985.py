"""Rear tipping angles of Loane and Kirby 1985, Arch Phys Med Rehabil 66:174-176 (abstract read, not the paper).

Wheels unlocked, 10 persons: 28.6 degrees in a conventional chair; 21.7 down to 9.4 in a lightweight one by axle
position. Tipping angle on a tilted platform, acceleration on the level and pull at the centre of mass are the same
free body:

     tilted by t                    accelerated forward by a         pulled back with F = m a at the height h of C
         C o                              C o <-- m a                     C o <-- F
        /  | m g                            | m g                           | m g
       A   v     tan t = x / h              A    m a h = m g x              A    F h = m g x

Not in the abstract: the three accelerations and x / h, which are derived from its angles (g = 9.81, digits as printed).
"""

import numpy as np
import pytest

from firstpush.core.setup.chair_stability import ChairStability, Footprint, chair_stability

CASES = [(28.6, 0.545, 5.35), (21.7, 0.398, 3.90), (9.4, 0.166, 1.62)]
MASS, HEIGHT = 82.0, 0.62


def pulled_at_the_centre(*, down: float, back: float, ahead: float) -> ChairStability:
    """Return the stability of a chair pulled back at its centre of mass."""
    centre = [ahead, 0.0, HEIGHT]
    return chair_stability(
        weight=down,
        centre_of_mass=centre,
        hand_positions=[centre],
        pulls=[[-back, 0.0, 0.0]],
        footprint=Footprint(wheelbase=0.45, track=0.60, axle_height=0.30, anti_tip=None),
        blocking="brakes",
        friction=0.8,
        rolling=0.01,
    )


@pytest.mark.parametrize(("angle", "ratio", "acceleration"), CASES)
def test_acceleration_at_which_it_tips(angle: float, ratio: float, acceleration: float) -> None:
    """The inertial force m a at the centre of mass tips the chair at the printed acceleration, factor 1."""
    level = pulled_at_the_centre(down=MASS * 9.81, back=MASS * 1.0, ahead=ratio * HEIGHT)
    assert round(float(level.tips_backward), 2) == pytest.approx(acceleration, abs=0.011), "m/s2; x / h has 3 digits"
    exact = pulled_at_the_centre(down=MASS * 9.81, back=MASS * 1.0, ahead=np.tan(np.radians(angle)) * HEIGHT)
    assert round(float(exact.tips_backward), 2) == acceleration


@pytest.mark.parametrize(("angle", "ratio", "acceleration"), CASES)
def test_tilted_platform_is_the_same_free_body(angle: float, ratio: float, acceleration: float) -> None:
    """Weight turned by the tipping angle puts the reaction under the axle, and no other angle does."""
    ahead = np.tan(np.radians(angle)) * HEIGHT
    assert ahead / HEIGHT == pytest.approx(ratio, abs=0.0005)
    for tilt, expected in ((angle, 1.0), (angle / 2, np.tan(np.radians(angle)) / np.tan(np.radians(angle / 2)))):
        t = np.radians(tilt)
        tilted = pulled_at_the_centre(down=MASS * 9.81 * np.cos(t), back=MASS * 9.81 * np.sin(t), ahead=ahead)
        assert tilted.tips_backward == pytest.approx(expected)
    assert 9.81 * ahead / HEIGHT == pytest.approx(acceleration, abs=0.005)
