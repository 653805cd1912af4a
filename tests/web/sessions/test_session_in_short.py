"""The page of a session tells in short what another page tells in full; nothing of it is lost, and who only does the
session has all of it open.
"""

from __future__ import annotations

import copy
import html
import re

import pytest
from club_people import ClubPeople
from made_sessions import Made, made_session
from session_pages import page

from conftest import Visit
from firstpush.core.notices import SUPPORT_ADDED
from firstpush.core.people.health import health_notices


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Make a session of somebody with an injury at T4 whose trunk nobody has looked at."""
    document = copy.deepcopy(people.runa.document)
    document["function"] = {"trunk": {}, "left": {}, "right": {}}
    document["health"]["spinal_level"] = "T4"
    people.runa.save_document(document, by=people.owner)
    return made_session(people)


def read(marked: str) -> str:
    """Return the words of a piece of a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", marked)).split()).casefold()


def in_sight(shown: str) -> str:
    """Return what of a page is read without opening a fold."""
    return read(
        re.sub(r"<details(?! [^>]*open)[^>]*>\s*(<summary>.*?</summary>).*?</details>", r"\1", shown, flags=re.S)
    )


def cautions(made: Made) -> list[dict[str, str]]:
    """Return every caution and stop of the practitioner's words, of the session and of each exercise."""
    words = made.newest.document["sheets"]["practitioner"]
    found = [*words["notices"], *(notice for item in words["items"] for notice in item["notices"])]
    return [each for each in found if each["level"] != "note"]


def test_nothing_is_lost_and_what_it_is_stays_in_sight(made: Made, visit: Visit) -> None:
    """Each caution stands on the page in full; the first words of each can be read without opening anything."""
    shown = page(visit("owner"), "plan", id_=made.plan.pk)
    whole, open_ = read(shown), in_sight(shown)
    told = {each.what for each in health_notices(made.plan.athlete.athlete())}
    folded = 0
    for each in cautions(made):
        what, do = each["what"].casefold(), each["do"].casefold()
        assert what in whole and do in whole
        if each["level"] == "caution" and (each["what"] in told or each["id"] == SUPPORT_ADDED):
            folded += 1
            assert re.split(r" \(|, because ", what)[0] in open_
            assert do not in open_
        else:
            assert what in open_ and do in open_
    assert folded >= 3, "two cautions of a high injury, and a strap"


def test_next_best_and_checks_are_folded_for_who_plans(made: Made, visit: Visit) -> None:
    """The reason of each exercise stays in sight; what came next stands behind it, the checks before the start too."""
    shown = page(visit("owner"), "plan", id_=made.plan.pk)
    open_, whole = in_sight(shown), read(shown)
    for item in made.newest.document["items"]:
        reason, next_best = item["reason"].casefold(), ""
        for begins in ("; next best: ", "; no other exercise"):
            if begins in reason:
                reason, _, next_best = reason.partition(begins)
        assert reason in open_
        assert next_best in whole
        assert not next_best or next_best not in open_
    check = made.newest.document["sheets"]["practitioner"]["before_we_start"][0].casefold()
    assert check in whole and check not in open_


def test_who_only_does_the_session_has_all_of_it_open(made: Made, visit: Visit) -> None:
    """The assistant's page is the sheet: checks, cautions and what to do about them."""
    shown = page(visit("assistant"), "plan", id_=made.plan.pk)
    open_ = in_sight(shown)
    words = made.newest.document["sheets"]["practitioner"]
    for line in words["before_we_start"]:
        assert line.casefold() in open_
    for each in [*words["notices"], *(notice for item in words["items"] for notice in item["notices"])]:
        if each["level"] != "note":
            assert each["do"].casefold() in open_
