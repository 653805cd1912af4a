"""Courses of one's own, written as a document: read as meant, and every fault told at once."""

from __future__ import annotations

from typing import Any

import pytest
from course_cases import outline
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.courses import bracket_of, course_from, course_from_text, cues_of, line_over, pushes_of, turning_of
from firstpush.core.errors import FirstpushError, InputFileError, UnknownNameError

DRILL = """
name = "corner drill"
start = "A"
order = ["1L", "2R", "to B", "turn left", "back to C"]
cone_width_m = 0.30
speed_percent = 80

[[cones]]
name = "1"
x_m = 2.0
y_m = 0.0

[[cones]]
name = "2"
x_m = 5.0
y_m = 0.0

[[points]]
name = "A"
x_m = -1.0
y_m = 0.0

[[points]]
name = "B"
x_m = 8.0
y_m = 0.0

[[points]]
name = "C"
x_m = 8.0
y_m = 3.0
"""


def test_an_order_is_read_as_it_is_written() -> None:
    """Hands, stretches, the turn before the pull; half the cone width is its radius."""
    course = course_from_text(DRILL, where="drill.toml")
    assert course.order == "1L 2R"
    assert [(leg.backward, leg.turn, leg.share) for leg in course.legs] == [(False, None, 0.8), (True, "left", 0.8)]
    assert (course.finish.x, course.finish.y) == (8.0, 3.0)
    assert course.cone("1").radius == 0.15
    assert line_over(course, outline()).is_clear


def broken(**changes: Any) -> dict[str, Any]:
    """Return a small course with changes."""
    course: dict[str, Any] = {
        "name": "small",
        "start": "A",
        "order": ["1L", "to A"],
        "cones": [{"name": "1", "x_m": 3.0, "y_m": 0.0}],
        "points": [{"name": "A", "x_m": 0.0, "y_m": 0.0}],
    }
    return course | changes


def test_the_small_course_is_whole() -> None:
    """What the refusals below begin from."""
    assert line_over(course_from(broken(), where="small"), outline()).is_clear


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (
            {"order": ["9L", "to A"]},
            r"'9L' passes a cone '9', which does not stand there. Allowed: 1. Give one of these",
        ),
        ({"order": ["1X", "to A"]}, "'1X' is no word of an order"),
        ({"order": ["1L", "to Q"]}, "'to Q' leads to a point 'Q', which is not there. Allowed: A"),
        ({"order": ["1L"]}, "it ends with '1L', and so nowhere"),
        ({"start": "Q"}, "there is no point 'Q'. Allowed: A"),
        ({"cones": [{"name": "1", "x_m": 900.0, "y_m": 0.0}]}, "900"),
        ({"points": [{"name": "A", "x_m": 0.0}]}, "y_m"),
        ({"colour": "blue"}, "colour"),
    ],
)
def test_a_fault_says_where_what_and_what_would_do(changes: dict[str, Any], said: str) -> None:
    """One sentence for each."""
    with pytest.raises(InputFileError, match=said):
        course_from(broken(**changes), where="small")


def test_all_faults_are_told_at_once() -> None:
    """Two words of the order and the start."""
    with pytest.raises(InputFileError) as found:
        course_from(broken(start="Q", order=["9L", "hop", "to A"]), where="small")
    assert len(found.value.faults) == 3


def test_without_an_order_there_is_no_course() -> None:
    """Missing keys are told as missing."""
    with pytest.raises(InputFileError) as found:
        course_from({"name": "nothing"}, where="small")
    assert {fault.key for fault in found.value.faults} >= {"start", "order"}


def test_a_cone_twice_is_told() -> None:
    """Names lead to places."""
    cones = [{"name": "1", "x_m": 3.0, "y_m": 0.0}, {"name": "1", "x_m": 6.0, "y_m": 0.0}]
    with pytest.raises((InputFileError, UnknownNameError), match="1"):
        course_from(broken(cones=cones), where="small")


coordinates = st.floats(-8.0, 8.0).map(lambda value: round(value, 2))
words = st.sampled_from(["1L", "1R", "2L", "2R", "3L", "3R", "to A", "to B", "back to A", "turn left", "turn right"])


@settings(max_examples=150, deadline=None)
@given(places=st.lists(st.tuples(coordinates, coordinates), min_size=5, max_size=5), order=st.lists(words, max_size=7))
def test_any_course_is_driven_or_refused_in_words(places: list[tuple[float, float]], order: list[str]) -> None:
    """Whatever stands where, in whatever order: a line with its times, or one of our own errors; never another."""
    names = ("1", "2", "3", "A", "B")
    rows = [{"name": name, "x_m": x, "y_m": y} for name, (x, y) in zip(names, places, strict=True)]
    document = {"name": "any", "start": "A", "order": [*order, "to B"], "cones": rows[:3], "points": rows[3:]}
    try:
        course = course_from(document, where="any")
        bracket = bracket_of(course, outline())
    except FirstpushError:
        return
    assert 0.0 < bracket.low <= bracket.likely.duration <= bracket.high < 600.0
    assert turning_of(bracket.likely).load >= 0.0
    assert pushes_of(bracket.likely).about >= 0
    assert cues_of(bracket.likely)[-1].kind == "end"


def test_a_stretch_without_length_or_a_cone_twice_running_is_refused() -> None:
    """Both would ask for a way that does not exist."""
    with pytest.raises(FirstpushError, match="cone 1 is passed twice running"):
        course_from(broken(order=["1L", "1R", "to A"]), where="small")
    with pytest.raises(FirstpushError, match=r"ends where it begins, at \(0 m, 0 m\), and passes no cone"):
        course_from(broken(order=["to A"]), where="small")
