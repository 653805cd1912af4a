"""What the practitioner asks of a session by hand, and what went before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.exercises.definition import AIMS, Part
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side
from firstpush.core.session.needs import Need

DUE_AFTER = Measured(
    name="an aim is due when it was not trained for this long",
    value=7.0,
    unit="days",
    spread=0.0,
    source="strength twice a week for each major muscle group (Martin Ginis 2018, read); a week without it is a gap",
    known="our choice",
)
STALE_AFTER = Measured(
    name="an exercise asks for a change when it was done for this long",
    value=42.0,
    unit="days",
    spread=14.0,
    source="six weeks are the usual block of a programme",
    known="our choice",
)
_STALE_SHARE = 2 / 3
"""Of the sessions in that time: an exercise done now and then is still a change."""


@dataclass(frozen=True, kw_only=True)
class DoneSession:
    """A session that was done: when, and which exercises in which dose."""

    on: date
    exercises: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What is asked for by hand; everything left out is left to the model.

    Parameters
    ----------
    keep : tuple of str
        Ids of exercises that must be in the session.
    without : tuple of str
        Ids of exercises that must not.
    doses : tuple of (exercise id, name of dose)
        Exercises that must be there, in just this dose.
    aims : tuple of str
        Aims that must be trained, on every side that can train them.
    back_to_front : float
        Sets at the back of the shoulder for each set at its front; 2 is usual.
    even_sides : bool
        Whether both sides should get the same sets; not with hemiplegia, one arm, or one sore side.
    earlier : tuple of (exercise id, name of dose)
        The plan that this one is made from again: as little as possible is changed.
    history : tuple of DoneSession
        Sessions done, in any order; they say what is due, what is familiar and what wants a change.
    on : date or None
        Day of the session; without it history only says what is familiar.
    needs : tuple of Need
        Aims that count more or less for this athlete.
    careful : bool
        Whether nothing may come newly into the session that carries a caution for this athlete, as on a day on which a
        shoulder hurts more than usual; new is what is neither in the earlier plan nor in the history.
    most_sets : tuple of (side, part, sets)
        How many sets an arm gets in a part at most; what is asked for by hand may be more.

    Raises
    ------
    UnknownNameError
        For an aim that does not exist.
    OutOfRangeError
        When one exercise is asked for in two doses, or a ratio is out of range.
    """

    keep: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    doses: tuple[tuple[str, str], ...] = ()
    aims: tuple[str, ...] = ()
    back_to_front: float = 2.0
    even_sides: bool = True
    earlier: tuple[tuple[str, str], ...] = ()
    history: tuple[DoneSession, ...] = field(default=())
    on: date | None = None
    needs: tuple[Need, ...] = ()
    careful: bool = False
    most_sets: tuple[tuple[Side, Part, int], ...] = ()

    def __post_init__(self) -> None:
        for aim in self.aims:
            if aim not in AIMS:
                raise UnknownNameError(kind="aim", given=aim, known=AIMS)
        named = [id_ for id_, _ in self.doses]
        twice = sorted({id_ for id_ in named if named.count(id_) > 1})
        if twice:
            raise OutOfRangeError(
                f"{', '.join(twice)} is asked for in two doses; an exercise has one dose. Give one of them."
            )
        if not 0.0 <= self.back_to_front <= 10.0:
            raise OutOfRangeError(
                f"{self.back_to_front:g} sets at the back for each at the front is out of range; allowed are 0 to 10. "
                "Give 2 when nothing else is known."
            )

    @property
    def wanted(self) -> tuple[str, ...]:
        """Ids of exercises that must be there, in the order asked, each once."""
        return tuple(dict.fromkeys((*self.keep, *(id_ for id_, _ in self.doses))))

    @property
    def familiar(self) -> frozenset[str] | None:
        """Ids of exercises done before; None when nothing is known of earlier sessions."""
        if not self.history:
            return None
        return frozenset(id_ for session in self.history for id_, _ in session.exercises)

    def comes_newly(self, id_: str) -> bool:
        """Whether an exercise is neither in the earlier plan nor done before; False where nothing went before."""
        before = {each for each, _ in self.earlier} | (self.familiar or frozenset())
        return bool(before) and id_ not in before

    def due(self, aims_of: Mapping[str, Sequence[str]], *, core: Iterable[str]) -> frozenset[str]:
        """Return the core aims that were trained before and not within `DUE_AFTER` days of the session's day.

        Parameters
        ----------
        aims_of : mapping of exercise id to aims
            Of every exercise that may stand in the history.
        core : iterable of str
            The aims that can be due.
        """
        if not self.history or self.on is None:
            return frozenset()
        recent = {
            aim
            for session in self.history
            if 0 <= (self.on - session.on).days <= DUE_AFTER.value
            for id_, _ in session.exercises
            for aim in aims_of.get(id_, ())
        }
        return frozenset(core) - recent

    def stale(self) -> frozenset[str]:
        """Return the exercises done for `STALE_AFTER` days in most sessions: they want a change."""
        if not self.history or self.on is None:
            return frozenset()
        past = [session for session in self.history if session.on <= self.on]
        found = set()
        for id_ in {id_ for session in past for id_, _ in session.exercises}:
            first = min(session.on for session in past if id_ in dict(session.exercises))
            since = [session for session in past if session.on >= first]
            often = sum(id_ in dict(session.exercises) for session in since) >= _STALE_SHARE * len(since)
            if often and (self.on - first).days >= STALE_AFTER.value:
                found.add(id_)
        return frozenset(found)


def plan_of(document: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """Return exercises and doses of a session document, as `Asked.earlier` takes them.

    Raises
    ------
    OutOfRangeError
        When the document is no session.
    """
    try:
        return tuple((str(item["exercise"]), str(item["dose"]["name"])) for item in document["items"])
    except (KeyError, TypeError) as error:
        raise OutOfRangeError(
            "this is no session document: it has no list of items with exercise and dose; allowed is a session.json "
            "that this program wrote. Give that file."
        ) from error


def done_of(document: Mapping[str, Any]) -> DoneSession:
    """Return a session document with a date as a session that was done.

    Raises
    ------
    OutOfRangeError
        When it is no session, or carries no date.
    """
    exercises = plan_of(document)
    try:
        day = date.fromisoformat(str(document.get("date")))
    except ValueError as error:
        raise OutOfRangeError(
            f"the date {document.get('date')!r} of a session done cannot be read; allowed is a day like 2026-11-25. "
            "Make the session with --date, or write the date into its document."
        ) from error
    return DoneSession(on=day, exercises=exercises)
