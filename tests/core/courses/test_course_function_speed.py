"""Less function never comes out faster where nothing was measured; measured speeds stay as they were measured."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product
from pathlib import Path

import pytest

from firstpush.core.courses import AthleteSpeed, Split, athlete_speed, fit_sprint
from firstpush.core.courses.function_speed import function_of
from firstpush.core.people.athlete import ArmFunction, Athlete, Health, TrunkControl
from firstpush.core.people.athlete_file import load_athlete

CLUB = Path(__file__).resolve().parents[3] / "src" / "firstpush" / "demo" / "club"
SPORTS = (None, "wheelchair basketball", "wheelchair rugby", "wheelchair tennis", "wheelchair badminton")
FULL = ArmFunction(grip="full", feeling="full", elbow_extension=5, wrist_extension=5)
TRUNK = TrunkControl(forward="yes", turn="yes", lean_left="yes", lean_right="yes")
LOSSES = ("grip", "elbows", "trunk")
FASTER_WITH_MORE = ("maximal_speed", "lateral", "braking", "turning_rate", "turning_acceleration", "backward_share")


def somebody(*losses: str, sport: str | None = None) -> Athlete:
    """Return an athlete of whom all is known, with full function but for what is lost."""
    arm = replace(FULL, grip="none") if "grip" in losses else FULL
    arm = replace(arm, elbow_extension=1) if "elbows" in losses else arm
    trunk = replace(TRUNK, forward="no") if "trunk" in losses else TRUNK
    base = load_athlete(CLUB / "athletes" / "runa_velde.toml")
    health = Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=())
    return replace(base, sport=sport, left=arm, right=arm, trunk=trunk, health=health)


def likely(*losses: str, sport: str | None = None) -> AthleteSpeed:
    """Return the guess for such an athlete."""
    return athlete_speed(athlete=somebody(*losses, sport=sport))


def test_less_function_is_never_faster_whatever_the_sports_are() -> None:
    """Every set of losses beside every larger one, in each pair of sports: no limit is better."""
    sets = [set(each) for number in range(4) for each in combinations(LOSSES, number)]
    compared = 0
    for one, other in ((a, b) for a in sets for b in sets if a < b):
        for sport_of_one, sport_of_other in product(SPORTS, SPORTS):
            more, less = likely(*one, sport=sport_of_one), likely(*other, sport=sport_of_other)
            for name in FASTER_WITH_MORE:
                assert getattr(less, name).value <= getattr(more, name).value + 1e-12, (name, one, other)
            assert less.time_constant.value >= more.time_constant.value - 1e-12
            compared += 1
    assert compared == 19 * 25


@pytest.mark.parametrize("sport", SPORTS)
def test_weak_arms_are_as_fast_as_the_players_of_rugby(sport: str | None) -> None:
    """Table 2 of van der Slikke 2020 (read): 3.37 m/s in rugby, of 4.98 in basketball; less a tenth in a club."""
    assert likely("grip", sport=sport).maximal_speed.value == pytest.approx(0.9 * 3.37)
    assert likely("grip", sport=sport).lateral.value == pytest.approx(3.5 * (1.13 * 60) / (1.57 * 67))


def test_the_push_falls_as_the_acceleration_over_two_metres_does() -> None:
    """The push is maximal speed over time constant; 0.76 over 1.46 m/s² in the same table (read)."""
    full, weak = likely(), likely("grip")
    share = (weak.maximal_speed.value / weak.time_constant.value) / (4.98 * 0.9 / full.time_constant.value)
    assert share == pytest.approx(0.76 / 1.46)


def test_rugby_says_nothing_of_full_arms_and_counts_where_they_are_not_known() -> None:
    """Full arms take the general guess; unknown ones the match speed of their sport, with a wider range."""
    assert likely(sport="wheelchair rugby").maximal_speed.value == 4.0
    unknown = replace(somebody(sport="wheelchair rugby"), left=ArmFunction(), right=ArmFunction())
    speed = athlete_speed(athlete=unknown)
    assert speed.maximal_speed.value == pytest.approx(0.9 * 3.37)
    assert speed.lateral.spread > likely().lateral.spread
    assert speed.maximal_speed.known == "our choice"


def test_a_level_speaks_for_arms_that_nobody_looked_at() -> None:
    """C6: weak arms and elbows as long as they are unknown; an incomplete injury with full arms keeps them."""
    high = Health(spinal_level="C6", conditions=frozenset(), latex="tolerated", pain=())
    looked_at = replace(somebody(), health=high)
    unknown = replace(looked_at, left=ArmFunction(), right=ArmFunction(), trunk=TrunkControl())
    assert function_of(looked_at).losses == ()
    assert function_of(unknown).losses == ("weak arms", "weak elbow extensors", "no trunk control")
    low = replace(unknown, health=replace(high, spinal_level="T10"))
    assert function_of(low).losses == ()
    assert function_of(low).may_be_more


def test_a_measured_sprint_is_not_lowered() -> None:
    """Without any function the two numbers of the sprint stay; what was not measured is lowered all the same."""
    sprint = fit_sprint([Split(distance=5, time=2.6), Split(distance=20, time=8.1)], start_offset=0.5)
    speed = athlete_speed(sprint=sprint, athlete=somebody(*LOSSES))
    assert speed.maximal_speed == sprint.maximal_speed
    assert speed.time_constant == sprint.time_constant
    assert speed.braking == likely(*LOSSES).braking


def test_in_the_club_a_c6_injury_is_slower_than_two_legs_missing() -> None:
    """Both play basketball: no grip, elbow extensors or trunk against full arms and trunk."""
    c6, amputee = (load_athlete(CLUB / "athletes" / f"{name}.toml") for name in ("tovi_ankerlund", "bren_kollhaug"))
    assert c6.sport == amputee.sport
    assert athlete_speed(athlete=c6).maximal_speed.high < athlete_speed(athlete=amputee).maximal_speed.low
