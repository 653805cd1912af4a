"""The contact sheet of the library: every exercise with its drawing, made to judge the drawings at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from firstpush.core.checks.bodies import grid_of_athletes, reference_kit, reference_venue
from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import PARTS, Exercise, Part
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.sheets.drawn import WORKERS, Progress, draw_exercises, is_chain
from firstpush.sheets.typeset import typeset_pdf

FIGURE_MM = (86.0, 58.0)
"""Of one exercise, start and end beside each other: three stand in a row on A3."""
CHAIN_WIDTH_MM = 2 * FIGURE_MM[0] + 4.0
"""A chain has a picture for every pose and takes two places of a row."""
REFERENCE_BODY = "1.66 m, female, court chair"


@dataclass(frozen=True, kw_only=True)
class CatalogueEntry:
    """One exercise on the contact sheet.

    Parameters
    ----------
    exercise, title, part
    figure_svg, figure_alt : str
        The drawing and what it shows; both empty where it cannot be posed.
    places : int
        Of a row: 2 for a chain.
    reason : str
        Why it is drawn without its band, or not at all, as a clause without a full stop; empty where it is whole.
    """

    exercise: str
    title: str
    part: Part
    figure_svg: str
    figure_alt: str
    places: int = 1
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Catalogue:
    """The contact sheet as finished words: drawn for one body, in one venue, entries by part."""

    body: str
    venue: str
    program_version: str
    entries: tuple[CatalogueEntry, ...]


def reference_case() -> Circumstances:
    """Return the body, cupboard and hall that the contact sheet is drawn for by default."""
    athlete = next(each for each in grid_of_athletes() if each.name == REFERENCE_BODY)
    return circumstances(athlete, reference_kit(), reference_venue())


def make_catalogue(
    case: Circumstances,
    exercises: Sequence[Exercise],
    *,
    program_version: str,
    workers: int = WORKERS,
    progress: Progress | None = None,
) -> Catalogue:
    """Draw every exercise for one body; the parts in their order, within them the order given.

    Parameters
    ----------
    case : Circumstances
    exercises : sequence of Exercise
    program_version : str
        For the foot of each page.
    workers : int
        Processes that draw; started anew, so a script needs the usual guard of its main part.
    progress : callable, optional
        Told how many are drawn, of how many.
    """
    width, height = FIGURE_MM
    by_part = sorted(exercises, key=lambda exercise: PARTS.index(exercise.part))
    drawn = draw_exercises(
        case,
        by_part,
        width_mm=width,
        height_mm=height,
        dimensions=False,
        without_setup=True,
        chain_width_mm=CHAIN_WIDTH_MM,
        workers=workers,
        progress=progress,
    )
    return Catalogue(
        body=case.athlete.name,
        venue=case.venue.name,
        program_version=program_version,
        entries=tuple(
            CatalogueEntry(
                exercise=each.exercise.id,
                title=each.exercise.title,
                part=each.exercise.part,
                figure_svg=each.svg,
                figure_alt=each.words,
                places=2 if is_chain(each.exercise) else 1,
                reason=each.reason,
            )
            for each in drawn
        ),
    )


def catalogue_pdf(catalogue: Catalogue, *, document_date: date | None = None) -> bytes:
    """Return the contact sheet as a tagged PDF, A3.

    Parameters
    ----------
    catalogue : Catalogue
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none.

    Raises
    ------
    OutOfRangeError
        When there is no exercise, or a letter is in none of the fonts.
    """
    if not catalogue.entries:
        raise OutOfRangeError("no exercise was given to draw; at least one is needed; give the exercises of a library.")
    parts = [
        {"name": part, "entries": [asdict(each) for each in catalogue.entries if each.part == part]} for part in PARTS
    ]
    data = {
        "title": "Exercises, drawn",
        "body": catalogue.body,
        "venue": catalogue.venue,
        "count": len(catalogue.entries),
        "foot": f"Firstpush {catalogue.program_version}",
        "figure_mm": list(FIGURE_MM),
        "parts": [part for part in parts if part["entries"]],
    }
    return typeset_pdf("catalogue.typ", data, document_date=document_date)


def write_catalogue(catalogue: Catalogue, path: Path) -> None:
    """Write the contact sheet to `path`; whole, or not at all."""
    pdf = catalogue_pdf(catalogue)
    path.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=path.parent, prefix=".making-") as temporary:
        making = Path(temporary) / path.name
        making.write_bytes(pdf)
        making.replace(path)
