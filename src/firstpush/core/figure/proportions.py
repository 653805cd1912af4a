"""How wide the drawn body is: our choices, as fractions of stature; lengths come from the athlete's own sizes."""

from __future__ import annotations

from dataclasses import dataclass

from firstpush.core.figure.palette import Look
from firstpush.core.people.body_size import BodySize


@dataclass(frozen=True, kw_only=True)
class Proportions:
    """Factors on the profiles below, for one person.

    `unit` is the stature [m]; `trunk`, `arm` and `leg` thicken; `waist`, `hips`, `chest` shape the trunk.
    """

    unit: float
    trunk: float
    arm: float
    leg: float
    neck: float
    waist: float
    hips: float
    chest: float
    bust: float


_BUILD = {
    #          arm,  leg,  neck, waist, hips, chest, bust
    "female": (0.90, 0.98, 0.86, 0.91, 1.03, 0.93, 0.030),
    "between": (0.97, 0.98, 0.94, 0.96, 1.0, 0.97, 0.024),
    "male": (1.04, 0.98, 1.04, 1.02, 0.98, 1.02, 0.020),
}

_USUAL_TRUNK_KG_PER_M2 = 9.6
"""A trunk of 43 % of 22.3 kg/m2: what a figure of medium girth stands for."""


def proportions(body: BodySize, look: Look) -> Proportions:
    """Return the proportions of `body`: girth from the mass of the trunk, gently, shape from the build."""
    stature = body.stature.value
    heavy = body.segment_mass["trunk", None] / (_USUAL_TRUNK_KG_PER_M2 * stature**2)
    girth = heavy**0.38
    arm, leg, neck, waist, hips, chest, bust = _BUILD[look.build]
    return Proportions(
        unit=stature,
        trunk=girth,
        arm=arm * girth**0.5,
        leg=leg * girth**0.6,
        neck=neck * girth**0.4,
        waist=waist * girth,
        hips=hips * girth**0.7,
        chest=chest * girth**0.5,
        bust=bust,
    )


# At both ends of a bone the offsets cancel: the drawn joint is the joint of the model.
# position along the bone, radius, offset forward (biceps, +X), offset backward (triceps), offset outward (deltoid)
UPPER_ARM = (
    (0.00, 0.0305, 0.0000, 0.0000, 0.0000),
    (0.14, 0.0305, 0.0020, 0.0020, 0.0050),
    (0.30, 0.0275, 0.0035, 0.0035, 0.0045),
    (0.48, 0.0240, 0.0055, 0.0045, 0.0010),
    (0.66, 0.0228, 0.0050, 0.0035, 0.0000),
    (0.86, 0.0208, 0.0015, 0.0020, 0.0000),
    (1.00, 0.0208, 0.0000, 0.0000, 0.0000),
)
# position, radius, offset to the thumb side, offset to the little-finger side
FOREARM = (
    (0.00, 0.0208, 0.0015, 0.0015),
    (0.14, 0.0212, 0.0060, 0.0040),
    (0.28, 0.0205, 0.0065, 0.0045),
    (0.50, 0.0172, 0.0040, 0.0040),
    (0.72, 0.0132, 0.0036, 0.0036),
    (0.90, 0.0112, 0.0046, 0.0046),
    (1.00, 0.0110, 0.0052, 0.0052),
)
# position, radius, offset upward, offset downward
THIGH = (
    (0.00, 0.0510, 0.0030, 0.0030),
    (0.25, 0.0480, 0.0010, 0.0040),
    (0.55, 0.0420, 0.0010, 0.0020),
    (0.80, 0.0345, 0.0010, 0.0010),
    (1.00, 0.0315, 0.0000, 0.0000),
)
# position, radius, offset forward (shin), offset backward (calf)
SHANK = (
    (0.00, 0.0305, 0.0010, 0.0010),
    (0.12, 0.0285, 0.0020, 0.0030),
    (0.30, 0.0265, 0.0000, 0.0110),
    (0.50, 0.0235, 0.0000, 0.0085),
    (0.75, 0.0190, 0.0000, 0.0020),
    (1.00, 0.0185, 0.0000, 0.0000),
)
# share of shoulder height, half width, half depth, forward offset of the middle
TRUNK = (
    (-0.10, 0.0900, 0.0600, 0.004),
    (0.12, 0.0960, 0.0640, 0.004),
    (0.36, 0.0850, 0.0590, 0.006),
    (0.60, 0.0880, 0.0620, 0.006),
    (0.80, 0.0960, 0.0640, 0.006),
    (0.94, 0.0900, 0.0540, 0.000),
    (1.05, 0.0620, 0.0380, -0.004),
)
