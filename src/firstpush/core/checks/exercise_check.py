"""Whether one exercise is right for every body of the grid: each rule gives a finding with its reason, or nothing.

The rules know no exercise by name. An exercise that is posed, loaded or tied wrongly fails at least one of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import degrees

import numpy as np

from firstpush.core.body.movement import Movement, movement
from firstpush.core.body.posture import external_rotation
from firstpush.core.body.rotations import Array
from firstpush.core.checks.bodies import grid_of_athletes, reference_kit, reference_venue
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import BandUse, Exercise
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.setup.anchors import anchors, no_post
from firstpush.core.setup.build import SLOW_ENOUGH, load_of
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.clearance import segment_to_capsules_distance
from firstpush.core.setup.judge import Trial
from firstpush.core.setup.loads import all_moments
from firstpush.core.setup.obstacles import obstacles
from firstpush.core.setup.pull_points import forces_on_arms, lines
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.targets import target_for
from firstpush.core.tables import read_table

LARGEST_STEP = Measured(
    name="farthest a hand may move from one frame to the next",
    value=0.16,
    unit="m",
    spread=0.0,
    source="",
    known="our choice",
)
SINKS_IN = Measured(
    name="deepest a forearm may sink into trunk, head or thigh",
    value=0.045,
    unit="m",
    spread=0.0,
    source="soft parts and clothes give; capsules are round where bodies are flat",
    known="our choice",
)
LOADED_SHARE = Measured(
    name="share of the movement over which the named axis must be loaded",
    value=0.6,
    unit="1",
    spread=0.0,
    source="",
    known="our choice",
)
AXIS_SHARE = Measured(
    name="share of the band's moment about that joint that the named axis must take at its peak",
    value=0.35,
    unit="1",
    spread=0.0,
    source="",
    known="our choice",
)
TEST_PULL = Measured(
    name="pull that loads are tried with", value=20.0, unit="N", spread=0.0, source="", known="our choice"
)


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing wrong with an exercise: the rule, what is wrong, and for whom it showed."""

    rule: str
    what: str
    body: str = ""

    def __str__(self) -> str:
        return f"{self.rule}: {self.what}{f' ({self.body})' if self.body else ''}"


Draw = Callable[[object], str]


def check_exercise(exercise: Exercise, *, known_ids: frozenset[str], draw: Draw | None = None) -> tuple[Finding, ...]:
    """Return everything that is wrong with `exercise`, over all bodies, chairs and sides of the grid.

    Parameters
    ----------
    exercise : Exercise
    known_ids : frozenset of str
        Ids that its easier and harder exercise may name.
    draw : callable, optional
        Takes a set-up and returns its drawing as SVG; it is then tried for the smallest and the tallest body.

    Returns
    -------
    tuple of Finding
        Empty when the exercise is right.
    """
    found = [*_as_written(exercise, known_ids)]
    kit, venue = reference_kit(), reference_venue()
    people = grid_of_athletes()
    for index, athlete in enumerate(people):
        case = circumstances(athlete, kit, venue)
        moved: dict[Side, Movement] = {}
        for side in SIDES:
            try:
                moved[side] = movement(exercise, case.body, case.chair, side=side)
            except OutOfRangeError as error:
                found.append(Finding(rule="reach", what=str(error), body=athlete.name))
        if len(moved) < len(SIDES):
            continue
        found += _mirrored(moved, athlete)
        found += _one_side(exercise, case, moved["right"], athlete)
        if index in (0, len(people) - 2):
            found += _set_up(exercise, case, draw, athlete)
    return _each_once(found)


def _each_once(found: list[Finding]) -> tuple[Finding, ...]:
    """Return one finding a rule and reason: the first body it showed for stands for all."""
    first: dict[tuple[str, str], Finding] = {}
    for each in found:
        first.setdefault((each.rule, "".join(c for c in each.what if not c.isdigit())), each)
    return tuple(first.values())


def _as_written(exercise: Exercise, known_ids: frozenset[str]) -> Iterator[Finding]:
    for word, id_ in (("easier", exercise.easier_exercise), ("harder", exercise.harder_exercise)):
        if id_ is not None and id_ not in known_ids:
            yield Finding(rule="links", what=f"the {word} exercise {id_!r} does not exist")
    if not exercise.aims:
        yield Finding(rule="aims", what="no aim is named")
    loaded = exercise.loads != "none" or exercise.loaded_links
    if exercise.band is not None and not loaded:
        yield Finding(rule="load", what="a band is used and no load is named")
    if loaded and exercise.start_load is None and not exercise.loaded_links:
        yield Finding(rule="load", what="a load is named and no start load is given")
    if exercise.band is not None and exercise.band.fixed_to == "post" and not exercise.needs.post:
        yield Finding(rule="needs", what="the band is tied to a post and no post is needed")
    if not exercise.evidence:
        yield Finding(rule="evidence", what="nothing says why this exercise")
    for dose in (*exercise.doses, *exercise.by_hand):
        if exercise.static and len(exercise.poses) > 1 and min(dose.out_s, dose.back_s) < SLOW_ENOUGH.value:
            yield Finding(rule="tempo", what=f"{dose.name}: a phase is shorter than {SLOW_ENOUGH.value:g} s")


def _mirrored(moved: dict[Side, Movement], athlete: Athlete) -> Iterator[Finding]:
    flip = np.array([1.0, -1.0, 1.0])
    right, left = moved["right"].skeleton, moved["left"].skeleton
    for here, there in (("right", "left"), ("left", "right")):
        for point in ("shoulder", "elbow", "hand"):
            a, b = getattr(right.arms[here], point), getattr(left.arms[there], point) * flip  # type: ignore[index]
            if not np.allclose(a, b, atol=1e-6):
                yield Finding(rule="mirror", what=f"the {point} of the two sides is not mirrored", body=athlete.name)


def _one_side(exercise: Exercise, case: Circumstances, moved: Movement, athlete: Athlete) -> Iterator[Finding]:
    yield from _within_range(moved, athlete)
    yield from _steady(moved, athlete)
    yield from _outside_the_body(exercise, case, moved, athlete)
    for use in (exercise.band, exercise.band_without_post):
        if use is not None:
            yield from _loads_what_it_says(exercise, use, case, moved, athlete)


def _within_range(moved: Movement, athlete: Athlete) -> Iterator[Finding]:
    limits, posture = read_table("joint_limits"), moved.posture
    angles: dict[str, Array] = {
        "trunk flexion": posture.trunk_flexion,
        "trunk turn": posture.trunk_turn,
        "trunk side bend": posture.trunk_side_bend,
        "head turn": posture.head_turn,
        "head nod": posture.head_nod,
        "head side bend": posture.head_side_bend,
    }
    for side in SIDES:
        arm, points = posture.arms[side], moved.skeleton.arms[side]
        # With the arm hanging or fully raised, plane and rotation are not told apart.
        clear = (points.elevation > np.radians(15)) & (points.elevation < np.radians(150))
        rotation = np.where(clear, external_rotation(arm.humerus, side), 0.0)
        angles |= {
            f"{side} shoulder elevation": points.elevation,
            f"{side} shoulder external rotation": rotation,
            f"{side} elbow flexion": arm.elbow,
            f"{side} forearm pronation": arm.pronation,
            f"{side} wrist extension": arm.wrist,
            f"{side} shoulder-blade protraction": arm.protraction,
            f"{side} shoulder-blade lift": arm.lift,
        }
    for name, angle in angles.items():
        row = name.removeprefix("left ").removeprefix("right ")
        low, high = limits.number(row, "lowest_deg"), limits.number(row, "highest_deg")
        least, most = degrees(float(np.min(angle))), degrees(float(np.max(angle)))
        if least < low - 0.5 or most > high + 0.5:
            worst = least if least < low - 0.5 else most
            yield Finding(
                rule="range", what=f"{name} is {worst:.0f}°, allowed {low:.0f} to {high:.0f}°", body=athlete.name
            )


def _steady(moved: Movement, athlete: Athlete) -> Iterator[Finding]:
    for side in SIDES:
        hand = moved.skeleton.arms[side].hand
        step = float(np.max(np.linalg.norm(np.diff(hand, axis=0), axis=-1), initial=0.0))
        if step > LARGEST_STEP.value:
            yield Finding(
                rule="jump", what=f"the {side} hand moves {step:.2f} m from one frame to the next", body=athlete.name
            )


def _outside_the_body(exercise: Exercise, case: Circumstances, moved: Movement, athlete: Athlete) -> Iterator[Finding]:
    """Yield a finding when a forearm passes through trunk, head or thigh (a resting hand lies on the thigh)."""
    bones = moved.skeleton
    capsules = obstacles(case.body, case.chair, bones, pulling=SIDES)
    body_parts = [i for i, name in enumerate(capsules.names) if name == "trunk" or name == "head" or "thigh" in name]
    flesh = type(capsules)(
        names=tuple(capsules.names[i] for i in body_parts),
        start=capsules.start[:, body_parts],
        end=capsules.end[:, body_parts],
        radius=capsules.radius[body_parts],
    )
    for side in exercise.sides_of("right"):
        arm = bones.arms[side]
        distance = segment_to_capsules_distance(arm.elbow, arm.hand, flesh)
        frame, part = np.unravel_index(int(np.argmin(distance)), distance.shape)
        if distance[frame, part] < -SINKS_IN.value:
            yield Finding(
                rule="through the body",
                what=f"the {side} forearm sinks {-100 * distance[frame, part]:.0f} cm into the {flesh.names[part]}",
                body=athlete.name,
            )


def _loads_what_it_says(
    exercise: Exercise, use: BandUse, case: Circumstances, moved: Movement, athlete: Athlete
) -> Iterator[Finding]:
    """Yield a finding when a pull of the band does not load the named axis, over most of the movement, above others."""
    side: Side = "right"
    bones = moved.skeleton
    trial = Trial(exercise=exercise, side=side, movement=moved, attach={}, strap="waist", free_hand=False, ball=None)
    load = load_of(case, trial, target_for(exercise, athlete, side=side))
    if load is None:
        return
    places = anchors(use, bones, case.chair, case.venue, side=side) if use.fixed_to == "post" else no_post(use)
    if not places.post:
        yield Finding(rule="anchor", what="wall bars from floor to 2.4 m offer no place for it", body=athlete.name)
        return
    pull_lines = lines(use, bones, case.chair, side=side, attach={})
    pull = np.full((places.points.shape[0], moved.share.size), TEST_PULL.value)
    forces = forces_on_arms(pull_lines, places.points, tuple(pull for _ in pull_lines))
    of_band = sum(np.sum(forces[each] * lever, axis=-1) for each, lever in load.levers.items() if each in forces)
    counted = load.compared(np.asarray(of_band))
    loaded = np.mean(counted > 0, axis=-1)
    if float(loaded.max()) < LOADED_SHARE.value:
        yield Finding(
            rule="load",
            what=f"the pull loads {exercise.loads} over only {100 * float(loaded.max()):.0f} % of the movement "
            "from the best anchor",
            body=athlete.name,
        )
    share = _share_of_axis(exercise, case, moved, forces, np.asarray(of_band), side)
    if share is not None and share < AXIS_SHARE.value:
        yield Finding(
            rule="axis",
            what=f"at its peak only {100 * share:.0f} % of the band's moment is on {exercise.loads}: "
            "another axis takes most",
            body=athlete.name,
        )


def _share_of_axis(
    exercise: Exercise,
    case: Circumstances,
    moved: Movement,
    forces: dict[Side, Array],
    of_band: Array,
    side: Side,
) -> float | None:
    """Return the share of the band's shoulder moment that the named axis takes at its peak; None for other joints."""
    if exercise.loaded_links or exercise.loads in ("none", "trunk turn", "retraction", "protraction"):
        return None
    if exercise.loads.startswith(("elbow", "wrist")):
        return None
    bones = moved.skeleton
    with_band = all_moments(case.body, bones, forces, {}).arms[side].shoulder.world
    without = all_moments(case.body, bones, {}, {}).arms[side].shoulder.world
    size = np.linalg.norm(with_band - without, axis=-1)
    _, frame = np.unravel_index(int(np.argmax(of_band)), of_band.shape)
    best = of_band[:, frame] / size[:, frame]
    return float(best.max())


def _set_up(exercise: Exercise, case: Circumstances, draw: Draw | None, athlete: Athlete) -> Iterator[Finding]:
    answers = {side: search_setup(exercise, case, side=side, best=1) for side in SIDES}
    for side, answer in answers.items():
        if answer.best is None:
            yield Finding(rule="set-up", what=answer.answer.partition(": ")[2], body=f"{athlete.name}, {side}")
    right, left = answers["right"].best, answers["left"].best
    peaks = [each.peak.value for each in (right, left) if each is not None and each.peak is not None]
    if len(peaks) == len(SIDES) and not np.isclose(peaks[0], peaks[1], rtol=1e-6):
        yield Finding(
            rule="mirror", what=f"right loads {peaks[0]:.2f} N·m and left {peaks[1]:.2f} N·m", body=athlete.name
        )
    if draw is not None and right is not None:
        try:
            svg = draw(right)
        except Exception as error:  # whatever breaks the drawing is a finding about the exercise, told with its words
            yield Finding(rule="drawing", what=f"{type(error).__name__}: {error}", body=athlete.name)
        else:
            if "nan" in svg.lower():
                yield Finding(rule="drawing", what="the drawing holds a number that is none", body=athlete.name)
