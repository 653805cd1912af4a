"""A chair with its athlete from above, to scale: at the start of a push lane and on the plan of a course."""

from __future__ import annotations

import math

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import Layer, hull, outline
from firstpush.core.figure.palette import FRAME, HAIR, PAPER, SHIRT, TYRE, WEIGHTS
from firstpush.core.people.athlete import Chair

TYRE_M = 0.018
"""Half of what a tyre is wide, with its rim [m]."""


def chair_from_above(chair: Chair, *, scale: float, x: float, y: float, heading: float = 0.0) -> list[Layer]:
    """Return a chair and its athlete seen from above.

    Parameters
    ----------
    chair : Chair
    scale : float
        Millimetres of paper for a metre.
    x, y : float
        Middle of the rear axle on the page [mm].
    heading : float
        Where it faces, anticlockwise from the page's right [rad].

    Returns
    -------
    list of Layer
        From below to above.
    """
    import shapely

    c, s = math.cos(heading), math.sin(heading)

    def page(points: list[tuple[float, float]]) -> Array:
        return np.array([(x + scale * (c * a - s * b), y - scale * (s * a + c * b)) for a, b in points])

    radius = chair.wheel_diameter / 2
    # Tyres stand where the floor is swept: their outer edge at the overall width, as in `courses.outline_of`.
    low = chair.overall_width / 2 - TYRE_M
    high = low - 2 * radius * math.sin(chair.camber)
    layers: list[Layer] = []
    seat = hull(page([(-0.16, 0.17), (-0.16, -0.17), (0.28, 0.17), (0.28, -0.17)]))
    foot = hull(page([(0.28, 0.16), (0.28, -0.16), (chair.footplate_reach, 0.13), (chair.footplate_reach, -0.13)]))
    layers += [Layer(geometry=foot, fill=FRAME.light), outline(foot, WEIGHTS.inner)]
    layers += [Layer(geometry=seat, fill=TYRE.light)]
    for side in (1.0, -1.0):
        ends = [(-radius, side * (low + high) / 2), (0.0, side * low), (0.0, side * high)]
        wheel = hull(page([*ends, (radius, side * (low + high) / 2)])).buffer(TYRE_M * scale)
        layers += [
            Layer(geometry=wheel, fill=PAPER),
            Layer(geometry=wheel.boundary, stroke=TYRE.light, width=max(0.035 * scale, 0.22), role="detail"),
        ]
    around = np.linspace(0.0, 2.0 * np.pi, 40, endpoint=False)
    body = [(0.04 + 0.12 * math.cos(each), 0.235 * math.sin(each)) for each in around]
    shoulders = shapely.Polygon(page(body))
    head = shapely.Point(page([(0.06, 0.0)])[0]).buffer(0.095 * scale, quad_segs=8)
    layers += [Layer(geometry=shoulders, fill=SHIRT.light), outline(shoulders, WEIGHTS.inner)]
    layers += [Layer(geometry=head, fill=HAIR[0].light)]
    return layers
