"""The chair on a course plan: at the start, or moving along the line in real time by a style sheet alone."""

from __future__ import annotations

import zlib

import numpy as np

from firstpush.core.courses import OnFloor, poses_at
from firstpush.core.figure.chair_from_above import chair_from_above
from firstpush.core.figure.course_page import Page
from firstpush.core.figure.palette import Scheme
from firstpush.core.figure.svg import number, paint_all
from firstpush.core.people.athlete import Chair

STAYS_S = 2.0
"""A moving chair stands so long at the finish before it sets off again."""
STEP_S = 0.2


def draw_chair(on_floor: OnFloor, page: Page, *, chair: Chair, moving: bool, scheme: Scheme) -> tuple[str, str]:
    """Return the chair, and the style that moves it; without motion it stands at the start."""
    line_ = on_floor.line
    at = poses_at(line_, np.array([0.0]))
    x, y = page.at(float(at.x[0]), float(at.y[0]))
    if not moving:
        drawn = chair_from_above(chair, scale=page.per_metre, x=x, y=y, heading=float(at.heading[0]))
        return paint_all(drawn, scheme), ""
    drawn = chair_from_above(chair, scale=page.per_metre, x=0.0, y=0.0)
    times = np.unique(
        np.concatenate(
            [
                np.arange(0.0, line_.duration, STEP_S),
                [piece.begins for piece in line_.pieces],
                [piece.begins + piece.duration for piece in line_.pieces],
            ]
        )
    )
    times = times[np.append(True, np.diff(times) > 1e-3)]
    poses = poses_at(line_, times)
    facing = -np.degrees(np.unwrap(poses.heading))
    cycle = line_.duration + STAYS_S
    steps = []
    for time, (px, py), turned in zip(times, page.points(poses.x, poses.y), facing, strict=True):
        steps.append(f"{100 * time / cycle:.3f}%{{transform:translate({px:.2f}px,{py:.2f}px) rotate({turned:.1f}deg)}}")
    last = steps[-1].split("%", 1)[1]
    steps.append(f"100%{last}")
    text = paint_all(drawn, scheme)
    name = f"c{zlib.crc32((text + ''.join(steps)).encode()):x}"
    style = (
        f"<style>@keyframes {name}{{{''.join(steps)}}}"
        f".{name}{{animation:{name} {cycle:.2f}s linear infinite;transform-origin:0 0}}"
        f"@media (prefers-reduced-motion:reduce){{.{name}{{animation:none}}}}</style>"
    )
    place = f"translate({number(x)} {number(y)}) rotate({number(float(facing[0]))})"
    return f'<g class="{name}" transform="{place}">{text}</g>', style
