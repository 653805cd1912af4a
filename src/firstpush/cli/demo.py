"""`firstpush demo`: the main job on embedded files, and the application with a club in it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstpush.cli.options import FOLDER, moving_option
from firstpush.cli.output import print_table, remark

if TYPE_CHECKING:
    from firstpush.web.demo_club import DemoAccount

DEMO_MINUTES = 18
PORT = 8121
"""Beside the one of `firstpush serve`: both can run at the same time."""


@click.command()
@click.option("--out", type=FOLDER, default=Path("firstpush-demo"), show_default=True, help="Folder for the sheet.")
@click.option("--folder", type=FOLDER, help="Folder of the demo club.  [default: club, in the folder for the sheet]")
@click.option(
    "--port", default=PORT, show_default=True, type=click.IntRange(0, 65535), help="Port; 0 takes a free one."
)
@click.option("--no-browser", is_flag=True, help="Open no browser.")
@click.option("--once", is_flag=True, help="Make sheet and club, and end.")
@moving_option
def demo(out: Path, folder: Path | None, port: int, no_browser: bool, once: bool, moving: bool) -> None:
    """Show the application with an invented harbour club in it, and make a sheet, until Ctrl-C.

    The browser opens and you are in as the club's owner; the accounts of its four roles are printed. The club is
    built the first time and kept. Its sessions of today and the sheet are made while you look at it.

    Example: firstpush demo
    """
    folder = folder if folder is not None else out / "club"
    if once:
        _make_all(out, folder, moving=moving)
    else:
        _serve(out, folder, port=port, no_browser=no_browser, moving=moving)


def _make_all(out: Path, folder: Path, *, moving: bool) -> None:
    """Make the club's sessions in another process beside the sheet, and wait for both."""
    from firstpush.cli.session import make_session
    from firstpush.demo import demo_file
    from firstpush.web.demo_club import Helpers, fill
    from firstpush.web.folder import held
    from firstpush.web.serve import prepare_folder

    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    with held(folder):
        prepare_folder(folder)
        accounts = fill(folder, day=date.today())
        with Helpers() as helpers:
            helpers.make_sessions(folder)
            athlete, kit, venue = (demo_file(name) for name in ("athlete", "kit", "venue"))
            make_session(athlete, kit, venue, minutes=DEMO_MINUTES, seed=0, out=out, moving=moving, json_=False)
            _tell_sheet(out)
            if helpers.wait() != 0:
                raise SystemExit(1)
    _tell_accounts(accounts)


def _serve(out: Path, folder: Path, *, port: int, no_browser: bool, moving: bool) -> None:
    from firstpush.web.demo_club import ROLES, Helpers, fill
    from firstpush.web.serve import start

    with Helpers() as helpers:

        def filled() -> None:
            _tell_accounts(fill(folder, day=date.today()))
            helpers.make_sessions(folder)
            helpers.make_sheet(out, minutes=DEMO_MINUTES, moving=moving, done=lambda: _tell_sheet(out))

        start(folder, port=port, open_browser=not no_browser, filled=filled, arrive_as=ROLES[0])


def _tell_sheet(out: Path) -> None:
    remark(f"Open {out / 'session.pdf'}: the athlete's sheet first, then the practitioner's copy.")


def _tell_accounts(accounts: tuple[DemoAccount, ...]) -> None:
    click.echo("Accounts of the demo club, to log in with:")
    print_table([(each.role, each.name, each.password) for each in accounts], heading=("role", "name", "password"))
