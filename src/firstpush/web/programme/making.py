"""Making a programme of the club: from records and a form to a programme that is kept."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from typing import Any

from django.utils import timezone

from firstpush.core.session.kinds import KindName
from firstpush.sheets.checksum import input_checksum
from firstpush.sheets.make_programme import make_programme
from firstpush.sheets.programme_sheet import ProgrammeContent, programme_pdf
from firstpush.web.access import User
from firstpush.web.after.holds import done_lately
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account
from firstpush.web.exercises.library import club_library
from firstpush.web.programme.bending import Bent
from firstpush.web.programme.forms import asked_document
from firstpush.web.programme.models import Programme
from firstpush.web.sessions.making import case_of, with_inputs
from firstpush.web.sessions.request import SessionRequest

WORDS = {
    "waiting": "Waiting for another programme that is being made",
    "planning": "Choosing exercises and days, then sets and steps of every week",
    "writing": "Writing the sheet",
}
"""What is being done, by the name of the step."""

_ALONE = threading.Lock()
"""A programme takes some seconds of both cores: one after the other."""


def make(
    record: AthleteRecord,
    cleaned: Mapping[str, Any],
    *,
    user: User,
    by: Account,
    told: Callable[[str], None] = lambda _: None,
    bent: Bent | None = None,
) -> Programme:
    """Make the programme that a form asks for, and keep it.

    Parameters
    ----------
    record : AthleteRecord
    cleaned : mapping
        Of a valid `ProgrammeForm`.
    user
        Whose kit and venue they are.
    by : Account
        Who asks.
    told : callable
        Is called with the name of each step as it begins.
    bent : Bent, optional
        What an earlier programme was made from, and what was done of it.

    Raises
    ------
    FirstpushError
        When a document cannot be read, or nothing fits.
    """
    calendar, asked = cleaned["calendar"], asked_document(cleaned)
    kind: KindName = cleaned["kind"]
    request = with_inputs(
        user,
        record,
        SessionRequest(
            minutes=cleaned["minutes"],
            kind=kind,
            on=calendar.start,
            kit_id=asked["kit_id"],
            venue_id=asked["venue_id"],
        ),
    )
    # What was done on court is known by doing; the command is told the same by files of sessions.
    familiar = sorted({id_ for row in done_lately(record, on=timezone.localdate()) for id_ in row["exercises"]})
    if bent is not None:
        # With the same documents and the same that was known, the same exercises come on the same days.
        request, familiar = replace(request, inputs=bent.asked["inputs"]), list(bent.asked["familiar"])
    now = timezone.now()
    told("waiting")
    with _ALONE:
        told("planning")
        made = make_programme(
            case_of(request),
            exercises=club_library(record.club).values(),
            calendar=calendar,
            minutes=cleaned["minutes"],
            kind=kind,
            match_minutes=cleaned["match_minutes"],
            familiar=familiar,
            back_to_front=cleaned["back_to_front"],
            done=None if bent is None else bent.done,
            at=cleaned["at"],
            made_at=now,
        )
    told("writing")
    asked |= {"familiar": familiar, "inputs": dict(request.inputs)}
    # The documents count as the files do that the command is given.
    checksum = input_checksum((), request=json.dumps(asked, sort_keys=True))
    content = replace(made.content, input_checksum=checksum)
    return Programme.add(
        record,
        by=by,
        made={
            "asked": asked,
            "document": made.document | {"input_checksum": checksum},
            "words": _words(content),
            "figures": {item.title: item.figure_svg for page in content.pages for item in page.items},
            "sheet": programme_pdf(content, document_date=timezone.localdate(now)),
            "calendar": made.calendar,
        },
        why="made"
        if bent is None
        else f"bent to what was done in {bent.weeks} weeks"
        if bent.weeks > 1
        else "bent to what was done in the first week",
    )


def _words(content: ProgrammeContent) -> dict[str, Any]:
    """Return what stands on paper as plain data; the drawings are kept beside it, each once."""
    words: dict[str, Any] = json.loads(json.dumps(asdict(content)))
    for page in words["pages"]:
        for item in page["items"]:
            del item["figure_svg"]
    return words
