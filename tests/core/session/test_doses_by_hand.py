"""Doses that nobody is given unasked: who is offered them, how they are laid and timed, and that they are never chosen.

What is there by hand is read from the exercise files themselves, not from what the loader makes of them.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session_cases import catalogues, ready

import firstpush.core.exercises
import firstpush.demo
from firstpush.core.errors import UnknownNameError
from firstpush.core.exercises.definition import Caution, DoseOption, Exercise
from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import Pain
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session import Asked, Candidate, Chosen, compose
from firstpush.core.session.agreed import Agreed
from firstpush.core.session.by_hand import plan_by_hand
from firstpush.core.session.consequences import Options
from firstpush.core.session.doses_by_hand import other_doses, with_doses_asked
from firstpush.core.session.kinds import KindName, kind_named, with_sets
from firstpush.core.session.plan import plan_session
from firstpush.core.session.prepare import Prepared, candidate_of, prepare
from firstpush.core.session.typed_dose import dose_limits, typed_dose
from firstpush.core.setup.cautions import Applying, with_doses_for
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.core.setup.readiness import one_arm

CLUB = Path(firstpush.demo.__file__).parent / "club"
LENGTHS, EASY, THREE = "graded_push_lengths", "two easy lengths, twice", "three lengths and back, once"


def marked() -> dict[str, set[str]]:
    """Return the names of the doses that carry a mark, by exercise, as the files have them."""
    found = {}
    for path in (Path(firstpush.core.exercises.__file__).parent / "library").glob("*.toml"):
        doses = tomllib.loads(path.read_text(encoding="utf-8"))["doses"]
        names = {dose["name"] for dose in doses if dose.get("by_hand") or dose.get("only_with_care")}
        if names:
            found[path.stem] = names
    return found


@cache
def case(name: str = "runa_velde") -> Circumstances:
    """Return an athlete of the demo club in its hall."""
    return circumstances(
        load_athlete(CLUB / "athletes" / f"{name}.toml"),
        load_kit(CLUB / "kits" / "cupboard.toml"),
        load_venue(CLUB / "venues" / "slipway_hall.toml"),
        on=date(2026, 3, 2),
    )


def sore() -> Circumstances:
    """Return the same athlete on a day on which a shoulder hurts more than usual."""
    athlete = case().athlete
    pain = (Pain(place="shoulder front", side="right", usual=1, now=4),)
    return replace(case(), athlete=replace(athlete, health=replace(athlete.health, pain=pain)))


@cache
def prepared(name: str = "runa_velde", kind: KindName = "before training") -> Prepared:
    """Return the whole library made ready for an athlete."""
    return prepare(case(name), library().values(), kind=kind)


def lengths_of(found: Prepared) -> Candidate:
    """Return the push lengths that can be chosen."""
    return next(each for each in found.candidates if each.id == LENGTHS)


def names(doses: tuple[DoseOption, ...]) -> list[str]:
    """Return what doses are called."""
    return [dose.name for dose in doses]


def work_s(chosen: Chosen) -> float:
    """Return the time in which an arm works, multiplied out [s]."""
    dose, sides = chosen.dose, len(chosen.candidate.sides) if chosen.dose.per_side else 1
    each = dose.seconds
    if each is None:
        assert dose.repetitions is not None
        each = dose.repetitions * (dose.out_s + dose.hold_s + dose.back_s)
    return sides * dose.sets * each


class TestWhoIsOfferedThem:
    """The careful dose is a choice for everybody else, and the only one for those whom a caution holds to it."""

    def test_without_a_caution_it_stands_beside_the_others(self) -> None:
        """It is no longer held to: chosen freely it may grow like any other."""
        found = lengths_of(prepared()).exercise
        assert names(found.doses) == ["four lengths and back, twice", "four lengths and back, once"]
        assert names(found.by_hand) == [THREE, EASY]
        assert not any(dose.only_with_care for dose in found.by_hand)

    def test_held_to_it_nothing_is_offered_beside(self) -> None:
        """A sore shoulder: the two easy lengths, and neither less nor another of them."""
        found = lengths_of(prepare(sore(), [library()[LENGTHS]]))
        assert names(found.exercise.doses) == [EASY]
        assert found.exercise.by_hand == ()
        assert other_doses(Chosen(candidate=found, dose=found.exercise.doses[0])) == ()

    def test_an_exercise_without_such_doses_is_the_same_object(self) -> None:
        """Nothing is made anew where there is nothing to sort."""
        row = library()["seated_row"]
        assert with_doses_for(row, ()) is row
        caution = next(each for each in library()[LENGTHS].cautions if each.doses)
        assert with_doses_for(library()[LENGTHS], [Applying(caution=caution)]).by_hand == ()

    def test_done_with_one_arm_it_is_on_a_side_like_the_rest(self) -> None:
        """The one-arm variant of anything."""
        turned = one_arm(replace(library()["seated_row"], by_hand=(replace(first_dose("seated_row"), name="other"),)))
        assert [dose.per_side for dose in turned.by_hand] == [True]

    def test_the_caps_of_a_kind_hold(self) -> None:
        """Before a match one set of strength at most, and nothing held for eight seconds; else as in the file."""
        row, stretch = library()["seated_row"], library()["chin_tuck"]
        much = replace(row, by_hand=(replace(row.doses[0], name="three sets of ten", sets=3),))
        held = replace(stretch, by_hand=(replace(stretch.doses[0], name="two, held long", hold_s=8.0),))
        match, training = kind_named("before a match"), kind_named("before training")
        assert [(dose.name, dose.sets) for dose in match.with_doses_of(much).by_hand] == [("one set of ten", 1)]
        assert [dose.sets for dose in training.with_doses_of(much).by_hand] == [2]
        assert match.with_doses_of(held).by_hand == ()
        assert names(training.with_doses_of(held).by_hand) == ["two, held long"]


def first_dose(id_: str) -> DoseOption:
    """Return the best dose of an exercise of the library."""
    return library()[id_].doses[0]


def test_a_caution_true_of_one_arm_holds_both_to_its_doses() -> None:
    """On the left any dose could be done: the session has one for both, and none beside it."""
    row = library()["arm_out"]
    careful = replace(row.doses[0], name="careful", sets=1, repetitions=5, only_with_care=True)
    caution = Caution(condition="sore shoulder", effect="care", why="it is lifted", do="Slowly", doses=("careful",))
    exercise = replace(row, doses=(*row.doses, careful))
    found = prepare(case(), [exercise])
    setups = {side: setup for (_, side), setup in found.setups.items()}
    assert names(found.candidates[0].exercise.by_hand) == ["careful"]
    assert len(setups) == 2
    for sore_side, setup in setups.items():
        held = replace(setup, exercise=with_doses_for(exercise, [Applying(caution=caution)]))
        both = candidate_of(setups | {sore_side: held}, ()).exercise
        assert [(dose.name, dose.only_with_care) for dose in both.doses] == [("careful", True)]
        assert both.by_hand == ()


class TestLaidOut:
    """On the floor a dose by hand has its own lanes and its own time."""

    @pytest.mark.parametrize(("name", "lanes"), [(EASY, "two"), (THREE, "three")])
    def test_lanes_and_time_are_those_of_the_dose(self, name: str, lanes: str) -> None:
        """As many lanes as its words name shares, in what is drawn from and in what is told; timed on them."""
        found = plan_by_hand(case(), library().values(), minutes=15, asked=Asked(doses=((LENGTHS, name),)))
        item = next(each for each in found.session.items if each.candidate.id == LENGTHS)
        assert item.dose.name == name and item.dose.only_with_care is False
        assert len(re.findall(r"\d+", item.dose.rounds_words)) == {"two": 2, "three": 3}[lanes]
        told = [
            item.candidate.exercise,
            *(each.exercise for key, each in found.prepared.setups.items() if key[0] == LENGTHS),
        ]
        assert len(told) > 1
        for exercise in told:
            assert dict(exercise.floor_facts)["Lanes"].startswith(lanes)
        drill = found.prepared.courses[LENGTHS]
        assert len(drill.of(item.dose).drill.shares) == {"two": 2, "three": 3}[lanes]
        assert item.dose.seconds == drill.of(item.dose).set_s

    def test_fewer_lengths_take_less_time_and_no_more_floor(self) -> None:
        """Two easy, three, four: each is the one before with one faster length more."""
        found = lengths_of(prepared()).exercise
        two, three, four = (
            next(dose for dose in (*found.doses, *found.by_hand) if dose.rounds == count) for count in (2, 3, 4)
        )
        assert two.seconds is not None and three.seconds is not None and four.seconds is not None
        assert two.seconds < three.seconds < four.seconds
        drill = prepared().courses[LENGTHS]
        assert drill.of(two).width < drill.of(three).width < drill.of(four).width <= found.needs.floor_width + 1e-9

    def test_what_asks_for_more_floor_is_not_offered(self) -> None:
        """Six lanes by hand: the exercise keeps its floor, and they go."""
        six = replace(
            first_dose(LENGTHS), name="six lengths", rounds=6, rounds_words="lengths at 20, 30, 40, 50, 60, 70 %"
        )
        wide = replace(library()[LENGTHS], by_hand=(*library()[LENGTHS].by_hand, six))
        found = lengths_of(prepare(case(), [wide])).exercise
        assert names(found.by_hand) == [THREE, EASY]
        assert found.needs == lengths_of(prepared()).exercise.needs

    def test_agreed_from_now_on_it_is_told_with_its_lanes(self) -> None:
        """The next session of somebody who goes on with the easy lengths."""
        easy = next(dose for dose in lengths_of(prepared()).exercise.by_hand if dose.name == EASY)
        agreed = Agreed(exercise=LENGTHS, since=date(2026, 2, 1), dose=easy)
        found = plan_by_hand(case(), library().values(), minutes=15, asked=Asked(keep=(LENGTHS,)), agreed=[agreed])
        item = next(each for each in found.session.items if each.candidate.id == LENGTHS)
        assert item.dose.name == EASY
        assert dict(item.candidate.exercise.floor_facts)["Lanes"].startswith("two")


@settings(max_examples=30, deadline=None)
@given(
    name=st.sampled_from(["runa_velde", "mika_trosse"]),
    kind=st.sampled_from(["before training", "strength"]),
    minutes=st.sampled_from([5, 8, 12, 15, 20, 30]),
    seed=st.integers(0, 9),
    keep=st.sets(st.sampled_from([LENGTHS, "slalom_cones", "seated_row"]), max_size=2),
    again=st.booleans(),
)
def test_nobody_is_given_a_dose_by_hand_unasked(
    name: str, kind: KindName, minutes: float, seed: int, keep: set[str], again: bool
) -> None:
    """Whatever is asked, a dose with a mark in its file is chosen only where a caution leaves nothing else.

    Not even for an earlier session that had it: there it was asked for.
    """
    offered = [
        each
        for each in prepared(name, kind).candidates
        if each.id in (LENGTHS, "slalom_cones", "seated_row", "chin_tuck")
    ]
    known = {each.id: each for each in offered}
    free = {id_: those for id_, those in marked().items() if id_ in known and known[id_].exercise.by_hand}
    earlier = ((LENGTHS, EASY), ("slalom_cones", "there and back, once")) if again else ()
    asked = Asked(keep=tuple(sorted(keep & set(known))), earlier=earlier)
    session = compose(offered, minutes=minutes, kind=kind, asked=asked, seed=seed)
    for item in session.items:
        assert item.dose.name not in free.get(item.candidate.id, set())
    if name == "runa_velde" and kind == "before training":
        assert free.keys() == {LENGTHS, "slalom_cones"}


@st.composite
def with_marks(draw: st.DrawFn) -> Chosen:
    """Draw an exercise with doses by hand, some bigger than all others, in one of its doses, of fewer sets or typed."""
    (candidate,) = draw(catalogues(largest=1))
    more = [
        replace(dose, name=f"gentle {number}", sets=draw(st.integers(1, 4)), only_with_care=False)
        for number, dose in enumerate(draw(st.lists(st.sampled_from(candidate.exercise.doses), max_size=2)))
    ]
    usual = tuple(replace(dose, only_with_care=False) for dose in candidate.exercise.doses)
    candidate = replace(candidate, exercise=replace(candidate.exercise, doses=usual, by_hand=tuple(more)))
    dose = draw(st.sampled_from((*usual, *more)))
    limits = dose_limits(candidate.exercise)
    if limits is not None and draw(st.booleans()):
        typed = typed_dose(candidate.exercise, sets=draw(st.integers(1, limits.most_sets)), amount=limits.least)
        return Chosen(candidate=candidate, dose=typed)
    return Chosen(candidate=candidate, dose=with_sets(dose, draw(st.integers(1, dose.sets))))


@settings(max_examples=200, deadline=None)
@given(mine=with_marks())
def test_what_is_offered_is_no_more_than_allowed_and_can_be_had_by_name(mine: Chosen) -> None:
    """From less to more, nothing twice, not the present one; each name gives that dose back."""
    exercise = mine.candidate.exercise
    allowed = max(work_s(Chosen(candidate=mine.candidate, dose=dose)) for dose in (*exercise.doses, mine.dose))
    found = other_doses(mine)
    works = [work_s(each) for each in found]
    assert works == sorted(works)
    assert all(work <= allowed for work in works)
    amounts = [replace(each.dose, name="", pause_s=0.0) for each in (*found, mine)]
    assert len(set(amounts)) == len(amounts)
    assert {replace(dose, name="", pause_s=0.0) for dose in exercise.doses} <= set(amounts)
    for each in found:
        asked = with_doses_asked(prepared_of(mine.candidate), {exercise.id: each.dose.name})
        back = [dose for dose in asked.candidates[0].exercise.doses if dose.name == each.dose.name]
        assert [replace(dose, pause_s=0.0) for dose in back] == [replace(each.dose, pause_s=0.0)]


def prepared_of(candidate: Candidate) -> Prepared:
    """Return one exercise made ready, with no floor."""
    return Prepared(setups={}, candidates=(candidate,), left_out=(), courses={})


def chosen(id_: str, number: int = 0, **other: object) -> Chosen:
    """Return an exercise of the library in a dose of its file."""
    exercise: Exercise = replace(library()[id_], **other)  # type: ignore[arg-type]
    return Chosen(candidate=ready(exercise), dose=exercise.doses[number])


class TestOneSetLess:
    """One set less than now is offered where that is still the exercise, and nothing else is the same."""

    @pytest.mark.parametrize(
        ("dose", "sets", "less"),
        [
            (DoseOption(name="two sets of ten a side", sets=2, repetitions=10), 1, "one set of ten a side"),
            (DoseOption(name="there and back, three times", sets=3, seconds=30), 2, "there and back, twice"),
            (DoseOption(name=EASY, sets=2, seconds=40), 1, "two easy lengths, once"),
            (DoseOption(name="two times 20 seconds an arm", sets=2, seconds=20), 1, "20 seconds an arm"),
            (DoseOption(name="3 sets of 12, by hand", sets=3, repetitions=12), 2, "2 sets of 12, by hand"),
            (DoseOption(name="2 sets of 12, by hand", sets=2, repetitions=12), 1, "1 set of 12, by hand"),
            (DoseOption(name="six pushes", sets=7, repetitions=6), 6, "six pushes, 6 sets"),
        ],
    )
    def test_its_name_says_so(self, dose: DoseOption, sets: int, less: str) -> None:
        """In the words in which the dose itself says its sets."""
        assert with_sets(dose, sets).name == less
        assert with_sets(dose, sets) == replace(dose, name=less, sets=sets)

    def test_it_is_offered_where_no_other_is_the_same(self) -> None:
        """Two sets of eight a side: one of eight is not in the file; for four lengths, "once" is."""
        diagonal = [each.dose.name for each in other_doses(chosen("diagonal_lift", 1))]
        assert "one set of eight a side" in diagonal
        lengths = [each.dose.name for each in other_doses(chosen(LENGTHS, 0))]
        assert lengths.count("four lengths and back, once") == 1
        assert not any("set" in name for name in lengths)

    @pytest.mark.parametrize("id_", ["ball_circles", "ball_circles_against_band", "half_circle_cones"])
    def test_half_of_two_directions_is_not(self, id_: str) -> None:
        """One direction alone is half the exercise: only what the file has is offered."""
        known = names(library()[id_].doses)
        for number in range(len(known)):
            assert {each.dose.name for each in other_doses(chosen(id_, number))} == set(known) - {known[number]}


def test_the_careful_dose_is_offered_with_what_it_brings() -> None:
    """In the session as planned, one step of work below four lengths, and the two easy ones."""
    found = plan_by_hand(case(), library().values(), minutes=15, asked=Asked(keep=(LENGTHS,)))
    offered = Options(found).of(LENGTHS).doses
    assert {EASY, THREE} <= {each.dose.name for each, _ in offered}
    three = next(what for each, what in offered if each.dose.name == THREE)
    now = next(item.dose for item in found.session.items if item.candidate.id == LENGTHS)
    assert now.name == "four lengths and back, once"
    lengths = lengths_of(prepared()).exercise
    assert now.seconds is not None
    assert three.longer_s == next(dose.seconds for dose in lengths.by_hand if dose.name == THREE) - now.seconds < 0


def test_a_name_that_is_none_is_told_with_all_that_are() -> None:
    """Those by hand among them."""
    with pytest.raises(UnknownNameError) as told:
        plan_session(case(), [library()[LENGTHS]], minutes=9, asked=Asked(doses=((LENGTHS, "a lot"),)))
    for name in ("four lengths and back, once", EASY, THREE):
        assert name in str(told.value)


def test_a_dose_by_hand_is_let_go_on_a_day_that_holds_to_another() -> None:
    """Asked for last week; today a shoulder hurts: the careful dose, and a caution that says why."""
    found = plan_session(sore(), [library()[LENGTHS]], minutes=9, asked=Asked(doses=((LENGTHS, THREE),)))
    (item,) = found.session.items
    assert item.dose.name == EASY
    assert THREE in next(each.what for each in found.session.notices if each.id == "dose-by-hand-let-go")
