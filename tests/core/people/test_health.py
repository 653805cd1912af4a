"""Notices about health: each rule speaks when it should, with both halves, and not otherwise."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from firstpush.core.notices import Notice, for_athlete
from firstpush.core.people.athlete import CONDITIONS, PAIN_PLACES, SPINAL_LEVELS, Athlete, Health, Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.health import health_notices, health_rules
from firstpush.demo import demo_file

RUNA: Athlete = replace(
    load_athlete(demo_file("athlete")),
    spasticity="none",
    health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
)
"""The demo athlete with nothing the matter."""


def notices(**health: Any) -> dict[str, Notice]:
    """Return the notices by id for other health."""
    return {each.id: each for each in health_notices(replace(RUNA, health=replace(RUNA.health, **health)))}


def test_nothing_the_matter_is_no_notice() -> None:
    """Everything asked and nothing found: silence."""
    assert notices() == {}


@pytest.mark.parametrize("level", SPINAL_LEVELS)
def test_dysreflexia_and_faintness_from_t6_upwards(level: str) -> None:
    """T6 and every level nearer to the head has both cards, T7 and below neither (consortium guideline on
    acute dysreflexia; the second card is common practice).
    """
    found = notices(spinal_level=level, no_spinal_injury=False)
    above = level.startswith("C") or level in ("T1", "T2", "T3", "T4", "T5", "T6")
    assert ("dysreflexia-risk" in found) == above
    assert ("faintness-risk" in found) == above
    assert ("effort-scale-differs" in found) == level.startswith("C")


def test_the_two_cards_ask_for_opposite_things() -> None:
    """Dysreflexia: sit up. Faintness: tilt back. Neither card carries the other's advice as its own."""
    found = notices(spinal_level="C6", no_spinal_injury=False)
    assert "sit upright" in found["dysreflexia-risk"].do
    assert "tilt the chair back" in found["faintness-risk"].do
    assert "tilt the chair back" not in found["dysreflexia-risk"].do


@pytest.mark.parametrize(("systolic", "words"), [(96.0, "the usual 96"), (None, "the usual value")])
def test_the_athlete_s_own_pressure_is_the_measure(systolic: float | None, words: str) -> None:
    """A rise counts from the own baseline, which is often low; unknown, it is not made up."""
    found = notices(spinal_level="T4", no_spinal_injury=False, usual_systolic_mmhg=systolic)
    assert words in found["dysreflexia-risk"].what


@pytest.mark.parametrize(
    ("conditions", "latex", "avoided"),
    [
        ({"spina bifida"}, "tolerated", True),
        ({"many operations"}, "tolerated", True),
        ({"spina bifida"}, None, True),
        (set(), "avoid", True),
        (set(), None, True),
        (None, None, True),
        (set(), "tolerated", False),
        ({"shunt"}, "tolerated", False),
    ],
)
def test_latex_is_out_unless_it_is_known_to_be_tolerated(
    conditions: set[str] | None, latex: Any, avoided: bool
) -> None:
    """Spina bifida and many operations exclude it whatever was written; unknown is never "tolerated"."""
    health = {"conditions": None if conditions is None else frozenset(conditions), "latex": latex}
    assert replace(RUNA.health, **health).must_avoid_latex == avoided
    assert ("latex-avoided" in notices(**health)) == avoided


def test_latex_that_is_out_is_read_by_whoever_hands_the_band() -> None:
    """A partner's gloves are not in the cupboard: the athlete's sheet and the court say it, with the reason."""
    (told,) = for_athlete(health_notices(replace(RUNA, health=replace(RUNA.health, latex="avoid"))))
    assert (told.what, told.level) == ("no latex: the athlete avoids it", "caution")
    assert "partner" in told.do


@pytest.mark.parametrize(
    ("spasticity", "conditions", "told"),
    [
        ("none", frozenset(), []),
        ("some", frozenset(), [("spasms-some", "note")]),
        ("much", frozenset(), [("spasms-much", "caution")]),
        (None, frozenset(), [("spasticity-unknown", "caution")]),
        (None, None, [("conditions-unknown", "caution")]),
    ],
)
def test_spasticity_is_heeded(spasticity: Any, conditions: frozenset[str] | None, told: list[tuple[str, str]]) -> None:
    """Usual care with spasms, from memory: feet fixed, slowly, stop and wait; more than usual has a cause.

    Unknown is never "none"; where no condition was asked either, one line asks for both.
    """
    health = replace(RUNA.health, conditions=conditions)
    found = health_notices(replace(RUNA, spasticity=spasticity, health=health))
    assert [(each.id, each.level) for each in found if each.id != "latex-avoided"] == told
    if spasticity in ("some", "much"):
        (notice,) = found
        for word in ("Feet fixed", "slowly", "stop and wait", "bladder", "skin", "infection"):
            assert word in notice.do
    if conditions is None:
        assert "spasms" in found[0].do
    # Much of it is read by the athlete; a question to the practitioner is not.
    assert [each.id for each in for_athlete(found)] == (["spasms-much"] if spasticity == "much" else [])


@pytest.mark.parametrize(
    ("what", "id_"),
    [("pain", "pain-unknown"), ("conditions", "conditions-unknown"), ("spinal_level", "spinal-level-unknown")],
)
def test_what_was_not_asked_is_a_caution(what: str, id_: str) -> None:
    """Unknown asks the practitioner to ask; it is never taken as "none"."""
    health = {"no_spinal_injury": False, "spinal_level": None} if what == "spinal_level" else {what: None}
    assert notices(**health)[id_].level == "caution"


@pytest.mark.parametrize(
    ("usual", "now", "id_", "level"),
    [
        (1, 0, None, None),
        (1, 1, "familiar-pain", "note"),
        (2, 2, "familiar-pain", "note"),
        (None, 1, "pain-familiar-unknown", "caution"),
        (None, 2, "pain-familiar-unknown", "caution"),
        (0, 2, "pain-too-much", "caution"),
        (2, 3, "pain-too-much", "caution"),
        (4, 4, "pain-too-much", "caution"),
        (4, 5, "pain-too-much", "caution"),
        (None, 3, "pain-too-much", "caution"),
        (5, 6, "pain-stops", "stop"),
        (8, 8, "pain-stops", "stop"),
        (3, None, "pain-now-unknown", "caution"),
    ],
)
def test_pain_is_judged_against_the_usual_and_stops_above_five(
    usual: int | None, now: int | None, id_: str | None, level: str | None
) -> None:
    """Up to the usual and up to 2 goes on with care, above is a caution, more than 5 of 10 stops (9.13, 13.2)."""
    found = notices(pain=(Pain(place="shoulder top", side="left", usual=usual, now=now),))
    assert {(each.id, each.level) for each in found.values()} == (set() if id_ is None else {(id_, level)})
    for each in found.values():
        assert "left shoulder top" in each.what


def test_pain_not_asked_today_does_not_speak_of_none() -> None:
    """Neither usual nor present pain known: the sentence does not print "None"."""
    found = notices(pain=(Pain(place="wrist", side="right", usual=None, now=None),))
    assert "None" not in found["pain-now-unknown"].what


@pytest.mark.parametrize("place", ["neck", "upper back", "lower back"])
def test_pain_in_the_middle_is_not_called_an_arm(place: str) -> None:
    """The advice for neck and back does not speak of "that arm" or "that side"."""
    for now in (4, 8):
        for each in notices(pain=(Pain(place=place, side=None, usual=1, now=now),)).values():
            assert "that arm" not in each.do
            assert "that side" not in each.do


def test_every_pain_speaks_for_itself() -> None:
    """Two places give two notices, each with its own words."""
    pain = tuple(Pain(place=place, side="right", usual=1, now=3) for place in PAIN_PLACES[:2])
    found = health_notices(replace(RUNA, health=replace(RUNA.health, pain=pain)))
    assert len(found) == 2
    assert found[0].what != found[1].what


def test_missing_limbs_say_that_the_tables_fit_less_well() -> None:
    """One missing leg is enough; none, said or unknown, says nothing."""
    for missing, told in ((frozenset({"left foot"}), True), (frozenset(), False), (None, False)):
        found = health_notices(replace(RUNA, missing_limbs=missing))
        assert any(each.id == "tables-of-intact-adults" for each in found) == told


def test_every_condition_of_the_list_says_something() -> None:
    """A condition that can be ticked and then changes nothing would be a trap: it brings a notice, or takes out or
    cautions an exercise of the library, or latex.
    """
    from firstpush.core.exercises.loader import library

    in_exercises = {caution.condition for exercise in library().values() for caution in exercise.cautions}
    silent = [each for each in CONDITIONS if not notices(conditions=frozenset({each})) and each not in in_exercises]
    assert silent == []


def test_rules_are_whole() -> None:
    """Ids are there once; each rule says what, what to do, and how it is known, without a full stop at the end."""
    rules = health_rules()
    assert len({rule.id for rule in rules}) == len(rules)
    for rule in rules:
        assert rule.level in ("note", "caution", "stop")
        assert rule.known in ("read", "from memory", "common practice", "our choice")
        assert rule.source
        for text in (rule.what, rule.do):
            assert text.strip()
            assert not text.endswith(".")
        (key,) = rule.when
        if key == "condition":
            assert rule.when[key] in CONDITIONS
        if key == "spinal_level_at_or_above":
            assert rule.when[key] in SPINAL_LEVELS


@pytest.mark.parametrize(
    ("usual", "says"),
    [
        (2, "right shoulder front: usually 2 of 10, today 4, above the limit of 2"),
        (None, "right shoulder front: today 4 of 10, usual level not known, above the limit of 2"),
    ],
)
def test_how_much_it_hurts_is_said_once(usual: int | None, says: str) -> None:
    """The level of now stands in the sentence once."""
    found = notices(pain=(Pain(side="right", place="shoulder front", usual=usual, now=4),))
    assert found["pain-too-much"].what == says


def test_a_pain_above_the_usual_one_says_so_once() -> None:
    """Within the limit and above what is usual: the usual level is the reason, and is not told twice."""
    found = notices(pain=(Pain(side="right", place="shoulder front", usual=1, now=2),))
    assert found["pain-too-much"].what == "right shoulder front: usually 1 of 10, today 2"


def test_a_pain_whose_usual_level_is_unknown_is_not_called_familiar() -> None:
    """2 of 10 may be the old ache or a new one: the sheet asks first, and a new pain does not go on."""
    found = notices(pain=(Pain(place="shoulder top", side="left", usual=None, now=2),))
    told = found["pain-familiar-unknown"]
    assert told.what == "left shoulder top: pain 2 of 10 now; whether it is familiar is not known"
    assert told.do.startswith("Ask before the start")
    assert "new pain nothing goes on" in told.do
    assert "familiar-pain" not in found


def test_a_pain_that_began_too_high_stops_above_what_it_was() -> None:
    """4 of 10 at the start: nothing says "over 2" of the same place; it stops there above 4."""
    found = notices(pain=(Pain(place="shoulder top", side="right", usual=2, now=4),))
    assert found["pain-too-much"].do == "Go on lightly, with the lightest set-ups on that side; stop over 4 of 10 there"
