"""Measure the body's kinematics and statics: poses a second, one exercise's moments, where time goes, what speed costs.

Run on one thread:

    OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1 python benchmarks/body.py

Prints what it measured on this machine; nothing here is a test.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import time
from collections.abc import Callable

import numpy as np

from firstpush.core.body.moments import arm_moments, arm_segments, trunk_moment
from firstpush.core.body.movement import movement
from firstpush.core.body.posture import ArmAngles, Posture, humerus_rotation, skeleton
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.body_size import body_size
from firstpush.demo import demo_file

POSES = 20_000
ATHLETE = load_athlete(demo_file("athlete"))
BODY, CHAIR = body_size(ATHLETE), ATHLETE.chair


def best_of(run: Callable[[], object], times: int = 7) -> float:
    """Return the shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


def random_posture(n: int) -> Posture:
    """Return `n` random postures of trunk and both arms."""
    rng = np.random.default_rng(0)
    arms = {
        side: ArmAngles(
            humerus=humerus_rotation(
                plane=rng.uniform(-1, 2, n), elevation=rng.uniform(0, 3, n), rotation=rng.uniform(-1, 1, n), side=side
            ),
            elbow=rng.uniform(0, 2.5, n),
            pronation=rng.uniform(-1, 1, n),
            protraction=rng.uniform(-0.2, 0.3, n),
            lift=rng.uniform(-0.1, 0.1, n),
        )
        for side in SIDES
    }
    trunk = {name: rng.uniform(-0.5, 0.5, n) for name in ("trunk_turn", "trunk_flexion", "trunk_side_bend")}
    return Posture(**trunk, arms=arms)


def throughput() -> None:
    """Print one-arm poses a second of each step."""
    posture, force = random_posture(POSES), np.random.default_rng(1).normal(0, 40, (POSES, 3))
    bones = skeleton(BODY, CHAIR, posture)
    hand = bones.arms["left"].hand
    steps: dict[str, tuple[Callable[[], object], int]] = {
        "skeleton (two arms, trunk, head)": (lambda: skeleton(BODY, CHAIR, posture), 2),
        "moments of one arm": (lambda: arm_moments(BODY, bones, side="left", force=force), 1),
        "moment of the trunk": (lambda: trunk_moment(BODY, bones, [(hand, force)]), 1),
    }
    print(f"{POSES} poses at a time:")
    for name, (run, arms) in steps.items():
        seconds = best_of(run)
        unit = "one-arm poses" if "trunk" not in name or arms == 2 else "poses"
        print(f"  {name:34s} {1e3 * seconds:7.1f} ms   {arms * POSES / seconds / 1e6:5.2f} million {unit}/s")


def exercises() -> None:
    """Print the time of each exercise: its movement once, and all its moments."""
    print("\nOne exercise:")
    for name, exercise in library().items():
        made = movement(exercise, BODY, CHAIR, side="left")
        bones, force = made.skeleton, np.array([30.0, 0.0, 0.0])

        def moments(bones=bones, force=force) -> None:  # type: ignore[no-untyped-def]
            for side in SIDES:
                arm_moments(BODY, bones, side=side, force=force)
            trunk_moment(BODY, bones, [(bones.arms[side].hand, force) for side in SIDES])

        once = best_of(lambda exercise=exercise: movement(exercise, BODY, CHAIR, side="left"))  # type: ignore[misc]
        print(f"  {name:24s} {len(made.share):3d} frames   movement {1e3 * once:5.1f} ms   ", end="")
        print(f"moments of both arms and trunk {1e3 * best_of(moments):5.2f} ms")


def profile() -> None:
    """Print where the time of poses and moments goes."""
    posture, force = random_posture(POSES), np.array([30.0, 0.0, 0.0])
    watch = cProfile.Profile()
    watch.enable()
    for _ in range(5):
        bones = skeleton(BODY, CHAIR, posture)
        for side in SIDES:
            arm_moments(BODY, bones, side=side, force=force)
        trunk_moment(BODY, bones)
    watch.disable()
    print("\nWhere the time of poses and moments goes (own time):")
    rows = sorted(pstats.Stats(watch).stats.items(), key=lambda row: -row[1][2])  # type: ignore[attr-defined]
    total = sum(row[1][2] for row in rows)
    for (file, _, name), numbers in rows[:7]:
        print(f"  {100 * numbers[2] / total:4.0f} %  {os.path.basename(file)} {name}")


def inertia() -> None:
    """Print what quasi-statics leaves out: the largest Σ (r - shoulder) × m a over a phase, by its length.

    Segments as point masses, accelerations by finite differences of minimum-jerk timing.
    """
    lengths = (3.0, 2.0, 1.5, 1.0, 0.5)
    print("\nLargest shoulder moment of inertia left out [N·m], by seconds a phase:")
    print("  " + " " * 24 + "".join(f"{seconds:8.1f}" for seconds in lengths))
    for name, exercise in library().items():
        if exercise.circle is not None or len(exercise.poses) < 2:
            continue
        bones = movement(exercise, BODY, CHAIR, side="left", frames=401).skeleton
        arm, step = bones.arms["left"], 1 / 400
        left_out = np.zeros_like(arm.hand)
        for part in arm_segments(BODY, arm, "left").values():
            speed = np.gradient(part.com, step, axis=0)
            left_out += part.mass * np.cross(part.com - arm.shoulder, np.gradient(speed, step, axis=0))
        at_one_second = np.linalg.norm(left_out[2:-2], axis=-1).max()
        print(f"  {name:24s}" + "".join(f"{at_one_second / seconds**2:8.2f}" for seconds in lengths))


if __name__ == "__main__":
    print(f"threads: {os.environ.get('OPENBLAS_NUM_THREADS', 'not set (see the docstring)')}\n")
    throughput()
    exercises()
    profile()
    inertia()
