"""Typst as one function: a template and its data in, a tagged PDF out; the same data gives the same bytes."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

from firstpush.core.errors import OutOfRangeError

if TYPE_CHECKING:
    from typst import Fonts

_MISSING_GLYPH = "could not be displayed with font"


def typeset_pdf(template: str, data: dict[str, Any], *, document_date: date | None = None) -> bytes:
    """Return `data` laid out by a template, as a PDF 1.7 that says it conforms to PDF/UA-1.

    Parameters
    ----------
    template : str
        File name in `templates/`.
    data : dict
        Plain data; the template reads it as JSON.
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none. The clock is never read.

    Raises
    ------
    OutOfRangeError
        When a letter is in none of the fonts, this computer's included.
    """
    import typst

    written = json.dumps(
        data
        | {"date": None if document_date is None else [document_date.year, document_date.month, document_date.day]},
        ensure_ascii=False,
    )
    stamp = None if document_date is None else datetime(*document_date.timetuple()[:3], tzinfo=UTC)

    def compiled(fonts: Fonts) -> bytes:
        with as_file(files(__package__) / "templates") as folder:
            return typst.compile(
                folder / template,
                root=folder,
                font_paths=fonts,
                format="pdf",
                pdf_standards="ua-1",
                sys_inputs={"data": written},
                timestamp=stamp,
            )

    try:
        return compiled(_own_fonts())
    except typst.TypstError as error:
        if _MISSING_GLYPH not in str(error):
            raise
    # A name in a script that the shipped font lacks: this computer's fonts may have it. Only then are they read,
    # because the paper must look the same everywhere.
    try:
        return compiled(_every_font())
    except typst.TypstError as error:
        if _MISSING_GLYPH not in str(error):
            raise
        raise OutOfRangeError(
            f"a letter on the sheet has no drawn form ({error.message}); "
            "allowed are letters that a font on this computer has; "
            "install such a font, or write the name in Latin letters."
        ) from None


@cache
def _own_fonts() -> Fonts:
    return _fonts(system=False)


@cache
def _every_font() -> Fonts:
    return _fonts(system=True)


def _fonts(*, system: bool) -> Fonts:
    import typst

    with as_file(files(__package__) / "fonts") as folder:
        return typst.Fonts(include_system_fonts=system, font_paths=[str(folder)])
