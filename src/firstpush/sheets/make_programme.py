"""From circumstances and a calendar to a whole made programme: planned, drawn, put into words, written to a folder."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from importlib.metadata import version
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import library
from firstpush.core.figure.palette import Look, look_for
from firstpush.core.notices import Notice
from firstpush.core.people.age import athlete_notices
from firstpush.core.people.athlete import SIDES
from firstpush.core.people.health import hurts_too_much, sides_should_be_even
from firstpush.core.programme import Calendar, Done, Programme, plan_programme, programme_document
from firstpush.core.programme.plan import MATCH_MINUTES
from firstpush.core.programme.programme import PlanName, PlannedSession
from firstpush.core.progress.arms_loaded import arms_loaded
from firstpush.core.session.candidate import Candidate
from firstpush.core.session.kinds import KindName
from firstpush.core.session.prepare import Prepared, prepare
from firstpush.core.setup.circumstances import Circumstances
from firstpush.sheets.calendar_file import CalendarEntry, calendar_file
from firstpush.sheets.checksum import input_checksum
from firstpush.sheets.programme_sheet import (
    ProgrammeContent,
    loads_told,
    programme_content,
    programme_pdf,
    session_title,
)
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import Setups, dose_large


@dataclass(frozen=True, kw_only=True)
class MadeProgramme:
    """A programme with all that is written of it.

    Parameters
    ----------
    programme : Programme
    notices : tuple of Notice
        About the athlete.
    content : ProgrammeContent
        What stands on paper.
    document : dict
        What ``programme.json`` holds.
    calendar : bytes
        What ``programme.ics`` holds.
    """

    programme: Programme
    notices: tuple[Notice, ...]
    content: ProgrammeContent
    document: dict[str, Any]
    calendar: bytes


def make_programme(
    case: Circumstances,
    *,
    calendar: Calendar,
    minutes: float,
    exercises: Iterable[Exercise] | None = None,
    kind: KindName = "before training",
    match_minutes: float = MATCH_MINUTES[1],
    familiar: Iterable[str] = (),
    back_to_front: float = 2.0,
    done: Callable[[Mapping[str, float]], Done] | None = None,
    at: time,
    made_at: datetime,
    seed: int = 0,
    files: Sequence[Path] = (),
) -> MadeProgramme:
    """Plan the programme of one athlete, and put it into words, drawings and calendar entries.

    Parameters
    ----------
    case : Circumstances
    calendar : Calendar
    minutes, match_minutes : float
        For a training day, and for a session before a match [min].
    exercises : iterable of Exercise, optional
        What it is chosen from; left out, the library.
    kind : str
        Kind of session on training days.
    familiar : iterable of str
        Ids of exercises done before.
    back_to_front : float
        Sets at the back of the shoulder for each at its front.
    done : callable, optional
        Weeks that are over: from the first load of each exercise [N·m] to what was done of it. The rest is planned
        from there, with the same exercises on the same days.
    at : time
        When sessions begin, on the clock in the hall.
    made_at : datetime
        For the calendar file, with a time zone.
    seed : int
        Same input and seed, same programme.
    files : sequence of Path
        Input files, for the checksum in the footer.
    """
    exercises = tuple(library().values() if exercises is None else exercises)
    familiar = tuple(familiar)
    prepared = prepare(case, exercises, kind=kind)
    for_match = prepare(case, exercises, kind="before a match") if calendar.matches else None
    programme = plan_programme(
        prepared.candidates,
        calendar=calendar,
        minutes=minutes,
        kind=kind,
        match_candidates=None if for_match is None else for_match.candidates,
        match_minutes=match_minutes,
        familiar=familiar,
        back_to_front=back_to_front,
        even_sides=sides_should_be_even(case.athlete),
        done=None if done is None else done(_first_loads(prepared)),
        held=_carried_by_a_sore_arm(case, prepared),
        seed=seed,
    )
    notices = athlete_notices(case.athlete, on=case.on)
    request = f"{calendar} {minutes} {kind} {match_minutes} {sorted(familiar)} {back_to_front} {at} {seed}"
    checksum = input_checksum(files, request=request)
    setups = _setups(programme, prepared, for_match)
    names = {"athlete": case.athlete.name, "venue": case.venue.name}
    told = loads_told(programme)
    return MadeProgramme(
        programme=programme,
        notices=notices,
        content=programme_content(
            programme,
            setups=setups,
            figures=_figures(setups, look_for(case.athlete.name, sex=case.athlete.sex)),
            notices=notices,
            program_version=version("firstpush"),
            checksum=checksum,
            athlete=case.athlete,
            venue=case.venue.name,
        ),
        document=programme_document(programme, notices=notices, checksum=checksum, **names),
        calendar=calendar_file(
            [_entry(session, told, at=at, **names) for session in programme.sessions],
            name=f"Programme for {case.athlete.name}",
            made_at=made_at,
        ),
    )


def _carried_by_a_sore_arm(case: Circumstances, prepared: Prepared) -> frozenset[str]:
    """Return the exercises of which an arm that hurts too much carries some of the load."""
    sore = {side for side in SIDES if hurts_too_much(case.athlete, side)}
    return frozenset(id_ for (id_, _), setup in prepared.setups.items() if sore & set(arms_loaded([setup])))


def _first_loads(prepared: Prepared) -> dict[str, float]:
    """Return the load that each exercise begins with, the mean of its sides [N·m]; not of what states none."""
    found: dict[str, list[float]] = {}
    for (id_, _), setup in prepared.setups.items():
        if setup.peak is not None and setup.peak.value > 0:
            found.setdefault(id_, []).append(setup.peak.value)
    return {id_: sum(loads) / len(loads) for id_, loads in found.items()}


def write_programme(made: MadeProgramme, folder: Path) -> tuple[Path, ...]:
    """Write ``programme.json``, ``programme.pdf`` and ``programme.ics`` into `folder`; all of them, or none.

    Returns
    -------
    tuple of Path
        The files written.
    """
    text = json.dumps(made.document, ensure_ascii=False, indent=2, allow_nan=False)
    contents = {
        "programme.ics": made.calendar,
        "programme.json": (text + "\n").encode(),
        "programme.pdf": programme_pdf(made.content),
    }
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=folder, prefix=".making-") as temporary:
        making = Path(temporary)
        for name, content in contents.items():
            (making / name).write_bytes(content)
        for name in contents:
            (making / name).replace(folder / name)
    return tuple(folder / name for name in contents)


def _setups(programme: Programme, prepared: Prepared, for_match: Prepared | None) -> dict[PlanName, dict[str, Setups]]:
    """Return the set-ups of every day: those of training days under "", those of single days under their name."""
    found: dict[PlanName, dict[str, Setups]] = {"": _of(programme.week.candidates, prepared)}
    for name, session in programme.plans.items():
        source = for_match if session.kind == "before a match" and for_match is not None else prepared
        found[name] = _of([each.candidate for each in session.items], source)
    return found


def _of(candidates: Iterable[Candidate], prepared: Prepared) -> dict[str, Setups]:
    found: dict[str, Setups] = {}
    for each in candidates:
        mine = {side: setup for (id_, side), setup in prepared.setups.items() if id_ == each.id}
        found[each.id] = {None: next(iter(mine.values()))} if each.together else {s: mine[s] for s in each.sides}
    return found


def _figures(setups: dict[PlanName, dict[str, Setups]], look: Look) -> dict[str, str]:
    """Return one small drawing of each exercise; the lighter set-up before a match looks the same."""
    drawn: dict[str, str] = {}
    for of_day in setups.values():
        for id_, sides in of_day.items():
            if id_ not in drawn:
                drawn[id_] = small_figure(next(iter(sides.values())), look)
    return drawn


def _entry(
    session: PlannedSession, told: Mapping[tuple[date, str], str], *, at: time, athlete: str, venue: str
) -> CalendarEntry:
    """Return a session as a calendar entry; its uid stays when the programme is made again."""
    who = hashlib.sha256(athlete.encode()).hexdigest()[:12]
    lines = []
    for item in session.items:
        words = told.get((session.on, item.exercise.id), "")
        dose = dose_large(item.dose, item.exercise)
        lines.append(f"{item.exercise.title}: {dose}" + (f", {words}" if words else ""))
    lines += [f"Left out: {exercise.title}" for exercise in session.left_out]
    if session.kind == "match":
        lines.append("Move this entry to the hour before the match.")
    return CalendarEntry(
        uid=f"{session.on.isoformat()}-{who}@firstpush",
        title=f"{session_title(session)}: {athlete}",
        starts=datetime.combine(session.on, at),
        minutes=session.total_s / 60,
        place=venue,
        description="\n".join(lines),
    )
