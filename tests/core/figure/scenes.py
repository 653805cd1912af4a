"""Invented scenes for the drawing tests: poses by joint angles, several bodies and chairs."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from firstpush.core.body.legs import legs
from firstpush.core.body.posture import ArmAngles, Posture, Skeleton, humerus_rotation, skeleton
from firstpush.core.body.rotations import geodesic
from firstpush.core.figure.palette import Look
from firstpush.core.figure.scene import BandDrawing, Dimension, Scene
from firstpush.core.kit.kit import Ball
from firstpush.core.people.athlete import Athlete, Chair, Side
from firstpush.core.people.body_size import BodySize, body_size
from firstpush.core.people.chair_presets import CHAIR_PRESETS

FRAMES = 18
DEG = math.pi / 180


def chair(kind: str = "court", **changes: object) -> Chair:
    """Return the usual chair of `kind`, with changes."""
    preset = CHAIR_PRESETS[kind]  # type: ignore[index]
    made = Chair(
        name=f"{kind} chair",
        kind=preset.kind,
        brakes=preset.brakes,
        anti_tip=0.20 if kind == "court" else None,
        mass=preset.mass.value,
        seat_height=preset.seat_height.value,
        backrest_height=preset.backrest_height.value,
        strap="none",
        hip_to_axle=preset.hip_to_axle.value,
        caster_share=None,
        footplate_reach=preset.footplate_reach.value,
        wheel_diameter=preset.wheel_diameter.value,
        camber=preset.camber.value,
        hub_width=preset.hub_width.value,
        wheelbase=preset.wheelbase.value,
        overall_width=0.78 if kind == "court" else 0.62,
        overall_length=0.95,
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def body(
    *, stature: float = 1.75, mass: float = 72.0, sex: str | None = None, missing: frozenset[str] = frozenset()
) -> BodySize:
    """Return the sizes of an invented body."""
    athlete = Athlete(
        name="Ilse Varga",
        mass=mass,
        stature=stature,
        sex=sex,
        missing_limbs=missing,
        chairs=(chair(),),  # type: ignore[arg-type]
    )
    return body_size(athlete)


def arm(side: Side, *, plane: float, elevation: float, rotation: float, elbow: float, pronation: float = 0.0,
        protraction: float = 0.0, lift: float = 0.0) -> ArmAngles:  # fmt: skip
    """Return one arm from clinical angles in degrees."""
    return ArmAngles(
        humerus=humerus_rotation(plane=plane * DEG, elevation=elevation * DEG, rotation=rotation * DEG, side=side),
        elbow=np.array(elbow * DEG),
        pronation=np.array(pronation * DEG),
        protraction=np.array(protraction * DEG),
        lift=np.array(lift * DEG),
    )


def between(side: Side, first: ArmAngles, second: ArmAngles, share: np.ndarray) -> ArmAngles:
    """Return the arm at `share` of the way, by the geodesic of the humerus."""

    def mixed(name: str) -> np.ndarray:
        return getattr(first, name) + share * (getattr(second, name) - getattr(first, name))

    return ArmAngles(
        humerus=geodesic(first.humerus, second.humerus, share),
        elbow=mixed("elbow"),
        pronation=mixed("pronation"),
        protraction=mixed("protraction"),
        lift=mixed("lift"),
    )


def moved(
    size: BodySize, seat: Chair, arms: dict[Side, tuple[ArmAngles, ArmAngles]], *, turn: tuple[float, float] = (0, 0),
    flexion: tuple[float, float] = (0, 0),
) -> Skeleton:  # fmt: skip
    """Return the skeleton of a minimum-jerk movement between two arm poses a side."""
    t = np.linspace(0, 1, FRAMES)
    share = t**3 * (10 - 15 * t + 6 * t * t)

    def ramp(pair: tuple[float, float]) -> np.ndarray:
        return (pair[0] + share * (pair[1] - pair[0])) * DEG

    posture = Posture(
        trunk_turn=ramp(turn),
        trunk_flexion=ramp(flexion),
        trunk_side_bend=np.zeros(FRAMES),
        arms={side: between(side, *pair, share) for side, pair in arms.items()},
    )
    return skeleton(size, seat, posture)


def resting(side: Side) -> ArmAngles:
    """Return an arm whose hand rests on the thigh."""
    return arm(side, plane=64, elevation=20, rotation=-22, elbow=64, pronation=60)


def _stretch(
    joints: Skeleton, anchor: np.ndarray, hands: tuple[Side, ...], first: float = 1.25
) -> dict[Side, np.ndarray]:
    found = {}
    for side in hands:
        length = np.linalg.norm(joints.arms[side].hand - anchor, axis=-1)
        found[side] = length / length.min() * first
    return found


def _post_dimensions(seat: Chair, anchor: np.ndarray, from_side: float | None = None) -> tuple[Dimension, ...]:
    foot = np.array([anchor[0], anchor[1], 0.0])
    if from_side is None:
        start = np.array([seat.footplate_reach, anchor[1], 0.0])
    else:
        start = np.array([anchor[0], from_side, 0.0])
    away = float(np.linalg.norm(foot - start))
    return (
        Dimension(from_point=start, to_point=foot, text=f"{away:.2f} m", kind="distance"),
        Dimension(from_point=foot, to_point=anchor, text=f"{anchor[2]:.2f} m", kind="height"),
    )


def row(size: BodySize | None = None, seat: Chair | None = None, **more: object) -> Scene:
    """Return a seated row, post in front, both hands."""
    size, seat = size or body(), seat or chair()
    arms = {
        side: (
            arm(side, plane=90, elevation=62, rotation=0, elbow=12, protraction=12),
            arm(side, plane=-90, elevation=24, rotation=-4, elbow=102, protraction=-12),
        )
        for side in ("left", "right")
    }
    joints = moved(size, seat, arms)  # type: ignore[arg-type]
    anchor = np.array([1.75, 0.0, 0.90])
    band = BandDrawing(hands=("left", "right"), attach="hand", stretch=_stretch(joints, anchor, ("left", "right")))
    return _scene(
        size,
        seat,
        joints,
        ("left", "right"),
        anchor=anchor,
        band=band,
        dimensions=_post_dimensions(seat, anchor),
        **more,
    )


def external_rotation(
    size: BodySize | None = None, seat: Chair | None = None, side: Side = "right", **more: object
) -> Scene:
    """Return external rotation at 90 degrees abduction, post in front."""
    size, seat = size or body(), seat or chair()
    other: Side = "left" if side == "right" else "right"
    arms = {
        side: (
            arm(side, plane=10, elevation=90, rotation=5, elbow=90),
            arm(side, plane=0, elevation=90, rotation=85, elbow=90, protraction=-8),
        ),
        other: (resting(other), resting(other)),
    }
    joints = moved(size, seat, arms)
    s = 1.0 if side == "left" else -1.0
    anchor = np.array([1.70, s * 0.30, 0.95])
    band = BandDrawing(hands=(side,), attach="hand", stretch=_stretch(joints, anchor, (side,)))
    return _scene(
        size, seat, joints, (side,), anchor=anchor, band=band, dimensions=_post_dimensions(seat, anchor), **more
    )


def press(size: BodySize | None = None, seat: Chair | None = None, side: Side = "right", **more: object) -> Scene:
    """Return a press with the post at the side."""
    size, seat = size or body(), seat or chair()
    arms = {
        hand: (
            arm(hand, plane=56, elevation=44, rotation=-44, elbow=112, pronation=10),
            arm(hand, plane=84, elevation=72, rotation=-16, elbow=8, pronation=10, protraction=10),
        )
        for hand in ("left", "right")
    }
    joints = moved(size, seat, arms)  # type: ignore[arg-type]
    s = 1.0 if side == "left" else -1.0
    anchor = np.array([0.30, s * 1.55, 1.02])
    band = BandDrawing(hands=(side,), attach="hand", stretch=_stretch(joints, anchor, (side,)), grip="wrapped")
    dims = _post_dimensions(seat, anchor, from_side=s * 0.40)
    return _scene(size, seat, joints, ("left", "right"), anchor=anchor, band=band, dimensions=dims, **more)


def circles(size: BodySize | None = None, seat: Chair | None = None, side: Side = "right", **more: object) -> Scene:
    """Return small circles with a ball, arm straight ahead."""
    size, seat = size or body(), seat or chair()
    other: Side = "left" if side == "right" else "right"
    angle = np.linspace(0, 2 * np.pi, FRAMES)
    rest = resting(other)
    around = ArmAngles(
        humerus=humerus_rotation(
            plane=(82 + 7 * np.cos(angle)) * DEG,
            elevation=(86 + 7 * np.sin(angle)) * DEG,
            rotation=0 * angle,
            side=side,
        ),
        elbow=np.full(FRAMES, 4 * DEG),
        pronation=np.full(FRAMES, 80 * DEG),
        protraction=np.full(FRAMES, 16 * DEG),
        lift=np.zeros(FRAMES),
    )
    zero = np.zeros(FRAMES)
    posture = Posture(
        trunk_turn=zero,
        trunk_flexion=zero,
        trunk_side_bend=zero,
        arms={side: around, other: between(other, rest, rest, zero)},
    )
    ball = Ball(name="soft ball", mass=0.6, diameter=0.20, bounces=True, material="latex-free")
    return _scene(size, seat, skeleton(size, seat, posture), (side,), ball=(ball, side), **more)


def chest_stretch(
    size: BodySize | None = None, seat: Chair | None = None, side: Side = "right", **more: object
) -> Scene:
    """Return a stretch with the forearm against a post, trunk turning away."""
    size, seat = size or body(), seat or chair()
    other: Side = "left" if side == "right" else "right"
    s = 1.0 if side == "left" else -1.0
    arms = {
        side: (
            arm(side, plane=8, elevation=90, rotation=88, elbow=90),
            arm(side, plane=-14, elevation=88, rotation=88, elbow=92, protraction=-10),
        ),
        other: (resting(other), resting(other)),
    }
    joints = moved(size, seat, arms, turn=(0, -s * 22))
    elbow, wrist = joints.arms[side].elbow[0], joints.arms[side].wrist[0]
    contact = (elbow + wrist)[:2] / 2 + (0.062, 0.0)
    return _scene(size, seat, joints, (side,), post_contact=contact, **more)


def pushing(size: BodySize | None = None, seat: Chair | None = None, **more: object) -> Scene:
    """Return a push at the hand rims."""
    size, seat = size or body(), seat or chair()
    arms = {
        side: (
            arm(side, plane=-66, elevation=46, rotation=-14, elbow=72, pronation=10, protraction=-6),
            arm(side, plane=34, elevation=24, rotation=-8, elbow=26, pronation=25, protraction=8),
        )
        for side in ("left", "right")
    }
    joints = moved(size, seat, arms, flexion=(8, 18))  # type: ignore[arg-type]
    return _scene(size, seat, joints, ("left", "right"), **more)


def _scene(size: BodySize, seat: Chair, joints: Skeleton, active: tuple[Side, ...], **more: object) -> Scene:
    more.setdefault("look", Look())
    return Scene(body=size, chair=seat, skeleton=joints, legs=legs(size, seat), active_sides=active, **more)  # type: ignore[arg-type]


ALL = {
    "row": row,
    "external rotation": external_rotation,
    "press": press,
    "circles": circles,
    "chest stretch": chest_stretch,
    "pushing": pushing,
}
