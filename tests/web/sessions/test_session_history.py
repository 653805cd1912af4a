"""Undo and redo over versions that are only added, against a stack of states kept by the test."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from firstpush.web.sessions.history import Step, redone, state_of, undone


@given(st.lists(st.sampled_from(["change", "undo", "redo"]), max_size=14))
def test_undo_and_redo_go_where_two_stacks_go(moves: list[str]) -> None:
    """Every editor's two stacks say where undo and redo go; versions, which are only added, say the same."""
    steps = [Step(number=1)]
    past: list[int] = []
    future: list[int] = []
    now = 1
    for move in moves:
        number = len(steps) + 1
        assert state_of(steps) == now
        assert undone(steps) == (past[-1] if past else None)
        if future:
            assert redone(steps) == future[-1]
        if move == "change":
            steps.append(Step(number=number, changed_from=now))
            past.append(now)
            now, future = number, []
        elif move == "undo" and past:
            future.append(now)
            now = past.pop()
            steps.append(Step(number=number, changed_from=steps[-1].number, back_to=now))
        elif move == "redo" and future:
            past.append(now)
            now = future.pop()
            steps.append(Step(number=number, changed_from=steps[-1].number, back_to=now))


def test_versions_that_say_nothing_follow_each_other() -> None:
    """Kept by another program: each was changed from the one before."""
    steps = [Step(number=1), Step(number=2), Step(number=3)]
    assert undone(steps) == 2
    assert redone(steps) is None
    assert undone(steps[:1]) is None
    assert undone([]) is None
