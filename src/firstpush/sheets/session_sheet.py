"""The printed session: A4, PDF/UA-1, by Typst; the same content gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

from firstpush.core.errors import OutOfRangeError
from firstpush.sheets.content import SheetContent, timeline_words

if TYPE_CHECKING:
    from typst import Fonts

_MISSING_GLYPH = "could not be displayed with font"


def session_pdf(content: SheetContent | Sequence[SheetContent], *, document_date: date | None = None) -> bytes:
    """Return the session as a tagged PDF; several versions follow each other, each with its own page numbers.

    Parameters
    ----------
    content : SheetContent, or a sequence of them
        The versions in the order of printing: the athlete's sheet first, then the practitioner's copy.
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none. The clock is never read.

    Returns
    -------
    bytes
        A PDF 1.7 that says it conforms to PDF/UA-1.

    Raises
    ------
    OutOfRangeError
        When nothing is given to print, or a letter is in none of the fonts, this computer's included.

    Holds for
        Text written from left to right, in English; names in any script that a font on this computer has.
    """
    versions = (content,) if isinstance(content, SheetContent) else tuple(content)
    if not versions:
        raise OutOfRangeError("no sheet was given to print; at least one is needed; give the athlete's sheet.")
    data = {
        "title": f"{_capital(versions[0].kind)} for {versions[0].athlete_name}",
        "date": None if document_date is None else [document_date.year, document_date.month, document_date.day],
        "sheets": [_plain(version) for version in versions],
    }
    return _compile(json.dumps(data, ensure_ascii=False), document_date)


def _plain(content: SheetContent) -> dict[str, Any]:
    plain = asdict(content)
    plain["timeline_words"] = timeline_words(content.timeline)
    plain["kind"] = _capital(content.kind)
    return plain


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _compile(data: str, document_date: date | None) -> bytes:
    import typst

    stamp = None if document_date is None else datetime(*document_date.timetuple()[:3], tzinfo=UTC)

    def compiled(fonts: Fonts) -> bytes:
        with as_file(files(__package__) / "templates") as folder:
            return typst.compile(
                folder / "session.typ",
                root=folder,
                font_paths=fonts,
                format="pdf",
                pdf_standards="ua-1",
                sys_inputs={"data": data},
                timestamp=stamp,
            )

    try:
        return compiled(_own_fonts())
    except typst.TypstError as error:
        if _MISSING_GLYPH not in str(error):
            raise
    # A name in a script that the shipped font lacks: this computer's fonts may have it. Only then are they read,
    # because the sheet must look the same everywhere.
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
