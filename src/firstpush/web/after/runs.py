"""The sessions that an athlete did, as the rule reads them: what was done of each exercise, what each arm carried."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from firstpush.core.people.athlete import Side
from firstpush.core.progress.entries import Entry, read_entry, standing
from firstpush.core.progress.history import Done, Planned, done_in
from firstpush.core.progress.try_out import REPETITIONS
from firstpush.core.progress.week_load import Carried
from firstpush.core.session.kinds import KindName, kind_named
from firstpush.web.oncourt.alarms import pains_of, what_it_meant
from firstpush.web.oncourt.models import CourtEntry
from firstpush.web.sessions.models import PlanVersion


@dataclass(frozen=True, kw_only=True)
class DoneRun:
    """One doing of a session.

    Parameters
    ----------
    began : datetime
        By the clock of the device.
    texts : tuple of str
        Its entries as they came, by sequence.
    done : tuple of Done
        One for each exercise that was done or broken off.
    carried : tuple of Carried
    ended : bool
    """

    id: UUID
    version_id: int
    began: datetime
    texts: tuple[str, ...]
    entries: tuple[Entry, ...]
    done: tuple[Done, ...]
    carried: tuple[Carried, ...]
    ended: bool

    @property
    def on(self) -> date:
        """The day it began, by the clock of the device."""
        return self.began.date()


def arms_of(runs: Iterable[DoneRun]) -> dict[str, frozenset[Side]]:
    """Return which arms each exercise loaded, as far as it carried anything."""
    found: dict[str, set[Side]] = {}
    for run in runs:
        for each in run.carried:
            found.setdefault(each.exercise, set()).add(each.side)
    return {exercise: frozenset(sides) for exercise, sides in found.items()}


def last_done_on(runs: Iterable[DoneRun], exercise: str) -> date:
    """Return when an exercise was done last; the beginning of time where it never was."""
    return max((done.on for run in runs for done in run.done if done.exercise == exercise), default=date.min)


def pain_on(runs: Iterable[DoneRun], arms: Iterable[Side]) -> date | None:
    """Return when a pain last came that asked for more than care at one of these arms, or at neither side."""
    meant = (None, *arms)
    return max(
        (
            run.on
            for run in runs
            for entry in standing(run.entries)
            for pain in pains_of(entry)
            if what_it_meant(pain).is_too_much and pain.get("side") in meant
        ),
        default=None,
    )


@dataclass(kw_only=True)
class _Session:
    """What a version of a session asked for."""

    lighter: str = ""
    planned: dict[str, Planned] = field(default_factory=dict)
    items: dict[str, Mapping[str, Any]] = field(default_factory=dict)


def runs_done(athlete_id: int) -> list[DoneRun]:
    """Return every doing of an athlete's sessions, the oldest first."""
    rows = CourtEntry.objects.filter(athlete=athlete_id).order_by("run", "sequence")
    texts: dict[UUID, list[str]] = {}
    versions: dict[UUID, int] = {}
    for run, version_id, text in rows.values_list("run", "version_id", "text"):
        texts.setdefault(run, []).append(text)
        versions[run] = version_id
    sessions = _sessions(set(versions.values()))
    found = [_run(run, versions[run], each, sessions[versions[run]]) for run, each in texts.items()]
    return sorted(found, key=lambda run: run.began)


def _sessions(ids: Iterable[int]) -> dict[int, _Session]:
    found = {}
    asked = ("document__items", "request__kind", "request__inputs__after_break")
    for pk, items, kind, back in PlanVersion.objects.filter(pk__in=ids).values_list("pk", *asked):
        session = _Session(lighter=_why_lighter(kind, back))
        for item in items or []:
            session.items[item["exercise"]] = item
            session.planned[item["exercise"]] = _planned(item)
        found[pk] = session
    return found


def _why_lighter(kind: KindName | None, back: Mapping[str, Any] | None) -> str:
    """Return why a session asked for less load than usual; empty where it did not."""
    if kind is not None and kind_named(kind).load_share < 1.0:
        return kind_named(kind).spoken
    return "" if back is None else "after a break"


def _planned(item: Mapping[str, Any]) -> Planned:
    """Return what was asked of an exercise: of a first time one set of the fewest repetitions that are tried."""
    dose = item["dose"]
    first = any((setup.get("target") or {}).get("kind") == "try-out" for setup in item.get("setups", ()))
    if first and dose.get("repetitions") is not None:
        return Planned(part=item["part"], sets=1, repetitions=min(REPETITIONS[0], dose["repetitions"]))
    return Planned(part=item["part"], sets=dose["sets"], repetitions=dose.get("repetitions"))


def _run(id_: UUID, version_id: int, texts: list[str], session: _Session) -> DoneRun:
    entries = tuple(read_entry(text) for text in texts)
    holding = standing(entries)
    done = tuple(replace(each, lighter=session.lighter) for each in done_in(entries, session.planned))
    sets = {each.exercise: each.values.get("sets") for each in holding if each.kind == "done"}
    return DoneRun(
        id=id_,
        version_id=version_id,
        began=entries[0].at,
        texts=tuple(texts),
        entries=entries,
        done=done,
        carried=tuple(
            carried
            for each in done
            if each.exercise in sets and each.exercise in session.items
            for carried in _carried(each, session.items[each.exercise], sets[each.exercise])
        ),
        ended=any(each.kind == "ended" for each in holding),
    )


def _carried(done: Done, item: Mapping[str, Any], sets: int | None) -> Iterable[Carried]:
    """Yield what each arm carried; a variant counts as planned, so that an easier one never makes room for more."""
    dose = item["dose"]
    seconds = dose.get("seconds")
    if seconds is None:
        phases = dose["out_s"] + dose["hold_s"] + dose["back_s"]
        seconds = (dose.get("repetitions") or 0) * phases
    for setup in item["setups"]:
        load = setup.get("peak_load_nm")
        if load is None:
            continue
        arms: list[Side] = setup["arms"]
        for side in arms:
            whole = seconds * (dose["sets"] if sets is None else sets)
            yield Carried(on=done.on, exercise=done.exercise, side=side, load=load["value"], seconds=whole)
