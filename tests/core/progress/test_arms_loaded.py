"""Which arms an exercise loads: those that its picture shows at work, the other end of the band among them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from lever_cases import CLUB, CLUB_HALL, CLUB_KIT, case_of, done

from firstpush.core.progress.arms_loaded import arms_loaded
from firstpush.core.progress.laying import ONE_ARM


@pytest.mark.parametrize(
    ("exercise", "arms"),
    [
        # What the file says of the hands: both of them, one that pulls, one that pulls and one that holds the end.
        ("low_row", {"left", "right"}),
        ("scaption", {"left"}),
        ("diagonal_lift", {"left", "right"}),
        ("anti_rotation_press", {"left", "right"}),
        ("ball_circles", {"left"}),
        ("rail_trunk_turns", {"left", "right"}),
        ("graded_push_lengths", {"left", "right"}),
    ],
)
def test_done_on_the_left_it_loads_these_arms(exercise: str, arms: set[str]) -> None:
    """Done on the left alone, or together: whoever has a sore right arm must know whether it takes part."""
    now = done(exercise, case_of(CLUB["runa_velde"], CLUB_KIT, CLUB_HALL))
    setups = now.setups if len(now.setups) == 1 else {"left": now.setups["left"]}
    assert set(arms_loaded(setups.values())) == arms


def test_with_the_other_hand_on_the_frame_only_one_arm_works() -> None:
    """The one-arm variant leaves the other hand where it holds the trunk; without any set-up there is no arm."""
    now = done("rail_trunk_turns", case_of(CLUB["runa_velde"], CLUB_KIT, CLUB_HALL))
    assert arms_loaded([replace(now.setups["left"], support=(ONE_ARM,))]) == ("left",)
    assert arms_loaded([]) == ()
