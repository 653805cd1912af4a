"""From circumstances and minutes to a whole made session: composed, drawn, put into words, written to a folder."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from firstpush.core.exercises.loader import library
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.moving import draw_moving
from firstpush.core.figure.palette import Look, look_for
from firstpush.core.notices import Notice
from firstpush.core.people.age import athlete_notices
from firstpush.core.session.asked import Asked
from firstpush.core.session.document import session_document
from firstpush.core.session.kinds import KindName
from firstpush.core.session.plan import plan_session
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import Session
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.checksum import input_checksum
from firstpush.sheets.content import SheetContent
from firstpush.sheets.from_session import session_figures, setups_of, sheet_contents
from firstpush.sheets.programme_days import long_day
from firstpush.sheets.session_sheet import session_pdf
from firstpush.sheets.too_hard import too_hard_words
from firstpush.sheets.words import figure_words


@dataclass(frozen=True, kw_only=True)
class MadeSession:
    """A session with all that is written of it.

    Parameters
    ----------
    contents : (SheetContent, SheetContent)
        The athlete's sheet and the practitioner's copy.
    document : dict
        What ``session.json`` holds.
    figures : dict of exercise id to str
        Still drawings (SVG).
    """

    session: Session
    prepared: Prepared
    notices: tuple[Notice, ...]
    contents: tuple[SheetContent, SheetContent]
    document: dict[str, Any]
    figures: dict[str, str]
    look: Look


def make(
    case: Circumstances,
    *,
    minutes: float,
    seed: int = 0,
    kind: KindName = "before training",
    asked: Asked | None = None,
    files: Sequence[Path] = (),
) -> MadeSession:
    """Compose the session of one athlete that fits `minutes`, and put it into drawings and words.

    Parameters
    ----------
    case : Circumstances
    minutes : float
        [min]
    seed : int
        Same input and seed, same session.
    kind : str
        Kind of session.
    asked : Asked, optional
        What is asked by hand, and what went before.
    files : sequence of Path
        Input files, for the checksum in the footer.
    """
    planned = plan_session(case, library().values(), minutes=minutes, kind=kind, asked=asked, seed=seed)
    session, prepared = planned.session, planned.prepared
    notices = athlete_notices(case.athlete, on=case.on)
    checksum = input_checksum(files, request=f"{minutes} {seed} {kind} {planned.asked}")
    look = look_for(case.athlete.name, sex=case.athlete.sex)
    figures = session_figures(session, prepared, look=look)
    contents = sheet_contents(
        session,
        prepared,
        athlete=case.athlete,
        venue_name=case.venue.name,
        notices=notices,
        program_version=version("firstpush"),
        checksum=checksum,
        date=long_day(case.on) if case.on is not None else None,
        figures=figures,
        too_hard=too_hard_words(session, prepared, case),
    )
    document = session_document(
        session,
        prepared,
        athlete=case.athlete.name,
        venue=case.venue.name,
        notices=notices,
        checksum=checksum,
        on=case.on,
    )
    return MadeSession(
        session=session,
        prepared=prepared,
        notices=notices,
        contents=contents,
        document=document,
        figures=figures,
        look=look,
    )


def write(made: MadeSession, folder: Path, *, moving: bool = False) -> tuple[Path, ...]:
    """Write ``session.json``, ``session.pdf`` and ``figures/`` into `folder`; all of them, or none.

    With `moving`, every exercise also gets a drawing that moves, which takes a few seconds each.

    Returns
    -------
    tuple of Path
        The files written.
    """
    names: list[Path] = []
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=folder, prefix=".making-") as temporary:
        making = Path(temporary)
        (making / "figures").mkdir()
        text = json.dumps(made.document, ensure_ascii=False, indent=2, allow_nan=False)
        (making / "session.json").write_text(text + "\n", encoding="utf-8")
        (making / "session.pdf").write_bytes(session_pdf(made.contents))
        for item in made.session.items:
            id_ = item.candidate.exercise.id
            (making / "figures" / f"{id_}.svg").write_text(made.figures[id_], encoding="utf-8")
            if moving:
                setup = next(iter(setups_of(item, made.prepared).values()))
                (making / "figures" / f"{id_}_moving.svg").write_text(moving_figure(setup, made.look), encoding="utf-8")
        names = [path.relative_to(making) for path in sorted(making.rglob("*")) if path.is_file()]
        (folder / "figures").mkdir(exist_ok=True)
        for name in names:
            (making / name).replace(folder / name)
    return tuple(folder / name for name in names)


def moving_figure(setup: ExerciseSetup, look: Look) -> str:
    """Return the drawing that moves in the tempo of the first dose."""
    dose = setup.exercise.doses[0]
    return draw_moving(
        scene_of(setup, look=look),
        title=setup.exercise.title,
        description=figure_words(setup),
        out_s=dose.out_s,
        hold_s=dose.hold_s,
        back_s=dose.back_s,
        loop=setup.exercise.circle is not None,
    )
