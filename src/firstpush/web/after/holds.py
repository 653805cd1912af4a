"""What holds for an athlete: how exercises are done from now on, what was done, and the numbers of the rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from django.db.models import Max

from firstpush.core.progress.after_break import AfterBreak, after_break
from firstpush.core.progress.rules import Rules
from firstpush.core.session.asked import STALE_AFTER
from firstpush.web.after.models import Said, Word
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.oncourt.models import CourtEntry
from firstpush.web.sessions.models import PlanVersion

REMEMBERED = timedelta(days=STALE_AFTER.value + 1)
"""How far back what was done counts for the choice of the next session."""


def agreed_of(record: AthleteRecord) -> list[dict[str, Any]]:
    """Return what is agreed about exercises of an athlete, as plain data: of each the last word, in their order."""
    held = words_that_hold(record)
    return [agreed for id_, word in held.items() for agreed in word.agreed if agreed["exercise"] == id_]


def words_that_hold(record: AthleteRecord) -> dict[str, Word]:
    """Return of each exercise about which something is agreed the word that says it."""
    found: dict[str, Word] = {}
    for word in record.words.exclude(said=Said.NOTHING):
        for id_ in _about(word):
            if word.said == Said.TAKEN_BACK:
                found.pop(id_, None)
            else:
                found[id_] = word
    return found


def rules_of(record: AthleteRecord) -> Rules:
    """Return the numbers of the rule for an athlete; the usual ones where none were written."""
    newest = record.rule_numbers.last()
    return Rules() if newest is None else Rules(**newest.numbers)


def done_lately(record: AthleteRecord, *, on: date) -> list[dict[str, Any]]:
    """Return the sessions done before a day, as plain data: when, and which exercises in which dose."""
    rows = (
        CourtEntry.objects.filter(athlete=record, kind="done", at__date__lt=on, at__date__gte=on - REMEMBERED)
        .order_by("run", "sequence")
        .values_list("run", "at__date", "exercise", "version_id")
    )
    doses: dict[int, dict[str, str]] = {}
    found: dict[Any, dict[str, Any]] = {}
    for run, day, exercise, version_id in rows:
        if version_id not in doses:
            doses[version_id] = _doses(version_id)
        dose = doses[version_id].get(exercise)
        if dose is not None:
            found.setdefault(run, {"date": day.isoformat(), "exercises": {}})["exercises"][exercise] = dose
    return sorted(found.values(), key=lambda row: (row["date"], sorted(row["exercises"])))


def break_before(record: AthleteRecord, *, on: date) -> dict[str, Any] | None:
    """Return what is left of a break in training before a day, as plain data; None where there is none."""
    days = CourtEntry.objects.filter(athlete=record, kind="done", at__date__lt=on).values_list("at__date", flat=True)
    found = after_break(days.distinct(), on=on)
    return None if found is None else {"share": found.share, "last": found.last.isoformat(), "weeks": found.weeks}


def read_break(row: Mapping[str, Any] | None) -> AfterBreak | None:
    """Return what `break_before` wrote."""
    if row is None:
        return None
    return AfterBreak(share=row["share"], last=date.fromisoformat(row["last"]), weeks=row["weeks"])


def agreed_since(versions: Iterable[PlanVersion]) -> set[int]:
    """Return the ids of those versions after which something was agreed about their athlete; what was done stays."""
    made = {version.pk: (version.plan.athlete_id, version.made_at) for version in versions}
    if not made:
        return set()
    earliest = min(at for _, at in made.values())
    words = Word.objects.filter(athlete__in={id_ for id_, _ in made.values()}, made_at__gt=earliest)
    newest = dict(words.exclude(said=Said.NOTHING).values_list("athlete").annotate(Max("made_at")))
    late = {pk for pk, (athlete, at) in made.items() if athlete in newest and newest[athlete] > at}
    if not late:
        return set()
    return late - set(CourtEntry.objects.filter(version__in=late, kind="ended").values_list("version_id", flat=True))


def _doses(version_id: int) -> dict[str, str]:
    items = PlanVersion.objects.values_list("document__items", flat=True).get(pk=version_id) or []
    return {item["exercise"]: item["dose"]["name"] for item in items}


def _about(word: Word) -> tuple[str, ...]:
    """Return the exercises that a word is about, in one order: what is agreed is compared as a list."""
    return tuple(dict.fromkeys((*(agreed["exercise"] for agreed in word.agreed), word.exercise)))
