"""Traits: what function, limbs and pain today mean, for the arms that work and for no other."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from firstpush.core.people.athlete import SIDES, Athlete, Health, Pain, Side, TrunkControl
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.traits import TRAITS, possible_traits, traits
from firstpush.demo.club import club_files

CLUB: dict[str, Athlete] = {path.stem.split("_")[0]: load_athlete(path) for path in club_files()["athletes"]}
STEADY = TrunkControl(forward="yes", turn="yes", lean_left="yes", lean_right="yes")
PLAIN: Athlete = replace(
    CLUB["bren"],
    missing_limbs=frozenset(),
    chairs=tuple(replace(chair, caster_share=0.30) for chair in CLUB["bren"].chairs),
    health=Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=()),
)
"""Strong arms and trunk, all limbs, no pain, weight enough on the casters."""


@pytest.mark.parametrize(
    ("name", "arms", "expected"),
    [
        ("bren", SIDES, {"leg missing above knee", "foot missing", "light front"}),  # 16 % on the casters
        ("edda", ("right",), {"sore shoulder"}),  # 4 of 10 today, usually 2
        ("edda", ("left",), set()),
        ("edda", SIDES, {"sore shoulder"}),
        ("mika", SIDES, {"light front"}),  # 24 % on the casters
        ("nilo", SIDES, set()),
        ("runa", SIDES, set()),  # 1 of 10, as always
        ("signe", SIDES, {"no trunk control"}),
        ("tovi", ("right",), {"no trunk control", "weak grip", "weak elbow extensors"}),  # grade 1
        ("tovi", SIDES, {"no trunk control", "weak grip", "weak elbow extensors"}),  # left 2 of 10, as usual: not sore
        ("ylva", ("left",), {"weak grip", "weak elbow extensors", "hemiplegic arm"}),  # grade 2
        ("ylva", ("right",), set()),
        ("ylva", SIDES, {"weak grip", "weak elbow extensors", "hemiplegic arm"}),
    ],
)
def test_the_club(name: str, arms: tuple[Side, ...], expected: set[str]) -> None:
    """Read off each athlete's file by hand; what is true of one arm says nothing of the other."""
    assert traits(CLUB[name], arms) == expected


@pytest.mark.parametrize(
    ("pain", "sore"),
    [
        (Pain(place="shoulder front", side="right", usual=0, now=3), True),
        (Pain(place="shoulder blade", side="right", usual=3, now=4), True),
        (Pain(place="shoulder top", side="right", usual=None, now=3), True),
        (Pain(place="shoulder top", side="right", usual=2, now=2), False),  # familiar, and 2 of 10 is safe (1.41)
        (Pain(place="shoulder top", side="right", usual=0, now=2), True),  # above the usual (13.2)
        (Pain(place="shoulder top", side="right", usual=5, now=5), True),  # above the limit (13.2)
        (Pain(place="shoulder top", side="right", usual=1, now=None), False),  # not asked: told by a notice
        (Pain(place="shoulder top", side="left", usual=0, now=5), False),  # the other arm
        (Pain(place="wrist", side="right", usual=0, now=5), False),
        (Pain(place="neck", side=None, usual=0, now=5), False),
    ],
)
def test_a_sore_shoulder_hurts_more_than_usual_today(pain: Pain, sore: bool) -> None:
    """Above the usual or above 2 of 10, in the shoulder, on the arm that works."""
    athlete = replace(PLAIN, health=replace(PLAIN.health, pain=(pain,)))
    assert ("sore shoulder" in traits(athlete, ("right",))) == sore


@pytest.mark.parametrize(
    ("forward", "turn", "none"),
    [
        ("no", "yes", True),
        ("yes", "no", True),
        ("no", "no", True),
        ("partly", "partly", False),
        ("yes", "partly", False),
        (None, None, False),
    ],
)
def test_trunk_control_to_the_front_and_in_turning(forward: Any, turn: Any, none: bool) -> None:
    """One of the two missing is enough; partly is some, and unknown is told by notices of its own."""
    athlete = replace(PLAIN, trunk=replace(STEADY, forward=forward, turn=turn))
    assert ("no trunk control" in traits(athlete, SIDES)) == none


@pytest.mark.parametrize(
    ("arm", "expected"),
    [
        ({"grip": "weak"}, {"weak grip"}),
        ({"grip": "none"}, {"weak grip"}),
        ({"elbow_extension": 2}, {"weak elbow extensors"}),  # moves without gravity only
        ({"elbow_extension": 3}, set()),  # holds against gravity
        ({"grip": None, "elbow_extension": None}, set()),
    ],
)
def test_an_arm_below_what_holds(arm: dict[str, Any], expected: set[str]) -> None:
    """Muscle grade 3 is the first that moves against gravity; unknown is no trait."""
    athlete = replace(PLAIN, right=replace(PLAIN.right, **arm))
    assert traits(athlete, ("right",)) == expected
    assert traits(athlete, ("left",)) == set()


@pytest.mark.parametrize(
    ("missing", "expected"),
    [
        ({"left above knee"}, {"light front"}),
        ({"left above knee", "right below knee"}, {"foot missing", "light front"}),
        ({"left foot", "right foot"}, {"foot missing"}),
        ({"left above knee", "right above knee"}, {"leg missing above knee", "foot missing", "light front"}),
        ({"left hand"}, set()),
        (None, set()),
    ],
)
def test_limbs_count_when_both_legs_lack_them(missing: set[str] | None, expected: set[str]) -> None:
    """One thigh is enough to lay a forearm on, one foot to go under a rail; one leg less lightens the front."""
    limbs = None if missing is None else frozenset(missing)
    assert traits(replace(PLAIN, missing_limbs=limbs), SIDES) == expected


def test_every_trait_is_found_in_the_club() -> None:
    """The demo shows each of them, so that none stays untried; all its chairs have an anti-tip wheel."""
    shown = frozenset().union(*(traits(each, SIDES) for each in CLUB.values()))
    assert shown == set(TRAITS) - {"may tip backwards"}


@pytest.mark.parametrize(
    ("wheel", "measured", "forward", "known", "may_be"),
    [
        (0.2, True, "no", False, None),
        (None, True, "no", True, None),
        (None, True, "partly", False, None),
        (None, True, None, False, "trunk control"),
        (None, False, "no", False, "anti-tip wheel"),
        (None, False, None, False, "anti-tip wheel and trunk control"),
        (None, False, "yes", False, None),
    ],
)
def test_who_may_tip_backwards(
    wheel: float | None, measured: bool, forward: Any, known: bool, may_be: str | None
) -> None:
    """Neither wheel nor trunk: known of both, or of one or both not; either of them is enough to hold."""
    chair = replace(PLAIN.chair, anti_tip=wheel, measured=frozenset({"anti_tip"} if measured else ()))
    athlete = replace(PLAIN, chairs=(chair,), trunk=replace(STEADY, forward=forward))
    assert ("may tip backwards" in traits(athlete, SIDES)) == known
    assert possible_traits(athlete, SIDES).get("may tip backwards") == may_be


@pytest.mark.parametrize(("share", "light"), [(0.16, True), (0.249, True), (0.25, False), (0.33, False), (None, False)])
def test_little_weight_on_the_casters_is_a_light_front(share: float | None, light: bool) -> None:
    """Below a quarter of the weight (our choice, see `LIGHT_FRONT`); what was not measured says nothing."""
    chairs = tuple(replace(chair, caster_share=share) for chair in PLAIN.chairs)
    assert ("light front" in traits(replace(PLAIN, chairs=chairs), SIDES)) == light


def test_limbs_that_are_not_known_may_make_the_front_light() -> None:
    """Whether a leg is missing is asked before the start."""
    assert possible_traits(replace(PLAIN, missing_limbs=None), SIDES)["light front"] == "missing limbs"


@pytest.mark.parametrize(
    ("usual", "now", "asked"),
    [(None, 2, "usual pain"), (None, 0, None), (2, 2, None), (None, None, "pain now"), (None, 3, None)],
)
def test_a_pain_of_which_the_usual_is_unknown_may_be_a_sore_shoulder(
    usual: int | None, now: int | None, asked: str | None
) -> None:
    """A 2 of 10 may be new: what is left out for a sore shoulder asks first; 3 of 10 is sore whatever it usually is."""
    pain = Pain(place="shoulder top", side="right", usual=usual, now=now)
    athlete = replace(PLAIN, health=replace(PLAIN.health, pain=(pain,)))
    assert possible_traits(athlete, ("right",)).get("sore shoulder") == asked
