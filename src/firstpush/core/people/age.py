"""Age on a day, as far as a year of birth tells it, and what it asks for."""

from __future__ import annotations

from datetime import date

from firstpush.core.measured import Measured
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Athlete
from firstpush.core.people.health import health_notices

ADULT = Measured(
    name="age from which nobody is a junior",
    value=18.0,
    unit="years",
    spread=0.0,
    source="growth plates, and consent by a parent or guardian before it; local rules come first",
    known="common practice",
)


def may_be_junior(athlete: Athlete, *, on: date | None) -> bool:
    """Whether the athlete is, or may be, under 18 on a day; False when the year of birth or the day is unknown.

    Parameters
    ----------
    athlete : Athlete
        Of whom only the year of birth is known: who turns 18 in this year counts as a junior until it ends.
    on : date or None
        The day of the session.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from firstpush.core.people.athlete_file import load_athlete
    >>> from firstpush.demo import demo_file
    >>> grown = load_athlete(demo_file("athlete"))
    >>> [may_be_junior(replace(grown, born=year), on=date(2026, 11, 25)) for year in (2007, 2008, None)]
    [False, True, False]
    """
    return athlete.born is not None and on is not None and on.year - athlete.born <= ADULT.value


def age_notices(athlete: Athlete, *, on: date | None) -> tuple[Notice, ...]:
    """Return what the age asks the practitioner to know."""
    if not may_be_junior(athlete, on=on) or athlete.born is None or on is None:
        return ()
    return (
        Notice(
            id="junior",
            level="caution",
            what=_age_words(athlete.born, on),
            do="An adult stays beside; technique before load, no step up while the movement is not clean, "
            "and parents and local rules are asked first",
        ),
        Notice(
            id="tables-of-adults",
            level="note",
            what="masses of arm, head and trunk are from a table of young adults (de Leva 1996), not of growing bodies",
            do="Read the printed ranges as wider; go by effort first",
        ),
    )


def _age_words(born: int, on: date) -> str:
    """Return what a year of birth tells: under 18 for certain, or until a birthday that is not known."""
    if on.year - born < ADULT.value:
        return f"under {ADULT.value:.0f}: born in {born}"
    return f"turns {ADULT.value:.0f} in {on.year}: under {ADULT.value:.0f} until that birthday"


def athlete_notices(athlete: Athlete, *, on: date | None) -> tuple[Notice, ...]:
    """Return what health and age ask the practitioner to know on a day, before any exercise of this athlete."""
    return (*health_notices(athlete), *age_notices(athlete, on=on))
