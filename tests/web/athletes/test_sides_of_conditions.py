"""The side of a condition: typed on the page, written as the file has it, shown, and never lost."""

from __future__ import annotations

from typing import Any

import pytest
from club_people import ClubPeople
from django.urls import reverse
from sent_form import values_of

from conftest import Visit
from firstpush.core.people.athlete_file import athlete_from


def with_health(people: ClubPeople, **health: Any) -> None:
    """Save Runa with these conditions."""
    document = people.runa.document | {"health": people.runa.document["health"] | health}
    people.runa.save_document(document, by=people.owner, based_on=people.runa.version, why="")


def sent(people: ClubPeople, visit: Visit, **change: Any) -> Any:
    """Return the answer to the page as it is shown, with `change`."""
    address = reverse("edit_health", kwargs={"id_": people.runa.pk})
    data = values_of(visit("colleague").get(address).content.decode()) | change
    response = visit("colleague").post(address, data)
    people.runa.refresh_from_db()
    return response


def test_a_condition_of_one_shoulder_is_written_as_the_file_has_it(people: ClubPeople, visit: Visit) -> None:
    """Core reads it back as of that side; what is of no side stays among the others."""
    change = {"health.conditions": ["cuff repair", "shunt"], "side_of_cuff_repair": "left"}
    assert sent(people, visit, **change).status_code == 302
    health = people.runa.document["health"]
    assert (health["conditions"], health["conditions_left"]) == (["shunt"], ["cuff repair"])
    read = athlete_from(people.runa.document, where="test").health
    assert read.conditions_of(["right"]) == {"shunt"}
    assert read.conditions_of(["left"]) == {"shunt", "cuff repair"}
    page = visit("colleague").get(reverse("athlete", kwargs={"id_": people.runa.pk})).content.decode()
    assert "cuff repair (left)" in page


def test_a_condition_alone_leaves_none_of_the_others(people: ClubPeople, visit: Visit) -> None:
    """The file wants the others said: there are none."""
    assert (
        sent(people, visit, **{"health.conditions": ["painful arc"], "side_of_painful_arc": "right"}).status_code == 302
    )
    health = people.runa.document["health"]
    assert (health["conditions"], health["conditions_right"]) == ("none", ["painful arc"])


@pytest.mark.parametrize(
    "health",
    [
        {"conditions": "none", "conditions_left": ["cuff repair"]},
        {"conditions": ["shunt"], "conditions_right": ["painful arc"]},
        {"conditions": ["cuff repair"]},
    ],
)
def test_what_a_file_said_comes_back_untouched(people: ClubPeople, visit: Visit, health: dict[str, Any]) -> None:
    """The page shows it ticked with its side, and sends the same back."""
    with_health(people, **health)
    before = people.runa.document["health"]
    assert sent(people, visit).status_code == 302
    assert people.runa.document["health"] == before


def test_the_side_goes_when_it_is_no_longer_known(people: ClubPeople, visit: Visit) -> None:
    """Both, or not known: the stricter reading, both arms."""
    with_health(people, conditions="none", conditions_left=["cuff repair"])
    assert sent(people, visit, side_of_cuff_repair="").status_code == 302
    health = people.runa.document["health"]
    assert health["conditions"] == ["cuff repair"]
    assert "conditions_left" not in health


def test_a_side_of_what_is_not_ticked_is_refused(people: ClubPeople, visit: Visit) -> None:
    """It says what is wrong, what is allowed and what to do; nothing is written."""
    response = sent(people, visit, side_of_painful_arc="left")
    assert response.status_code == 422
    text = response.content.decode()
    assert "painful arc is not ticked" in text
    assert people.runa.version == 1
