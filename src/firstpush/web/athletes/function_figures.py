"""Drawings of the movements by which function is looked at, each from rest to full range in steps.

One body for everybody, so that each is drawn once for the whole club.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cache
from math import pi, radians

import numpy as np

from firstpush.core.body.legs import legs
from firstpush.core.body.movement import minimum_jerk, movement
from firstpush.core.body.posture import ArmPoints, Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.checks.bodies import grid_of_athletes
from firstpush.core.exercises.definition import ArmPose, DoseOption, Exercise, HandTarget, Needs, Pose
from firstpush.core.figure.figure_parts import TURN_RADIUS_M, ordered_parts, static_parts, turn_centre, upper_extent
from firstpush.core.figure.one_frame import frame_body
from firstpush.core.figure.palette import PAPER
from firstpush.core.figure.picture import Picture
from firstpush.core.figure.scene import Rail, Scene
from firstpush.core.figure.svg import document
from firstpush.core.figure.view import Camera, fitted, view_named
from firstpush.core.kit.kit import Ball
from firstpush.core.people.athlete import Side
from firstpush.core.people.body_size import body_size

ASKED = "asked"
"""In place of a step: the whole movement, with its start pale behind it."""
WIDTH_MM, HEIGHT_MM = 58.0, 62.0
FRAMES = 241
"""Of the movement, from which the steps are picked."""

_ON_CHEST = ArmPose(target=HandTarget(at="sternum", forward=0.30, out=-0.10, elbow_points=("out", "down")))
_ON_THIGH = ArmPose(target=HandTarget(at="thigh", elbow_points=("out", "back")))
_IN_FRONT = ArmPose(elbow=pi / 2)


@dataclass(frozen=True, kw_only=True)
class MovementShown:
    """A movement by which one thing is looked at.

    Parameters
    ----------
    steps : int
        Drawings from rest (0) to full range (`steps`).
    rest, full : Pose
    view : str
        Name of a view for the right side; it is mirrored for the left.
    near : bool
        Whether forearm and hand fill the drawing.
    grips : bool
        Whether it is what the hand holds that differs: nothing, a light ball, a rail.
    """

    steps: int
    rest: Pose
    full: Pose
    view: str = "three-quarter front"
    near: bool = False
    grips: bool = False


def _pose(
    working: ArmPose, other: ArmPose = _ON_THIGH, *, forward: float = 0.0, turn: float = 0.0, lean: float = 0.0
) -> Pose:
    return Pose(
        name="pose",
        trunk_forward=forward,
        turn_to_working_side=turn,
        lean_to_working_side=lean,
        working=working,
        other=other,
    )


_UPRIGHT = _pose(_ON_CHEST, _ON_CHEST)
_BENT = ArmPose(plane=pi / 2, elevation=radians(125.0), elbow=radians(125.0))
_FOREARM = ArmPose(elbow=radians(80.0), pronation=pi / 2)

_TRUNK = {
    "forward": MovementShown(
        steps=6, rest=_UPRIGHT, full=_pose(_ON_CHEST, _ON_CHEST, forward=radians(42.0)), view="side"
    ),
    "turn": MovementShown(steps=6, rest=_UPRIGHT, full=_pose(_ON_CHEST, _ON_CHEST, turn=radians(45.0)), view="front"),
    "lean": MovementShown(steps=6, rest=_UPRIGHT, full=_pose(_ON_CHEST, _ON_CHEST, lean=radians(28.0)), view="front"),
}
_ARM = {
    "elevation": MovementShown(
        steps=12,
        rest=_pose(ArmPose(plane=radians(30.0))),
        full=_pose(ArmPose(plane=radians(30.0), elevation=radians(179.0))),
        view="front",
    ),
    "external_rotation": MovementShown(
        steps=12,
        rest=_pose(replace(_IN_FRONT, rotation=radians(-90.0))),
        full=_pose(replace(_IN_FRONT, rotation=radians(90.0))),
    ),
    "elbow_extension": MovementShown(
        steps=5, rest=_pose(_BENT), full=_pose(replace(_BENT, elbow=0.0)), view="wide three-quarter"
    ),
    "wrist_extension": MovementShown(
        steps=5,
        rest=_pose(replace(_FOREARM, wrist=radians(-60.0))),
        full=_pose(replace(_FOREARM, wrist=radians(55.0))),
        view="side",
        near=True,
    ),
    "grip": MovementShown(
        steps=2, rest=_pose(_IN_FRONT), full=_pose(_IN_FRONT), view="wide three-quarter", near=True, grips=True
    ),
}
MOVEMENTS: dict[str, tuple[MovementShown, Side]] = {
    "trunk-forward": (_TRUNK["forward"], "right"),
    "trunk-turn": (_TRUNK["turn"], "left"),
    "trunk-lean-left": (_TRUNK["lean"], "left"),
    "trunk-lean-right": (_TRUNK["lean"], "right"),
    **{f"left-{name.replace('_', '-')}": (shown, "left") for name, shown in _ARM.items()},
    **{f"right-{name.replace('_', '-')}": (shown, "right") for name, shown in _ARM.items()},
}
"""By name: the movement and the side it goes to."""


def draw_function(name: str, step: int | str) -> str:
    """Return one drawing as SVG.

    Parameters
    ----------
    name : str
        One of `MOVEMENTS`.
    step : int or str
        0 to the movement's steps; "asked" for the whole movement with its start pale behind it.
    """
    shown, side = MOVEMENTS[name]
    frame = shown.steps if step == ASKED else int(step)
    ghosted = step == ASKED and not shown.grips
    scene, camera = _scene_of(name)
    scene = _gripping(scene, shown, side, frame)
    picture = Picture(scene=replace(scene, start=0, end=frame), camera=camera)
    static = static_parts(picture.scene, camera)
    ghost = ordered_parts(picture.scene, camera, static, 0) if ghosted else None
    drawn, _ = frame_body(picture, static, frame, scheme="paper", ghost_of=ghost)
    return document(
        drawn, width_mm=WIDTH_MM, height_mm=HEIGHT_MM, title=name.replace("-", " "), description="", ground=PAPER
    )


@cache
def _scene_of(name: str) -> tuple[Scene, Camera]:
    shown, side = MOVEMENTS[name]
    athlete = next(each for each in grid_of_athletes() if each.chair.kind == "court" and each.arm_span == 1.66)
    body, chair = body_size(athlete), athlete.chair
    exercise = Exercise(
        id=name,
        title=name,
        part="mobility",
        aims=(),
        loads="none",
        axes="humerus",
        sides="each",
        summary="",
        cue="",
        poses=(shown.rest, shown.full),
        doses=(DoseOption(name="once", sets=1, seconds=1.0, per_side=True),),
        needs=Needs(),
    )
    moved = movement(exercise, body, chair, side=side, frames=FRAMES)
    # A movement is slow at its ends; the steps are to be even in angle.
    share = minimum_jerk(moved.share)
    even = np.array([int(np.argmin(np.abs(share - k / shown.steps))) for k in range(shown.steps + 1)])
    scene = Scene(
        body=body,
        chair=chair,
        skeleton=_frames_of(moved.skeleton, even),
        legs=legs(body, chair),
        active_sides=() if name.startswith("trunk") else (side,),
        start=0,
        end=shown.steps,
    )
    camera = view_named(f"{shown.view}, from the {side}")
    frames = range(shown.steps + 1)
    points, radii = upper_extent(scene, frames)
    if name == "trunk-turn":
        # The arrow of the turn goes round the crown.
        points = np.concatenate([points, [turn_centre(scene, frame) for frame in frames]])
        radii = np.concatenate([radii, np.full(len(frames), TURN_RADIUS_M)])
    if shown.near:
        arm = scene.skeleton.arms[side]
        points = np.concatenate([arm.elbow[list(frames)], arm.hand[list(frames)]])
        radii = np.full(len(points), 0.13)
    return scene, fitted(camera, points, radii, left=1.0, top=1.0, width=WIDTH_MM - 2, height=HEIGHT_MM - 2)


def _frames_of(bones: Skeleton, index: Array) -> Skeleton:
    """Return the frames `index` of `bones`."""
    arms = {
        side: ArmPoints(**{field.name: getattr(arm, field.name)[index] for field in fields(arm)})
        for side, arm in bones.arms.items()
    }
    whole = {field.name: getattr(bones, field.name)[index] for field in fields(bones) if field.name != "arms"}
    return Skeleton(**whole, arms=arms)


def _gripping(scene: Scene, shown: MovementShown, side: Side, frame: int) -> Scene:
    """Put into the hand what it can hold: nothing, a light ball, a rail."""
    if not shown.grips or frame == 0:
        return scene
    hand = scene.skeleton.arms[side].hand[frame]
    if frame == 1:
        return replace(
            scene, ball=(Ball(name="ball", mass=0.2, diameter=0.09, bounces=False, material="latex-free"), side)
        )
    across = np.array([0.0, 0.0, 0.5])
    return replace(scene, rail=Rail(left=hand + across, right=hand - across))
