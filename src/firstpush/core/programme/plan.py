"""From candidates and a calendar to the whole programme: days first, then weeks."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.notices import Notice, without_repeats
from firstpush.core.people.athlete import SIDES
from firstpush.core.programme.calendar import Calendar, CalendarDay
from firstpush.core.programme.days import TrainingWeek, choose_days
from firstpush.core.programme.load import FIRST_LOAD, Done, WeekOfWork, WorkOnDay
from firstpush.core.programme.programme import (
    EASY,
    MATCH,
    MATCH_EASY,
    PlanName,
    PlannedItem,
    PlannedSession,
    Programme,
    ProgrammeWeek,
    plan_names,
)
from firstpush.core.programme.weeks import PlannedWork, PlanOfWeeks, plan_weeks
from firstpush.core.programme.worth import MAJOR_STRENGTH_AIMS, STRENGTH_DAYS, is_full_strength
from firstpush.core.session.asked import Asked, DoneSession
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.changes import whole_seconds
from firstpush.core.session.compose import compose
from firstpush.core.session.kinds import MATCH_LOAD, KindName, with_sets
from firstpush.core.session.session import Session
from firstpush.core.session.timing import Timing
from firstpush.core.session.wishes import RATIO_STEP, aim_weight, missing_tenths

MATCH_MINUTES = (8.0, 10.0)
"""Time of a session before a match: enough to be warm, too short to tire the cuff (common practice)."""


def plan_programme(
    candidates: Sequence[Candidate],
    *,
    calendar: Calendar,
    minutes: float,
    kind: KindName = "before training",
    match_candidates: Sequence[Candidate] | None = None,
    match_minutes: float = MATCH_MINUTES[1],
    familiar: Iterable[str] = (),
    back_to_front: float = 2.0,
    even_sides: bool = True,
    week: TrainingWeek | None = None,
    done: Done | None = None,
    held: Collection[str] = (),
    seed: int = 0,
) -> Programme:
    """Plan the programme of one athlete: the exercises of each day, then sets and loads of each week.

    Parameters
    ----------
    candidates : sequence of Candidate
        Exercises that have a set-up, each once, in any order.
    calendar : Calendar
        Weeks, training days, matches, breaks, light and test weeks.
    minutes : float
        Time for each training day [min].
    kind : str, optional
        Kind of session on training days, the one that the candidates were made ready for.
    match_candidates : sequence of Candidate, optional
        The exercises made ready for a session before a match, lighter; needed when there is a match.
    match_minutes : float, optional
        Time for a session before a match, 8 to 10 [min].
    familiar : iterable of str, optional
        Ids of exercises that the athlete has done before.
    back_to_front : float, optional
        Sets at the back of the shoulder for each at its front.
    even_sides : bool, optional
        Whether both sides should get the same sets in sessions for matches.
    week : TrainingWeek, optional
        The training week to go on with; left out, it is chosen.
    done : Done, optional
        Weeks that are over, with what was really done in them; the rest is planned from there.
    held : collection of str, optional
        Ids of exercises whose load is not raised, because an arm that carries it hurts too much.
    seed : int, optional
        Chooses among plans of the same worth.

    Returns
    -------
    Programme
        The same for the same arguments, in whatever order the candidates come.

    Raises
    ------
    OutOfRangeError
        When something is out of range, or no week keeps the rules.

    Holds for
    ---------
    One athlete.  Loads are relative to the first load of each exercise; each step is realised when it is due, by
    computing the set-up for it.
    """
    if calendar.matches and not MATCH_MINUTES[0] <= match_minutes <= MATCH_MINUTES[1]:
        raise OutOfRangeError(
            f"{match_minutes:g} minutes are not usual before a match; allowed are {MATCH_MINUTES[0]:g} to "
            f"{MATCH_MINUTES[1]:g} minutes, so that the shoulder is warm and not tired. Give 10."
        )
    if calendar.matches and match_candidates is None:
        raise OutOfRangeError(
            "the programme has a match, and no exercises were made ready for a session before one; allowed are the "
            "candidates of that kind of session. Make them ready too."
        )
    if week is None:
        week = choose_days(
            candidates,
            minutes=minutes,
            weekdays=calendar.weekdays,
            familiar=familiar,
            back_to_front=back_to_front,
            repeats=calendar.weeks > 1,
            seed=seed,
        )
    elif tuple(day.weekday for day in week.days) != calendar.weekdays:
        raise OutOfRangeError(
            f"the week given trains on {[day.weekday for day in week.days]} and the calendar on "
            f"{list(calendar.weekdays)}; both must have the same days. Choose the week anew."
        )
    asked = Asked(back_to_front=back_to_front, even_sides=even_sides, history=_as_done(week, calendar))
    plans = _single_days(
        candidates,
        match_candidates or (),
        week=week,
        calendar=calendar,
        asked=asked,
        minutes=(minutes, match_minutes),
        kind=kind,
        seed=seed,
    )
    chosen = {day.on: _items_of(day, week, calendar, plans) for day in calendar.days}
    kinds = calendar.week_kinds
    work = [
        WeekOfWork(
            kind=kinds[number - 1],
            days=tuple(_work(chosen[day.on], day) for day in calendar.days if day.week == number),
        )
        for number in range(1, calendar.weeks + 1)
    ]
    exercises = {each.candidate.id: each.candidate.exercise for items in chosen.values() for each in items}
    planned = plan_weeks(
        work,
        weights={id_: max(map(aim_weight, exercise.aims)) for id_, exercise in exercises.items()},
        largest_share=_largest_shares(exercises, held),
        done=done,
        seed=seed,
    )
    return Programme(
        calendar=calendar,
        week=week,
        plans=plans,
        weeks=_weeks(calendar, chosen, planned, plan_names(week, calendar)),
        plan_of_weeks=planned,
        notices=tuple(without_repeats([*_notices(week, planned, candidates, back_to_front), *_held(exercises, held)])),
    )


def has_load(exercise: Exercise) -> bool:
    """Whether an exercise has a load that can be made larger step by step."""
    return exercise.loads != "none" and exercise.start_load is not None


def loads_shoulder(exercise: Exercise) -> bool:
    """Whether the load of an exercise counts in the weekly load: all but that of a wrist on its rest."""
    return has_load(exercise) and exercise.loads != "wrist extension"


def _largest_shares(exercises: Mapping[str, Exercise], held: Collection[str]) -> dict[str, float]:
    """Return how far each load may rise over its first; one that is held stays where it is."""
    found = {
        id_: float(exercise.start_load.largest) / float(exercise.start_load.first)
        for id_, exercise in exercises.items()
        if exercise.start_load is not None
    }
    return found | dict.fromkeys(set(found) & set(held), 0.0)


def _held(exercises: Mapping[str, Exercise], held: Collection[str]) -> list[Notice]:
    """Return what is to be told of exercises that take no step."""
    titles = sorted(exercise.title for id_, exercise in exercises.items() if id_ in held and has_load(exercise))
    if not titles:
        return []
    return [
        Notice(
            id="no-step-while-sore",
            level="note",
            what=f"no step is planned for {', '.join(titles)}, because an arm that carries the load hurts too much",
            do="Bend the programme when the pain is back within its limit",
        )
    ]


def _as_done(week: TrainingWeek, calendar: Calendar) -> tuple[DoneSession, ...]:
    """Return the training days as sessions done: what is in the programme is familiar before a match."""
    return tuple(
        DoneSession(on=calendar.start, exercises=tuple((each.candidate.id, each.dose.name) for each in day.items))
        for day in week.days
    )


def _single_days(
    candidates: Sequence[Candidate],
    for_match: Sequence[Candidate],
    *,
    week: TrainingWeek,
    calendar: Calendar,
    asked: Asked,
    minutes: tuple[float, float],
    kind: KindName,
    seed: int,
) -> dict[PlanName, Session]:
    """Compose the sessions for matches and the days before them, where there are any, of what the week has."""
    ids = {each.id for each in week.candidates}
    wanted: dict[PlanName, tuple[list[Candidate], float, KindName]] = {
        EASY: (_without_strength(candidates), minutes[0], kind),
        MATCH: (list(for_match), minutes[1], "before a match"),
        MATCH_EASY: (_without_strength(for_match), minutes[1], "before a match"),
    }
    made = {}
    for name in sorted({_single_day(day) for day in calendar.days} & set(wanted)):
        offered, time, kind_of_day = wanted[name]
        # Nothing new so near a match: only where the week offers nothing is something else taken.
        known = [each for each in offered if each.id in ids]
        session = compose(known or offered, minutes=time, seed=seed, kind=kind_of_day, asked=asked)
        if session.items:
            made[name] = session
    return made


def _single_day(day: CalendarDay) -> PlanName:
    if day.kind == "match":
        return MATCH_EASY if day.match_next else MATCH
    return EASY if day.kind == "day before a match" else ""


def _without_strength(candidates: Iterable[Candidate]) -> list[Candidate]:
    return [each for each in candidates if each.exercise.part != "strength"]


def _items_of(
    day: CalendarDay, week: TrainingWeek, calendar: Calendar, plans: dict[PlanName, Session]
) -> tuple[Chosen, ...]:
    """Return what is chosen for a day, with the sets of an ordinary week."""
    if day.kind == "training":
        return next(each.items for each in week.days if each.weekday == day.on.weekday())
    session = plans.get(_single_day(day))
    return () if session is None else tuple(Chosen(candidate=i.candidate, dose=i.dose) for i in session.items)


def _work(items: Sequence[Chosen], day: CalendarDay) -> tuple[WorkOnDay, ...]:
    return tuple(
        WorkOnDay(
            exercise=each.candidate.id,
            sides=each.candidate.sides if loads_shoulder(each.candidate.exercise) else (),
            sets=each.dose.sets,
            set_seconds=whole_seconds(each.dose.set_seconds),
            share=round(FIRST_LOAD * MATCH_LOAD.value) if day.kind == "match" else FIRST_LOAD,
        )
        for each in items
        if has_load(each.candidate.exercise)
    )


def _weeks(
    calendar: Calendar,
    chosen: dict[date, tuple[Chosen, ...]],
    planned: PlanOfWeeks,
    names: dict[int, PlanName],
) -> tuple[ProgrammeWeek, ...]:
    found = []
    done = calendar.weeks - len(planned.weeks)
    timing = Timing()
    for number, kind in enumerate(calendar.week_kinds, start=1):
        days = [day for day in calendar.days if day.week == number]
        first = calendar.first_day_of(number)
        if number <= done:
            loads = {side: each[number - 1] for side, each in planned.done_loads.items()}
            found.append(
                ProgrammeWeek(
                    number=number, first=first, kind=kind, sessions=(), done=True, loads=loads, largest={}, back=None
                )
            )
            continue
        here = planned.weeks[number - 1 - done]
        sessions = tuple(
            _session(day, chosen[day.on], works, _single_day(day) or names.get(day.on.weekday(), ""), timing)
            for day, works in zip(days, here.days, strict=True)
        )
        found.append(
            ProgrammeWeek(
                number=number,
                first=first,
                kind=kind,
                sessions=sessions,
                done=False,
                loads=here.loads,
                largest=here.largest,
                back=here.back,
            )
        )
    return tuple(found)


def _session(
    day: CalendarDay, chosen: Sequence[Chosen], works: Sequence[PlannedWork], plan: PlanName, timing: Timing
) -> PlannedSession:
    work_of = {each.exercise: each for each in works}
    items, left_out = [], []
    for each in chosen:
        work = work_of.get(each.candidate.id)
        if work is None:
            items.append(PlannedItem(candidate=each.candidate, dose=each.dose, chosen_sets=each.dose.sets))
        elif work.sets == 0:
            left_out.append(each.candidate.exercise)
        else:
            items.append(
                PlannedItem(
                    candidate=each.candidate,
                    dose=with_sets(each.dose, work.sets),
                    chosen_sets=work.chosen_sets,
                    load_share=work.load_share,
                    change=work.change,
                )
            )
    total = timing.total([Chosen(candidate=each.candidate, dose=each.dose) for each in items])
    return PlannedSession(
        on=day.on,
        kind=day.kind,
        plan=plan if items else "",
        items=tuple(items),
        left_out=tuple(left_out),
        total_s=total,
    )


def _notices(
    week: TrainingWeek, planned: PlanOfWeeks, candidates: Sequence[Candidate], back_to_front: float
) -> list[Notice]:
    notices = []
    offered = {aim for each in candidates if each.exercise.part == "strength" for aim in each.exercise.aims}
    wanted = min(int(STRENGTH_DAYS.value), len(week.days))
    for aim in sorted(MAJOR_STRENGTH_AIMS & offered):
        full = sum(any(is_full_strength(each, aim) for each in day.items) for day in week.days)
        if full < wanted:
            notices.append(
                Notice(
                    id="strength-days-missing",
                    level="note",
                    what=f"full strength work on {full or 'no'} day{'s' if full != 1 else ''} a week, and "
                    f"{wanted} are asked for",
                    do="Give more minutes or more days, or count what is done elsewhere",
                    about=aim,
                )
            )
    for side in SIDES:
        missing = missing_tenths([each for day in week.days for each in day.items], side, ratio=back_to_front)
        if missing:
            sets = missing / RATIO_STEP
            notices.append(
                Notice(
                    id="front-outweighs-back",
                    level="caution",
                    what=f"the {side} shoulder gets {sets:g} set{'s' if sets != 1 else ''} a week too few at its back; "
                    f"{back_to_front:g} for each set at the front are wanted",
                    do="Make pulling back or turning out possible, or leave the pressing out",
                    about=side,
                )
            )
    held = [
        each.number
        for each in planned.weeks
        if each.kind == "training" and any(work.sets < work.chosen_sets for day in each.days for work in day)
    ]
    if held:
        notices.append(
            Notice(
                id="weekly-load-held-back",
                level="note",
                what=f"sets are left out in week{'s' if len(held) > 1 else ''} {', '.join(map(str, held))}, so that "
                "the weekly load does not jump after weeks with less",
                do="Keep to it even when it feels light",
            )
        )
    return notices
