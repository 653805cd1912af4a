"""The one rule about pain: what goes on, what stops, and that a graver pain never has a milder answer."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import OutOfRangeError
from firstpush.core.people.athlete import Athlete, Health, Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.before_start import effect_of_pain
from firstpush.core.people.health import health_notices, hurts_too_much, stops_arm
from firstpush.core.people.pain import FEELINGS, LARGEST_LIMIT, OFFERS, OUTCOMES, pain_answer, pain_later, pain_table
from firstpush.demo import demo_file

RUNA: Athlete = replace(
    load_athlete(demo_file("athlete")),
    health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
)
"""The demo athlete with nothing the matter."""
LEVELS = st.integers(0, 10)
USUAL = st.none() | LEVELS
LIMITS = st.none() | st.integers(0, LARGEST_LIMIT)


@pytest.mark.parametrize(
    ("level", "about", "outcome"),
    [
        # Familiar, up to the usual and up to 2 (common practice; 0-2 safe: Thomee 1997, from memory).
        (0, {"usual": 3}, "go on"),
        (1, {"usual": 1}, "go on with care"),
        (2, {"usual": 2}, "go on with care"),
        (2, {}, "go on with care"),
        # Above the usual, above the limit.
        (1, {"usual": 0}, "easier"),
        (2, {"usual": 1}, "easier"),
        (3, {"usual": 3}, "easier"),
        (3, {}, "easier"),
        # The athlete's own limit, lower and higher.
        (1, {"usual": 2, "limit": 0}, "easier"),
        (4, {"usual": 4, "limit": 4}, "go on with care"),
        (5, {"usual": 5, "limit": 5}, "go on with care"),
        (5, {"usual": 4, "limit": 5}, "easier"),
        # Known, and said to be more than usual: as above the usual level, however little; too much stays too much.
        (3, {"feeling": "more than usual", "usual": 2}, "easier"),
        (1, {"feeling": "more than usual"}, "easier"),
        (4, {"feeling": "more than usual", "usual": 3, "limit": 5}, "easier"),
        (0, {"feeling": "more than usual", "usual": 2}, "go on"),
        (6, {"feeling": "more than usual", "usual": 5, "limit": 5}, "stop the arm"),
        # New or sharp, however little.
        (1, {"feeling": "new"}, "stop the exercise"),
        (1, {"feeling": "sharp", "usual": 5, "limit": 5}, "stop the exercise"),
        (0, {"feeling": "sharp"}, "go on"),
        # Rising within the session; what comes on up to the usual is not rising.
        (2, {"usual": 2, "before": 1}, "easier"),
        (2, {"usual": 2, "before": 2}, "go on with care"),
        (1, {"usual": 2, "before": 2}, "go on with care"),
        (2, {"usual": 2, "before": 0}, "go on with care"),
        # More than 5 of 10 is too much (Thomee 1997, from memory), usual or not.
        (6, {"usual": 6, "limit": 5}, "stop the arm"),
        (6, {"feeling": "sharp"}, "stop the arm"),
        (10, {"usual": 10}, "stop the arm"),
    ],
)
def test_every_edge_of_the_rule(level: int, about: dict[str, Any], outcome: str) -> None:
    """Common practice, edge by edge."""
    assert pain_answer(level, **about).outcome == outcome


@given(level=LEVELS, feeling=st.sampled_from(FEELINGS), usual=USUAL, limit=LIMITS, before=USUAL)
def test_a_graver_pain_never_has_a_milder_answer(
    level: int, feeling: Any, usual: int | None, limit: int | None, before: int | None
) -> None:
    """More pain, a lower limit, a lower usual level, or a new pain in place of a familiar one: never milder."""

    def grave(level: int, **about: Any) -> int:
        asked: dict[str, Any] = {"feeling": feeling, "usual": usual, "limit": limit, "before": before}
        return OUTCOMES.index(pain_answer(level, **(asked | about)).outcome)

    now = grave(level)
    assert level == 10 or grave(level + 1) >= now
    graver = [grave(level, feeling=each) for each in ("as usual", "more than usual", "new")]
    assert graver == sorted(graver)
    if limit is not None and limit > 0:
        assert grave(level, limit=limit - 1) >= now
    if usual is not None and usual > 0:
        assert grave(level, usual=usual - 1) >= now


@given(usual=USUAL, limit=LIMITS)
def test_familiar_pain_goes_on_up_to_usual_and_limit_and_never_above(usual: int | None, limit: int | None) -> None:
    """The set of levels that go on is counted out by hand: from 0 to the lower of the two."""
    highest = min(usual if usual is not None else 10, limit if limit is not None else 2)
    for level in range(11):
        assert pain_answer(level, usual=usual, limit=limit).is_too_much == (level > highest)


@given(usual=USUAL, limit=LIMITS, level=LEVELS, before=LEVELS, feeling=st.sampled_from(FEELINGS))
def test_the_table_answers_as_the_rule(
    usual: int | None, limit: int | None, level: int, before: int, feeling: Any
) -> None:
    """A page that looks up says what the rule says, 0 before being the same as nothing said."""
    found = pain_table(usual=usual, limit=limit)[feeling][before][level]
    assert found == pain_answer(level, feeling=feeling, usual=usual, limit=limit, before=before or None)


@pytest.mark.parametrize(
    ("level", "about", "says"),
    [
        (11, {}, "pain is 11; allowed are the whole numbers 0 to 10"),
        (-1, {}, "pain is -1"),
        (True, {}, "pain is True"),
        (3, {"usual": 12}, "usual pain is 12"),
        (3, {"before": 99}, "earlier pain is 99"),
        (3, {"limit": 6}, "the limit of pain is 6 of 10; allowed is 0 to 5"),
        (3, {"feeling": "dull"}, 'pain feels "dull"; allowed is as usual, more than usual, new, sharp'),
    ],
)
def test_what_is_no_pain_is_refused(level: int, about: dict[str, Any], says: str) -> None:
    """One sentence with the value and what is allowed."""
    with pytest.raises(OutOfRangeError, match=says.replace(".", r"\.")):
        pain_answer(level, **about)


@given(place=st.sampled_from(["shoulder top", "wrist"]), usual=USUAL, now=LEVELS, limit=LIMITS)
def test_sheet_and_set_up_ask_the_same_rule(place: str, usual: int | None, now: int, limit: int | None) -> None:
    """What is said before the start, whether the arm counts as sore, and whether it is left alone agree with it."""
    pain = Pain(place=place, side="left", usual=usual, now=now)
    answer = pain_answer(now, usual=usual, limit=limit)
    athlete = replace(RUNA, health=replace(RUNA.health, pain=(pain,), pain_limit=limit))
    ids = {"pain-stops", "pain-too-much", "familiar-pain", "pain-familiar-unknown"}
    told = {notice.id for notice in health_notices(athlete)} & ids
    expected = {
        "go on": set(),
        "go on with care": {"pain-familiar-unknown" if usual is None else "familiar-pain"},
        "easier": {"pain-too-much"},
        "stop the arm": {"pain-stops"},
    }
    assert told == expected[answer.outcome]
    assert hurts_too_much(athlete, "left") == answer.is_too_much
    assert not hurts_too_much(athlete, "right")
    assert stops_arm(pain, "left") == (answer.outcome == "stop the arm")
    assert not stops_arm(pain, "right")


@pytest.mark.parametrize(
    ("level", "feeling", "side", "arms", "offer"),
    [
        # Common practice: what stopped an exercise is not tried again on the same arm until it was looked at.
        (4, "sharp", "left", ("right", "left"), "leave out"),
        (4, "sharp", "left", ("left",), "leave out"),
        (1, "new", "left", ("left",), "leave out"),
        # The other arm is not concerned.
        (4, "sharp", "left", ("right",), "planned"),
        (8, "as usual", "left", ("right",), "planned"),
        # More than 5 of 10 ends it for the arm; neck and back have no side, and end it for both.
        (6, "as usual", "left", ("right", "left"), "none"),
        (8, "sharp", None, ("right",), "none"),
        (3, "sharp", None, ("right",), "leave out"),
        # What works no arm goes on.
        (8, "sharp", None, (), "planned"),
        # Familiar: too much is loaded less, little goes on.
        (3, "as usual", "left", ("left",), "easier"),
        (2, "as usual", "left", ("left",), "planned"),
        (0, "as usual", "left", ("left",), "planned"),
    ],
)
def test_a_pain_holds_for_the_rest_of_the_session(
    level: int, feeling: Any, side: str | None, arms: tuple[str, ...], offer: str
) -> None:
    """A later exercise of the same arm is offered by what the pain meant in the exercise in which it came."""
    outcome = pain_answer(level, feeling=feeling).outcome
    assert pain_later(outcome, side=side, arms=arms).offer == offer


def test_a_graver_pain_never_frees_a_later_exercise() -> None:
    """In the order of the outcomes the offers only get stricter, and what is not as planned is told with what to do."""
    found = [pain_later(outcome, side="left", arms=("left",)) for outcome in OUTCOMES]
    places = [OFFERS.index(each.offer) for each in found]
    assert places == sorted(places)
    for each in found:
        assert (each.offer == "planned") == (each.what == "") == (each.do == "")
        assert each.offer == "planned" or each.level in ("caution", "stop")
    assert {each.offer for each in found} == set(OFFERS)


@given(level=LEVELS, feeling=st.sampled_from(FEELINGS), usual=USUAL, limit=LIMITS)
def test_the_same_pain_before_the_start_is_never_taken_more_lightly_than_in_it(
    level: int, feeling: Any, usual: int | None, limit: int | None
) -> None:
    """What stops the session before its start keeps the arm out of it afterwards, and what eases it eases it."""
    answer = pain_answer(level, feeling=feeling, usual=usual, limit=limit)
    offer = pain_later(answer.outcome, side="left", arms=("left",)).offer
    before = effect_of_pain(answer)
    assert {"stop": offer in ("leave out", "none"), "ease": offer == "easier", "none": offer == "planned"}[before]


def test_an_outcome_that_is_none_is_refused() -> None:
    """It says which there are."""
    with pytest.raises(OutOfRangeError, match="allowed is go on, go on with care, easier"):
        pain_later("sore", side="left", arms=("left",))  # type: ignore[arg-type]
