"""Everything of a day on paper: all sheets in one document, all cards in another."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from firstpush.sheets.cards import cards_pdf
from firstpush.sheets.content import Version
from firstpush.sheets.session_sheet import session_pdf
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.print_views import card_deck, sheet_content

PAPERS: dict[str, tuple[Version, ...]] = {
    "athletes": ("athlete",),
    "practitioner": ("practitioner",),
    "both": ("athlete", "practitioner"),
    "cards": (),
}
"""What can be printed: whose sheets, or a card for each exercise."""


def day_pdf(versions: Sequence[PlanVersion], *, paper: str, day: date) -> bytes:
    """Return the sheets or cards of `versions`, in their order, as one PDF.

    Parameters
    ----------
    versions : sequence of PlanVersion
        One for each athlete.
    paper : str
        One of `PAPERS`; with both, each athlete's sheet is followed by the practitioner's copy.
    day : date

    Raises
    ------
    FirstpushError
        When there is nothing to print, or a drawing can no longer be made as the words tell it.
    """
    if paper == "cards":
        return cards_pdf([card_deck(version) for version in versions], version="athlete", document_date=day)
    contents = [sheet_content(version, which) for version in versions for which in PAPERS[paper]]
    return session_pdf(contents, document_date=day)
