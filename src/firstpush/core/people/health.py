"""From an athlete to the notices that health asks for, by one table of rules that every later part reads."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from firstpush.core.measured import Known
from firstpush.core.notices import Level, Notice
from firstpush.core.people.athlete import SIDES, Athlete, Chair, Health, Pain, Side
from firstpush.core.people.limbs import for_limbs_of, legs_missing
from firstpush.core.people.pain import PainAnswer, highest_going_on, pain_answer


@dataclass(frozen=True, kw_only=True)
class HealthRule:
    """One rule: when it applies, and what it says; see ``health_rules.toml`` for the words."""

    id: str
    when: dict[str, str | bool]
    level: Level
    what: str
    do: str
    known: Known
    source: str

    def applies_to(self, athlete: Athlete) -> bool:
        """Whether the rule speaks about this athlete."""
        return applies(self.when, athlete)


def applies(when: Mapping[str, str | bool], athlete: Athlete) -> bool:
    """Whether the one thing that `when` names is true of `athlete`.

    Parameters
    ----------
    when : mapping
        ``condition``, ``spinal_level_at_or_above``, ``spasticity``, ``latex_out``, ``missing_limb``,
        ``missing_leg`` or ``unknown``, with its value.
    """
    health = athlete.health
    ((kind, value),) = when.items()
    match kind:
        case "condition":
            return value in (health.conditions or ())
        case "spinal_level_at_or_above":
            return health.level_at_or_above(str(value))
        case "spasticity":
            return athlete.spasticity == value
        case "latex_out":
            return health.must_avoid_latex
        case "missing_limb":
            return bool(athlete.missing_limbs)
        case "missing_leg":
            return legs_missing(athlete.missing_limbs or ()) > 0
        case _:
            return _is_unknown(athlete, str(value))


def _is_unknown(athlete: Athlete, what: str) -> bool:
    health = athlete.health
    if what == "spasticity":
        # Where no condition was asked, spasms are asked for with the conditions.
        return athlete.spasticity is None and health.conditions is not None
    if what == "spinal_level":
        return health.spinal_level is None and not health.no_spinal_injury
    return getattr(health, what) is None


@cache
def health_rules() -> tuple[HealthRule, ...]:
    """Return the rules in the order of the file."""
    text = (files(__package__) / "health_rules.toml").read_text(encoding="utf-8")
    return tuple(HealthRule(**rule) for rule in tomllib.loads(text)["rules"])


def health_notices(athlete: Athlete) -> tuple[Notice, ...]:
    """Return what health asks the practitioner to know before any exercise of this athlete.

    Parameters
    ----------
    athlete : Athlete

    Returns
    -------
    tuple of Notice
        What stops comes first; else in the order of the rules, then pain.
    """
    health = athlete.health
    words = {
        "level": health.spinal_level or "",
        "systolic": "value" if health.usual_systolic_mmhg is None else f"{health.usual_systolic_mmhg:.0f}",
        "latex_reason": _latex_reason(health),
        "legs": "legs" if legs_missing(athlete.missing_limbs or ()) == len(SIDES) else "one leg",
        "anti_tip": _anti_tip(athlete.chair),
        "held": held_upright(athlete),
    }
    found = [
        Notice(
            id=rule.id,
            level=rule.level,
            what=for_limbs_of(rule.what.format(**words), athlete),
            do=for_limbs_of(rule.do.format(**words), athlete),
        )
        for rule in health_rules()
        if rule.applies_to(athlete)
    ]
    # "Stop, refer" is read before anything else is.
    return tuple(sorted((*found, *_pain_notices(health)), key=lambda notice: notice.level != "stop"))


def held_upright(athlete: Athlete, *, strapped: bool = False) -> str:
    """Return " and held" for who may lack trunk control and sits by a strap, else "".

    A strap that is loosened lets a trunk fall that nothing else holds.

    Parameters
    ----------
    athlete : Athlete
    strapped : bool
        Whether a strap is put on beside those of the chair.
    """
    trunk = athlete.trunk
    sways = any(control in ("no", None) for control in (trunk.forward, trunk.turn))
    return " and held" if sways and (strapped or athlete.chair.strap != "none") else ""


def _anti_tip(chair: Chair) -> str:
    """Return what is done against tipping backwards, by what is known of the chair."""
    down, behind = "Anti-tip wheel down before the first push", "somebody stands behind the chair"
    if chair.anti_tip is not None:
        return down
    if "anti_tip" in chair.measured:
        return f"The chair has no anti-tip wheel: {behind}"
    return f"{down}; without one {behind}"


def _latex_reason(health: Health) -> str:
    for condition in ("spina bifida", "many operations"):
        if condition in (health.conditions or ()):
            return f"{condition} counts as high risk whatever the file says"
    return "it is not known to be tolerated" if health.latex is None else "the athlete avoids it"


def hurts_too_much(athlete: Athlete, side: Side, *, place: str = "") -> bool:
    """Whether pain now on `side`, or in the middle, is more than what may go on as it is; at places named so."""
    return any(
        answer.is_too_much
        for pain in athlete.health.pain or ()
        if pain.side in (side, None) and pain.place.startswith(place)
        if (answer := pain_today(pain, athlete.health)) is not None
    )


def is_too_much_today(pain: Pain, health: Health) -> bool:
    """Whether a pain of today is more than what may go on as it is; one that was not asked is not."""
    answer = pain_today(pain, health)
    return answer is not None and answer.is_too_much


def place_of(pain: Pain) -> str:
    """Return where it hurts, in words: "right shoulder top"."""
    return " ".join(filter(None, (pain.side, pain.place)))


def highest_pain(health: Health, pain: Pain | None = None) -> int:
    """Return the pain above which an exercise stops: at the place of `pain`, or anywhere else, 0 to 10.

    What hurts too much already goes on with the lightest set-ups, and stops when it rises: there it is the pain of now.
    """
    if pain is None:
        return highest_going_on(usual=None, limit=health.pain_limit)
    if pain.now is not None and is_too_much_today(pain, health):
        return pain.now
    return highest_going_on(usual=pain.usual, limit=health.pain_limit)


def pain_today(pain: Pain, health: Health) -> PainAnswer | None:
    """Return what a pain of today means, before anything was done; None where it was not asked."""
    if pain.now is None:
        return None
    return pain_answer(pain.now, usual=pain.usual, limit=health.pain_limit)


def may_be_new(pain: Pain, health: Health) -> bool:
    """Whether a pain of today would go on if it were familiar, and its usual level, so whether it is, is not known."""
    answer = pain_today(pain, health)
    return bool(pain.now) and pain.usual is None and answer is not None and not answer.is_too_much


def stops_arm(pain: Pain, arm: Side) -> bool:
    """Whether a pain of today forbids to load `arm`; neck and back have no side: pulls of either arm end there."""
    return pain.side in (arm, None) and pain.now is not None and pain_answer(pain.now).outcome == "stop the arm"


def sides_should_be_even(athlete: Athlete) -> bool:
    """Whether both arms should do the same: not with hemiplegia, with an arm missing, or with one side sore."""
    if "hemiplegia" in (athlete.health.conditions or ()):
        return False
    if any(
        "elbow" in limb or "arm" in limb or "hand" in limb or "wrist" in limb for limb in athlete.missing_limbs or ()
    ):
        return False
    return hurts_too_much(athlete, "left") == hurts_too_much(athlete, "right")


def too_much_in_words(pain: Pain, health: Health) -> str:
    """Return a pain that is too much today beside the usual one: "left wrist: usually 1 of 10, today 2".

    The limit is named where it is the reason: beside a usual level that is lower the two numbers say enough.

    Parameters
    ----------
    pain : Pain
        One that `is_too_much_today`.
    health : Health
        Of the same athlete.
    """
    answer = pain_today(pain, health)
    assert answer is not None and answer.is_too_much, "only asked of a pain that is too much"
    why = answer.because.removeprefix(f"{pain.now} of 10 is ")
    reason = "" if why == f"above the usual {pain.usual}" else f", {why}"
    if pain.usual is None:
        return f"{place_of(pain)}: today {pain.now} of 10, usual level not known{reason}"
    return f"{place_of(pain)}: usually {pain.usual} of 10, today {pain.now}{reason}"


def stop_over(pain: Pain, health: Health) -> str:
    """Return at which number the exercise stops there, as a clause: "stop over 2 of 10"; the number of the sheet."""
    return f"stop over {highest_pain(health, pain)} of 10"


def _pain_notices(health: Health) -> list[Notice]:
    found = []
    for pain in health.pain or ():
        place = place_of(pain)
        usual = "not known" if pain.usual is None else pain.usual
        answer = pain_today(pain, health)
        if answer is None:
            found.append(
                Notice(
                    id="pain-now-unknown",
                    level="caution",
                    what=f"{place}: usual pain {usual}, now not asked",
                    do="Ask before the start",
                )
            )
        elif answer.outcome == "stop the arm":
            found.append(
                Notice(
                    id="pain-stops",
                    level="stop",
                    what=f"{place}: pain {pain.now} of 10 now",
                    do=f"No loading of {'that arm' if pain.side else 'either arm'} today; "
                    "refer if it is new, sharp or wakes at night",
                )
            )
        elif answer.is_too_much:
            found.append(
                Notice(
                    id="pain-too-much",
                    level="caution",
                    what=too_much_in_words(pain, health),
                    do=f"Go on lightly, with the lightest set-ups{' on that side' if pain.side else ''}; "
                    f"{stop_over(pain, health)} there",
                )
            )
        elif may_be_new(pain, health):
            found.append(
                Notice(
                    id="pain-familiar-unknown",
                    level="caution",
                    what=f"{place}: pain {pain.now} of 10 now; whether it is familiar is not known",
                    do="Ask before the start, and write the usual level into the athlete's file; "
                    "with a new pain nothing goes on there until it was looked at",
                )
            )
        elif pain.now:
            found.append(
                Notice(
                    id="familiar-pain",
                    level="note",
                    what=f"{place}: familiar pain {pain.now} of 10",
                    do="Go on with care and stop when it is new, sharp or rising",
                )
            )
    return found
