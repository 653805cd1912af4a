"""Days and times are written one way on every page: 25 November 2026, 17:18."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from club_people import ClubPeople
from django.template import Context, Template
from django.utils import timezone
from django.utils.formats import date_format
from test_access import ADDRESSES, WHO, address_of

from conftest import Visit

AFTERNOON = datetime(2026, 11, 25, 17, 18, tzinfo=UTC)
PAGES = [name for name, asked in ADDRESSES.items() if asked.post is None and 200 in asked.told]
OTHER_CLOCK = re.compile(r"\d\s*[ap]\.m\.|>\s*(noon|midnight)\b|\d{2}/\d{2}/\d{4}", re.IGNORECASE)
"""As Django's own British English writes them (django/conf/locale/en_GB/formats.py)."""


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("{{ when }}", "25 November 2026, 17:18"),
        ("{{ when|date }}", "25 November 2026"),
        ("{{ when|time }}", "17:18"),
        ("{{ when.date }}", "25 November 2026"),
        ("{{ when.time }}", "17:18"),
        ('{{ when|date:"SHORT_DATETIME_FORMAT" }}', "25 November 2026, 17:18"),
    ],
)
def test_a_template_that_names_no_format_writes_ours(written: str, expected: str) -> None:
    """Whatever way a template shows a moment, it is the same clock."""
    with timezone.override(ZoneInfo("UTC")):
        assert Template(written).render(Context({"when": AFTERNOON})) == expected
    assert date_format(AFTERNOON, "DATETIME_FORMAT") == "25 November 2026, 17:18"


@pytest.mark.parametrize("name", PAGES)
def test_no_page_has_another_clock(name: str, people: ClubPeople, visit: Visit) -> None:
    """Neither "5:18 p.m." nor "noon" nor "25/11/2026" stands on any page."""
    assert OTHER_CLOCK.search("<td>5:18 p.m.") and OTHER_CLOCK.search("<td>noon</td>")
    response = visit(WHO[ADDRESSES[name].told.index(200)]).get(address_of(name, people))
    if "html" in response["Content-Type"]:
        found = OTHER_CLOCK.search(response.content.decode())
        assert found is None, found
