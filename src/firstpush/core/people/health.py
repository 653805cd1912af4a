"""From an athlete to the notices that health asks for, by one table of rules that every later part reads."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from firstpush.core.measured import Known
from firstpush.core.notices import Level, Notice
from firstpush.core.people.athlete import Athlete, Health, Side

STOPPING_PAIN = 6
"""Pain now at or above this stops (0-10): more than 5 is too much in the pain-monitoring model (from memory, 1.41)."""


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
        health = athlete.health
        (kind, value), *_ = self.when.items()
        match kind:
            case "condition":
                return value in (health.conditions or ())
            case "spinal_level_at_or_above":
                return health.level_at_or_above(str(value))
            case "latex_out":
                return health.must_avoid_latex
            case "missing_limb":
                return bool(athlete.missing_limbs)
            case _:
                return self._is_unknown(health, str(value))

    @staticmethod
    def _is_unknown(health: Health, what: str) -> bool:
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
        In the order of the rules, then pain.
    """
    health = athlete.health
    words = {
        "level": health.spinal_level or "",
        "systolic": "value" if health.usual_systolic_mmhg is None else f"{health.usual_systolic_mmhg:.0f}",
        "latex_reason": _latex_reason(health),
    }
    found = [
        Notice(id=rule.id, level=rule.level, what=rule.what.format(**words), do=rule.do)
        for rule in health_rules()
        if rule.applies_to(athlete)
    ]
    return (*found, *_pain_notices(health))


def _latex_reason(health: Health) -> str:
    for condition in ("spina bifida", "many operations"):
        if condition in (health.conditions or ()):
            return f"{condition} counts as high risk whatever the file says"
    return "it is not known to be tolerated" if health.latex is None else "the athlete avoids it"


def hurts_more_than_usual(athlete: Athlete, side: Side, *, place: str = "") -> bool:
    """Whether pain now on `side`, or in the middle, is above the usual and above 2 of 10; at places named so."""
    return any(
        pain.side in (side, None)
        and pain.place.startswith(place)
        and pain.now is not None
        and pain.now > max(pain.usual or 0, 2)
        for pain in athlete.health.pain or ()
    )


def sides_should_be_even(athlete: Athlete) -> bool:
    """Whether both arms should do the same: not with hemiplegia, with an arm missing, or with one side sore."""
    if "hemiplegia" in (athlete.health.conditions or ()):
        return False
    if any(
        "elbow" in limb or "arm" in limb or "hand" in limb or "wrist" in limb for limb in athlete.missing_limbs or ()
    ):
        return False
    return hurts_more_than_usual(athlete, "left") == hurts_more_than_usual(athlete, "right")


def _pain_notices(health: Health) -> list[Notice]:
    found = []
    for pain in health.pain or ():
        place = " ".join(filter(None, (pain.side, pain.place)))
        if pain.now is None:
            found.append(
                Notice(
                    id="pain-now-unknown",
                    level="caution",
                    what=f"{place}: usual pain {'not known' if pain.usual is None else pain.usual}, now not asked",
                    do="Ask before the start",
                )
            )
        elif pain.now >= STOPPING_PAIN:
            found.append(
                Notice(
                    id="pain-stops",
                    level="stop",
                    what=f"{place}: pain {pain.now} of 10 now",
                    do=f"No loading of {'that arm' if pain.side else 'either arm'} today; "
                    "refer if it is new, sharp or wakes at night",
                )
            )
        elif pain.now > max(pain.usual or 0, 2):
            found.append(
                Notice(
                    id="pain-over-usual",
                    level="caution",
                    what=f"{place}: pain {pain.now} of 10 now, usual "
                    f"{'not known' if pain.usual is None else pain.usual}",
                    do=f"Lightest set-ups only{' on that side' if pain.side else ''}; stop when it rises",
                )
            )
        elif pain.now > 0:
            found.append(
                Notice(
                    id="familiar-pain",
                    level="note",
                    what=f"{place}: familiar pain {pain.now} of 10",
                    do="Go on with care and stop when it is new, sharp or rising",
                )
            )
    return found
