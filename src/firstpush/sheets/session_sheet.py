"""The printed session: A4, PDF/UA-1, by Typst; the same content gives the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from firstpush.core.errors import OutOfRangeError
from firstpush.sheets.content import SheetContent, timeline_words
from firstpush.sheets.typeset import typeset_pdf


@dataclass(frozen=True, kw_only=True)
class CourtCode:
    """A code that opens the session on a phone.

    Parameters
    ----------
    svg : str
        The code without a rim.
    words : str
        What it does and until when, in one short sentence.
    """

    svg: str
    words: str


def session_pdf(
    content: SheetContent | Sequence[SheetContent],
    *,
    document_date: date | None = None,
    court_code: CourtCode | None = None,
) -> bytes:
    """Return the session as a tagged PDF; several versions follow each other, each with its own page numbers.

    Parameters
    ----------
    content : SheetContent, or a sequence of them
        The versions in the order of printing: the athlete's sheet first, then the practitioner's copy.
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none. The clock is never read.
    court_code : CourtCode, optional
        Stands at the foot of the athlete's sheet.

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
    data: dict[str, Any] = {
        "title": f"{_capital(versions[0].kind)} for {versions[0].athlete_name}",
        "sheets": [_plain(version) for version in versions],
    }
    if court_code is not None:
        data["court_code"] = asdict(court_code)
    return typeset_pdf("session.typ", data, document_date=document_date)


def _plain(content: SheetContent) -> dict[str, Any]:
    plain = asdict(content)
    plain["timeline_words"] = timeline_words(content.timeline)
    plain["kind"] = _capital(content.kind)
    return plain


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
