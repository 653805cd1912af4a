"""Taking entries in: each is kept once, letter by letter, and named as kept only after it was read back."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from firstpush.core.errors import EntryError
from firstpush.core.progress.entries import Entry, read_entry
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.oncourt.models import CameBy, CourtEntry, SetAside, Why
from firstpush.web.oncourt.sender import Sender
from firstpush.web.oncourt.signals import entries_kept
from firstpush.web.sessions.models import PlanVersion

MOST_AT_ONCE = 200
"""Entries in one sending; a session has far fewer."""
FILE_FORMAT = "firstpush entries 1"
"""A file of entries: ``{"format": "firstpush entries 1", "entries": [text, ...]}``."""
LONGEST_SET_ASIDE = 20_000
"""What is no entry is kept up to here [characters]."""

NOT_ALLOWED = (
    "it is about a session that this login or link may not do, or that is not there. Allowed: sessions of the own "
    "club; an athlete's own. It is set aside at home for somebody to look at."
)
OTHER_CONTENT = "another entry with this id is at home already. Both are kept; somebody looks at it there."
PLACE_TAKEN = (
    "another entry stands at this place of the run. Both are kept; somebody looks at it there. Most likely a copy of "
    "this device's memory was used on another device."
)


@dataclass(frozen=True, kw_only=True)
class NotKept:
    """A text that is no new entry: its id where it has one, why, and whether the right club has it set aside now.

    What this sender may not send lies with the club of the sender, who may be the wrong one: the device must go on
    keeping it, for somebody else to bring home.
    """

    id: str | None
    why: str
    aside: bool = True


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What became of what was sent; an entry that is in none of the three was not kept, and is to be sent again.

    Parameters
    ----------
    kept : tuple of str
        Ids of what stands in the database letter by letter, in the order sent, each once.
    new : int
        How many of these were not there before.
    conflicts, refused : tuple of NotKept
        Set aside, each once however often it is sent.
    """

    kept: tuple[str, ...]
    new: int
    conflicts: tuple[NotKept, ...]
    refused: tuple[NotKept, ...]


@dataclass(frozen=True, kw_only=True)
class _Sent:
    """One text that was sent, with what it reads as, or why it does not."""

    text: str
    digest: str
    entry: Entry | None
    fault: str

    @property
    def id(self) -> str | None:
        return _id_in(self.text) if self.entry is None else str(self.entry.id)


def keep(texts: Sequence[str], who: Sender, *, came_by: CameBy = CameBy.PAGE) -> Answer:
    """Take in what was sent, in one transaction; sending the same again changes nothing.

    Parameters
    ----------
    texts : sequence of str
        Entries as they were made.
    who : Sender
        Who sends them: what is about anybody else's sessions is refused.
    came_by : CameBy
    """
    sent = [_read(text) for text in dict.fromkeys(texts)]
    with transaction.atomic():
        versions = _versions(sent, who)
        mine = [each for each in sent if each.entry is not None and _key(each.entry) in versions]
        before = _at_home(mine)
        rows = [_row(each, versions, who, came_by) for each in mine if each.entry and each.entry.id not in before]
        CourtEntry.objects.bulk_create(rows, ignore_conflicts=True)
        # To insert and ignore hides why something was not inserted: only what is read back counts.
        by_id = _at_home(mine)
        by_place = _at_places(mine)
        kept, conflicts, refused, aside = [], [], [], []
        for each in sent:
            if each.entry is None:
                refused.append(NotKept(id=each.id, why=each.fault))
                aside.append(_aside(each, Why.UNREADABLE, each.fault, who, came_by))
            elif _key(each.entry) not in versions:
                refused.append(NotKept(id=each.id, why=NOT_ALLOWED, aside=False))
                aside.append(_aside(each, Why.NOT_ALLOWED, NOT_ALLOWED, who, came_by))
            elif by_id.get(each.entry.id) == each.text:
                kept.append(str(each.entry.id))
            elif each.entry.id in by_id:
                conflicts.append(NotKept(id=each.id, why=OTHER_CONTENT))
                aside.append(_aside(each, Why.OTHER_CONTENT, OTHER_CONTENT, who, came_by, against=each.entry.id))
            elif (there := by_place.get((each.entry.run, each.entry.sequence))) is not None:
                conflicts.append(NotKept(id=each.id, why=PLACE_TAKEN))
                aside.append(_aside(each, Why.PLACE_TAKEN, PLACE_TAKEN, who, came_by, against=there))
        SetAside.objects.bulk_create(aside, ignore_conflicts=True)
    if rows:
        entries_kept.send(sender=CourtEntry, rows=rows)
    return Answer(
        kept=tuple(kept),
        new=sum(UUID(id_) not in before for id_ in kept),
        conflicts=tuple(conflicts),
        refused=tuple(refused),
    )


def texts_of_file(content: bytes) -> list[str]:
    """Return the entries in a file that a page gave out.

    Raises
    ------
    EntryError
        When it is no such file.
    """
    try:
        given = json.loads(content.decode("utf-8"))
    except (ValueError, RecursionError):
        given = None
    texts = given.get("entries") if isinstance(given, dict) and given.get("format") == FILE_FORMAT else None
    if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
        raise EntryError(
            f'this is no file of entries. Allowed: a file with "format": "{FILE_FORMAT}", as the page of a session '
            "gives it out. Choose that file, and do not open it in another program before."
        )
    return texts


def file_of(texts: Iterable[str]) -> str:
    """Return the text of a file with these entries."""
    return json.dumps({"format": FILE_FORMAT, "entries": list(texts)}, ensure_ascii=False, indent=1) + "\n"


def _read(text: str) -> _Sent:
    # A lone half of a letter pair cannot be stored, nor can an entry hold one as it was made.
    storable = text.encode("utf-8", "backslashreplace").decode("utf-8")
    digest = hashlib.sha256(storable.encode()).hexdigest()
    try:
        if storable != text:
            raise EntryError("an entry holds half a letter; take the file as the page gave it out.")
        return _Sent(text=text, digest=digest, entry=read_entry(text), fault="")
    except EntryError as error:
        return _Sent(text=storable, digest=digest, entry=None, fault=str(error))


def _key(entry: Entry) -> tuple[int, int, int]:
    return entry.plan, entry.version, entry.athlete


def _versions(sent: Iterable[_Sent], who: Sender) -> dict[tuple[int, int, int], int]:
    """Return the versions that entries are about and that `who` may do, by plan, number and athlete."""
    plans = {each.entry.plan for each in sent if each.entry is not None}
    allowed = who.plans().filter(pk__in=plans).values("pk")
    rows = PlanVersion.objects.filter(plan__in=allowed).values_list("plan_id", "number", "plan__athlete_id", "pk")
    return {(plan, number, athlete): pk for plan, number, athlete, pk in rows}


def _at_home(sent: Iterable[_Sent]) -> dict[UUID, str]:
    ids = [each.entry.id for each in sent if each.entry is not None]
    return dict(CourtEntry.objects.filter(pk__in=ids).values_list("pk", "text"))


def _at_places(sent: Iterable[_Sent]) -> dict[tuple[UUID, int], UUID]:
    runs = {each.entry.run for each in sent if each.entry is not None}
    rows = CourtEntry.objects.filter(run__in=runs).values_list("run", "sequence", "pk")
    return {(run, sequence): pk for run, sequence, pk in rows}


def _row(each: _Sent, versions: dict[tuple[int, int, int], int], who: Sender, came_by: CameBy) -> CourtEntry:
    entry = each.entry
    assert entry is not None, "only what was read becomes a row"
    return CourtEntry(
        id=entry.id,
        run=entry.run,
        sequence=entry.sequence,
        athlete_id=entry.athlete,
        version_id=versions[_key(entry)],
        kind=entry.kind,
        exercise=(entry.exercise or "")[:120],
        at=entry.at,
        zone=_zone_in(each.text),
        text=each.text,
        digest=each.digest,
        corrects=entry.corrects,
        late=entry.values.get("late") is True,
        received_at=timezone.now(),
        account=who.account,
        link=who.link,
        came_by=came_by,
    )


def _aside(each: _Sent, why: Why, said: str, who: Sender, came_by: CameBy, *, against: UUID | None = None) -> SetAside:
    return SetAside(
        club=who.club,
        athlete_id=_whom(each, who),
        text=each.text[:LONGEST_SET_ASIDE],
        digest=each.digest,
        why=why,
        said=said[:LONGEST_SET_ASIDE],
        against_id=against,
        received_at=timezone.now(),
        account=who.account,
        came_by=came_by,
    )


def _whom(each: _Sent, who: Sender) -> int | None:
    """Return the athlete whom a text is about, as far as it says so; else the one whom its sender can be about."""
    named = each.entry.athlete if each.entry is not None else None
    if named is None and (found := re.search(r'"athlete"\s*:\s*(\d{1,15})\b', each.text)):
        named = int(found[1])
    if named is not None and AthleteRecord.objects.filter(pk=named).exists():
        return named
    return who.own_athlete_id


def _id_in(text: str) -> str | None:
    found = re.search(r'"id"\s*:\s*"([0-9a-fA-F-]{36})"', text)
    return None if found is None else found[1]


def _zone_in(text: str) -> str:
    found = re.search(r"(Z|[+-]\d\d(:?\d\d(:?\d\d)?)?)$", str(json.loads(text)["at"]), re.IGNORECASE)
    return "" if found is None else found[1]
