"""Steps against hand arithmetic: force times arm, the band law written out, seconds counted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from lever_cases import CLUB_KIT, EVEN, asked, case_of, done, listing, one, pole, steps_of

from firstpush.core.body.moments import arm_moments
from firstpush.core.progress.dose_steps import dose_steps, seconds_under_load
from firstpush.core.progress.step import Step
from firstpush.core.setup.result import ExerciseSetup

G = 9.81


def retraction_by_hand(now: ExerciseSetup, *, ahead: float, high: float, mark: float, strands: int = 1) -> float:
    r"""Return the largest retraction moment of the right arm in a row [N·m].

    Free body of the right shoulder girdle, seen from above (x forward, y left), trunk upright::

        joint at the breastbone J        anchor A, straight ahead of the chair
              \  r                       /
               \                        /  F = n (c1 + c2/l)(l - 1/l²) along the hand-anchor line,
                shoulder S ---- hand H /   l = |A - H| / mark

    The pull reaches S through the arm; about the upright axis through J it turns with M = r_x F_y - r_y F_x.
    """
    assert now.band is not None and now.band.law.c1 is not None and now.band.law.c2 is not None
    arm = now.movement.skeleton.arms["right"]
    way = np.array([ahead, 0.0, high]) - arm.hand
    length = np.sqrt((way**2).sum(axis=1))
    stretch = length / mark
    pull = strands * (now.band.law.c1 + now.band.law.c2 / stretch) * (stretch - 1 / stretch**2)
    f_x, f_y = pull * way[:, 0] / length, pull * way[:, 1] / length
    r = arm.shoulder - arm.sternoclavicular
    return float((r[:, 0] * f_y - r[:, 1] * f_x).max())


def step_by(name: str, lever: str, direction: str) -> tuple[ExerciseSetup, ExerciseSetup, Step]:
    """Return before, after and the step that one lever alone makes."""
    now = listing(name, lever)
    answer = asked(now, direction)  # type: ignore[arg-type]
    step = next((each for each in steps_of(answer) if each.levers == (lever,)), None)
    assert step is not None, answer.sentence
    return one(now), step.setups[one(now).side], step


@pytest.mark.parametrize("direction", ["harder", "easier"])
@pytest.mark.parametrize("lever", ["distance", "slack mark"])
def test_the_step_of_a_row_is_force_times_arm_before_and_after(lever: str, direction: str) -> None:
    """Distance or mark alone: the change is that of r_x F_y - r_y F_x, with the band law written out."""
    before, after, step = step_by("seated_row", lever, direction)
    loads = []
    for setup in (before, after):
        band = setup.band
        assert band is not None and band.distance is not None and band.height is not None
        # The tape is laid from the front of the footplate.
        ahead = before.chair.footplate_reach + band.distance
        loads.append(retraction_by_hand(before, ahead=ahead, high=band.height, mark=band.slack_length))
    assert step.change is not None
    assert step.change.value == pytest.approx(loads[1] / loads[0] - 1, rel=1e-9)
    assert step.change.before == pytest.approx(loads[0], rel=1e-9)
    assert step.change.after == pytest.approx(loads[1], rel=1e-9)
    assert after.target is not None and after.target.value == pytest.approx(loads[1], rel=1e-9)


def test_another_height_alone_turns_the_pull() -> None:
    """A post with many heights, the arm turning outwards at shoulder height: the lower, the more the band turns it in.

    The second way: the band law written out towards the anchor, and the moment about the upper arm from its vectors.
    """
    case = case_of(EVEN, venue=pole(*np.arange(0.60, 1.30, 0.05).round(2)))
    now = listing("external_rotation_90", "height", case=case)
    found = [step for step in steps_of(asked(now, "harder", case=case)) if step.levers == ("height",)]
    assert found
    loads = []
    before = now.setups["right"]
    for setup in (before, found[0].setups["right"]):
        band, bones = setup.band, setup.movement.skeleton
        assert band is not None and band.anchor is not None and band.law.c1 is not None and band.law.c2 is not None
        way = band.anchor - bones.arms["right"].hand
        stretch = np.linalg.norm(way, axis=-1) / band.slack_length
        pull = band.strands * (band.law.c1 + band.law.c2 / stretch) * (stretch - 1 / stretch**2)
        force = pull[:, None] * way / np.linalg.norm(way, axis=-1)[:, None]
        turned = arm_moments(setup.body, bones, side="right", force=force, at=bones.arms["right"].hand, beyond="hand")
        loads.append(float(turned.shoulder.external_rotation.max()))
    after = found[0].setups["right"]
    assert before.band is not None and after.band is not None
    assert before.band.height is not None and after.band.height is not None
    assert after.band.height < before.band.height
    assert (after.band.distance, after.band.slack_length) == (before.band.distance, before.band.slack_length)
    assert found[0].changes["right"].value == pytest.approx(loads[1] / loads[0] - 1, rel=1e-9)


def test_a_second_strand_doubles_the_load_of_a_row() -> None:
    """Two strands side by side at the same mark: 2 F r against F r, no weight about the upright axis: 2 - 1."""
    _, _, step = step_by("seated_row", "strands", "harder")
    assert step.change is not None
    assert step.change.value == pytest.approx(2 - 1, rel=1e-9)


def test_a_step_of_twice_the_load_is_shown_and_not_proposed() -> None:
    """Where only a second strand would make it harder, it stays as it is, and the sentence has the number."""
    answer = asked(listing("seated_row", "strands"), "harder")
    assert answer.best is None
    assert [each.levers for each in answer.others] == [("strands",)]
    assert "strands 1 → 2 is +100 %" in answer.sentence
    assert "leave it as it is" in answer.sentence


def test_a_heavier_ball_adds_its_weight_times_how_far_ahead_it_is() -> None:
    """Arm ahead, ball in the hand: about the shoulder m g times the distance that the hand is before it.

    A first set goes with the empty hand, where the arm with the lightest ball is too much for it; from there with each
    ball, and from a ball back to the empty hand.
    """
    case = case_of(EVEN, CLUB_KIT)
    empty = listing("ball_circles", "ball mass", case=case)
    assert one(empty).ball is None
    heavier = [step for step in steps_of(asked(empty, "harder", case=case)) if step.levers == ("ball mass",)]
    assert [mass_of(step.setups["right"]) for step in heavier] == [0.3]
    held = replace(empty, setups=dict(heavier[0].setups))
    back = [step for step in steps_of(asked(held, "easier", case=case)) if step.levers == ("ball mass",)]
    assert [mass_of(step.setups["right"]) for step in back] == [0.0]
    for now, step in (*((empty, each) for each in heavier), (held, back[0])):
        for side, before in now.setups.items():
            after = step.setups[side]
            assert before.load is not None and after.load is not None
            arm = before.movement.skeleton.arms[side]
            added = (mass_of(after) - mass_of(before)) * G * (arm.hand[:, 0] - arm.shoulder[:, 0])
            np.testing.assert_allclose(after.load - before.load, added, atol=1e-6)
            peak = float((before.load + added).max())
            assert step.changes[side].value == pytest.approx(peak / float(before.load.max()) - 1, rel=1e-6)


def mass_of(setup: ExerciseSetup) -> float:
    """Return what is held [kg]."""
    return 0.0 if setup.ball is None else setup.ball.mass


def test_repetitions_and_hold_are_seconds_counted() -> None:
    """Two sets of ten at 2 + 1 + 2 s are 100 s; eleven are 110, a hold of 2 s makes 120, a third set 150."""
    now = done("seated_row")
    assert seconds_under_load(now.dose) == 2 * 10 * (2 + 1 + 2)
    found = {
        step.dose.name: seconds_under_load(step.dose)
        for step in dose_steps(now.exercise, now.dose, levers=("repetitions", "hold time"))
    }
    assert found["two sets of eleven"] == 2 * 11 * (2 + 1 + 2)
    assert found["two sets of ten, held for 2 s"] == 2 * 10 * (2 + 2 + 2)
    assert found["three sets of ten"] == 3 * 10 * (2 + 1 + 2)
    assert found["two sets of eight"] == 2 * 8 * (2 + 1 + 2)
    answer = asked(listing("seated_row", "repetitions"), "harder")
    assert answer.best is not None and answer.best.change is not None
    assert answer.best.dose.name == "two sets of eleven"
    assert str(answer.best.change) == "+10 %"


def test_twelve_is_the_end_of_the_repetitions_and_eight_the_beginning() -> None:
    """8 to 12 are customary; after pain five will do."""
    now = done("seated_row")
    for after_pain, fewest in ((False, 8), (True, 5)):
        counts = {
            step.dose.repetitions
            for step in dose_steps(now.exercise, now.dose, levers=("repetitions",), after_pain=after_pain)
        }
        assert (min(filter(None, counts)), max(filter(None, counts))) == (fewest, 12)


def test_a_slower_way_back_is_seconds_counted_too() -> None:
    """2 + 1 + 2 s to 2 + 1 + 2.5 s: 5.5 over 5."""
    answer = asked(listing("seated_row", "tempo"), "harder")
    assert answer.best is not None and answer.best.change is not None
    assert answer.best.change.value == pytest.approx(5.5 / 5 - 1)
    assert answer.best.dose.back_s == 2.5


def test_no_phase_gets_shorter_than_statics_hold_for() -> None:
    """From a way back of 2 s there is 1.5 s and nothing shorter."""
    now = done("seated_row")
    backs = {step.dose.back_s for step in dose_steps(now.exercise, now.dose, levers=("tempo",))}
    assert min(backs) == 1.5


def test_a_set_in_seconds_goes_in_fives_and_not_beyond_half_as_long_again() -> None:
    """30 s a direction: 20, 25, 35 and 40 s; 45 s is the end, and 10 s the beginning."""
    now = done("ball_circles")
    seconds = {step.dose.seconds for step in dose_steps(now.exercise, now.dose, levers=("hold time",))}
    assert {20.0, 25.0, 35.0, 40.0} <= seconds
    at_end = replace(now.dose, seconds=45.0)
    later = {step.dose.seconds for step in dose_steps(now.exercise, at_end, levers=("hold time",))}
    assert max(filter(None, later)) == 45.0


def test_a_dose_with_care_is_never_lengthened_and_offered_to_nobody_else() -> None:
    """Whoever is held to it stays at it or goes below; from an ordinary dose no step leads to it."""
    now = done("seated_row")
    careful = replace(now.dose, only_with_care=True)
    shorter = dose_steps(now.exercise, careful, levers=("repetitions", "hold time"))
    assert shorter and all(seconds_under_load(step.dose) <= seconds_under_load(careful) for step in shorter)
    exercise = replace(now.exercise, doses=(*now.exercise.doses, replace(careful, sets=1, repetitions=4, name="four")))
    found = dose_steps(exercise, now.dose, levers=("repetitions",), after_pain=True)
    assert found and not any(step.dose.only_with_care for step in found)
