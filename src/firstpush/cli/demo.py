"""`firstpush demo`: the main job on embedded files."""

from __future__ import annotations

from pathlib import Path

import click

from firstpush.cli.options import FOLDER, moving_option
from firstpush.cli.output import remark

DEMO_MINUTES = 18


@click.command()
@click.option("--out", type=FOLDER, default=Path("firstpush-demo"), show_default=True, help="Folder for the sheet.")
@moving_option
def demo(out: Path, moving: bool) -> None:
    """Make a session for an invented athlete of a harbour club.

    Example: firstpush demo
    """
    from firstpush.cli.session import make_session
    from firstpush.demo import demo_file

    athlete, kit, venue = (demo_file(name) for name in ("athlete", "kit", "venue"))
    make_session(athlete, kit, venue, minutes=DEMO_MINUTES, seed=0, out=out, moving=moving, json_=False)
    remark(f"Open {out / 'session.pdf'}: the athlete's sheet first, then the practitioner's copy.")
