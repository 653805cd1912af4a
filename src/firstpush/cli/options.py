"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from firstpush.core.setup.circumstances import Circumstances

Command = TypeVar("Command", bound=Callable[..., Any])

FILE = click.Path(dir_okay=False, path_type=Path)
FOLDER = click.Path(file_okay=False, path_type=Path)


def input_files(*, venue_required: bool = True) -> Callable[[Command], Command]:
    """Add --athlete, --kit and --venue."""

    def add(command: Command) -> Command:
        for name, what in (("venue", "hall or court"), ("kit", "cupboard"), ("athlete", "athlete and chair")):
            required = name != "venue" or venue_required
            command = click.option(f"--{name}", required=required, type=FILE, help=f"TOML file of the {what}.")(command)
        return command

    return add


def as_json(command: Command) -> Command:
    """Add --json."""
    return click.option("--json", "json_", is_flag=True, help="Print JSON with units in the keys.")(command)


def moving_option(command: Command) -> Command:
    """Add --moving."""
    return click.option("--moving", is_flag=True, help="Write drawings that move too (a few seconds each).")(command)


def circumstances_of(athlete: Path, kit: Path, venue: Path | None, *, on: date | None = None) -> Circumstances:
    """Read the files, all faults of all at once, and return what stays the same for every exercise on a day.

    Without a venue it is a room with nothing to tie a band to.
    """
    from firstpush.core.errors import Fault, InputFileError
    from firstpush.core.kit.kit_file import load_kit
    from firstpush.core.kit.venue_file import load_venue
    from firstpush.core.people.athlete_file import load_athlete
    from firstpush.core.session.kinds import ROOM
    from firstpush.core.setup.circumstances import circumstances

    faults: list[Fault] = []
    found: list[Any] = []
    loaders: tuple[tuple[Callable[[Path], Any], Path | None], ...] = (
        (load_athlete, athlete),
        (load_kit, kit),
        (load_venue, venue),
    )
    for load, path in loaders:
        if path is None:
            found.append(ROOM)
            continue
        try:
            found.append(load(path))
        except InputFileError as error:
            faults.extend(error.faults)
    if faults:
        raise InputFileError(faults)
    return circumstances(*found, on=on)
