"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from firstpush.core.setup.circumstances import Circumstances

Command = TypeVar("Command", bound=Callable[..., Any])

FILE = click.Path(dir_okay=False, path_type=Path)
FOLDER = click.Path(file_okay=False, path_type=Path)


def input_files(command: Command) -> Command:
    """Add --athlete, --kit and --venue."""
    for name, what in (("venue", "hall or court"), ("kit", "cupboard"), ("athlete", "athlete and chair")):
        command = click.option(f"--{name}", required=True, type=FILE, help=f"TOML file of the {what}.")(command)
    return command


def as_json(command: Command) -> Command:
    """Add --json."""
    return click.option("--json", "json_", is_flag=True, help="Print JSON with units in the keys.")(command)


def moving_option(command: Command) -> Command:
    """Add --moving."""
    return click.option("--moving", is_flag=True, help="Write drawings that move too (a few seconds each).")(command)


def circumstances_of(athlete: Path, kit: Path, venue: Path) -> Circumstances:
    """Read the three files, all faults of all three at once, and return what stays the same for every exercise."""
    from firstpush.core.errors import Fault, InputFileError
    from firstpush.core.kit.kit_file import load_kit
    from firstpush.core.kit.venue_file import load_venue
    from firstpush.core.people.athlete_file import load_athlete
    from firstpush.core.setup.circumstances import circumstances

    faults: list[Fault] = []
    found: list[Any] = []
    loaders: tuple[tuple[Callable[[Path], Any], Path], ...] = (
        (load_athlete, athlete),
        (load_kit, kit),
        (load_venue, venue),
    )
    for load, path in loaders:
        try:
            found.append(load(path))
        except InputFileError as error:
            faults.extend(error.faults)
    if faults:
        raise InputFileError(faults)
    return circumstances(*found)
