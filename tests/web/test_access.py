"""Who may open what: every address is asked by everybody, and an address that is not in the table fails."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from club_people import ClubPeople
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from conftest import Visit

WHO = ("owner", "colleague", "assistant", "athlete", "stranger", "anonymous")
LOGIN = 302
"""Whoever is not logged in is sent to the login."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """An address, how it is asked, and what owner, colleague, assistant, athlete, stranger and anonymous are told."""

    needs: str
    told: tuple[int, int, int, int, int, int]
    which: str = ""
    """Field of `ClubPeople` whose id (or slug) stands in the address; it belongs to the club, not to the stranger."""
    post: dict[str, Any] | None = None
    arguments: dict[str, Any] = field(default_factory=dict)


FIRST = {"number": 1}
"""The first band of the cupboard, the first version."""
NO_LINK = "00000000-0000-4000-8000-000000000000"

NO_RUN = "00000000-0000-4000-8000-000000000000"

ADDRESSES: dict[str, Asked] = {
    "training_day": Asked(needs="sheet", told=(200, 200, 200, 302, 200, LOGIN)),
    # 422: nothing was chosen.
    "day_settings": Asked(needs="write", post={}, told=(422, 422, 403, 403, 422, LOGIN)),
    "day_presence": Asked(needs="do", post={}, told=(302, 302, 302, 403, 302, LOGIN)),
    "day_presence_of": Asked(
        needs="do", which="runa", post={"status": "present"}, told=(302, 302, 302, 403, 404, LOGIN)
    ),
    "day_make": Asked(needs="write", post={}, told=(302, 302, 403, 403, 302, LOGIN)),
    "day_make_one": Asked(needs="write", which="runa", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "day_happened": Asked(needs="do", arguments={"what": "sore"}, post={}, told=(422, 422, 422, 403, 422, LOGIN)),
    "day_starts": Asked(needs="do", post={}, told=(302, 302, 302, 403, 302, LOGIN)),
    "day_undo": Asked(needs="do", which="event", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    # 302: nothing is ready to be printed, which the day then says.
    "day_print": Asked(needs="read", arguments={"paper": "athletes"}, told=(302, 302, 302, 403, 302, LOGIN)),
    # 404: this session was kept without set-ups, so that there is nothing to draw.
    "day_figure": Asked(
        needs="sheet", which="plan", arguments=FIRST | {"place": 1}, told=(404, 404, 404, 404, 404, LOGIN)
    ),
    "own_sheets": Asked(needs="sheet", told=(200, 200, 200, 200, 200, LOGIN)),
    "plan": Asked(needs="sheet", which="plan", told=(200, 200, 200, 200, 404, LOGIN)),
    "plan_versions": Asked(needs="read", which="plan", told=(200, 200, 200, 403, 404, LOGIN)),
    "plan_version": Asked(needs="sheet", which="plan", arguments=FIRST, told=(200, 200, 200, 200, 404, LOGIN)),
    "what_waits": Asked(needs="write", which="plan", told=(200, 200, 403, 403, 404, LOGIN)),
    "make_session": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "make_again": Asked(needs="write", which="plan", told=(200, 200, 403, 403, 404, LOGIN)),
    "making": Asked(needs="write", arguments={"token": "abc"}, told=(200, 200, 403, 403, 200, LOGIN)),
    # 400: nothing was asked.
    "ask_again": Asked(needs="write", which="runa", post={}, told=(400, 400, 403, 403, 404, LOGIN)),
    "back_to": Asked(needs="write", which="plan", arguments=FIRST, post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    # 404 below: this session was kept without words and set-ups, so that there is nothing to change or to print;
    # tests/web/sessions asks the same of one that was made.
    "change_plan": Asked(needs="write", which="plan", post={}, told=(404, 404, 403, 403, 404, LOGIN)),
    "plan_item": Asked(
        needs="write", which="plan", arguments={"slug": "low_row"}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "what_makes_way": Asked(
        needs="write", which="plan", arguments={"slug": "low_row"}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "lay_by_hand": Asked(
        needs="write", which="plan", arguments={"slug": "low_row"}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "session_figure": Asked(
        needs="sheet", which="plan", arguments=FIRST | {"slug": "low_row"}, told=(404, 404, 404, 404, 404, LOGIN)
    ),
    "session_course": Asked(
        needs="sheet",
        which="plan",
        arguments=FIRST | {"slug": "slalom_cones", "kind": "plan"},
        told=(404, 404, 404, 404, 404, LOGIN),
    ),
    "session_sheet": Asked(
        needs="sheet", which="plan", arguments=FIRST | {"which": "both"}, told=(404, 404, 404, 403, 404, LOGIN)
    ),
    "session_cards": Asked(
        needs="sheet", which="plan", arguments=FIRST | {"which": "athlete"}, told=(404, 404, 404, 404, 404, LOGIN)
    ),
    "session_calendar": Asked(needs="sheet", which="plan", arguments=FIRST, told=(404, 404, 404, 404, 404, LOGIN)),
    # On court: a page without anybody's data, and addresses that take a login or a link and answer 401 without.
    "court": Asked(needs="nothing", told=(200, 200, 200, 200, 200, 200)),
    "court_worker": Asked(needs="nothing", told=(200, 200, 200, 200, 200, 200)),
    "court_packages": Asked(needs="login or link", told=(200, 200, 200, 200, 200, 401)),
    "court_package": Asked(needs="login or link", which="plan", arguments=FIRST, told=(404, 404, 404, 404, 404, 401)),
    # 400: no list of entries was sent.
    "court_entries": Asked(needs="login or link", post={}, told=(400, 400, 400, 400, 400, 401)),
    "court_token": Asked(needs="login or link", told=(200, 200, 200, 200, 200, 401)),
    "make_court_link": Asked(needs="write", which="plan", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    # 404: nobody made this link, and nothing was set aside.
    "withdraw_court_link": Asked(
        needs="write", which="plan", arguments={"link": NO_LINK}, post={}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "court_file": Asked(needs="sheet", which="plan", arguments=FIRST, told=(404, 404, 404, 404, 404, LOGIN)),
    "court_paper": Asked(needs="sheet", which="plan", arguments=FIRST, told=(404, 404, 404, 404, 404, LOGIN)),
    "court_back": Asked(needs="sheet", told=(200, 200, 200, 200, 200, LOGIN)),
    "set_aside": Asked(needs="read", told=(200, 200, 200, 403, 200, LOGIN)),
    "set_aside_seen": Asked(needs="write", arguments={"id_": 10**9}, post={}, told=(404, 404, 403, 403, 404, LOGIN)),
    "athletes": Asked(needs="read", told=(200, 200, 200, 403, 200, LOGIN)),
    "athlete": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    "new_athlete": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "import_athletes": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "import_sample": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "measure_next": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    "edit_body": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "edit_function": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "edit_health": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "edit_strength": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "edit_chairs": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "athlete_history": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    "restore_athlete": Asked(needs="write", which="runa", post={"number": "1"}, told=(302, 302, 403, 403, 404, LOGIN)),
    "withdraw_athlete": Asked(needs="write", which="runa", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "function_figure": Asked(
        needs="read",
        arguments={"movement": "right-grip", "step": "asked"},
        told=(200, 200, 200, 403, 200, LOGIN),
    ),
    "export_athlete": Asked(needs="write", which="runa", told=(200, 200, 403, 403, 404, LOGIN)),
    "erase_athlete": Asked(needs="own", which="runa", told=(200, 403, 403, 403, 404, LOGIN)),
    "kit_and_venue": Asked(needs="read", told=(200, 200, 200, 403, 200, LOGIN)),
    "kit": Asked(needs="read", which="kit", told=(200, 200, 200, 403, 404, LOGIN)),
    "venue": Asked(needs="read", which="venue", told=(200, 200, 200, 403, 404, LOGIN)),
    "new_kit": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "new_venue": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "new_kit_from_file": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "new_venue_from_file": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "change_kit": Asked(needs="write", which="kit", told=(200, 200, 403, 403, 404, LOGIN)),
    "change_venue": Asked(needs="write", which="venue", told=(200, 200, 403, 403, 404, LOGIN)),
    "new_band": Asked(needs="write", which="kit", told=(200, 200, 403, 403, 404, LOGIN)),
    "band": Asked(needs="read", which="kit", arguments=FIRST, told=(200, 200, 200, 403, 404, LOGIN)),
    "change_band": Asked(needs="write", which="kit", arguments=FIRST, told=(200, 200, 403, 403, 404, LOGIN)),
    "take_out_band": Asked(needs="write", which="kit", arguments=FIRST, post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    # 422: nothing was typed.
    "check_band": Asked(needs="do", which="kit", arguments=FIRST, post={}, told=(422, 422, 422, 403, 404, LOGIN)),
    "withdraw_band": Asked(needs="do", which="kit", arguments=FIRST, post={}, told=(422, 422, 422, 403, 404, LOGIN)),
    # 404: nothing is withdrawn that could be brought back.
    "bring_back_band": Asked(
        needs="write", which="kit", arguments=FIRST, post={}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "kit_history": Asked(needs="read", which="kit", told=(200, 200, 200, 403, 404, LOGIN)),
    "venue_history": Asked(needs="read", which="venue", told=(200, 200, 200, 403, 404, LOGIN)),
    "restore_kit": Asked(needs="write", which="kit", arguments=FIRST, post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "restore_venue": Asked(
        needs="write", which="venue", arguments=FIRST, post={}, told=(302, 302, 403, 403, 404, LOGIN)
    ),
    "copy_kit": Asked(needs="write", which="kit", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "copy_venue": Asked(needs="write", which="venue", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "use_kit": Asked(needs="write", which="kit", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "use_venue": Asked(needs="write", which="venue", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "kit_file": Asked(needs="read", which="kit", told=(200, 200, 200, 403, 404, LOGIN)),
    "venue_file": Asked(needs="read", which="venue", told=(200, 200, 200, 403, 404, LOGIN)),
    "kit_from_file": Asked(needs="write", which="kit", told=(200, 200, 403, 403, 404, LOGIN)),
    "venue_from_file": Asked(needs="write", which="venue", told=(200, 200, 403, 403, 404, LOGIN)),
    "exercises": Asked(needs="read", told=(200, 200, 200, 403, 200, LOGIN)),
    "exercise": Asked(needs="read", arguments={"slug": "seated_row"}, told=(200, 200, 200, 403, 200, LOGIN)),
    "own_exercise": Asked(needs="read", which="exercise", told=(200, 200, 200, 403, 404, LOGIN)),
    "exercise_file": Asked(needs="read", arguments={"slug": "low_row"}, told=(200, 200, 200, 403, 200, LOGIN)),
    "exercise_from_file": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    "copy_exercise": Asked(
        needs="write", arguments={"slug": "low_row"}, post={}, told=(302, 302, 403, 403, 302, LOGIN)
    ),
    # The text of this exercise cannot be read: its form sends to the text (302), and there is no drawing (422).
    "change_exercise": Asked(needs="write", which="exercise", told=(302, 302, 403, 403, 404, LOGIN)),
    "preview_exercise": Asked(needs="write", which="exercise", post={}, told=(422, 422, 403, 403, 404, LOGIN)),
    "exercise_text": Asked(needs="write", which="exercise", told=(200, 200, 403, 403, 404, LOGIN)),
    "take_back_exercise": Asked(
        needs="write", which="exercise", post={"number": "1"}, told=(302, 302, 403, 403, 404, LOGIN)
    ),
    "withdraw_exercise": Asked(needs="write", which="exercise", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "put_back_exercise": Asked(needs="write", which="exercise", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "figure": Asked(needs="read", arguments={"slug": "low_row", "kind": "card"}, told=(200, 200, 200, 403, 200, LOGIN)),
    # Nobody did a session here: there is nothing to decide (404).
    "after_session": Asked(
        needs="read", which="runa", arguments={"run": NO_RUN}, told=(404, 404, 404, 403, 404, LOGIN)
    ),
    "after_figure": Asked(
        needs="read",
        which="runa",
        arguments={"run": NO_RUN, "slug": "low_row", "index": 0},
        told=(404, 404, 404, 403, 404, LOGIN),
    ),
    "agreed": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    "take_agreed_back": Asked(
        needs="write", which="runa", arguments={"slug": "low_row"}, post={}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    # The session of the table was kept without what it was made from.
    "try_out": Asked(needs="write", which="plan", arguments={"slug": "low_row"}, told=(404, 404, 403, 403, 404, LOGIN)),
    "try_out_figure": Asked(
        needs="write", which="plan", arguments={"slug": "low_row"}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "rules": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    "programme": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    # 422: nothing was typed; 404: this programme has no day with a drawing.
    # Of the programme of the table no week is over, or it was asked in another year.
    "bend_programme": Asked(needs="write", which="runa", post={}, told=(404, 404, 403, 403, 404, LOGIN)),
    "make_programme": Asked(needs="write", which="runa", post={}, told=(422, 422, 403, 403, 404, LOGIN)),
    "programme_earlier": Asked(needs="read", which="runa", arguments=FIRST, told=(200, 200, 200, 403, 404, LOGIN)),
    "programme_sheet": Asked(needs="read", which="runa", arguments=FIRST, told=(200, 200, 200, 403, 404, LOGIN)),
    "programme_calendar": Asked(needs="read", which="runa", arguments=FIRST, told=(200, 200, 200, 403, 404, LOGIN)),
    "programme_figure": Asked(
        needs="read",
        which="runa",
        arguments=FIRST | {"page": 0, "place": 0},
        told=(404, 404, 404, 403, 404, LOGIN),
    ),
    "courses": Asked(needs="read", told=(200, 200, 200, 403, 200, LOGIN)),
    "course": Asked(needs="read", arguments={"slug": "slalom"}, told=(200, 200, 200, 403, 200, LOGIN)),
    "course_plan": Asked(
        needs="read", arguments={"slug": "slalom", "kind": "small"}, told=(200, 200, 200, 403, 200, LOGIN)
    ),
    # 404: a sheet is for somebody, and nobody was chosen.
    "course_sheet": Asked(needs="read", arguments={"slug": "slalom"}, told=(404, 404, 404, 403, 404, LOGIN)),
    "course_sound": Asked(needs="read", arguments={"slug": "push-lanes"}, told=(200, 200, 200, 403, 200, LOGIN)),
    # 422: nobody was chosen whose time it could be.
    "log_course_time": Asked(needs="do", arguments={"slug": "slalom"}, post={}, told=(422, 422, 422, 403, 422, LOGIN)),
    "new_course": Asked(needs="write", told=(200, 200, 403, 403, 200, LOGIN)),
    # 404: no floor stands in the address.
    "own_floor": Asked(needs="read", arguments={"kind": "wide"}, told=(404, 404, 404, 403, 404, LOGIN)),
    "change_course": Asked(needs="write", which="course", told=(200, 200, 403, 403, 404, LOGIN)),
    "take_back_course": Asked(
        needs="write", which="course", post={"number": "1"}, told=(302, 302, 403, 403, 404, LOGIN)
    ),
    "withdraw_course": Asked(needs="write", which="course", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "put_back_course": Asked(needs="write", which="course", post={}, told=(302, 302, 403, 403, 404, LOGIN)),
    "athlete_speed": Asked(needs="read", which="runa", told=(200, 200, 200, 403, 404, LOGIN)),
    # 422: nothing was typed; 404: no test and no time is there to be taken back.
    "add_speed_test": Asked(
        needs="write", which="runa", arguments={"kind": "sprint"}, post={}, told=(422, 422, 403, 403, 404, LOGIN)
    ),
    "take_speed_test_back": Asked(
        needs="write", which="runa", arguments=FIRST, post={}, told=(404, 404, 403, 403, 404, LOGIN)
    ),
    "take_course_time_back": Asked(
        needs="do", which="runa", arguments=FIRST, post={}, told=(404, 404, 404, 403, 404, LOGIN)
    ),
    "colleagues": Asked(needs="own", told=(200, 403, 403, 403, 200, LOGIN)),
    "withdraw_colleague": Asked(needs="own", which="assistant", post={}, told=(302, 403, 403, 403, 404, LOGIN)),
    "new_password": Asked(needs="own", which="assistant", told=(200, 403, 403, 403, 404, LOGIN)),
    "account": Asked(needs="account", told=(200, 200, 200, 200, 200, LOGIN)),
    "first_account": Asked(needs="nothing", told=(404, 404, 404, 404, 404, 404)),
    # Nobody is let in without a password: this is not the demo.
    "arrive": Asked(needs="nothing", arguments={"token": "abc"}, told=(404, 404, 404, 404, 404, 404)),
    # About the own account, the same for everybody. 302 of the second step: it asks for the password
    # again first; 404: nobody here has switched it on, so that there is nothing to show or to switch off.
    "account_login": Asked(needs="nothing", told=(302, 302, 302, 302, 302, 200)),
    "account_logout": Asked(needs="nothing", told=(200, 200, 200, 200, 200, 302)),
    "account_inactive": Asked(needs="nothing", told=(200, 200, 200, 200, 200, 200)),
    "account_reauthenticate": Asked(needs="account", told=(200, 200, 200, 200, 200, LOGIN)),
    "account_change_password": Asked(needs="account", told=(200, 200, 200, 200, 200, LOGIN)),
    "mfa_index": Asked(needs="account", told=(200, 200, 200, 200, 200, LOGIN)),
    "mfa_authenticate": Asked(needs="nothing", told=(302, 302, 302, 302, 302, 302)),
    "mfa_reauthenticate": Asked(needs="account", told=(302, 302, 302, 302, 302, LOGIN)),
    "mfa_activate_totp": Asked(needs="account", told=(302, 302, 302, 302, 302, LOGIN)),
    "mfa_deactivate_totp": Asked(needs="account", told=(404, 404, 404, 404, 404, LOGIN)),
    "mfa_view_recovery_codes": Asked(needs="account", told=(404, 404, 404, 404, 404, LOGIN)),
    "mfa_generate_recovery_codes": Asked(needs="account", told=(302, 302, 302, 302, 302, LOGIN)),
    "mfa_download_recovery_codes": Asked(needs="account", told=(404, 404, 404, 404, 404, LOGIN)),
}


def every_pattern(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    """Yield every address of the application."""
    for each in (resolver or get_resolver()).url_patterns:
        if isinstance(each, URLResolver):
            yield from every_pattern(each)
        else:
            yield each


def address_of(name: str, people: ClubPeople) -> str:
    """Return the address `name`, about what its row of the table says."""
    asked = ADDRESSES[name]
    arguments = dict(asked.arguments)
    if asked.which == "exercise":
        arguments["slug"] = people.exercise.slug
    elif asked.which in WHO:
        arguments["id_"] = getattr(people, asked.which).membership.pk
    elif asked.which:
        arguments["id_"] = getattr(people, asked.which).pk
    return reverse(name, kwargs=arguments)


def test_every_address_stands_in_the_table() -> None:
    """A new page is asked by everybody, or this fails."""
    assert sorted(each.name or "" for each in every_pattern()) == sorted(ADDRESSES)


def test_every_view_says_what_it_needs() -> None:
    """No view is reached without passing `access`."""
    said = {each.name: getattr(each.callback, "needs", None) for each in every_pattern()}
    assert said == {name: asked.needs for name, asked in ADDRESSES.items()}


@pytest.mark.parametrize("name", ADDRESSES)
@pytest.mark.parametrize("who", WHO)
def test_who_may_open_what(name: str, who: str, people: ClubPeople, visit: Visit) -> None:
    """Everybody is told what the table says; what belongs to another club looks as if it were not there."""
    asked = ADDRESSES[name]
    url = address_of(name, people)
    client = visit(who)
    response = client.get(url) if asked.post is None else client.post(url, asked.post)
    assert response.status_code == asked.told[WHO.index(who)], f"{who} at {url}"
    if who == "anonymous" and asked.needs not in ("nothing", "login or link"):
        assert response.url.startswith("/account/login/"), "whoever is not logged in is sent to the login"


@pytest.mark.parametrize("name", [name for name, asked in ADDRESSES.items() if asked.which])
def test_what_is_not_there_is_not_found(name: str, people: ClubPeople, visit: Visit) -> None:
    """An id that nobody has is told as 404, as another club's is."""
    gone = ADDRESSES[name].arguments | ({"slug": "no-such"} if ADDRESSES[name].which == "exercise" else {"id_": 10**9})
    client = visit("owner")
    url = reverse(name, kwargs=gone)
    response = client.get(url) if ADDRESSES[name].post is None else client.post(url)
    assert response.status_code == 404


def test_an_athlete_sees_no_other_athletes_sheet(people: ClubPeople, visit: Visit) -> None:
    """The own sheet opens, a team mate's is not there."""
    client = visit("athlete")
    assert client.get(reverse("plan", kwargs={"id_": people.plan.pk})).status_code == 200
    assert client.get(reverse("plan", kwargs={"id_": people.plan_of_jon.pk})).status_code == 404
    page = client.get(reverse("own_sheets")).content.decode()
    assert "Runa Velde" in page
    assert "Jon Brage" not in page


def test_a_withdrawn_colleague_is_logged_out(people: ClubPeople, visit: Visit) -> None:
    """From the moment of withdrawing, a login that is still open shows nothing."""
    colleague = visit("colleague")
    assert colleague.get(reverse("athletes")).status_code == 200
    visit("owner").post(reverse("withdraw_colleague", kwargs={"id_": people.colleague.membership.pk}))
    response = colleague.get(reverse("athletes"))
    assert response.status_code == 302
    assert response.url.startswith("/account/login/")


def test_the_last_owner_stays(people: ClubPeople, visit: Visit) -> None:
    """A club is never left without somebody who can manage it; with two owners one can go."""
    owner = visit("owner")
    url = reverse("withdraw_colleague", kwargs={"id_": people.owner.membership.pk})
    assert "stays open" in owner.post(url, follow=True).content.decode()
    assert owner.get(reverse("colleagues")).status_code == 200
    people.colleague.membership.role = "owner"
    people.colleague.membership.save()
    assert visit("colleague").post(url).status_code == 302
    assert owner.get(reverse("colleagues")).status_code == 302, "the first owner is logged out"


@pytest.mark.parametrize("name", ["athletes", "export_athlete", "withdraw_colleague"])
def test_a_wrong_method_is_refused(name: str, people: ClubPeople, visit: Visit) -> None:
    """What only shows takes no POST, and what changes something takes no GET."""
    client, url = visit("owner"), address_of(name, people)
    response = client.get(url) if ADDRESSES[name].post is not None else client.post(url)
    assert response.status_code == 405
