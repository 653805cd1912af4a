"""Notices told once: sides merged, what several exercises share told for all of them, and what is for whom."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.notices import LEVELS, Notice, for_athlete, for_court, in_one_line, sides_together
from firstpush.core.told_once import numbers_in_words, told_alone, told_once


def notice(what: str, *, id: str = "exercise-care", level: str = "caution", about: str = "", do: str = "Ask") -> Notice:  # noqa: A002
    """Return a notice."""
    return Notice(id=id, level=next(each for each in LEVELS if each == level), what=what, do=do, about=about)


def test_left_and_right_alike_are_told_once_of_both() -> None:
    """One side alone keeps its name; the order in which the two come does not matter."""
    both = [notice("left grip is not known"), notice("right grip is not known")]
    for given_ in itertools.permutations(both):
        assert [each.what for each in sides_together(given_)] == ["grip is not known (both sides)"]
    assert [each.what for each in sides_together(both[:1])] == ["left grip is not known"]


def test_mirrored_directions_are_told_as_the_side() -> None:
    """The trunk that would give to the right for the right arm and to the left for the left: one sentence."""
    told = sides_together([notice("it would not hold to the right"), notice("it would not hold to the left")])
    assert [each.what for each in told] == ["it would not hold to the side (both sides)"]


def test_what_differs_between_the_sides_stays_two() -> None:
    """Another figure, another level or another thing to do is another notice."""
    left = notice("left grip is weak")
    for right in (
        notice("right grip is full"),
        notice("right grip is weak", level="note"),
        notice("right grip is weak", do="Look"),
    ):
        assert sides_together([left, right]) == (left, right)


def test_what_several_exercises_share_names_them() -> None:
    """Grip is unknown in the first and third of three; what all share names none, what one has stays there."""
    grip, care = ("left grip is not known", "right grip is not known"), "braking throws it forward"
    row = [notice(each, about="Row") for each in grip]
    press = [notice(each, about="Press") for each in grip]
    told = told_once(
        [
            ("Row", [*row, notice("warm hall", about="Row")]),
            ("Roll", [notice(care, about="Roll"), notice("warm hall", about="Roll")]),
            ("Press, one arm", [*press, notice("warm hall", about="Press")]),
        ]
    )
    assert [(each.about, each.what) for each in told.whole] == [
        ("exercises 1 and 3", "grip is not known (both sides)"),
        ("", "warm hall"),
    ]
    assert [[each.what for each in mine] for mine in told.each] == [[], [care], []]


def test_a_stop_stays_with_its_exercise() -> None:
    """What must not be done is told where it would be done."""
    stop = notice("the chair tips", level="stop")
    told = told_once([("Row", [stop]), ("Press", [stop])])
    assert told.whole == ()
    assert told.each == ((stop,), (stop,))


def test_a_band_keeps_its_name() -> None:
    """What is about a band is about that band wherever it is used."""
    pulls = notice("one pull is known of it", about="flat 24")
    told = told_once([("Row", [pulls]), ("Press", [pulls]), ("Roll", [])])
    assert [each.about for each in told.whole] == ["flat 24"]


def numbers_of(words: str) -> set[int]:
    """Return the numbers that words name, those between "1 to 3" among them."""
    spans = re.findall(r"(\d+)(?: to (\d+))?", words)
    return {number for first, last in spans for number in range(int(first), int(last or first) + 1)}


NOTICES = st.builds(
    notice,
    st.sampled_from(["left grip", "right grip", "left elbow", "right elbow", "trunk", "to the left", "to the right"]),
    level=st.sampled_from(LEVELS),
    do=st.sampled_from(["Ask", "Look"]),
)


@given(st.lists(st.lists(NOTICES, max_size=6), max_size=4))
def test_nothing_is_lost_and_nothing_is_told_twice(exercises: list[list[Notice]]) -> None:
    """Brute force: each level and thing to do of an exercise is told with it or for it, and never in both places."""
    told = told_once([(f"exercise {n}", each) for n, each in enumerate(exercises)])
    for number, (given_, mine) in enumerate(zip(exercises, told.each, strict=True), start=1):
        for_it = [each for each in told.whole if not each.about or number in numbers_of(each.about)]
        assert {(each.level, each.do) for each in given_} == {(each.level, each.do) for each in (*mine, *for_it)} or (
            not given_ and not mine
        )
        assert not set(mine) & set(told.whole)
        assert len(set(mine)) == len(mine)


def test_the_athlete_reads_cautions_and_not_what_the_practitioner_finds_out() -> None:
    """Writing into a file, asking, squeezing a handle: the practitioner's; braking and pain: everybody's."""
    for_all = notice("braking throws it forward", id="trunk-holds-narrowly")
    assert for_athlete(
        [for_all, notice("left grip is not known", id="grip-unknown"), notice("water", level="note")]
    ) == (for_all,)


def test_numbers_are_read_as_runs() -> None:
    """Two in a row stay two, three become a run."""
    table = {(2,): "2", (2, 3): "2 and 3", (5, 2, 6): "2, 5 and 6", (1, 2, 3): "1 to 3", (7, 2, 3, 4): "2 to 4 and 7"}
    for numbers, words in table.items():
        assert numbers_in_words(numbers) == words
        assert numbers_of(words) == set(numbers)


ELEVATION, ROTATION = "active elevation", "active external rotation"
SHOWN, HANDLE, BALL = "show the movement without load", "squeeze the handle (weak: use a cuff)", "squeeze the ball"
REACHED = "reach that way and back, without the hands"


def of_arms(function: str, *, arms: str = "left right", short: str = SHOWN) -> list[Notice]:
    """Return what is told of arms whose function nobody has looked at."""
    id_ = "grip-unknown" if function == "grip" else "function-unknown"
    return [
        replace(notice(f"{arm} {function}: not known", id=id_), subject=f"{arm} {function}", short=short)
        for arm in arms.split()
    ]


def of_trunk() -> list[Notice]:
    """Return what is told where nobody has looked at the trunk."""
    said = notice("trunk control is not known", id="trunk-control-unknown")
    return [replace(said, subject="trunk control, counted as none", short=REACHED)]


def supported(support: str, ways: str, short: str = "the trunk would not hold") -> Notice:
    """Return what is told of a support that was added; `ways` are those in which the trunk would give."""
    said = notice(
        f"the trunk would not hold {ways}; set up with {support}", id="support-added", do="On before the start"
    )
    return replace(said, subject=support, short=short)


def test_function_that_nobody_has_looked_at_is_one_caution_with_the_exercises_that_rest_on_it() -> None:
    """Seven exercises, by hand: elevation in 2, 5 and 6, rotation of the left arm in 4, grip in 4 and 5, trunk 2 to 6.

    What one exercise alone rests on stands above all too: all of it is looked at in one go, and before the first
    exercise, though that rests on none of it: it may have a caution of its own about the same thing.
    """
    exercises: list[list[Notice]] = [
        [],
        [*of_arms(ELEVATION), *of_trunk()],
        of_trunk(),
        [*of_arms(ROTATION, arms="left"), *of_arms("grip", short=HANDLE), *of_trunk()],
        [*of_arms(ELEVATION), *of_arms("grip", short=BALL), *of_trunk()],
        [*of_arms(ELEVATION), *of_trunk(), notice("braking throws it forward")],
        [],
    ]
    told = told_once([(f"Exercise {n}", notices) for n, notices in enumerate(exercises, start=1)])
    (above,) = told.whole
    assert (above.id, above.level) == ("function-unknown", "caution")
    assert above.what == (
        "not known: active elevation (exercises 2, 5 and 6); trunk control, counted as none (2 to 6); "
        "left active external rotation (4); grip (4 and 5)"
    )
    assert above.do == (
        f"Before the first exercise let the athlete {SHOWN}, {HANDLE}, {BALL} and {REACHED}; write down what you see"
    )
    assert [[each.what for each in mine] for mine in told.each] == [
        [],
        [],
        [],
        [],
        [],
        ["braking throws it forward"],
        [],
    ]


def test_what_is_usually_full_at_this_level_is_one_short_thing_to_look_at() -> None:
    """An injury below the arms: grip and elbows are looked at in one go, and never left out; the trunk stays apart."""
    once = "show hands, wrists and elbows once"
    arms = [
        replace(each, parts=(("usually full", "T6"),))
        for each in [*of_arms("grip", short=once), *of_arms("elbow extensors", short=once)]
    ]
    (above,) = told_once([("Roll", []), ("Row", arms[:2]), ("Press", [*arms, *of_trunk()])]).whole
    assert above.what == (
        "not known: trunk control, counted as none (exercise 3); grip and elbow extensors, usually full at T6 (2 and 3)"
    )
    assert above.do == f"Before the first exercise let the athlete {once} and {REACHED}; write down what you see"
    (alone,) = told_alone(arms[:1])
    assert alone.what == "not known: left grip, usually full at T6"


def test_what_all_exercises_rest_on_names_no_numbers() -> None:
    """Two exercises, and the trunk counts in both."""
    told = told_once([("Row", of_trunk()), ("Press", [*of_trunk(), *of_arms("grip", short=HANDLE)])])
    (above,) = told.whole
    assert above.what == "not known: trunk control, counted as none (all); grip (exercise 2)"


def test_a_support_is_told_once_for_the_exercises_that_have_it() -> None:
    """The strap of 1 and 3 in one caution, whatever way the trunk would give; that of 2 alone stays with 2."""
    told = told_once(
        [
            ("Row", [supported("chest strap", "to the front"), supported("chest strap", "to the right")]),
            ("Press", [supported("waist strap", "to the front")]),
            ("Lift", [supported("chest strap", "to the front")]),
        ]
    )
    (above,) = told.whole
    assert (above.id, above.about) == ("support-added", "exercises 1 and 3")
    assert above.what == "with chest strap, because the trunk would not hold"
    assert above.do == "On before the start"
    assert [[each.what for each in mine] for mine in told.each] == [
        [],
        ["with waist strap, because the trunk would not hold"],
        [],
    ]


def test_two_reasons_for_one_support_name_their_exercises() -> None:
    """The trunk in 1, a caution in 2: both are told, each with its number; all have it, and none is named."""
    care = supported("chest strap", "", short="braking throws the trunk forward")
    (above,) = told_once([("Row", [supported("chest strap", "to the front")]), ("Push", [care])]).whole
    assert above.about == "all exercises"
    assert (
        above.what == "with chest strap, because the trunk would not hold (1) and braking throws the trunk forward (2)"
    )


def asked(*parts: tuple[str, str], of: str = "health conditions") -> Notice:
    """Return what is told of an exercise for which something was not asked."""
    return replace(notice(f"{of} not known", id="exercise-ask-first"), subject=of, parts=parts)


def test_what_was_not_asked_is_one_list_of_questions() -> None:
    """An operation leaves out all three, hemiplegia the second; a sore shoulder asks for care in the third."""
    out, care = "left out with", "done with care with"
    told = told_once(
        [
            ("Roll", [asked((out, "operation"))]),
            ("Row", [asked((out, "operation"), (out, "hemiplegia"))]),
            ("Press", [asked((out, "operation"), (care, "sore shoulder"), of="health conditions and pain now")]),
        ]
    )
    (above,) = told.whole
    assert above.what == (
        "health conditions and pain now not known: left out with operation (all), hemiplegia (exercise 2); "
        "done with care with sore shoulder (exercise 3)"
    )
    assert told.each == ((), (), ())


def test_an_exercise_that_stands_alone_tells_all_of_itself() -> None:
    """On a card and on court nothing stands above it: function, support and caution, without numbers."""
    row = [*of_arms(ELEVATION), *of_trunk(), supported("chest strap", "to the front"), notice("braking throws it")]
    told = told_once([("Roll", []), ("Row", row), ("Press", row)])
    assert told.each == ((), (), ())
    assert told.alone == ((), told_alone(row), told_alone(row))
    assert [str(each) for each in told_alone(row)] == [
        "[caution] not known: active elevation; trunk control, counted as none. "
        f"First let the athlete {SHOWN} and {REACHED}; write down what you see. (function-unknown)",
        "[caution] with chest strap, because the trunk would not hold. On before the start. (support-added)",
        "[caution] braking throws it. Ask. (exercise-care)",
    ]


def test_on_court_function_and_support_are_read_beside_the_exercise() -> None:
    """What is looked at and put on before the exercise is not for the athlete's sheet, and is read on court."""
    on_court = [
        *told_alone([*of_arms(ELEVATION), supported("chest strap", "to the front")]),
        notice("braking throws it"),
    ]
    other = [notice("water", level="note"), asked(("left out with", "operation"))]
    assert for_court([*on_court, *other]) == tuple(on_court)
    assert for_athlete([*on_court, *other]) == (on_court[-1],)


def test_what_is_to_be_found_out_is_read_in_one_line_with_what_it_is_about() -> None:
    """Trunk control that nobody has looked at: the line names it and what to do, and not only "find out first"."""
    do = "Find out first; if there is none: other hand on the frame; come back before it gets hard"
    said = in_one_line("trunk control not known: nothing brings it back", do)
    assert said == "Trunk control not known: other hand on the frame; come back before it gets hard"
    both = in_one_line("grip not known: the rim slips (both sides)", "Find out first; if there is none: slalom")
    assert both == "Grip not known: slalom"
    assert in_one_line("no trunk control: nothing brings it back", "The other hand on the frame") == ""


FUNCTIONS = st.sets(st.sampled_from([ELEVATION, ROTATION, "elbow extensors", "grip"]))
ARMS = st.sampled_from(["left", "right", "left right"])
SUPPORTS = st.sets(st.sampled_from(["chest strap", "waist strap", "one arm, the other hand on the frame"]), max_size=1)


@given(st.lists(st.tuples(FUNCTIONS, ARMS, st.booleans(), SUPPORTS), max_size=6))
def test_no_function_and_no_support_of_any_exercise_is_lost(
    exercises: list[tuple[set[str], str, bool, set[str]]],
) -> None:
    """Brute force over sessions: each (exercise, function) and (exercise, support) is named, and no other."""
    given_ = [
        [
            *(each for function in sorted(functions) for each in of_arms(function, arms=arms)),
            *(of_trunk() if trunk else ()),
            *(supported(each, "to the front") for each in support),
        ]
        for functions, arms, trunk, support in exercises
    ]
    told = told_once([(f"Exercise {n}", notices) for n, notices in enumerate(given_, start=1)])
    everywhere = set(range(1, len(exercises) + 1))
    named = set()
    for each in told.whole:
        if each.id == "function-unknown":
            for said in each.what.removeprefix("not known: ").split("; "):
                function, _, at = said.removesuffix(")").partition(" (")
                here = everywhere if at == "all" or not at else numbers_of(at)
                named |= {(number, function) for number in here}
    wanted = set()
    for number, (functions, arms, trunk, _) in enumerate(exercises, start=1):
        side = "" if arms == "left right" else f"{arms} "
        wanted |= {(number, f"{side}{function}") for function in functions}
        wanted |= {(number, "trunk control, counted as none")} if trunk else set()
    assert named == wanted
    for number, (_, _, _, support) in enumerate(exercises, start=1):
        of_it = [
            each
            for each in (*told.each[number - 1], *told.whole)
            if each.id == "support-added"
            and (each in told.each[number - 1] or each.about == "all exercises" or number in numbers_of(each.about))
        ]
        assert [each.what.removeprefix("with ").partition(", because")[0] for each in of_it] == list(support)
