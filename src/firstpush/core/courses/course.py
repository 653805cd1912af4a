"""A course as data: cones on the floor, in which order and on which hand they are passed, where the chair stops."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from firstpush.core.errors import FirstpushError, UnknownNameError
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side

Array = NDArray[np.float64]

CONE_RADIUS = Measured(
    name="radius of a cone at the floor",
    value=0.10,
    unit="m",
    spread=0.04,
    source="marker cones of a hall, about 0.2 m across",
    known="our choice",
)
MARGIN = Measured(
    name="room kept between chair and cone",
    value=0.15,
    unit="m",
    spread=0.05,
    source="a hand's breadth and a half: a knuckle on the rim stays clear",
    known="our choice",
)
FARTHEST = 200.0
"""Coordinates beyond this are a slipped point or unit [m]."""
SAME_PLACE = 0.001
"""Two places nearer than this are one [m]."""


class CourseError(FirstpushError):
    """A course that no chair can drive as it is; says which cones, and what distance would do."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """A point on the floor: x to the right, y away from who sets it out [m]."""

    x: float
    y: float


@dataclass(frozen=True, kw_only=True)
class Cone(Place):
    """A cone on the floor, by a short name; `radius` at the floor [m]."""

    name: str
    radius: float = CONE_RADIUS.value


@dataclass(frozen=True, kw_only=True)
class Pass:
    """One cone passed with the cone on one hand of the athlete: on the left hand the chair goes round it leftwards."""

    cone: str
    hand: Side


@dataclass(frozen=True, kw_only=True)
class Leg:
    """From one standstill to the next.

    Parameters
    ----------
    to : Place
        Where the rear axle comes to rest.
    passes : tuple of Pass
        Cones on the way, in order.
    backward : bool
        Whether the chair is pulled backwards.
    share : float
        Share of the athlete's maximal speed, above 0 and at most 1.
    turn : str or None
        Which way the chair turns on the spot before it sets off; None takes the shorter way.
    pause : float
        Standstill after it [s].
    says : str
        What stands beside it on the plan, for example "2 · 50 %".
    """

    to: Place
    passes: tuple[Pass, ...] = ()
    backward: bool = False
    share: float = 1.0
    turn: Side | None = None
    pause: float = 0.0
    says: str = ""


@dataclass(frozen=True, kw_only=True)
class Course:
    """Cones, and the way round them.

    Parameters
    ----------
    name : str
        Name of its layout, or the user's own.
    cones : tuple of Cone
        All that stand on the floor, passed or not.
    start : Place
        Where the rear axle stands at the start.
    legs : tuple of Leg
        In order; each begins where the one before ends.
    heading : float or None
        Where the chair faces at the start, anticlockwise from x [rad]; None: along its way.
    flying_start, rolling_finish : bool
        Whether the chair rolls already at the start, and rolls on at the finish.
    tight : bool
        Whether a wide line would take the sense out of the drill.
    spacing : float or None
        The one length of its layout [m], and `spacing_word`, what that length is called.

    Raises
    ------
    CourseError, UnknownNameError
        For a name given twice, a cone that does not stand there, a length that is none.
    """

    name: str
    cones: tuple[Cone, ...]
    start: Place
    legs: tuple[Leg, ...]
    heading: float | None = None
    flying_start: bool = False
    rolling_finish: bool = False
    tight: bool = False
    spacing: float | None = None
    spacing_word: str = ""

    def __post_init__(self) -> None:
        names = [cone.name for cone in self.cones]
        for name in names:
            if names.count(name) > 1:
                raise CourseError(
                    f"two cones of {self.name!r} have the name {name!r}; every cone has its own; give one another name."
                )
        if not self.legs:
            raise CourseError(
                f"{self.name!r} leads nowhere; a course has one stretch or more; give its finish, or a cone to pass."
            )
        for leg in self.legs:
            for each in leg.passes:
                if each.cone not in names:
                    raise UnknownNameError(kind="cone", given=each.cone, known=names)
            if not 0.0 < leg.share <= 1.0:
                raise CourseError(
                    f"{leg.share:g} of the maximal speed cannot be pushed; allowed is above 0 and at most 1 (100 %);"
                    " give such a share."
                )
            if not leg.pause >= 0.0:
                raise CourseError(f"a pause of {leg.pause:g} s cannot be; allowed is 0 s or more; give such a pause.")
        for place in (*self.cones, self.start, *(leg.to for leg in self.legs)):
            if not (abs(place.x) <= FARTHEST and abs(place.y) <= FARTHEST):
                raise CourseError(
                    f"({place.x:g} m, {place.y:g} m) is no place on a floor; allowed is up to {FARTHEST:g} m from the"
                    " corner that counts as 0; check point and unit."
                )
        for cone in self.cones:
            if not 0.01 <= cone.radius <= 0.5:
                raise CourseError(
                    f"cone {cone.name} of {2 * cone.radius:g} m across cannot stand on a course; allowed is 0.02 m to"
                    " 1 m; check the unit."
                )
        if self.heading is not None and not math.isfinite(self.heading):
            raise CourseError(f"a heading of {self.heading} cannot be faced; allowed is any angle; leave it out.")
        self._refuse_legs_that_lead_nowhere()
        self._refuse_cones_in_cones()

    def _refuse_legs_that_lead_nowhere(self) -> None:
        at = self.start
        for leg in self.legs:
            if not leg.passes and between(at, leg.to) < SAME_PLACE:
                raise CourseError(
                    f"a stretch of {self.name!r} ends where it begins, at ({at.x:g} m, {at.y:g} m), and passes no cone;"
                    " allowed is a length above 0 m; move its end, or give a cone to go round."
                )
            for one, two in pairwise(leg.passes):
                if one.cone == two.cone:
                    raise CourseError(
                        f"cone {one.cone} is passed twice running; between two passages of a cone another one is"
                        " passed, or the chair stops; take one out, or put something between."
                    )
            at = leg.to

    def _refuse_cones_in_cones(self) -> None:
        for i, one in enumerate(self.cones):
            for other in self.cones[i + 1 :]:
                apart, needed = between(one, other), one.radius + other.radius
                if apart < needed:
                    raise CourseError(
                        f"cones {one.name} and {other.name} stand {apart:.2f} m apart, one inside the other; allowed is"
                        f" {needed:.2f} m or more; move one of them."
                    )

    def cone(self, name: str) -> Cone:
        """Return the cone called `name`; UnknownNameError names those that stand there."""
        for cone in self.cones:
            if cone.name == name:
                return cone
        raise UnknownNameError(kind="cone", given=name, known=[each.name for each in self.cones])

    @property
    def finish(self) -> Place:
        """Where the chair comes to rest, or passes at speed."""
        return self.legs[-1].to

    @property
    def order(self) -> str:
        """The cones in order with the hand each is on, "/" at a standstill: "1R 0L / 2R"."""
        legs = (" ".join(f"{each.cone}{each.hand[0].upper()}" for each in leg.passes) for leg in self.legs)
        return " / ".join(each for each in legs if each)

    def moved(self, *, right: float = 0.0, up: float = 0.0, turned: float = 0.0) -> Course:
        """Return the course turned anticlockwise about (0, 0) by `turned` [rad], then moved [m]."""
        c, s = math.cos(turned), math.sin(turned)

        def there(x: float, y: float) -> tuple[float, float]:
            return c * x - s * y + right, s * x + c * y + up

        return _mapped(self, there, heading=None if self.heading is None else self.heading + turned)

    def mirrored(self) -> Course:
        """Return the course the other way round: left and right exchanged about the middle line of its cones.

        Where the mirrored cones stand on the same places as before, the places keep their names: nothing has to be
        set out again.
        """
        xs = [place.x for place in (self.cones or (self.start,))]
        axis = min(xs) + max(xs)
        turned = _mapped(
            self,
            lambda x, y: (axis - x, y),
            heading=None if self.heading is None else math.pi - self.heading,
            swap=True,
        )
        new_names = {}
        for cone in turned.cones:
            here = [each.name for each in self.cones if between(each, cone) < SAME_PLACE and each.radius == cone.radius]
            if not here:
                return turned
            new_names[cone.name] = here[0]
        legs = tuple(
            replace(leg, passes=tuple(replace(each, cone=new_names[each.cone]) for each in leg.passes))
            for leg in turned.legs
        )
        return replace(turned, cones=self.cones, legs=legs)


def between(one: Place, other: Place) -> float:
    """Return the distance between two places [m]."""
    return math.hypot(one.x - other.x, one.y - other.y)


def other_hand(hand: Side) -> Side:
    """Return the other hand."""
    return "right" if hand == "left" else "left"


def _mapped(
    course: Course, there: Callable[[float, float], tuple[float, float]], *, heading: float | None, swap: bool = False
) -> Course:
    """Return `course` with each place where the function `there` puts it; `swap` exchanges the hands."""

    def leg_there(leg: Leg) -> Leg:
        x, y = there(leg.to.x, leg.to.y)
        passes = tuple(replace(each, hand=other_hand(each.hand)) if swap else each for each in leg.passes)
        turn = other_hand(leg.turn) if swap and leg.turn else leg.turn
        return replace(leg, to=Place(x=x, y=y), passes=passes, turn=turn)

    cones = []
    for cone in course.cones:
        x, y = there(cone.x, cone.y)
        cones.append(replace(cone, x=x, y=y))
    x, y = there(course.start.x, course.start.y)
    return replace(
        course,
        cones=tuple(cones),
        start=Place(x=x, y=y),
        legs=tuple(leg_there(leg) for leg in course.legs),
        heading=heading,
    )
