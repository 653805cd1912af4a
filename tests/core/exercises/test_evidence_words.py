"""What speaks for an exercise is said to everybody who does it, in whichever dose: it holds no dose and no injury."""

from __future__ import annotations

import re

import pytest

from firstpush.core.exercises.loader import library

NUMBER = r"(?:\d+|one|two|three|four|five|six|eight|ten|twelve|half a)"
A_DOSE = re.compile(rf"\b{NUMBER} (?:easy |slow )?(?:minutes?|seconds?|s|turns?|rounds?|repetitions?|sets?)\b")
STUDIED = re.compile(r"holds of 60 s a muscle|below 60 s a muscle|one set of this to two for the back|° a second")
"""What was studied, or how an exercise stands to others: of no dose here."""


@pytest.mark.parametrize("exercise", library().values(), ids=lambda each: each.id)
def test_no_evidence_names_a_dose_or_an_injury_of_some(exercise) -> None:  # type: ignore[no-untyped-def]
    """A sheet with 2 × 30 s beside "two easy minutes" contradicts itself, and most have no injury of the neck."""
    for each in exercise.evidence:
        words = STUDIED.sub("", each.says)
        assert not A_DOSE.search(words), words
        assert "cervical" not in words


@pytest.mark.parametrize("exercise", library().values(), ids=lambda each: each.id)
def test_no_caution_says_how_long_a_set_takes_that_may_be_shorter(exercise) -> None:  # type: ignore[no-untyped-def]
    """Held for half a minute, with a dose of 20 seconds beside it."""
    for each in exercise.cautions:
        assert "half a minute" not in each.why


def test_the_search_finds_what_it_looks_for() -> None:
    """The two that were read wrongly, and one that is no dose."""
    assert A_DOSE.search("two easy minutes that raise pulse") and A_DOSE.search("ten turns a side")
    assert not A_DOSE.search(STUDIED.sub("", "short holds cost little: below 60 s a muscle 1.1 %"))
