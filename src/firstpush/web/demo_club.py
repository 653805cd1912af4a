"""The demo club in a data folder: accounts, athletes, kit, venues, and a training day with sessions.

python -m firstpush.web.demo_club FOLDER     makes whatever sessions are waited for in FOLDER
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import subprocess
import sys
import threading
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from firstpush.demo import DEMO_NAMES, demo_file
from firstpush.demo.club import club_files
from firstpush.web.errors import WebError
from firstpush.web.serve import set_up_django

if TYPE_CHECKING:
    from firstpush.web.athletes.models import AthleteRecord
    from firstpush.web.club.models import Account, Club

CLUB = "Slipway Wheels"
ACCOUNTS_FILE = "demo-accounts.json"
ROLES = ("owner", "colleague", "assistant", "athlete")
ATHLETE_OF_ACCOUNT = "runa_velde"
ABSENT, GUEST = {"bren_kollhaug": "night shift"}, {"ylva_rorgang": "here for a week"}
"""All others are here; the guest's session is left to be made."""
VENUE = "slipway_hall"
SPEED_TESTS = (
    (
        "runa_velde",
        "sprint",
        {"splits": [[5, 1.75], [10, 3.02], [20, 5.48]], "start_offset_m": 0.5, "timed_by": "gates"},
    ),
    ("runa_velde", "circle", {"radius_m": 2.0, "time_s": 4.6, "rounds": 1.0, "timed_by": "stopwatch"}),
    ("bren_kollhaug", "sprint", {"splits": [[5, 2.2], [20, 6.6]], "start_offset_m": 0.3, "timed_by": "stopwatch"}),
)
"""Two athletes were timed; of the others nothing is known, so that their times on a course are wide."""
OWN_COURSE = {
    "name": "Pier corner",
    "cones": [
        {"name": "1", "x_m": 3.0, "y_m": 2.0},
        {"name": "2", "x_m": 6.0, "y_m": 2.8},
        {"name": "3", "x_m": 9.0, "y_m": 2.0},
    ],
    "points": [
        {"name": "A", "x_m": 0.0, "y_m": 0.0},
        {"name": "B", "x_m": 12.0, "y_m": 4.0},
        {"name": "C", "x_m": 12.0, "y_m": 1.5},
    ],
    "start": "A",
    "order": ["1R", "2L", "3R", "to B", "turn right", "back to C"],
}
ENDING_S = 10
"""How long a helper may take to end when it is told to [s]."""
_COMMAND = "from firstpush.cli import main; main()"
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


class Helpers:
    """Processes that work beside this one, so that pages do not wait for them; they end with it."""

    def __init__(self) -> None:
        self._running: list[subprocess.Popen[str]] = []
        self._ended = False

    def __enter__(self) -> Helpers:
        return self

    def __exit__(self, *error: object) -> None:
        self._ended = True
        for process in self._running:
            if process.poll() is None:
                process.terminate()
        for process in self._running:
            process.wait(timeout=ENDING_S)

    def make_sessions(self, folder: Path) -> None:
        """Make the sessions that are waited for in `folder`, and draw them."""
        self._start("-m", "firstpush.web.demo_club", str(folder.resolve()))

    def make_sheet(self, out: Path, *, minutes: int, moving: bool, done: Callable[[], None]) -> None:
        """Write the sheet of the demo's first athlete into `out` when the sessions are made; `done` is called then."""
        files = [part for name in DEMO_NAMES for part in (f"--{name}", str(demo_file(name)))]
        asked = ["session", *files, "--minutes", str(minutes), "--out", str(out), *(["--moving"] if moving else [])]

        def one_after_the_other() -> None:
            self.wait()
            if self._ended:
                return
            _, said = (making := self._start("-c", _COMMAND, *asked, stderr=subprocess.PIPE)).communicate()
            if making.returncode == 0:
                done()
            elif not self._ended:
                print(said, file=sys.stderr)

        threading.Thread(target=one_after_the_other, name="the demo's sheet", daemon=True).start()

    def wait(self) -> int:
        """Wait for all that run; return 0 when all went well."""
        return max((process.wait() for process in tuple(self._running)), default=0)

    def _start(self, *arguments: str, stderr: int | None = None) -> subprocess.Popen[str]:
        # A session of its own: Ctrl-C ends the server first, which then ends its helpers.
        process = subprocess.Popen(
            [*_behind_others(), sys.executable, *arguments],
            stdout=subprocess.DEVNULL,
            stderr=stderr,
            text=True,
            start_new_session=True,
        )
        self._running.append(process)
        return process


def _behind_others() -> tuple[str, ...]:
    """Return what lets a helper give way to the pages, where the system has it."""
    return ("nice",) if shutil.which("nice") else ()


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
    _build_courses(club, owner, athlete_of)
    for role, account in accounts.items():
        athlete = athlete_of[ATHLETE_OF_ACCOUNT] if role == "athlete" else None
        Membership.objects.create(account=account, club=club, role=role, athlete=athlete)


def _build_courses(club: Club, owner: Account, athlete_of: dict[str, AthleteRecord]) -> None:
    from django.utils import timezone

    from firstpush.web.courses.models import OwnCourse, SpeedTest

    now = timezone.now()
    OwnCourse(club=club).save_document(OWN_COURSE, by=owner, why="as the hall lies")
    for stem, kind, measured in SPEED_TESTS:
        SpeedTest.objects.create(
            athlete=athlete_of[stem],
            kind=kind,
            measured=measured,
            on=timezone.localdate(now),
            made_by=owner,
            made_at=now,
        )


def _train(owner: Account, day: date) -> None:
    """Say who is here on `day`, and let the sessions be made; a day of which something is known is left alone."""
    from django.utils import timezone

    from firstpush.web import access
    from firstpush.web.sessions.day_jobs import ask_for
    from firstpush.web.sessions.day_state import day_plan_for, sessions_on
    from firstpush.web.sessions.models import Making, Presence, PresenceStatus

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
    here = [each.athlete for each in access.presences_for(owner).filter(day=day, status=PresenceStatus.PRESENT)]
    # What an earlier start left half made is made from the beginning.
    Making.objects.exclude(stage=Making.FAILED).update(stage=Making.WAITING, touched_at=timezone.now())
    made = sessions_on(day, here)
    ask_for([record for record in here if record.pk not in made], day=day, by=owner)


def _document(path: Path) -> dict[str, object]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _password() -> str:
    one, two = secrets.SystemRandom().sample(_WORDS, 2)
    return f"{one}-{two}-{secrets.randbelow(9000) + 1000}"


def main() -> None:
    """Make what is waited for in the folder given."""
    set_up_django(Path(sys.argv[1]))
    from firstpush.web.sessions.day_jobs import work_off

    work_off()


if __name__ == "__main__":
    main()
