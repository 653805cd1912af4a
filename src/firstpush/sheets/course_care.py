"""Who needs care on a course: the pace of each, all notices of one athlete, or one line for each of several."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from firstpush.core.courses import Bracket
from firstpush.core.courses.drill import WALKING_PACE
from firstpush.core.notices import Level, Notice
from firstpush.core.people.athlete import Athlete
from firstpush.core.people.health import held_upright
from firstpush.core.people.limbs import for_limbs_of
from firstpush.core.setup.course_cautions import Pace
from firstpush.core.words import listed
from firstpush.sheets.make_course import MadeCourse

SHORT: Mapping[str, str] = {
    "dysreflexia-risk": "dysreflexia (sudden headache, flushing): stop, sit upright{held}, loosen straps, call help",
    "faintness-risk": "faintness (pale, dizzy): stop, tilt back, legs up",
    "shunt-signs": "shunt: at new headache, vomiting or drowsiness stop, call emergency help",
    "bone-density": "bones below the injury break easily: a warm swollen leg after a knock is referred",
    "after-operation": "recent shoulder operation: no loading of that shoulder",
    "shoulder-instability": "unstable shoulder: arm below shoulder height",
    "heart": "heart condition: only what the doctor has allowed",
    "pressure-injury": "pressure injury: ask whether sitting through it is allowed",
    "epilepsy": "epilepsy: strapped in only with somebody beside who can open the strap",
    "latex-avoided": "no latex, gloves too",
    "spasms-much": "at a spasm stop and wait; feet fixed",
    "pain-unknown": "pain not known: ask before the start",
    "pain-now-unknown": "pain today not asked: ask before the start",
    "pain-familiar-unknown": "pain that may be new: ask before the start",
    "conditions-unknown": "health conditions not known: ask before the start",
    "spinal-level-unknown": "injury of the cord not known: ask, and know the signs of dysreflexia",
}
"""The notices of health in a few words, for a line among others; what is not here is told by its own words."""
FIRST_AID = ("dysreflexia-risk", "faintness-risk", "shunt-signs", "heart", "epilepsy")
"""What may have to be acted on within minutes: it goes before what is looked after."""
BY_INJURY = ("dysreflexia-risk", "faintness-risk")


@dataclass(frozen=True, kw_only=True)
class CareLine:
    """What is looked after with one of several athletes."""

    name: str
    level: Level
    says: str

    def __str__(self) -> str:
        return f"{self.name}: {'stop: ' if self.level == 'stop' else ''}{self.says}"


def notices_of(made: MadeCourse) -> tuple[Notice, ...]:
    """Return what health, age and the cautions of the drill ask of one athlete; of several `care_lines` tell it."""
    if len(made.athletes) > 1:
        return ()
    return tuple(_cautions(made, 0))


def care_lines(made: MadeCourse) -> tuple[CareLine, ...]:
    """Return one line for each of several athletes with a stop or a caution, gravest first; none for one athlete."""
    if len(made.athletes) == 1:
        return ()
    found = []
    for number, athlete in enumerate(made.athletes):
        notices = _cautions(made, number)
        if notices:
            found.append((_gravity(notices), number, _line(athlete, notices)))
    return tuple(line for _, _, line in sorted(found, key=lambda each: each[:2]))


def without_care(made: MadeCourse) -> str:
    """Return of whom nothing is known that asks for care, where there are several; empty for nobody."""
    if len(made.athletes) == 1:
        return ""
    careful = {line.name for line in care_lines(made)}
    names = [each.name for each in made.athletes if each.name not in careful]
    return f"No caution known: {', '.join(names)}." if names else ""


def _cautions(made: MadeCourse, number: int) -> list[Notice]:
    """Return all notices of one athlete but notes; that the chair tips sooner, the drill's own word tells better."""
    notices = [each for each in made.notices_of(number) if each.level != "note"]
    by_drill = any(_condition(each) == "light front" for each in notices)
    return [each for each in notices if not (by_drill and each.id == "tips-back-sooner")]


def _gravity(notices: list[Notice]) -> tuple[int, int, int]:
    """Return what lines are sorted by: stops, what may need first aid, how much there is; the gravest least."""
    return (
        -sum(each.level == "stop" for each in notices),
        -sum(each.id in FIRST_AID for each in notices),
        -len(notices),
    )


def _line(athlete: Athlete, notices: list[Notice]) -> CareLine:
    out = [each for each in notices if each.id == "course-left-out"]
    stops = [each for each in notices if each.level == "stop" and each not in out]
    said = [f"not this course ({', '.join(_condition(each) for each in out)})"] if out else []
    said += [_short(each, athlete) for each in stops]
    # Who does not drive needs no more than the reason.
    if not out:
        rest = [each for each in notices if each.level != "stop"]
        for each in sorted(rest, key=lambda each: each.id not in FIRST_AID):
            # Where it comes from is said once: the two that follow ask for opposite things.
            first = each.id in BY_INJURY and not any(words.startswith("injury at ") for words in said)
            words = _without_what_was_said(_short(each, athlete), said)
            said.append(f"injury at {athlete.health.spinal_level}: {words}" if first else words)
    level: Level = "stop" if out or stops else "caution"
    return CareLine(name=athlete.name, level=level, says="; ".join(dict.fromkeys(said)))


def _without_what_was_said(words: str, said: list[str]) -> str:
    """Return "condition: what to do" without the clauses of another condition that ask for the same, or for more."""
    condition, _, do = words.partition(": ")
    before = [clause for each in said for clause in each.partition(": ")[2].split("; ")]
    new = [each for each in do.split("; ") if not any(clause.startswith(each) for clause in before)]
    return f"{condition}: {'; '.join(new) or 'the same'}" if do else words


def _condition(notice: Notice) -> str:
    """Return what stands before the colon: the reason behind it is known to who reads."""
    return notice.what.split(": ")[0]


def _short(notice: Notice, athlete: Athlete) -> str:
    """Return a notice in a few words: its short form, else what is the matter and the first thing to do."""
    if notice.id in SHORT:
        return for_limbs_of(SHORT[notice.id].format(held=held_upright(athlete)), athlete)
    do = notice.do if notice.id == "exercise-care" else re.split(r"; |\. ", notice.do)[0]
    return f"{_condition(notice)}: {do[:1].lower()}{do[1:]}"


def pace_words(pace: Pace) -> str:
    """Return the pace beside a time: "at walking pace", or nothing."""
    return "at walking pace" if pace.at_walking_pace and not pace.is_out else ""


def time_of(bracket: Bracket, pace: Pace) -> str:
    """Return the time of an athlete; for somebody who is to leave it out there is none."""
    return "left out" if pace.is_out else str(bracket)


def head_words(made: MadeCourse) -> str:
    """Return what stands beside the large time: of several whose it is, and the pace."""
    name = made.decides.name
    if made.pace.is_out:
        return f"not for {name}"
    return ", ".join(filter(None, (name if len(made.athletes) > 1 else "", pace_words(made.pace))))


def why_pace(made: MadeCourse, number: int) -> str:
    """Return why an athlete goes at walking pace or not at all, or that a measured speed is told in spite of it."""
    pace, name = made.paces[number], made.athletes[number].name
    if pace.is_out:
        return f"Not for {name}: {', '.join(pace.out)}."
    conditions = ", ".join(pace.walking)
    if pace.at_walking_pace:
        low, high = WALKING_PACE.value - WALKING_PACE.spread, WALKING_PACE.value + WALKING_PACE.spread
        words = f"at walking pace, {low:.1f}-{high:.1f} m/s ({WALKING_PACE.known}): {conditions}."
    elif pace.walking:
        words = f"at full speed, as the sprint was measured; a caution asks for walking pace: {conditions}."
    else:
        return ""
    return f"{name} {words}" if len(made.athletes) > 1 else words[:1].upper() + words[1:]


def warm_up_words(made: MadeCourse) -> str:
    """Return how the first runs are done, and who goes no faster than walking pace."""
    held = [
        athlete.name
        for athlete, pace in zip(made.athletes, made.paces, strict=True)
        if (pace.walking or pace.is_out) and not pace.measured
    ]
    if all(each.is_out for each in made.paces):
        return f"Not for {listed([each.name for each in made.athletes])}."
    if len(held) == len(made.athletes):
        return "First an easy round each way; nobody goes faster than walking pace."
    if made.lanes and max(lane.share for lane in made.lanes) < 1.0:
        return "First an easy length each way; nobody pushes harder than the lengths say."
    words = "Warm up before full speed: first an easy round each way, then one at half effort."
    return words if not held else f"{words} Not {listed(held)}: at walking pace, or not at all."
