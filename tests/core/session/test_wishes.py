"""How well a session serves the wishes, counted by hand."""

from dataclasses import replace

import pytest
from session_cases import only_dose, ready

from firstpush.core.session.order import cheapest_order
from firstpush.core.session.timeline import timeline
from firstpush.core.session.wishes import WishName, first_worse, loss, served_by

ROW = ready("seated_row", preference=0.5)
TURN_OUT = ready("external_rotation_90", sides=("left",))
PRESS = ready("anti_rotation_press")


def test_each_wish_is_counted_as_by_hand() -> None:
    """Row 2 sets at fit 0.5 and rotation 2 sets on the left against 2 sets of press on both sides."""
    served = served_by([only_dose(each) for each in (ROW, TURN_OUT, PRESS)], offered=[ROW, TURN_OUT, PRESS])
    assert served.parts == {"strength"}
    assert served.missing_sets == (2 * 2 - (2 + 2)) + (2 * 2 - 2)
    assert served.aims == {
        *((aim, side) for aim in (*ROW.exercise.aims, *PRESS.exercise.aims) for side in ("left", "right")),
        *((aim, "left") for aim in TURN_OUT.exercise.aims),
    }
    assert served.fit == 100 * (0.5 * 2 * 2 + 2 * 1 + 2 * 2)
    assert served.work_s == 2 * 50 + 2 * 50 + 4 * 48
    # Row from nothing; rotation at the same anchor; the press turns the chair twice, and each turn frees and blocks.
    turned = 10 + 25 + 20
    assert served.setting_up_s == (40 + 20) + 10 + (15 + turned) + (15 + 25 + 20) + 15


def test_balance_is_asked_only_where_both_kinds_are_offered() -> None:
    """With rotation for the left only, the right shoulder is not measured against it."""
    plan = [only_dose(TURN_OUT), only_dose(PRESS)]
    assert served_by(plan, offered=[TURN_OUT, PRESS]).missing_sets == 2 * 2 - 2
    assert served_by(plan, offered=[TURN_OUT, PRESS, ROW]).missing_sets == (2 * 2 - 2) + 2 * 2


def test_light_work_with_a_ball_is_no_pressing() -> None:
    """Circles with a ball reach forward too, but need no counterweight."""
    circles = ready("ball_circles")
    assert "scapular protraction" in circles.exercise.aims
    assert served_by([only_dose(circles)], offered=[circles, ROW]).missing_sets == 0


@pytest.mark.parametrize(
    ("wish", "without", "said"),
    [
        ("parts", [ROW], "the control part would stay empty"),
        ("aims", [ready("ball_circles")], "scapular retraction and shoulder extension would go untrained"),
    ],
)
def test_a_loss_says_what_is_lost(wish: WishName, without: list, said: str) -> None:  # type: ignore[type-arg]
    """The words name the part or the aims that are gone."""
    offered = [ROW, ready("ball_circles")]
    best = served_by([only_dose(each) for each in offered], offered=offered)
    other = served_by([only_dose(each) for each in without], offered=offered)
    assert loss(wish, best=best, other=other) == said
    assert first_worse(best=best, other=other) == "parts"
    assert first_worse(best=best, other=best) is None


def test_the_cheapest_order_keeps_equal_set_ups_together() -> None:
    """Two rows at one height and two at another are done two by two, whatever the order they came in."""
    rows = [
        only_dose(replace(ROW, anchor_height=height, exercise=replace(ROW.exercise, id=name)))
        for name, height in (("row_a", 0.7), ("row_b", 1.1), ("row_c", 0.7), ("row_d", 1.1))
    ]
    order = cheapest_order(rows)
    assert [each.candidate.id for each in order] == ["row_a", "row_c", "row_b", "row_d"]
    assert cheapest_order(rows[::-1]) == order
    # Moving the loop takes 10 s, and is needed once instead of three times.
    assert timeline(rows).total_s - timeline(order).total_s == (3 - 1) * 10
