"""What every answer carries: nothing inline, nothing from outside, nothing kept by others."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from club_people import ClubPeople
from test_access import ADDRESSES, WHO, address_of

from conftest import Visit

PAGES = [name for name, asked in ADDRESSES.items() if asked.post is None and 200 in asked.told]


class Inline(HTMLParser):
    """Collects what a strict content security policy would block, and every address that leads outside."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Look at one element."""
        names = dict(attrs)
        if tag == "style" or (tag == "script" and "src" not in names and names.get("type") != "application/json"):
            self.found.append(tag)
        for name, value in attrs:
            if name == "style" or name.startswith(("on", "hx-on")):
                self.found.append(f"{tag} {name}")
            if name in ("src", "href", "action", "formaction") and re.match(r"\w+:|//", value or ""):
                self.found.append(f"{tag} {name}={value}")


@pytest.mark.parametrize("name", PAGES)
def test_no_page_holds_anything_inline_or_from_outside(name: str, people: ClubPeople, visit: Visit) -> None:
    """The policy allows only own files, and no page holds what it would block."""
    who = WHO[ADDRESSES[name].told.index(200)]
    response = visit(who).get(address_of(name, people))
    policy = response["Content-Security-Policy"]
    if response["Content-Type"].startswith("image/svg"):
        # A drawing carries its own style, as a file that runs and fetches nothing.
        assert policy == "default-src 'none'; style-src 'unsafe-inline'"
        return
    assert "unsafe-inline" not in policy
    assert "unsafe-eval" not in policy
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "http" not in policy, "no other computer is named"
    if "html" in response["Content-Type"]:
        looked = Inline()
        looked.feed(response.content.decode())
        assert looked.found == []
    assert response["X-Frame-Options"] == "DENY"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Referrer-Policy"] == "same-origin"
    assert re.search("private|no-store|no-cache", response["Cache-Control"])


def test_cookies_are_out_of_reach_of_scripts_and_other_sites(people: ClubPeople, visit: Visit) -> None:
    """Session and form cookies are HttpOnly and SameSite."""
    client = visit("owner")
    client.get("/club/")
    assert set(client.cookies) == {"firstpush_session", "firstpush_csrf"}
    response = client.get("/club/")
    morsel = response.cookies["firstpush_csrf"]
    assert morsel["httponly"]
    assert morsel["samesite"] == "Lax"


def test_a_form_without_its_token_is_refused(people: ClubPeople) -> None:
    """Another site cannot send a form in somebody's name; the page says what to do."""
    from django.test import Client

    from conftest import LOGIN_BACKEND

    client = Client(enforce_csrf_checks=True)
    client.force_login(people.owner, backend=LOGIN_BACKEND)
    response = client.post(f"/club/{people.assistant.membership.pk}/withdraw/")
    assert response.status_code == 403
    assert "open too long" in response.content.decode()
    people.assistant.membership.refresh_from_db()
    assert people.assistant.membership.withdrawn_at is None


def test_a_wrong_host_is_refused(people: ClubPeople, visit: Visit) -> None:
    """A name that the application is not called by gets no page."""
    response = visit("owner").get("/", headers={"host": "evil.example"})
    assert response.status_code == 400
    assert "cannot be read" in response.content.decode()


def test_a_fault_of_the_program_has_a_page_and_tells_nothing(
    people: ClubPeople, visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page of a crash is in our look, and shows no inside of the program."""
    from firstpush.web import access

    def broken(_user: object) -> None:
        raise RuntimeError("inside")

    monkeypatch.setattr(access, "athletes_for", broken)
    client = visit("owner")
    client.raise_request_exception = False
    response = client.get("/athletes/")
    assert response.status_code == 500
    assert "firstpush.css" in response.content.decode()
    assert "inside" not in response.content.decode()
