"""Accounts: the first one, logging in, being blocked, adding colleagues, the second step."""

from __future__ import annotations

import pytest
from club_people import PASSWORD, ClubPeople
from django.test import Client
from django.urls import reverse

from conftest import Visit

FIRST = {
    "club": "Harbour Wheels",
    "username": "inge",
    "password": PASSWORD,
    "password_again": PASSWORD,
}
LOGIN = "/account/login/"


def members() -> list[tuple[str, str]]:
    """Return name and role of every account."""
    from firstpush.web.club.models import Membership

    return [(each.account.username, each.role) for each in Membership.objects.order_by("pk")]


@pytest.mark.django_db
def test_an_empty_club_asks_for_its_first_account_and_for_nothing_else() -> None:
    """Every address leads to the first account until there is one; then its page is gone."""
    client = Client()
    assert client.get("/").url == "/first-account/"
    assert client.get(LOGIN).url == "/first-account/"
    assert client.get("/first-account/").status_code == 200
    response = client.post("/first-account/", FIRST)
    assert response.status_code == 302
    assert members() == [("inge", "owner")]
    assert client.get("/").status_code == 200, "whoever made the account is logged in"
    assert client.get("/first-account/").status_code == 404
    assert Client().post("/first-account/", FIRST | {"username": "other"}).status_code == 404
    assert members() == [("inge", "owner")]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"password": "short", "password_again": "short"}, "12"),
        ({"password_again": "another wind over it"}, "Enter the password twice alike"),
        ({"password": "inge inge inge", "password_again": "inge inge inge", "username": "inge inge inge"}, "valid"),
        ({"club": ""}, "required"),
    ],
    ids=["too short", "not alike", "name with spaces", "no club"],
)
def test_a_wrong_first_account_keeps_what_was_typed(change: dict[str, str], told: str) -> None:
    """The page comes back with the reason beside the field, and no account was made."""
    response = Client().post("/first-account/", FIRST | change)
    page = response.content.decode()
    assert response.status_code == 422
    assert "To correct:" in page
    assert told in page
    assert f'value="{(FIRST | change)["username"]}"' in page
    assert members() == []


@pytest.mark.django_db
def test_on_a_network_the_first_account_needs_the_code_of_the_terminal(settings: pytest.FixtureRequest) -> None:
    """Nobody else in the network becomes the owner by being first."""
    settings.FIRST_CODE = "3f9a01bc"  # type: ignore[attr-defined]
    assert Client().post("/first-account/", FIRST).status_code == 422
    assert Client().post("/first-account/", FIRST | {"code": "00000000"}).status_code == 422
    assert members() == []
    assert Client().post("/first-account/", FIRST | {"code": " 3f9a01bc "}).status_code == 302
    assert members() == [("inge", "owner")]


def test_name_and_password_log_in(people: ClubPeople) -> None:
    """The right pair opens the training day; argon2 keeps the password."""
    people.colleague.set_password(PASSWORD)
    people.colleague.save()
    assert people.colleague.password.startswith("argon2$")
    response = Client().post(LOGIN, {"login": "colleague", "password": PASSWORD})
    assert (response.status_code, response.url) == (302, "/")


def test_five_wrong_passwords_block_the_name_for_a_while(people: ClubPeople) -> None:
    """After five wrong ones even the right one is refused, with a page that says when to come back."""
    people.colleague.set_password(PASSWORD)
    people.colleague.save()
    client = Client()
    for _ in range(4):
        response = client.post(LOGIN, {"login": "colleague", "password": "wrong wind"})
        assert response.status_code == 200
        assert "do not go together" in response.content.decode()
        assert 'value="colleague"' in response.content.decode()
    assert client.post(LOGIN, {"login": "colleague", "password": "wrong wind"}).status_code == 429
    for name in ("colleague", "Colleague"):
        blocked = client.post(LOGIN, {"login": name, "password": PASSWORD})
        assert blocked.status_code == 429, "another way to write the name opens nothing either"
        assert "fifteen minutes" in blocked.content.decode()
    people.assistant.set_password(PASSWORD)
    people.assistant.save()
    assert client.post(LOGIN, {"login": "assistant", "password": PASSWORD}).status_code == 302, "others still get in"


@pytest.mark.django_db
def test_nobody_signs_up(people: ClubPeople) -> None:
    """There is no page to sign up, none to have a password mailed."""
    for address in ("signup/", "password/reset/", "email/", "login/code/"):
        assert Client().get(f"/account/{address}").status_code in (302, 404)
        assert Client().post(f"/account/{address}", FIRST).status_code in (302, 404)
    assert len(members()) == 5


def test_the_owner_adds_a_colleague_who_can_log_in(people: ClubPeople, visit: Visit) -> None:
    """Role and first password are set by the owner."""
    new = {"username": "kari", "role": "assistant", "password": PASSWORD, "password_again": PASSWORD}
    assert visit("owner").post(reverse("colleagues"), new).status_code == 302
    assert members()[-1] == ("kari", "assistant")
    client = Client()
    assert client.post(LOGIN, {"login": "kari", "password": PASSWORD}).status_code == 302
    assert client.get(reverse("athletes")).status_code == 200


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"role": "athlete"}, "Choose the athlete"),
        ({"athlete": "jon"}, "Choose none"),
        ({"username": "Owner"}, "taken"),
        ({"role": "admin"}, "not one of the available choices"),
    ],
)
def test_a_wrong_colleague_is_refused_with_the_reason(
    change: dict[str, str], told: str, people: ClubPeople, visit: Visit
) -> None:
    """What was typed stays, the reason stands beside it, and no account is made."""
    new = {"username": "kari", "role": "assistant", "password": PASSWORD, "password_again": PASSWORD} | change
    if "athlete" in new:
        new["athlete"] = str(people.jon.pk)
    response = visit("owner").post(reverse("colleagues"), new)
    assert response.status_code == 422
    assert told in response.content.decode()
    assert f'value="{new["username"]}"' in response.content.decode()
    assert len(members()) == 5


def test_an_athlete_of_another_club_cannot_be_chosen(people: ClubPeople, visit: Visit) -> None:
    """The stranger's club has no athlete of ours to give an account."""
    new = {"username": "kari", "role": "athlete", "password": PASSWORD, "password_again": PASSWORD}
    response = visit("stranger").post(reverse("colleagues"), new | {"athlete": str(people.jon.pk)})
    assert response.status_code == 422
    assert len(members()) == 5


def test_a_forgotten_password_is_set_anew_by_the_owner(people: ClubPeople, visit: Visit) -> None:
    """The new one logs in, the old one and the open logins end; two that differ are refused."""
    people.assistant.set_password("an older wind")
    people.assistant.save()
    was_open = visit("assistant")
    url = reverse("new_password", kwargs={"id_": people.assistant.membership.pk})
    wrong = visit("owner").post(url, {"password": PASSWORD, "password_again": "another wind over it"})
    assert wrong.status_code == 422
    assert was_open.get("/").status_code == 200
    assert visit("owner").post(url, {"password": PASSWORD, "password_again": PASSWORD}).status_code == 302
    assert was_open.get("/").status_code == 302
    assert Client().post(LOGIN, {"login": "assistant", "password": "an older wind"}).status_code == 200
    assert Client().post(LOGIN, {"login": "assistant", "password": PASSWORD}).status_code == 302


def test_the_second_step_is_switched_on_and_asked_for(people: ClubPeople) -> None:
    """A code of the app, computed here after RFC 6238 by the library, opens the account; without it nothing opens."""
    from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value, yield_hotp_counters_from_time

    def code(secret: str) -> str:
        return format_hotp_value(hotp_value(secret, next(iter(yield_hotp_counters_from_time()))))

    people.owner.set_password(PASSWORD)
    people.owner.save()
    client = Client()
    client.post(LOGIN, {"login": "owner", "password": PASSWORD})
    assert client.get(reverse("mfa_activate_totp")).url.startswith(reverse("account_reauthenticate"))
    assert client.post(reverse("account_reauthenticate"), {"password": "wrong wind"}).status_code == 200
    assert client.post(reverse("account_reauthenticate"), {"password": PASSWORD}).status_code == 302
    page = client.get(reverse("mfa_activate_totp"))
    assert page.status_code == 200
    assert "<svg" in page.content.decode()
    secret = page.context["form"].secret
    assert client.post(reverse("mfa_activate_totp"), {"code": "000000"}).status_code == 200
    response = client.post(reverse("mfa_activate_totp"), {"code": code(secret)}, follow=True)
    assert response.status_code == 200
    assert len(client.get(reverse("mfa_view_recovery_codes")).context["unused_codes"]) == 10

    again = Client()
    assert again.post(LOGIN, {"login": "owner", "password": PASSWORD}).url == reverse("mfa_authenticate")
    assert again.get("/").status_code == 302, "the password alone opens nothing"
    assert again.get(reverse("mfa_authenticate")).status_code == 200
    spare = client.get(reverse("mfa_view_recovery_codes")).context["unused_codes"][0]
    assert again.post(reverse("mfa_authenticate"), {"code": spare}).status_code == 302
    assert again.get("/").status_code == 200
