"""The shapes of the layouts: where cones stand for a chair and a spacing, and the least spacing by geometry."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from firstpush.core.courses.chair_outline import ChairOutline
from firstpush.core.courses.course import CONE_RADIUS, Cone, Course, Leg, Pass, Place
from firstpush.core.courses.lanes import lane_course
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side

SLALOM_ALLOWANCE = Measured(
    name="room between two cones passed on different hands, beyond the geometry",
    value=0.07,
    unit="m",
    spread=0.02,
    source="what smoothing the way from one hand to the other takes; confirmed by the swept floor",
    known="our choice",
)
SHORTEST_PUSH = Measured(
    name="shortest stretch worth pushing", value=0.5, unit="m", spread=0.2, source="one push", known="our choice"
)
FINISH_ROOM = Measured(
    name="start and finish beyond the cones, more than the chair needs",
    value=0.5,
    unit="m",
    spread=0.2,
    source="",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Given:
    """What a course is laid out from; lengths in m.

    Of push lanes only: `side` lies between two of them, `top` is the share of the maximal speed on the last one, and
    `backward` says whether the short sides are pulled backwards.
    """

    outline: ChairOutline
    spacing: float
    count: int
    margin: float
    side: float | None = None
    top: float = 1.0
    backward: bool = True

    @property
    def beside(self) -> float:
        """Middle of the axle to the middle of a cone that is passed at the margin."""
        return self.outline.width / 2.0 + CONE_RADIUS.value + self.margin

    @property
    def ahead(self) -> float:
        """Middle of the axle to the middle of a cone that the chair stops before."""
        return self.outline.front + self.margin + CONE_RADIUS.value

    @property
    def round(self) -> float:
        """Middle of the axle to the middle of a cone that the chair turns on the spot beside."""
        return self.outline.swing + self.margin + CONE_RADIUS.value


def _cone(name: int | str, x: float, y: float) -> Cone:
    # Rounding away -0.0 and the last digit of cos(π/2): places are read by people.
    return Cone(name=str(name), x=round(x, 9) + 0.0, y=round(y, 9) + 0.0)


def _on_arc(given: Given) -> list[Cone]:
    """Return the cones on a half circle about (0, 0), from left to right, numbered from 1."""
    step = math.pi / (given.count - 1)
    return [
        _cone(k + 1, -given.spacing * math.cos(k * step), given.spacing * math.sin(k * step))
        for k in range(given.count)
    ]


def half_circle(given: Given) -> Course:
    """Return the course round each outer cone and back round the one in the centre."""
    outer = _on_arc(given)
    passes = [Pass(cone=outer[0].name, hand="right")]
    for cone in outer[1:]:
        passes += [Pass(cone="0", hand="left"), Pass(cone=cone.name, hand="right")]
    home = Place(x=0.0, y=-2.0 * given.beside)
    return Course(
        name="half circle round the cones",
        cones=(_cone(0, 0.0, 0.0), *outer),
        start=home,
        legs=(Leg(to=home, passes=tuple(passes)),),
    )


def half_circle_needs(given: Given) -> float:
    """Return the radius at which neighbours, and each outer cone with the centre, let the chair through."""
    between_neighbours = math.pi / (2 * (given.count - 1))
    passing = max(2.0 * given.beside, given.outline.reach_outside(given.beside) + CONE_RADIUS.value + given.margin)
    return max(0.5 * passing / math.sin(between_neighbours), 2.0 * given.beside + SLALOM_ALLOWANCE.value)


def half_circle_back(given: Given) -> Course:
    """Return the course out to each outer cone, pulled straight back to the centre, turned to the next."""
    outer = _on_arc(given)
    home = Place(x=0.0, y=0.0)
    legs = []
    for k, cone in enumerate(outer):
        part = 1.0 - given.ahead / given.spacing
        legs.append(Leg(to=Place(x=part * cone.x, y=part * cone.y), turn="right" if k else None))
        legs.append(Leg(to=home, backward=True))
    return Course(
        name="half circle pulled to the centre",
        cones=(_cone(0, 0.0, -given.round), *outer),
        start=home,
        legs=tuple(legs),
        heading=math.pi,
    )


def half_circle_back_needs(given: Given) -> float:
    """Return the radius with a push worth its name, room to turn at the centre, and room beside neighbours."""
    step = math.pi / (given.count - 1)
    # Driving out towards one cone, its neighbours stand spacing × sin(step) beside the way, while the chair is near.
    beside = given.beside / math.sin(step) if step < math.pi / 2.0 else 0.0
    return max(given.ahead + SHORTEST_PUSH.value, min(beside, _past_neighbours(given, step)), given.round)


def _past_neighbours(given: Given, step: float) -> float:
    """Return the spacing from which the chair stops before it comes between the neighbours of the cone ahead [m]."""
    return given.ahead / (1.0 - math.cos(step)) + given.outline.front


def slalom(given: Given) -> Course:
    """Return the course through a line of cones, each passed on the other hand."""
    cones = [_cone(k, k * given.spacing, 0.0) for k in range(given.count)]
    away = max(given.spacing, given.ahead + FINISH_ROOM.value)
    hands: tuple[Side, Side] = ("left", "right")
    passes = [Pass(cone=cone.name, hand=hands[k % 2]) for k, cone in enumerate(cones)]
    end = Place(x=cones[-1].x + away, y=0.0)
    return Course(
        name="slalom",
        cones=tuple(cones),
        start=Place(x=-away, y=0.0),
        legs=(Leg(to=end, passes=tuple(passes)),),
    )


def opposite_hands(given: Given) -> float:
    """Return how far apart two cones passed on different hands stand: both circles, and what smoothing takes."""
    return 2.0 * given.beside + SLALOM_ALLOWANCE.value


def figure_eight(given: Given) -> Course:
    """Return the course round two cones, one leftwards and one rightwards."""
    cones = (_cone(1, 0.0, 0.0), _cone(2, given.spacing, 0.0))
    middle = Place(x=given.spacing / 2.0, y=0.0)
    around = (Pass(cone="1", hand="left"), Pass(cone="2", hand="right"))
    return Course(name="figure eight", cones=cones, start=middle, legs=(Leg(to=middle, passes=around * given.count),))


def square(given: Given) -> Course:
    """Return the course round the outside of four cones."""
    side = given.spacing
    cones = (_cone(1, 0.0, 0.0), _cone(2, 0.0, side), _cone(3, side, side), _cone(4, side, 0.0))
    home = Place(x=side / 2.0, y=-given.beside)
    once = tuple(Pass(cone=cone.name, hand="right") for cone in cones)
    return Course(name="square", cones=cones, start=home, legs=(Leg(to=home, passes=once * given.count),), tight=True)


def two_beside(given: Given) -> float:
    """Return how far apart two cones stand that let the chair through between them, both sides at the margin."""
    return 2.0 * given.beside


def t_course(given: Given) -> Course:
    """Return the course up the stem, to both ends of the bar, and down; the stem is twice half the bar."""
    half, stem = given.spacing, 2.0 * given.spacing
    cones = (_cone(0, 0.0, 0.0), _cone(1, 0.0, stem), _cone(2, -half, stem), _cone(3, half, stem))
    order: list[tuple[str, Side]] = [("1", "left"), ("2", "left"), ("3", "right"), ("1", "left")]
    home = Place(x=given.beside, y=0.0)
    return Course(
        name="T",
        cones=cones,
        start=home,
        legs=(Leg(to=Place(x=-given.beside, y=0.0), passes=tuple(Pass(cone=c, hand=h) for c, h in order)),),
        rolling_finish=True,
        tight=True,
    )


def t_needs(given: Given) -> float:
    """Return half the bar at which its cones let the chair through between them."""
    return max(opposite_hands(given), half_circle_needs(replace(given, count=2)))


def stop_and_turn(given: Given) -> Course:
    """Return lengths there and back with turns on the spot, every second one the other way."""
    ends = (Place(x=0.0, y=0.0), Place(x=given.spacing, y=0.0))
    hands: tuple[Side, Side] = ("left", "right")
    legs = [Leg(to=ends[(k + 1) % 2], turn=hands[(k + 1) % 2] if k else None) for k in range(given.count)]
    cones = (_cone(1, -given.round, 0.0), _cone(2, given.spacing + given.round, 0.0))
    return Course(name="stop and turn", cones=cones, start=ends[0], legs=tuple(legs), heading=0.0)


def push_lanes(given: Given) -> Course:
    """Return lengths in a zigzag, each faster than the one before by the same share."""
    return lane_course(
        outline=given.outline,
        length=given.spacing,
        shares=[given.top * (k + 1) / given.count for k in range(given.count)],
        side=given.side,
        margin=given.margin,
        backward=given.backward,
    )


def shortest_lane(_given: Given) -> float:
    """Return the shortest lane on which the chair gets going."""
    return 5.0


def shortest_push(_given: Given) -> float:
    """Return one push."""
    return SHORTEST_PUSH.value
