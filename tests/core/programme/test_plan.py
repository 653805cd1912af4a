"""A whole programme for the invented athlete of the harbour club, from all exercises of the library."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

import pytest
from programme_cases import mirrored, ready

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.programme import (
    Break,
    Calendar,
    Done,
    DoneWork,
    PlannedSession,
    Programme,
    plan_programme,
    programme_document,
)
from firstpush.core.programme.plan import has_load
from firstpush.core.session import Candidate, Chosen, timeline
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.circumstances import circumstances
from firstpush.demo import demo_file

START = date(2026, 12, 7)
MATCHES = (date(2026, 12, 12), date(2027, 1, 16), date(2027, 1, 17))
MATCH_ITEMS = ("chest_stretch_post", "seated_row", "ball_circles", "graded_push_lengths")
"""Enough for small programmes: one exercise of each part."""


@pytest.fixture(scope="module")
def offered() -> dict[str, tuple[Candidate, ...]]:
    """Return all that can be set up, for training and before a match."""
    case = circumstances(
        load_athlete(demo_file("athlete")), load_kit(demo_file("kit")), load_venue(demo_file("venue")), on=START
    )
    return {
        kind: prepare(case, library().values(), kind=kind).candidates  # type: ignore[arg-type]
        for kind in ("before training", "before a match")
    }


def calendar(**other: Any) -> Calendar:
    """Six weeks, three days a week, a light week, a break, a test week and matches."""
    given: dict[str, Any] = {
        "start": START,
        "weeks": 6,
        "weekdays": (0, 2, 4),
        "test_weeks": (6,),
        "breaks": (Break(first=date(2026, 12, 28), last=date(2027, 1, 3)),),
        "matches": MATCHES,
    }
    return Calendar(**given | other)


@pytest.fixture(scope="module")
def programme(offered: dict[str, tuple[Candidate, ...]]) -> Programme:
    """Return the programme of all these."""
    return plan_programme(
        offered["before training"],
        calendar=calendar(),
        minutes=18,
        match_candidates=offered["before a match"],
    )


def on(programme: Programme, day: date) -> PlannedSession:
    """Return the session of a day."""
    return next(each for week in programme.weeks for each in week.sessions if each.on == day)


def parts(session: PlannedSession) -> set[str]:
    """Return the parts of a session."""
    return {each.exercise.part for each in session.items}


def test_the_plan_is_within_two_percent_of_its_bounds(programme: Programme) -> None:
    """Of forty exercises on three days and six weeks, nothing better by more than that exists."""
    assert programme.largest_gap <= 0.02
    assert programme.week.worth.total <= programme.week.bound


def test_every_session_fits_its_minutes(programme: Programme) -> None:
    """The time of each is that of its timeline; ten minutes before a match."""
    for session in programme.sessions:
        items = [Chosen(candidate=each.candidate, dose=each.dose) for each in session.items]
        assert session.total_s == timeline(items).total_s
        assert session.total_s <= (10 if session.kind == "match" else 18) * 60


def test_no_strength_the_day_before_a_match(programme: Programme) -> None:
    """Friday before the match, and the first of two match days; other training days have all four parts."""
    for day in (date(2026, 12, 11), date(2027, 1, 15), date(2027, 1, 16)):
        assert "strength" not in parts(on(programme, day))
        assert on(programme, day).items
    assert parts(on(programme, START)) == {"mobility", "strength", "control", "court"}


def test_before_a_match_there_is_nothing_new_and_nothing_heavy(programme: Programme) -> None:
    """Only exercises of the week, in single sets, at six tenths of their load."""
    known = {each.id for each in programme.candidates}
    for day in MATCHES:
        session = on(programme, day)
        assert session.kind == "match"
        for item in session.items:
            assert item.exercise.id in known
            if item.exercise.part == "strength":
                assert item.dose.sets == 1
            if item.load_share is not None:
                assert item.change == "light"
                assert item.load_share <= 0.6 * 1.1**5


def test_nothing_is_done_in_the_break(programme: Programme) -> None:
    """The days stand there and are empty; the week after comes back lower."""
    assert programme.weeks[3].kind == "break"
    assert all(not each.items and each.kind == "break" for each in programme.weeks[3].sessions)
    back = programme.weeks[4]
    assert back.back is not None
    for side in SIDES:
        assert back.loads[side] < programme.weeks[2].loads[side]


def test_the_weekly_load_of_each_shoulder_adds_up(programme: Programme) -> None:
    """Sets, seconds and load shares of every session, added anew; within the largest that is allowed."""
    for week in programme.weeks:
        for side in SIDES:
            load = sum(
                item.dose.sets * item.dose.set_seconds * (item.load_share or 0)
                for session in week.sessions
                for item in session.items
                if side in item.candidate.sides and item.exercise.id != "wrist_extension"
            )
            # A set before a match counts in whole seconds.
            assert week.loads[side] == pytest.approx(load, abs=3)
            largest = week.largest[side]
            assert largest is None or week.loads[side] <= largest + 0.1


def test_what_is_left_out_and_what_is_fewer_is_said(programme: Programme) -> None:
    """Items and what is left out are together what the ordinary day has."""
    ordinary = {day.weekday: {each.candidate.id: each.dose.sets for each in day.items} for day in programme.week.days}
    for session in programme.sessions:
        if session.kind != "training":
            continue
        sets = {each.exercise.id: each.dose.sets for each in session.items}
        out = {each.id for each in session.left_out}
        usual = ordinary[session.on.weekday()]
        assert set(sets) | out == set(usual)
        for item in session.items:
            assert item.chosen_sets == usual[item.exercise.id]
            assert item.light == (sets[item.exercise.id] < usual[item.exercise.id])
            assert (item.load_share is not None) == has_load(item.exercise)


def test_exercises_are_daily_or_alternate(programme: Programme) -> None:
    """What is done on every training day says so."""
    for each in programme.candidates:
        days = sum(any(item.candidate.id == each.id for item in day.items) for day in programme.week.days)
        assert programme.rhythm_of(each.id) == ("every training day" if days == 3 else "alternating")
    assert {"every training day", "alternating"} == {programme.rhythm_of(each.id) for each in programme.candidates}


def test_the_document_is_plain_and_whole(programme: Programme) -> None:
    """It survives JSON, and has every session with every exercise, dose and load."""
    document = programme_document(programme, athlete="Runa Velde", venue="harbour hall", checksum="0123abcd")
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    assert document["format"] == "firstpush programme 1"
    sessions = [session for week in document["weeks"] for session in week["sessions"]]
    assert len([each for each in sessions if each["items"]]) == len(programme.sessions)
    assert {each["date"] for each in sessions} == {day.on.isoformat() for day in programme.calendar.days}
    first = next(item for item in sessions[0]["items"] if item["load_percent"] is not None)
    assert (first["load_percent"], first["change"]) == (100.0, "first load")
    assert document["how_good"]["days"]["bound"] >= document["how_good"]["days"]["worth"]
    units = ("_s", "_percent")
    for key, value in walk(document):
        if isinstance(value, float):
            assert key.endswith(units) or key in ("minutes", "left", "right", "seconds"), f"{key} has no unit"


def walk(document: Any, key: str = "") -> Iterable[tuple[str, Any]]:
    """Yield every value with its key."""
    if isinstance(document, dict):
        for name, value in document.items():
            yield from walk(value, name)
    elif isinstance(document, list):
        for value in document:
            yield from walk(value, key)
    else:
        yield key, document


def small(**other: Any) -> Programme:
    """Return a programme of four exercises, quickly made."""
    candidates = [ready(each) for each in MATCH_ITEMS]
    given: dict[str, Any] = {"calendar": Calendar(start=START, weeks=4, weekdays=(0, 3)), "minutes": 15}
    return plan_programme(candidates, **given | other)


def test_the_same_twice_and_mirrored() -> None:
    """The same request gives the same programme, and the mirrored athlete the mirrored one."""
    one = small()
    assert small() == one
    other = plan_programme(
        [mirrored(ready(each)) for each in MATCH_ITEMS],
        calendar=Calendar(start=START, weeks=4, weekdays=(0, 3)),
        minutes=15,
    )
    for here, there in zip(one.sessions, other.sessions, strict=True):
        assert [(i.exercise.id, i.dose, i.load_share, i.change) for i in here.items] == [
            (i.exercise.id, i.dose, i.load_share, i.change) for i in there.items
        ]


def test_what_was_done_replaces_what_was_planned() -> None:
    """Two weeks with the row at nine tenths: the third goes on from there, and the first two are over."""
    done = Done(
        weeks=2,
        work=tuple(
            DoneWork(week=week, exercise="seated_row", sides=("left", "right"), sets=2, set_seconds=50, load_share=0.9)
            for week in (1, 1, 2, 2)
        ),
    )
    before = small()
    after = small(week=before.week, done=done)
    assert [week.done for week in after.weeks] == [True, True, False, False]
    assert after.weeks[0].sessions == ()
    assert after.weeks[0].loads["left"] == pytest.approx(2 * 2 * 50 * 0.9)
    row = next(item for item in after.weeks[2].sessions[0].items if item.exercise.id == "seated_row")
    assert row.load_share is not None
    assert row.load_share <= 0.9 * 1.1 + 0.001
    assert after.weeks[2].first == START + timedelta(days=14)


def test_too_little_full_strength_work_is_told() -> None:
    """One light row a day is no full strength work, and the notice says on how many days it is asked for."""
    notices = {each.about: each for each in small().notices if each.id == "strength-days-missing"}
    assert notices == {}
    few = small(minutes=6)
    told = [each for each in few.notices if each.id == "strength-days-missing"]
    full = sum(any(i.candidate.id == "seated_row" and i.dose.sets == 2 for i in day.items) for day in few.week.days)
    assert bool(told) == (full < 2)
    assert full < 2, "six minutes have no time for all"
    assert "2 are asked for" in told[0].what


def test_a_match_needs_its_own_candidates_and_its_own_time() -> None:
    """Without exercises made ready for it, or with too much time, it is refused."""
    with_match = Calendar(start=START, weeks=4, weekdays=(0, 3), matches=(START + timedelta(days=5),))
    with pytest.raises(OutOfRangeError, match="no exercises were made ready"):
        small(calendar=with_match)
    ready_for_it = [ready(each) for each in MATCH_ITEMS]
    with pytest.raises(OutOfRangeError, match="15 minutes are not usual before a match; allowed are 8 to 10"):
        small(calendar=with_match, match_candidates=ready_for_it, match_minutes=15)
    assert small(calendar=with_match, match_candidates=ready_for_it).weeks


def test_a_week_of_other_days_is_refused() -> None:
    """A week given to go on with must train on the days of the calendar."""
    with pytest.raises(OutOfRangeError, match="both must have the same days"):
        small(calendar=Calendar(start=START, weeks=4, weekdays=(0, 2)), week=small().week)


def test_what_a_sore_arm_carries_takes_no_step(offered: dict[str, tuple[Candidate, ...]]) -> None:
    """Held exercises keep their first load in every week, the others still take steps; a note names the held ones."""
    plain = Calendar(start=START, weeks=4, weekdays=(0, 2, 4))
    free = plan_programme(offered["before training"], calendar=plain, minutes=18)
    stepping = {
        item.candidate.id
        for week in free.weeks
        for session in week.sessions
        for item in session.items
        if item.change == "one step"
    }
    assert len(stepping) > 1, "the example has something to hold"
    kept = sorted(stepping)[0]
    held = plan_programme(offered["before training"], calendar=plain, minutes=18, held={kept}, week=free.week)
    changes = {
        (item.candidate.id, item.change, item.load_share)
        for week in held.weeks
        for session in week.sessions
        for item in session.items
    }
    assert {share for id_, _, share in changes if id_ == kept} == {1.0}
    assert any(change == "one step" for id_, change, _ in changes if id_ != kept)
    note = next(each for each in held.notices if each.id == "no-step-while-sore")
    assert library()[kept].title in note.what
    assert not any(each.id == "no-step-while-sore" for each in free.notices)
