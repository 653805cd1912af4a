"""What to do where an exercise is too hard is kept with the session: page and paper read it and work out nothing."""

from __future__ import annotations

import copy

import pytest
from club_people import ClubPeople
from made_sessions import made_session
from session_pages import page

from conftest import Visit
from firstpush.web.sessions import making
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.print_views import card_deck, sheet_content


def kept(version: PlanVersion, which: str = "practitioner") -> dict[str, str]:
    """Return what is kept of each exercise, by its title."""
    return {row["title"]: row["easier"] for row in version.document["sheets"][which]["items"]}


def said(words: str) -> str:
    """Return words as the page begins a sentence with them."""
    return f"{words[:1].upper()}{words[1:]}."


def test_page_sheets_and_cards_say_what_is_kept(
    people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both sheets keep the same words for every exercise; looked at, nothing is set up again to say them."""
    made = made_session(people)
    words = kept(made.newest)
    assert words == kept(made.newest, "athlete")
    assert all(words.values())
    planned = making.planned_of(made.newest)
    case = making.case_of(making.read_request(made.newest.request))
    by_title = {each.candidate.exercise.title: each.candidate.id for each in planned.session.items}
    fresh = making.too_hard_words(planned.session, planned.prepared, case)
    assert words == {title: fresh[id_] for title, id_ in by_title.items()}

    def worked_out_again(*_: object) -> dict[str, str]:
        raise AssertionError("what is kept was worked out again")

    monkeypatch.setattr(making, "too_hard_words", worked_out_again)
    shown = page(visit("owner"), "plan", id_=made.plan.pk)
    assert all(said(each) in shown for each in words.values())
    assert [each.easier for each in sheet_content(made.newest, "athlete").items] == list(words.values())
    assert [each.easier for each in card_deck(made.newest).cards] == list(words.values())


def test_a_session_kept_earlier_says_what_it_was_kept_with(people: ClubPeople, visit: Visit) -> None:
    """Words of an earlier program stay as they were signed, and without any the line is left out."""
    made = made_session(people)
    document = copy.deepcopy(made.newest.document)
    for which in document["sheets"].values():
        which["items"][0]["easier"] = "longer mark, then next lighter band"
        for row in which["items"][1:]:
            row.pop("easier")
    version = made.plan.add_version(
        request=made.newest.request, document=document, by=people.owner, why="kept by an earlier program"
    )
    shown = page(visit("owner"), "plan", id_=made.plan.pk)
    assert "Longer mark, then next lighter band." in shown
    assert shown.count("Too hard?") == 1
    assert [each.easier for each in sheet_content(version, "athlete").items][1:] == [""] * (len(made.ids) - 1)
