"""First-aid cards: which signs belong to which card for one athlete, and what to do first."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from firstpush.core.errors import UnknownNameError
from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import Athlete, Health
from firstpush.core.people.health import applies, held_upright
from firstpush.core.people.limbs import for_limbs_of

Ends = Literal["exercise", "session"]

RISE = Measured(
    name="rise of systolic blood pressure over the usual that is a sign of autonomic dysreflexia",
    value=20.0,
    unit="mmHg",
    spread=0.0,
    source="clinical guideline texts on autonomic dysreflexia: 20 to 40 over the person's own baseline",
    known="read",
)
LOWEST_LEVEL_WITH_IT = "T6"
"""Injuries at this level and above can have autonomic dysreflexia."""


@dataclass(frozen=True, kw_only=True)
class FirstAidCard:
    """One card.

    Parameters
    ----------
    id, title : str
    signs : tuple of str
        What is seen or felt; one of them is enough to take this card.
    do : tuple of str
        What to do, the first thing first; sentences without a full stop.
    any_of : tuple of dict
        For whom, see `health.applies`; empty for everybody.
    calls_for_help : bool
        Whether it may need the emergency number.
    ends : str
        "exercise" or "session": what is over when this card is taken.
    may_go_on : bool
        Whether the session may go on once all of it has passed and a professional says so; False where the card itself
        says that it is over for today.
    known, source : str
    """

    id: str
    title: str
    signs: tuple[str, ...]
    do: tuple[str, ...]
    any_of: tuple[dict[str, str | bool], ...] = ()
    calls_for_help: bool
    ends: Ends
    may_go_on: bool
    known: Known
    source: str

    def is_for(self, athlete: Athlete) -> bool:
        """Whether the card can be needed for this athlete."""
        return not self.any_of or any(applies(when, athlete) for when in self.any_of)


@cache
def every_card() -> tuple[FirstAidCard, ...]:
    """Return all cards in the order of the file, still without an athlete's own numbers."""
    text = (files(__package__) / "first_aid.toml").read_text(encoding="utf-8")
    return tuple(_card(row) for row in tomllib.loads(text)["cards"])


def _card(row: dict[str, Any]) -> FirstAidCard:
    lists = {name: tuple(value) for name, value in row.items() if isinstance(value, list)}
    return FirstAidCard(**(row | lists))


def cards_for(athlete: Athlete) -> tuple[FirstAidCard, ...]:
    """Return the cards that this athlete can need, with the athlete's own level and blood pressure in the words.

    Parameters
    ----------
    athlete : Athlete

    Returns
    -------
    tuple of FirstAidCard
        Autonomic dysreflexia only for an injury at T6 or above, or of unknown level: its first aid would harm others.
    """
    health = athlete.health
    usual = health.usual_systolic_mmhg
    words = {
        "held": held_upright(athlete),
        "level": health.spinal_level or "(level not known)",
        "usual": "not known" if usual is None else f"{usual:.0f} mmHg",
        "stop_at": f"{RISE.value:.0f} mmHg or more over the usual"
        if usual is None
        else f"{usual + RISE.value:.0f} mmHg or more, usual {usual:.0f}",
    }

    def said(sentences: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(for_limbs_of(sentence.format(**words), athlete) for sentence in sentences)

    return tuple(
        replace(card, signs=said(card.signs), do=said(card.do)) for card in every_card() if card.is_for(athlete)
    )


def card_of(athlete: Athlete, sign: str) -> FirstAidCard:
    """Return the card that a sign belongs to.

    Raises
    ------
    UnknownNameError
        When no card of this athlete has the sign.
    """
    found = {each: card for card in cards_for(athlete) for each in card.signs}
    if sign not in found:
        raise UnknownNameError(kind="sign", given=sign, known=found)
    return found[sign]


def pressure_says_dysreflexia(health: Health, *, systolic_mmhg: float) -> bool | None:
    """Whether a blood pressure is a sign of autonomic dysreflexia.

    Parameters
    ----------
    health : Health
    systolic_mmhg : float
        Measured now [mmHg].

    Returns
    -------
    bool or None
        None where it cannot be told: level or usual pressure unknown. False below T6: it has other reasons there.

    Source
    ------
    Clinical guideline texts: injury at T6 or above, 20 mmHg or more over the person's own usual.

    Examples
    --------
    >>> high = Health(spinal_level="T4", usual_systolic_mmhg=100)
    >>> [pressure_says_dysreflexia(high, systolic_mmhg=pressure) for pressure in (118, 120)]
    [False, True]
    """
    if health.no_spinal_injury:
        return False
    if health.spinal_level is None:
        return None
    if not health.level_at_or_above(LOWEST_LEVEL_WITH_IT):
        return False
    if health.usual_systolic_mmhg is None:
        return None
    return systolic_mmhg - health.usual_systolic_mmhg >= RISE.value
