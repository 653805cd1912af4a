"""Whom a session is for changes what it is made of; weights stand in docs/why/session.md."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from firstpush.core.exercises.definition import AIMS
from firstpush.core.people.athlete import ArmFunction, Athlete, Pain, Side, TrunkControl
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session.asked import Asked
from firstpush.core.session.kinds import kind_named
from firstpush.core.session.needs import aim_needs
from firstpush.core.session.wishes import Measure
from firstpush.demo import demo_file

PAGE = (Path(__file__).parents[3] / "docs" / "why" / "session.md").read_text(encoding="utf-8")
PLAIN = replace(
    load_athlete(demo_file("athlete")),
    sport=None,
    trunk=TrunkControl(),
    health=replace(load_athlete(demo_file("athlete")).health, pain=()),
    left=ArmFunction(),
    right=ArmFunction(),
)
CASES: tuple[tuple[Athlete, bool], ...] = (
    (replace(PLAIN, trunk=TrunkControl(turn="partly")), False),
    (replace(PLAIN, trunk=TrunkControl(turn="yes", forward="yes")), False),
    (replace(PLAIN, sport="wheelchair badminton"), False),
    (replace(PLAIN, sport="wheelchair basketball"), False),
    (
        replace(
            PLAIN,
            health=replace(PLAIN.health, pain=(Pain(place="shoulder front", side="left", usual=2, now=0),)),
        ),
        False,
    ),
    (replace(PLAIN, health=replace(PLAIN.health, pain=(Pain(place="neck", side=None, usual=3, now=0),))), False),
    (replace(PLAIN, right=ArmFunction(grip="none", wrist_extension=4)), False),
    (replace(PLAIN, left=ArmFunction(elbow_extension=1)), False),
    (PLAIN, True),
)


def test_of_whom_nothing_is_known_nothing_more_is_asked() -> None:
    """An athlete without trunk, grip, pain and sport in the file has no needs of their own."""
    assert aim_needs(PLAIN) == ()


def test_every_need_stands_on_the_page_with_its_weight() -> None:
    """The rows of the table, counted by aim and weight, are the needs that the cases give."""
    rows = sorted(re.findall(r"\| [^|]+ \| ([a-z -]+) \| ([+-]\d) \|", PAGE.partition("## Whom it is for")[2]))
    needs = [need for athlete, junior in CASES for need in aim_needs(athlete, junior=junior)]
    assert sorted((need.aim, f"{need.more:+d}") for need in needs) == rows
    assert {need.aim for need in needs} <= set(AIMS)


@pytest.mark.parametrize(
    ("aim", "kind", "weight"),
    [
        ("anti-rotation", "before training", 4 + 2),
        ("anti-rotation", "before a match", 4 + 2 - 3),
        ("neck mobility", "before training", 0),
        ("turning", "before training", 1),
    ],
)
def test_weights_add_up(aim: str, kind: str, weight: int) -> None:
    """Core aims count four, others one, minor ones nothing; needs and kind are added."""
    asked = Asked(needs=aim_needs(CASES[0][0]))
    assert Measure(offered=(), kind=kind_named(kind), asked=asked).weight(aim) == weight


@pytest.mark.parametrize(
    ("pains", "because", "side"),
    [
        ((("shoulder top", "right", 2, 4),), "pain at the right shoulder top today", "right"),
        ((("shoulder front", "left", 2, 0),), "pain at the left shoulder front at times", "left"),
        (
            (("shoulder front", "left", 2, 2), ("shoulder top", "right", 2, 0)),
            "pain at the left shoulder front and right shoulder top as usual",
            None,
        ),
        (
            (("shoulder front", "left", 2, 3), ("shoulder top", "right", 2, 0)),
            "pain at the left shoulder front and right shoulder top today",
            None,
        ),
    ],
)
def test_a_need_by_a_complaint_says_its_own_side_and_place(
    pains: tuple[tuple[str, Side, int, int], ...], because: str, side: Side | None
) -> None:
    """As the athlete's file has it; on one side it is no reason for work on the other."""
    told = tuple(Pain(place=place, side=where, usual=usual, now=now) for place, where, usual, now in pains)
    needs = aim_needs(replace(PLAIN, health=replace(PLAIN.health, pain=told)))
    assert {(need.because, need.side) for need in needs} == {(because, side)}
    for need in needs:
        assert need.is_reason_on({"left"}) == (side in ("left", None))
        assert need.is_reason_on({"right"}) == (side in ("right", None))
        assert need.is_reason_on({"left", "right"})
