"""Nobody without feet is told to loosen shoes; what a missing leg means for the chair is told."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.people.athlete import CONDITIONS, SIDES, Athlete, Health, TrunkControl
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.before_start import questions_before
from firstpush.core.people.first_aid import cards_for
from firstpush.core.people.health import health_notices, held_upright
from firstpush.core.people.limbs import for_limbs, has_no_feet, has_no_knees, legs_missing
from firstpush.core.setup.readiness import readiness
from firstpush.demo.club import club_files

BREN = next(load_athlete(path) for path in club_files()["athletes"] if path.stem == "bren_kollhaug")
"""Both legs end above the knee."""
KIT = load_kit(club_files()["kits"][0])
BOTH = frozenset({"left above knee", "right above knee"})
FEET = re.compile(r"\b(feet|foot|shoes?|ankles?|toes?)\b", re.IGNORECASE)
KNEES = re.compile(r"\b(knees?|legs up|leg stretch)\b", re.IGNORECASE)


def of_everything(missing: frozenset[str], *, spasticity: str = "much") -> Athlete:
    """Return somebody with every condition there is and an injury high enough for every rule."""
    health = Health(spinal_level="C6", conditions=frozenset(CONDITIONS), latex="avoid", pain=())
    return replace(BREN, missing_limbs=missing, health=health, spasticity=spasticity)  # type: ignore[arg-type]


def told(athlete: Athlete) -> Iterator[str]:
    """Yield everything that is said of health, before the start, in first aid, and in every exercise that is done."""
    for notice in health_notices(athlete):
        yield from (notice.what, notice.do)
    for question in questions_before(athlete):
        yield question.asks
        for answer in question.answers:
            yield from (answer.what, answer.do)
    for card in cards_for(athlete):
        yield from card.do
    plain = replace(athlete, health=Health(no_spinal_injury=True, conditions=frozenset(), pain=()))
    for exercise in library().values():
        for side in SIDES:
            ready = readiness(exercise, plain, KIT, side=side)
            if ready.reason is None:
                yield from (ready.exercise.summary, ready.exercise.cue, *ready.exercise.watch_for)


@pytest.mark.parametrize("spasticity", ["some", "much"])
def test_nothing_asks_for_feet_or_knees_that_are_not_there(spasticity: str) -> None:
    """Both legs end above the knee: no shoes, no feet fixed, no legs up, no knee that a hand passes."""
    words = list(told(of_everything(BOTH, spasticity=spasticity)))
    for pattern in (FEET, KNEES):
        assert [each for each in words if pattern.search(each)] == []
    # The same words name both where they are there, or the search above could not fail.
    all_there = list(told(of_everything(frozenset(), spasticity=spasticity)))
    assert sum(bool(FEET.search(each)) for each in all_there) >= 8
    assert sum(bool(KNEES.search(each)) for each in all_there) >= 4


def test_below_the_knee_knees_stay_and_feet_go() -> None:
    """A stump below the knee has a knee and can be laid up, and wears no shoe."""
    words = list(told(of_everything(frozenset({"left below knee", "right below knee"}))))
    assert [each for each in words if FEET.search(each)] == []
    assert any("opposite knee" in each for each in words)
    assert any("legs up" in each for each in words)


@pytest.mark.parametrize("limb", ["above knee", "below knee", "foot"])
def test_with_one_foot_left_everything_is_said(limb: str) -> None:
    """The other foot still has a shoe that can be too tight."""
    words = "Straps, shoes and clothing; tilt back, legs up; knees or casters cutting"
    assert for_limbs(words, {f"left {limb}"}) == words


def test_what_is_left_still_says_what_to_do() -> None:
    """The strap stays, and the other half of the sentence."""
    said = list(told(of_everything(BOTH)))
    words = " ".join(said)
    for each in ("straps loose enough", "Straps and clothing?", "casters cutting the cones", "the opposite thigh"):
        assert each in words, each
    holes = [each for each in said if re.search(r"  |,,|; ;|[,;] ?[.)]|\( |^[ ,;]|[ ,;]$", each)]
    assert holes == [], "a hole where something was left out"


@pytest.mark.parametrize(
    ("missing", "no_feet", "no_knees", "legs"),
    [
        (frozenset(), False, False, 0),
        (frozenset({"left above knee"}), False, False, 1),
        (BOTH, True, True, 2),
        (frozenset({"left above knee", "right below knee"}), True, False, 2),
        (frozenset({"left foot", "right foot"}), True, False, 0),
        (frozenset({"left hand", "right above elbow"}), False, False, 0),
    ],
)
def test_which_limbs_are_there(missing: frozenset[str], no_feet: bool, no_knees: bool, legs: int) -> None:
    """A foot goes with its leg; a foot alone is no leg; arms are no legs."""
    assert (has_no_feet(missing), has_no_knees(missing), legs_missing(missing)) == (no_feet, no_knees, legs)


@pytest.mark.parametrize(
    ("missing", "says"),
    [
        (BOTH, "without legs the weight sits farther back"),
        (frozenset({"left below knee"}), "without one leg the weight sits farther back"),
        (frozenset({"left foot", "right foot"}), ""),
        (frozenset(), ""),
        (None, ""),
    ],
)
def test_a_missing_leg_makes_the_chair_tip_sooner(missing: frozenset[str] | None, says: str) -> None:
    """What a leg weighs lies before the axle: the front is lighter by it (statics; common practice what to do)."""
    found = {each.id: each for each in health_notices(replace(BREN, missing_limbs=missing))}
    assert ("tips-back-sooner" in found) == bool(says)
    if says:
        assert says in found["tips-back-sooner"].what
        assert found["tips-back-sooner"].level == "caution"


@pytest.mark.parametrize(
    ("anti_tip", "measured", "says"),
    [
        (0.25, frozenset({"anti_tip"}), "Anti-tip wheel down before the first push"),
        (None, frozenset({"anti_tip"}), "The chair has no anti-tip wheel: somebody stands behind the chair"),
        (None, frozenset(), "Anti-tip wheel down before the first push; without one somebody stands behind the chair"),
    ],
)
def test_the_anti_tip_wheel_is_asked_for_as_far_as_it_is_known(
    anti_tip: float | None, measured: frozenset[str], says: str
) -> None:
    """A wheel that is known not to be there is not let down."""
    chair = replace(BREN.chair, anti_tip=anti_tip, measured=measured)
    found = {each.id: each for each in health_notices(replace(BREN, chairs=(chair,)))}
    assert found["tips-back-sooner"].do == says


@pytest.mark.parametrize(
    ("control", "strap", "held"),
    [("no", "chest", True), (None, "chest", True), ("yes", "chest", False), ("no", "none", False)],
)
def test_who_is_held_by_a_strap_alone_is_held_when_it_is_loosened(control: str | None, strap: str, held: bool) -> None:
    """Dysreflexia asks to loosen straps (clinical guideline texts): a trunk that nothing else holds falls."""
    trunk = TrunkControl(forward=control, turn=control)  # type: ignore[arg-type]
    chair = replace(BREN.chair, strap=strap)  # type: ignore[arg-type]
    athlete = replace(of_everything(frozenset()), trunk=trunk, chairs=(chair,))
    assert bool(held_upright(athlete)) == held
    (notice,) = [each for each in health_notices(athlete) if each.id == "dysreflexia-risk"]
    assert ("sit upright and held, loosen straps" in notice.do) == held
    (card,) = [each for each in cards_for(athlete) if each.id == "dysreflexia"]
    assert ("Sit upright and held" in card.do[0]) == held
