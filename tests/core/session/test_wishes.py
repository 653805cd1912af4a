"""How well a session serves the wishes, counted by hand."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from session_cases import measured, only_dose, ready

from firstpush.core.notices import Notice
from firstpush.core.session.asked import Asked, DoneSession
from firstpush.core.session.compose import compose
from firstpush.core.session.losses import loss, loss_in_short
from firstpush.core.session.order import cheapest_order
from firstpush.core.session.timeline import timeline
from firstpush.core.session.wishes import WishName, first_worse, served_by

ROW = ready("seated_row", preference=0.5)
TURN_OUT = ready("external_rotation_90", sides=("left",))
PRESS = ready("anti_rotation_press")


def test_each_wish_is_counted_as_by_hand() -> None:
    """Row 2 sets at fit 0.5 and rotation 2 sets on the left against 2 sets of press on both sides."""
    offered = [ROW, TURN_OUT, PRESS]
    served = served_by([only_dose(each) for each in offered], measure=measured(offered))
    assert served.parts == {"strength"}
    assert served.missing_tenths == 10 * ((2 * 2 - (2 + 2)) + (2 * 2 - 2))
    assert served.aims == {
        *((aim, side) for aim in (*ROW.exercise.aims, *PRESS.exercise.aims) for side in ("left", "right")),
        *((aim, "left") for aim in TURN_OUT.exercise.aims),
    }
    # Two sets count as full, and every dose here has two.
    assert served.full_aims == served.aims
    assert served.uneven == 2
    assert served.fit == 10 * (0.5 * 2 * 2 + 2 * 1 + 2 * 2)
    assert served.work_s == 2 * 50 + 2 * 50 + 4 * 48
    # Row from nothing; rotation at the same anchor; the press turns the chair twice, and each turn frees and blocks.
    turned = 10 + 25 + 20
    assert served.setting_up_s == (40 + 20) + 10 + (15 + turned) + (15 + 25 + 20) + 15


def test_balance_is_asked_only_where_both_kinds_are_offered() -> None:
    """With rotation for the left only, the right shoulder is not measured against it."""
    plan = [only_dose(TURN_OUT), only_dose(PRESS)]
    assert served_by(plan, measure=measured([TURN_OUT, PRESS])).missing_tenths == 10 * (2 * 2 - 2)
    assert served_by(plan, measure=measured([TURN_OUT, PRESS, ROW])).missing_tenths == 10 * ((2 * 2 - 2) + 2 * 2)


def test_another_ratio_can_be_asked() -> None:
    """With 1.5 sets at the back for each at the front, two sets of rotation against two of press lack one set."""
    plan = [only_dose(TURN_OUT), only_dose(PRESS)]
    asked = Asked(back_to_front=1.5)
    assert served_by(plan, measure=measured([TURN_OUT, PRESS], asked=asked)).missing_tenths == 15 * 2 - 10 * 2


def test_one_set_trains_an_aim_but_not_in_full() -> None:
    """One set of the row counts once for each aim and side, two sets twice."""
    two, one = only_dose(ROW), only_dose(ROW, 2)
    assert (two.dose.sets, one.dose.sets) == (2, 1)
    assert served_by([one], measure=measured([ROW])).full_aims == frozenset()
    assert served_by([one], measure=measured([ROW], kind="before a match")).full_aims != frozenset()
    assert served_by([two], measure=measured([ROW], kind="strength")).full_aims == frozenset()


def test_what_is_due_familiar_and_stale_is_counted_from_the_history() -> None:
    """Rotation was done a month ago only, so it is due; the row is known and was done for six weeks in a row."""
    on = date(2026, 11, 25)
    rows = [DoneSession(on=on - timedelta(days=days), exercises=(("seated_row", "x"),)) for days in range(0, 49, 7)]
    turned = DoneSession(on=on - timedelta(days=28), exercises=(("external_rotation_90", "x"),))
    asked = Asked(history=(*rows, turned), on=on)
    measure = measured([ROW, TURN_OUT, PRESS], asked=asked)
    served = served_by([only_dose(each) for each in (ROW, TURN_OUT, PRESS)], measure=measure)
    assert {aim for aim, _ in served.due} == {
        "external rotation",
        "shoulder control",
        "anti-rotation",
        "scapular protraction",
    }
    assert served.new == 1
    assert served.stale == 1


def test_an_earlier_plan_counts_exercise_and_dose() -> None:
    """Three for the same exercise in the same dose, two in another dose, none for a new one."""
    asked = Asked(earlier=(("seated_row", ROW.exercise.doses[0].name),))
    measure = measured([ROW, PRESS], asked=asked)
    assert [
        served_by([each], measure=measure).kept for each in (only_dose(ROW), only_dose(ROW, 1), only_dose(PRESS))
    ] == [
        3,
        2,
        0,
    ]


def test_light_work_with_a_ball_is_no_pressing() -> None:
    """Circles with a ball reach forward too, but need no counterweight."""
    circles = ready("ball_circles")
    assert "scapular protraction" in circles.exercise.aims
    assert served_by([only_dose(circles)], measure=measured([circles, ROW])).missing_tenths == 0


@pytest.mark.parametrize(
    ("wish", "without", "said", "in_short"),
    [
        ("parts", [ROW], "the control part would stay empty", "no control part"),
        (
            "aims",
            [ready("ball_circles")],
            "scapular retraction and shoulder extension would go untrained",
            "no scapular retraction or shoulder extension",
        ),
    ],
)
def test_a_loss_says_what_is_lost(wish: WishName, without: list, said: str, in_short: str) -> None:  # type: ignore[type-arg]
    """The words name the part or the aims that are gone."""
    offered = [ROW, ready("ball_circles")]
    best = served_by([only_dose(each) for each in offered], measure=measured(offered))
    other = served_by([only_dose(each) for each in without], measure=measured(offered))
    assert loss(wish, best=best, other=other) == said
    assert loss_in_short(wish, best=best, other=other) == in_short
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


def test_of_equals_the_one_that_needs_no_care_is_chosen() -> None:
    """Two of the same aims, times and fit, one with a caution for this athlete: whatever the seed, the other."""
    said = Notice(id="exercise-care", level="caution", what="spina bifida: why", do="Slowly")
    free = replace(ready("ball_circles"), exercise=replace(ROW.exercise, id="one"))
    care = replace(free, exercise=replace(ROW.exercise, id="two"), notices=(said,))
    rows = [replace(ROW, exercise=each.exercise, notices=each.notices) for each in (free, care)]
    for seed in range(6):
        (item,) = compose(rows, minutes=6, seed=seed).items
        assert item.candidate.id == "one"
    assert served_by([only_dose(each) for each in rows], measure=measured(rows)).care == 1


def test_nothing_new_with_a_caution_where_it_is_asked_to_be_careful() -> None:
    """With an earlier plan: left out with its reason; without one, all is new and nothing is barred for it."""
    said = Notice(id="exercise-care", level="caution", what="shunt: why", do="Slowly")
    rows = [ROW, replace(TURN_OUT, notices=(said,))]
    earlier = (("seated_row", "two sets of ten"),)
    session = compose(rows, minutes=18, asked=Asked(careful=True, earlier=earlier))
    assert [item.candidate.id for item in session.items] == ["seated_row"]
    assert "asks for care (shunt)" in session.left_out[0].reason
    assert [notice.id for notice in session.notices if notice.id == "minutes-left-empty"]
    for asked in (Asked(careful=True), Asked(earlier=earlier)):
        assert len(compose(rows, minutes=18, asked=asked).items) == 2
