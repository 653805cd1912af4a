"""The form of an exercise file: what it shows is what it sends, and every form of a pose says the same pose."""

from __future__ import annotations

import re
import tomllib
from typing import Any
from urllib.parse import urlencode

import pytest
from django.http import QueryDict
from django.template.loader import render_to_string
from form_content import sent_by
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_from, library
from firstpush.core.toml_file import as_toml_file
from firstpush.web.exercises.edit_form import shown_sections
from firstpush.web.exercises.editing import (
    as_number,
    fields_of,
    put,
    reformed,
    typed,
    value_at,
    with_rows,
    without_none,
)
from firstpush.web.exercises.fields import sections
from firstpush.web.exercises.form_parts import Document
from firstpush.web.exercises.own import text_of_library


def document_of(slug: str) -> Document:
    """Return the file of an exercise of the library."""
    return tomllib.loads(text_of_library(slug))


def exercise_of(document: Document, slug: str = "x") -> Exercise:
    """Return what core reads."""
    return exercise_from(as_toml_file(without_none(document), where="form"), id_=slug)


def sent(document: Document, **changed: str) -> QueryDict:
    """Return what a browser sends of the form of `document`, with fields changed."""
    page = "".join(
        render_to_string("exercises/field.html", {"one": one})
        for section in shown_sections(sections(document, exercise_ids=tuple(library())), document, {})
        for group in section.groups
        for one in group.fields
    )
    content = sent_by(page) | {key: [value] for key, value in changed.items()}
    return QueryDict(urlencode(content, doseq=True))


def after(document: Document, **changed: str) -> Document:
    """Return the document that comes of sending its form with fields changed."""
    form = sections(document)
    data = sent(document, **changed)
    return reformed(typed(document, form, data), form, data)


@pytest.mark.parametrize("slug", library())
def test_a_form_sent_back_unchanged_changes_nothing(slug: str) -> None:
    """Every exercise of the library comes out of its form as it went in."""
    assert exercise_of(after(document_of(slug)), slug) == library()[slug]


def keys_of(value: Any, at: str = "") -> set[str]:
    """Return the dotted key of everything that stands in a document; the ends of a window each."""
    if isinstance(value, dict):
        return set().union(*(keys_of(each, f"{at}.{key}" if at else key) for key, each in value.items()))
    if isinstance(value, list) and not all(isinstance(each, str) for each in value):
        return set().union(*(keys_of(each, f"{at}[{index}]") for index, each in enumerate(value)))
    return {at}


@pytest.mark.parametrize("slug", library())
def test_all_that_stands_in_a_file_has_a_field(slug: str) -> None:
    """Nothing must be written as text: how a band is fixed is chosen, and `per_side` follows from the sides."""
    document = document_of(slug)
    fields = {each.key for each in fields_of(sections(document))}
    left = {key for key in keys_of(document) if key not in fields}
    assert {re.sub(r".*[.]", "", key) for key in left} <= {"fixed_to", "per_side"}
    assert {f"{key.partition('.')[0]}:used" for key in left if key.endswith("fixed_to")} <= fields


def test_the_effort_asked_for_is_changed_and_left_out() -> None:
    """Its two ends are two fields; both empty, the effort of the part holds again."""
    document = document_of("easy_rolling")
    assert exercise_of(after(document, **{"effort_6_20[1]": "12"})).effort == (9, 12)
    assert "effort_6_20" not in after(document, **{"effort_6_20[0]": "", "effort_6_20[1]": ""})


def test_a_band_where_there_is_no_post_is_chosen_changed_and_left_out() -> None:
    """Its fields come with the choice; only a band tied to a post asks for them, and they change nothing of it."""
    document = document_of("external_rotation_side")
    assert "band_without_post" not in document
    without = after(document, **{"band_without_post:used": "fixed to: chair"})
    changed = after(without, **{"band_without_post.chair_point": "backrest", "band_without_post.grip": "each"})
    found = exercise_of(changed)
    assert found.band == exercise_of(document).band
    assert found.band_without_post is not None
    assert (found.band_without_post.fixed_to, found.band_without_post.chair_point) == ("chair", "backrest")
    assert found.band_without_post.grip == "each"
    assert exercise_of(after(changed, **{"band_without_post:used": "none"})) == exercise_of(document)
    assert "band_without_post" not in after(changed, **{"band:used": "none"})
    own_weight = sections(document_of("slalom_cones"))
    assert "band_without_post:used" not in {each.key for each in fields_of(own_weight)}


def test_the_place_in_the_session_and_the_rounds_are_kept_as_they_are_typed() -> None:
    """What comes first, what comes only after something else, and how a drill is counted."""
    document = document_of("seated_row")
    changed = after(
        document,
        opens_part="yes",
        after_any="easy_rolling",
        **{"doses[0].repetitions": "", "doses[0].seconds": "35"},
        **{"doses[0].rounds": "6", "doses[0].rounds_words": "stops"},
    )
    found = exercise_of(changed)
    assert found.opens_part
    assert found.after_any == ("easy_rolling",)
    assert (found.doses[0].rounds, found.doses[0].rounds_words) == (6, "stops")
    emptied = after(changed, opens_part="", after_any="", **{"doses[0].rounds": "", "doses[0].rounds_words": ""})
    assert {"opens_part", "after_any"}.isdisjoint(emptied)
    assert {"rounds", "rounds_words"}.isdisjoint(emptied["doses"][0])


def test_an_exercise_that_is_gone_stays_ticked_until_somebody_takes_it_out() -> None:
    """What the file says is offered beside what there is, so that sending the form back loses nothing."""
    document = document_of("stop_and_turn") | {"after_any": ["easy_rolling", "harbour_lap"]}
    assert after(document)["after_any"] == ["easy_rolling", "harbour_lap"]


@pytest.mark.parametrize(
    ("before", "wanted", "expected"),
    [
        # Flexion is plane 90, extension plane -90; abduction plane 0: docs/how-to/write-an-exercise.md.
        ({"flexion_deg": 62}, "in a plane", {"plane_deg": 90, "elevation_deg": 62}),
        ({"flexion_deg": -24}, "in a plane", {"plane_deg": -90, "elevation_deg": 24}),
        ({"abduction_deg": 80}, "in a plane", {"plane_deg": 0, "elevation_deg": 80}),
    ],
)
def test_another_form_of_a_shoulder_says_the_same_pose(before: Document, wanted: str, expected: Document) -> None:
    """Core reads both forms as one pose."""
    document = document_of("seated_row")
    document["poses"][0]["both"]["shoulder"] = before | {"rotation_deg": 5}
    changed = after(document, **{"poses[0].both:posed": wanted})
    assert changed["poses"][0]["both"]["shoulder"] == expected | {"rotation_deg": 5}
    assert exercise_of(changed).poses[0].working == exercise_of(document).poses[0].working


def test_arms_one_by_one_begin_alike() -> None:
    """Parting the arms changes no pose; putting them together takes the working arm."""
    document = document_of("seated_row")
    parted = after(document, **{"poses[0]:arms": "one by one"})
    assert exercise_of(parted).poses == exercise_of(document).poses
    assert "both" not in parted["poses"][0]
    bent = after(parted, **{"poses[0].working.elbow_deg": "40"})
    assert bent["poses"][0]["other"]["elbow_deg"] == 12
    assert after(bent, **{"poses[0]:arms": "both alike"})["poses"][0]["both"]["elbow_deg"] == 40


def test_a_hand_can_be_held_somewhere_and_let_go() -> None:
    """Angles make room for a place, and come back; core reads each."""
    document = document_of("seated_row")
    held = after(document, **{"poses[1].both:posed": "hand held somewhere"})
    assert exercise_of(held).poses[1].working.target is not None
    assert exercise_of(after(held, **{"poses[1].both:posed": "forward or back"})).poses[1].working.target is None


@pytest.mark.parametrize("wanted", ["none", "fixed to: chair", "fixed to: other hand", "fixed to: post"])
def test_the_band_can_be_fixed_otherwise(wanted: str) -> None:
    """Each way has the fields it needs, so that core can read it at once."""
    changed = after(document_of("external_rotation_side"), **{"band:used": wanted})
    band = exercise_of(changed).band
    assert ("none" if band is None else f"fixed to: {band.fixed_to}") == wanted


def test_what_is_no_number_comes_back_as_it_was_typed() -> None:
    """The reader of core names the field; a comma is a decimal point."""
    changed = after(document_of("seated_row"), **{"poses[0].both.elbow_deg": "a little"})
    assert value_at(changed, "poses[0].both.elbow_deg") == "a little"
    assert 'value="a little"' in render_to_string(
        "exercises/field.html",
        {
            "one": next(
                one
                for section in shown_sections(sections(changed), changed, {})
                for group in section.groups
                for one in group.fields
                if one.field.key == "poses[0].both.elbow_deg"
            )
        },
    )
    assert value_at(after(document_of("seated_row"), circle_deg="7,5"), "circle_deg") == 7.5


def test_rows_are_added_as_the_last_one_and_taken_away() -> None:
    """A new pose begins where the last one ended; an unknown wish changes nothing."""
    document = document_of("seated_row")
    more = with_rows(document, "add:poses")
    assert [each["name"] for each in more["poses"]] == ["start", "end", "end again"]
    assert more["poses"][2]["both"] == document["poses"][1]["both"]
    assert with_rows(more, "remove:poses:2") == document
    for asked in ("remove:poses:9", "remove:poses:-1", "remove:poses:", "add:title", "add:", "nonsense"):
        assert with_rows(document, asked) == document
    many = document
    for _ in range(40):
        many = with_rows(many, "add:doses")
    assert len(many["doses"]) == 12, "a form holds so many rows"


def test_sides_decide_how_doses_are_counted() -> None:
    """One side after the other: every dose is for each side, as the reader of core asks."""
    changed = after(document_of("seated_row"), sides="each")
    assert all(dose.per_side for dose in exercise_of(changed).doses)
    assert exercise_of(after(changed, sides="together")) == exercise_of(document_of("seated_row"))


@given(st.text(max_size=20))
def test_whatever_is_typed_for_a_number_is_a_number_or_itself(text: str) -> None:
    """Nothing that is typed makes an error or gets lost."""
    found = as_number(text)
    if isinstance(found, str):
        assert found in (text.strip(), text.strip().replace("\N{MINUS SIGN}", "-"))
    elif found is None:
        assert not text.strip()
    else:
        assert float(found) == float(text.strip().replace(",", ".").replace("\N{MINUS SIGN}", "-"))


def test_every_field_of_the_library_has_one_place() -> None:
    """No key stands twice in a form."""
    for slug in library():
        keys = [each.key for each in fields_of(sections(document_of(slug)))]
        assert len(keys) == len(set(keys))


def test_taking_a_value_away_leaves_no_trace() -> None:
    """What is not there cannot be taken away, and makes no empty table."""
    document: Document = {}
    put(document, "ball.largest_mass_kg", None)
    assert document == {}
