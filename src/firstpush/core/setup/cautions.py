"""Which cautions of an exercise speak about an athlete: what they leave out, tell, put on, and hold the dose to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from firstpush.core.exercises.definition import Caution, Exercise
from firstpush.core.kit.kit import Kit
from firstpush.core.notices import FIND_OUT_FIRST, Notice
from firstpush.core.people.athlete import CONDITIONS, Athlete, Side, Strap
from firstpush.core.people.health import hurts_too_much, is_too_much_today, stop_over, too_much_in_words
from firstpush.core.people.traits import (
    UNKNOWN_CONDITIONS,
    UNKNOWN_LIMBS,
    UNKNOWN_PAIN,
    UNKNOWN_USUAL,
    condition_words,
    possible_traits,
    traits,
    weak_side,
)
from firstpush.core.words import listed

EXERCISE_CARE = "exercise-care"
"""Id of the notices that cautions with the effect "care" give, and those that may be true for all that is known."""
SORE_ARM = "sore-arm-works"
"""Id of the notice that an arm works which hurts too much today, where the exercise has no word of its own for it."""
ASKS_FOR_CARE = (EXERCISE_CARE, SORE_ARM)
"""Ids of the cautions with which an exercise is done with care with this athlete."""

SORE_SHOULDER, STOP_AT_MORE = "sore shoulder", "stop when it rises"
"""The trait that a pain of today gives, and how an exercise says where it stops: for an athlete, at a number."""

STRAPS: tuple[Strap, ...] = ("none", "waist", "chest")
"""The lesser first."""
_ASKED = (UNKNOWN_PAIN, UNKNOWN_USUAL, UNKNOWN_LIMBS, UNKNOWN_CONDITIONS)
"""What is asked before the start and stands in one line; what an arm or the trunk can do is told caution by caution."""


@dataclass(frozen=True, kw_only=True)
class Applying:
    """A caution that speaks about the athlete; `unknown` says what is not known, empty where it is known to be true.

    `condition` is the condition as it is told of this athlete; empty stands for the caution's own word.
    """

    caution: Caution
    unknown: str = ""
    condition: str = ""

    @property
    def about(self) -> str:
        """What it is about, in words: what is not known, or what is true."""
        return f"{self.unknown} not known" if self.unknown else self.condition or self.caution.condition

    @property
    def leaves_out(self) -> bool:
        """Whether the exercise is not for the athlete; what is not known leaves nothing out."""
        return self.caution.effect == "exclude" and not self.unknown

    def is_gone_with(self, strap: Strap) -> bool:
        """Whether this strap takes the reason away."""
        caution = self.caution
        return caution.gone_with_strap and _reaches(strap, caution.strap)

    def is_met_by(self, strap: Strap) -> bool:
        """Whether it asks for a strap, and this one does what is asked."""
        caution = self.caution
        return not self.leaves_out and caution.strap != "none" and _reaches(strap, caution.strap)

    @property
    def is_asked(self) -> bool:
        """Whether it is a question before the start that was not answered."""
        return self.unknown in _ASKED


def applying(exercise: Exercise, athlete: Athlete, arms: Iterable[Side]) -> tuple[Applying, ...]:
    """Return the cautions of `exercise` that speak about the athlete when `arms` work, in the order of its file.

    Parameters
    ----------
    exercise : Exercise
    athlete : Athlete
        What is not known counts as the worst that it may be.
    arms : iterable of str
    """
    arms = tuple(arms)
    true = athlete.health.conditions_of(arms) | traits(athlete, arms)
    may_be = possible_traits(athlete, arms)
    if athlete.health.conditions is None:
        may_be |= dict.fromkeys(CONDITIONS, UNKNOWN_CONDITIONS)
    found = []
    for caution in exercise.cautions:
        if caution.condition in true:
            if caution.condition == SORE_SHOULDER:
                caution = replace(caution, do=_with_number(caution.do, athlete, arms))
            found.append(Applying(caution=caution, condition=condition_words(caution.condition, athlete, arms)))
        elif caution.condition in may_be:
            found.append(Applying(caution=caution, unknown=may_be[caution.condition]))
    return tuple(found)


def _with_number(do: str, athlete: Athlete, arms: Sequence[Side]) -> str:
    """Return what is done about a sore shoulder with the number at which it stops; two that differ name none."""
    sore = [arm for arm in arms if hurts_too_much(athlete, arm, place="shoulder")]
    numbers = {
        stop_over(pain, athlete.health)
        for pain in athlete.health.pain or ()
        if pain.place.startswith("shoulder") and is_too_much_today(pain, athlete.health) and _is_at(pain.side, sore)
    }
    return do.replace(STOP_AT_MORE, numbers.pop()) if len(numbers) == 1 else do


def _reaches(strap: Strap, least: Strap) -> bool:
    return STRAPS.index(strap) >= STRAPS.index(least)


def straps_in(kit: Kit) -> tuple[Strap, ...]:
    """Return the straps that lie in the cupboard, the lesser first."""
    counts: dict[Strap, int] = {"waist": kit.waist_straps, "chest": kit.chest_straps}
    return tuple(strap for strap in STRAPS if counts.get(strap, 0) > 0)


def strap_at_hand(found: Sequence[Applying], worn: Strap, kit: Kit) -> tuple[Strap, str]:
    """Return the least strap to be worn, and why it is put on; the one worn and "" where nothing asks for another.

    Parameters
    ----------
    found : sequence of Applying
    worn : str
        The strap of the chair.
    kit : Kit
    """
    strap, because = worn, ""
    for each in found:
        caution = each.caution
        # A strap on somebody for whom the exercise is left out all the same helps nobody.
        if each.leaves_out or _reaches(strap, caution.strap):
            continue
        there = [other for other in straps_in(kit) if _reaches(other, caution.strap)]
        if there:
            strap, because = there[0], caution.why
    return strap, because


def excluding(found: Iterable[Applying], athlete: Athlete) -> list[str]:
    """Return why the exercise is not for the athlete; what is not known leaves nothing out."""
    reasons = []
    for each in found:
        caution = each.caution
        if not each.leaves_out:
            continue
        told = f"{each.about}: {caution.why}; instead: {caution.do[:1].lower()}{caution.do[1:]}"
        if caution.condition == "hemiplegic arm" and weak_side(athlete) is None:
            told += "; which arm is the weak one is not known: write grip and muscle grades of both arms"
        reasons.append(told)
    return reasons


def caution_notices(found: Iterable[Applying], exercise: Exercise) -> list[Notice]:
    """Return what is told of the cautions that do not leave the exercise out."""
    found = tuple(found)
    notices = []
    for each in found:
        caution = each.caution
        if each.is_asked or each.leaves_out:
            continue
        do = caution.do
        if caution.effect == "exclude":
            # What the exercise asks of a muscle is told by the notice that the muscle is not known.
            if caution.condition == "weak elbow extensors" and exercise.needs.elbow_extension:
                continue
            do = f"{FIND_OUT_FIRST}{do[:1].lower()}{do[1:]}"
        what = f"{each.about}: {caution.why}"
        notices.append(Notice(id=EXERCISE_CARE, level="caution", what=what, do=do, about=exercise.title))
    return notices + _asked_first([each for each in found if each.is_asked], exercise)


def _asked_first(found: Sequence[Applying], exercise: Exercise) -> list[Notice]:
    """Return one notice that names what would leave the exercise out or ask for care, where it was not asked."""
    if not found:
        return []
    out = [each.caution.condition for each in found if each.caution.effect == "exclude"]
    care = [each.caution.condition for each in found if each.caution.effect == "care"]
    what = " and ".join(dict.fromkeys(each.unknown for each in found))
    sorted_out = (("left out with", out), ("done with care with", care))
    effects = [(effect, list(dict.fromkeys(conditions))) for effect, conditions in sorted_out if conditions]
    told = ", ".join(f"{effect} {listed(conditions, last='or')}" for effect, conditions in effects)
    return [
        Notice(
            id="exercise-ask-first",
            level="caution",
            what=f"{what} not known: {told}",
            do="Ask before the start, and write it into the athlete's file",
            about=exercise.title,
            subject=what,
            parts=tuple((effect, condition) for effect, conditions in effects for condition in conditions),
        )
    ]


def with_doses_for(exercise: Exercise, found: Iterable[Applying]) -> Exercise:
    """Return the exercise with the doses that its cautions leave to the athlete.

    Parameters
    ----------
    exercise : Exercise
    found : iterable of Applying
        Those that count here.

    Returns
    -------
    Exercise
        Without a caution that names doses, those that are for everybody, and the others to be chosen by hand.  Else
        those that every one of them names, held to: they keep their sets in any kind of session, and nothing is
        offered beside them.
    """
    held_to = [set(each.caution.doses) for each in found if each.caution.doses]
    if not held_to:
        careful = tuple(dose for dose in exercise.doses if dose.only_with_care)
        if not careful:
            return exercise
        # Chosen freely, it is a dose like any other: it may be lengthened the next time.
        free = tuple(replace(dose, only_with_care=False) for dose in careful)
        usual = tuple(dose for dose in exercise.doses if dose not in careful)
        return replace(exercise, doses=usual, by_hand=(*exercise.by_hand, *free))
    names = set.intersection(*held_to)
    left = tuple(replace(dose, only_with_care=True) for dose in exercise.doses if dose.name in names)
    return replace(exercise, doses=left, by_hand=())


def cue_for(exercise: Exercise, found: Iterable[Applying]) -> str:
    """Return what is said to the athlete: the cue of the first caution that has one, else that of the exercise."""
    own = (
        each.caution.cue for each in found if each.caution.cue and each.caution.effect == "care" and not each.is_asked
    )
    return next(own, exercise.cue)


def sore_arm_notices(
    exercise: Exercise, athlete: Athlete, arms: Sequence[Side], found: Iterable[Applying]
) -> list[Notice]:
    """Return the caution that an arm works which hurts too much today, where no caution of the exercise says so."""
    loaded = exercise.band is not None or exercise.ball is not None or exercise.contact == "partner"
    if not loaded or any(each.caution.condition == SORE_SHOULDER and not each.unknown for each in found):
        return []
    sore = [arm for arm in arms if hurts_too_much(athlete, arm)]
    pains = [
        pain
        for pain in athlete.health.pain or ()
        if is_too_much_today(pain, athlete.health) and _is_at(pain.side, sore)
    ]
    works = "both arms work" if len(arms) == 2 else f"the {arms[0]} arm works"
    return [
        Notice(
            id=SORE_ARM,
            level="caution",
            what=f"{too_much_in_words(pain, athlete.health)}; {works}",
            do=f"Go on lightly and slowly; {stop_over(pain, athlete.health)}",
            about=exercise.title,
        )
        for pain in pains
    ]


def _is_at(side: Side | None, sore: Sequence[Side]) -> bool:
    return bool(sore) if side is None else side in sore
