"""What is proposed after one doing of a session, as plain data that is kept: reckoned once for the same content."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from functools import partial
from typing import Any
from uuid import UUID

from firstpush.core.errors import FirstpushError
from firstpush.core.people.athlete import Side
from firstpush.core.progress.decide import PAIN_HOLDS, Rules, WeekLoad
from firstpush.core.progress.entries import standing
from firstpush.core.progress.history import Done
from firstpush.core.progress.proposal import Choice, Proposal, as_now, propose
from firstpush.core.progress.step import AsDone
from firstpush.core.progress.week_load import WEEK, Carried, week_with
from firstpush.core.session.agreed import Agreed, read_agreed
from firstpush.core.session.plan import Planned
from firstpush.core.session.prepare import case_of_kind
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.words import dose_large, facts
from firstpush.web.after.holds import rules_of
from firstpush.web.after.models import Said
from firstpush.web.after.runs import DoneRun, runs_done
from firstpush.web.after.shown import as_labelled, loads_in_words
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.exercises.library import club_library
from firstpush.web.figures import content_key, kept, known
from firstpush.web.oncourt.about_athlete import place_words
from firstpush.web.oncourt.alarms import pains_of, what_it_meant
from firstpush.web.oncourt.variants import setups_planned, variants_of
from firstpush.web.sessions.making import case_of, planned_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request

CHANGED = (Said.HARDER, Said.EASIER, Said.TRIED_OUT)
"""Words after which what was done before counts no more."""


@dataclass(frozen=True, kw_only=True)
class Behind:
    """What lies behind the proposals after one run: they are a pure function of it.

    Parameters
    ----------
    earlier : tuple of DoneRun
        Those that were done before it, the oldest first.
    changed_on : mapping of exercise to date
        When its set-up was last changed.
    harder_on : mapping of exercise to date
        When it was last made harder.
    """

    run: DoneRun
    version: PlanVersion
    rules: Rules
    earlier: tuple[DoneRun, ...]
    changed_on: Mapping[str, date]
    harder_on: Mapping[str, date]


class NoRunError(LookupError):
    """The athlete did no such session."""


def behind(record: AthleteRecord, run_id: UUID) -> Behind:
    """Return what lies behind the proposals after a run of an athlete.

    Raises
    ------
    NoRunError
        When there is no such run.
    """
    runs = runs_done(record.pk)
    run = next((each for each in runs if each.id == run_id), None)
    if run is None:
        raise NoRunError(str(run_id))
    changed: dict[str, date] = {}
    harder: dict[str, date] = {}
    # A word about this very run is what is being decided; those after it come later.
    for word in record.words.filter(said__in=CHANGED, on__lt=run.on):
        changed[word.exercise] = word.on
        if word.said == Said.HARDER:
            harder[word.exercise] = word.on
    return Behind(
        run=run,
        version=PlanVersion.objects.select_related("plan__athlete__club").get(pk=run.version_id),
        rules=rules_of(record),
        earlier=tuple(each for each in runs if each.began < run.began),
        changed_on=changed,
        harder_on=harder,
    )


def proposals_key(about: Behind) -> str:
    """Return what stands for all that the proposals come from."""
    version = about.version
    history = [text for run in (*about.earlier, about.run) for text in run.texts]
    said = [sorted((id_, day.isoformat()) for id_, day in each.items()) for each in (about.changed_on, about.harder_on)]
    request = json.dumps(version.request, sort_keys=True)
    return content_key("proposals", version.pk, request, history, asdict(about.rules), said)


def proposals(about: Behind) -> list[dict[str, Any]]:
    """Return what is proposed for each exercise that was done, in the order of the session; kept once reckoned.

    Raises
    ------
    FirstpushError
        When the session cannot be made again.
    """
    made: list[dict[str, Any]] = json.loads(
        kept(proposals_key(about), lambda: json.dumps(list(_made(about))), of=about.version.plan.athlete)
    )
    return made


def known_proposals(about: Behind) -> list[dict[str, Any]] | None:
    """Return what is proposed where it was reckoned before; else None."""
    text = known(proposals_key(about), of=about.version.plan.athlete)
    found: list[dict[str, Any]] | None = None if text is None else json.loads(text)
    return found


def _made(about: Behind) -> Iterator[dict[str, Any]]:
    planned = planned_of(about.version)
    items = {each.candidate.id: each for each in planned.session.items}
    done = {each.exercise: each for each in about.run.done}
    stepped = {id_ for id_, on in about.harder_on.items() if (about.run.on - on).days < WEEK}
    for id_, item in items.items():
        if id_ in done:
            found = _one(about, planned, item, done[id_], others_stepped=len(stepped - {id_}))
            # What is proposed counts for those after it: an ache after many steps at once cannot be traced.
            if found["choices"][found["proposed"]]["name"] == "harder":
                stepped.add(id_)
            yield found


def _one(about: Behind, planned: Planned, item: SessionItem, done: Done, *, others_stepped: int = 0) -> dict[str, Any]:
    id_ = item.candidate.id
    library = club_library(about.version.plan.athlete.club)
    case = case_of_kind(case_of(read_request(about.version.request)), planned.session.kind)
    agreed = _agreed_then(about.version, id_)
    now, otherwise = _as_done(about, planned, item, done, agreed)
    found = propose(
        case,
        now,
        _dones(about, done),
        filed=library[id_],
        rules=about.rules,
        exercises=library,
        on=about.run.on,
        before=agreed,
        done_otherwise=otherwise,
        last_step_on=about.harder_on.get(id_),
        others_stepped=others_stepped,
        week=partial(_week, about, id_),
        held_back=_hurts_elsewhere(
            about, planned, id_, arms={arm for each in now.setups.values() for arm in each.arms}
        ),
    )
    return _document(found, item, now)


def _as_done(
    about: Behind, planned: Planned, item: SessionItem, done: Done, agreed: Agreed | None
) -> tuple[AsDone, str]:
    """Return the exercise as it was done, and how that differs from what was planned."""
    library = club_library(about.version.plan.athlete.club)
    if done.variant != "planned":
        case = case_of(read_request(about.version.request))
        variant = variants_of(planned, case, item, library).get(done.variant)
        if variant is not None:
            setups = {_side(side, setup): setup for side, setup in variant.setups.items()}
            return AsDone(exercise=variant.exercise, setups=setups, dose=variant.dose), variant.change
    return as_now(item, setups_planned(planned, item), filed=library[item.candidate.id], agreed=agreed), ""


def _side(side: Side | None, setup: ExerciseSetup) -> Side:
    return setup.side if side is None else side


def _agreed_then(version: PlanVersion, exercise: str) -> Agreed | None:
    """Return what was agreed about an exercise when a session was made."""
    rows = version.request.get("inputs", {}).get("agreed") or []
    row = next((each for each in rows if each.get("exercise") == exercise), None)
    try:
        return None if row is None else read_agreed(row)
    except FirstpushError:
        return None


def _dones(about: Behind, done: Done) -> list[Done]:
    """Return what was done of an exercise since its set-up was last changed, this time last."""
    since = about.changed_on.get(done.exercise)
    before = [each for run in about.earlier for each in run.done if each.exercise == done.exercise]
    return [each for each in before if since is None or each.on > since] + [done]


def _week(about: Behind, exercise: str, change: float) -> WeekLoad | None:
    carried: list[Carried] = [each for run in (*about.earlier, about.run) for each in run.carried]
    return week_with(carried, exercise=exercise, change=change, on=about.run.on)


def _hurts_elsewhere(about: Behind, planned: Planned, exercise: str, *, arms: set[Side]) -> str:
    """Return what pain in another exercise, or before the start, keeps these arms from more; empty where none does."""
    titles = {each.candidate.id: each.candidate.exercise.title for each in planned.session.items}
    lately = [run for run in about.earlier if (about.run.on - run.on).days < PAIN_HOLDS.value]
    for run in (about.run, *reversed(lately)):
        for entry in standing(run.entries):
            for pain in pains_of(entry):
                # Pain in the exercise itself, this time, has its own answer.
                mine = run is about.run and entry.exercise == exercise
                if what_it_meant(pain).is_too_much and not mine and pain.get("side") in (None, *arms):
                    where = place_words(pain["place"], pain.get("side"))
                    title = titles.get(entry.exercise or "")
                    when = "" if run is about.run else f" on {run.on:%-d %B}"
                    what = (
                        f"in {title.lower()}"
                        if title is not None
                        else "in another exercise"
                        if entry.exercise
                        else "before the start"
                    )
                    return f"pain came at the {where} {what}{when}"
    return ""


def _document(found: Proposal, item: SessionItem, now: AsDone) -> dict[str, Any]:
    decision = found.decision
    return {
        "exercise": item.candidate.id,
        "title": item.candidate.exercise.title,
        "part": item.candidate.exercise.part,
        "what": decision.what,
        "because": decision.because,
        "ask": decision.ask,
        "proposed": found.proposed,
        "sentences": dict(found.sentences),
        "choices": [_choice_document(choice, now) for choice in found.choices],
    }


def _choice_document(choice: Choice, now: AsDone) -> dict[str, Any]:
    return {
        "name": choice.name,
        "words": choice.words,
        "change": choice.change,
        "agreed": [agreed.document() for agreed in choice.agreed],
        "facts": _facts(choice),
    }


def _facts(choice: Choice) -> list[list[str]]:
    """Return how it is laid and how much is done, as labels and values; nothing where it is left out."""
    if not choice.setups:
        return []
    agreed = choice.agreed[0]
    first, setups = next(iter(choice.setups.values())), as_labelled(choice.setups)
    rows = [[fact.label, fact.value] for fact in facts(setups)]
    if agreed.dose is not None:
        rows.insert(0, ["Dose", dose_large(agreed.dose, first.exercise)])
    loads = {side: setup.peak.value for side, setup in setups.items() if setup.peak is not None}
    if loads:
        rows.append(["Load", loads_in_words(loads, between="; ")])
    return rows
