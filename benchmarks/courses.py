"""Random courses: how many lines keep the margin, and how long one takes; least spacings against the swept truth.

Run: OMP_NUM_THREADS=1 uv run python benchmarks/courses.py [--count 500]
"""

from __future__ import annotations

import argparse
import time

import numpy as np

from firstpush.core.courses import (
    ChairOutline,
    Cone,
    Course,
    Leg,
    Limits,
    Line,
    Pass,
    Place,
    candidates,
    is_clear,
    lay_out,
    least_spacing,
    line_over,
    outline_of,
)
from firstpush.core.people.chair_presets import filled_chair

MARGIN = 0.15
APART = 0.10
"""By how much cones stand farther apart than a chair needs to pass between them [m]."""


def random_chair(rng: np.random.Generator) -> ChairOutline:
    """Return the outline of a court chair of random width and length."""
    given = {"overall_width": rng.uniform(0.62, 0.95), "footplate_reach": rng.uniform(0.42, 0.70)}
    return outline_of(filled_chair("court", name="random", measured=frozenset(), given=given))


def random_course(rng: np.random.Generator, outline: ChairOutline) -> Course:
    """Return a course of 3 to 8 cones in random order and on random hands; a chair fits between any two of them."""
    count = int(rng.integers(3, 9))
    beside = outline.width / 2 + 0.10 + MARGIN
    apart = 2 * beside + APART
    places: list[tuple[float, float]] = []
    while len(places) < count + 2:
        x, y = rng.uniform(0, 9), rng.uniform(0, 7)
        if all(np.hypot(x - a, y - b) >= apart for a, b in places):
            places.append((float(x), float(y)))
    cones = tuple(Cone(name=str(i), x=x, y=y) for i, (x, y) in enumerate(places[:count]))
    order = [int(i) for i in rng.permutation(count)]
    order += [int(i) for i in rng.permutation(count)[: int(rng.integers(0, count))] if i != order[-1]]
    order = [each for i, each in enumerate(order) if i == 0 or each != order[i - 1]]
    hands = rng.integers(0, 2, size=len(order))
    passes = tuple(Pass(cone=str(c), hand=("left", "right")[h]) for c, h in zip(order, hands, strict=True))
    (x0, y0), (x1, y1) = places[count:]
    return Course(name="random", cones=cones, start=Place(x=x0, y=y0), legs=(Leg(to=Place(x=x1, y=y1), passes=passes),))


def lines(count: int) -> None:
    """Print the share of random courses whose line keeps the margin, and the times."""
    rng = np.random.default_rng(20)
    rooms, seconds, reckoned, hands = [], [], [], []
    for _ in range(count):
        outline = random_chair(rng)
        course = random_course(rng, outline)
        start = time.perf_counter()
        ways = candidates(course, outline, margin=MARGIN)
        line = line_over(course, outline, Limits(), margin=MARGIN, ways=ways)
        seconds.append(time.perf_counter() - start)
        start = time.perf_counter()
        line_over(course, outline, Limits(), margin=MARGIN, ways=ways, style="hugging")
        reckoned.append(time.perf_counter() - start)
        rooms.append(line.nearest)
        hands.append(hands_kept(line))
    kept = np.mean(np.array(rooms) >= MARGIN - 0.01)
    in_time = np.mean(np.array(seconds) < 1.0)
    print(f"{count} random courses: {100 * kept:.1f} % keep the margin but for 1 cm, {100 * in_time:.1f} % below 1 s")
    print(f"{100 * np.mean(hands):.1f} % pass every cone on the hand asked")
    print(f"nearest of all {1000 * min(rooms):.0f} mm, asked {1000 * MARGIN:.0f} mm")
    print(f"a line: median {1000 * np.median(seconds):.0f} ms, slowest {1000 * max(seconds):.0f} ms")
    print(f"times of a known way: median {1000 * np.median(reckoned):.0f} ms")


def hands_kept(line: Line) -> bool:
    """Return whether every cone lies on the hand asked where it is passed."""
    for roll in line.rolls:
        track = roll.candidate.track
        for each, at in zip(roll.leg.passes, roll.candidate.passing, strict=True):
            cone, i = line.course.cone(each.cone), int(np.abs(track.along - at).argmin())
            dx, dy = cone.x - track.x[i], cone.y - track.y[i]
            left = np.cos(track.direction[i]) * dy - np.sin(track.direction[i]) * dx
            if (left > 0.0) != (each.hand == "left"):
                return False
    return True


def spacings() -> None:
    """Print how far closed form and confirmed spacing are from the least that the swept floor allows, in 2 mm steps.

    Only layouts whose cones decide; the others have a least length by choice.
    """
    worst = {"closed form": 0.0, "confirmed": 0.0}
    for width in np.arange(0.62, 0.97, 0.05):
        chair = filled_chair("court", name="court chair", measured=frozenset(), given={"overall_width": float(width)})
        outline = outline_of(chair)
        for name, count in (("half-circle", 3), ("half-circle", 5), ("half-circle", 7), ("slalom", 6), ("t", 4)):
            found = least_spacing(name, outline=outline, count=count)
            truth = found.needed
            while is_clear(lay_out(name, outline=outline, spacing=truth - 0.002, count=count), outline):
                truth -= 0.002
            print(
                f"{width:.2f} m wide, {name} of {count}: swept truth {truth:.3f} m,"
                f" closed form {found.by_geometry:.3f} m, confirmed {found.needed:.2f} m"
            )
            worst["closed form"] = max(worst["closed form"], abs(found.by_geometry - truth))
            worst["confirmed"] = max(worst["confirmed"], abs(found.needed - truth))
    print(", ".join(f"{what} at most {1000 * error:.0f} mm from the truth" for what, error in worst.items()))


def main() -> None:
    """Run both."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=500)
    lines(asked.parse_args().count)
    spacings()


if __name__ == "__main__":
    main()
