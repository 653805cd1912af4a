"""`firstpush setup`: one exercise set up for one athlete."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstpush.cli.options import as_json, circumstances_of, input_files
from firstpush.cli.output import print_json, print_table, remark

if TYPE_CHECKING:
    from firstpush.core.setup.result import ExerciseSetup


@click.command()
@click.argument("exercise")
@input_files()
@click.option("--target-nm", type=click.FloatRange(min=0.1, max=200), help="Load wanted on the axis it names [N·m].")
@click.option("--side", type=click.Choice(["left", "right"]), default="right", show_default=True, help="Working side.")
@click.option("--frames", is_flag=True, help="Add every frame of the movement to the JSON.")
@as_json
def setup(
    exercise: str, athlete: Path, kit: Path, venue: Path, target_nm: float | None, side: str, frames: bool, json_: bool
) -> None:
    """Find the best ways to set up one exercise.

    Example: firstpush setup seated_row --athlete athlete.toml --kit kit.toml --venue venue.toml
    """
    from firstpush.core.exercises.loader import exercise_named
    from firstpush.core.setup.document import answer_document
    from firstpush.core.setup.search import search_setup

    wanted = exercise_named(exercise)
    case = circumstances_of(athlete, kit, venue)
    answer = search_setup(wanted, case, side="left" if side == "left" else "right", target_nm=target_nm)
    if json_:
        print_json(answer_document(answer, frames=frames))
        return
    if frames:
        remark("--frames is only printed with --json; add --json to see them.")
    if answer.setups:
        heading = ("band", "mark", "post", "distance", "load", "pull on a hand", "trunk", "chair")
        print_table([_row(each) for each in answer.setups], heading=heading)
    click.echo(answer.answer)
    for notice in answer.best.notices if answer.best else answer.notices:
        click.echo(f"  {notice}")


def _row(setup: ExerciseSetup) -> tuple[str, ...]:
    band = setup.band
    ball = setup.ball.name if setup.ball else "–"
    return (
        ball if band is None else f"{band.band.name}, {band.strands} strand{'s' if band.strands > 1 else ''}",
        "–" if band is None else f"{band.slack_length:.2f} m",
        "–" if band is None else f"{band.post}, {band.height:.2f} m",
        "–" if band is None else f"{band.distance:.2f} m from {band.measured_from.removeprefix('the ')}",
        str(setup.peak or "–"),
        setup.pull.range_words if setup.pull else "–",
        _holds(float(setup.hold.smallest_factor.min())),
        "–" if setup.stability is None else _holds(float(setup.stability.factor.min())),
    )


def _holds(factor: float) -> str:
    """Return by what factor something holds, no nearer than is known."""
    return f"× {factor:.1f}" if factor <= 10 else "over × 10"
