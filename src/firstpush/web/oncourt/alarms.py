"""What of a session on court must be seen first: what stopped it, what hurt, what was too hard; how much was done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from firstpush.core.notices import LEVELS, Level
from firstpush.core.people.before_start import said_to_stop
from firstpush.core.people.first_aid import every_card
from firstpush.core.people.pain import PainAnswer, pain_answer
from firstpush.core.progress.effort_ceiling import USUAL_CEILING
from firstpush.core.progress.entries import Entry
from firstpush.web.oncourt.about_athlete import place_words


@dataclass(frozen=True, kw_only=True)
class Alarm:
    """What must be seen before anything else, as a clause, "stop" or "caution"."""

    level: Level
    words: str


def alarms_in(standing: Iterable[Entry], titles: Mapping[str, str]) -> list[Alarm]:
    """Return the alarms of one run, the gravest first, else in the order in which they were said.

    Parameters
    ----------
    standing : iterable of Entry
        Those that hold.
    titles : mapping of exercise id to str
    """
    found = [(entry.kind == "effort", alarm) for entry in standing for alarm in _of_entry(entry, titles)]
    # What hurt comes before what was hard.
    found.sort(key=lambda each: (-LEVELS.index(each[1].level), each[0]))
    return [alarm for _, alarm in found]


def pain_in(standing: Iterable[Entry]) -> str:
    """Return the largest pain that was said, as a clause; empty without any."""
    pains = [each for entry in standing for each in pains_of(entry) if each["level_0_10"] > 0]
    if not pains:
        return ""
    worst = max(pains, key=lambda each: each["level_0_10"])
    return f"pain up to {worst['level_0_10']} of 10, {place_words(worst['place'], worst.get('side'))}"


def counts_of(standing: Sequence[Entry], exercises: Iterable[str], *, over: bool) -> str:
    """Return how many exercises were done, left out and stopped, each once: "4 done, 1 left out, 2 stopped".

    Parameters
    ----------
    standing : sequence of Entry
        Those that hold, of one run.
    exercises : iterable of str
        Ids of all that the session has.
    over : bool
        Whether the run came to its end: what nothing was said about is then not reached.

    What was done after its pain was done; a first-aid card ends an exercise in any case.
    """
    done, left, stopped = set(), set(), set()
    carded = {each.exercise for each in standing if each.kind == "stopped" and each.exercise}
    for entry in standing:
        if entry.exercise is None:
            continue
        if entry.kind == "done":
            done.add(entry.exercise)
        elif entry.kind == "skipped":
            left.add(entry.exercise)
        elif entry.kind == "pain" and what_it_meant(entry.values).is_too_much:
            stopped.add(entry.exercise)
    done -= carded
    stopped = (stopped | carded) - done
    left -= done | stopped
    reached = done | left | stopped
    missing = sum(each not in reached for each in exercises) if over else 0
    words = [
        f"{number} {what}"
        for number, what in (
            (len(done), "done"),
            (len(left), "left out"),
            (len(stopped), "stopped"),
            (missing, "not reached"),
        )
        if number
    ]
    return ", ".join(words if reached else ["nothing done", *words])


def pain_words(pain: Mapping[str, Any]) -> str:
    """Return a pain as a clause: "sharp pain, left shoulder front, 4 of 10"."""
    feeling = pain.get("feeling")
    kind = f"{feeling} pain" if feeling in ("new", "sharp") else "pain"
    return f"{kind}, {place_words(pain['place'], pain.get('side'))}, {pain['level_0_10']} of 10"


def _of_entry(entry: Entry, titles: Mapping[str, str]) -> Iterable[Alarm]:
    values = entry.values
    title = titles.get(entry.exercise or "", (entry.exercise or "").replace("_", " "))
    match entry.kind:
        case "stopped":
            names = {card.id: card.title for card in every_card()}
            sign = f" ({values['sign']})" if values.get("sign") else ""
            # What is typed in afterwards has the time at which the session began.
            when = "" if values.get("late") is True else f", {entry.at:%H:%M}"
            yield Alarm(level="stop", words=f"stopped: “{names.get(values['card'], values['card'])}”{sign}{when}")
        case "before":
            effects = values.get("effects")
            effects = effects if isinstance(effects, list) else []
            if "stop" in effects:
                said = "; ".join(said_to_stop(values["answers"])) or "the answers before the start said stop"
                yield Alarm(level="stop", words=f"no session: {said}")
            if "first" in effects:
                said = "; ".join(said_to_stop(values["answers"], effect="first")) or "something before the start"
                yield Alarm(level="caution", words=f"not begun, to be put right first: {said}")
            yield from (
                _of_pain(each, " before the start") for each in pains_of(entry) if what_it_meant(each).is_too_much
            )
        case "pain":
            if what_it_meant(values).is_too_much:
                yield _of_pain(values, f" in {title}" if title else "")
        case "effort":
            effort = values.get("effort_6_20")
            if effort is not None and effort > USUAL_CEILING.value:
                where = f" in {title}" if title else f" in {values['part']}" if values.get("part") else ""
                yield Alarm(
                    level="caution", words=f"effort {effort}, above {USUAL_CEILING.value:.0f},{where}".rstrip(",")
                )


def _of_pain(pain: Mapping[str, Any], where: str) -> Alarm:
    grave = what_it_meant(pain).outcome == "stop the arm"
    return Alarm(level="stop" if grave else "caution", words=f"{pain_words(pain)},{where}".rstrip(","))


def pains_of(entry: Entry) -> list[Mapping[str, Any]]:
    """Return the pains that an entry tells, in an exercise or before the start."""
    if entry.kind == "pain":
        return [entry.values]
    return list(entry.values.get("pains") or []) if entry.kind == "before" else []


def what_it_meant(pain: Mapping[str, Any]) -> PainAnswer:
    """Return what a pain meant: as the page said it, else by the rule without the athlete's own numbers."""
    from_rule = pain_answer(pain["level_0_10"], feeling=pain.get("feeling") or "as usual")
    said = pain.get("outcome")
    return from_rule if said is None else PainAnswer(outcome=said, because=from_rule.because)
