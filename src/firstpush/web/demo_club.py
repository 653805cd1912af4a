"""The demo club in a data folder: accounts, athletes, kit, venues, and a training day with sessions.

    python -m firstpush.web.demo_club FOLDER     makes whatever sessions are waited for in FOLDER
"""

from __future__ import annotations

import json
import os
import secrets
import sys
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from firstpush.demo.club import club_files
from firstpush.web.errors import WebError
from firstpush.web.serve import set_up_django

if TYPE_CHECKING:
    from firstpush.web.club.models import Account, Club

CLUB = "Slipway Wheels"
ACCOUNTS_FILE = "demo-accounts.json"
ROLES = ("owner", "colleague", "assistant", "athlete")
ATHLETE_OF_ACCOUNT = "runa_velde"
ABSENT, GUEST = {"bren_kollhaug": "night shift"}, {"ylva_rorgang": "here for a week"}
"""All others are here; the guest's session is left to be made."""
VENUE = "slipway_hall"
_WORDS = ("anchor", "beacon", "buoy", "crane", "ferry", "gull", "jetty", "keel", "lantern", "mooring", "oar", "pier")


@dataclass(frozen=True, kw_only=True)
class DemoAccount:
    """A name to log in with, and what goes with it."""

    role: str
    name: str
    password: str


def fill(folder: Path, *, day: date) -> tuple[DemoAccount, ...]:
    """Fill an empty folder, on which Django is set up, with the demo club; let it train on `day`.

    Passwords are made up the first time and kept beside the database, so that the terminal can show them again.

    Returns
    -------
    tuple of DemoAccount
        One for each role.

    Raises
    ------
    WebError
        When another club lies in the folder.
    """
    from firstpush.web.club.models import Account

    if not Account.objects.exists():
        _build(folder)
    accounts = _accounts(folder)
    _train(Account.objects.get(username=accounts[0].name), day)
    return accounts


def make_sessions() -> None:
    """Make the sessions that are waited for, and draw them."""
    from firstpush.web.sessions.day_jobs import work_off

    work_off()


def _accounts(folder: Path) -> tuple[DemoAccount, ...]:
    try:
        rows = json.loads((folder / ACCOUNTS_FILE).read_text(encoding="utf-8"))
        return tuple(DemoAccount(**row) for row in rows)
    except (OSError, ValueError, TypeError) as error:
        raise WebError(
            f"{folder} holds another club than the demo's. Allowed: an empty folder, or one that firstpush demo made. "
            "Give another with --folder; your own club is served by firstpush serve."
        ) from error


def _build(folder: Path) -> None:
    from django.db import transaction

    from firstpush.web.club.models import Account, Club

    made = [DemoAccount(role=role, name=role, password=_password()) for role in ROLES]
    with transaction.atomic():
        club = Club.objects.create(name=CLUB)
        accounts = {each.role: Account.objects.create_user(each.name, password=each.password) for each in made}
        _build_records(club, accounts)
        descriptor = os.open(folder / ACCOUNTS_FILE, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            json.dump([vars(each) for each in made], file, indent=2)


def _build_records(club: Club, accounts: dict[str, Account]) -> None:
    from firstpush.web.athletes.models import AthleteRecord
    from firstpush.web.club.models import Membership
    from firstpush.web.kit.models import KitRecord, VenueRecord

    owner = accounts["owner"]
    files = club_files()
    for path in files["kits"]:
        KitRecord(club=club).save_document(_document(path), by=owner, why="written down in the sail loft")
    for path in files["venues"]:
        VenueRecord(club=club).save_document(_document(path), by=owner, why="measured with a tape")
    athlete_of = {}
    for number, path in enumerate(files["athletes"], start=4):
        record = AthleteRecord(club=club, number=number)
        record.save_document(_document(path), by=owner, why="first visit")
        athlete_of[path.stem] = record
    for role, account in accounts.items():
        athlete = athlete_of[ATHLETE_OF_ACCOUNT] if role == "athlete" else None
        Membership.objects.create(account=account, club=club, role=role, athlete=athlete)


def _train(owner: Account, day: date) -> None:
    """Say who is here on `day`, and let the sessions be made; a day of which something is known is left alone."""
    from firstpush.web import access
    from firstpush.web.sessions.day_jobs import ask_for
    from firstpush.web.sessions.day_state import day_plan_for, sessions_on
    from firstpush.web.sessions.models import Presence, PresenceStatus

    plan = day_plan_for(owner, day)
    if plan._state.adding:
        stems = {path.stem: _document(path)["name"] for files in club_files().values() for path in files}
        plan.venue = access.venues_for(owner).get(name=stems[VENUE])
        plan.save()
        remarks = {stems[stem]: remark for stem, remark in (ABSENT | GUEST).items()}
        status = {stems[stem]: PresenceStatus.ABSENT for stem in ABSENT} | {
            stems[stem]: PresenceStatus.GUEST for stem in GUEST
        }
        for record in access.athletes_for(owner):
            Presence.objects.create(
                club=plan.club,
                day=day,
                athlete=record,
                status=status.get(record.name, PresenceStatus.PRESENT),
                remark=remarks.get(record.name, ""),
            )
    here = [
        each.athlete for each in access.presences_for(owner).filter(day=day, status=PresenceStatus.PRESENT)
    ]
    made = sessions_on(day, here)
    ask_for([record for record in here if record.pk not in made], day=day, by=owner)


def _document(path: Path) -> dict[str, object]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _password() -> str:
    return f"{secrets.choice(_WORDS)}-{secrets.choice(_WORDS)}-{secrets.randbelow(9000) + 1000}"


def main() -> None:
    """Make what is waited for in the folder given."""
    set_up_django(Path(sys.argv[1]))
    make_sessions()


if __name__ == "__main__":
    main()
