"""Everything of a day on paper: all sheets in one document, all cards in another."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from firstpush.sheets.cards import cards_pdf
from firstpush.sheets.content import Version
from firstpush.sheets.session_sheet import session_pdf
from firstpush.web.reckoned import Reckoned, version_key
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.print_views import card_deck, sheet_content, start_words

PAPERS: dict[str, tuple[Version, ...]] = {
    "athletes": ("athlete",),
    "practitioner": ("practitioner",),
    "both": ("athlete", "practitioner"),
    "cards": (),
}
"""What can be printed: whose sheets, or a card for each exercise."""


KEPT: Reckoned[bytes] = Reckoned(most=4)
"""In memory alone: on disk it would have to go with every athlete who is in it.  Some megabytes each."""


def day_pdf(
    versions: Sequence[PlanVersion], *, paper: str, day: date, told: Callable[[str], None] = lambda _: None
) -> bytes:
    """Return the sheets or cards of `versions`, in their order, as one PDF; the same is not made twice.

    Parameters
    ----------
    versions : sequence of PlanVersion
        One for each athlete.
    paper : str
        One of `PAPERS`; with both, each athlete's sheet is followed by the practitioner's copy.
    day : date
    told : callable, optional
        Told "drawing" and "setting" when they begin.

    Raises
    ------
    FirstpushError
        When there is nothing to print, or a drawing can no longer be made as the words tell it.
    """
    # Beside the versions, which never change, a sheet says when its athlete starts.
    key = (paper, day, tuple((version_key(version), start_words(version)) for version in versions))
    return KEPT.of(key, lambda: _made(versions, paper, day, told))


def _made(versions: Sequence[PlanVersion], paper: str, day: date, told: Callable[[str], None]) -> bytes:
    told("drawing")
    if paper == "cards":
        decks = [card_deck(version) for version in versions]
        told("setting")
        return cards_pdf(decks, version="athlete", document_date=day)
    contents = [sheet_content(version, which) for version in versions for which in PAPERS[paper]]
    told("setting")
    return session_pdf(contents, document_date=day)
