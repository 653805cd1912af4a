"""A6 cards, one an exercise: the athlete's version and the practitioner's, for one athlete with its computed set-up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise, Part
from firstpush.core.notices import Notice, for_athlete, sides_together, without_repeats
from firstpush.core.people.health import health_notices
from firstpush.core.progress.steps_down import as_printed
from firstpush.core.session.kinds import KindName
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.document import dose_document, notice_document, setup_document
from firstpush.sheets.content import BAND_CHECK, JUDGEMENT, CourseOnSheet, Fact, LeftOut, Version
from firstpush.sheets.drawn import WORKERS, DrawnExercise, Progress, draw_exercises
from firstpush.sheets.drill_words import CARD_PLAN_MM, course_numbers, course_on_sheet, course_plans
from firstpush.sheets.from_session import stop_rules
from firstpush.sheets.too_hard import too_hard
from firstpush.sheets.typeset import typeset_pdf
from firstpush.sheets.words import (
    dose_in_large,
    dose_small,
    evidence_sources,
    evidence_words,
    facts,
    harder,
    numbers,
    side_words,
    try_out_words,
)

FIGURE_MM = (108.0, 36.0)
"""Drawn with lettering of 9 pt; a card shows it between 0.89 times (8 pt) and 1.25 times as large."""
DRILL_MM = (70.0, 36.0)
"""Beside the plan of a course, with letters as large."""
KIND: KindName = "before training"
"""Of session that a card is set up for, as by itself."""
FILES = {"athlete": "cards.pdf", "practitioner": "cards_practitioner.pdf"}
_TITLES: dict[Version, str] = {"athlete": "Cards for", "practitioner": "Practitioner's cards for"}


@dataclass(frozen=True, kw_only=True)
class Card:
    """One exercise as it stands on its card, in finished words.

    Parameters
    ----------
    exercise : str
        Id of the exercise.
    title, part, side_words : str
        "External rotation at 90° abduction", "strength", "Right side, then left · right side drawn".
    figure_svg, figure_alt : str
        The drawing, and what it shows for those who do not see it.
    dose_large, dose_small : str
        "2 × 10" and tempo and pause.
    first_time : str
        What is asked of a try-out set, a clause without a full stop; empty when it is none.
    facts : tuple of Fact
        Band, post, distance, chair; of both sides where they differ; no N·m.
    cue : str
        One sentence with full stop.
    with_band : bool
        Whether a band is to be checked first.
    stop_rules : tuple of str
        When to stop, with the athlete's own numbers; one sentence each.
    numbers : tuple of Fact
        Load, pull, stretch, trunk, chair; practitioner's card.
    watch_for : tuple of str
        Practitioner's card.
    easier, harder, why, sources : str
        Clauses without a full stop, a sentence, and where it stands; practitioner's card.
    notices : tuple of Notice
        All of them; the athlete's card has those above a note.
    course : CourseOnSheet or None
        Of a court drill.
    """

    exercise: str
    title: str
    part: Part
    side_words: str
    figure_svg: str
    figure_alt: str
    dose_large: str
    dose_small: str
    first_time: str
    facts: tuple[Fact, ...]
    cue: str
    with_band: bool
    stop_rules: tuple[str, ...] = ()
    numbers: tuple[Fact, ...] = ()
    watch_for: tuple[str, ...] = ()
    easier: str = ""
    harder: str = ""
    why: str = ""
    sources: str = ""
    notices: tuple[Notice, ...] = ()
    course: CourseOnSheet | None = None


@dataclass(frozen=True, kw_only=True)
class CardDeck:
    """The cards of one athlete in one venue, and the exercises without a card.

    Parameters
    ----------
    athlete_name, chair_name, venue_name : str
        As printed at the foot of every card.
    cards : tuple of Card
    not_made : tuple of LeftOut
        Exercises that cannot be set up, each with its reason.
    notices : tuple of Notice
        About the athlete's health.
    document : dict
        What was made and what was not, in plain data with units in the keys.
    """

    athlete_name: str
    chair_name: str
    venue_name: str
    program_version: str
    input_checksum: str
    cards: tuple[Card, ...]
    not_made: tuple[LeftOut, ...] = ()
    notices: tuple[Notice, ...] = ()
    document: dict[str, Any]


def make_cards(
    case: Circumstances,
    exercises: Sequence[Exercise],
    *,
    program_version: str,
    checksum: str,
    seed: int = 0,
    workers: int = WORKERS,
    progress: Progress | None = None,
) -> CardDeck:
    """Set up, draw and put into words every exercise that the athlete can do here.

    Parameters
    ----------
    case : Circumstances
    exercises : sequence of Exercise
        A card does not depend on which others are made with it.
    program_version, checksum : str
        For the foot of each card.
    seed : int
        For the ranges of predicted loads.
    workers : int
        Processes that draw.
    progress : callable, optional
        Told how many are done, of how many.
    """
    width, height = FIGURE_MM
    drawn = draw_exercises(
        case,
        exercises,
        width_mm=width,
        height_mm=height,
        dimensions=True,
        without_setup=False,
        drill_width_mm=DRILL_MM[0],
        seed=seed,
        workers=workers,
        progress=progress,
    )
    made = [each for each in drawn if not each.reason]
    not_made = tuple(LeftOut(title=each.exercise.title, reason=each.reason) for each in drawn if each.reason)
    notices = health_notices(case.athlete)
    document = {
        "athlete": case.athlete.name,
        "venue": case.venue.name,
        "input_checksum": checksum,
        "made": [_document(each) for each in made],
        "not_made": [
            {"exercise": each.exercise.id, "title": each.exercise.title, "reason": each.reason}
            for each in drawn
            if each.reason
        ],
        "notices": [notice_document(notice) for notice in notices],
    }
    return CardDeck(
        athlete_name=case.athlete.name,
        chair_name=case.chair.name,
        venue_name=case.venue.name,
        program_version=program_version,
        input_checksum=checksum,
        cards=tuple(_card(each, case) for each in made),
        not_made=not_made,
        notices=tuple(without_repeats(list(notices))),
        document=document,
    )


def _card(drawn: DrawnExercise, case: Circumstances) -> Card:
    setups = drawn.setups
    exercise = next(iter(setups.values())).exercise
    dose = exercise.doses[0]
    sides = tuple(side for side in setups if side is not None)
    which = side_words(exercise, sides, together=not sides)
    (candidate,) = drawn.prepared.candidates
    with_band = any(setup.band is not None for setup in setups.values())
    drill = drawn.prepared.courses.get(exercise.id)
    laid = None if drill is None else drill.of(dose)
    now = as_printed(candidate.exercise, {setup.side: setup for setup in setups.values()}, dose)
    return Card(
        exercise=exercise.id,
        title=exercise.title,
        part=exercise.part,
        side_words=f"{which} · {sides[0]} drawn" if len(sides) > 1 else which,
        figure_svg=drawn.svg,
        figure_alt=drawn.words,
        dose_large=dose_in_large(dose, setups),
        dose_small=dose_small(dose, exercise),
        first_time=try_out_words(dose, setups),
        facts=facts(setups, between="\n"),
        cue=candidate.exercise.cue,
        with_band=with_band,
        stop_rules=stop_rules(frozenset({"band"} if with_band else ()), case.athlete),
        numbers=(*numbers(setups, between="\n"), *(() if laid is None else course_numbers(laid))),
        course=None if laid is None else course_on_sheet(laid, dose, plans=course_plans(laid, (CARD_PLAN_MM,))),
        watch_for=exercise.watch_for,
        easier=too_hard(now, case, kind=KIND),
        harder=harder(exercise),
        why=evidence_words(exercise),
        sources="; ".join(evidence_sources(exercise)),
        notices=tuple(without_repeats([*sides_together(replace(n, about="") for n in candidate.notices)])),
    )


def _document(drawn: DrawnExercise) -> dict[str, Any]:
    setups = drawn.setups
    exercise = next(iter(setups.values())).exercise
    dose = exercise.doses[0]
    return {
        "exercise": exercise.id,
        "title": exercise.title,
        "dose": dose_document(dose),
        "setups": [setup_document(setup) for setup in setups.values()],
        "notices": [notice_document(notice) for notice in drawn.prepared.candidates[0].notices],
    }


def cards_pdf(deck: CardDeck | Sequence[CardDeck], *, version: Version, document_date: date | None = None) -> bytes:
    """Return the cards as a tagged PDF of A6 pages (landscape), never two exercises on a page.

    Parameters
    ----------
    deck : CardDeck, or a sequence of them
        Of several athletes in the order of printing, each with the own foot.
    version : str
        "athlete" (no N·m), or "practitioner": the same page, and overleaf the numbers, to be printed on both sides.
    document_date : date, optional
        Creation date in the file's metadata; left out, the file carries none.

    Raises
    ------
    OutOfRangeError
        When there is no card, or a letter is in none of the fonts.
    """
    decks = (deck,) if isinstance(deck, CardDeck) else tuple(deck)
    if not any(each.cards for each in decks):
        names = " and ".join(each.athlete_name for each in decks) or "nobody"
        raise OutOfRangeError(
            f"no card can be made for {names}; at least one exercise that can be set up is needed; "
            "ask for another exercise or see why these were left out."
        )
    data = {
        "title": f"{_TITLES[version]} {', '.join(each.athlete_name for each in decks)}",
        "version": version,
        "judgement": JUDGEMENT,
        "band_check": BAND_CHECK,
        "cards": [_printed(card, version) | {"foot": _foot(each)} for each in decks for card in each.cards],
    }
    return typeset_pdf("card.typ", data, document_date=document_date)


def _printed(card: Card, version: Version) -> dict[str, Any]:
    """Return a card as plain data; the athlete's without what only the practitioner reads."""
    if version == "athlete":
        card = replace(card, numbers=(), watch_for=(), easier="", harder="", why="", sources="")
        card = replace(card, notices=for_athlete(card.notices))
    return asdict(card)


def _foot(deck: CardDeck) -> str:
    return " · ".join(
        (
            deck.athlete_name,
            deck.chair_name,
            deck.venue_name,
            f"Firstpush {deck.program_version}",
            f"inputs {deck.input_checksum}",
        )
    )


def write_cards(deck: CardDeck, folder: Path) -> tuple[Path, ...]:
    """Write both versions into `folder`; both, or none.

    Returns
    -------
    tuple of Path
        The files written.
    """
    versions: tuple[Version, ...] = ("athlete", "practitioner")
    content = {FILES[version]: cards_pdf(deck, version=version) for version in versions}
    folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=folder, prefix=".making-") as temporary:
        for name, pdf in content.items():
            (Path(temporary) / name).write_bytes(pdf)
        for name in content:
            (Path(temporary) / name).replace(folder / name)
    return tuple(folder / name for name in content)
