"""The cautions of court drills on the courses they match: who goes at walking pace, who is left out, what is told.

The cautions stand in the library of exercises and hold by the same rule as in a session; here is only which drill a
course is like.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from firstpush.core.courses import Course, layout_named
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.people.traits import may_tip_backwards
from firstpush.core.setup.cautions import Applying, applying, caution_notices, with_doses_for
from firstpush.core.setup.court import shares_in

SLALOM, BACK, LENGTHS, STOPS = "slalom_cones", "half_circle_cones", "graded_push_lengths", "stop_and_turn"
MATCHING = {
    "half-circle": SLALOM,
    "half-circle-back": BACK,
    "slalom": SLALOM,
    "figure-eight": SLALOM,
    "square": SLALOM,
    "t": SLALOM,
    "stop-and-turn": STOPS,
    "push-lanes": LENGTHS,
}
"""Which drill a layout is, or is like: what goes round cones is like a slalom (our choice)."""
SAME_DRILL = ("half-circle-back", "slalom", "push-lanes", "stop-and-turn")
"""Layouts that are the drill itself: its doses hold there too."""
TIPS = "may tip backwards"
ON_EVERY_START = "light front"
"""Every course begins with a hard first push; a drill that has no word for it takes that of the push lengths."""


@dataclass(frozen=True, kw_only=True)
class Pace:
    """How an athlete may do a course.

    Parameters
    ----------
    walking : tuple of str
        Conditions that ask for walking pace; empty where none does.
    out : tuple of str
        Conditions with which the course is not done at all.
    measured : bool
        Whether the athlete's sprint was measured: then a time at full speed is told beside the caution.
    """

    walking: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    measured: bool = False

    @property
    def is_out(self) -> bool:
        """Whether the course is not for the athlete."""
        return bool(self.out)

    @property
    def at_walking_pace(self) -> bool:
        """Whether it is timed at walking pace: what leaves it out is no reason to tell a full speed."""
        return self.is_out or (bool(self.walking) and not self.measured)


@dataclass(frozen=True, kw_only=True)
class CourseCautions:
    """What cautions say of one athlete on a course.

    Parameters
    ----------
    pace : Pace
    notices : tuple of Notice
        What leaves out comes first.
    shares : tuple of float
        Of push lanes: the lengths that are left to the athlete, as shares of the maximal speed; empty for all.
    """

    pace: Pace
    notices: tuple[Notice, ...]
    shares: tuple[float, ...] = ()


def matching_exercises(what: str | Course) -> tuple[str, ...]:
    """Return the ids of the drills that a course is like.

    Parameters
    ----------
    what : str or Course
        Id of its layout, or a course of one's own, which is judged by what is done on it.
    """
    if isinstance(what, str):
        return (MATCHING[layout_named(what).id],)
    found = []
    if any(leg.passes for leg in what.legs):
        found.append(SLALOM)
    if any(leg.backward for leg in what.legs):
        found.append(BACK)
    elif any(leg.turn is not None for leg in what.legs):
        found.append(STOPS)
    return tuple(found) or (LENGTHS,)


def course_cautions(what: str | Course, athlete: Athlete, *, measured: bool = False) -> CourseCautions:
    """Return what the cautions of the matching drills say of an athlete on a course.

    Parameters
    ----------
    what
        As in `matching_exercises`.
    athlete : Athlete
        What is not known counts as the worst that it may be, as in a session.
    measured : bool
        Whether the athlete's sprint was measured.
    """
    walking: list[str] = []
    out: list[str] = []
    notices: list[Notice] = []
    shares: tuple[float, ...] = ()
    for exercise, found in _holding(matching_exercises(what), athlete):
        for each in found:
            caution = each.caution
            about = f"{each.unknown} not known" if each.unknown else caution.condition
            if caution.effect == "exclude" and not each.unknown:
                out.append(caution.condition)
                notices.append(_left_out(each))
            elif caution.walking_pace and not each.is_asked:
                walking.append(about)
        if exercise.needs.anti_tip_or_trunk and may_tip_backwards(athlete) and athlete.trunk.forward is None:
            out.append(TIPS)
            notices.append(_tips_over(athlete))
        same = isinstance(what, str) and what in SAME_DRILL
        # A strap that is put on takes such a caution away; whether one is at hand is not known here.
        held = [each for each in found if each.caution.doses and not each.caution.gone_with_strap]
        if same and held and exercise.id == LENGTHS:
            shares = shares_in(with_doses_for(exercise, held).doses[0])
        notices += _told_of(caution_notices(found, exercise), found if same else ())
    return CourseCautions(
        pace=Pace(
            walking=tuple(dict.fromkeys(walking)), out=tuple(dict.fromkeys(out)), measured=measured and bool(walking)
        ),
        notices=tuple(sorted(dict.fromkeys(notices), key=lambda notice: notice.level != "stop")),
        shares=shares,
    )


def _holding(names: Iterable[str], athlete: Athlete) -> list[tuple[Exercise, tuple[Applying, ...]]]:
    found = []
    told = False
    for name in names:
        exercise = exercise_named(name)
        those = tuple(each for each in applying(exercise, athlete, SIDES) if not each.is_gone_with(athlete.chair.strap))
        told = told or any(each.condition == ON_EVERY_START for each in exercise.cautions)
        found.append((exercise, those))
    if not told:
        lengths = exercise_named(LENGTHS)
        those = tuple(each for each in applying(lengths, athlete, SIDES) if each.caution.condition == ON_EVERY_START)
        # One question about limbs is enough.
        found.append((lengths, tuple(each for each in those if not each.is_asked)))
    return found


def _left_out(each: Applying) -> Notice:
    caution = each.caution
    instead = f"{caution.do[:1].lower()}{caution.do[1:]}"
    return Notice(
        id="course-left-out",
        level="stop",
        what=f"{caution.condition}: {caution.why}",
        do=f"Leave this course out; instead: {instead}",
    )


def _tips_over(athlete: Athlete) -> Notice:
    """Return why a course on which the chair is stopped leaning back is not for somebody nothing is known to hold."""
    none = "anti_tip" in athlete.chair.measured
    wheel = "no anti-tip wheel, and trunk control is not known" if none else "nor is trunk control known"
    return Notice(
        id="course-left-out",
        level="stop",
        what=f"{TIPS}: {wheel if none else f'whether there is an anti-tip wheel is not known, {wheel}'}",
        do="Leave this course out until one of them is written down; instead: push lanes, two easy lengths",
    )


def _told_of(notices: Iterable[Notice], found: Iterable[Applying]) -> list[Notice]:
    """Return notices of a drill as they stand on a course: with the only doses that are left, once, without name."""
    told: list[Notice] = []
    found, said = tuple(found), set[str]()
    for notice in notices:
        only = _only(notice, found)
        told.append(replace(notice, do=notice.do + ("" if only in said else only), about=""))
        said.add(only)
    return told


def _only(notice: Notice, found: Iterable[Applying]) -> str:
    """Return the only doses that a notice of a drill leaves, as words behind what to do; empty for all."""
    those = (each.caution for each in found if each.caution.doses and notice.do == each.caution.do)
    caution = next(those, None)
    if caution is None:
        return ""
    bare = f"without a {caution.strap} strap " if caution.gone_with_strap else ""
    return f"; {bare}only {' or '.join(caution.doses)}"
