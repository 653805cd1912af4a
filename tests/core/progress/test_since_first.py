"""What many steps come to: by hand, from what is kept of the first load and of the one to come."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.progress.since_first import since_first
from firstpush.core.progress.step import Of
from firstpush.core.session.agreed import Agreed, AgreedSide

TEN = DoseOption(name="two sets of ten", sets=2, repetitions=10, out_s=2.0, hold_s=0.0, back_s=3.0, pause_s=60.0)
TWELVE = replace(TEN, repetitions=12)
FIRST = Agreed(
    exercise="row",
    since=date(2026, 9, 28),
    sides={"right": AgreedSide(load=10.0), "left": AgreedSide(load=8.0)},
    dose=TEN,
)


@pytest.mark.parametrize(
    ("loads", "dose", "of", "says"),
    [
        ((13.1, 10.4), TEN, "moment", "since 28 September +31 %"),  # 13.1 / 10; the left 10.4 / 8 is +30 %
        ((8.0, 8.0), TEN, "moment", "since 28 September −20 %"),
        ((10.0, 8.0), TWELVE, "time", "since 28 September +20 %"),  # 12 / 10
        ((11.0, 8.0), TWELVE, "time", "since 28 September +10 % of the load and +20 % of the time under load"),
        ((11.0, 8.0), TWELVE, "turning load", "since 28 September +10 % of the load and +20 % of the time under load"),
        ((10.0, 8.0), TEN, "moment", "since 28 September +0 %"),  # back where it began
        ((10.0, 8.0), TEN, "ball mass", ""),  # neither load nor time has changed
    ],
)
def test_the_total_by_hand(loads: tuple[float, float], dose: DoseOption, of: Of, says: str) -> None:
    """The side that has changed most is told."""
    then = replace(
        FIRST,
        since=date(2026, 11, 2),
        sides={"right": AgreedSide(load=loads[0]), "left": AgreedSide(load=loads[1])},
        dose=dose,
    )
    assert since_first(FIRST, then, of=of) == says


def test_a_day_that_asks_for_less_is_no_way_down() -> None:
    """Six of ten N·m on a day of 60 % are as much as before; the year is said where it is another."""
    then = replace(
        FIRST, since=date(2027, 1, 4), sides={"right": AgreedSide(load=6.0), "left": AgreedSide(load=4.8)}, share=0.6
    )
    assert since_first(FIRST, then, of="moment") == "since 28 September 2026 +0 %"


def test_what_has_no_load_has_no_total_of_it() -> None:
    """Unknown is not nothing."""
    bare = replace(FIRST, sides={"right": AgreedSide()}, dose=None)
    assert since_first(bare, FIRST, of="moment") == ""
