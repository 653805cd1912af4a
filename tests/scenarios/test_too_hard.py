"""What a sheet prints behind "Too hard?" can be done: laid by hand it is accepted, and it is lighter than now."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

import pytest
from eight_cases import (
    BREN,
    CLUB,
    CUPBOARD,
    FLAT,
    HALL,
    HOME_BAG,
    MIKA,
    ONE_BAND,
    RUNA,
    SIGNE_AT_HOME,
    at_home,
    made,
    match_of,
    one_band,
    ten,
)
from eight_cases import Made as MadeCase

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.exercises.loader import library
from firstpush.core.exercises.other_poses import TURN_STEP, with_added_turn
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.progress.steps_down import as_printed
from firstpush.core.progress.try_out import is_tried_out
from firstpush.core.session.prepare import case_of_kind, prepare
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.by_hand import HandAnswer, LaidByHand, SetupByHand, choices_by_hand, laid_as, setup_by_hand
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.search import search_setup
from firstpush.sheets.from_session import setups_of
from firstpush.sheets.too_hard import STOP, too_hard, too_hard_words
from firstpush.sheets.words import FIRST_TIME, easier


@dataclass(frozen=True, kw_only=True)
class Case:
    """One session with what it was made from."""

    name: str
    made: MadeCase
    of: Circumstances

    @property
    def of_kind(self) -> Circumstances:
        """The circumstances in which it is set up."""
        return case_of_kind(self.of, self.made.session.kind)

    def setups(self, item: SessionItem) -> dict[Side, ExerciseSetup]:
        """Return the set-ups of an item by the side that each was made for."""
        return {setup.side: setup for setup in setups_of(item, self.made.prepared).values()}


@cache
def cases() -> tuple[Case, ...]:
    """Return the sessions of the demo club, and those before a match, at home, with one band and of ten minutes."""
    club = [Case(name=stem, made=made(who), of=in_hall(who)) for stem, who in CLUB.items()]
    return (
        *club,
        Case(name="match", made=match_of(RUNA), of=in_hall(RUNA)),
        Case(name="home", made=at_home(), of=circumstances(SIGNE_AT_HOME, HOME_BAG, FLAT)),
        Case(name="one band", made=one_band(), of=circumstances(BREN, ONE_BAND, HALL)),
        Case(name="ten minutes", made=ten(), of=in_hall(MIKA)),
    )


def in_hall(athlete: Athlete) -> Circumstances:
    """Return the circumstances of an athlete in the hall of the club."""
    return circumstances(athlete, CUPBOARD, HALL)


NAMES = (*CLUB, "match", "home", "one band", "ten minutes")


def case_named(name: str) -> Case:
    """Return one of the sessions."""
    return next(each for each in cases() if each.name == name)


@cache
def printed(name: str) -> dict[str, str]:
    """Return what is printed for each exercise of one of the sessions, by its id."""
    case = case_named(name)
    return too_hard_words(case.made.session, case.made.prepared, case.of)


def laid_otherwise(case: Case, item: SessionItem, side: Side, **change: float | str) -> HandAnswer:
    """Return what comes of laying the band of one side by hand as now but for one thing."""
    setup = case.setups(item)[side]
    laid = laid_as(setup)
    assert laid is not None, "its lever is of a band"
    new: LaidByHand = replace(laid, **change)  # type: ignore[arg-type]
    return setup_by_hand(item.candidate.exercise, case.of_kind, SetupByHand(laid=new), like=setup)


def is_lighter(answer: HandAnswer, now: ExerciseSetup) -> bool:
    """Whether a set-up by hand is accepted and its largest moment is less than now."""
    if answer.setup is None or answer.setup.peak is None or now.peak is None:
        return False
    return answer.setup.peak.value < now.peak.value


LAID = {"chair nearer": "distance", "chair farther": "distance", "longer mark": "slack_length", "lighter band": "band"}


def values_of(said: str, sides: list[Side]) -> dict[Side, str]:
    """Return what stands in brackets for each side: "1.30 m", or "right 1.30, left 1.20 m"."""
    told = {side: re.search(rf"\b{side} ([^,]+?)(?= m$|,|$)", said) for side in sides}
    return {side: (said.removesuffix(" m") if found is None else found[1]) for side, found in told.items()}


def clauses(words: str) -> list[str]:
    """Return the steps that are said, one each."""
    return words.split(", or ")


def assert_less(said: str, dose: DoseOption, *, first_time: bool) -> None:
    """Check that less of a dose is meant that there is: fewer, shorter, and never less than one."""
    if found := re.fullmatch(r"stop at (\d+)", said):
        assert first_time and int(found[1]) in FIRST_TIME and int(found[1]) < min(FIRST_TIME[-1], dose.repetitions or 0)
    elif found := re.fullmatch(r"fewer repetitions \((\d+)\)", said):
        assert 1 <= int(found[1]) < (dose.repetitions or 0)
    elif found := re.fullmatch(r"shorter \((\d+) s\)", said):
        assert 0 < int(found[1]) < (dose.seconds or 0)
    elif found := re.fullmatch(r"hold shorter \((\d+) s\)", said):
        assert 0 < int(found[1]) < dose.hold_s
    elif said == "fewer repetitions":
        assert (dose.repetitions or 0) > 1
    elif said == "one set only":
        assert dose.sets > 1
    elif said in ("fewer lengths", "fewer stops"):
        assert (dose.rounds or 0) > 1 and said.split()[1] in dose.rounds_words
    elif said == "shorter":
        assert dose.seconds is not None and (dose.rounds is None or dose.rounds > 1)
    elif said == STOP:
        assert dose.sets == 1 and dose.repetitions in (None, 1) and dose.rounds == 1, "there is less of it"
    else:
        raise AssertionError(f"nobody looked whether {said!r} is less than {dose.name}")


@pytest.mark.parametrize("name", NAMES)
def test_every_lever_that_is_printed_can_be_laid_and_is_lighter(name: str) -> None:
    """Laid by hand as printed, the checks take it on every side, and the moment is less; of the dose there is less."""
    case = case_named(name)
    for item in case.made.session.items:
        words, setups = printed(name)[item.candidate.id], case.setups(item)
        assert words, item.candidate.id
        for said in clauses(words):
            what, _, rest = said.partition(" (")
            if what in LAID:
                for side, value in values_of(rest.removesuffix(")"), list(setups)).items():
                    number = value if what == "lighter band" else float(value)
                    answer = laid_otherwise(case, item, side, **{LAID[what]: number})
                    assert is_lighter(answer, setups[side]), (item.candidate.id, said, side, answer.refused)
            elif said in ("turn less", "lean less"):
                less = with_added_turn(item.candidate.exercise, -TURN_STEP.value)
                assert less is not None, item.candidate.id
                assert all(search_setup(less, case.of_kind, side=side, best=1).best for side in setups)
            elif said == "lighter pushes":
                assert item.candidate.exercise.contact == "partner"
            elif said.startswith("only "):
                doses = {dose.name: dose for dose in item.candidate.exercise.doses}
                new = doses[said.removeprefix("only ")]
                assert new.sets * new.set_seconds < item.dose.sets * item.dose.set_seconds
            else:
                assert_less(said, item.dose, first_time=is_tried_out(item.dose, setups))


def test_the_sessions_print_what_is_laid_and_what_is_counted() -> None:
    """Distance, mark, band, turn, time and repetitions are all among the words that are looked at."""
    said = " / ".join(words for name in NAMES for words in printed(name).values())
    for lever in ("chair nearer (", "longer mark (", "lighter band (", "turn less", "shorter (", "repetitions", STOP):
        assert lever in said, lever


def test_a_lever_that_the_list_has_and_the_checks_refuse_is_not_printed() -> None:
    """Of the rotation with both arms the file lists a longer mark and a lighter band; here neither can be laid."""
    case = case_named("mika_trosse")
    item = next(each for each in case.made.session.items if each.candidate.id == "external_rotation_both")
    assert easier(item.candidate.exercise) == "longer mark, then next lighter band"
    (setup,) = case.setups(item).values()
    choices, laid = choices_by_hand(setup, case.of_kind), laid_as(setup)
    assert choices is not None and laid is not None
    longer = [mark for mark in choices.marks if mark > laid.slack_length + 1e-6]
    others = [band for band, strands in choices.bands if strands == laid.strands and band != laid.band]
    answers = [laid_otherwise(case, item, setup.side, slack_length=mark) for mark in longer]
    answers += [laid_otherwise(case, item, setup.side, band=band) for band in others]
    assert len(longer) > 1 and len(others) > 1
    assert not any(is_lighter(answer, setup) for answer in answers)
    refused = " ".join(reason for answer in answers for reason in answer.refused)
    assert "slack" in refused
    assert printed("mika_trosse")["external_rotation_both"] == "stop at 6"


def test_with_the_lightest_band_there_is_no_lighter_one() -> None:
    """With one thin band in the bag no exercise says a lighter band; with the cupboard one does."""
    assert not any("lighter band" in words for words in printed("one band").values())
    assert any("lighter band" in words for words in printed("bren_kollhaug").values())


def test_an_empty_hand_is_not_told_to_take_no_ball() -> None:
    """Circles with the empty hand have nothing to take away, and become shorter."""
    case = case_named("match")
    item = next(each for each in case.made.session.items if each.candidate.id == "ball_circles")
    assert all(setup.ball is None for setup in case.setups(item).values())
    assert "no ball" in easier(item.candidate.exercise)
    assert "ball" not in printed("match")["ball_circles"]


def test_there_and_back_once_is_not_told_to_do_fewer() -> None:
    """Of one round nothing is left out: whoever finds it too hard stops, and says so."""
    exercise = library()["slalom_cones"]
    case = in_hall(MIKA)
    prepared = prepare(case, [exercise])
    setups = {side: setup for (_, side), setup in prepared.setups.items()}
    said = {
        dose.name: too_hard(as_printed(exercise, setups, dose), case, kind="before training") for dose in exercise.doses
    }
    assert said["there and back, once"] == STOP
    assert said["there and back, twice"] == "one set only"


ROWS = ("low_row", "seated_row", "high_row", "row_rotation_press", "row_abduct_rotation_press")
"""Each but the first is a harder step of one before it."""


def test_where_the_load_is_at_its_least_the_easier_exercise_is_named_if_it_may_be_chosen() -> None:
    """With one thin band no row is laid lighter: what can be done in its place is named, if it is possible today."""
    case = circumstances(RUNA, ONE_BAND, HALL)
    prepared = prepare(case, [library()[id_] for id_ in ROWS], keep=ROWS)
    known = {each.id: each.exercise for each in prepared.candidates}
    said = {}
    for id_, exercise in known.items():
        setups = {side: setup for (each, side), setup in prepared.setups.items() if each == id_}
        now = as_printed(exercise, setups, exercise.doses[-1])
        said[id_] = too_hard(now, case, kind="before training", exercises=known)
        alone = too_hard(now, case, kind="before training", exercises={id_: exercise})
        assert alone and "in its place" not in alone, "what may not be chosen is named"
    named = {id_: words for id_, words in said.items() if "in its place" in words}
    assert set(named) == {"seated_row", "row_rotation_press", "row_abduct_rotation_press"}
    for id_, words in named.items():
        easier_one = known[library()[id_].easier_exercise or ""]
        assert words.endswith(f"{easier_one.title[:1].lower()}{easier_one.title[1:]} in its place")
        assert not any(lever in words for lever in LAID)
        assert any(
            search_setup(easier_one, case_of_kind(case, "before training"), side=side, best=1).best for side in SIDES
        )
