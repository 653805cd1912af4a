"""What was logged, in plain words: the entries that hold, by session done and by exercise."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from firstpush.core.notices import LEVELS
from firstpush.core.people.first_aid import every_card
from firstpush.core.progress.entries import Entry, read_entry, standing
from firstpush.web.oncourt.about_athlete import place_words
from firstpush.web.oncourt.alarms import Alarm, alarms_in, counts_of, pain_in
from firstpush.web.oncourt.models import CourtEntry
from firstpush.web.reckoned import Reckoned, version_key
from firstpush.web.sessions.models import Plan, PlanVersion


@dataclass(kw_only=True)
class LoggedExercise:
    """What holds about one exercise, as clauses."""

    id: str
    title: str
    said: list[str] = field(default_factory=list)


@dataclass(kw_only=True)
class Run:
    """One doing of a session, in words.

    `began` is by the clock of the device, in its own zone.
    """

    id: UUID
    plan_id: int
    athlete_id: int
    version: int
    began: datetime
    late: bool
    ended: bool = False
    minutes: int | None = None
    session_effort: int | None = None
    exercises: list[LoggedExercise] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    """About the whole session, or a part of it."""
    alarms: list[Alarm] = field(default_factory=list)
    """What must be seen first, the gravest first."""
    counts: str = ""
    pain: str = ""

    @property
    def gravest(self) -> int:
        """How grave the gravest alarm is; nothing where there is none."""
        return 1 + LEVELS.index(self.alarms[0].level) if self.alarms else 0

    @property
    def line(self) -> str:
        """The whole run in one clause: the gravest alarm, else how much was done."""
        if not self.alarms:
            return self.counts
        more = len(self.alarms) - 1
        return self.alarms[0].words + (f", and {more} more" if more else "")


def runs_of_plan(plan: Plan) -> list[Run]:
    """Return every doing of a session, the newest day first, of a day what must be seen first."""
    return _runs(CourtEntry.objects.filter(version__plan=plan))


def runs_of_athlete(athlete_id: int) -> list[Run]:
    """Return every doing of an athlete's sessions, the newest first."""
    return _runs(CourtEntry.objects.filter(athlete=athlete_id))


def runs_on(day: date, athletes: Iterable[int]) -> dict[int, list[Run]]:
    """Return what was done on a day, by athlete, the newest first."""
    rows = CourtEntry.objects.filter(athlete__in=list(athletes), at__date=day)
    found: dict[int, list[Run]] = {}
    for run in _runs(rows):
        found.setdefault(run.athlete_id, []).append(run)
    return found


def runs_of_entries(ids: Iterable[str | UUID]) -> list[Run]:
    """Return every doing that these entries belong to, whole, the newest first."""
    runs = CourtEntry.objects.filter(pk__in=list(ids)).values("run")
    return _runs(CourtEntry.objects.filter(run__in=runs))


def _runs(rows: QuerySet[CourtEntry]) -> list[Run]:
    by_run: dict[UUID, list[Entry]] = {}
    versions: dict[UUID, int] = {}
    for text, version_id in rows.values_list("text", "version_id"):
        entry = read_entry(text)
        by_run.setdefault(entry.run, []).append(entry)
        versions[entry.run] = version_id
    titles = _titles_of(versions.values())
    runs = [_run(entries, titles[versions[run]]) for run, entries in by_run.items()]
    # Of one day what must be seen comes before what came after it.
    return sorted(runs, key=lambda run: (run.began.date(), run.gravest, run.began), reverse=True)


_TITLES: Reckoned[dict[str, str]] = Reckoned(most=2048)
_NAMED_BY = ("number", "made_at")


def _titles_of(pks: Iterable[int]) -> dict[int, dict[str, str]]:
    """Return the title of every exercise by its id, for each version.

    A version never changes: its titles are read once, and of its document, a hundred kilobytes, the exercises alone.
    """
    by_key = {version_key(each): each.pk for each in PlanVersion.objects.filter(pk__in=set(pks)).only(*_NAMED_BY)}
    unread = [pk for key, pk in by_key.items() if not _TITLES.holds(key)]
    items = dict(PlanVersion.objects.filter(pk__in=unread).values_list("pk", "document__items")) if unread else {}
    return {pk: _TITLES.of(key, partial(_titles, pk, items)) for key, pk in by_key.items()}


def _titles(pk: int, read: Mapping[int, Any]) -> dict[str, str]:
    # What was kept may have made room for others since it was looked for.
    items = read[pk] if pk in read else PlanVersion.objects.values_list("document__items", flat=True).get(pk=pk)
    return {item.get("exercise", ""): item["title"] for item in items or ()}


def _run(entries: Iterable[Entry], titles: Mapping[str, str]) -> Run:
    every = sorted(entries, key=lambda each: each.sequence)
    first = every[0]
    run = Run(
        id=first.run,
        plan_id=first.plan,
        athlete_id=first.athlete,
        version=first.version,
        began=first.at,
        late=any(each.values.get("late") is True for each in every),
    )
    exercises: dict[str, LoggedExercise] = {}
    holds = standing(every)
    for entry in holds:
        if entry.kind == "ended":
            run.ended = True
            run.minutes, run.session_effort = entry.values["minutes"], entry.values.get("session_effort_0_10")
        elif (words := _words(entry)) and entry.exercise is not None:
            title = titles.get(entry.exercise, entry.exercise.replace("_", " "))
            exercises.setdefault(entry.exercise, LoggedExercise(id=entry.exercise, title=title)).said.append(words)
        elif words:
            run.said.append(words)
    order = list(titles)
    run.exercises = [
        exercises[id_] for id_ in sorted(exercises, key=lambda id_: order.index(id_) if id_ in order else len(order))
    ]
    run.alarms, run.pain = alarms_in(holds, titles), pain_in(holds)
    run.counts = counts_of(holds, titles, over=run.ended)
    return run


def _words(entry: Entry) -> str:
    """Return what an entry says, as a clause; empty for what only marks a place in the run."""
    values = entry.values
    match entry.kind:
        case "done":
            return _done(values)
        case "skipped":
            return f"not done: {values['reason']}"
        case "swapped":
            return f"changed to {_variant(values['to'])}"
        case "effort":
            about = f"{values['part']}: " if entry.exercise is None and values.get("part") else ""
            return f"{about}" + (f"felt {values['feel']}" if "feel" in values else f"effort {values['effort_6_20']}")
        case "pain":
            then = f", then: {values['outcome']}" if values.get("outcome") else ""
            return _pain(values) + then
        case "stopped":
            sign = f" ({values['sign']})" if values.get("sign") else ""
            names = {card.id: card.title for card in every_card()}
            return f"stopped, first aid: “{names.get(values['card'], values['card'])}”{sign}"
        case "note":
            return f"note: {values['words']}"
        case "before":
            return _before(values)
        case _:
            return ""


def _done(values: Mapping[str, Any]) -> str:
    how = _variant(values["variant"])
    if values["variant"] == "planned" and values.get("as_planned") is False:
        how = "done, otherwise than planned"
    amounts = [
        f"{values[name]} {one if values[name] == 1 else many}"
        for name, one, many in (
            ("sets", "set", "sets"),
            ("repetitions", "repetition", "repetitions"),
            ("seconds", "second", "seconds"),
        )
        if values.get(name) is not None
    ]
    faults = values.get("faults") or []
    seen = [f"seen: {', '.join(map(str, faults))}"] if isinstance(faults, list) and faults else []
    # Why it was less, where somebody said so.
    why = [str(values["reason"])] if values.get("reason") else []
    return ", ".join([how, *amounts, *seen, *why])


def _variant(name: str) -> str:
    return "as planned" if name == "planned" else f"the {name} variant"


def _pain(values: Mapping[str, Any]) -> str:
    where = place_words(values["place"], values.get("side"))
    return f"pain {values['level_0_10']} of 10, {where}, {values['feeling']}"


def _before(values: Mapping[str, Any]) -> str:
    pains = [_pain(each) for each in values.get("pains", [])]
    effects = values.get("effects") or []
    said = [str(each) for each in effects if each != "none"] if isinstance(effects, list) else []
    parts = pains + ([f"answers asked to {', '.join(said)}"] if said else [])
    return f"before the start: {'; '.join(parts) if parts else 'nothing to report'}"
