"""What lies before what: pairwise depth where two parts overlap, then one order that breaks the fewest pairs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.figure.outlines import Geometry, Part

SAMPLES = 40
LEAST_OVERLAP_MM2 = 0.02


def _samples(area: Geometry, middle: Array) -> Array:
    """Return points spread over `area`: its vertices drawn towards its `middle` (2,) by fixed shares."""
    import shapely

    edge = shapely.get_coordinates(area)
    edge = edge[:: max(1, len(edge) // SAMPLES)] - middle
    return np.concatenate([middle[None], middle + 0.45 * edge, middle + 0.85 * edge])


@dataclass
class Lasting:
    """What is known of pairs of parts that are the same in several frames.

    Parameters
    ----------
    kept : set of int
        Identities of parts that somebody keeps alive: an identity says nothing of a part that is thrown away.
    depths : dict
        What `pair_depths` found of two such parts, None where they do not overlap.
    """

    kept: set[int]
    depths: dict[tuple[int, int], float | None] = field(default_factory=dict)


def pair_depths(parts: list[Part], *, since: int = 0, lasting: Lasting | None = None) -> dict[tuple[int, int], float]:
    """Return for each overlapping pair how much the second stands before the first, weighed by the overlap [mm2].

    Parameters
    ----------
    parts : list of Part
    since : int
        Leave out pairs of which both come before this place in `parts`.
    lasting : Lasting, optional
        What is known from other frames; what is found is added to it.
    """
    import shapely

    told = {} if lasting is None else lasting.depths
    kept = [lasting is not None and id(part) in lasting.kept for part in parts]
    shapes = np.array([part.shape for part in parts], dtype=object)
    second, first = shapely.STRtree(shapes).query(shapes[since:], predicate="intersects")
    second = second + since
    keep = first < second
    pairs = zip(first[keep].tolist(), second[keep].tolist(), strict=True)
    names = {(i, j): (id(parts[i]), id(parts[j])) for i, j in pairs}
    new = [pair for pair, name in names.items() if not (kept[pair[0]] and kept[pair[1]] and name in told)]
    found = {pair: told.get(name) for pair, name in names.items()}
    areas = shapely.intersection(shapes[[i for i, _ in new]], shapes[[j for _, j in new]])
    sizes = shapely.area(areas)
    middles = np.zeros((len(new), 2))
    middles[sizes > 0] = shapely.get_coordinates(shapely.point_on_surface(areas[sizes > 0]))
    for pair, area, size, middle in zip(new, areas, sizes.tolist(), middles, strict=True):
        little = size < LEAST_OVERLAP_MM2
        found[pair] = None if little else _depth_of(parts[pair[0]], parts[pair[1]], area, size, middle)
        if kept[pair[0]] and kept[pair[1]]:
            told[names[pair]] = found[pair]
    return {pair: depth for pair, depth in found.items() if depth is not None}


def _depth_of(first: Part, second: Part, area: Geometry, size: float, middle: Array) -> float:
    """Return how much `second` stands before `first` where they overlap in `area`, weighed by its `size` [mm2]."""
    import shapely

    points = _samples(area, middle)
    inside = shapely.contains_xy(area, points)
    points = points[inside] if inside.any() else points
    difference = second.balls.front(points) - first.balls.front(points)
    return float(difference.mean()) * float(np.sqrt(size))


def depth_order(
    parts: list[Part],
    forced: Iterable[tuple[str, str]] = (),
    *,
    known: dict[tuple[int, int], float] | None = None,
    since: int = 0,
    lasting: Lasting | None = None,
) -> list[Part]:
    """Return `parts` from back to front.

    Parameters
    ----------
    parts : list of Part
    forced : pairs of str
        Names (behind, before) that hold whatever the depths say, where both are there.
    known : dict, optional
        `pair_depths` of the first `since` parts, where they are the same in every frame.
    lasting : Lasting, optional
        What is known of other parts that are the same in several frames; what is found is added to it.

    Returns
    -------
    list of Part
        At each step the part with least in the way of being painted now; a cycle is broken at its weakest pair.
    """
    index = {part.name: i for i, part in enumerate(parts)}
    behind = np.zeros((len(parts), len(parts)))
    for (i, j), difference in {**(known or {}), **pair_depths(parts, since=since, lasting=lasting)}.items():
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
