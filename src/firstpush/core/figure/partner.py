"""A partner's two hands that push against the athlete's forearm, one from either side, now here, now there."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from firstpush.core.body.posture import SIGN, ArmPoints
from firstpush.core.body.rotations import Array
from firstpush.core.figure.hand import hand_part
from firstpush.core.figure.limbs import bone_rows
from firstpush.core.figure.outlines import (
    Layer,
    Part,
    ball_rings,
    balls,
    chain,
    disc_ring,
    hull,
    outline,
    smooth,
    solid,
    together,
    union,
)
from firstpush.core.figure.palette import SKIN, SLEEVE, WEIGHTS
from firstpush.core.figure.proportions import FOREARM, Proportions
from firstpush.core.figure.scene import Scene
from firstpush.core.figure.view import Camera
from firstpush.core.people.athlete import SIDES, Side

REACH_M = 0.30
"""How much of the partner's forearm is drawn, from the wrist."""
PALM_OFF_M = 0.047
"""Palm before the middle of the athlete's wrist."""
SLEEVE_FROM = 0.52


def partner_hands(scene: Scene, frame: int) -> dict[Side, ArmPoints]:
    """Return the partner's two arms in `frame`: palms on either side of the athlete's wrist, elbows away from it."""
    assert scene.partner is not None
    arm = scene.skeleton.arms[scene.partner]
    wrist = np.asarray(arm.wrist[frame] + 0.25 * (arm.hand[frame] - arm.wrist[frame]))
    along = -np.asarray(arm.forearm_frame[frame])[:, 2]
    # The partner stands where the hand points, and pushes across the forearm from left and right of it.
    out = np.array([wrist[0], wrist[1], 0.0]) - np.array([*arm.shoulder[frame][:2], 0.0])
    out = out / np.linalg.norm(out)
    across = np.cross((0.0, 0.0, 1.0), out)
    across = across - (across @ along) * along
    across = across / np.linalg.norm(across)
    found: dict[Side, ArmPoints] = {}
    length = scene.body.hand.value
    for side in SIDES:
        # Seen from the partner, who faces the athlete, the left hand is on the athlete's right.
        press = across * SIGN[side]
        palm = press
        finger = -out * 0.95 + np.array([0.0, 0.0, 0.26])
        finger = finger - (finger @ palm) * palm
        finger = finger / np.linalg.norm(finger)
        thumb = np.cross(palm, finger) * SIGN[side]
        hand = wrist - palm * PALM_OFF_M - 0.02 * out
        frame_axes = np.stack([thumb, -SIGN[side] * palm, -finger], axis=1)
        there = hand - length * finger
        elbow = there - REACH_M * finger - 0.15 * press
        stacked = {
            "sternoclavicular": elbow,
            "shoulder": elbow,
            "elbow": elbow,
            "wrist": there,
            "hand": hand,
            "humerus_frame": frame_axes,
            "forearm_frame": frame_axes,
            "elevation": np.zeros(()),
            "plane": np.zeros(()),
        }
        found[side] = ArmPoints(**{name: np.asarray(value)[None] for name, value in stacked.items()})
    return found


def partner_extent(scene: Scene, frames: Iterable[int]) -> Array:
    """Return the partner's wrists and the ends of what is drawn of the forearms, (N, 3) [m]."""
    arms = [arm for frame in frames for arm in partner_hands(scene, frame).values()]
    return np.concatenate([np.stack([arm.wrist[0], arm.elbow[0]]) for arm in arms])


def partner_parts(scene: Scene, camera: Camera, size: Proportions, frame: int) -> list[Part]:
    """Return the partner's hands and forearms, another person's: another tone, a long pale sleeve cut straight."""
    tone = SKIN[(scene.look.skin + 2) % len(SKIN)]
    parts: list[Part] = []
    for side, arm in partner_hands(scene, frame).items():
        hand = hand_part(
            camera,
            arm=arm,
            side=side,
            frame=0,
            length=scene.body.hand.value,
            pose="open",
            skin=tone,
            thick=size.arm,
            handle=False,
        )
        elbow, wrist, axes = arm.elbow[0], arm.wrist[0], arm.forearm_frame[0]
        ways = (axes[:, 0], -axes[:, 0])
        centres, radii = bone_rows(
            elbow, wrist, FOREARM, ways, unit=size.unit, thickness=size.arm, since=0.25, until=1.0, count=8
        )
        bare = smooth(chain(ball_rings(camera, centres, radii).reshape(8, -1, 2)), 0.2)
        sleeve_rows, sleeve_radii = bone_rows(
            elbow, wrist, FOREARM, ways, unit=size.unit, thickness=1.12 * size.arm, until=SLEEVE_FROM, count=5
        )
        flat = [
            disc_ring(camera, row.mean(axis=0), axes[:, 0] * 1.35 * radius[0], axes[:, 1] * 1.1 * radius[0])
            for row, radius in zip(sleeve_rows, sleeve_radii, strict=True)
        ]
        sleeve = smooth(chain(np.stack(flat)), 0.1)
        shade = 0.008 * size.unit * camera.scale
        cut = hull(flat[0])
        layers: tuple[Layer, ...] = (
            *solid(bare, tone, shade=shade),
            *solid(sleeve, SLEEVE, shade=shade),
            Layer(geometry=cut, fill=SLEEVE.shade),
            outline(cut, WEIGHTS.inner),
            *hand.layers,
        )
        parts.append(
            Part(
                name=f"partner {side}",
                shape=union(hand.shape, bare, sleeve),
                balls=together(hand.balls, balls(camera, centres, radii)),
                layers=layers,
                moves=True,
            )
        )
    return parts
