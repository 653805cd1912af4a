"""Court drills laid out for chair and floor: spacing, floor needed and time of a set, before anything is chosen.

The layout and its numbers come from `firstpush.core.courses`; here they get into the exercise: its measures, the floor
that it needs, how long a set of each dose takes.  Nothing else says how far apart the cones stand.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from firstpush.core.courses import Area, AthleteSpeed, CourseError
from firstpush.core.courses.drill import LANES, Drill, DrillCourse, drill_course, floor_of
from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.kit.venue import Venue
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Athlete, Chair
from firstpush.core.people.traits import may_tip_backwards
from firstpush.core.setup.cautions import EXERCISE_CARE, applying

SHORTENED = "course-shortened"
"""Id of the note that a drill is laid shorter than usual, because the floor has no more."""
BY_CONES = ("half-circle", "half-circle-back", "slalom")
BY_ROUNDS = ("figure-eight", "square", "stop-and-turn")
ONE_MORE = ("half-circle", "half-circle-back")
"""Layouts with one cone beside those that are counted."""
ONE_LANE = "half a turn on the spot at each end, nothing pulled backwards"
"""How it goes from length to length where backward pulls are left out."""
SURE_M = 1e-6
"""Lengths that differ by less are the same [m]."""
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True, kw_only=True, eq=False)
class LaidOut:
    """A drill laid for one athlete in one venue.

    Parameters
    ----------
    base : DrillCourse
        Of the first dose: the others are laid at its spacing.
    """

    base: DrillCourse
    chair: Chair
    name: str
    areas: tuple[Area, ...]
    speed: AthleteSpeed | None

    def of(self, dose: DoseOption) -> DrillCourse:
        """Return the drill as it is done in a dose."""
        drill = _in_dose(self.base.drill, dose)
        if drill == self.base.drill:
            return self.base
        return drill_course(drill, chair=self.chair, name=self.name, areas=self.areas, speed=self.speed, like=self.base)

    def timed(self, dose: DoseOption) -> DoseOption:
        """Return a dose with the time that a set of it takes here."""
        return replace(dose, seconds=self.of(dose).set_s)


def laid_out(
    exercise: Exercise, *, athlete: Athlete, chair: Chair, venue: Venue, speed: AthleteSpeed | None = None
) -> LaidOut | None:
    """Return a drill laid for a chair on a floor; None for an exercise that is none.

    Parameters
    ----------
    exercise : Exercise
    athlete : Athlete
        Whose cautions may ask for walking pace.
    chair : Chair
    venue : Venue
        Where its floor is not measured, the court of its sport; where that is not known, any floor.
    speed : AthleteSpeed or None
        None: nothing is measured.

    Raises
    ------
    CourseError
        Where the floor is too small, with the metres that are needed and those that there are.
    """
    if exercise.course is None:
        return None
    areas = floor_of(venue)
    drill = _drill(exercise, walking=_walking(exercise, athlete), backward=pulls_backwards(chair))
    base = drill_course(drill, chair=chair, name=athlete.name, areas=areas, speed=speed)
    return LaidOut(base=base, chair=chair, name=athlete.name, areas=areas, speed=speed)


def pulls_backwards(chair: Chair) -> bool:
    """Whether the short sides of push lanes are pulled backwards: only over an anti-tip wheel that is known."""
    return chair.anti_tip is not None


def as_laid(exercise: Exercise, laid: LaidOut) -> Exercise:
    """Return an exercise with the measures, the floor and the times of its course in it."""
    floors = [laid.of(dose) for dose in exercise.doses]
    length, width = max(each.length for each in floors), max(each.width for each in floors)
    # What nobody is given unasked asks for no more floor than the rest does.
    by_hand = ((dose, laid.of(dose)) for dose in exercise.by_hand)
    in_room = tuple(dose for dose, at in by_hand if at.length <= length + SURE_M and at.width <= width + SURE_M)
    if laid.base.drill.layout == LANES and not laid.base.drill.backward:
        faster = exercise.summary.split("; ")[0].removesuffix(".")
        exercise = replace(
            exercise,
            summary=f"{faster}; {ONE_LANE}.",
            on_the_floor=f"one lane, a mark beside the way at both ends; {ONE_LANE}",
        )
    return replace(
        exercise,
        floor_facts=floor_facts(laid.base),
        needs=replace(
            exercise.needs,
            floor_length=_tenths(length),
            floor_width=_tenths(width),
        ),
        doses=tuple(map(laid.timed, exercise.doses)),
        by_hand=tuple(map(laid.timed, in_room)),
    )


def as_laid_in(exercise: Exercise, laid: LaidOut, dose: DoseOption) -> Exercise:
    """Return an exercise that is laid out with the measures of one of its doses: two lanes for two lengths."""
    return replace(exercise, floor_facts=floor_facts(laid.of(dose)))


def laid_exercise(
    exercise: Exercise, *, athlete: Athlete, chair: Chair, venue: Venue, speed: AthleteSpeed | None = None
) -> tuple[Exercise, tuple[Notice, ...], str]:
    """Return an exercise laid out, what is to be told of it, and why it cannot be laid, "" where it can."""
    try:
        laid = laid_out(exercise, athlete=athlete, chair=chair, venue=venue, speed=speed)
    except CourseError as error:
        return exercise, (), str(error)
    if laid is None:
        return exercise, (), ""
    told = [_shortened(exercise, laid.base)] if laid.base.is_shortened else []
    # Where nothing else is known to hold either, a caution of the exercise says more.
    if exercise.course == LANES and not pulls_backwards(chair) and not may_tip_backwards(athlete):
        told.append(_no_wheel(exercise, chair))
    return as_laid(exercise, laid), tuple(told), ""


def floor_facts(laid: DrillCourse) -> tuple[tuple[str, str], ...]:
    """Return the measures of a drill, label and value: its one length, and what stands where."""
    course = laid.course
    word = course.spacing_word
    facts = [(word[:1].upper() + word[1:], f"{laid.spacing:.2f} m")]
    cones = course.cones
    counted = laid.drill.count
    if laid.drill.layout == LANES:
        lanes = len(laid.drill.shares) if laid.drill.backward else 1
        apart = abs(cones[2].y - cones[0].y) if lanes > 1 else 0.0
        beside = f", {apart:.2f} m from lane to lane" if lanes > 1 else ""
        facts.append(("Lanes", f"{_number(lanes)}{beside}; a mark beside the way at both ends"))
        facts.append(("Run-out", run_out_words(laid.run_out)))
    elif laid.drill.layout == "half-circle-back":
        behind = -cones[0].y
        facts.append(("Cones", f"{_number(counted)} on the half circle, one {behind:.2f} m behind its centre"))
    elif laid.drill.layout == "half-circle":
        facts.append(("Cones", f"{_number(counted)} on the half circle, one in its centre"))
    elif laid.drill.layout == "slalom":
        facts.append(("Cones", f"{_number(counted)} in a line, {cones[-1].x - cones[0].x:.2f} m in all"))
    elif laid.drill.layout == "stop-and-turn":
        facts.append(("Marks", f"two, {cones[1].x - cones[0].x:.2f} m from each other, to turn before"))
    else:
        facts.append(("Cones", _number(len(cones))))
    return tuple(facts)


def run_out_words(free: float | None) -> str:
    """Return what is free straight on at the end of a lane; rounded down, because a wall stands behind it.

    Examples
    --------
    >>> run_out_words(2.68), run_out_words(0.04), run_out_words(None)
    ('2.6 m at each end', 'none: stop before the mark', 'not known: floor not measured')
    """
    if free is None:
        return "not known: floor not measured"
    tenths = math.floor(10.0 * free + 1e-6)
    return f"{tenths / 10.0:.1f} m at each end" if tenths > 0 else "none: stop before the mark"


def _number(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def _drill(exercise: Exercise, *, walking: bool, backward: bool) -> Drill:
    assert exercise.course is not None, "asked by `laid_out`"
    first = exercise.doses[0]
    count = exercise.needs.cones - (exercise.course in ONE_MORE)
    if exercise.course in BY_ROUNDS or exercise.course == LANES:
        count = first.rounds or 1
    elif exercise.course == "t":
        count = 4
    drill = Drill(layout=exercise.course, count=count, walking=walking)
    return _in_dose(replace(drill, backward=backward) if exercise.course == LANES else drill, first)


def _in_dose(drill: Drill, dose: DoseOption) -> Drill:
    """Return a drill as it is done in one set of a dose."""
    rounds = dose.rounds or 1
    if drill.layout == LANES:
        return replace(drill, shares=shares_in(dose))
    if drill.layout in BY_ROUNDS:
        return replace(drill, count=rounds)
    # There and back is two runs; a round of what ends where it begins is one.
    back = 2 if dose.rounds_words.startswith("there and back") else 1
    return replace(drill, runs=rounds * back)


def shares_in(dose: DoseOption) -> tuple[float, ...]:
    """Return the shares of the maximal speed that the words of a dose name; without any, as many even steps.

    Examples
    --------
    >>> shares_in(DoseOption(name="easy", sets=1, seconds=40, rounds=2, rounds_words="lengths at 25 and 50 %"))
    (0.25, 0.5)
    """
    rounds = dose.rounds or 1
    named = [float(each) / 100.0 for each in re.findall(r"\d+", dose.rounds_words)] if "%" in dose.rounds_words else []
    if len(named) == rounds and all(0.0 < each <= 1.0 for each in named):
        return tuple(named)
    return tuple((k + 1) / rounds for k in range(rounds))


def _walking(exercise: Exercise, athlete: Athlete) -> bool:
    """Whether a caution that is known to speak about the athlete asks for walking pace."""
    found = applying(exercise, athlete, SIDES)
    return any(each.caution.walking_pace and not each.is_asked for each in found)


def _shortened(exercise: Exercise, laid: DrillCourse) -> Notice:
    word = laid.course.spacing_word
    tight = min(laid.areas, key=lambda area: (area.length - laid.length, area.width - laid.width))
    return Notice(
        id=SHORTENED,
        level="note",
        what=f"{word} {laid.spacing:.2f} m in place of {laid.usual:.2f} m: the {tight.name} has no more",
        do="Set it out as drawn; the times are those of this length",
        about=exercise.title,
    )


def _no_wheel(exercise: Exercise, chair: Chair) -> Notice:
    known = "anti_tip" in chair.measured
    return Notice(
        id=EXERCISE_CARE,
        level="caution",
        what=f"{'no anti-tip wheel' if known else 'anti-tip wheel not known'}: a hard start or a backward pull may tip"
        " the chair backwards",
        do=f"No hard starts, no backward pulls{'' if known else ' until it is known'}; turn round on the spot",
        about=exercise.title,
    )


def _tenths(length: float) -> float:
    """Return a length rounded up to a decimetre [m]: what is looked for on a floor."""
    return round(-(-length // 0.1) * 0.1, 1)
