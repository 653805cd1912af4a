"""What cupboards and venues have in common: history, copies, files."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import tomli_w
from django import forms
from django.db import transaction
from django.db.models import QuerySet
from django.utils.formats import date_format

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.kit.kit_file import kit_from_text
from firstpush.core.kit.venue_file import venue_from_text
from firstpush.core.toml_file import as_toml_file
from firstpush.web import access
from firstpush.web.access import Need, User
from firstpush.web.club.models import Account, Club
from firstpush.web.documents import Version
from firstpush.web.kit.changes import what_changed
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.kit.wear import follow_names

What = Literal["kit", "venue"]
Record = KitRecord | VenueRecord
MOST_BYTES = 200_000
FILE_WORDS = {"kit": "cupboard", "venue": "venue"}
_READ: dict[What, Callable[..., object]] = {"kit": kit_from_text, "venue": venue_from_text}


def record_for(user: User, what: What, id_: int, *, to: Need = "read") -> Record:
    """Return a cupboard or a venue of the club."""
    if what == "kit":
        return access.kit_for(user, id_, to=to)
    return access.venue_for(user, id_, to=to)


def records_for(user: User, what: What) -> QuerySet[KitRecord] | QuerySet[VenueRecord]:
    """Return the cupboards or the venues of the club."""
    return access.kits_for(user) if what == "kit" else access.venues_for(user)


def new_record(what: What, club: Club) -> Record:
    """Return an empty record of `club`, not stored yet."""
    return KitRecord(club=club) if what == "kit" else VenueRecord(club=club)


@dataclass(frozen=True, kw_only=True)
class HistoryEntry:
    """A version, and what it changed."""

    version: Version
    changes: list[str]


def history_of(record: Record) -> list[HistoryEntry]:
    """Return every version of `record`, newest first."""
    entries: list[HistoryEntry] = []
    before: dict[str, Any] | None = None
    versions: list[Any] = list(record.versions.select_related("made_by"))
    for version in versions:
        changes = ["begun"] if before is None else what_changed(before, version.document) or ["saved without a change"]
        entries.append(HistoryEntry(version=version, changes=changes))
        before = version.document
    return entries[::-1]


def last_change(record: Record) -> HistoryEntry:
    """Return the newest version of `record`, and what it changed."""
    newest, *older = record.versions.select_related("made_by").order_by("-number")[:2]
    changes = what_changed(older[0].document, newest.document) if older else ["begun"]
    return HistoryEntry(version=newest, changes=changes or ["saved without a change"])


def restore(record: Record, number: int, *, by: Account) -> bool:
    """Save the version `number` as the newest; return whether there is one."""
    version = record.versions.filter(number=number).first()
    if version is None:
        return False
    before = record.document
    with transaction.atomic():
        record.save_document(version.document, by=by, why=f"as in version {number}")
        if isinstance(record, KitRecord):
            follow_names(record, before=before, after=record.document)
    return True


def copy_of(record: Record, *, by: Account, taken: set[str]) -> Record:
    """Return a stored copy of `record` under a name that is not in `taken`, without what was withdrawn."""
    document = record.document_in_use() if isinstance(record, KitRecord) else copy.deepcopy(record.document)
    name = f"{record.name}, copy"
    number = 2
    while name in taken:
        name, number = f"{record.name}, copy {number}", number + 1
    made: Record = KitRecord(club=record.club) if isinstance(record, KitRecord) else VenueRecord(club=record.club)
    made.save_document(document | {"name": name}, by=by, why=f"copy of {record.name}")
    return made


# Files


def file_text(record: Record, *, in_use: bool = False) -> str:
    """Return `record` as the text of its file, with a head that says which version it is."""
    newest = record.versions.order_by("-number").first()
    assert newest is not None
    lines = [f"{record.name}, {record.club}: version {newest.number} of {date_format(newest.made_at, 'j F Y, H:i')}."]
    document = record.document
    if isinstance(record, KitRecord):
        out = list(record.withdrawals.filter(brought_back_on=None))
        if in_use:
            document = record.document_in_use()
        elif out:
            lines.append("Withdrawn, and still counted here:")
            lines += [f"  {each.count} x {each.band}, {date_format(each.day, 'j F Y')}: {each.reason}" for each in out]
    head = "".join(f"# {' '.join(line.split())}\n" for line in lines)
    return f"{head}\n{tomli_w.dumps(as_toml_file(document, where='').data)}"


def file_name(record: Record, what: What) -> str:
    """Return a name for the file that every system can store."""
    plain = re.sub(r"[^a-z0-9]+", "_", record.name.casefold()).strip("_")
    return f"{plain or f'{what}_{record.pk}'}.toml"


class FileForm(forms.Form):
    """A file, or its text."""

    file = forms.FileField(required=False, label="File", widget=forms.FileInput(attrs={"accept": ".toml,text/plain"}))
    text = forms.CharField(
        required=False,
        strip=False,
        label="Or its text",
        widget=forms.Textarea(attrs={"rows": 16, "spellcheck": "false", "autocapitalize": "none"}),
    )

    def clean(self) -> dict[str, Any]:
        """Put the text of the file, or what was typed, into `text`."""
        cleaned = super().clean() or self.cleaned_data
        file = cleaned.get("file")
        if file is not None and file.size > MOST_BYTES:
            self.add_error("file", f"This file is too long for one. Allowed: {MOST_BYTES // 1000} kB. Choose another.")
        elif file is not None:
            self._take(file.read())
        elif not str(cleaned.get("text") or "").strip():
            self.add_error("file", "Choose a file, or put its text into the field below.")
        return cleaned

    def _take(self, content: bytes) -> None:
        try:
            self.cleaned_data["text"] = content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = content[: error.start].count(b"\n") + 1
            self.add_error("file", f"Line {line} holds a sign that is not UTF-8. Save the file again as UTF-8.")

    @property
    def name(self) -> str:
        """What faults name as the file."""
        file = self.files.get("file")
        return "the text" if file is None else str(file.name)


@dataclass(frozen=True, kw_only=True)
class ShownFault:
    """A fault of a file, and the line that it is in."""

    fault: Fault
    text: str


def read_file(what: What, text: str, *, name: str) -> dict[str, Any]:
    """Return the document that `text` holds, after core has found no fault in it.

    Raises
    ------
    InputFileError
        With every fault and its line.
    """
    _READ[what](text, where=name)
    document = tomllib.loads(text)
    if len(str(document["name"])) > 120:
        long = f"{len(document['name'])} signs are too many for a name"
        raise InputFileError(
            [Fault(file=name, line=None, key="name", wrong=long, allowed="120 signs", next_step="Shorten it")]
        )
    return document


def shown_faults(error: InputFileError, text: str) -> list[ShownFault]:
    """Return the faults of a file beside the text of their lines."""
    lines = text.splitlines()
    return [
        ShownFault(
            fault=fault,
            text=lines[fault.line - 1].strip() if fault.line is not None and fault.line <= len(lines) else "",
        )
        for fault in error.faults
    ]
