"""The printed session: A4, PDF/UA-1, by Typst; the same content gives the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from firstpush.core.errors import OutOfRangeError
from firstpush.sheets.content import SheetContent, timeline_words
from firstpush.sheets.typeset import typeset_pdf


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
        "sheets": [_plain(version) for version in versions],
    }
    return typeset_pdf("session.typ", data, document_date=document_date)


def _plain(content: SheetContent) -> dict[str, Any]:
    plain = asdict(content)
    plain["timeline_words"] = timeline_words(content.timeline)
    plain["kind"] = _capital(content.kind)
    return plain


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
