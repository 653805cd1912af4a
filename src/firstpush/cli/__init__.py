"""The command line: one file per command group; heavy imports only when a command runs.

Exit codes: 2 for a wrong request (message on stderr), 1 for work that failed; a programming error keeps its traceback.
"""

from __future__ import annotations

import sys

import click

from firstpush.cli.backup import backup, restore
from firstpush.cli.band import band
from firstpush.cli.cards import cards
from firstpush.cli.catalogue import catalogue
from firstpush.cli.check import check
from firstpush.cli.course import course
from firstpush.cli.demo import demo
from firstpush.cli.doctor import doctor
from firstpush.cli.exercises import exercises
from firstpush.cli.programme import programme
from firstpush.cli.serve import serve
from firstpush.cli.session import session
from firstpush.cli.setup import setup
from firstpush.cli.sprint import sprint


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="firstpush")
def commands() -> None:
    """Compute, draw and time shoulder sessions for wheelchair court athletes.

    Supports a professional's judgement and replaces none: cautions are shown, doses are proposals, licensed practice
    and local rules come first.
    """


for each in (
    demo,
    session,
    programme,
    setup,
    course,
    sprint,
    cards,
    band,
    exercises,
    catalogue,
    check,
    serve,
    backup,
    restore,
    doctor,
):
    commands.add_command(each)


def main() -> None:
    """Run the command line; a request that cannot be met ends with exit code 2 and one clear message."""
    from firstpush.core.errors import FirstpushError

    try:
        commands()
    except FirstpushError as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    except OSError as error:
        click.echo(f"{error.filename or 'a file'}: {error.strerror}; choose a folder that can be written to.", err=True)
        sys.exit(1)
