"""What to measure next is compared with whole searches, with arithmetic, and with a second way to compute a pull."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import radians

import numpy as np
import pytest
from setup_cases import CUPBOARD, EVEN, HALL, NO_TRUNK, RUNA, case_of, forces, laid, load, searched, trunk_factor

from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.kit.kit import Kit
from firstpush.core.people.athlete import SIDES, Athlete, TrunkControl
from firstpush.core.people.body_size import body_size
from firstpush.core.people.chair_presets import CHAIR_PRESETS
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.measure_next import MeasureNext, Narrowed, measure_next
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.unmeasured import unmeasured

LOOKED_AT = (
    "external_rotation_90",
    "external_rotation_side",
    "internal_rotation_90",
    "seated_row",
    "anti_rotation_press",
    "overhead_press",
    "elbow_extension",
    "wall_dribble",
)


def exercises(*names: str) -> tuple[Exercise, ...]:
    """Return exercises of the library by name."""
    return tuple(exercise_named(name) for name in names or LOOKED_AT)


def arms(athlete: Athlete, **change: object) -> Athlete:
    """Return the athlete with both arms changed alike."""
    return replace(athlete, **{side: replace(athlete.arm(side), **change) for side in SIDES})  # type: ignore[arg-type]


@cache
def told(athlete: Athlete, *names: str, kit: Kit = CUPBOARD) -> dict[str, MeasureNext]:
    """Return what is proposed for `athlete`, by id, in the order of its rank."""
    found = measure_next(case_of(athlete, kit), exercises(*names))
    assert len({each.id for each in found}) == len(found), "each thing to measure is named once"
    return {each.id: each for each in found}


def can_be_done(athlete: Athlete, kit: Kit = CUPBOARD) -> set[str]:
    """Return the titles of the exercises for which a whole search finds a set-up on either side."""
    case = circumstances(athlete, kit, HALL)
    return {
        exercise.title
        for exercise in exercises()
        if any(search_setup(exercise, case, side=side, best=1, ranges=False).setups for side in SIDES)
    }


def test_what_is_known_is_not_asked_for_again() -> None:
    """With every function, size and strength known nothing is left to propose."""
    known = {each.id for each in unmeasured(RUNA)}
    assert known == set(), "the demo athlete is measured"
    assert {each.partition(" ")[0] for each in told(RUNA)} <= {"strength"}


@pytest.mark.parametrize(
    ("id_", "unknown", "low", "high"),
    [
        ("external_rotation", {"external_rotation": None}, radians(30), radians(90)),
        ("elevation", {"elevation": None}, radians(100), radians(180)),
        ("elbow_extension", {"elbow_extension": None}, 0, 5),
        ("wrist_extension", {"wrist_extension": None}, 0, 5),
    ],
)
def test_what_an_unknown_decides_is_what_whole_searches_differ_in(
    id_: str, unknown: dict[str, None], low: float, high: float
) -> None:
    """The exercises named are those that a search from the start finds at the good end and not at the bad one."""
    # At T1 and above the cord may leave grip and extensors weak, so that they are asked for.
    person = replace(EVEN, health=replace(EVEN.health, spinal_level="C7", completeness=None))
    decided = told(arms(person, **unknown))[id_].decides
    expected = can_be_done(arms(person, **{id_: high})) - can_be_done(arms(person, **{id_: low}))
    assert expected, "the comparison says nothing where nothing is decided"
    assert set(decided) == expected


def test_a_grip_that_nobody_tested_decides_what_cannot_be_cuffed() -> None:
    """Without cuffs a hand that does not close holds no band: compared with whole searches."""
    bare = replace(CUPBOARD, cuffs=())
    person = replace(EVEN, health=replace(EVEN.health, spinal_level="C7", completeness=None))
    decided = told(arms(person, grip=None), kit=bare)["grip"].decides
    expected = can_be_done(arms(person, grip="full"), bare) - can_be_done(arms(person, grip="none"), bare)
    assert len(expected) > 3
    assert set(decided) == expected


def test_a_trunk_nobody_looked_at_decides_what_holds_without_support() -> None:
    """The best set-ups named do not hold at a tenth of their pull, the others do: the trunk by sums over its parts."""
    unknown = replace(EVEN, trunk=TrunkControl())
    decided = told(unknown)["trunk"].decides
    control = TrunkControl(forward="yes", turn="yes", lean_left="yes", lean_right="yes")
    able, unable = case_of(replace(EVEN, trunk=control)), case_of(replace(EVEN, trunk=NO_TRUNK))
    compared: dict[bool, int] = {True: 0, False: 0}
    for exercise in exercises():
        setup = searched(exercise, case=able, best=1).best
        if setup.band is None or setup.band.anchor is None:
            continue
        way = laid(setup)
        tenth = {side: 0.1 * force for side, force in forces(way).items()}
        holds = trunk_factor(unable, way, tenth) >= 1.2
        assert holds == (exercise.title not in decided), exercise.title
        compared[holds] += 1
    assert all(compared.values()), "some hold and some do not, or the comparison says little"


def test_only_the_directions_not_looked_at_are_asked_for() -> None:
    """One direction known is not asked for again."""
    half = replace(EVEN, trunk=TrunkControl(forward="yes", lean_left="partly"))
    (entry,) = (each for each in unmeasured(half) if each.id == "trunk")
    assert entry.keys == ("function.trunk.turn", "function.trunk.lean_right")
    assert entry.what == "trunk control (turn, lean right)"
    assert entry.low(half).trunk == TrunkControl(forward="yes", turn="no", lean_left="partly", lean_right="no")


def test_a_cord_that_serves_the_arms_asks_for_no_grip_first() -> None:
    """T10 leaves the arms whole (key muscles by level, common practice); C6 and a hemiplegia do not."""
    asked = {}
    for level, conditions in (("T10", None), ("C6", None), ("T10", frozenset({"hemiplegia"}))):
        health = replace(EVEN.health, spinal_level=level, conditions=conditions, completeness=None)
        person = arms(replace(EVEN, health=health), grip=None, elbow_extension=None)
        asked[level, conditions] = {each.id for each in unmeasured(person)}
    assert asked["T10", None] == set()
    assert asked["C6", None] == {"grip", "elbow_extension"}
    assert asked["T10", frozenset({"hemiplegia"})] == {"grip", "elbow_extension"}


def test_a_missing_hand_is_not_asked_for_its_grip() -> None:
    """There is nothing to measure on a side without a hand."""
    health = replace(EVEN.health, spinal_level="C6")
    person = replace(arms(EVEN, grip=None), health=health, missing_limbs=frozenset({"left hand"}))
    (entry,) = (each for each in unmeasured(person) if each.id == "grip")
    assert entry.what == "grip, right"
    assert entry.keys == ("function.right.grip",)


def test_an_untested_strength_spans_the_start_loads_of_the_exercise_file() -> None:
    """Before: from first_nm to largest_nm of the file, times mass and reach; after: the 0.05 on 0.45 of the share."""
    entry = told(EVEN, "external_rotation_90")["strength external rotation"]
    (narrowed,) = entry.narrows
    start = exercise_named("external_rotation_90").start_load
    assert start is not None
    scale = EVEN.mass * body_size(EVEN).reach / (65.0 * 0.70)
    assert narrowed.before == pytest.approx((scale * start.first.value, scale * start.largest.value))
    assert sum(narrowed.after) / 2 == pytest.approx(np.sqrt(narrowed.before[0] * narrowed.before[1]))
    assert narrowed.after[1] / narrowed.after[0] == pytest.approx((1 + 0.05 / 0.45) / (1 - 0.05 / 0.45))
    assert narrowed.to_begin_with
    assert entry.what == "strength of external rotation, left and right"


def test_a_footplate_nobody_measured_moves_the_post() -> None:
    """The tape is laid from the footplate: six centimetres more there are six centimetres more band.

    Free body: the hand stays, the post goes to x + d and x - d, the band law is written out in `setup_cases`.
    """
    chair = replace(EVEN.chair, measured=EVEN.chair.measured - {"footplate_reach"})
    person = replace(EVEN, chairs=(chair,))
    (narrowed,) = told(person, "seated_row")["chair_footplate_reach"].narrows
    case = case_of(person)
    setup = searched("seated_row", case=case, best=1).best
    spread = CHAIR_PRESETS["court"].footplate_reach.spread
    loads = []
    for off in (-spread, spread):
        way = laid(setup)
        way = replace(way, anchor=way.anchor + np.array([off, 0.0, 0.0]))
        loads.append(float(load(case, way, forces(way)).max()))
    # The range of each end is the same share of its load: the quotients of before and after give the loads back.
    middle = sum(loads) / 2
    assert narrowed.before[0] / narrowed.after[0] == pytest.approx(loads[0] / middle, rel=1e-6)
    assert narrowed.before[1] / narrowed.after[1] == pytest.approx(loads[1] / middle, rel=1e-6)


def test_what_decides_most_comes_first() -> None:
    """Weights fall; for function each exercise decided counts 1 and each range the share of its width that goes."""
    person = arms(replace(EVEN, trunk=TrunkControl()), external_rotation=None, elevation=None)
    found = list(told(person).values())
    assert [each.weight for each in found] == sorted((each.weight for each in found), reverse=True)
    for each in found:
        assert each.decides or each.narrows, f"{each.what} has no effect"
        if not each.id.startswith(("chair", "arm", "upper", "fore", "sitting")):
            shares = sum(1 - np.ptp(one.after) / np.ptp(one.before) for one in each.narrows)
            assert each.weight == pytest.approx(len(each.decides) + shares)


def test_the_best_are_the_first_of_all() -> None:
    """Asking for two gives the first two."""
    person = arms(EVEN, external_rotation=None, elevation=None)
    case = case_of(person)
    assert measure_next(case, exercises(), best=2) == measure_next(case, exercises())[:2]


def test_the_words_carry_the_computed_numbers() -> None:
    """Titles and ranges in the sentence are those of the entry, not a text that always stands there."""
    entry = MeasureNext(
        id="external_rotation",
        what="active external rotation, right",
        keys=(),
        between="30° and 90°",
        decides=("A", "B", "C", "D", "E"),
        narrows=(
            Narrowed(title="F", before=(5.6, 11.4), after=(8.1, 9.4)),
            Narrowed(title="G", before=(2.0, 3.0), after=(2.2, 2.8)),
        ),
        weight=1.0,
    )
    assert entry.words == (
        "decides whether A, B, C and 2 more can be done; tells more closely how large the load of F is "
        "(8-9 N·m instead of 6-11), and 1 other load"
    )
    assert str(entry.narrows[1]) == "how large the load of G is (2.2-2.8 N·m instead of 2.0-3.0)"
    assert entry.narrows[0].share == pytest.approx(1 - 1.3 / 5.8)
