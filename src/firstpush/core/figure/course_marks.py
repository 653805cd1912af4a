"""What is drawn of a course on its floor: swept floor, line with its arrows and seconds, turns, cones, walls, grid."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.courses import Line, OnFloor, Roll, Turn, corners_swept, poses_at
from firstpush.core.courses.clearance import Poses
from firstpush.core.courses.course import between
from firstpush.core.figure.course_page import Box, Page, extent_of
from firstpush.core.figure.outlines import Geometry, Layer, chain, line
from firstpush.core.figure.palette import COURT, COURT_PALE, FLOOR, GHOST_LINE, INK, PAPER

LIGHTEST_MM, HEAVIEST_MM = 0.5, 1.0
"""Line weight at the lowest and at full effort: effort is read without colour."""
EVERY_MM = 24.0
"""From one arrow to the next, about."""
HEAD_MM = 2.6
DOT_MM, FIFTH_MM = 0.55, 0.95
SWEPT_EVERY = 2
ASIDE_MM, MOST_ASIDE, BESIDE_M = 1.7, 4, 0.05
"""Straight legs that lie on each other within `BESIDE_M` are drawn so far apart; beyond the fourth on top again."""
WALL_MM, COURT_LINE_MM = 0.9, 0.35
SAME_PLACE_M = 0.1


def grid(page: Page, *, within: Box) -> list[Layer]:
    """Return lines a metre apart, counted from the corner of the floor."""
    left, top, right, bottom = within
    lines = []
    for k in range(
        math.ceil((left - page.left) / page.per_metre), math.floor((right - page.left) / page.per_metre) + 1
    ):
        x = page.at(k, 0.0)[0]
        lines.append(line(np.array([(x, top), (x, bottom)])))
    for k in range(math.ceil((page.top - bottom) / page.per_metre), math.floor((page.top - top) / page.per_metre) + 1):
        y = page.at(0.0, k)[1]
        lines.append(line(np.array([(left, y), (right, y)])))
    return [Layer(geometry=each, stroke=COURT_PALE, width=0.22, cap="butt", role="detail") for each in lines]


def on_the_floor(on_floor: OnFloor, page: Page, window: Box) -> Box:
    """Return as much of a window as lies within the walls."""
    left, top, right, bottom = page.box(extent_of(on_floor.areas[0], first=on_floor.areas[0]))
    return max(window[0], left), max(window[1], top), min(window[2], right), min(window[3], bottom)


def floor_edges(on_floor: OnFloor, page: Page, *, within: Box) -> list[Layer]:
    """Return walls, heavy, and lines of a court, light, as far as they lie on the paper."""
    import shapely

    paper = shapely.box(*within)
    layers = []
    for area in on_floor.areas:
        left, top, right, bottom = page.box(extent_of(area, first=on_floor.areas[0]))
        ring = np.array([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
        seen = line(ring).intersection(paper)
        weight = WALL_MM if area.edge == "wall" else COURT_LINE_MM
        colour = INK if area.edge == "wall" else COURT
        # Nothing is painted on the floor where a run-off ends.
        dash = (2.0, 1.4) if area.edge == "edge of the run-off" else ()
        layers.append(Layer(geometry=seen, stroke=colour, width=weight, cap="butt", dash=dash, role="detail"))
    return layers


def swept_floor(line_: Line, page: Page) -> Geometry:
    """Return the floor that the chair covers from start to finish, on the paper [mm]."""
    poses = line_.poses
    # Between two poses of a run lie 2 to 3 cm, or 2 degrees; a jump between two runs is none on the floor.
    pieces = []
    for first, last in _runs(poses):
        kept = np.unique(np.append(np.arange(first, last, SWEPT_EVERY), last - 1))
        some = Poses(x=poses.x[kept], y=poses.y[kept], heading=poses.heading[kept])
        corners = corners_swept(some, line_.outline)
        rings = page.points(corners[..., 0], corners[..., 1])
        pieces.append(chain(rings if len(rings) > 1 else np.concatenate([rings, rings])))
    import shapely

    return shapely.union_all(pieces).simplify(0.03)


def _runs(poses: Poses) -> list[tuple[int, int]]:
    steps = np.hypot(np.diff(poses.x), np.diff(poses.y))
    turns = np.abs(np.mod(np.diff(poses.heading) + np.pi, 2 * np.pi) - np.pi)
    edges = np.flatnonzero((steps > 0.2) | (turns > 0.2)) + 1
    ends = [0, *edges.tolist(), len(poses.x)]
    return [(one, two) for one, two in pairwise(ends) if two > one]


def swept_layers(swept: Geometry) -> list[Layer]:
    """Return the swept floor with its edge."""
    return [
        Layer(geometry=swept, fill=FLOOR),
        Layer(geometry=swept.boundary, stroke=GHOST_LINE, width=0.16, role="detail"),
    ]


def weight_of(roll: Roll) -> float:
    """Return the line weight of a leg [mm]: its share of full effort."""
    return LIGHTEST_MM + (HEAVIEST_MM - LIGHTEST_MM) * roll.leg.share


@dataclass(frozen=True, kw_only=True)
class DrawnWay:
    """The line of one leg on the paper: points (n, 2) [mm], how far along each lies [m], unit ways of travel (n, 2)."""

    roll: Roll
    points: Array
    along: Array
    ways: Array

    def at(self, along: float) -> tuple[Array, Array]:
        """Return place and way of travel on the paper, `along` metres from the start of the leg."""
        place = np.array([np.interp(along, self.along, self.points[:, k]) for k in (0, 1)])
        way = np.array([np.interp(along, self.along, self.ways[:, k]) for k in (0, 1)])
        return place, way / max(1e-9, float(np.linalg.norm(way)))

    def at_time(self, time: float) -> tuple[Array, Array]:
        """Return the same at a time since go [s]."""
        return self.at(float(np.interp(time - self.roll.begins, self.roll.profile.time, self.along)))


def drawn_ways(line_: Line, page: Page) -> tuple[DrawnWay, ...]:
    """Return the line of every leg; straight legs that lie on each other are drawn side by side, each to its right."""
    found: list[DrawnWay] = []
    straight: list[tuple[Array, Array]] = []
    for roll in line_.rolls:
        track = roll.candidate.track
        ends = (np.array([track.x[0], track.y[0]]), np.array([track.x[-1], track.y[-1]]))
        straight.append(ends)
    for number, roll in enumerate(line_.rolls):
        track = roll.candidate.track
        ways = np.stack([np.cos(track.direction), -np.sin(track.direction)], axis=-1)
        points = page.points(track.x, track.y)
        if not roll.leg.passes:
            points = points + _aside(number, straight) * np.stack([-ways[:, 1], ways[:, 0]], axis=-1)
        found.append(DrawnWay(roll=roll, points=points, along=track.along, ways=ways))
    return tuple(found)


def _aside(number: int, legs: list[tuple[Array, Array]]) -> float:
    """Return how far to its right a straight leg is drawn [mm]: 0 where no other leg lies on it."""
    first, last = legs[number]

    def alike(one: Array, two: Array) -> bool:
        return float(np.linalg.norm(one - two)) < BESIDE_M

    same = [k for k, (one, two) in enumerate(legs) if alike(one, first) and alike(two, last)]
    back = [k for k, (one, two) in enumerate(legs) if alike(one, last) and alike(two, first)]
    if len(same) + len(back) < 2:
        return 0.0
    place = sum(k < number for k in same)
    return ASIDE_MM * (0.5 + min(place, MOST_ASIDE - 1)) if back else ASIDE_MM * min(place, MOST_ASIDE - 1)


def line_layers(ways: tuple[DrawnWay, ...]) -> list[Layer]:
    """Return the line: solid where it is pushed, dashed where it is pulled backwards."""
    layers = []
    for each in ways:
        way = line(each.points).simplify(0.02)
        if each.roll.leg.backward:
            layers.append(Layer(geometry=way, stroke=INK, width=0.6, cap="butt", dash=(1.7, 1.1), role="detail"))
        else:
            layers.append(Layer(geometry=way, stroke=COURT, width=weight_of(each.roll), role="detail"))
    return layers


def arrow_layers(ways: tuple[DrawnWay, ...], page: Page) -> tuple[list[Layer], list[Geometry]]:
    """Return heads along the line, filled forwards and hollow backwards, between two seconds; and their outlines."""
    import shapely

    layers, shapes = [], []
    for each in ways:
        roll = each.roll
        long = roll.candidate.track.length
        wanted = max(1, round(long * page.per_metre / EVERY_MM))
        for mark in (np.arange(wanted) + 0.5) / wanted * long:
            time = roll.begins + float(np.interp(mark, each.along, roll.profile.time))
            # Half way between two dots, as long as that is near and still on this leg.
            half = math.floor(time) + 0.5 - roll.begins
            along = float(np.interp(half, roll.profile.time, each.along)) if 0.0 < half < roll.duration else mark
            if abs(along - mark) * page.per_metre > EVERY_MM / 2:
                along = mark
            middle, way = each.at(along)
            size = HEAD_MM if roll.leg.backward else HEAD_MM * (0.75 + 0.35 * roll.leg.share)
            head = shapely.Polygon(head_points(middle + 0.5 * size * way, way, size))
            shapes.append(head)
            if roll.leg.backward:
                layers += [
                    Layer(geometry=head, fill=PAPER),
                    Layer(geometry=head.boundary, stroke=INK, width=0.35, role="detail"),
                ]
            else:
                layers.append(Layer(geometry=head, fill=COURT))
    return layers, shapes


def head_points(tip: Array, way: Array, size: float) -> Array:
    """Return the three corners of an arrow's head [mm]."""
    across = np.array([-way[1], way[0]])
    return np.array([tip, tip - size * way + 0.40 * size * across, tip - size * way - 0.40 * size * across])


def turn_layers(turns: tuple[Turn, ...], page: Page, *, swing: float) -> list[Layer]:
    """Return an arc with a head for every turn on the spot, one for those that are alike."""
    import shapely

    layers = []
    seen: set[tuple[int, ...]] = set()
    radius = max(2.2, 0.85 * swing * page.per_metre)
    for turn in turns:
        key = (
            round(100 * turn.at.x),
            round(100 * turn.at.y),
            round(math.degrees(turn.facing)) % 360,
            round(turn.angle, 1) > 0,
        )
        if key in seen:
            continue
        seen.add(key)
        cx, cy = page.at(turn.at.x, turn.at.y)
        angles = turn.facing + np.linspace(0.12, 0.94, 30) * turn.angle
        arc = np.stack([cx + radius * np.cos(angles), cy - radius * np.sin(angles)], axis=-1)
        way = (arc[-1] - arc[-2]) / np.linalg.norm(arc[-1] - arc[-2])
        tip = arc[-1] + 0.9 * way
        layers.append(Layer(geometry=line(arc), stroke=COURT, width=0.4, cap="butt", role="detail"))
        layers.append(Layer(geometry=shapely.Polygon(head_points(tip, way, 1.7)), fill=COURT))
    return layers


def seconds(line_: Line, ways: tuple[DrawnWay, ...], page: Page) -> list[tuple[int, float, float]]:
    """Return each second with its place on the paper [s, mm, mm]; while the chair stands, the first of them only."""
    found: list[tuple[int, float, float]] = []
    for second in range(1, math.floor(line_.duration) + 1):
        rolling = [w for w in ways if w.roll.begins <= second <= w.roll.begins + w.roll.duration]
        if rolling:
            x, y = rolling[0].at_time(float(second))[0].tolist()
        else:
            pose = poses_at(line_, np.array([float(second)]))
            x, y = page.at(float(pose.x[0]), float(pose.y[0]))
        if found and math.hypot(x - found[-1][1], y - found[-1][2]) < 1.2 and second % 5:
            continue
        found.append((second, x, y))
    return found


def dot_layers(marks: list[tuple[int, float, float]]) -> list[Layer]:
    """Return a dot each second, a larger one every fifth."""
    import shapely

    layers = []
    for second, x, y in marks:
        dot = shapely.Point(x, y).buffer(DOT_MM if second % 5 else FIFTH_MM, quad_segs=6)
        layers.append(Layer(geometry=dot, fill=PAPER))
        layers.append(Layer(geometry=dot.boundary, stroke=INK, width=0.22, role="detail"))
    return layers


def outline_at(line_: Line, page: Page, *, time: float) -> Geometry:
    """Return the outline of the chair at a time, on the paper."""
    import shapely

    corners = corners_swept(poses_at(line_, np.array([time])), line_.outline)[0]
    return shapely.Polygon(page.points(corners[:, 0], corners[:, 1]))


def end_lines(line_: Line, page: Page) -> list[Layer]:
    """Return the lines on the floor that the axle starts from and finishes on, and short ones where it stops."""
    long = line_.outline.width / 2 + 0.2
    stops = [(roll.begins + roll.duration, 0.3, 0.25) for roll in line_.rolls[:-1]]
    places = [(0.0, long, 0.45), *stops]
    if between(line_.course.start, line_.course.finish) > SAME_PLACE_M:
        places.append((line_.duration, long, 0.45))
    layers = []
    for time, half, weight in places:
        pose = poses_at(line_, np.array([time - (1e-6 if time else 0.0)]))
        x, y, facing = float(pose.x[0]), float(pose.y[0]), float(pose.heading[0])
        dx, dy = -math.sin(facing) * half, math.cos(facing) * half
        ends = np.array([page.at(x - dx, y - dy), page.at(x + dx, y + dy)])
        layers.append(Layer(geometry=line(ends), stroke=INK, width=weight, cap="butt", role="detail"))
    return layers


def at_the_end(line_: Line, page: Page) -> list[Layer]:
    """Return where the chair comes to rest, dashed, unless that is where it started."""
    if between(line_.course.start, line_.course.finish) < SAME_PLACE_M:
        return []
    end = outline_at(line_, page, time=line_.duration)
    return [Layer(geometry=end.boundary, stroke=GHOST_LINE, width=0.3, dash=(1.0, 0.8), role="detail")]
