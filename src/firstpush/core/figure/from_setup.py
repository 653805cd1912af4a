"""From an exercise set-up to the scene that is drawn: the same pose, anchor and stretch as the numbers on the sheet."""

from __future__ import annotations

import numpy as np

from firstpush.core.body.legs import legs
from firstpush.core.body.rotations import Array
from firstpush.core.figure.palette import Look
from firstpush.core.figure.scene import BandDrawing, Blocking, Dimension, Scene
from firstpush.core.measured import Measured
from firstpush.core.setup.pull_points import pull_point
from firstpush.core.setup.result import BandSetup, ExerciseSetup

POST_BEFORE_FOREARM = Measured(
    name="middle of the post before the middle of the forearm",
    value=0.055,
    unit="m",
    spread=0.01,
    source="half a forearm and half a post",
    known="our choice",
)


def scene_of(setup: ExerciseSetup, *, look: Look | None = None) -> Scene:
    """Return the scene of one exercise set-up.

    Parameters
    ----------
    setup : ExerciseSetup
    look : Look, optional
        Of the person drawn; chosen from nothing but the default when left out.

    Returns
    -------
    Scene
    """
    band = setup.band
    return Scene(
        body=setup.body,
        chair=setup.chair,
        skeleton=setup.movement.skeleton,
        legs=legs(setup.body, setup.chair),
        active_sides=setup.arms,
        anchor=None if band is None else band.anchor,
        band=None if band is None else _drawn_band(setup, band),
        ball=None if setup.ball is None else (setup.ball, setup.side),
        post_contact=contact_post(setup),
        blocking=_blocking(setup),
        strap=setup.strap,
        dimensions=() if band is None else _dimensions(setup, band),
        look=look or Look(),
        start=0,
        end=_end_frame(setup),
    )


def contact_post(setup: ExerciseSetup) -> Array | None:
    """Return the foot (x, y) [m] of the post that the forearm leans on, or None without one."""
    if not setup.exercise.leans_on_post:
        return None
    arm = setup.movement.skeleton.arms[setup.side]
    forearm = (arm.elbow[0] + arm.hand[0]) / 2
    return np.array([forearm[0] + POST_BEFORE_FOREARM.value, forearm[1]])


def _end_frame(setup: ExerciseSetup) -> int:
    frames = setup.movement.share.size
    # A circle ends where it begins: its far side is the other picture.
    return frames // 2 if setup.exercise.circle is not None else frames - 1


def _drawn_band(setup: ExerciseSetup, band: BandSetup) -> BandDrawing:
    hands = tuple(band.stretch)
    bones = setup.movement.skeleton
    attached = {side: setup.attach.get(side, "hand") for side in hands}
    return BandDrawing(
        hands=hands,
        attach=attached,
        stretch=band.stretch,
        strands=band.strands,
        pull_from={side: pull_point(bones, side, attached[side]) for side in hands},
    )


def _blocking(setup: ExerciseSetup) -> Blocking:
    if "chocks" in setup.blocking:
        return "chocks"
    return "brakes" if setup.blocking == "brakes" else "free"


def _dimensions(setup: ExerciseSetup, band: BandSetup) -> tuple[Dimension, ...]:
    anchor, chair = band.anchor, setup.chair
    if anchor is None or band.distance is None:
        return ()
    foot = np.array([anchor[0], anchor[1], 0.0])
    if band.measured_from == "the tyre":
        start = np.array([anchor[0], anchor[1] - np.sign(anchor[1]) * band.distance, 0.0])
    else:
        start = np.array([chair.footplate_reach, anchor[1], 0.0])
    return (
        Dimension(from_point=start, to_point=foot, text=f"{band.distance:.2f} m", kind="distance"),
        Dimension(from_point=foot, to_point=anchor, text=f"{band.height:.2f} m", kind="height"),
    )
