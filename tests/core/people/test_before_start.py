"""What is asked before the start: who is asked what, and what the answers ask for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from firstpush.core.errors import UnknownNameError
from firstpush.core.people.athlete import Athlete, Health, Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.before_start import EFFECTS, before_start, effect_of_pain, known_pains, questions_before
from firstpush.core.people.pain import OUTCOMES, PainAnswer, pain_answer
from firstpush.demo import demo_file

WELL: Athlete = replace(
    load_athlete(demo_file("athlete")),
    health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
)
"""The demo athlete with nothing the matter."""
HIGH = replace(WELL, health=replace(WELL.health, no_spinal_injury=False, spinal_level="T4"))
LOW = replace(WELL, health=replace(WELL.health, no_spinal_injury=False, spinal_level="L1"))
UNKNOWN = replace(WELL, health=replace(WELL.health, no_spinal_injury=False))


def test_plain_answers_ask_for_nothing() -> None:
    """Every question answered with its first answer, or not at all, is a session as planned."""
    for athlete in (WELL, HIGH, LOW, UNKNOWN):
        plain = {question.id: question.answers[0].says for question in questions_before(athlete)}
        assert before_start(athlete, plain) == before_start(athlete, {})
        assert before_start(athlete, plain).effect == "none"
        assert before_start(athlete, plain).notices == ()


def test_the_bladder_is_asked_of_those_whose_cord_is_hurt() -> None:
    """And of those of whom it is not known; nobody else is troubled with it."""
    asked = {name: {question.id for question in questions_before(athlete)} for name, athlete in
             (("well", WELL), ("high", HIGH), ("low", LOW), ("unknown", UNKNOWN))}  # fmt: skip
    assert "bladder" not in asked["well"]
    assert all("bladder" in asked[name] for name in ("high", "low", "unknown"))
    assert all({"illness", "skin", "straps", "heat"} <= each for each in asked.values())


@pytest.mark.parametrize(("athlete", "level"), [(HIGH, "stop"), (UNKNOWN, "stop"), (LOW, "caution")])
def test_a_full_bladder_is_graver_at_t6_and_above(athlete: Athlete, level: str) -> None:
    """It can set off autonomic dysreflexia there (guideline texts); it comes first everywhere."""
    found = before_start(athlete, {"bladder": "not yet"})
    assert found.effect == "first"
    assert [notice.level for notice in found.notices] == [level]


@pytest.mark.parametrize(
    ("question", "says", "effect"),
    [
        ("illness", "more tired than usual", "ease"),
        ("illness", "ill or feverish", "stop"),
        ("skin", "a mark that fades", "shorten"),
        ("skin", "a mark that stays, or open skin", "stop"),
        ("straps", "too tight or too loose", "first"),
        ("heat", "hot, or 28 °C and more", "shorten"),  # measures from 28.0 °C in wheelchair tennis
        ("heat", "30 °C and more", "stop"),  # suspended at 30.1 °C, from memory
    ],
)
def test_each_answer_has_its_effect_for_everybody(question: str, says: str, effect: str) -> None:
    """And it tells what and what to do."""
    for athlete in (WELL, HIGH, LOW, UNKNOWN):
        found = before_start(athlete, {question: says})
        assert found.effect == effect
        (notice,) = found.notices
        assert notice.what
        assert notice.do


def test_the_gravest_effect_counts_and_no_notice_is_lost() -> None:
    """Tired, hot and a kinked tube: put the tube right first; the others still hold."""
    found = before_start(HIGH, {"illness": "more tired than usual", "bladder": "not yet", "heat": "30 °C and more"})
    assert found.effects == {"ease", "first", "stop"}
    assert found.effect == "stop"
    assert len(found.notices) == 3
    assert [notice.level for notice in found.notices] == ["stop", "stop", "caution"]


def test_an_answer_more_never_makes_it_milder() -> None:
    """For every pair of answers of every athlete."""
    for athlete in (WELL, HIGH, LOW, UNKNOWN):
        answers = [(question.id, each.says) for question in questions_before(athlete) for each in question.answers]
        for first in answers:
            alone = EFFECTS.index(before_start(athlete, dict([first])).effect)
            for second in answers:
                if second[0] != first[0]:
                    assert EFFECTS.index(before_start(athlete, dict([first, second])).effect) >= alone


def test_pain_before_the_start() -> None:
    """New or sharp pain is looked at first, too much of a familiar one eases; graver answers have graver effects."""
    assert effect_of_pain(pain_answer(1, usual=1)) == "none"
    assert effect_of_pain(pain_answer(3, usual=1)) == "ease"
    assert effect_of_pain(pain_answer(1, feeling="sharp")) == "stop"
    assert effect_of_pain(pain_answer(7)) == "stop"
    graver = [EFFECTS.index(effect_of_pain(PainAnswer(outcome=outcome, because=""))) for outcome in OUTCOMES]
    assert graver == sorted(graver)
    assert before_start(WELL, {}, pains=(pain_answer(3, usual=1),)).effect == "ease"


def test_what_is_not_asked_is_refused() -> None:
    """The message names the questions, or the answers, that there are."""
    with pytest.raises(UnknownNameError, match="illness"):
        before_start(WELL, {"bladder": "yes"})
    with pytest.raises(UnknownNameError, match="as usual"):
        before_start(WELL, {"illness": "fine"})


@pytest.mark.parametrize(
    ("usual", "now", "level", "plain"),
    [
        # Said today counts before usual; above the limit of 2 (Thomee 1997, from memory) or the usual nothing is plain.
        (2, 4, 4, False),
        (2, None, 2, True),
        (2, 1, 1, True),
        (1, 2, 2, False),
        (3, None, 3, False),
        (None, None, None, False),
        (None, 2, 2, False),  # it may be new: asked before the start
        (None, 0, 0, True),
        (0, None, 0, True),
    ],
)
def test_what_a_plain_answer_says_of_a_known_pain(usual: int | None, now: int | None, level: int, plain: bool) -> None:
    """It takes what is known of today, and there is none where that is too much, or unknown."""
    pain = Pain(place="shoulder front", side="left", usual=usual, now=now)
    (found,) = known_pains(replace(WELL, health=replace(WELL.health, pain=(pain,))))
    assert (found.level, found.is_plain) == (level, plain)


def test_the_number_that_tiredness_sets_is_the_one_in_its_words() -> None:
    """What an answer allows as effort is a number of the scale that its words name too; most answers set none."""
    set_ = [each for question in questions_before(HIGH) for each in question.answers if each.effort_ceiling is not None]
    assert [each.says for each in set_] == ["more tired than usual"]
    for each in set_:
        assert each.effort_ceiling in range(6, 21)
        assert f"nothing above effort {each.effort_ceiling}" in each.do
