"""The contact sheet: every exercise once, in the order of the parts, drawn alike however many processes draw."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from firstpush.core.checks.bodies import reference_venue
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.court import ONE_LANE
from firstpush.sheets.catalogue import (
    Catalogue,
    catalogue_pdf,
    make_catalogue,
    reference_case,
    write_catalogue,
)

NAMES = ("graded_push_lengths", "seated_row", "ball_circles", "chest_stretch_post")
"""One of each part, against the order of the parts."""


@cache
def catalogue(workers: int = 2) -> Catalogue:
    """Return the contact sheet of the four."""
    exercises = [exercise_named(name) for name in NAMES]
    return make_catalogue(reference_case(), exercises, program_version="0.1.0", workers=workers)


def words_of(pdf: bytes) -> str:
    """Return all words, without the places where a long one may break."""
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    return re.sub(r"\s+", " ", text.replace("\xad", ""))


def alts(pdf: bytes) -> list[str]:
    """Return the words of every figure, in reading order."""

    def walk(node: Any) -> list[str]:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            return [each for kid in node for each in walk(kid)]
        if not isinstance(node, dict):
            return []
        own = [str(node["/Alt"])] if node.get("/S") == "/Figure" else []
        return own + walk(node.get("/K"))

    return walk(PdfReader(io.BytesIO(pdf)).root_object["/StructTreeRoot"])


def test_parts_follow_their_order_and_every_exercise_stands_once() -> None:
    """Mobility, strength, control, court; each with its title and its id."""
    words = words_of(catalogue_pdf(catalogue()))
    places = [words.index(part) for part in ("Mobility", "Strength", "Control", "Court")]
    assert places == sorted(places)
    for name in NAMES:
        assert words.count(exercise_named(name).title) == 1
        assert words.count(name) == 1
    assert "4 exercises" in words


def test_every_drawing_is_described() -> None:
    """Each exercise has a figure that tells what it shows, in the order of the page."""
    found = alts(catalogue_pdf(catalogue()))
    assert found == [entry.figure_alt for entry in catalogue().entries]
    for entry, said in zip(catalogue().entries, found, strict=True):
        whole = exercise_named(entry.exercise).summary
        # Where nothing may be pulled backwards, how it is laid stands in place of the end of the sentence.
        in_one_lane = f"{whole.partition(';')[0].rstrip('.')}; {ONE_LANE}."
        assert whole in said or in_one_lane in said


def test_drawings_carry_no_dimensions() -> None:
    """Nothing is lettered but the poses: the movement is judged, not the set-up."""
    for entry in catalogue().entries:
        lettering = re.findall(r"<text[^>]*>([^<]*)</text>", entry.figure_svg)
        assert not [words for words in lettering if re.search(r"\d\.\d| m$", words)], entry.exercise
        assert {"1", "2"} <= set(lettering), entry.exercise


def test_one_process_draws_what_two_draw() -> None:
    """Order and drawings do not depend on how many draw."""
    assert catalogue(workers=1) == catalogue(workers=2)


def test_pages_are_a3_and_tagged() -> None:
    """ISO 216: A3 is 297 × 420 mm (from memory)."""
    found = PdfReader(io.BytesIO(catalogue_pdf(catalogue())))
    assert re.search(rb"pdfuaid:part(=\"1\"|>1<)", found.root_object["/Metadata"].get_object().get_data())
    box = found.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((297 * 72 / 25.4, 420 * 72 / 25.4), abs=0.01)


def test_an_exercise_that_cannot_be_set_up_is_drawn_bare_and_says_why() -> None:
    """Without bands a row is still drawn, and the sheet says that its set-up is missing."""
    case = reference_case()
    without = circumstances(case.athlete, replace(case.kit, bands=()), reference_venue())
    made = make_catalogue(without, [exercise_named("seated_row")], program_version="0.1.0", workers=1)
    (entry,) = made.entries
    assert "band" in entry.reason
    assert entry.figure_svg.lstrip().startswith("<svg")
    assert entry.figure_alt.startswith("Start and end, without a band.")
    assert f"drawn without its set-up: {entry.reason}." in words_of(catalogue_pdf(made))
    assert entry.figure_svg != next(e.figure_svg for e in catalogue().entries if e.exercise == "seated_row")


def test_progress_counts_every_exercise() -> None:
    """Who watches is told after each drawing, up to all of them."""
    told: list[tuple[int, int]] = []
    make_catalogue(
        reference_case(),
        [exercise_named("graded_push_lengths"), exercise_named("chest_stretch_post")],
        program_version="0.1.0",
        workers=1,
        progress=lambda done, of: told.append((done, of)),
    )
    assert told == [(1, 2), (2, 2)]


def test_nothing_to_draw_is_refused_and_nothing_written(tmp_path: Path) -> None:
    """An empty library makes no file."""
    with pytest.raises(OutOfRangeError, match="no exercise was given to draw"):
        write_catalogue(replace(catalogue(), entries=()), tmp_path / "out" / "catalogue.pdf")
    assert not (tmp_path / "out").exists()
    write_catalogue(catalogue(), tmp_path / "out" / "catalogue.pdf")
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["catalogue.pdf"]
