"""What the athlete's page says of a document: every key has a line or stands in a list of what is unknown."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from club_people import demo_document

from firstpush.core.people.athlete_file import athlete_from
from firstpush.demo.club import club_files
from firstpush.web.athletes.read_out import Part, body_shown, chairs_shown, function_shown, health_shown

BARE: dict[str, Any] = {"name": "Mareike Tordal", "mass_kg": 49.5, "arm_span_m": 1.52, "chairs": [{"kind": "daily"}]}
DOCUMENTS = {
    "bare": BARE,
    "athlete": demo_document("athlete"),
    **{path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in club_files()["athletes"]},
}
WHOLE = pytest.mark.parametrize("document", list(DOCUMENTS.values()), ids=list(DOCUMENTS))


def names(listed: str) -> list[str]:
    """Return the names of a list of what is unknown."""
    return listed.split(", ") if listed else []


def said(part: Part) -> int:
    """Return how many keys a part tells of."""
    return len(part.rows) + len(names(part.not_known))


@WHOLE
def test_nothing_that_is_unknown_gets_lost(document: dict[str, Any]) -> None:
    """Known and unknown together are the keys of the file: 12 of the body, 6 of each arm, 5 of trunk and spasticity."""
    assert said(body_shown(document)) == 12
    function = function_shown(document)
    listed = names(function.not_known)
    directions = sum("Leans" in row.label or "Turns" in row.label for row in function.trunk)
    assert directions == (0 if "trunk control" in listed else 4)
    spasticity = any(row.label == "Spasticity" for row in function.trunk)
    assert spasticity != ("spasticity" in listed)
    assert len(function.arms) + len(set(listed) - {"trunk control", "spasticity"}) == 6
    health = document.get("health", {})
    pain = health.get("pain")
    # Level, completeness, blood pressure, conditions and latex; each pain has a line, and so has that there is none.
    expected = 5 + (len(pain) if isinstance(pain, list) else 1) + ("pain_limit" in health)
    assert said(health_shown(document)) == expected
    for chair in chairs_shown(athlete_from(document, where="page")):
        # The 15 keys of a chair beside its name and kind.
        assert len(chair.rows) + len(names(chair.not_known)) == 15


@WHOLE
def test_no_line_and_no_part_says_unknown_alone(document: dict[str, Any]) -> None:
    """What has a line of its own is known; in a row about both arms one of them is."""
    parts = [body_shown(document), health_shown(document)]
    assert all(row.known for part in parts for row in part.rows)
    assert all(row.left.known or row.right.known for row in function_shown(document).arms)


def test_what_was_looked_at_in_part_keeps_its_gaps_in_sight() -> None:
    """One direction of four, and one arm of two: the unknown stands beside the known, not in the list."""
    document = BARE | {
        "function": {"trunk": {"forward": "partly"}, "left": {"grip": "weak"}},
        "active_range_deg": {"right": {"elevation": 120}},
    }
    shown = function_shown(document)
    assert [row.value for row in shown.trunk] == ["partly", "unknown", "unknown", "unknown"]
    assert [(row.label, row.left.value, row.right.value) for row in shown.arms] == [
        ("Grip", "weak", "unknown"),
        ("Active elevation", "unknown", "120°"),
    ]
    assert shown.not_known == "elbow extensors, wrist extensors, active external rotation, feeling, spasticity"


def test_what_the_top_of_the_page_shows_is_not_said_again() -> None:
    """A size that is known and shown elsewhere has no line; one that is not known is listed all the same."""
    beside = ("mass_kg", "arm_span_m")
    assert body_shown(BARE, beside=beside).rows == ()
    without = {key: value for key, value in BARE.items() if key != "arm_span_m"} | {"stature_m": 1.6}
    shown = body_shown(without, beside=beside)
    assert [(row.label, row.value) for row in shown.rows] == [("Stature", "1.6 m")]
    assert "arm span" in names(shown.not_known)


def test_a_limit_of_pain_is_told_where_somebody_has_set_it() -> None:
    """Nobody has to set one, so that none is no gap."""
    assert "pain" in names(health_shown(BARE).not_known)
    assert not any("go on up to" in name for name in names(health_shown(BARE).not_known))
    rows = health_shown(BARE | {"health": {"pain_limit": 0}}).rows
    assert [(row.label, row.value) for row in rows] == [("Familiar pain may go on up to, 0 to 5", "0")]


def test_what_a_usual_chair_lends_stands_apart_from_what_was_measured() -> None:
    """A seat that was measured and "no anti-tip wheel" are known; no usual chair lends a weight on the casters."""
    chair = {"kind": "daily", "seat_height_m": 0.5, "anti_tip_m": "none"}
    (shown,) = chairs_shown(athlete_from(BARE | {"chairs": [chair]}, where="page"))
    assert [(row.label, row.value) for row in shown.measured] == [
        ("Anti-tip wheel behind the axle", "none"),
        ("Seat height", "0.50 m"),
    ]
    assert names(shown.not_known) == ["weight on the casters"]
    assert len(shown.usual) == 15 - 2 - 1
    assert not shown.is_named
    (named,) = chairs_shown(athlete_from(BARE | {"chairs": [chair | {"name": "the blue one"}]}, where="page"))
    assert named.is_named
