"""Notices told once: sides merged, what several exercises share told for all of them, and what is for whom."""

from __future__ import annotations

import itertools

from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.notices import LEVELS, Notice, for_athlete, sides_together, told_once


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
        for_it = [each for each in told.whole if not each.about or str(number) in each.about]
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
