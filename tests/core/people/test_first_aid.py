"""First-aid cards: the matching card, the athlete's own numbers in it, and never the opposite of what is needed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from firstpush.core.errors import UnknownNameError
from firstpush.core.people.athlete import SPINAL_LEVELS, Athlete, Health
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.first_aid import card_of, cards_for, every_card, pressure_says_dysreflexia
from firstpush.demo import demo_file

WELL: Athlete = replace(
    load_athlete(demo_file("athlete")),
    health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
)
"""The demo athlete with nothing the matter."""


def with_health(**health: object) -> Athlete:
    """Return the athlete with other health."""
    return replace(WELL, health=replace(WELL.health, no_spinal_injury=False, **health))  # type: ignore[arg-type]


@pytest.mark.parametrize("level", SPINAL_LEVELS)
def test_dysreflexia_is_for_t6_and_above(level: str) -> None:
    """Clinical guideline texts: injuries at T6 and above; C1 to T6 are the first 14 of the list (8 + 6)."""
    named = {card.id for card in cards_for(with_health(spinal_level=level))}
    assert ("dysreflexia" in named) == (SPINAL_LEVELS.index(level) < 8 + 6)
    assert "faintness" in named


def test_an_unknown_level_is_treated_as_a_high_one() -> None:
    """Unknown is never "no risk"; without an injury the card, which would harm, is not there."""
    assert "dysreflexia" in {card.id for card in cards_for(with_health())}
    assert "dysreflexia" not in {card.id for card in cards_for(WELL)}


def test_the_two_cards_ask_for_the_opposite_and_say_so() -> None:
    """Dysreflexia: sit up, not back. Faintness: tilt back, not up, and headache belongs to the other card."""
    cards = {card.id: card for card in cards_for(with_health(spinal_level="T4"))}
    assert "Sit upright" in cards["dysreflexia"].do[0]
    assert "do not tilt back" in cards["dysreflexia"].do[0]
    assert "Tilt the chair back" in cards["faintness"].do[0]
    assert "headache" in " ".join(cards["faintness"].do)
    assert not set(cards["dysreflexia"].signs) & set(cards["faintness"].signs)


def test_every_sign_leads_to_one_card() -> None:
    """A sign stands on one card of an athlete only, however much is the matter with them."""
    everything = with_health(
        spinal_level="C6", conditions=frozenset({"shunt", "spina bifida", "low bone density"}), usual_systolic_mmhg=95.0
    )
    cards = cards_for(everything)
    assert {card.id for card in cards} == {card.id for card in every_card()}
    signs = [sign for card in cards for sign in card.signs]
    assert len(signs) == len(set(signs))
    for card in cards:
        for sign in card.signs:
            assert card_of(everything, sign) == card


def test_the_cards_carry_the_athletes_numbers() -> None:
    """A usual of 95 mmHg makes 95 + 20 the number to stop at, and the level is what is said on the telephone."""
    (card,) = (
        each for each in cards_for(with_health(spinal_level="T3", usual_systolic_mmhg=95.0)) if "dysr" in each.id
    )
    assert f"{95 + 20} mmHg or more" in card.signs[2]
    assert "usual 95 mmHg" in " ".join(card.do)
    assert "injury at T3" in card.do[-1]
    (unknown,) = (each for each in cards_for(with_health(spinal_level="T3")) if "dysr" in each.id)
    assert "20 mmHg or more over the usual" in unknown.signs[2]
    assert "None" not in "".join((*unknown.signs, *unknown.do))


@pytest.mark.parametrize(
    ("level", "usual", "now", "expected"),
    [
        # Baseline 100: 118 is watched, 120 stops; the level alone speaks against it from T7 down (guideline texts).
        ("T6", 100.0, 118.0, False),
        ("T6", 100.0, 120.0, True),
        ("C1", 90.0, 110.0, True),
        ("T7", 100.0, 180.0, False),
        ("T4", None, 150.0, None),
        (None, 100.0, 150.0, None),
    ],
)
def test_blood_pressure_against_the_own_usual(
    level: str | None, usual: float | None, now: float, expected: bool | None
) -> None:
    """120 may be high for somebody whose usual is 90 to 100: it is the rise that counts."""
    health = with_health(spinal_level=level, usual_systolic_mmhg=usual).health
    assert pressure_says_dysreflexia(health, systolic_mmhg=now) is expected


def test_without_an_injury_pressure_says_nothing() -> None:
    """High pressure has other reasons there."""
    assert pressure_says_dysreflexia(WELL.health, systolic_mmhg=180.0) is False


def test_a_sign_of_no_card_lists_the_signs() -> None:
    """The message names what can be chosen."""
    with pytest.raises(UnknownNameError, match="Pale, dizzy"):
        card_of(WELL, "pale and dizzy")


def test_no_card_names_a_drug() -> None:
    """The tool says "call", and leaves medicine to those who may give it."""
    for card in every_card():
        words = " ".join(card.do).casefold()
        assert not any(drug in words for drug in ("nifedipine", "nitro", "aspirin", "captopril", " mg", "tablet"))
        assert card.do[0].startswith(("Stop", "Strap", "Let it go", "Hand"))
        assert card.calls_for_help == ("emergency number" in " ".join(card.do))
