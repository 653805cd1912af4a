"""Clicks on the floor: what stands where afterwards, and that clicked together it is the course that was meant."""

from __future__ import annotations

from typing import Any

import pytest
from course_cases import outline
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.courses import course_from, line_over
from firstpush.core.courses.own_clicks import SNAP_M, Clicked, clicked, snapped

REACH = 0.3


def click(document: dict[str, Any], x: float, y: float, *, puts: str = "cone", does: str = "left") -> Clicked:
    """Return what one click makes."""
    return clicked(document, x=x, y=y, puts=puts, does=does, reach=REACH)  # type: ignore[arg-type]


def clicked_together() -> dict[str, Any]:
    """Return start and finish, two cones between, and the order, by eight clicks."""
    document: dict[str, Any] = {}
    for x, y, puts in ((0.5, 0.5, "point"), (3.02, 2.49, "cone"), (6.0, 4.5, "cone"), (9.0, 4.0, "point")):
        document = click(document, x, y, puts=puts).document
    for x, y, does in ((3.1, 2.4, "right"), (6.1, 4.4, "left"), (9.1, 4.1, "left"), (0.4, 0.6, "back")):
        document = click(document, x, y, does=does).document
    return document


def test_a_course_is_clicked_together_and_driven() -> None:
    """Free floor takes a cone or a point; what stands there comes next in the order; all of it is read by core."""
    document = clicked_together()
    assert document["cones"] == [{"name": "1", "x_m": 3.0, "y_m": 2.5}, {"name": "2", "x_m": 6.0, "y_m": 4.5}]
    assert document["points"] == [{"name": "A", "x_m": 0.5, "y_m": 0.5}, {"name": "B", "x_m": 9.0, "y_m": 4.0}]
    assert (document["start"], document["order"]) == ("A", ["1R", "2L", "to B", "back to A"])
    course = course_from(document | {"name": "clicked"}, where="clicked")
    assert course.order == "1R 2L"
    assert [leg.backward for leg in course.legs] == [False, True]
    assert line_over(course, outline()).is_clear


@given(metres=st.floats(-90.0, 90.0))
def test_a_click_lies_on_a_multiple_of_five_centimetres(metres: float) -> None:
    """No farther than half of it from where it was, and on a whole number of steps."""
    found = snapped(metres)
    assert abs(found - metres) <= SNAP_M / 2 + 1e-9
    assert found / 0.05 == pytest.approx(round(found / 0.05), abs=1e-6)


def test_what_is_taken_away_leaves_the_order_too() -> None:
    """Cone 1 with its step, then the start; the others keep their names, and the free name is given again."""
    one = click(clicked_together(), 3.0, 2.5, does="away")
    assert one.says == "Cone 1 is taken away, and 1 step of the order."
    assert one.document["order"] == ["2L", "to B", "back to A"]
    start = click(one.document, 0.5, 0.5, does="away")
    assert start.document["start"] == ""
    assert start.document["order"] == ["2L", "to B"]
    assert [each["name"] for each in click(start.document, 1.0, 7.0).document["cones"]] == ["2", "1"]


@pytest.mark.parametrize(
    ("before", "x", "y", "does", "said"),
    [
        ([], 0.5, 0.5, "left", "The chair stands on point A already"),
        (["1L"], 3.0, 2.5, "right", "Cone 1 was passed last"),
        (["1L"], 3.0, 2.5, "back", "Cone 1 is passed on a hand, and not pulled to"),
        (["to B", "turn left"], 9.0, 4.0, "back", "The chair stands on point B already"),
    ],
)
def test_a_step_that_cannot_be_is_told_and_changes_nothing(
    before: list[str], x: float, y: float, does: str, said: str
) -> None:
    """What core would refuse when it is saved is said at the click already."""
    document = clicked_together() | {"order": before}
    answer = click(document, x, y, does=does)
    assert not answer.changed
    assert answer.says.startswith(said)
    assert answer.document["order"] == before
    assert document["order"] == before, "the document that was given is not touched"


def test_a_click_within_reach_hits_the_nearest() -> None:
    """Two cones 0.5 m apart: 0.2 m from one of them is that one, 0.31 m beside it is free floor."""
    document: dict[str, Any] = {"cones": [{"name": "1", "x_m": 1.0, "y_m": 1.0}, {"name": "2", "x_m": 1.5, "y_m": 1.0}]}
    assert click(document, 1.3, 1.0).document["order"] == ["2L"]
    assert click(document, 1.2, 1.0).document["order"] == ["1L"]
    assert len(click(document, 1.0, 1.31).document["cones"]) == 3
