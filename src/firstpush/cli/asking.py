"""Options by which a practitioner overrules the choice, and says what went before."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from firstpush.core.session.asked import Asked

Command = TypeVar("Command", bound=Callable[..., Any])
JSON_FILE = click.Path(dir_okay=False, path_type=Path)


def asking_options(command: Command) -> Command:
    """Add --keep, --without, --swap, --dose, --aim, --back-to-front, --again and --done."""
    for option in (
        click.option("--done", multiple=True, type=JSON_FILE, help="session.json of a session done; repeat for more."),
        click.option("--again", type=JSON_FILE, help="session.json to make again, changing as little as possible."),
        click.option(
            "--back-to-front",
            type=click.FloatRange(min=0, max=10),
            default=2.0,
            show_default=True,
            help="Sets at the back of the shoulder for each set at its front.",
        ),
        click.option("--aim", "aims", multiple=True, help="Aim that must be trained; repeat for more."),
        click.option("--dose", "doses", multiple=True, metavar="ID=DOSE", help="Exercise in this dose and no other."),
        click.option("--swap", "swaps", multiple=True, metavar="OLD=NEW", help="NEW in place of OLD."),
        click.option("--without", multiple=True, metavar="ID", help="Exercise that must not be there."),
        click.option("--keep", multiple=True, metavar="ID", help="Exercise that must be there; repeat for more."),
    ):
        command = option(command)
    return command


def asked_from(
    *,
    keep: tuple[str, ...],
    without: tuple[str, ...],
    swaps: tuple[str, ...],
    doses: tuple[str, ...],
    aims: tuple[str, ...],
    back_to_front: float,
    again: Path | None,
    done: tuple[Path, ...],
) -> Asked:
    """Return what the options ask for."""
    from firstpush.core.exercises.loader import exercise_named
    from firstpush.core.session.asked import Asked, done_of, plan_of

    pairs = [_pair(swap, option="--swap", allowed="OLD=NEW, two ids of exercises") for swap in swaps]
    wanted = (*keep, *(new for _, new in pairs))
    unwanted = (*without, *(old for old, _ in pairs))
    dosed = tuple(_pair(dose, option="--dose", allowed="ID=DOSE, an exercise and the name of a dose") for dose in doses)
    for id_ in (*wanted, *unwanted, *(id_ for id_, _ in dosed)):
        exercise_named(id_)
    return Asked(
        keep=wanted,
        without=unwanted,
        doses=dosed,
        aims=aims,
        back_to_front=back_to_front,
        earlier=plan_of(_document(again)) if again is not None else (),
        history=tuple(done_of(_document(path)) for path in done),
    )


def _pair(text: str, *, option: str, allowed: str) -> tuple[str, str]:
    one, equals, two = text.partition("=")
    if not (equals and one.strip() and two.strip()):
        raise click.UsageError(f"{option} {text!r} cannot be read; allowed is {allowed}, with = between them.")
    return one.strip(), two.strip()


def _document(path: Path) -> dict[str, Any]:
    from firstpush.core.errors import OutOfRangeError

    try:
        document = json.loads(path.read_text(encoding="utf-8"))
    except (json.JSONDecodeError, UnicodeDecodeError) as error:
        raise OutOfRangeError(
            f"{path} cannot be read as JSON; allowed is a session.json that this program wrote. Give that file."
        ) from error
    if not isinstance(document, dict):
        raise OutOfRangeError(f"{path} holds no session; allowed is a session.json of this program. Give that file.")
    return document
