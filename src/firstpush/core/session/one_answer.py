"""The question that most exercises wait for: of all that is not written down, the answer that opens most.

The question is answered with what would help, and the exercises that are out for it are searched again with that
answer; so the number said is what comes of it, not a guess from the words of their reasons.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from firstpush.core.exercises.definition import Exercise
from firstpush.core.kit.kit import Kit
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Athlete
from firstpush.core.session.kinds import KindName
from firstpush.core.session.prepare import Prepared, prepare
from firstpush.core.setup.circumstances import CHOCKS_FOR_BOTH_WHEELS, Circumstances, circumstances
from firstpush.core.setup.search import TRUNK
from firstpush.core.setup.sentences import LATEX_OUT, WOULD_ROLL

CHOCK_HEIGHT = Measured(
    name="height of a chock while it is not measured",
    value=0.08,
    unit="m",
    spread=0.03,
    source="a common wedge; only for saying what four chocks would open",
    known="our choice",
)
FEWEST = 3
"""Fewer exercises than this are told with the others that are not in the session."""
Document = Mapping[str, Any]
Whose = Literal["kit", "athlete"]


@dataclass(frozen=True, kw_only=True)
class OpenAnswer:
    """One question whose answer opens exercises.

    Parameters
    ----------
    asks : str
        The question, beginning small, with its question mark.
    whose : str
        The document that the answer is written into.
    key : str
        Dotted key in that document, such as ``bands[0].material``.
    opens : tuple of str
        Ids of the exercises that can be set up with the answer that helps, in the order of the library.
    """

    asks: str
    whose: Whose
    key: str
    opens: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class _Question:
    asks: str
    whose: Whose
    key: str
    athlete: Athlete
    kit: Kit
    because: str
    """What stands in the reason of an exercise that may wait for it."""

    def may_open(self, exercise: Exercise, reason: str) -> bool:
        """Whether the answer can open `exercise` at all; one that is also done without a post hides that it rolls."""
        return self.because in reason or (self.because == WOULD_ROLL and exercise.band_without_post is not None)


def most_awaited(
    case: Circumstances,
    exercises: Iterable[Exercise],
    prepared: Prepared,
    *,
    kit_document: Document,
    kind: KindName,
    done_before: Collection[str] = (),
) -> OpenAnswer | None:
    """Return the one question whose answer opens most of the exercises that cannot be set up now.

    Parameters
    ----------
    case : Circumstances
        As the session was prepared with, before its kind was looked at.
    exercises : iterable of Exercise
        As the session was prepared from.
    prepared : Prepared
        What could be set up.
    kit_document : mapping
        The structure of the kit file: it says what is not known and what is known to be none.
    kind : str
        Kind of session.
    done_before : collection of str, optional
        Ids of exercises that the athlete has done.

    Returns
    -------
    OpenAnswer or None
        None when no answer alone opens `FEWEST` exercises.
    """
    reasons = {each.exercise.id: each.reason for each in prepared.left_out}
    # As they were given: what is set up is an exercise fitted to the arm.
    out = [each for each in exercises if each.id in reasons]
    asked = [(q, [each for each in out if q.may_open(each, reasons[each.id])]) for q in _questions(case, kit_document)]
    asked.sort(key=lambda each: -len(each[1]))
    best: OpenAnswer | None = None
    for question, waiting in asked:
        # An answer opens at most what waits for it, so that most questions need no search.
        if len(waiting) < FEWEST or (best is not None and len(best.opens) >= len(waiting)):
            break
        answered = circumstances(question.athlete, question.kit, case.venue, on=case.on)
        answered = replace(answered, load_share=case.load_share)
        then = {id_ for id_, _ in prepare(answered, waiting, kind=kind, done_before=done_before).setups}
        opens = tuple(each.id for each in waiting if each.id in then)
        if len(opens) >= FEWEST and (best is None or len(opens) > len(best.opens)):
            best = OpenAnswer(asks=question.asks, whose=question.whose, key=question.key, opens=opens)
    return best


def _questions(case: Circumstances, kit_document: Document) -> Iterator[_Question]:
    athlete, kit = case.athlete, case.kit

    def of_kit(asks: str, key: str, because: str, **answer: Any) -> _Question:
        answered = replace(kit, **answer)
        return _Question(asks=asks, whose="kit", key=key, athlete=athlete, kit=answered, because=because)

    if athlete.health.must_avoid_latex:
        tolerant = replace(athlete, health=replace(athlete.health, latex="tolerated"))
        if athlete.health.latex is None and not tolerant.health.must_avoid_latex:
            asks = f"does {athlete.name} tolerate latex?"
            yield _Question(
                asks=asks, whose="athlete", key="health.latex", athlete=tolerant, kit=kit, because=LATEX_OUT
            )
        for key, name, things in _of_unknown_material(kit, kit_document):
            yield of_kit(f"is “{name}” free of latex?", key, _MATERIAL_REASONS[key.partition("[")[0]], **things)
    straps = _inner(kit_document, "straps")
    if _unknown(_inner(kit_document, "blocking"), "chocks"):
        chocks = {"chocks": CHOCKS_FOR_BOTH_WHEELS, "chock_height": CHOCK_HEIGHT.value}
        yield of_kit("are there four chocks?", "blocking.chocks", WOULD_ROLL, **chocks)
    for strap in ("chest", "waist"):
        if _unknown(straps, strap):
            yield of_kit(f"is there a {strap} strap?", f"straps.{strap}", TRUNK, **{f"{strap}_straps": 1})
    if _unknown(_inner(kit_document, "cones"), "count"):
        yield of_kit("are there cones?", "cones.count", _TOO_FEW_CONES, cones=_MANY_CONES)


_MANY_CONES = 20
_TOO_FEW_CONES = " cones, there are "
_MATERIAL_REASONS = {"bands": LATEX_OUT, "cuffs": "cuff the athlete may use"}
_REASONS = (*_MATERIAL_REASONS.values(), WOULD_ROLL, TRUNK, _TOO_FEW_CONES)


def _of_unknown_material(kit: Kit, kit_document: Document) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield key and name of each thing of unknown material, with the list that has it free of latex."""
    for list_ in _MATERIAL_REASONS:
        rows, things = kit_document.get(list_, []), getattr(kit, list_)
        for at, row in enumerate(rows if isinstance(rows, list) else []):
            place = next((n for n, each in enumerate(things) if each.name == row.get("name")), None)
            # One that is withdrawn is not among the things any more.
            if place is not None and _unknown(row, "material"):
                free = (*things[:place], replace(things[place], material="latex-free"), *things[place + 1 :])
                yield f"{list_}[{at}].material", row["name"], {list_: free}


def _inner(document: Document, key: str) -> Document:
    inner = document.get(key)
    return inner if isinstance(inner, Mapping) else {}


def _unknown(table: Document, key: str) -> bool:
    return table.get(key) in (None, "unknown")


def may_be_awaited(reasons: Iterable[str]) -> bool:
    """Whether so many exercises are out for something that one answer may open; quick, and without a search.

    Parameters
    ----------
    reasons : iterable of str
        Of all exercises that are not in a session.
    """
    told = tuple(reasons)
    return any(sum(because in reason for reason in told) >= FEWEST for because in _REASONS)
