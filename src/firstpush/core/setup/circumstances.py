"""What stays the same for every exercise of one athlete in one venue: body, chair, band laws, blocking, floor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from firstpush.core.body.legs import legs
from firstpush.core.body.moments import Segment, arm_segments, upper_body_segments
from firstpush.core.body.movement import movement
from firstpush.core.body.posture import Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.courses import AthleteSpeed, athlete_speed
from firstpush.core.exercises.definition import ArmPose, DoseOption, Exercise, HandTarget, Needs, Pose
from firstpush.core.kit.bands import BandLaw, fit_band
from firstpush.core.kit.kit import Ball, Band, Kit
from firstpush.core.kit.venue import Venue
from firstpush.core.people.age import may_be_junior
from firstpush.core.people.athlete import SIDES, Athlete, Chair, Side
from firstpush.core.people.body_size import HIP_CENTRE_ABOVE_SEAT, BodySize, body_size
from firstpush.core.setup.centre_of_mass import CentreOfMass, centre_of_mass, chair_centre, set_by_caster_share
from firstpush.core.setup.chair_loads import Footprint
from firstpush.core.setup.chair_stability import Blocking, footprint_of
from firstpush.core.setup.floor_grip import FloorGrip, floor_grip
from firstpush.core.setup.targets import AgreedLoad, Today
from firstpush.core.setup.trunk_hold import UpperBody

CHOCKS_FOR_BOTH_WHEELS = 4
"""Before and behind each rear wheel."""

_SITTING = Exercise(
    id="sitting",
    title="Sitting still",
    part="mobility",
    aims=(),
    loads="none",
    axes="humerus",
    sides="together",
    summary="Hands on the thighs.",
    cue="",
    poses=(
        Pose(
            name="rest",
            working=ArmPose(target=HandTarget(at="thigh", elbow_points=("out", "back"))),
            other=ArmPose(target=HandTarget(at="thigh", elbow_points=("out", "back"))),
        ),
    ),
    doses=(DoseOption(name="rest", sets=1, seconds=1.0),),
    needs=Needs(),
)
"""The posture that the athlete holds without help: demands on trunk and chair are counted from it."""


@dataclass(frozen=True, kw_only=True)
class Circumstances:
    """One athlete, one chair, one cupboard, one venue.

    Parameters
    ----------
    bands : tuple of (Band, BandLaw)
        Those the athlete may use: latex is left out where it must be.
    latex_left_out : tuple of str
        Names of bands and balls left out for latex.
    load_share : float
        Share of the usual load that is wanted today, for example before a match [1].
    on : date or None
        Day of the session, from which the age is counted.
    agreed : mapping of (exercise id, side) to AgreedLoad
        How exercises are done from now on; an exercise of both arms stands under the side its set-up was made for.
    speed : AthleteSpeed or None
        As measured; None where nothing was: court drills are then timed by guesses with a wide range.
    """

    athlete: Athlete
    body: BodySize
    chair: Chair
    kit: Kit
    venue: Venue
    bands: tuple[tuple[Band, BandLaw], ...]
    balls: tuple[Ball, ...]
    latex_left_out: tuple[str, ...]
    blocking: Blocking
    floor: FloorGrip
    footprint: Footprint
    leg_segments: tuple[Segment, ...]
    sitting: Skeleton
    sitting_centre: CentreOfMass
    load_share: float = 1.0
    on: date | None = None
    agreed: Mapping[tuple[str, Side], AgreedLoad] = field(default_factory=dict)
    speed: AthleteSpeed | None = None

    @property
    def court_speed(self) -> AthleteSpeed:
        """How fast the athlete is on court: as measured, or a wide guess by sport and function."""
        return self.speed if self.speed is not None else athlete_speed(athlete=self.athlete)

    @property
    def today(self) -> Today:
        """What makes loads lighter today."""
        return Today(share=self.load_share, junior=self.junior)

    @property
    def junior(self) -> bool:
        """Whether the athlete is, or may be, under 18."""
        return may_be_junior(self.athlete, on=self.on)

    @property
    def backrest_above_hips(self) -> float:
        """Top of the backrest above the hip centre [m]."""
        return self.chair.backrest_height - HIP_CENTRE_ABOVE_SEAT.value


def circumstances(athlete: Athlete, kit: Kit, venue: Venue, *, on: date | None = None) -> Circumstances:
    """Return what stays the same for every exercise of `athlete` with this kit in this venue, on a day."""
    body, chair = body_size(athlete), athlete.chair
    avoid = athlete.health.must_avoid_latex
    allowed = [band for band in kit.bands if not (avoid and band.material == "latex")]
    balls = tuple(ball for ball in kit.balls if not (avoid and ball.material == "latex"))
    out = [band.name for band in kit.bands if band not in allowed]
    out += [ball.name for ball in kit.balls if ball not in balls]
    sitting = movement(_SITTING, body, chair, side="right").skeleton
    lower = _leg_segments(body, chair)
    resting = _centre(body, chair, sitting, lower, None)
    return Circumstances(
        athlete=athlete,
        body=body,
        chair=chair,
        kit=kit,
        venue=venue,
        bands=tuple((band, fit_band(band)) for band in allowed),
        balls=balls,
        latex_left_out=tuple(out),
        blocking=_blocking(chair, kit),
        floor=floor_grip(venue.surface),
        footprint=footprint_of(chair),
        leg_segments=lower,
        sitting=sitting,
        sitting_centre=replace(resting, position=resting.position[0]),
        on=on,
    )


def whole_centre(case: Circumstances, bones: Skeleton, ball: tuple[Ball, Side] | None) -> CentreOfMass:
    """Return the centre of mass of athlete, chair and ball over the frames of `bones`, scale readings used."""
    moving = _centre(case.body, case.chair, bones, case.leg_segments, ball)
    if case.chair.caster_share is None:
        return moving
    return set_by_caster_share(
        moving, resting=case.sitting_centre, caster_share=case.chair.caster_share, wheelbase=case.chair.wheelbase
    )


def upper_body(body: BodySize, bones: Skeleton, ball: tuple[Ball, Side] | None = None) -> UpperBody:
    """Return head, trunk and arms (with a ball in one hand) as the trunk check wants them."""
    head, trunk, *_ = upper_body_segments(body, bones)
    masses, centres = [], []
    for side in SIDES:
        parts = [(part.mass, part.com) for part in arm_segments(body, bones.arms[side], side).values()]
        if ball is not None and ball[1] == side:
            parts.append((ball[0].mass, bones.arms[side].hand))
        mass = sum(kg for kg, _ in parts)
        masses.append(mass)
        shoulder = bones.arms[side].shoulder
        centres.append(sum(kg * com for kg, com in parts) / mass if mass > 0 else shoulder)
    return UpperBody(
        hips=bones.hip_centre,
        trunk_mass=head.mass + trunk.mass,
        trunk_centre=(head.mass * head.com + trunk.mass * trunk.com) / (head.mass + trunk.mass),
        arm_masses=np.array(masses),
        arm_centres=np.stack(centres, axis=-2),
    )


def _blocking(chair: Chair, kit: Kit) -> Blocking:
    chocked = kit.chocks >= CHOCKS_FOR_BOTH_WHEELS and kit.chock_height is not None
    if chocked:
        return "brakes and chocks" if chair.brakes else "chocks"
    return "brakes" if chair.brakes else "free"


def _leg_segments(body: BodySize, chair: Chair) -> tuple[Segment, ...]:
    found = []
    for side, leg in legs(body, chair).items():
        joints: list[tuple[str, Array | None, Array | None]] = [
            ("thigh", leg.hip, leg.knee if leg.knee is not None else leg.end),
            ("shank", leg.knee, leg.ankle if leg.ankle is not None else leg.end),
            ("foot", leg.ankle, leg.toe),
        ]
        for name, near, far in joints:
            if near is None or far is None:
                continue
            com = near + body.segment_com[name] * (far - near)
            found.append(Segment(name=f"{side} {name}", mass=body.segment_mass[name, side], com=com))
    return tuple(found)


def _centre(
    body: BodySize, chair: Chair, bones: Skeleton, lower: tuple[Segment, ...], ball: tuple[Ball, Side] | None
) -> CentreOfMass:
    upper = upper_body(body, bones, ball)
    shape = upper.trunk_centre.shape
    masses = [upper.trunk_mass, *upper.arm_masses, *(part.mass for part in lower)]
    places = [upper.trunk_centre, upper.arm_centres[..., 0, :], upper.arm_centres[..., 1, :]]
    places += [np.broadcast_to(part.com, shape) for part in lower]
    return centre_of_mass(
        segment_masses=masses,
        segment_positions=np.stack(places, axis=-2),
        chair_mass=chair.mass,
        chair_position=chair_centre(chair),
    )
