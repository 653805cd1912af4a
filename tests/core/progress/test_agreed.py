"""What is agreed after a session comes back in the next one: laid again on the same spot, else to the same load."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from lever_cases import CLUB, CLUB_HALL, CLUB_KIT, HALL, RUNA, case_of, done

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.people.athlete import Pain
from firstpush.core.progress.decide import Rules
from firstpush.core.progress.history import Done
from firstpush.core.progress.proposal import Choice, Proposal, propose
from firstpush.core.session.agreed import agreed_loads, read_agreed
from firstpush.core.session.as_agreed import lay_again
from firstpush.core.session.asked import Asked, DoneSession
from firstpush.core.session.by_hand import plan_by_hand
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.by_hand import laid_as
from firstpush.core.setup.circumstances import Circumstances

DAY = date(2026, 11, 25)
EASY = tuple(Done(exercise="x", on=day, effort=8) for day in (date(2026, 11, 18), DAY))
DONE_PRESS = (DoneSession(on=date(2026, 11, 18), exercises=(("anti_rotation_press", "one set of eight a side"),)),)
EXERCISES = (
    "low_row",
    "external_rotation_side",
    "anti_rotation_press",
    "straight_arm_pull_back",
    "seated_row",
    "diagonal_pull_down",
    "ball_circles",
    "open_book_turn",
)


def proposal(exercise: str, case: Circumstances | None = None, *, dones: tuple[Done, ...] = EASY) -> Proposal:
    """Return what is proposed for an exercise that was done as the search sets it up."""
    here = case if case is not None else case_of()
    now = done(exercise, here)
    mine = tuple(replace(each, exercise=exercise) for each in dones)
    return propose(here, now, mine, filed=exercise_named(exercise), rules=Rules(), exercises=library(), on=DAY)


def laid_anew(choice: Choice, case: Circumstances) -> dict[str, object]:
    """Return how a choice is laid when nothing but what was agreed is known, by side."""
    agreed = read_agreed(choice.agreed[0].document())
    here = replace(case, agreed=agreed_loads([agreed]))
    exercise = agreed.as_done(library()[agreed.exercise])
    prepared = prepare(here, [exercise], keep=(exercise.id,))
    found = {side: setup for (_, side), setup in prepared.setups.items()}
    laid = lay_again(agreed, here, exercise, found)
    assert not laid.refused
    return dict(laid.setups)


@pytest.mark.parametrize("exercise", EXERCISES)
def test_every_choice_is_laid_again_as_it_was_shown(exercise: str) -> None:
    """Band, mark, place, poses and load of the set-up shown before it was accepted come out of what is kept of it."""
    found = proposal(exercise)
    for choice in found.choices:
        if not choice.setups:
            continue
        anew = laid_anew(choice, case_of())
        assert anew.keys() == choice.setups.keys(), choice
        for side, setup in choice.setups.items():
            other = anew[side]
            assert laid_as(other) == laid_as(setup)  # type: ignore[arg-type]
            assert other.exercise.poses == setup.exercise.poses  # type: ignore[attr-defined]
            assert other.ball == setup.ball  # type: ignore[attr-defined]
            if setup.peak is not None:
                assert other.peak.value == pytest.approx(setup.peak.value, rel=1e-6)  # type: ignore[attr-defined]


def test_two_easy_sessions_propose_harder_in_numbers() -> None:
    """Below 11 twice in a row is made harder by 5 to 15 % (common practice); the band and the post stay."""
    found = proposal("low_row")
    chosen = found.choices[found.proposed]
    assert (found.decision.what, chosen.name) == ("progress", "harder")
    assert "% (" in chosen.change and "of the load" in chosen.change
    before, after = done("low_row", case_of()).setups["right"], chosen.setups["right"]
    assert before.peak and after.peak and 1.05 <= after.peak.value / before.peak.value <= 1.15
    step, total = chosen.change.split("; ")
    assert chosen.agreed[0].change == f"{chosen.words}: {step}"
    assert total.startswith("since 25 November +")


def test_sharp_pain_proposes_to_leave_out_and_offers_nothing_harder() -> None:
    """Pain stops (common practice): no choice makes it harder, and the reason stands in what is agreed."""
    hurt = (EASY[0], replace(EASY[1], finished=False, pain="stop the exercise"))
    found = proposal("low_row", dones=hurt)
    assert found.choices[found.proposed].name == "leave out"
    assert "harder" not in {choice.name for choice in found.choices}
    assert "pain" in found.choices[found.proposed].agreed[0].left_out


def test_an_agreed_step_is_in_the_next_session_and_is_no_first_time() -> None:
    """The next session lays what was agreed, says so once, and prints no try-out set for it."""
    case = case_of(RUNA)
    chosen = proposal("low_row", case).choices[1]
    made = plan_by_hand(case, library().values(), minutes=18, asked=Asked(keep=("low_row",)), agreed=chosen.agreed)
    item = next(each for each in made.session.items if each.candidate.id == "low_row")
    setup = made.prepared.setups["low_row", "right"]
    assert laid_as(setup) == laid_as(chosen.setups["right"])
    assert setup.target is not None and setup.target.kind == "agreed"
    assert item.dose.repetitions == chosen.agreed[0].dose.repetitions  # type: ignore[union-attr]
    told = [notice.id for notice in item.candidate.notices]
    assert told.count("changed-as-agreed") == 1 and "try-out-set" not in told


def test_a_load_of_which_nobody_said_how_hard_it_was_is_not_known() -> None:
    """Kept without an effort, it is laid the same and still asked about as a first time."""
    case = case_of(RUNA)
    unasked = (replace(EASY[0], effort=None),)
    kept = proposal("low_row", case, dones=unasked).choices[0]
    assert all(each.load is None for each in kept.agreed[0].sides.values())
    made = plan_by_hand(case, library().values(), minutes=18, asked=Asked(keep=("low_row",)), agreed=kept.agreed)
    setup = made.prepared.setups["low_row", "right"]
    assert laid_as(setup) == laid_as(kept.setups["right"])
    assert setup.target is not None and setup.target.kind == "try-out"


def test_what_is_left_out_stays_out_until_it_is_asked_for_by_hand() -> None:
    """The reason stands among those left out; whoever keeps it by hand gets it."""
    case = case_of(RUNA)
    out = proposal("low_row", case).choices[-1].agreed
    made = plan_by_hand(case, library().values(), minutes=18, agreed=out)
    assert "low_row" not in {item.candidate.id for item in made.session.items}
    assert [each.reason for each in made.session.left_out if each.exercise.id == "low_row"] == [out[0].left_out]
    asked = plan_by_hand(case, library().values(), minutes=18, agreed=out, asked=Asked(keep=("low_row",)))
    assert "low_row" in {item.candidate.id for item in asked.session.items}


def test_with_what_is_left_out_its_harder_steps_stay_out() -> None:
    """Circles are the harder step of the press: after pain in the press they ask more of the same place."""
    case = case_of(RUNA)
    out = proposal("anti_rotation_press", case).choices[-1].agreed
    made = plan_by_hand(case, library().values(), minutes=18, agreed=out, asked=Asked(history=DONE_PRESS))
    ids = {item.candidate.id for item in made.session.items}
    reasons = {each.exercise.id: each.reason for each in made.session.left_out}
    assert not ids & {"anti_rotation_press", "anti_rotation_circles"}
    assert "harder step of Anti-rotation press" in reasons["anti_rotation_circles"]


def test_before_a_match_the_agreed_load_is_taken_in_its_share() -> None:
    """What was agreed on a training day is not laid at full load before a match."""
    case = case_of(RUNA)
    chosen = proposal("low_row", case).choices[1]
    full = chosen.setups["right"].peak
    assert full is not None
    made = plan_by_hand(
        case,
        library().values(),
        minutes=10,
        kind="before a match",
        agreed=chosen.agreed,
        asked=Asked(keep=("low_row",)),
    )
    setup = made.prepared.setups["low_row", "right"]
    assert setup.peak is not None and setup.peak.value < 0.9 * full.value


def test_a_side_that_hurts_too_much_gets_no_more_than_the_start_load() -> None:
    """An agreed load above the start load does not hold for a sore shoulder; one below it does."""
    case = case_of(RUNA)
    agreed = proposal("low_row", case).choices[1].agreed
    sore = Pain(place="shoulder front", side="right", now=4, usual=0)
    hurt = replace(RUNA, health=replace(RUNA.health, pain=(sore,)))
    here = replace(case_of(hurt), agreed=agreed_loads(agreed))
    setup = prepare(here, [exercise_named("low_row")], keep=("low_row",)).setups.get(("low_row", "right"))
    assert setup is None or (setup.target is not None and setup.target.kind == "try-out")


def test_another_hall_is_laid_to_the_agreed_load() -> None:
    """Where the post is another, the search lays the exercise to the agreed load and the session says so."""
    case = case_of(CLUB["runa_velde"], CLUB_KIT, CLUB_HALL)
    athlete = case.athlete
    chosen = proposal("low_row", case_of(athlete, CLUB_KIT, CLUB_HALL)).choices[0]
    load = chosen.setups["right"].peak
    assert load is not None
    renamed = replace(CLUB_HALL, posts=tuple(replace(post, name=f"other {post.name}") for post in CLUB_HALL.posts))
    made = plan_by_hand(
        case_of(athlete, CLUB_KIT, renamed),
        library().values(),
        minutes=20,
        agreed=chosen.agreed,
        asked=Asked(keep=("low_row",)),
    )
    setup = made.prepared.setups["low_row", "right"]
    assert setup.peak is not None and setup.peak.value == pytest.approx(load.value, rel=0.25)
    item = next(each for each in made.session.items if each.candidate.id == "low_row")
    assert "agreed-cannot-be-laid" in {notice.id for notice in item.candidate.notices}


@pytest.mark.parametrize(
    "change", [{"format": "x"}, {"share": 0.0}, {"share": 2}, {"since": "soon"}, {"sides": {"left": {}}}, {"dose": {}}]
)
def test_what_was_not_written_here_is_refused(change: dict[str, object]) -> None:
    """One sentence says that it cannot be read."""
    document = proposal("low_row").choices[0].agreed[0].document() | change
    with pytest.raises(OutOfRangeError, match="cannot be read"):
        read_agreed(document)


def test_reading_gives_back_what_was_written() -> None:
    """Nothing of what is agreed is lost on the way through plain data."""
    for choice in proposal("diagonal_pull_down").choices:
        for agreed in choice.agreed:
            again = read_agreed(agreed.document())
            assert replace(again, added_turn=0.0) == replace(agreed, added_turn=0.0)
            assert again.added_turn == pytest.approx(agreed.added_turn)
    assert HALL.posts
