"""What the pages of one exercise show: every change by hand with what it would bring, and a set-up laid by hand."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from django.http import QueryDict

from firstpush.core.notices import Notice, sides_together
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.progress.try_out import is_tried_out
from firstpush.core.session.candidate import Chosen
from firstpush.core.session.consequences import Options, time_in_words
from firstpush.core.session.first_set import FEW
from firstpush.core.session.plan import Planned
from firstpush.core.session.prepare import case_of_kind, relaid
from firstpush.core.session.typed_dose import dose_limits
from firstpush.core.setup.by_hand import HandAnswer, SetupByHand, choices_by_hand, laid_as, setup_by_hand
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.uncertainty import with_ranges
from firstpush.core.told_once import told_alone
from firstpush.sheets.content import Fact
from firstpush.sheets.words import dose_in_large, dose_large, facts, graver, numbers
from firstpush.web.access import User
from firstpush.web.exercises.library import club_library
from firstpush.web.reckoned import Reckoned, Same, version_key
from firstpush.web.sessions.course_drawings import course_link
from firstpush.web.sessions.exchange_rows import exchange_tables
from firstpush.web.sessions.forms import SetupForm, laid_before
from firstpush.web.sessions.making import case_of, changed_inputs, exercise_as_agreed, planned_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.pages import rows_of
from firstpush.web.sessions.request import read_request


@dataclass(frozen=True, kw_only=True)
class LaidSide:
    """One side of a set-up by hand: what comes of it, or why it is refused."""

    title: str
    side: Side
    answer: HandAnswer
    facts: tuple[Fact, ...] = ()
    numbers: tuple[Fact, ...] = ()


START_AND_END = 2
FIRST = ("Load", "Trunk", "Chair holds", "Time", "Floor")
"""Numbers that are looked at first; the others stand folded."""


@dataclass(frozen=True, kw_only=True)
class SetupPage:
    """The page on which a set-up is laid by hand; `setups` are there when all of it can be done."""

    title: str
    exercise: str
    form: SetupForm
    words: Mapping[str, Any]
    sides: tuple[LaidSide, ...] = ()
    setups: Mapping[Side, SetupByHand] = field(default_factory=dict)
    time: str = ""
    notices: tuple[Notice, ...] = ()
    by_hand: bool = False

    @property
    def refused(self) -> bool:
        """Whether something of it must not be done."""
        return any(each.answer.setup is None for each in self.sides)


def item_context(user: User, version: PlanVersion, exercise: str) -> dict[str, Any] | None:
    """Return what the page of one exercise shows; None when it is not in the session."""
    row = next((row for row in rows_of(version.document, "practitioner") if row[0]["exercise"] == exercise), None)
    planned = planned_of(version)
    item = next((each for each in planned.session.items if each.candidate.id == exercise), None)
    if row is None or item is None:
        return None
    asked = read_request(version.request)
    options = _options(version, planned).of(exercise)
    setups = _setups(planned, exercise)
    now = graver(item.candidate.notices)
    why, evidence = _why(row[0], row[1])
    moves = [(each, "" if each.consequence is None else time_in_words(each.consequence)) for each in options.moves]
    own = club_library(version.plan.athlete.club)[exercise]
    return {
        "cautions": told_alone(now),
        "why": why,
        "evidence": evidence,
        "numbers": [fact for fact in row[1]["numbers"] if fact["label"] in FIRST],
        "more_numbers": [fact for fact in row[1]["numbers"] if fact["label"] not in FIRST],
        "limits": dose_limits(own),
        "first_time": FEW if is_tried_out(item.dose, setups) else "",
        "start_and_end": len(own.poses) == START_AND_END,
        "version": version,
        "item": row[0],
        "words": row[1] | {"course_link": course_link(version, row[0])},
        "exchanges": exchange_tables(
            options.exchanges,
            now=now,
            load_of=lambda id_: _load(planned, id_),
            dose_of=lambda each: dose_in_large(each.dose, _setups(planned, each.candidate.id)),
        ),
        "doses": [
            (each, dose_large(each.dose, each.candidate.exercise), _more_of(each), time_in_words(what), what)
            for each, what in options.doses
        ],
        "moves": moves,
        "stays": not any(each.consequence and not each.consequence.over_s for each, _ in moves),
        "without": (time_in_words(options.without), options.without),
        "is_kept": exercise in (*asked.asked.keep, *(id_ for id_, _ in asked.asked.doses)),
        "sides": () if item.candidate.together else _possible_sides(version, exercise),
        "can_be_laid": any(each.band is not None or each.exercise.ball is not None for each in setups.values()),
        "laid_by_hand": any(id_ == exercise for id_, _ in asked.by_hand.setups),
        "changed": changed_inputs(user, version),
    }


def _possible_sides(version: PlanVersion, exercise: str) -> tuple[tuple[str, bool], ...]:
    """Return the sides an exercise may be done on, "both" among them, each with whether it is so now."""
    item = next(each for each in version.document["items"] if each["exercise"] == exercise)
    now = set(item["sides"])
    asked = read_request(version.request).by_hand.sides.get(exercise)
    if len(now) == 1 and asked is None:
        return ()
    return (("left right", len(now) == 2), *((side, now == {side}) for side in SIDES))


def _why(item: Mapping[str, Any], words: Mapping[str, Any]) -> tuple[str, str]:
    """Return why an exercise is in the session, and what else speaks for it; the sheet tells both in one."""
    said, reason = str(words["why"]), str(item.get("reason", ""))
    begin = f"{reason[:1].upper()}{reason[1:]}."
    return (begin, said.removeprefix(begin).strip()) if reason and said.startswith(begin) else (said, "")


_SAYS_NO_MORE = re.compile(
    r"((one|two|three) sets? of |two times )?\w+( seconds| turns)?( a side| an arm| each direction, each arm)?"
)


def _more_of(chosen: Chosen) -> str:
    """Return the name of a dose that is there by hand, or says more than "2 × 8" in large; else empty."""
    dose = chosen.dose
    by_hand = dose in chosen.candidate.exercise.by_hand
    return dose.name if by_hand or not _SAYS_NO_MORE.fullmatch(dose.name) else ""


_OPTIONS: Reckoned[Options] = Reckoned(most=8)
_LOADS: Reckoned[str] = Reckoned(most=512)
"""A session is looked at again and again while it is changed by hand."""


def _options(version: PlanVersion, planned: Planned) -> Options:
    # Of the plan itself: made again with other exercises of the club, the same version has other options.
    key = (version_key(version), Same(planned))
    return _OPTIONS.of(key, lambda: Options(planned, order=read_request(version.request).by_hand.order))


def _load(planned: Planned, exercise: str) -> str:
    """Return the largest load of an exercise on the side that begins, with its range; empty where none is stated."""
    setup = next(iter(_setups(planned, exercise).values()))
    return _LOADS.of(Same(setup), lambda: _load_in_words(setup))


def _load_in_words(setup: ExerciseSetup) -> str:
    setup = with_ranges(setup, rng=np.random.default_rng(0))
    named = setup.exercise.loads if setup.limiting is None else setup.limiting.loads
    return "" if setup.peak is None else f"{named} {setup.peak}"


def _setups(planned: Planned, exercise: str) -> dict[Side, ExerciseSetup]:
    return {side: setup for (id_, side), setup in planned.prepared.setups.items() if id_ == exercise}


def setup_context(version: PlanVersion, exercise: str, data: QueryDict | None) -> SetupPage | None:
    """Return the page on which `exercise` is set up by hand, with what `data` would bring; None when it cannot be.

    Parameters
    ----------
    data : QueryDict or None
        What is chosen; None before anything is.
    """
    planned = planned_of(version)
    item = next((each for each in planned.session.items if each.candidate.id == exercise), None)
    if item is None:
        return None
    setups = _setups(planned, exercise)
    first = setups[item.sides[0]] if item.sides[0] in setups else next(iter(setups.values()))
    request = read_request(version.request)
    case = case_of_kind(case_of(request), request.kind)
    choices = choices_by_hand(first, case)
    if choices is None and first.exercise.ball is None:
        return None
    sides = tuple(setups) if not item.candidate.together else (first.side,)
    initial = {"side": "both" if len(sides) == 2 else sides[0]} | laid_before(laid_as(first))
    form = SetupForm(data, initial=initial, choices=choices, sides=sides)
    page = SetupPage(
        title=item.candidate.exercise.title,
        exercise=exercise,
        form=form,
        words=next(words for row, words in rows_of(version.document, "practitioner") if row["exercise"] == exercise),
        by_hand=any(id_ == exercise for id_, _ in request.by_hand.setups),
    )
    if data is None or not form.is_valid():
        return page
    by_hand, chosen = form.setup(), form.chosen_sides()
    original = exercise_as_agreed(request, club_library(version.plan.athlete.club)[exercise])
    laid = tuple(
        _laid(side, setup_by_hand(original, case, by_hand, like=setups[side]), together=item.candidate.together)
        for side in sides
        if side in chosen
    )
    page = replace(page, sides=_alike(laid))
    if page.refused:
        return page
    done = setups | {each.side: each.answer.setup for each in laid if each.answer.setup is not None}
    candidate = relaid(item.candidate, found=setups, done=done)
    time = time_in_words(_options(version, planned).of_other_setup(candidate))
    notices = sides_together(replace(notice, about="") for notice in candidate.notices)
    return replace(page, setups=dict.fromkeys(chosen, by_hand), time=time, notices=notices)


def _alike(laid: tuple[LaidSide, ...]) -> tuple[LaidSide, ...]:
    """Return the sides with what is to be told of both alike told once, of both sides; what differs stays with each."""
    if len(laid) < len(SIDES) or len({(each.facts, each.answer.refused) for each in laid}) > 1:
        return laid
    first, other = laid
    shared = tuple(fact for fact in first.numbers if fact in other.numbers)
    own = (replace(each, facts=(), numbers=tuple(n for n in each.numbers if n not in shared)) for each in laid)
    return (replace(first, title="Both sides", numbers=shared), *(each for each in own if each.numbers))


def _laid(side: Side, answer: HandAnswer, *, together: bool) -> LaidSide:
    title = "Both arms together" if together else f"{side.capitalize()} side"
    if answer.setup is None:
        return LaidSide(title=title, side=side, answer=answer)
    setups: dict[Side | None, ExerciseSetup] = {side: answer.setup}
    return LaidSide(title=title, side=side, answer=answer, facts=facts(setups), numbers=numbers(setups))
