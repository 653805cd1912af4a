"""The demo athlete in the demo hall, changed at will, and a second, slow way to check any set-up.

The second way shares the posture, the capsules and the numbers of the tables with the program, and nothing else: pulls
by the band law written out, loads by `core.body.moments`, clearance and recoil by points along the line, the trunk by
sums over its parts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from firstpush.core.body.moments import arm_moments, trunk_moment
from firstpush.core.body.posture import Skeleton
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.kit.bands import BandLaw
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES, ArmFunction, Athlete, Side, Strap, TrunkControl
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.body_size import HIP_CENTRE_ABOVE_SEAT
from firstpush.core.setup.chair_stability import chair_stability
from firstpush.core.setup.circumstances import Circumstances, circumstances, upper_body, whole_centre
from firstpush.core.setup.obstacles import obstacles
from firstpush.core.setup.result import ExerciseSetup, SetupAnswer
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.trunk_hold import UpperBody
from firstpush.core.tables import read_table
from firstpush.demo import demo_file

BANDED = ("seated_row", "external_rotation_90", "anti_rotation_press")
RUNA: Athlete = load_athlete(demo_file("athlete"))
CUPBOARD: Kit = load_kit(demo_file("kit"))
HALL: Venue = load_venue(demo_file("venue"))
NO_STRAPS = replace(CUPBOARD, chest_straps=0, waist_straps=0)
NO_TRUNK = TrunkControl(forward="no", turn="no", lean_left="no", lean_right="no")
FULL_ARM = ArmFunction(
    grip="full",
    feeling="full",
    elbow_extension=5,
    wrist_extension=5,
    elevation=np.pi,
    external_rotation=np.radians(95),
)
EVEN: Athlete = replace(RUNA, left=FULL_ARM, right=FULL_ARM, strength=())
"""The demo athlete with both sides alike and nothing tested."""

G = 9.81


def in_chair(athlete: Athlete, **change: Any) -> Athlete:
    """Return the athlete in a changed chair."""
    return replace(athlete, chairs=(replace(athlete.chair, **change),))


def pole(*heights: float, room: float = 3.0) -> Venue:
    """Return a hall with one post that offers `heights` [m] and `room` before it [m]."""
    return replace(HALL, posts=(Post(name="pole", heights=heights, room_in_front=room, places=1),))


def only(*names: str, **change: Any) -> Kit:
    """Return the cupboard with these bands alone, each changed alike."""
    return replace(CUPBOARD, bands=tuple(replace(band, **change) for band in CUPBOARD.bands if band.name in names))


@cache
def case_of(athlete: Athlete = RUNA, kit: Kit = CUPBOARD, venue: Venue = HALL) -> Circumstances:
    """Return the circumstances, made once for all tests that ask for the same."""
    return circumstances(athlete, kit, venue)


def searched(exercise: str | Exercise, side: Side = "right", *, case: Circumstances | None = None, **how: Any) -> Any:
    """Return the answer of the search for an exercise by name or as it is; ranges only where they are asked for."""
    wanted = exercise_named(exercise) if isinstance(exercise, str) else exercise
    how.setdefault("ranges", False)
    answer: SetupAnswer = search_setup(wanted, case_of() if case is None else case, side=side, **how)
    return answer


def best(exercise: str | Exercise, side: Side = "right", *, case: Circumstances | None = None, **how: Any) -> Any:
    """Return the best set-up; fails with the sentence of the search when there is none."""
    answer = searched(exercise, side, case=case, best=1, **how)
    assert answer.best is not None, answer.answer
    setup: ExerciseSetup = answer.best
    return setup


@dataclass(frozen=True, kw_only=True)
class Laid:
    """One way to lay a band, as little as has to be said of it."""

    exercise: Exercise
    side: Side
    skeleton: Skeleton
    attach: dict[Side, str]
    law: BandLaw
    strands: int
    mark: float
    anchor: Array
    strap: Strap
    free_hand: bool


def laid(setup: ExerciseSetup) -> Laid:
    """Return the set-up as a `Laid`."""
    assert setup.band is not None and setup.band.anchor is not None
    return Laid(
        exercise=setup.exercise,
        side=setup.side,
        skeleton=setup.movement.skeleton,
        attach={side: setup.attach.get(side, "hand") for side in SIDES},
        law=setup.band.law,
        strands=setup.band.strands,
        mark=setup.band.slack_length,
        anchor=setup.band.anchor,
        strap=setup.strap,
        free_hand=any(word.startswith("one arm") for word in setup.support),
    )


def held_at(skeleton: Skeleton, side: Side, attach: str) -> Array:
    """Return where the band pulls: the grip centre, or a wrist cuff at 0.95 of the forearm."""
    arm = skeleton.arms[side]
    return arm.hand if attach == "hand" else 0.05 * arm.elbow + 0.95 * arm.wrist


def starts(way: Laid) -> list[tuple[Array, dict[Side, float]]]:
    """Return where each stretched line begins and what share of it each arm takes."""
    at = {side: held_at(way.skeleton, side, way.attach[side]) for side in SIDES}
    assert way.exercise.band is not None
    match way.exercise.band.grip:
        case "working":
            return [(at[way.side], {way.side: 1.0})]
        case "each":
            return [(at[side], {side: 1.0}) for side in SIDES]
        case _:
            return [((at["left"] + at["right"]) / 2, {"left": 0.5, "right": 0.5})]


def stretches(way: Laid) -> list[Array]:
    """Return length over slack length of each line over the frames."""
    return [np.linalg.norm(way.anchor - start, axis=-1) / way.mark for start, _ in starts(way)]


def forces(way: Laid) -> dict[Side, Array]:
    """Return the force of the band on each arm, the law written out: n (c1 + c2/l) (l - 1/l²) towards the anchor."""
    found: dict[Side, Array] = {}
    for (start, shares), stretch in zip(starts(way), stretches(way), strict=True):
        taut = np.maximum(stretch, 1.0)
        assert way.law.c1 is not None and way.law.c2 is not None
        pull = way.strands * (way.law.c1 + way.law.c2 / taut) * (taut - 1 / taut**2)
        towards = (way.anchor - start) / np.linalg.norm(way.anchor - start, axis=-1)[:, None]
        for side, share in shares.items():
            found[side] = share * pull[:, None] * towards
    return found


def load(case: Circumstances, way: Laid, force: dict[Side, Array]) -> Array:
    """Return the load that the exercise names, from `core.body.moments`."""
    at = {side: held_at(way.skeleton, side, way.attach[side]) for side in SIDES}
    if way.exercise.loads == "trunk turn":
        turn = trunk_moment(case.body, way.skeleton, [(at[side], force[side]) for side in force]).turn
        return turn if way.side == "right" else -turn
    beyond: Any = "hand" if way.attach[way.side] == "hand" else "forearm"
    moments = arm_moments(case.body, way.skeleton, side=way.side, force=force[way.side], at=at[way.side], beyond=beyond)
    if way.exercise.loads == "retraction":
        return moments.retraction
    return np.asarray(getattr(moments.shoulder, way.exercise.loads.replace(" ", "_")))


def elongation_kept(way: Laid) -> bool:
    """Whether the upper 95 % of the stretch stays within the limit and the lower 95 % above 1.03."""
    kept = True
    for stretch in stretches(way):
        # 1.5 cm on the mark; 3 cm each for anchor and chair.
        relative = np.sqrt((0.015 / way.mark) ** 2 + 2 * (0.03 / (stretch * way.mark)) ** 2)
        kept &= bool((stretch * (1 + 1.645 * relative)).max() <= 1 + way.law.limit_elongation + 1e-9)
        kept &= bool((stretch * (1 - 1.645 * relative)).min() >= 1.03 - 1e-9)
    return kept


def smallest_clearance(case: Circumstances, way: Laid, *, points: int = 60) -> tuple[float, str]:
    """Return how near the band comes to body and chair in any frame, by points along it, and to what [m]."""
    lines = starts(way)
    pulling = tuple({side for _, shares in lines for side in shares})
    capsules = obstacles(case.body, case.chair, way.skeleton, pulling=pulling)
    nearest, what = np.inf, ""
    for start, _ in lines:
        length = np.linalg.norm(way.anchor - start, axis=-1)
        share = np.minimum(0.15 / length, 1.0)[:, None]
        along = share + (1 - share) * np.linspace(0, 1, points)[None]
        band = start[:, None] + along[..., None] * (way.anchor - start)[:, None]
        rod = capsules.end - capsules.start
        off = band[:, :, None] - capsules.start[:, None]
        foot = np.clip(
            np.einsum("fpcx,fcx->fpc", off, rod) / np.maximum(np.einsum("fcx,fcx->fc", rod, rod), 1e-12)[:, None], 0, 1
        )
        distance = np.linalg.norm(off - foot[..., None] * rod[:, None], axis=-1) - capsules.radius
        if distance.min() < nearest:
            nearest = float(distance.min())
            what = capsules.names[int(np.unravel_index(distance.argmin(), distance.shape)[2])]
    return nearest, what


def recoil(case: Circumstances, way: Laid, *, points: int = 200) -> float:
    """Return how near a band that slips off passes to the head: points from the anchor to a mark beyond the hand."""
    nearest = np.inf
    for start, _ in starts(way):
        length = np.linalg.norm(start - way.anchor, axis=-1)[:, None]
        share = np.linspace(0, 1, points)[None] * (1 + way.mark / length)
        ray = way.anchor + share[..., None] * (start - way.anchor)[:, None]
        distance = np.linalg.norm(ray - way.skeleton.head[:, None], axis=-1)
        nearest = min(nearest, float(distance.min()) - 0.062 * case.body.stature.value)
    return nearest


def trunk_factor(case: Circumstances, way: Laid, force: dict[Side, Array]) -> float:
    """Return what holds the trunk over what pulls at it, the smallest over frames and directions."""
    now, still = upper_body(case.body, way.skeleton), upper_body(case.body, case.sitting)

    def weights(body: UpperBody) -> Array:
        down = np.array([0.0, 0.0, -G])
        total = np.cross(body.trunk_centre - body.hips, body.trunk_mass * down)
        for index in (0, 1):
            total = total + np.cross(body.arm_centres[..., index, :] - body.hips, body.arm_masses[index] * down)
        return np.asarray(total)

    moment = weights(now) - weights(still)
    for side, pull in force.items():
        moment = moment + np.cross(held_at(way.skeleton, side, way.attach[side]) - now.hips, pull)
    table, control = read_table("trunk_hold"), case.athlete.trunk
    words = {"yes": "with control", "partly": "with part control", "no": "without control", None: "without control"}
    backrest = max(case.chair.backrest_height - HIP_CENTRE_ABOVE_SEAT.value, 0.0)

    def holds(column: str, given: str | None) -> float:
        per_kg = G * table.number(f"lean {words[given]}", column) + table.number(f"muscles {words[given]}", column)
        per_kg += table.number("no strap" if way.strap == "none" else f"{way.strap} strap", column)
        per_kg += table.number("free hand", column) if way.free_hand else 0.0
        per_kg += table.number("backrest", column) * backrest
        return per_kg * now.mass

    asked = [
        (moment[..., 1], holds("forward", control.forward)),
        (-moment[..., 1], holds("back", control.forward)),
        (-moment[..., 0], holds("sideways", control.lean_left)),
        (moment[..., 0], holds("sideways", control.lean_right)),
        (np.abs(moment[..., 2]), holds("turn", control.turn)),
    ]
    return min(held / max(float(pulls.max()), 1e-9) for pulls, held in asked)


def chair_factor(case: Circumstances, way: Laid, force: dict[Side, Array]) -> float:
    """Return by what factor the chair holds."""
    centre = whole_centre(case, way.skeleton, None)
    sides = list(force)
    stability = chair_stability(
        weight=centre.weight,
        centre_of_mass=centre.position,
        hand_positions=np.stack([held_at(way.skeleton, side, way.attach[side]) for side in sides], axis=-2),
        pulls=np.stack([force[side] for side in sides], axis=-2),
        footprint=case.footprint,
        blocking=case.blocking,
        friction=case.floor.friction.value,
        rolling=case.floor.rolling.value,
        chock_height=case.kit.chock_height,
    )
    return float(stability.factor.min())


def joints_kept(case: Circumstances, way: Laid, force: dict[Side, Array]) -> list[str]:
    """Return the joints over their limit, all but the axis that the exercise names."""
    table, over = read_table("moment_limits"), []
    for side, pull in force.items():
        at = held_at(way.skeleton, side, way.attach[side])
        beyond: Any = "hand" if way.attach[side] == "hand" else "forearm"
        moments = arm_moments(case.body, way.skeleton, side=side, force=pull, at=at, beyond=beyond)
        values = {
            "elbow": np.linalg.norm(moments.elbow_world, axis=-1),
            "wrist": np.linalg.norm(moments.wrist_world, axis=-1),
            "hand pull": np.linalg.norm(pull, axis=-1),
            "shoulder elevation": np.abs(moments.shoulder.elevation),
            "shoulder horizontal adduction": np.abs(moments.shoulder.horizontal_adduction),
            "shoulder external rotation": np.abs(moments.shoulder.external_rotation),
        }
        if "rotation" in way.exercise.loads:
            del values["shoulder external rotation"]
        over += [name for name, value in values.items() if float(value.max()) > table.number(name, "limit") + 1e-9]
    return over


def what_fails(case: Circumstances, way: Laid) -> list[str]:
    """Return every hard condition that this way to lay the band does not keep."""
    wrong = [] if elongation_kept(way) else ["elongation"]
    force = forces(way)
    wrong += joints_kept(case, way, force)
    clearance, what = smallest_clearance(case, way)
    if clearance < 0.02 - 1e-9:
        wrong.append(f"band {clearance:.3f} m from the {what}")
    if recoil(case, way) < 0.10 - 1e-3:  # points along the ray: a millimetre
        wrong.append("recoil")
    if trunk_factor(case, way, force) < 1.2 - 1e-9:
        wrong.append("trunk")
    if chair_factor(case, way, force) < 1.5 - 1e-9:
        wrong.append("chair")
    return wrong
