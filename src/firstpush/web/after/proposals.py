"""What is proposed after one doing of a session, as plain data that is kept: reckoned once for the same content."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from firstpush.core.errors import FirstpushError
from firstpush.core.people.athlete import Side
from firstpush.core.progress.decide import WeekLoad
from firstpush.core.progress.entries import standing
from firstpush.core.progress.history import Done
from firstpush.core.progress.proposal import Choice, Proposal, as_now, propose
from firstpush.core.progress.rules import PAIN_HOLDS, Rules
from firstpush.core.progress.step import MOST_HARDER, AsDone, RelativeChange
from firstpush.core.progress.steps_counted import others_stepped
from firstpush.core.progress.week_load import week_with
from firstpush.core.session.agreed import Agreed, read_agreed
from firstpush.core.session.plan import Planned
from firstpush.core.session.prepare import case_of_kind
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.words import dose_large, facts
from firstpush.web.after.holds import rules_of
from firstpush.web.after.models import Said
from firstpush.web.after.runs import DoneRun, arms_of, last_done_on, pain_on, runs_done
from firstpush.web.after.shown import as_labelled, loads_in_words
from firstpush.web.after.try_out_words import FirstKnown, first_known, words_before
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
    harder_on, easier_on : mapping of exercise to date
        When it was last made harder, and easier.
    first : mapping of exercise to FirstKnown
        How it was done when its load was first known.
    """

    run: DoneRun
    version: PlanVersion
    rules: Rules
    earlier: tuple[DoneRun, ...]
    changed_on: Mapping[str, date]
    harder_on: Mapping[str, date]
    easier_on: Mapping[str, date]
    first: Mapping[str, FirstKnown]


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
    earlier = tuple(each for each in runs if each.began < run.began)
    words = words_before(record, run, earlier)
    changed: dict[str, date] = {}
    harder: dict[str, date] = {}
    easier: dict[str, date] = {}
    for word in words:
        if word.said not in CHANGED:
            continue
        # Another exercise that takes its place begins with a step too.
        for id_ in {word.exercise, *(agreed["exercise"] for agreed in word.agreed)}:
            changed[id_] = word.on
            if word.said == Said.HARDER:
                harder[id_] = word.on
            elif word.said == Said.EASIER:
                easier[id_] = word.on
    return Behind(
        run=run,
        version=PlanVersion.objects.select_related("plan__athlete__club").get(pk=run.version_id),
        rules=rules_of(record),
        earlier=earlier,
        changed_on=changed,
        harder_on=harder,
        easier_on=easier,
        first=first_known(words),
    )


def proposals_key(about: Behind) -> str:
    """Return what stands for all that the proposals come from."""
    version = about.version
    history = [text for run in (*about.earlier, about.run) for text in run.texts]
    said = [
        sorted((id_, day.isoformat()) for id_, day in each.items())
        for each in (about.changed_on, about.harder_on, about.easier_on)
    ]
    first = sorted((id_, each.key) for id_, each in about.first.items())
    request = json.dumps(version.request, sort_keys=True)
    return content_key("proposals", version.pk, request, history, asdict(about.rules), said, first)


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
    arms = arms_of((*about.earlier, about.run))
    stepped = dict(about.harder_on)
    # What was agreed and not carried yet counts in the week to come, and so does what is proposed here before.
    pending = {id_: MOST_HARDER.value for id_, on in stepped.items() if on >= last_done_on(about.earlier, id_)}
    for id_, item in items.items():
        if id_ in done:
            others = others_stepped(id_, stepped_on=stepped, arms_of=arms, on=about.run.on)
            found, rise = _one(about, planned, item, done[id_], others_stepped=others, pending=pending)
            # What the form needs to count the steps that are chosen, not only those that are proposed.
            before = others_stepped(id_, stepped_on=about.harder_on, arms_of=arms, on=about.run.on)
            found |= {"arms": sorted(arms.get(id_, ())), "others_stepped": before}
            if found["choices"][found["proposed"]]["name"] == "harder":
                stepped[id_], pending[id_] = about.run.on, rise
            yield found


def _one(
    about: Behind,
    planned: Planned,
    item: SessionItem,
    done: Done,
    *,
    others_stepped: int = 0,
    pending: Mapping[str, float] | None = None,
) -> tuple[dict[str, Any], float]:
    """Return what is proposed about one exercise as plain data, and how much more the proposed one could be."""
    id_ = item.candidate.id
    library = club_library(about.version.plan.athlete.club)
    case = case_of_kind(case_of(read_request(about.version.request)), planned.session.kind)
    agreed = _agreed_then(about.version, id_)
    now, otherwise = _as_done(about, planned, item, done, agreed)
    arms = {arm for each in now.setups.values() for arm in each.arms}
    first = about.first.get(id_)
    pain = pain_on((*about.earlier, about.run), arms)
    stepped_on = about.harder_on.get(id_)
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
        last_step_on=stepped_on,
        others_stepped=others_stepped,
        week=lambda change: _week(about, id_, change, pending or {}),
        held_back=_hurts_elsewhere(about, planned, id_, arms=arms),
        after_pain=pain is not None and (stepped_on is None or stepped_on <= pain),
        trying=None if first is None else first.trying(done, about.earlier, share=case.load_share),
        first=None if first is None else first.agreed,
        known_on=None if first is None else first.raised_on,
    )
    return _document(found, item, now), found.choices[found.proposed].rise


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


def _week(about: Behind, exercise: str, change: RelativeChange, pending: Mapping[str, float]) -> WeekLoad | None:
    first = about.first.get(exercise)
    since = [first.agreed.since] if first is not None else []
    # On the day itself it was still done as before.
    since += [about.easier_on[exercise] + timedelta(days=1)] if exercise in about.easier_on else []
    return week_with(
        [each for run in (*about.earlier, about.run) for each in run.carried],
        exercise=exercise,
        change=change.high,
        middle=change.value,
        on=about.run.on,
        others=pending,
        known_since=max(since, default=None),
    )


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
                    until = run.on + timedelta(days=PAIN_HOLDS.value)
                    when = "" if run is about.run else f" on {run.on:%-d %B}"
                    when += f": harder at the earliest on {until:%-d %B}"
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
