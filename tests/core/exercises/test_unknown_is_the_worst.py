"""What is not known of an athlete never gives fewer cautions, nor a freer dose, than the worst that it may be.

A property over the whole library and every field of function and health: each bad value that a field may have is set,
and then forgotten.  What the bad value leaves out, or asks care for, must still be told when it is forgotten; what it
holds the dose to must still hold.  The expectation is logic alone ("unknown is unknown, never no restriction").
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from firstpush.core.checks.bodies import grid_of_athletes, reference_kit
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import CONDITIONS, SIDES, Athlete, Pain, Side
from firstpush.core.people.health import health_notices
from firstpush.core.setup.readiness import Readiness, readiness

PLAIN: Athlete = replace(next(iter(grid_of_athletes())), missing_limbs=frozenset())
"""Everything known, and nothing wrong."""
KIT = reference_kit()


def with_arm(side: Side, **change: Any) -> Athlete:
    """Return the athlete with another arm."""
    return replace(PLAIN, **{side: replace(PLAIN.arm(side), **change)})


def with_trunk(**change: Any) -> Athlete:
    """Return the athlete with another trunk."""
    return replace(PLAIN, trunk=replace(PLAIN.trunk, **change))


def with_health(**change: Any) -> Athlete:
    """Return the athlete with other health."""
    return replace(PLAIN, health=replace(PLAIN.health, **change))


def bad_and_unknown() -> Iterator[tuple[str, Athlete, Athlete]]:
    """Yield for each field and bad value what it is, the athlete with it, and the one of whom it is not known."""
    for field in ("forward", "turn"):
        yield f"trunk {field}", with_trunk(**{field: "no"}), with_trunk(**{field: None})
    for side in SIDES:
        for grip in ("weak", "none"):
            yield f"{side} grip {grip}", with_arm(side, grip=grip), with_arm(side, grip=None)
        for field in ("elbow_extension", "wrist_extension"):
            for grade in (0, 2):
                bad, unknown = with_arm(side, **{field: grade}), with_arm(side, **{field: None})
                yield f"{side} {field} {grade}", bad, unknown
        for field in ("elevation", "external_rotation"):
            yield f"{side} {field}", with_arm(side, **{field: 0.3}), with_arm(side, **{field: None})
        sore = (Pain(place="shoulder front", side=side, usual=1, now=4),)
        not_asked = (Pain(place="shoulder front", side=side, usual=1, now=None),)
        yield f"{side} pain", with_health(pain=sore), with_health(pain=None)
        yield f"{side} pain now", with_health(pain=sore), with_health(pain=not_asked)
    for condition in CONDITIONS:
        yield condition, with_health(conditions=frozenset({condition})), with_health(conditions=None)
    for limb in ("above knee", "below knee", "foot"):
        missing = frozenset(f"{side} {limb}" for side in SIDES)
        yield f"missing {limb}", replace(PLAIN, missing_limbs=missing), replace(PLAIN, missing_limbs=None)


CASES = list(bad_and_unknown())


def told(found: Readiness) -> str:
    """Return all that is said of an exercise: why it is left out, and every caution."""
    return " | ".join([found.reason or "", *(f"{each.what}. {each.do}" for each in found.notices)])


def spoken_about(exercise: Exercise, bad: Readiness) -> list[str]:
    """Return the cautions of the file that the bad value brings, by condition."""
    return [each.condition for each in exercise.cautions if each.why in told(bad)]


@pytest.mark.parametrize(("bad", "unknown"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_forgetting_a_bad_value_takes_no_caution_away(bad: Athlete, unknown: Athlete) -> None:
    """Each caution that the bad value brings is told by its reason, or named among what must be asked first."""
    for id_, exercise in library().items():
        for side in SIDES:
            known, forgotten = (readiness(exercise, each, KIT, side=side) for each in (bad, unknown))
            for caution in exercise.cautions:
                if caution.condition not in spoken_about(exercise, known):
                    continue
                said = told(forgotten)
                asked_at_a_need = caution.condition == "weak elbow extensors" and "elbow extensors: not known" in said
                assert caution.why in said or caution.condition in said or asked_at_a_need, (id_, side, caution)


@pytest.mark.parametrize(("bad", "unknown"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_forgetting_a_bad_value_frees_no_dose(bad: Athlete, unknown: Athlete) -> None:
    """What the bad value holds an exercise to is all that is offered when it is forgotten."""
    for id_, exercise in library().items():
        for side in SIDES:
            known, forgotten = (readiness(exercise, each, KIT, side=side) for each in (bad, unknown))
            # A dose for everybody may become one that is held to, never the other way round.
            if known.reason is None and all(dose.only_with_care for dose in known.exercise.doses):
                offered = {dose.name for dose in forgotten.exercise.doses}
                assert offered <= {dose.name for dose in known.exercise.doses}, (id_, side)


@pytest.mark.parametrize(("bad", "unknown"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_what_is_left_out_for_a_bad_value_is_never_offered_without_a_word(bad: Athlete, unknown: Athlete) -> None:
    """Where the bad value alone leaves an exercise out, the forgotten one brings a caution to it at least."""
    for id_, exercise in library().items():
        for side in SIDES:
            known, forgotten = (readiness(exercise, each, KIT, side=side) for each in (bad, unknown))
            if known.reason is not None:
                assert forgotten.reason is not None or forgotten.notices, (id_, side, known.reason)


@pytest.mark.parametrize(
    ("exercise", "reason"),
    [
        ("easy_rolling", "the trunk tips forward when the chair slows down"),
        ("partner_hold", "a push at the long arm moves a trunk that nothing holds"),
    ],
)
def test_the_two_that_were_found(exercise: str, reason: str) -> None:
    """Rolling and the rhythmic hold, no strap worn or at hand: with trunk control unknown they said nothing."""
    bare = replace(KIT, waist_straps=0, chest_straps=0)
    chairs = tuple(replace(chair, strap="none") for chair in PLAIN.chairs)
    athlete = replace(with_trunk(forward=None, turn=None), chairs=chairs)
    found = readiness(library()[exercise], athlete, bare, side="right")
    assert any(reason in each.what and each.what.startswith("trunk control not known") for each in found.notices)


def test_a_level_that_is_not_known_names_the_signs() -> None:
    """T4 brings the caution of dysreflexia; forgotten, the caution still names it."""
    forgotten = health_notices(with_health(spinal_level=None, no_spinal_injury=False))
    assert any("dysreflexia" in f"{each.what} {each.do}" for each in forgotten)
    assert {each.level for each in forgotten if "dysreflexia" in each.do} == {"caution"}
