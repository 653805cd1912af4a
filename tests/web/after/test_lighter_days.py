"""Before a match and after a break: less load, and an easy set there is no reason for more."""

from __future__ import annotations

import sys
from datetime import timedelta
from pathlib import Path

import pytest
from club_people import ClubPeople

from firstpush.core.session.asked import Asked
from firstpush.web.after.proposals import behind, proposals
from firstpush.web.sessions.making import make_version, request_for

sys.path.insert(0, str(Path(__file__).parents[1] / "sessions"))
from logged_sessions import DAYS, log_session
from made_sessions import made_session


@pytest.mark.parametrize(("days", "share"), [(7, 1.0), (21, 0.8)])
def test_three_weeks_without_take_a_fifth_off(people: ClubPeople, days: int, share: float) -> None:
    """Nothing lost is nothing taken off; two whole weeks are a fifth, and the session says so."""
    asked = Asked(keep=("external_rotation_side",))
    made = made_session(people, minutes=14, keep=asked.keep)
    log_session(made.first, on=DAYS[0], by=people.owner)
    request = request_for(people.owner, people.runa, minutes=14, on=DAYS[0] + timedelta(days=days), asked=asked)
    version = make_version(people.runa, request, by=people.owner)
    assert version is not None
    assert request.inputs.get("after_break", {"share": 1.0})["share"] == pytest.approx(share)
    words = [each["what"] for each in version.document["notices"] if "logged session" in each["what"]]
    assert len(words) == (share < 1.0)
    assert not words or words[0].endswith("loads at 80 % of the usual")
    item = next(each for each in version.document["items"] if each["exercise"] == "external_rotation_side")
    before = next(each for each in made.first.document["items"] if each["exercise"] == "external_rotation_side")
    for now, then in zip(item["setups"], before["setups"], strict=True):
        assert now["target"]["load_nm"] == pytest.approx(share * then["target"]["load_nm"], rel=1e-6)


def test_easy_before_a_match_is_no_reason_for_more(people: ClubPeople) -> None:
    """Six tenths of the load felt as 8, twice: nothing is made harder, and the sentence says why."""
    made = made_session(people, minutes=10, kind="before a match")
    strength = [each["exercise"] for each in made.first.document["items"] if each["part"] == "strength"]
    assert strength
    for day in DAYS:
        run = log_session(made.first, on=day, by=people.owner, effort=8, efforts=dict.fromkeys(strength, 8))
    rows = [row for row in proposals(behind(people.runa, run)) if row["exercise"] in strength]
    assert [row["what"] for row in rows] == ["keep"] * len(strength)
    assert all("lighter before a match" in row["because"] for row in rows)
