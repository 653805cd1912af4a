"""`firstpush exercises`: what is in the library."""

from __future__ import annotations

import click

from firstpush.cli.options import as_json
from firstpush.cli.output import print_json, print_table


@click.command()
@as_json
def exercises(json_: bool) -> None:
    """List the exercises of the library.

    Example: firstpush exercises
    """
    from firstpush.core.exercises.loader import library

    found = library().values()
    if json_:
        print_json(
            [
                {
                    "id": each.id,
                    "title": each.title,
                    "part": each.part,
                    "aims": list(each.aims),
                    "loads": each.loads,
                    "sides": each.sides,
                    "summary": each.summary,
                    "doses": [dose.name for dose in (*each.doses, *each.by_hand)],
                    "evidence": [{"says": one.says, "source": one.source, "known": one.known} for one in each.evidence],
                }
                for each in found
            ]
        )
        return
    rows = [(each.id, each.title, each.part, each.loads, ", ".join(each.aims)) for each in found]
    print_table(rows, heading=("id", "exercise", "part", "loads", "aims"))
