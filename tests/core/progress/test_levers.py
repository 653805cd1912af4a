"""The next step: in the right direction, inside the window or said so, safe, sure, and little to change on court."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

import numpy as np
import pytest
from lever_cases import (
    CLUB,
    CLUB_HALL,
    CLUB_KIT,
    CUPBOARD,
    EVEN,
    HALL,
    RUNA,
    asked,
    case_of,
    done,
    listing,
    one,
    only,
    steps_of,
)

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import Pain, TrunkControl
from firstpush.core.progress.laying import bench
from firstpush.core.progress.levers import variants
from firstpush.core.progress.predicted import heavier_somewhere
from firstpush.core.progress.step import LEVERS, WINDOWS, AsDone, Direction, Step, StepAnswer
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.by_hand import SetupByHand, laid_as, setup_by_hand
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.loads import all_moments
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.targets import target_of_link
from firstpush.core.setup.uncertainty import draws, samples_of

SAMPLE = (
    "seated_row",
    "external_rotation_side",
    "anti_rotation_press",
    "diagonal_lift",
    "pull_apart",
    "ball_circles",
    "open_book_turn",
)
PEOPLE = ("runa_velde", "bren_kollhaug", "ylva_rorgang")
WAYS: tuple[tuple[Direction, Any], ...] = (
    ("harder", "usual"),
    ("easier", "usual"),
    ("easier", "after a hard effort"),
    ("easier", "after pain"),
)


@cache
def answers() -> tuple[tuple[str, Circumstances, AsDone, Direction, str, StepAnswer], ...]:
    """Return every answer of the sample, made once."""
    found = []
    for person in PEOPLE:
        case = case_of(CLUB[person], CLUB_KIT, CLUB_HALL)
        prepared = prepare(case, [library()[name] for name in SAMPLE], keep=SAMPLE)
        for name in SAMPLE:
            setups = {side: setup for (id_, side), setup in prepared.setups.items() if id_ == name}
            if not setups:
                continue
            dose = next(iter(setups.values())).exercise.doses[0]
            now = AsDone(exercise=library()[name], setups=setups, dose=dose)
            for direction, size in WAYS:
                found.append((name, case, now, direction, size, asked(now, direction, case=case, size=size)))
    return tuple(found)


def every_step() -> list[tuple[str, Circumstances, AsDone, Direction, str, Step]]:
    """Return every step of the sample."""
    return [
        (name, case, now, direction, size, step)
        for name, case, now, direction, size, answer in answers()
        for step in steps_of(answer)
    ]


def test_the_sample_is_worth_its_name() -> None:
    """Most of the exercises are set up for these people, and many levers are among the steps."""
    assert len(answers()) >= 12 * len(WAYS)
    levers = {lever for *_, step in every_step() for lever in step.levers}
    assert {"distance", "slack mark", "band", "hold time", "repetitions", "added turn"} <= levers


def test_harder_never_predicts_less_and_easier_never_more() -> None:
    """The value and its whole range have the sign of the direction; so has the largest load itself."""
    for name, _, now, direction, _, step in every_step():
        sign = 1 if direction == "harder" else -1
        for side, change in step.changes.items():
            assert sign * change.value > 0, (name, step.words)
            assert sign * change.low > 0 and sign * change.high > 0, (name, step.words)
            assert change.low <= change.value <= change.high
            before, after = now.setups.get(side), step.setups[side]
            if before is not None and before.peak is not None and after.peak is not None and change.of != "time":
                assert sign * (after.peak.value - before.peak.value) > 0, (name, step.words)


def test_only_what_the_exercise_lists_is_used() -> None:
    """Levers of the file for this direction; another exercise is the one that the file names."""
    for name, _, now, direction, _, step in every_step():
        listed = now.exercise.harder if direction == "harder" else now.exercise.easier
        if step.levers == ("another exercise",):
            wanted = now.exercise.harder_exercise if direction == "harder" else now.exercise.easier_exercise
            assert step.exercise.id == wanted
        else:
            assert set(step.levers) <= set(listed), (name, step.words)


def test_what_the_library_lists_is_known() -> None:
    """No exercise lists a lever that is none: it would never be used."""
    for exercise in library().values():
        assert set(exercise.harder) | set(exercise.easier) <= set(LEVERS), exercise.id


def test_every_set_up_is_taken_when_it_is_laid_by_hand() -> None:
    """What a step lays, the checks of a set-up by hand take, with the same load."""
    looked = 0
    for name, case, now, _, _, step in every_step():
        for side, setup in step.setups.items():
            if setup.band is None or setup is now.setups.get(side) or step.exercise.id != now.exercise.id:
                continue
            answer = setup_by_hand(step.exercise, case, SetupByHand(laid=laid_as(setup)), like=setup)
            assert answer.refused == (), (name, step.words, answer.refused)
            assert answer.setup is not None and answer.setup.peak is not None and setup.peak is not None
            if answer.setup.support == setup.support:
                assert answer.setup.peak.value == pytest.approx(setup.peak.value, rel=1e-9)
            looked += 1
            if looked > 40:
                return
    assert looked > 20


def test_the_best_lies_in_the_window_or_the_sentence_says_that_nothing_does() -> None:
    """5 to 15 %, after pain 20 to 40 %; otherwise the sentence begins with it, and has the number of the nearest."""
    seen = {True: 0, False: 0}
    for name, _, _, direction, size, answer in answers():
        best = answer.best
        inside = best is not None and best.inside
        seen[inside] += 1
        if inside and best is not None:
            for change in best.changes.values():
                assert WINDOWS[size].low <= abs(change.value) + 1e-9, (name, answer.sentence)  # type: ignore[index]
                assert abs(change.value) <= WINDOWS[size].high + 1e-9, (name, answer.sentence)  # type: ignore[index]
            assert answer.sentence.startswith(best.words), answer.sentence
        else:
            assert answer.sentence.startswith(f"nothing here makes it {WINDOWS[size].words} {direction}")  # type: ignore[index]
        if best is not None and best.changes:
            assert best.change_words in answer.sentence
    assert min(seen.values()) > 3


def test_no_step_beyond_a_fifth_more_load_is_proposed() -> None:
    """Week on week +20 % is the end; what is larger is shown among the others."""
    for name, _, _, direction, _, answer in answers():
        if direction == "harder" and answer.best is not None:
            for change in answer.best.changes.values():
                assert change.value <= (0.20 if change.of in ("moment", "turning load") else 0.50) + 1e-9, name


def test_the_same_band_comes_before_another_and_one_thing_before_two() -> None:
    """Of steps inside the window none that changes less on court stands behind one that changes more."""
    for name, _, _, _, size, answer in answers():
        inside = [step for step in steps_of(answer) if step.inside]
        if size == "after pain" or not inside or answer.best is not inside[0]:
            continue
        assert answer.best.things_changed == min(step.things_changed for step in inside), name
        if any("band" not in step.levers and step.things_changed == 1 for step in inside):
            assert "band" not in answer.best.levers and "strands" not in answer.best.levers, name


def unpaired(before: ExerciseSetup, after: ExerciseSetup) -> float:
    """Return the width of the range of a step when both loads are drawn apart [1]."""
    one_of, other = (draws(np.random.default_rng(seed), samples=2000) for seed in (1, 2))
    ratio = samples_of(after, other).peak / samples_of(before, one_of).peak
    low, high = np.quantile(ratio, [0.05, 0.95])
    return float(high - low)


def test_a_step_is_known_more_narrowly_than_two_loads_drawn_apart() -> None:
    """What is common cancels: the same arms, and at another distance the same band and mark, so less than half."""
    looked = 0
    for name, _, now, _, _, step in every_step():
        for side, change in step.changes.items():
            if side not in now.setups or change.of not in ("moment", "turning load") or change.low == change.high:
                continue
            if not set(step.levers) <= {"distance", "slack mark", "band", "strands"} or looked > 40:
                continue
            width = unpaired(now.setups[side], step.setups[side])
            share = 0.5 if step.levers == ("distance",) else 1.0
            assert change.high - change.low < share * width, (name, step.words)
            looked += 1
    assert looked > 20


def largest_moments(setup: ExerciseSetup, side: Any) -> np.ndarray:
    """Return the largest moments at shoulder, elbow and wrist of one arm, from their vectors (3,) [N·m]."""
    arm = setup.moments.arms[side]
    return np.array(
        [np.linalg.norm(each, axis=-1).max() for each in (arm.shoulder.world, arm.elbow_world, arm.wrist_world)]
    )


def test_easier_is_heavier_in_no_joint() -> None:
    """Not at shoulder, elbow or wrist; where the band carried a part of the arm, no more than the arm alone weighs."""
    looked = 0
    for name, case, now, direction, _, step in every_step():
        if direction != "easier" or step.exercise.id != now.exercise.id:
            continue
        for side, after in step.setups.items():
            before = now.setups[side]
            if after is before or after.band is None:
                continue
            bare = all_moments(case.body, after.movement.skeleton, {}, after.attach)
            alone = replace(after, moments=bare)
            for arm in after.arms:
                most = np.maximum(largest_moments(before, arm), largest_moments(alone, arm))
                assert np.all(largest_moments(after, arm) <= most + 1e-6), (name, step.words)
            looked += 1
    assert looked > 20


def test_with_pain_the_easier_variant_is_clearly_lighter_and_there_is_no_harder_one() -> None:
    """A banded exercise loses 20 to 40 % of its load, and nothing is made harder."""
    for name in ("seated_row", "external_rotation_90", "anti_rotation_press"):
        found = variants(case_of(), done(name), exercises=library(), pain=True)
        assert found.harder.best is None and found.harder.others == ()
        assert "pain" in found.harder.sentence
        best = found.easier.best
        assert best is not None and best.change is not None, found.easier.sentence
        assert best.change.of in ("moment", "turning load")
        assert all(-0.40 - 1e-9 <= change.value <= -0.20 + 1e-9 for change in best.changes.values()), name


def test_both_variants_are_there_without_pain() -> None:
    """The easier one takes off 10 to 30 %, the harder one adds 5 to 15 %."""
    found = variants(case_of(), done("seated_row"), exercises=library())
    assert found.easier.best is not None and found.easier.best.change is not None
    assert found.harder.best is not None and found.harder.best.change is not None
    assert -0.30 <= found.easier.best.change.value <= -0.10
    assert 0.05 <= found.harder.best.change.value <= 0.15


def test_where_the_load_falls_too_little_there_is_less_of_it_too() -> None:
    """After pain the distance alone takes off less than 20 %: it and fewer repetitions, and both numbers are said."""
    now = listing("seated_row", "distance", "repetitions")
    alone = asked(listing("seated_row", "distance"), "easier", size="after pain").best
    assert alone is not None and alone.change is not None and -0.20 < alone.change.value < 0
    answer = asked(now, "easier", size="after pain")
    best = answer.best
    assert best is not None and best.levers == ("distance", "repetitions") and not best.inside
    assert best.change == alone.change
    assert best.dose.repetitions is not None and now.dose.repetitions is not None
    assert -0.40 <= best.dose.repetitions / now.dose.repetitions - 1 <= -0.20
    assert "of the load" in answer.sentence and "of the time under load" in answer.sentence


def test_even_sides_are_laid_alike_and_uneven_ones_each_have_their_numbers() -> None:
    """The same place for both where both are laid alike; else the same lever, and the sentence says each step."""
    now = done("external_rotation_90")
    step = asked(now, "harder").best
    assert step is not None and len(step.setups) == 2
    assert len({laid_as(setup) for setup in now.setups.values()}) == 1
    assert len({laid_as(setup) for setup in step.setups.values()}) == 1
    uneven = case_of(RUNA, CUPBOARD, HALL)
    now = done("external_rotation_90", uneven)
    assert len({laid_as(setup) for setup in now.setups.values()}) == 2
    answer = asked(now, "harder", case=uneven)
    assert answer.best is not None and set(answer.best.changes) == {"left", "right"}
    assert "right: distance" in answer.sentence and "left: distance" in answer.sentence


def test_where_the_next_band_is_far_the_sentence_says_how_far_and_what_instead() -> None:
    """Only band and repetitions at twelve: the band is named with its number, and nothing is proposed."""
    now = listing("scaption", "band", "repetitions")
    twelve = replace(now, dose=replace(now.dose, repetitions=12, sets=3, name="three sets of twelve a side"))
    answer = asked(twelve, "harder")
    bands = [step for step in answer.others if step.levers == ("band",)]
    assert answer.best is None and bands and bands[0].change is not None
    assert bands[0].change.value > 0.20
    assert f"is {bands[0].change_words}" in answer.sentence
    ten = asked(now, "harder")
    assert ten.best is not None and ten.best.levers == ("repetitions",)


def test_a_band_that_was_never_pulled_gives_no_step_in_load() -> None:
    """Only the dose can change then, and the sentence asks for a pull."""
    case = case_of(EVEN, only("flat 24", pulls=()))
    now = done("seated_row", case)
    assert one(now).peak is None
    answer = asked(now, "harder", case=case)
    assert answer.best is not None and answer.best.levers == ("repetitions",)
    bare = replace(now, exercise=replace(now.exercise, harder=("distance",), harder_exercise=None))
    answer = asked(bare, "harder", case=case)
    assert answer.best is None
    assert "never measured" in answer.sentence


def test_whoever_is_not_ready_for_the_exercise_gets_no_step() -> None:
    """Pain of 7 now: the sentence says why, and nothing is laid."""
    now = done("seated_row")
    health = replace(EVEN.health, pain=(Pain(place="front", side="right", now=7, usual=1),))
    hurt = case_of(replace(EVEN, health=health))
    for direction in ("harder", "easier"):
        answer = asked(now, direction, case=hurt)
        assert steps_of(answer) == ()
        assert "pain 7" in answer.sentence


def share_of_wish(setup: ExerciseSetup, case: Circumstances) -> float:
    """Return the load of a chain's limiting link over what is wanted of that link at a first time [1]."""
    assert setup.limiting is not None and setup.peak is not None
    for index, link in setup.exercise.loaded_links:
        if link.loads == setup.limiting.loads:
            return (
                setup.peak.value / target_of_link(link, setup.exercise.poses[index], case.athlete, side="right").value
            )
    raise AssertionError("the limiting link is one of the chain's")


def test_a_chain_is_compared_by_the_link_that_sets_its_band() -> None:
    """Row, turn out, press: the step is that of the largest share of its wish that a link has, before and after."""
    case = case_of(EVEN, CLUB_KIT, CLUB_HALL)
    now = done("row_rotation_press", case)
    laid = [
        step
        for direction in ("harder", "easier")
        for step in steps_of(asked(now, direction, case=case))
        if step.change is not None and step.change.of == "moment"
    ]
    assert len(laid) > 1
    for step in laid:
        after = one(replace(now, setups=step.setups))
        assert step.change is not None
        expected = share_of_wish(after, case) / share_of_wish(one(now), case) - 1
        assert step.change.value == pytest.approx(expected, rel=1e-9), step.words


def test_a_link_alone_keeps_its_load_and_leaves_out_the_rest() -> None:
    """Where a chain lists it: the same band as before, the link's own load no heavier, less time under load."""
    case = case_of(EVEN, CLUB_KIT, CLUB_HALL)
    now = listing("row_rotation_press", "links alone", case=case)
    answer = asked(now, "easier", case=case)
    alone = [step for step in steps_of(answer) if step.levers == ("links alone",)]
    assert alone, answer.sentence
    before, after = one(now), next(iter(alone[0].setups.values()))
    assert laid_as(before) == laid_as(after)
    assert before.load is not None and after.load is not None
    assert len(alone[0].exercise.poses) == 2
    assert alone[0].change is not None and alone[0].change.value == pytest.approx(1 / 3 - 1)


def test_one_arm_is_used_where_it_is_listed_and_spares_the_trunk() -> None:
    """The other hand holds the frame: less of what the trunk holds is used, each side has its set-up."""
    now = listing("seated_row", "one arm")
    answer = asked(now, "easier")
    found = [step for step in steps_of(answer) if step.levers == ("one arm",)]
    assert found, answer.sentence
    assert set(found[0].setups) == {"left", "right"}
    assert all("one arm" in setup.support[0] for setup in found[0].setups.values())
    assert found[0].change is not None and found[0].change.of == "trunk"
    assert [step for step in steps_of(asked(done("seated_row"), "easier")) if step.levers == ("one arm",)] == []


def test_an_added_turn_stays_inside_the_range_of_the_trunk() -> None:
    """45° are the end: from 43° nothing is added, and the sentence offers something else or nothing."""
    now = listing("rail_trunk_turns", "added turn")
    far = np.radians(43.0)
    poses = tuple(
        replace(pose, turn_to_working_side=far if pose.turn_to_working_side else 0.0) for pose in now.exercise.poses
    )
    at_end = replace(now, exercise=replace(now.exercise, poses=poses))
    assert [step.levers for step in steps_of(asked(now, "harder"))] == [("added turn",)]
    assert steps_of(asked(at_end, "harder")) == ()


def test_a_junior_gets_no_third_set() -> None:
    """Under 18 two sets are the most."""
    day = date(2026, 9, 1)
    cases = [circumstances(athlete, CLUB_KIT, CLUB_HALL, on=day) for athlete in CLUB.values()]
    case = next(each for each in cases if each.junior)
    for name in ("seated_row", "scaption", "external_rotation_both"):
        prepared = prepare(case, [library()[name]], keep=(name,))
        if not prepared.setups:
            continue
        setups = {side: setup for (_, side), setup in prepared.setups.items()}
        now = AsDone(exercise=library()[name], setups=setups, dose=library()[name].doses[0])
        sets = [step.dose.sets for step in steps_of(asked(now, "harder", case=case))]
        assert all(each <= 2 for each in sets)
        return
    pytest.fail("no exercise is set up for the junior")


def test_a_step_starts_from_a_set_up_and_a_harder_one_has_the_usual_size() -> None:
    """Both are told, with what to do."""
    now = done("seated_row")
    with pytest.raises(OutOfRangeError, match="Set it up first"):
        asked(replace(now, setups={}), "harder")
    with pytest.raises(OutOfRangeError, match="only easier"):
        asked(now, "harder", size="after pain")


def test_the_same_seed_gives_the_same_digits() -> None:
    """The answer is a function of what it is asked for; another seed moves the ends of the range by little."""
    now = done("seated_row")
    first, again, other = (asked(now, "harder", seed=seed) for seed in (3, 3, 4))
    assert first.sentence == again.sentence
    assert first.best is not None and other.best is not None
    assert first.best.change is not None and other.best.change is not None
    assert other.best.change.value == first.best.change.value
    assert other.best.change.low == pytest.approx(first.best.change.low, abs=0.005)


def test_no_two_doses_of_one_name_differ() -> None:
    """A dose is known by its name: another content has another name."""
    named: dict[tuple[str, str], Any] = {}
    for name, _, now, _, _, step in every_step():
        if step.exercise.id != now.exercise.id:
            continue
        content = replace(step.dose, pause_s=0.0, per_side=False)
        assert named.setdefault((name, step.dose.name), content) == content, (name, step.dose.name)
    assert len(named) > len(SAMPLE)


def test_what_a_set_up_by_hand_refuses_is_no_way() -> None:
    """A trunk that holds little, no straps: of distances and marks, what the checks by hand refuse is not kept."""
    weak = TrunkControl(forward="no", turn="no", lean_left="no", lean_right="no")
    case = case_of(replace(EVEN, trunk=weak), replace(CUPBOARD, chest_straps=0, waist_straps=0))
    kept_of = {True: 0, False: 0}
    for name in ("external_rotation_90", "straight_arm_pull_back"):
        now = done(name, case)
        found = bench(now.exercise, case, one(now))
        assert not isinstance(found, str), found
        for sign in (1, -1):
            tried = [way for lever in ("distance", "slack mark") for way in found.ways((lever,), things=1, sign=sign)]
            kept = {way.index for way in found.kept(tried)}
            for way in tried[::3]:
                answer = setup_by_hand(now.exercise, case, SetupByHand(laid=way.laid), like=one(now))
                if way.index in kept:
                    assert answer.refused == (), way.laid
                elif answer.setup is not None:
                    assert answer.setup.support != one(now).support, way.laid
                kept_of[way.index in kept] += 1
    assert min(kept_of.values()) > 0, kept_of


def test_a_ball_in_the_hand_counts_in_a_step_of_the_band() -> None:
    """The step is that of the largest load with band and ball together."""
    now = done("ball_circles_against_band")
    assert one(now).ball is not None and one(now).band is not None
    found = [step for way in ("harder", "easier") for step in steps_of(asked(now, way))]
    laid = [step for step in found if step.change is not None and step.change.of == "moment"]
    assert laid
    for step in laid:
        for side, change in step.changes.items():
            before, after = now.setups[side].peak, step.setups[side].peak
            assert before is not None and after is not None
            assert change.value == pytest.approx(after.value / before.value - 1, rel=1e-9), step.words


def test_another_band_errs_on_its_own() -> None:
    """8 % of the one and 8 % of the other do not cancel: 2 · 1.645 · √(8² + 8²) % of the load after."""
    now = listing("seated_row", "band")
    step = next(each for each in steps_of(asked(now, "easier")) if each.levers == ("band",))
    before, after = one(now).band, step.setups[one(now).side].band
    assert before is not None and after is not None and step.change is not None
    spread = np.hypot(before.law.relative_spread or 0.0, after.law.relative_spread or 0.0)
    assert step.change.high - step.change.low > 0.95 * (1 + step.change.value) * 2 * 1.645 * spread


def test_heavier_somewhere_is_seen_in_every_joint() -> None:
    """A larger moment at one joint alone is enough, and so is a larger pull; the same set-up is no heavier."""
    now = one(done("external_rotation_90"))
    assert not heavier_somewhere(now, now)
    arm = now.moments.arms["right"]
    for name in ("elbow_world", "wrist_world", "retraction"):
        more = replace(arm, **{name: getattr(arm, name) + 50.0})
        moments = replace(now.moments, arms={**now.moments.arms, "right": more})
        assert heavier_somewhere(now, replace(now, moments=moments)), name
    harder = asked(done("external_rotation_90"), "harder").best
    assert harder is not None
    assert heavier_somewhere(now, harder.setups["right"])
    assert not heavier_somewhere(harder.setups["right"], now)
