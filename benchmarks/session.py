"""How long it takes to choose a session, and how much of an earlier one stays when something changes.

Run: OMP_NUM_THREADS=1 uv run python benchmarks/session.py
"""

from __future__ import annotations

import time
from dataclasses import replace

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session import Asked, Candidate, Session, compose
from firstpush.core.session.plan import plan_session
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.circumstances import circumstances
from firstpush.demo import demo_file
from firstpush.demo.club import club_files


def plan(session: Session) -> tuple[tuple[str, str], ...]:
    """Return exercises and doses of a session."""
    return tuple((item.candidate.id, item.dose.name) for item in session.items)


def more_of(candidates: tuple[Candidate, ...], count: int) -> list[Candidate]:
    """Return `count` candidates: those given, and the first of them again under other names and at other heights."""
    again = [
        replace(
            each,
            exercise=replace(each.exercise, id=f"{each.id}_again", after_any=()),
            anchor_height=None if each.anchor_height is None else each.anchor_height + 0.1,
            family=each.family and f"{each.family}_again",
        )
        for each in candidates
    ]
    return [*candidates, *again][:count]


def choosing() -> None:
    """Print the time to choose from 30 to 60 exercises in several numbers of minutes, and whether it was proven."""
    case = circumstances(*(load(demo_file(name)) for load, name in _FILES))
    candidates = prepare(case, library().values()).candidates
    compose(candidates[:4], minutes=8)
    for count in (30, 40, 50, 60):
        known = more_of(candidates, count)
        for minutes in (10, 18, 30):
            start = time.process_time()
            session = compose(known, minutes=minutes)
            seconds = time.process_time() - start
            print(
                f"{count} exercises, {minutes} minutes: {seconds:.2f} s, {session.status}, {len(session.items)} chosen"
            )


def staying() -> None:
    """Print the share of an earlier session that stays when one thing changes, of what still could be done."""
    files = club_files()
    kit, venue = load_kit(files["kits"][0]), load_venue(files["venues"][1])
    for path in files["athletes"]:
        athlete, name = load_athlete(path), path.stem
        case = circumstances(athlete, kit, venue)
        first = plan(plan_session(case, library().values(), minutes=18).session)
        changes = {"taken out by hand": [], "band gone": [], "two minutes less": [], "sore shoulder": []}
        for id_, _ in first:
            changes["taken out by hand"].append((case, Asked(earlier=first, without=(id_,)), 18))
        for band in kit.bands:
            rest = replace(kit, bands=tuple(each for each in kit.bands if each is not band))
            changes["band gone"].append((circumstances(athlete, rest, venue), Asked(earlier=first), 18))
        changes["two minutes less"].append((case, Asked(earlier=first), 16))
        others = [pain for pain in athlete.health.pain or () if (pain.place, pain.side) != (SORE.place, SORE.side)]
        sore = replace(athlete, health=replace(athlete.health, pain=(*others, SORE)))
        changes["sore shoulder"].append((circumstances(sore, kit, venue), Asked(earlier=first), 18))
        said = []
        for what, asked_for in changes.items():
            kept = possible = fresh = 0
            for other_case, asked, minutes in asked_for:
                planned = plan_session(other_case, library().values(), minutes=minutes, asked=asked)
                offered = {each.id for each in planned.prepared.candidates} - set(asked.without)
                could = {each for each in first if each[0] in offered}
                possible += len(could)
                kept += len(could & set(plan(planned.session)))
                free = plan_session(other_case, library().values(), minutes=minutes, asked=replace(asked, earlier=()))
                fresh += len(could & set(plan(free.session)))
            said.append(f"{what}: {kept} of {possible} stay ({fresh} without the earlier plan)")
        print(f"{name}: {'; '.join(said)}")


SORE = Pain(place="shoulder top", side="right", usual=0, now=4)
"""What hurts in one of the changes, which is too much for that arm today."""
_FILES = ((load_athlete, "athlete"), (load_kit, "kit"), (load_venue, "venue"))

if __name__ == "__main__":
    choosing()
    staying()
