"""A dose that is typed: what is allowed, what it is called, and that its name gives it back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import library
from firstpush.core.session.typed_dose import dose_limits, dose_of_name, typed_dose

ROW, HOLD, ROLLING = (library()[id_] for id_ in ("low_row", "partner_hold", "graded_push_lengths"))


def test_a_set_is_at_most_half_as_long_again_as_the_longest_of_the_exercise() -> None:
    """By hand: repetitions times the seconds of one repetition, against 1.5 times the longest set of the file."""
    limits, usual = dose_limits(ROW), ROW.doses[0]
    assert limits is not None
    one_s = usual.out_s + usual.hold_s + usual.back_s
    longest_s = max(each.set_seconds for each in ROW.doses)
    assert limits.most * one_s <= 1.5 * longest_s < (limits.most + 1) * one_s
    assert (limits.least, limits.unit) == (1, "repetitions")


def test_seconds_where_the_exercise_is_counted_in_seconds() -> None:
    """A hold is typed in seconds, and keeps its pauses."""
    limits = dose_limits(HOLD)
    assert limits is not None
    assert limits.unit == "seconds"
    dose = typed_dose(HOLD, sets=2, amount=limits.most)
    assert (dose.sets, dose.seconds, dose.repetitions) == (2, float(limits.most), None)
    assert dose.pause_s == HOLD.doses[0].pause_s


@pytest.mark.parametrize(("sets", "amount"), [(0, 8), (4, 8), (1, 0), (1, 500), (-1, 8)])
def test_more_or_less_than_allowed_is_refused_with_what_is(sets: int, amount: int) -> None:
    """The message names the range."""
    with pytest.raises(OutOfRangeError, match="allowed are 1 to"):
        typed_dose(ROW, sets=sets, amount=amount)


def test_a_drill_in_rounds_has_no_typed_dose() -> None:
    """Lengths of a hall are no repetitions of an arm."""
    assert dose_limits(ROLLING) is None
    assert dose_of_name(ROLLING, "2 sets of 4, by hand") is None
    with pytest.raises(OutOfRangeError, match="counted in rounds"):
        typed_dose(ROLLING, sets=1, amount=4)


@given(st.integers(1, 3), st.integers(1, 12), st.sampled_from([ROW, HOLD]))
def test_the_name_gives_the_dose_back(sets: int, amount: int, exercise: Exercise) -> None:
    """What is kept of a session is the name: read again it is the same dose."""
    try:
        dose = typed_dose(exercise, sets=sets, amount=amount)
    except OutOfRangeError:
        return
    assert dose_of_name(exercise, dose.name) == dose


def test_another_name_is_no_typed_dose() -> None:
    """Names of the file, and doses beyond the limits, are not made up."""
    assert dose_of_name(ROW, ROW.doses[0].name) is None
    assert dose_of_name(ROW, "9 sets of 10, by hand") is None
