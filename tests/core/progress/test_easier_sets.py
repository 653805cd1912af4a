"""The easier one is never more of it: no set longer than now, and of a first time none longer than what is printed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from lever_cases import CLUB, CLUB_HALL, CLUB_KIT, asked, case_of, steps_of

from firstpush.core.exercises.definition import DoseOption
from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.progress.dose_steps import dose_steps, is_longer_set
from firstpush.core.progress.levers import variants
from firstpush.core.progress.step import AsDone, Step
from firstpush.core.progress.try_out import REPETITIONS, is_tried_out, try_out_dose
from firstpush.core.session.prepare import prepare
from firstpush.core.setup.circumstances import Circumstances

PEOPLE = ("runa_velde", "bren_kollhaug", "ylva_rorgang")
DOSE = DoseOption(name="two sets of eight", sets=2, repetitions=8)


@cache
def as_done(person: str) -> tuple[tuple[Circumstances, AsDone], ...]:
    """Return every exercise of the library that this athlete can do, in each dose of its file."""
    case = case_of(CLUB[person], CLUB_KIT, CLUB_HALL)
    prepared = prepare(case, library().values(), keep=tuple(library()))
    found = []
    for candidate in prepared.candidates:
        setups = {side: setup for (id_, side), setup in prepared.setups.items() if id_ == candidate.id}
        for dose in next(iter(setups.values())).exercise.doses:
            found.append((case, AsDone(exercise=candidate.exercise, setups=setups, dose=dose)))
    return tuple(found)


def longer(now: DoseOption, step: Step) -> bool:
    """Whether a set of `step` takes longer, counted here anew: repetitions times their phases, or seconds."""

    def length(dose: DoseOption) -> float:
        return dose.seconds if dose.seconds is not None else (dose.repetitions or 0) * sum(phases(dose))

    def phases(dose: DoseOption) -> tuple[float, float, float]:
        return dose.out_s, dose.hold_s, dose.back_s

    return length(step.dose) > length(now) + 1e-9


@pytest.mark.parametrize("person", PEOPLE)
def test_an_easier_step_never_has_a_longer_set(person: str) -> None:
    """Fewer, shorter or lighter: one set of twelve is no easier than two of eight."""
    looked = 0
    for case, now in as_done(person):
        if person != PEOPLE[0] and now.dose != next(iter(now.setups.values())).exercise.doses[0]:
            continue
        for step in steps_of(asked(now, "easier", case=case, size="after a hard effort")):
            assert not longer(now.dose, step), (now.exercise.id, now.dose.name, step.words)
            if now.dose.repetitions is not None and step.dose.repetitions is not None:
                assert step.dose.repetitions <= now.dose.repetitions, (now.exercise.id, step.words)
            looked += 1
    assert looked > 20


@pytest.mark.parametrize("person", PEOPLE)
def test_of_a_first_time_the_easier_one_is_no_more_than_what_is_printed(person: str) -> None:
    """One set of 5 to 8: the easier one has no more repetitions and no longer set, and the harder one is the load's."""
    tried = 0
    for case, now in as_done(person):
        if not is_tried_out(now.dose, now.setups) or now.dose.name != now.exercise.doses[0].name:
            continue
        printed = try_out_dose(now.dose)
        found = variants(case, replace(now, dose=printed), exercises=library())
        for step in (each.best for each in (found.easier, found.harder) if each.best is not None):
            assert step.dose.sets == 1, (now.exercise.id, step.words)
            assert (step.dose.repetitions or 0) <= REPETITIONS[-1], (now.exercise.id, step.words)
            assert not longer(printed, step), (now.exercise.id, step.words)
            tried += 1
    assert tried > 3


@pytest.mark.parametrize(
    ("change", "is_longer"),
    [
        # Worked out by hand: 8 repetitions of 2 + 2 s are 32 s.
        ({"sets": 1, "repetitions": 12}, True),  # 48 s
        ({"sets": 1, "repetitions": 8}, False),
        ({"sets": 3, "repetitions": 8}, False),  # the set itself is as long
        ({"repetitions": 6, "hold_s": 2.0}, True),  # 6 × 6 = 36 s
        ({"repetitions": 6, "hold_s": 1.0}, False),  # 6 × 5 = 30 s
        ({"repetitions": 10, "out_s": 1.0, "back_s": 1.0}, True),  # 20 s, but two repetitions more
        ({"repetitions": None, "seconds": 30.0}, False),
        ({"repetitions": None, "seconds": 35.0}, True),
    ],
)
def test_what_is_a_longer_set(change: dict[str, float], is_longer: bool) -> None:
    """Repetitions times phases, in seconds; more repetitions are more, however quick."""
    assert is_longer_set(DOSE, replace(DOSE, **change)) is is_longer  # type: ignore[arg-type]


def test_two_sets_of_eight_do_lead_to_one_of_twelve_for_somebody_else() -> None:
    """The doses of the file are all there; it is the direction that refuses one: so the test above means something."""
    row = exercise_named("seated_row")
    twelve = replace(DOSE, name="one set of twelve", sets=1, repetitions=12, pause_s=0.0)
    found = dose_steps(replace(row, doses=(DOSE, twelve)), DOSE, levers=("repetitions",))
    assert any(step.dose.name == "one set of twelve" for step in found)


@pytest.mark.parametrize(("repetitions", "most"), [(10, 8), (8, 8), (6, 6), (3, 3)])
def test_the_dose_of_a_first_time_is_one_set_of_at_most_eight(repetitions: int, most: int) -> None:
    """5 to 8 slow repetitions in one set (common practice); what is counted in seconds stays as it is."""
    found = try_out_dose(replace(DOSE, repetitions=repetitions))
    assert (found.sets, found.repetitions, found.pause_s) == (1, most, 0.0)
    held = DoseOption(name="held", sets=2, seconds=30.0)
    assert try_out_dose(held) == held
