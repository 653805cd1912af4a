"""Whether an exercise is for this athlete at all, on which side, and fitted to the range the arm has."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import degrees, radians

from firstpush.core.exercises.definition import ArmPose, Attach, Exercise, HandTarget
from firstpush.core.kit.kit import Kit
from firstpush.core.measured import Measured
from firstpush.core.notices import USUALLY_FULL, Notice
from firstpush.core.people.athlete import SIDES, Athlete, Grip, Side, Strap
from firstpush.core.people.health import stops_arm
from firstpush.core.people.limbs import for_limbs_of
from firstpush.core.setup.cautions import (
    Applying,
    applying,
    caution_notices,
    cue_for,
    excluding,
    sore_arm_notices,
    strap_at_hand,
    with_doses_for,
)

RANGE_RESERVE = Measured(
    name="active range kept in reserve under load",
    value=radians(5.0),
    unit="rad",
    spread=0.0,
    source="no load at the very end of range",
    known="our choice",
)
ELEVATION_RESERVE = Measured(
    name="active elevation asked beyond the elevation of an exercise",
    value=radians(10.0),
    unit="rad",
    spread=0.0,
    source="an arm at its limit shrugs instead of holding",
    known="our choice",
)
WORKING_GRADE = 3
"""Muscle grade that moves a limb against gravity: below it nothing is added."""

LOWEST_LEVEL_OF_ARMS = "T1"
"""The lowest segment that moves the hand: an injury below it usually leaves the arms full (from memory)."""
TRUNK_AIMS = ("anti-rotation", "trunk turn")
"""What only a trunk that turns is trained for."""
_GRIP_ORDER: dict[Grip, int] = {"none": 0, "weak": 1, "full": 2}
SKIN_CARE = "Pad it, loosen it in every pause and look at the skin afterwards"
"""What is done where something presses on skin with little or no feeling."""


@dataclass(frozen=True, kw_only=True)
class Readiness:
    """Whether an exercise can be done on a side, how the band is held there, and the exercise fitted to the arm.

    `reason` is None when it can; else one sentence that says why not. `attach` is where the band pulls on each arm.
    `strap` is the least strap to be worn: the one of the chair, or one that a caution asks for and that is at hand, and
    `strap_because` then says why.  `strap_counts` is whether a caution asks for it, or is left away because it is worn.
    `reasons` are those of `reason`, one by one.
    """

    exercise: Exercise
    side: Side
    reason: str | None
    attach: dict[Side, Attach]
    notices: tuple[Notice, ...]
    strap: Strap = "none"
    strap_because: str = ""
    strap_counts: bool = False
    reasons: tuple[str, ...] = ()


def readiness(exercise: Exercise, athlete: Athlete, kit: Kit, *, side: Side) -> Readiness:
    """Return whether `exercise` is for this athlete on `side`, with what is in the cupboard.

    Parameters
    ----------
    exercise : Exercise
    athlete : Athlete
    kit : Kit
        Cuffs replace a grip that is weak or missing.
    side : str
        The working side.

    Returns
    -------
    Readiness
    """
    notices: list[Notice] = []
    attach: dict[Side, Attach] = {}
    arms = arms_used(exercise, side)
    found = applying(exercise, athlete, arms)
    strap, because = strap_at_hand(found, athlete.chair.strap, kit)
    here = tuple(each for each in found if not each.is_gone_with(strap))
    reasons = excluding(here, athlete)
    notices += caution_notices(here, exercise)
    notices += sore_arm_notices(exercise, athlete, arms, here)
    if exercise.needs.anti_tip_or_trunk:
        reasons += _may_tip_back(athlete)
    for arm in arms:
        reasons += _arm_reasons(exercise, athlete, arm, notices)
        in_use = sum(each == "wrist_cuff" for each in attach.values())
        held, why_not = _how_held(exercise, athlete, kit, arm, notices, in_use)
        if why_not:
            reasons.append(why_not)
        attach[arm] = held
    reasons = list(dict.fromkeys(reasons))
    as_told = _as_told(exercise, here, athlete)
    fitted = as_told if reasons else _fitted_to_range(as_told, athlete, arms, notices)
    return Readiness(
        exercise=fitted,
        side=side,
        reason="; ".join(reasons) or None,
        attach=attach,
        notices=tuple(dict.fromkeys(notices)),
        strap=strap,
        strap_because=because,
        strap_counts=any(each.is_met_by(strap) for each in found),
        reasons=tuple(reasons),
    )


def arms_used(exercise: Exercise, side: Side) -> tuple[Side, ...]:
    """Return the arms that must be able to do their part: those that work, and a hand that holds the band's end."""
    uses = (exercise.band, exercise.band_without_post)
    holds = any(use is not None and use.fixed_to == "other hand" for use in uses)
    return SIDES if exercise.needs.hands == 2 or holds else exercise.sides_of(side)


def _as_told(exercise: Exercise, here: tuple[Applying, ...], athlete: Athlete) -> Exercise:
    """Return the exercise as it is told the athlete.

    With the doses and the cue that its cautions leave, the aims it has, and no limb named that is not there.
    """
    aims = exercise.aims
    if athlete.trunk.turn == "no":
        # A strap that holds against turning trains no trunk; an exercise with no other aim keeps what it says.
        aims = tuple(aim for aim in aims if aim not in TRUNK_AIMS) or aims
    return replace(
        with_doses_for(exercise, here),
        summary=for_limbs_of(exercise.summary, athlete),
        cue=for_limbs_of(cue_for(exercise, here), athlete),
        watch_for=tuple(for_limbs_of(each, athlete) for each in exercise.watch_for),
        aims=aims,
    )


def _level_with_full_arms(athlete: Athlete) -> str:
    """Return the level of an injury that usually leaves the arms full, where nothing else known speaks against it."""
    health = athlete.health
    conditions = health.conditions
    if health.spinal_level is None or conditions is None or "hemiplegia" in conditions:
        return ""
    return "" if health.level_at_or_above(LOWEST_LEVEL_OF_ARMS) else health.spinal_level


def _usually_full(athlete: Athlete, notice: Notice) -> Notice:
    """Return a notice that a muscle was not looked at, short where the level says what is to be expected."""
    level = _level_with_full_arms(athlete)
    return (
        replace(notice, short="show hands, wrists and elbows once", parts=((USUALLY_FULL, level),)) if level else notice
    )


def _may_tip_back(athlete: Athlete) -> list[str]:
    """Return why an exercise that leans or brakes backwards is not for the athlete, as far as is known."""
    if athlete.chair.anti_tip is not None or athlete.trunk.forward is not None:
        return []
    wheel = (
        f"the {athlete.chair.name} has no anti-tip wheel, and trunk control is not known"
        if "anti_tip" in athlete.chair.measured
        else "neither an anti-tip wheel nor trunk control is known"
    )
    return [
        f"it leans or brakes backwards, and {wheel}; write down how far behind the axle the anti-tip wheel touches "
        "the floor, or whether the trunk is controlled to the front"
    ]


def _arm_reasons(exercise: Exercise, athlete: Athlete, arm: Side, notices: list[Notice]) -> list[str]:
    needs, has = exercise.needs, athlete.arm(arm)
    reasons = []
    missing = athlete.missing_limbs or frozenset()
    if needs.hands > 0 and missing & {f"{arm} above elbow", f"{arm} below elbow", f"{arm} hand"}:
        reasons.append(f"there is no {arm} hand")
    for pain in athlete.health.pain or ():
        # Neck and back have no side: every pull of either arm ends there.
        if stops_arm(pain, arm):
            where = pain.place if pain.side is None else f"{arm} {pain.place}"
            reasons.append(f"{where}: pain {pain.now} of 10 now")
    unknown = []
    asked = needs.elevation + (ELEVATION_RESERVE.value if needs.elevation >= radians(80) else 0.0)
    for what, need, value in (
        ("elevation", asked, has.elevation),
        ("external rotation", needs.external_rotation + RANGE_RESERVE.value, has.external_rotation),
    ):
        if need <= RANGE_RESERVE.value:
            continue
        if value is None:
            unknown.append(f"active {what}")
        elif value < need - 1e-9:
            reasons.append(
                f"{arm} active {what} is {degrees(value):.0f}° and this asks for {degrees(need):.0f}°, reserve included"
            )
    for what, grade, value_grade in (
        ("elbow extensors", needs.elbow_extension, has.elbow_extension),
        ("wrist extensors", needs.wrist_extension, has.wrist_extension),
    ):
        if grade and value_grade is None:
            unknown.append(what)
        elif grade and value_grade is not None and value_grade < grade:
            reasons.append(f"{arm} {what} grade {value_grade} of 5 and this asks for {grade}")
    # Each by itself: what is the same for several exercises is told once.
    told = [
        Notice(
            id="function-unknown",
            level="caution",
            what=f"{arm} {each}: not known",
            do="Try the movement without load first, and write what you see into the athlete's file",
            about=exercise.title,
            subject=f"{arm} {each}",
            short="show the movement without load",
        )
        for each in unknown
    ]
    # Active range says nothing about the level: a shoulder gets stiff at any.
    notices += [each if "active" in each.subject else _usually_full(athlete, each) for each in told]
    return reasons


def _grip_unknown(exercise: Exercise, arm: Side) -> Notice:
    held = "the handle" if exercise.band is not None else "the ball" if exercise.ball is not None else "the rim"
    cuff = "; with a weak grip use a cuff" if exercise.band is not None else ""
    return Notice(
        id="grip-unknown",
        level="caution",
        what=f"{arm} grip is not known",
        do=f"Let the athlete squeeze {held} before the {'band is stretched' if cuff else 'start'}{cuff}",
        about=exercise.title,
        subject=f"{arm} grip",
        short=f"squeeze {held}{' (weak: use a cuff)' if cuff else ''}",
    )


def _how_held(
    exercise: Exercise, athlete: Athlete, kit: Kit, arm: Side, notices: list[Notice], in_use: int
) -> tuple[Attach, str | None]:
    """Return where the band pulls on `arm`, and why it cannot be held at all."""
    grip, needed = athlete.arm(arm).grip, exercise.needs.grip
    wanted: Attach = exercise.band.attach if exercise.band else "hand"
    if grip is None:
        if needed != "none":
            notices.append(_usually_full(athlete, _grip_unknown(exercise, arm)))
        if wanted == "hand":
            notices += _skin_of_hand(exercise, athlete, arm)
            return wanted, None
    elif _GRIP_ORDER[grip] >= _GRIP_ORDER[needed] and wanted == "hand":
        notices += _skin_of_hand(exercise, athlete, arm)
        return wanted, None
    if exercise.band is None:
        return wanted, f"{arm} grip is {grip} and this asks for {needed}"
    if exercise.ball is not None and grip is not None and _GRIP_ORDER[grip] < _GRIP_ORDER[needed]:
        return wanted, f"{arm} grip is {grip} and holding the ball asks for {needed}"
    left = -in_use
    for cuff in kit.cuffs:
        latex_free = cuff.material == "latex-free" or not athlete.health.must_avoid_latex
        left += cuff.count if cuff.attach == "wrist_cuff" and latex_free else 0
        if left > 0:
            if athlete.arm(arm).feeling != "full":
                notices.append(
                    Notice(
                        id="cuff-over-skin-without-feeling",
                        level="caution",
                        what=f"{arm} wrist cuff over skin with feeling {athlete.arm(arm).feeling or 'not known'}",
                        do=SKIN_CARE,
                        about=exercise.title,
                    )
                )
            return "wrist_cuff", None
    more = "no second" if in_use else "no"
    why = "the band is worn on a cuff" if wanted != "hand" else f"{arm} grip is {grip}"
    return wanted, f"{why} and there is {more} wrist cuff the athlete may use"


def _skin_of_hand(exercise: Exercise, athlete: Athlete, arm: Side) -> list[Notice]:
    """Return the caution that a band presses on a hand with little or no feeling, as it is told of a cuff.

    What is looped over the hand presses on skin, as a cuff does: there unknown counts as the worst.  What is held is
    told of where feeling is known to be less than full (our choice).
    """
    feeling, looped = athlete.arm(arm).feeling, exercise.needs.grip == "none"
    if exercise.band is None or feeling == "full" or (feeling is None and not looped):
        return []
    how = "a loop over the hand" if looped else "the band held in the hand"
    return [
        Notice(
            id="band-on-hand-without-feeling",
            level="caution",
            what=f"{arm} hand with feeling {feeling or 'not known'}: {how} can press unnoticed",
            do=SKIN_CARE,
            about=exercise.title,
        )
    ]


def holds_the_frame(athlete: Athlete, side: Side) -> bool:
    """Whether the hand on `side` can hold the chair's frame while the other arm works; an unknown grip is tried."""
    lost = {f"{side} above elbow", f"{side} below elbow", f"{side} hand"}
    hurts = any(pain.side is not None and stops_arm(pain, side) for pain in athlete.health.pain or ())
    return not (lost & (athlete.missing_limbs or frozenset())) and athlete.arm(side).grip != "none" and not hurts


def _fitted_to_range(exercise: Exercise, athlete: Athlete, arms: tuple[Side, ...], notices: list[Notice]) -> Exercise:
    """Return the exercise with external rotation ended before the arm's own end of range."""
    limits = [athlete.arm(arm).external_rotation for arm in arms]
    known = [limit for limit in limits if limit is not None]
    if not known:
        return exercise
    end = min(known) - RANGE_RESERVE.value
    wanted = max((pose.working.rotation for pose in exercise.poses if pose.working.target is None), default=0.0)
    if wanted <= end:
        return exercise

    def shortened(arm: ArmPose) -> ArmPose:
        return replace(arm, rotation=min(arm.rotation, end)) if arm.target is None else arm

    notices.append(
        Notice(
            id="range-shortened",
            level="note",
            what=f"the movement ends at {degrees(end):.0f}° of external rotation instead of {degrees(wanted):.0f}°",
            do="The active range of this arm asks for it; measure again when it has grown",
            about=exercise.title,
        )
    )
    poses = tuple(
        replace(pose, working=shortened(pose.working), other=shortened(pose.other)) for pose in exercise.poses
    )
    return replace(exercise, poses=poses)


def one_arm(exercise: Exercise) -> Exercise:
    """Return the one-arm variant: the other hand holds the chair's frame, each side has its turn."""
    holding = ArmPose(target=HandTarget(at="frame", elbow_points=("out", "back")))
    alone = exercise.sides == "together" or exercise.needs.hands == 2
    return replace(
        exercise,
        title=f"{exercise.title}, one arm" if alone else exercise.title,
        sides="each",
        poses=tuple(replace(pose, other=holding) for pose in exercise.poses),
        band=replace(exercise.band, grip="working") if exercise.band else None,
        doses=tuple(replace(dose, per_side=True) for dose in exercise.doses),
        by_hand=tuple(replace(dose, per_side=True) for dose in exercise.by_hand),
        needs=replace(exercise.needs, hands=1),
        cautions=tuple(
            replace(caution, effect="care", one_arm_instead=False) if caution.one_arm_instead else caution
            for caution in exercise.cautions
        ),
    )
