"""Progress of long work, on the standard error and only where a person watches."""

from __future__ import annotations

import sys
from collections.abc import Callable

import click


def shown_progress(what: str) -> Callable[[int, int], None] | None:
    """Return what tells a terminal how many are done, of how many; None where nobody watches."""
    if not sys.stderr.isatty():
        return None

    def show(done: int, of: int) -> None:
        click.echo(f"\r{what} {done} of {of}", err=True, nl=done == of)

    return show
