"""What lies before what: pairwise depth where two parts overlap, then one order that breaks the fewest pairs."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import Geometry, Part

SAMPLES = 40
LEAST_OVERLAP_MM2 = 0.02


def _samples(area: Geometry) -> Array:
    """Return points spread over `area`: its vertices drawn towards its middle by fixed shares."""
    import shapely

    edge = shapely.get_coordinates(area)
    step = max(1, len(edge) // SAMPLES)
    edge = edge[::step]
    middle = shapely.get_coordinates(area.representative_point())[0]
    return np.concatenate([middle[None], middle + 0.45 * (edge - middle), middle + 0.85 * (edge - middle)])


def pair_depths(parts: list[Part], *, since: int = 0) -> dict[tuple[int, int], float]:
    """Return for each overlapping pair how much the second stands before the first, weighed by the overlap [mm2].

    Parameters
    ----------
    parts : list of Part
    since : int
        Leave out pairs of which both come before this place in `parts`.
    """
    import shapely

    shapes = np.array([part.shape for part in parts], dtype=object)
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="intersects")
    keep = (first < second) & (second >= since)
    first, second = first[keep], second[keep]
    areas = shapely.intersection(shapes[first], shapes[second])
    sizes = shapely.area(areas)
    found = {}
    for i, j, area, size in zip(first, second, areas, sizes, strict=True):
        if size < LEAST_OVERLAP_MM2:
            continue
        points = _samples(area)
        inside = shapely.contains_xy(area, points)
        points = points[inside] if inside.any() else points
        difference = parts[j].balls.front(points) - parts[i].balls.front(points)
        found[int(i), int(j)] = float(np.mean(difference)) * float(np.sqrt(size))
    return found


def depth_order(
    parts: list[Part],
    forced: Iterable[tuple[str, str]] = (),
    *,
    known: dict[tuple[int, int], float] | None = None,
    since: int = 0,
) -> list[Part]:
    """Return `parts` from back to front.

    Parameters
    ----------
    parts : list of Part
    forced : pairs of str
        Names (behind, before) that hold whatever the depths say, where both are there.
    known : dict, optional
        `pair_depths` of the first `since` parts, where they are the same in every frame.

    Returns
    -------
    list of Part
        At each step the part with least in the way of being painted now; a cycle is broken at its weakest pair.
    """
    index = {part.name: i for i, part in enumerate(parts)}
    behind = np.zeros((len(parts), len(parts)))
    for (i, j), difference in {**(known or {}), **pair_depths(parts, since=since)}.items():
        # behind[a, b] > 0: a must be painted before b is.
        if difference > 0:
            behind[i, j] = difference
        else:
            behind[j, i] = -difference
    for back, front in forced:
        if back in index and front in index:
            a, b = index[back], index[front]
            behind[a, b], behind[b, a] = 1e6, 0.0
    left = list(range(len(parts)))
    order: list[int] = []
    while left:
        load = behind[np.ix_(left, left)].sum(axis=0)
        chosen = left[int(np.argmin(np.round(load, 9)))]
        order.append(chosen)
        left.remove(chosen)
    return [parts[i] for i in order]
