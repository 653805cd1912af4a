"""Entries: what is logged while a session is done, one thing at a time, added and never changed."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal
from uuid import UUID

from firstpush.core.errors import EntryError
from firstpush.core.people.athlete import PAIN_PLACES, SIDES
from firstpush.core.people.pain import FEELINGS, PAIN_LEVELS

FORMAT = "firstpush entry 1"

Kind = Literal["begin", "before", "done", "skipped", "swapped", "effort", "pain", "stopped", "note", "ended", "undo"]
KINDS: tuple[Kind, ...] = (
    "begin",
    "before",
    "done",
    "skipped",
    "swapped",
    "effort",
    "pain",
    "stopped",
    "note",
    "ended",
    "undo",
)
"""begin: the session starts on a device; before: answers before the start; done, skipped, swapped: one exercise;
effort: 6-20, or how it felt, of a part or an exercise; pain: 0-10 at a place; stopped: a first-aid card was taken;
note: words; ended: session effort 0-10 and minutes; undo: what another entry said does not hold."""

VARIANTS = ("planned", "easier", "harder")
NO_TIME = "no time"
PAIN_EARLIER = "pain earlier in the session"
TOO_HARD = "too hard today"
ONE_SET_LESS = "one set less today"
"""What was answered before the start asked for it: it says nothing about the exercise."""
SKIP_REASONS = (
    NO_TIME,
    "pain",
    "kit or place missing",
    "did not want to",
    PAIN_EARLIER,
    TOO_HARD,
    "not today: the practitioner said so",
    "other",
)
CUT_REASONS = (*(reason for reason in SKIP_REASONS if reason not in ("pain", PAIN_EARLIER)), ONE_SET_LESS)
"""Why less was done than planned, where somebody said so; a pain is said as a pain."""
EFFORTS = range(6, 21)
Feel = Literal["easy", "right", "hard"]
FEELS: tuple[Feel, ...] = ("easy", "right", "hard")
"""Said in place of a number by children and others; never converted into one."""
SESSION_EFFORTS = range(11)
LONGEST_NOTE = 500
LONGEST_TEXT = 8000
"""An entry longer than this was not made by the page [characters]."""
MOST_ENTRIES = 100_000
"""More are in no run."""
LARGEST_ID = 2**53 - 1
"""The largest whole number that JavaScript keeps exactly."""
YEARS = range(1970, 2200)
"""A clock without a battery begins in 1970; what lies outside is no time."""


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One entry as it was made on a device.

    Parameters
    ----------
    id : UUID
    run : UUID
        One doing of a session on one device.
    sequence : int
        Counts the entries of a run from 1, without a gap.
    plan, version, athlete : int
        Which session, which version of it, and whose: every entry says so itself, so that none depends on another
        having arrived.
    at : datetime
        By the clock of the device, with its time zone.
    kind : str
    exercise : str or None
        Id of the exercise that it is about.
    corrects : UUID or None
        The earlier entry of the same run that this one takes the place of.
    values : dict
        What else was said, with units in the keys; see docs/why/on-court.md.
    """

    id: UUID
    run: UUID
    sequence: int
    plan: int
    version: int
    athlete: int
    at: datetime
    kind: Kind
    exercise: str | None = None
    corrects: UUID | None = None
    values: dict[str, Any] = field(default_factory=dict)


def read_entry(text: str) -> Entry:
    """Return the entry that `text` holds.

    Parameters
    ----------
    text : str
        JSON, as it was made on the device.

    Raises
    ------
    EntryError
        With every fault that was found, in one sentence each.
    """
    if len(text) > LONGEST_TEXT:
        raise EntryError(f"an entry has {len(text)} characters; allowed are {LONGEST_TEXT}. Write shorter notes.")
    try:
        given = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise EntryError(f"an entry is no JSON ({error}); take the file as the page gave it out.") from None
    if not isinstance(given, dict) or given.get("format") != FORMAT:
        raise EntryError(f'an entry does not say "format": "{FORMAT}"; take the file as the page gave it out.')
    faults = list(_faults(given))
    if faults:
        raise EntryError(" ".join(faults))
    named = {"format", "id", "run", "sequence", "at", "kind", "exercise", "corrects", *_WHOSE}
    return Entry(
        id=UUID(given["id"]),
        run=UUID(given["run"]),
        sequence=given["sequence"],
        plan=given["plan"],
        version=given["version"],
        athlete=given["athlete"],
        at=datetime.fromisoformat(given["at"]),
        kind=given["kind"],
        exercise=given.get("exercise"),
        corrects=UUID(given["corrects"]) if given.get("corrects") else None,
        values={key: value for key, value in given.items() if key not in named},
    )


def standing(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Return the entries that hold: of each chain of corrections the last, and nothing that was undone.

    Parameters
    ----------
    entries : iterable of Entry
        Of one run or many, in any order, each at least once.

    Returns
    -------
    tuple of Entry
        By run and sequence. A correction of what is not there (yet) stands for itself; undoing an undoing brings back.
    """
    by_id = {each.id: each for each in entries}
    ordered = sorted(by_id.values(), key=lambda each: (str(each.run), each.sequence))
    undone: set[UUID] = set()
    replaced: set[UUID] = set()
    # The last word first: what was undone takes nothing away, what was replaced still keeps away what it replaced.
    for each in reversed(ordered):
        if each.corrects is not None and each.id not in undone:
            (undone if each.kind == "undo" else replaced).add(each.corrects)
    return tuple(each for each in ordered if each.id not in undone | replaced and each.kind != "undo")


_WHOSE = ("plan", "version", "athlete")


def _faults(given: Mapping[str, Any]) -> Iterator[str]:
    for key in ("id", "run", *(["corrects"] if given.get("corrects") is not None else [])):
        if not _is_uuid(given.get(key)):
            yield f"“{key}” is {given.get(key)!r}; it must be a UUID."
    if not _whole(given.get("sequence")) or not 1 <= given["sequence"] <= MOST_ENTRIES:
        yield f"“sequence” is {given.get('sequence')!r}; entries are counted 1, 2, 3."
    for key in _WHOSE:
        if not _whole(given.get(key)) or not 1 <= given[key] <= LARGEST_ID:
            yield f"“{key}” is {given.get(key)!r}; it must be a number from 1, in every entry."
    if not _has_zone(given.get("at")):
        yield f"“at” is {given.get('at')!r}; it must be a time with its zone, such as 2026-11-25T18:05:00+01:00."
    if given.get("kind") not in KINDS:
        yield f"“kind” is {given.get('kind')!r}; allowed is {', '.join(KINDS)}."
        return
    if not isinstance(given.get("exercise"), str | None) or given.get("exercise") == "":
        yield f"“exercise” is {given.get('exercise')!r}; it must be the name of one."
    yield from _faults_of_kind(given["kind"], given)


def _faults_of_kind(kind: Kind, given: Mapping[str, Any]) -> Iterator[str]:
    def one_of(key: str, allowed: Iterable[Any], *, optional: bool = False) -> Iterator[str]:
        allowed = tuple(allowed)
        value = given.get(key)
        if (value is None and optional) or (not isinstance(value, bool) and value in allowed):
            return
        shown = f"{allowed[0]} to {allowed[-1]}" if _whole(allowed[0]) else ", ".join(map(str, allowed))
        yield f"“{key}” is {value!r}; allowed is {shown}."

    match kind:
        case "before":
            if not isinstance(given.get("answers"), dict):
                yield "“answers” is missing; it must hold the answer of each question."
            pains = given.get("pains", [])
            if not isinstance(pains, list) or not all(isinstance(pain, dict) for pain in pains):
                yield "“pains” must be a list of pains, each with place, side, level_0_10 and feeling."
                return
            for pain in pains:
                yield from _faults_of_kind("pain", pain)
        case "done":
            yield from one_of("variant", VARIANTS)
            yield from one_of("reason", CUT_REASONS, optional=True)
            for key, most in (("repetitions", 500), ("sets", 20), ("seconds", 7200)):
                if given.get(key) is not None and not (_whole(given[key]) and 0 <= given[key] <= most):
                    yield f"“{key}” is {given[key]!r}; allowed is 0 to {most}."
        case "skipped":
            yield from one_of("reason", SKIP_REASONS)
        case "swapped":
            yield from one_of("to", VARIANTS)
        case "effort":
            # One or the other: words are said in place of a number, and never turned into one.
            if "feel" in given:
                yield from one_of("feel", FEELS)
                if given.get("effort_6_20") is not None:
                    yield "“effort_6_20” and “feel” are both there; one of them is asked. Send what was said."
            else:
                yield from one_of("effort_6_20", EFFORTS)
        case "pain":
            yield from one_of("place", PAIN_PLACES)
            yield from one_of("side", SIDES, optional=True)
            yield from one_of("level_0_10", PAIN_LEVELS)
            yield from one_of("feeling", FEELINGS)
        case "stopped":
            if not isinstance(given.get("card"), str):
                yield "“card” is missing; it must name the first-aid card that was taken."
        case "note":
            if not isinstance(given.get("words"), str) or not 0 < len(given["words"]) <= LONGEST_NOTE:
                yield f"“words” must be 1 to {LONGEST_NOTE} characters."
        case "ended":
            yield from one_of("session_effort_0_10", SESSION_EFFORTS, optional=True)
            if not _whole(given.get("minutes")) or not 0 <= given["minutes"] <= 600:
                yield f"“minutes” is {given.get('minutes')!r}; allowed is 0 to 600."
        case "undo":
            if given.get("corrects") is None:
                yield "“corrects” is missing; it must name the entry that does not hold."
    if kind in ("done", "skipped", "swapped") and given.get("exercise") is None:
        yield "“exercise” is missing; it must name the one that was done."


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_uuid(value: Any) -> bool:
    try:
        return isinstance(value, str) and str(UUID(value)) == value
    except (AttributeError, TypeError, ValueError):
        return False


def _has_zone(value: Any) -> bool:
    try:
        read = datetime.fromisoformat(value)
        return read.tzinfo is not None and read.year in YEARS
    except (TypeError, ValueError):
        return False
