"""Everything that is stored of one person: to hand over, and to erase."""

from __future__ import annotations

import io
import json
import re
from typing import Any
from uuid import UUID
from zipfile import ZIP_DEFLATED, ZipFile

import tomli_w
from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.contrib.sessions.models import Session
from django.db import connection, transaction

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account, Erasing, Membership
from firstpush.web.sessions.models import PlanVersion

README = """What Firstpush stores of {name} ({club}).

athlete.toml            the athlete file as it is now: body, function, health, chairs
record.json             number on the shirt, when the record was made and changed, the account's name
versions/               every earlier state of the athlete file, with who saved it, when and why
sessions/               every session that was made, with what was asked for
programmes/             every programme that was made, with what was asked for
presence.json           the training days
on-court.json           every entry logged on court, letter by letter, and what was set aside, with when it came in
agreed.json             what was said about exercises after sessions, and the numbers of the rule
speed-and-courses.json  speed tests and times on courses; a row that takes another one back names it

.toml and .json are plain text. Units stand in the names: mass_kg is in kilograms, moment_nm in newton metres.
Lengths are in metres, angles in degrees, times in the zone that stands with them (+00:00 is UTC).
"""


def export_person(record: AthleteRecord) -> bytes:
    """Return everything that is stored of `record` as a zip of readable files."""
    member = Membership.objects.filter(athlete=record).select_related("account").first()
    files: dict[str, str] = {
        "README.txt": README.format(name=record.name, club=record.club),
        "athlete.toml": tomli_w.dumps(record.document),
        "record.json": _json(
            {
                "name": record.name,
                "number": record.number,
                "created_at": record.created_at,
                "changed_at": record.changed_at,
                "withdrawn_at": record.withdrawn_at,
                "account": None if member is None else member.account.username,
                "account_created_at": None if member is None else member.created_at,
                "last_login_at": None if member is None else member.account.last_login,
            }
        ),
        "presence.json": _json(list(record.presences.values("day", "status", "remark"))),
    }
    files["on-court.json"] = _json(_on_court(record))
    files["agreed.json"] = _json(_agreed(record))
    files["speed-and-courses.json"] = _json(_speed_and_courses(record))
    for version in record.versions.select_related("made_by"):
        head = f"# version {version.number}, {version.made_at.isoformat()}, {_author(version.made_by)}"
        why = "".join(f"# {line}\n" for line in version.why.splitlines())
        files[f"versions/{version.number:04}.toml"] = f"{head}\n{why}{tomli_w.dumps(version.document)}"
    for made in PlanVersion.objects.filter(plan__athlete=record).select_related("plan", "made_by"):
        files[f"sessions/{made.plan.number:04}-{made.number:04}.json"] = _json(
            {
                "session": made.plan.number,
                "version": made.number,
                "made_at": made.made_at,
                "made_by": _author(made.made_by),
                "why": made.why,
                "request": made.request,
                "document": made.document,
            }
        )
    for programme in record.programmes.select_related("made_by").defer("figures", "sheet", "calendar"):
        files[f"programmes/{programme.number:04}.json"] = _json(
            {
                "programme": programme.number,
                "made_at": programme.made_at,
                "made_by": _author(programme.made_by),
                "asked": programme.asked,
                "document": programme.document,
            }
        )
    written = io.BytesIO()
    with ZipFile(written, "w", ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return written.getvalue()


def _on_court(record: AthleteRecord) -> dict[str, Any]:
    # Entries stand on athletes, so that their tables are not known where this file is read.
    from firstpush.web.oncourt.models import CourtEntry, SetAside

    entries = CourtEntry.objects.filter(athlete=record).order_by("run", "sequence")
    aside = SetAside.objects.filter(athlete=record, club=record.club).order_by("pk")
    return {
        "format": "firstpush entries 1",
        "entries": list(entries.values_list("text", flat=True)),
        "received": list(entries.values("id", "received_at", "came_by", "account__username")),
        "set_aside": list(aside.values("text", "why", "said", "received_at", "seen_at")),
    }


def _agreed(record: AthleteRecord) -> dict[str, Any]:
    said = ("on", "exercise", "title", "said", "proposed", "because", "reason", "agreed", "run")
    by_whom = ("made_at", "made_by__username")
    return {
        "said": list(record.words.values(*said, *by_whom)),
        "numbers": list(record.rule_numbers.values("numbers", "why", *by_whom)),
    }


def _speed_and_courses(record: AthleteRecord) -> dict[str, Any]:
    row = ("id", "on", "remark", "takes_back", "made_at", "made_by__username")
    time = ("title", "slug", "asked", "time_s", "touches", "bracket_s")
    return {
        "speed_tests": list(record.speed_tests.values(*row, "kind", "measured")),
        "course_times": list(record.course_times.values(*row, *time)),
    }


def erase_person(record: AthleteRecord) -> None:
    """Erase `record` with every version, session and day, and the account that belongs to it; nothing brings it back.

    The triggers that keep versions as they are look at `Erasing`: its row lives only inside this transaction, so that
    no other connection ever sees the lock open.
    """
    with transaction.atomic():
        mark = Erasing.objects.create(what="athlete")
        account = Account.objects.filter(membership__athlete=record).first()
        record.delete()
        if account is not None:
            _erase_account(account)
        mark.delete()
    if connection.settings_dict["NAME"] != ":memory:" and not connection.in_atomic_block:
        # The write-ahead log would keep the old pages until it is used again.
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _erase_account(account: Account) -> None:
    for kept in (AccessAttempt, AccessFailureLog, AccessLog):
        kept.objects.filter(username__iexact=account.username).delete()
    for session in Session.objects.all():
        if session.get_decoded().get("_auth_user_id") == str(account.pk):
            session.delete()
    account.delete()


def file_name(record: AthleteRecord) -> str:
    """Return a name for the export that every system can store."""
    return re.sub(r"[^a-z0-9]+", "-", record.name.casefold()).strip("-") or f"athlete-{record.pk}"


def _author(account: Account | None) -> str:
    return "firstpush" if account is None else account.username


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2, default=_plain) + "\n"


def _plain(value: Any) -> str:
    return str(value) if isinstance(value, UUID) else str(value.isoformat())
