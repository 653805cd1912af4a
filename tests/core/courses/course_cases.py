"""Chairs and courses that the tests of courses share."""

from __future__ import annotations

import numpy as np

from firstpush.core.courses import ChairOutline, Cone, Course, Leg, Pass, Place, outline_of
from firstpush.core.people.athlete import Chair
from firstpush.core.people.chair_presets import filled_chair

MARGIN = 0.15
CONE = 0.10


def chair(**given: float) -> Chair:
    """Return a court chair with the sizes given [m], others usual."""
    return filled_chair("court", name="court chair", measured=frozenset(), given=given)


def outline(width: float = 0.88, *, name: str = "Runa", **given: float) -> ChairOutline:
    """Return the outline of a court chair of that width."""
    return outline_of(chair(overall_width=width, **given), name=name)


def random_course(rng: np.random.Generator, of: ChairOutline) -> Course:
    """Return 3 to 7 cones in random order and on random hands, any two 0.1 m farther apart than the chair needs."""
    count = int(rng.integers(3, 8))
    apart = 2 * (of.width / 2 + CONE + MARGIN) + 0.10
    places: list[tuple[float, float]] = []
    while len(places) < count + 2:
        x, y = rng.uniform(0, 9), rng.uniform(0, 7)
        if all(np.hypot(x - a, y - b) >= apart for a, b in places):
            places.append((float(x), float(y)))
    cones = tuple(Cone(name=str(i), x=x, y=y) for i, (x, y) in enumerate(places[:count]))
    hands = rng.integers(0, 2, size=count)
    order = rng.permutation(count)
    passes = tuple(Pass(cone=str(c), hand=("left", "right")[h]) for c, h in zip(order, hands, strict=True))
    (x0, y0), (x1, y1) = places[count:]
    return Course(name="random", cones=cones, start=Place(x=x0, y=y0), legs=(Leg(to=Place(x=x1, y=y1), passes=passes),))
