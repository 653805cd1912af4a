"""What a package says that the page must not reckon itself: first times, pain that lasts, ceilings, checks, names."""

from __future__ import annotations

import copy
import json
import re
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from club_people import ClubPeople
from django.urls import reverse

from conftest import Visit
from firstpush.core.people.athlete import Health, Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.pain import OUTCOMES, pain_later
from firstpush.core.progress.try_out import REPETITIONS
from firstpush.demo import demo_file
from firstpush.sheets.words import FIRST_TIME
from firstpush.web.oncourt.about_athlete import about_athlete
from firstpush.web.oncourt.about_session import about_session
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.print_views import card_deck

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from made_sessions import made_session

ATHLETE = load_athlete(demo_file("athlete"))


def package_of(version: PlanVersion, visit: Visit) -> dict[str, Any]:
    """Return the package as a device fetches it."""
    url = reverse("court_package", kwargs={"id_": version.plan_id, "number": version.number})
    found: dict[str, Any] = json.loads(visit("owner").get(url).content)
    return found


def with_pains(*pains: Pain) -> dict[str, Any]:
    """Return what a page knows of an athlete with these pains."""
    health = Health(no_spinal_injury=True, conditions=frozenset(), latex="tolerated", pain=pains)
    return about_athlete(replace(ATHLETE, health=health))


def sets_of(variant: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the sets of a variant."""
    return [step for step in variant["steps"] if step["kind"] == "set"]


def set_length(step: dict[str, Any]) -> float:
    """Return how long a set lasts by its own phases, counted here anew [s]."""
    if step["repetitions"] is None:
        return float(step["seconds"])
    return float(step["repetitions"] * (step["out_s"] + step["hold_s"] + step["back_s"]))


def test_a_first_time_is_marked_and_its_easier_one_is_no_more_than_what_is_printed(
    people: ClubPeople, visit: Visit
) -> None:
    """One set of 5 to 8 and how hard it was; the easier one has no more repetitions, no longer set, and no set more."""
    version = made_session(people, minutes=15).first
    package = package_of(version, visit)
    rows = version.document["sheets"]["athlete"]["items"]
    first_times = 0
    for item, row in zip(package["items"], rows, strict=True):
        printed_as_first = row["dose_large"] in {"5 to 8", "5 to 7", "5 to 6"}
        assert item["first_time"] is printed_as_first
        assert bool(item["first_time_asks"]) is bool(item["first_time_answers"]) is printed_as_first
        planned = item["variants"]["planned"]
        longest = max(map(set_length, sets_of(planned)))
        assert set(planned["arms"]) >= {step["side"] for step in sets_of(planned)} - {None}
        for name, variant in item["variants"].items():
            sets = sets_of(variant)
            assert set(variant["arms"]) <= {"left", "right"}
            if name == "easier":
                assert max(map(set_length, sets)) <= longest + 1e-9, (item["title"], variant["change"])
            if not printed_as_first:
                continue
            assert max(step["repetitions"] for step in sets) <= REPETITIONS[-1]
            if name != "planned":
                # One set a side: what comes after it is for the answer to say.
                assert len(sets) == len({step["side"] for step in sets}), (item["title"], variant["change"])
                assert variant["dose_large"].startswith("5"), (item["title"], variant["dose_large"])
        if printed_as_first:
            first_times += 1
            asked = [each.get("effort_6_20", each.get("feel")) for each in item["first_time_answers"]]
            assert asked == [*range(6, 21), "easy", "right", "hard"]
    assert first_times, "a session without a first time would prove nothing"
    assert any("easier" in item["variants"] for item in package["items"] if item["first_time"])


def test_what_the_sheet_says_above_several_exercises_is_told_with_each_on_court_and_on_cards(
    people: ClubPeople, visit: Visit
) -> None:
    """Nobody has looked at her trunk and arms: each set-up's own notices are the measure of what must be told."""
    document = copy.deepcopy(people.runa.document)
    document["function"] = {}
    people.runa.save_document(document, by=people.owner)
    version = made_session(people, minutes=15).first
    items = package_of(version, visit)["items"]
    cards = card_deck(version).cards
    seen = set()
    for kept, item, card in zip(version.document["items"], items, cards, strict=True):
        on_court = [each["what"] for each in item["variants"]["planned"]["notices"]]
        on_card = [each.what for each in card.notices]
        for setup in kept["setups"]:
            for notice in setup["notices"]:
                if notice["id"] in {"function-unknown", "grip-unknown", "trunk-control-unknown"}:
                    wanted = re.sub(r"^(left|right) |:? (is )?not known.*$| forward, .*$", "", notice["what"])
                    said = [each for each in (on_court, on_card) if any(_not_known(wanted, what) for what in each)]
                elif notice["id"] == "support-added":
                    wanted = "with " + notice["what"].rpartition("set up with ")[2]
                    said = [each for each in (on_court, on_card) if any(what.startswith(wanted) for what in each)]
                else:
                    continue
                seen.add(notice["id"])
                assert len(said) == 2, (item["title"], wanted, on_court, on_card)
    assert seen == {"function-unknown", "grip-unknown", "trunk-control-unknown", "support-added"}


def _not_known(function: str, what: str) -> bool:
    return what.startswith("not known: ") and function in what


def test_paper_and_core_mean_the_same_first_set() -> None:
    """What is printed is what the variants are reckoned from."""
    assert FIRST_TIME == REPETITIONS


def test_a_pain_that_stopped_carries_over_by_the_rule_of_core() -> None:
    """Every outcome has its row, the same as core answers for the same arm, with places to fill in."""
    later = with_pains()["pain"]["later"]
    assert set(later) == set(OUTCOMES)
    for outcome in OUTCOMES:
        answer = pain_later(outcome, side="left", arms=("left",))
        assert later[outcome] == {"offer": answer.offer, "level": answer.level, "what": answer.what, "do": answer.do}
    filled = later["stop the exercise"]["what"].format_map(
        {"pain": "sharp pain of 4 of 10", "place": "left shoulder front", "in": " in Low row", "arm": "this arm"}
    )
    assert filled == "sharp pain of 4 of 10 in Low row, left shoulder front: nothing that loads this arm today"


@pytest.mark.parametrize(
    ("usual", "now", "plain", "level", "words"),
    [
        (2, 4, False, 4, "left shoulder front: 4 of 10 now, usual 2"),
        (2, None, True, 2, "left shoulder front: as usual, 2 of 10"),
        (2, 1, True, 1, "left shoulder front: 1 of 10 now, usual 2"),
        (None, None, False, None, "left shoulder front: as usual, not known"),
    ],
)
def test_the_plain_answer_says_what_is_known_of_now(
    usual: int | None, now: int | None, plain: bool, level: int | None, words: str
) -> None:
    """4 of 10 now and 2 as usual are not told side by side as if both were true of today."""
    before = with_pains(Pain(place="shoulder front", side="left", usual=usual, now=now))["before"]
    (pain,) = before["pains"]
    assert (before["plain"], pain["plain"], before["plain_words"]) == (plain, level, words)
    assert (pain["usual"], pain["now"]) == (usual, now)


def test_without_a_known_pain_the_plain_answer_is_none() -> None:
    """One press, and no pain is sent."""
    before = with_pains()["before"]
    assert (before["plain"], before["plain_words"], before["pains"]) == (True, "no pain", [])


def test_the_ceiling_of_effort_is_in_it(people: ClubPeople, visit: Visit) -> None:
    """For the kind of session, and lower for who is tired today."""
    package = package_of(made_session(people, minutes=8).first, visit)
    assert package["effort_ceiling"]["effort_6_20"] == 15
    assert "easier one, or stop" in package["effort_ceiling"]["do"]
    tired = [
        each for question in package["before"]["questions"] for each in question["answers"] if "tired" in each["says"]
    ]
    assert [each["effort_ceiling"] for each in tired] == [13]


def test_checks_and_stop_rules_are_those_of_the_sheet(people: ClubPeople, visit: Visit) -> None:
    """Bands, knot and blocking as on the sheet; what the page asks before the start is not doubled."""
    version = made_session(people, minutes=12).first
    words = version.document["sheets"]["athlete"]
    package = package_of(version, visit)
    assert package["stop_rules"] == list(words["stop_rules"])
    assert words["band_check"] in package["checks"]
    said = " ".join(package["checks"])
    blocked = "Chair blocked both ways before a band is stretched"
    assert (f"{blocked}." in package["checks"]) == any(blocked in line for line in words["before_we_start"])
    assert package["checks"][-1] in ("Anti-tip down.", "No anti-tip wheel on this chair.") or "is there" in said.lower()
    assert "Bladder" not in said and "Pain now" not in said
    assert "knot" in said


@pytest.mark.parametrize(
    ("measured", "anti_tip", "says"),
    [
        (frozenset(), None, "Is there an anti-tip wheel, and is it down?"),
        (frozenset({"anti_tip"}), 0.2, "Anti-tip down."),
        (frozenset({"anti_tip"}), None, "No anti-tip wheel on this chair."),
    ],
)
def test_the_anti_tip_wheel_is_asked_for_where_nobody_said_that_there_is_one(
    measured: frozenset[str], anti_tip: float | None, says: str, people: ClubPeople
) -> None:
    """A sheet of before, which states it, is put right by what is known of the chair."""
    version = people.plan.newest
    assert version is not None
    version.document = {"kind": "before training", "date": None}
    chair = replace(ATHLETE.chair, measured=measured, anti_tip=anti_tip)
    words = {"before_we_start": ["Pain now?", "Bladder.", "Chair blocked; anti-tip down."], "stop_rules": []}
    assert about_session(version, words, chair)["checks"] == ["Chair blocked.", says]


def test_the_file_is_named_by_number_and_day(people: ClubPeople, visit: Visit) -> None:
    """The number on the shirt and the day, and nothing else of the person."""
    version = made_session(people, minutes=8).first
    name = "court-7-2026-03-02.html"
    assert package_of(version, visit)["file_name"] == name
    url = reverse("court_file", kwargs={"id_": version.plan_id, "number": version.number})
    response = visit("owner").get(url)
    assert response["Content-Disposition"] == f'attachment; filename="{name}"'
    assert "runa" not in name.lower()
