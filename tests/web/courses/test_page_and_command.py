"""The page of a course and the command give the same numbers, for every athlete and venue of the demo club."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from club_people import A_COURSE, ClubPeople
from django.http import QueryDict

from firstpush.cli.course import course as command
from firstpush.demo.club import club_files
from firstpush.sheets.make_course import course_document
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.courses.ask_form import AskForm
from firstpush.web.courses.chosen import source_for
from firstpush.web.courses.laying import laid
from firstpush.web.kit.models import VenueRecord

FILES = {kind: {path.stem: path for path in club_files()[kind]} for kind in ("athletes", "venues")}
BADMINTON, BASKETBALL = "wheelchair badminton", "wheelchair basketball"
BY_ITSELF = ("input_checksum",)
"""Made of the files by the command, of what was chosen by the page."""


def of_command(name: str, people: tuple[str, ...], venue: str, *more: str) -> dict[str, Any]:
    """Return what the command says of a course; that something does not fit is an answer too."""
    athletes = [part for each in people for part in ("--athlete", str(FILES["athletes"][each]))]
    done = CliRunner().invoke(command, [name, *athletes, "--venue", str(FILES["venues"][venue]), "--json", *more])
    assert done.exit_code in (0, 1), done.output
    found: dict[str, Any] = json.loads(done.stdout)
    return {key: value for key, value in found.items() if key not in BY_ITSELF}


def of_page(club: ClubPeople, slug: str, people: tuple[str, ...], venue: str, **asked: str) -> dict[str, Any]:
    """Return what the page reckons for the same people, kept in the data base."""
    data = QueryDict(mutable=True)
    for each in people:
        record = AthleteRecord(club=club.club)
        record.save_document(tomllib.loads(FILES["athletes"][each].read_text(encoding="utf-8")), by=club.owner)
        data.appendlist("athlete", str(record.pk))
    hall = VenueRecord(club=club.club)
    hall.save_document(tomllib.loads(FILES["venues"][venue].read_text(encoding="utf-8")), by=club.owner)
    data["venue"] = str(hall.pk)
    for name, value in asked.items():
        data[name] = value
    form = AskForm(club.owner, source_for(club.owner, slug), data)
    assert form.is_valid(), form.errors
    found = course_document(laid(form.chosen()).made)
    return {key: value for key, value in json.loads(json.dumps(found)).items() if key not in BY_ITSELF}


@pytest.mark.parametrize("venue", FILES["venues"])
@pytest.mark.parametrize("who", FILES["athletes"])
def test_the_half_circle_is_the_same_for_everybody_everywhere(who: str, venue: str, people: ClubPeople) -> None:
    """Every number of the document: spacing, room, places, times, turns, table, cues."""
    assert of_page(people, "half-circle", (who,), venue) == of_command("half-circle", (who,), venue)


@pytest.mark.parametrize(
    ("slug", "who", "venue", "options", "asked"),
    [
        ("slalom", ("runa_velde", "tovi_ankerlund", "nilo_fyrvang"), "slipway_hall", (), {}),
        ("push-lanes", ("runa_velde",), "quay_court", (), {}),
        ("slalom", ("bren_kollhaug",), "slipway_hall", ("--mirror",), {"first": "right"}),
        ("slalom", ("bren_kollhaug",), "slipway_hall", ("--sport", BASKETBALL), {"floor": BASKETBALL}),
        (
            "push-lanes",
            ("edda_klipstrand",),
            "quay_court",
            ("--sport", BADMINTON, "--inside-lines"),
            {"floor": f"{BADMINTON} lines"},
        ),
        ("square", ("ylva_rorgang",), "quay_court", ("--spacing-m", "0.9"), {"spacing_m": "0.9"}),
        ("stop-and-turn", ("mika_trosse",), "quay_court", ("--cones", "6"), {"count": "6"}),
    ],
)
def test_other_courses_and_floors_are_the_same(
    slug: str, who: tuple[str, ...], venue: str, options: tuple[str, ...], asked: dict[str, str], people: ClubPeople
) -> None:
    """Several chairs, courts with run-off and inside their lines, the other way round, a spacing that is too small."""
    by_page = of_page(people, slug, who, venue, **asked)
    assert by_page == of_command(slug, who, venue, *options)


def test_a_course_of_ones_own_is_the_same(people: ClubPeople, tmp_path: Path) -> None:
    """Two cones 1 m apart, for two chairs: what does not fit is said alike."""
    near = A_COURSE | {"cones": [{"name": "1", "x_m": 3.0, "y_m": 2.0}, {"name": "2", "x_m": 4.6, "y_m": 3.0}]}
    people.course.save_document(near, by=people.owner)
    written = tmp_path / "own.toml"
    rows = {
        which: ", ".join(f'{{ name = "{row["name"]}", x_m = {row["x_m"]}, y_m = {row["y_m"]} }}' for row in near[which])
        for which in ("cones", "points")
    }
    written.write_text(
        f'name = "{near["name"]}"\nstart = "A"\norder = {json.dumps(near["order"])}\n'
        f"cones = [{rows['cones']}]\npoints = [{rows['points']}]\n",
        encoding="utf-8",
    )
    who = ("tovi_ankerlund", "nilo_fyrvang")
    by_page = of_page(people, people.course.slug, who, "quay_court")
    assert by_page == of_command(str(written), who, "quay_court")
    assert by_page["decides"] == "Tovi Ankerlund"
