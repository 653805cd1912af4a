"""What is wrong is said in the words of the page, with no key or bracket of a file that nobody sees there."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any

import pytest
from club_people import ClubPeople
from django.urls import reverse

from conftest import Visit
from firstpush.core.errors import Fault
from firstpush.web.forms import name_of, sentence_of

OF_A_FILE = re.compile(r"[a-z]+_[a-z]+|\w = |[\[\]{}]|quotation mark|\bWrite \w+_")

ROW = {
    "posts-TOTAL_FORMS": "2",
    "posts-INITIAL_FORMS": "0",
    "name": "Quay hall",
    "floor_length_m": "20",
    "floor_width_m": "10",
    "posts-0-name": "mast",
    "posts-0-height_from_m": "0.2",
    "posts-0-height_to_m": "2",
    "posts-0-room_in_front_m": "4",
}
THINGS = {
    "name": "Sail loft",
    **{f"{rows}-{what}_FORMS": "0" for rows in ("balls", "cuffs") for what in ("TOTAL", "INITIAL")},
}
CHAIR = {"chairs-count": "2", "chairs-0-kind": "court", "chairs-0-name": "Tern", "chairs-1-name": "Tern"}


class _Faults(HTMLParser):
    """Collects what stands in the lists of faults."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = self._inside or (tag == "ul" and "errorlist" in (dict(attrs).get("class") or ""))
        if tag == "li" and self._inside:
            self.found.append("")

    def handle_endtag(self, tag: str) -> None:
        self._inside = self._inside and tag != "ul"

    def handle_data(self, data: str) -> None:
        if self._inside and self.found:
            self.found[-1] += data


def faults_of(response: Any) -> list[str]:
    """Return every fault on a page."""
    assert response.status_code == 422
    reader = _Faults()
    reader.feed(response.content.decode())
    return [" ".join(each.split()) for each in reader.found]


@pytest.mark.parametrize(
    ("name", "sent", "said"),
    [
        ("change_kit", THINGS | {"chocks": "4"}, "It is missing. Allowed: 0.02 to 0.3 m. Fill it in."),
        ("change_kit", THINGS | {"chock_height_m": "0.1"}, "It is missing. Allowed: 0 to 500 pieces. Fill it in."),
        ("new_venue", ROW | {"posts-0-room_in_front_m": "40"}, "Correct it, or “Length of the floor (m)”"),
        ("new_venue", ROW | {"posts-0-height_from_m": "3"}, "The lowest, 3 m, is above the highest, 2 m."),
        (
            "new_venue",
            ROW | {"posts-0-height_from_m": "", "posts-0-height_to_m": "", "posts-0-heights": "9"},
            "There is no height in it. Allowed: one or more, each 0 to 4 m. Correct it.",
        ),
        (
            "new_venue",
            ROW | {f"posts-1-{key[8:]}": value for key, value in ROW.items() if key.startswith("posts-0-")},
            "is taken by post 1",
        ),
        (
            "edit_health",
            {"health.spinal_level": "none", "health.completeness": "A"},
            'contradicts “Level of the spinal cord injury” "none"',
        ),
        ("edit_chairs", CHAIR | {"chairs-1-kind": "court"}, "is taken by chair 1"),
        ("edit_chairs", CHAIR, 'It is missing. Allowed: "court", "daily". Fill it in.'),
    ],
)
def test_every_fault_is_told_in_the_words_of_the_page(
    name: str, sent: dict[str, str], said: str, people: ClubPeople, visit: Visit
) -> None:
    """What core says of a file that would be read is put so that whoever looks at the page finds the field."""
    of = {"change_kit": people.kit, "new_venue": None}.get(name, people.runa)
    url = reverse(name, kwargs={} if of is None else {"id_": of.pk})
    found = faults_of(visit("owner").post(url, sent))
    assert any(said in each for each in found), found
    assert [each for each in found if OF_A_FILE.search(each)] == []


def test_a_lost_hand_names_the_field_of_another_page(people: ClubPeople, visit: Visit) -> None:
    """A fault that belongs to no field of this page stands above it, under the name that the field has."""
    document = people.runa.document
    sent = {"name": document["name"], "mass_kg": "58", "arm_span_m": "1.66", "missing_limbs": "left hand"}
    found = faults_of(visit("owner").post(reverse("edit_body", kwargs={"id_": people.runa.pk}), sent))
    assert any('Grip, left: "full" contradicts “Missing limbs”' in each for each in found), found
    assert [each for each in found if OF_A_FILE.search(each)] == []


@pytest.mark.parametrize("name", ["new_athlete", "edit_body", "edit_chairs", "new_kit", "new_venue"])
def test_a_form_sent_without_any_field_is_answered(name: str, people: ClubPeople, visit: Visit) -> None:
    """What is missing is said, whatever sent nothing at all."""
    url = reverse(name, kwargs={"id_": people.runa.pk} if name.startswith("edit") else {})
    assert visit("owner").post(url, {}).status_code in (302, 422)


def fault(*, wrong: str = "it is missing", allowed: str = "1 to 5", next_step: str = "Correct it") -> Fault:
    """Return a fault of a file."""
    return Fault(file="page", line=None, key="doses[0].sets", wrong=wrong, allowed=allowed, next_step=next_step)


@pytest.mark.parametrize(
    ("of_a_file", "expected"),
    [
        (fault(allowed="a text in quotation marks", next_step='Write cue = "..."'), "Allowed: words. Fill it in."),
        (fault(allowed='"hand", "wrist_cuff"'), 'Allowed: "hand", "wrist cuff". Fill it in.'),
        (
            fault(
                wrong='"ninety" is not a number',
                next_step="Write a number in s, without quotation marks and with a decimal point",
            ),
            '"ninety" is not a number. Allowed: 1 to 5. Write a number in s.',
        ),
        (
            fault(wrong="[1.5, 0.2] is not a window", allowed="[lowest, highest] in m", next_step="Write both ends"),
            "These two ends make no window. Allowed: the lowest and the highest in m. Write both ends.",
        ),
        (fault(wrong="it is too much", allowed="first_nm or more"), "Allowed: “First load” or more. Correct it."),
        (fault(wrong='"flat_10" is taken by bands[2]'), '"flat_10" is taken by band 3. Allowed: 1 to 5. Correct it.'),
    ],
)
def test_words_of_a_file_become_words_of_a_page(of_a_file: Fault, expected: str) -> None:
    """Names that somebody typed stay as they are, though they look like keys."""
    assert sentence_of(of_a_file, labels={"first_nm": "First load"}).endswith(expected)


def test_a_place_in_a_document_has_a_name() -> None:
    """Rows are counted from one, as they stand on the page."""
    assert name_of("bands[0].pulls[1].force_n", labels={"force_n": "Pull"}) == "Band 1, pulls 2, pull"
