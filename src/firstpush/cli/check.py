"""`firstpush check`: whether exercises are right for every body."""

from __future__ import annotations

from pathlib import Path

import click

from firstpush.cli.options import FILE, as_json
from firstpush.cli.output import print_json, print_table


@click.command()
@click.argument("names", nargs=-1)
@click.option("--file", "files", type=FILE, multiple=True, help="An exercise file of your own; may be repeated.")
@click.option("--no-drawing", is_flag=True, help="Leave the drawings out, which takes most of the time.")
@as_json
def check(names: tuple[str, ...], files: tuple[Path, ...], no_drawing: bool, json_: bool) -> None:
    """Hold exercises against their rules for a grid of bodies, chairs and sides.

    Without a name, the whole library is checked.

    Example: firstpush check seated_row
    """
    from firstpush.core.checks.exercise_check import check_exercise
    from firstpush.core.exercises.loader import exercise_named, library, load_exercise
    from firstpush.core.figure.from_setup import scene_of
    from firstpush.core.figure.still import draw_still
    from firstpush.core.setup.result import ExerciseSetup

    def draw(setup: object) -> str:
        assert isinstance(setup, ExerciseSetup)
        return draw_still(scene_of(setup), title=setup.exercise.title, description=setup.exercise.summary)

    wanted = [exercise_named(name) for name in names] + [load_exercise(path) for path in files]
    if not wanted:
        wanted = list(library().values())
    known = frozenset(library()) | {each.id for each in wanted}
    found = {each.id: check_exercise(each, known_ids=known, draw=None if no_drawing else draw) for each in wanted}
    if json_:
        print_json(
            {
                id_: [{"rule": one.rule, "what": one.what, "body": one.body} for one in findings]
                for id_, findings in found.items()
            }
        )
    else:
        rows = [(id_, "right" if not findings else f"{len(findings)} wrong") for id_, findings in found.items()]
        print_table(rows, heading=("exercise", "check"))
        for id_, findings in found.items():
            for one in findings:
                click.echo(f"{id_}: {one}")
    if any(found.values()):
        raise SystemExit(1)
