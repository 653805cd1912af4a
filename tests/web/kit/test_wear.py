"""Wear: looked over, withdrawn, brought back; what is withdrawn goes into no session."""

from __future__ import annotations

from datetime import timedelta

import pytest
from club_people import ClubPeople
from django.urls import reverse
from django.utils import timezone
from kit_pages import text_of

from conftest import Visit
from firstpush.web.kit.models import BandCheck, BandWithdrawal


def url(name: str, people: ClubPeople, number: int = 1) -> str:
    """Return an address about a band of the cupboard."""
    return reverse(name, kwargs={"id_": people.kit.pk, "number": number})


def withdrawal(people: ClubPeople, *, count: int = 1) -> BandWithdrawal:
    """Withdraw some of the first band."""
    band = people.kit.document["bands"][0]["name"]
    return BandWithdrawal.objects.create(
        kit=people.kit, band=band, count=count, day="2026-03-02", reason="torn", made_by=people.assistant
    )


def test_an_assistant_writes_down_a_look(people: ClubPeople, visit: Visit) -> None:
    """Day and who are stored and shown; the cupboard's document is as it was."""
    name = people.kit.document["bands"][0]["name"]
    sent = {"band": name, "check-day": "2026-03-02", "check-who": "Mira", "check-remark": "knots fine"}
    page = text_of(visit("assistant").post(url("check_band", people), sent, follow=True))
    check = BandCheck.objects.get()
    assert (check.band, str(check.day), check.who, check.made_by) == (name, "2026-03-02", "Mira", people.assistant)
    assert "2 March 2026 by Mira" in page
    assert "knots fine" in page
    assert people.kit.version == 1


def test_a_torn_band_goes_into_no_session(people: ClubPeople, visit: Visit) -> None:
    """One of them is withdrawn: core gets one less, and the page says why and by whom."""
    before = people.kit.kit().bands[0].count
    sent = {"withdraw-count": "1", "withdraw-day": "2026-03-02", "withdraw-reason": "torn at the knot"}
    page = text_of(visit("assistant").post(url("withdraw_band", people), sent, follow=True))
    left = {band.name: band.count for band in people.kit.kit().bands}
    assert left.get(people.kit.document["bands"][0]["name"], 0) == before - 1
    assert "torn at the knot" in page
    assert "withdrawn by assistant" in page


def test_brought_back(people: ClubPeople, visit: Visit) -> None:
    """It is in use again, that it was withdrawn stays written down, and twice is once."""
    before = people.kit.kit()
    made = withdrawal(people)
    assert people.kit.kit() != before
    back = reverse("bring_back_band", kwargs={"id_": people.kit.pk, "number": made.pk})
    for _ in range(2):
        assert visit("colleague").post(back).status_code == 302
    made.refresh_from_db()
    assert (made.brought_back_on, made.brought_back_by) == (timezone.localdate(), people.colleague)
    assert people.kit.kit() == before
    page = text_of(visit("owner").get(url("band", people)))
    assert "brought back" in page
    assert ">Bring back<" not in page


def test_bringing_back_is_not_for_the_assistant(people: ClubPeople, visit: Visit) -> None:
    """The same withdrawal: refused to the assistant, not there for the stranger, done by the owner."""
    back = reverse("bring_back_band", kwargs={"id_": people.kit.pk, "number": withdrawal(people).pk})
    assert visit("assistant").post(back).status_code == 403
    assert visit("stranger").post(back).status_code == 404
    assert visit("owner").get(back).status_code == 405
    assert visit("owner").post(back).status_code == 302


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("count", "99", "as many as are in use"),
        ("count", "0", "as many as are in use"),
        ("count", "1.5", "as many as are in use"),
        ("count", "some", "not a number"),
        ("reason", "", "Say why"),
        ("day", "soon", "not a day"),
        ("day", "TOMORROW", "still to come"),
    ],
)
def test_what_cannot_be_withdrawn(people: ClubPeople, visit: Visit, field: str, typed: str, says: str) -> None:
    """The reason stands at the field, what was typed is still there, nothing is withdrawn."""
    if typed == "TOMORROW":
        typed = str(timezone.localdate() + timedelta(days=1))
    sent = {"withdraw-count": "1", "withdraw-day": "2026-03-02", "withdraw-reason": "torn right here"}
    response = visit("owner").post(url("withdraw_band", people), sent | {f"withdraw-{field}": typed})
    assert response.status_code == 422
    assert says in str(response.context["withdraw"].errors[field])
    assert typed in text_of(response)
    assert field == "reason" or "torn right here" in text_of(response)
    assert not BandWithdrawal.objects.exists()


def test_no_more_than_are_left(people: ClubPeople, visit: Visit) -> None:
    """What is out already cannot go out again."""
    withdrawal(people, count=people.kit.document["bands"][0]["count"])
    sent = {"withdraw-count": "1", "withdraw-day": "2026-03-02", "withdraw-reason": "torn"}
    assert visit("owner").post(url("withdraw_band", people), sent).status_code == 422
    page = text_of(visit("owner").get(url("band", people)))
    assert "None is in use" in page


@pytest.mark.parametrize("name", ["check_band", "withdraw_band"])
def test_a_page_of_another_band(people: ClubPeople, visit: Visit, name: str) -> None:
    """The list moved while the page was open: the wrong band is neither checked nor withdrawn."""
    sent = {"band": "one that stood here", "check-day": "2026-03-02", "check-who": "Mira"}
    sent |= {"withdraw-count": "1", "withdraw-day": "2026-03-02", "withdraw-reason": "torn"}
    page = text_of(visit("owner").post(url(name, people), sent, follow=True))
    assert "nothing was written" in page
    assert not BandWithdrawal.objects.exists()
    assert not BandCheck.objects.exists()


@pytest.mark.parametrize("name", ["check_band", "withdraw_band", "take_out_band"])
def test_wear_takes_no_get(people: ClubPeople, visit: Visit, name: str) -> None:
    """Following a link writes nothing."""
    assert visit("owner").get(url(name, people)).status_code == 405


def test_withdrawn_of_a_band_that_is_gone(people: ClubPeople, visit: Visit) -> None:
    """A band off the list with some withdrawn stays to be seen."""
    withdrawal(people)
    visit("owner").post(url("take_out_band", people), {"based_on": "1"})
    page = text_of(visit("owner").get(reverse("kit", kwargs={"id_": people.kit.pk})))
    assert "no longer on the list" in page
