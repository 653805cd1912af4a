"""Steps in the dose: repetitions, hold, seconds, sets and tempo, each with what it does to the time under load."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.measured import Measured
from firstpush.core.setup.build import SLOW_ENOUGH

FEWEST_REPETITIONS = Measured(
    name="fewest repetitions customary in strength work",
    value=8,
    unit="1",
    spread=0.0,
    source="2 sets of 8 to 12; table after ACSM",
    known="common practice",
)
MOST_REPETITIONS = Measured(
    name="most repetitions customary in strength work",
    value=12,
    unit="1",
    spread=0.0,
    source="2 sets of 8 to 12; table after ACSM",
    known="common practice",
)
FEWEST_AFTER_PAIN = Measured(
    name="fewest repetitions after pain",
    value=5,
    unit="1",
    spread=0.0,
    source="beginners start with 4 to 5 (dose table after ACSM, read)",
    known="our choice",
)
LONGEST_HOLD_IN_A_REPETITION = Measured(
    name="longest hold inside a repetition against load",
    value=5.0,
    unit="s",
    spread=0.0,
    source="longer, the breath is held",
    known="our choice",
)
LONGEST_HOLD = Measured(
    name="longest hold of a stretch",
    value=30.0,
    unit="s",
    spread=0.0,
    source="10 to 30 s each (dose table after ACSM, read)",
    known="read",
)
LONGER_SET = Measured(
    name="longest set over the longest in the file of the exercise",
    value=1.5,
    unit="1",
    spread=0.0,
    source="beyond it the exercise is another one: endurance",
    known="our choice",
)
SHORTEST_SET = Measured(
    name="shortest set that is counted in seconds", value=10.0, unit="s", spread=0.0, source="", known="our choice"
)
MOST_SETS = 3
"""Programmes for painful shoulders used three sets (Mulroy 2011, from slides, read)."""
HOLD_STEPS = (1.0, 2.0, 5.0)
SECONDS_STEPS = (5.0, 10.0)
"""What a person counts [s]."""

_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True, kw_only=True)
class DoseStep:
    """Another dose, the lever that leads to it, and what is other in words."""

    lever: str
    dose: DoseOption
    words: str


def seconds_under_load(dose: DoseOption) -> float:
    """Return sets times the length of a set, on one side [s]."""
    return dose.sets * dose.set_seconds


def is_longer_set(now: DoseOption, after: DoseOption) -> bool:
    """Whether a single set of `after` is more than one of `now`: longer under load, or of more repetitions.

    Fewer sets of more repetitions are less in all, and harder at the end of each: nobody who finds ten too many wants
    one set of twelve.
    """
    if now.repetitions is not None and after.repetitions is not None and after.repetitions > now.repetitions:
        return True
    return after.set_seconds > now.set_seconds + 1e-9


def no_longer(dose: DoseOption, *, than: DoseOption) -> DoseOption | None:
    """Return `dose` with so few repetitions or seconds that no set of it is longer than one of `than`.

    Returns
    -------
    DoseOption or None
        None where that leaves too little of it, or where the floor sets its time.
    """
    if not is_longer_set(than, dose):
        return dose
    if dose.rounds is not None:
        return None
    if dose.repetitions is None:
        assert dose.seconds is not None, "a dose is counted in repetitions or in seconds"
        seconds = than.set_seconds // 5 * 5
        if seconds < SHORTEST_SET.value:
            return None
        count = f"{seconds:g} seconds"
        return replace(dose, seconds=seconds, name=f"{_word(dose.sets)} set{'s' if dose.sets > 1 else ''} of {count}")
    each = dose.set_seconds / dose.repetitions
    repetitions = int(than.set_seconds / each + 1e-9)
    if than.repetitions is not None:
        repetitions = min(repetitions, than.repetitions)
    if repetitions < FEWEST_AFTER_PAIN.value:
        return None
    words = f"{_word(dose.sets)} set{'s' if dose.sets > 1 else ''} of {_word(repetitions)}"
    return replace(dose, repetitions=repetitions, name=words)


def dose_steps(
    exercise: Exercise, dose: DoseOption, *, levers: Iterable[str], after_pain: bool = False, most_sets: int = MOST_SETS
) -> tuple[DoseStep, ...]:
    """Return every other dose that the levers lead to, up and down, each once.

    Parameters
    ----------
    exercise : Exercise
        Its own doses bound how long a set may become.
    dose : DoseOption
        As it is done now.
    levers : iterable of str
        Those that the exercise lists.
    after_pain : bool
        Whether fewer than the customary repetitions will do.
    most_sets : int
    """
    allowed = set(levers)
    found: dict[tuple[object, ...], DoseStep] = {}
    for step in _all(exercise, dose, allowed, after_pain, most_sets):
        # A dose that a caution holds the athlete to is never lengthened, and is nothing for anybody else.
        held = step.dose.only_with_care or dose.only_with_care
        if held and (seconds_under_load(step.dose) > seconds_under_load(dose) or not dose.only_with_care):
            continue
        if _content(step.dose) != _content(dose):
            found.setdefault(_content(step.dose), step)
    return tuple(found.values())


def _all(
    exercise: Exercise, dose: DoseOption, allowed: set[str], after_pain: bool, most_sets: int
) -> Iterator[DoseStep]:
    longest = LONGER_SET.value * max((each.set_seconds for each in exercise.doses), default=dose.set_seconds)
    longest = max(longest, dose.set_seconds)
    if "repetitions" in allowed and dose.repetitions is not None:
        yield from _repetitions(exercise, dose, longest, after_pain)
    if "hold time" in allowed:
        yield from _holds(exercise, dose, longest)
    if "tempo" in allowed and dose.repetitions is not None:
        yield from _tempo(exercise, dose, longest)
    counted = "repetitions" if dose.repetitions is not None or dose.rounds is not None else "hold time"
    if counted in allowed:
        if exercise.part in ("strength", "control") and dose.sets > 1:
            for sets in (dose.sets - 1, dose.sets + 1):
                if sets <= most_sets:
                    yield _changed(exercise, dose, counted, f"sets {dose.sets} → {sets}", sets=sets)
        for other in exercise.doses:
            if other.sets <= max(most_sets, dose.sets) or exercise.part == "court":
                as_done = replace(other, per_side=dose.per_side)
                yield DoseStep(lever=counted, dose=as_done, words=f"{dose.name} → {other.name}")


def _repetitions(exercise: Exercise, dose: DoseOption, longest: float, after_pain: bool) -> Iterator[DoseStep]:
    now = dose.repetitions
    assert now is not None, "only asked for where repetitions are counted"
    own = [each.repetitions for each in exercise.doses if each.repetitions is not None] or [now]
    fewest = min(*own, int(FEWEST_REPETITIONS.value), now)
    if after_pain:
        fewest = min(fewest, int(FEWEST_AFTER_PAIN.value))
    most = max(*own, int(MOST_REPETITIONS.value), now)
    for count in range(fewest, most + 1):
        step = _changed(exercise, dose, "repetitions", f"repetitions {now} → {count}", repetitions=count)
        if step.dose.set_seconds <= longest + 1e-9:
            yield step


def _holds(exercise: Exercise, dose: DoseOption, longest: float) -> Iterator[DoseStep]:
    if dose.seconds is not None:
        # Rounds are laid out on the floor: their time is not set, it follows.
        for step in () if dose.rounds is not None else SECONDS_STEPS:
            for seconds in (dose.seconds - step, dose.seconds + step):
                if SHORTEST_SET.value <= seconds <= longest + 1e-9:
                    words = f"time {dose.seconds:g} → {seconds:g} s"
                    yield _changed(exercise, dose, "hold time", words, seconds=seconds)
        return
    stretch = exercise.part == "mobility" and exercise.band is None
    most = LONGEST_HOLD.value if stretch else LONGEST_HOLD_IN_A_REPETITION.value
    least = min(dose.hold_s, 1.0)
    for step in HOLD_STEPS:
        for hold in (dose.hold_s - step, dose.hold_s + step):
            if not least <= hold <= max(most, dose.hold_s):
                continue
            found = _changed(exercise, dose, "hold time", f"hold {dose.hold_s:g} → {hold:g} s", hold_s=hold)
            if found.dose.set_seconds <= longest + 1e-9:
                yield found


def _tempo(exercise: Exercise, dose: DoseOption, longest: float) -> Iterator[DoseStep]:
    # A quick exercise has its own rhythm, and below this phase the statics would not hold.
    if not exercise.static or len(exercise.poses) < 2:
        return
    for back in (dose.back_s - 1, dose.back_s - 0.5, dose.back_s + 0.5, dose.back_s + 1):
        found = _changed(exercise, dose, "tempo", f"way back {dose.back_s:g} → {back:g} s", back_s=back)
        if back >= SLOW_ENOUGH.value and found.dose.set_seconds <= longest + 1e-9:
            yield found


def _changed(
    exercise: Exercise,
    dose: DoseOption,
    lever: str,
    words: str,
    *,
    sets: int | None = None,
    repetitions: int | None = None,
    seconds: float | None = None,
    hold_s: float | None = None,
    back_s: float | None = None,
) -> DoseStep:
    new = replace(
        dose,
        sets=dose.sets if sets is None else sets,
        repetitions=dose.repetitions if repetitions is None else repetitions,
        seconds=dose.seconds if seconds is None else seconds,
        hold_s=dose.hold_s if hold_s is None else hold_s,
        back_s=dose.back_s if back_s is None else back_s,
    )
    if new.sets == 1:
        new = replace(new, pause_s=0.0)
    for own in exercise.doses:
        if _content(replace(own, per_side=new.per_side)) == _content(new):
            return DoseStep(lever=lever, dose=replace(own, per_side=new.per_side), words=words)
    return DoseStep(lever=lever, dose=replace(new, name=dose_name(exercise, new)), words=words)


def _content(dose: DoseOption) -> tuple[object, ...]:
    return (dose.sets, dose.repetitions, dose.seconds, dose.out_s, dose.hold_s, dose.back_s, dose.rounds)


def dose_name(exercise: Exercise, dose: DoseOption) -> str:
    """Return the name of a dose that its exercise does not list: what is counted, and hold and tempo where they differ.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import exercise_named
    >>> row = exercise_named("seated_row")
    >>> dose_name(row, replace(row.doses[0], repetitions=11))
    'two sets of eleven'
    >>> dose_name(row, replace(row.doses[0], hold_s=2))
    'two sets of ten, held for 2 s'
    """
    count = f"{dose.seconds:g} seconds" if dose.seconds is not None else _word(dose.repetitions or 0)
    name = f"{_word(dose.sets)} set{'s' if dose.sets > 1 else ''} of {count}{' a side' if dose.per_side else ''}"
    if dose.hold_s not in {each.hold_s for each in exercise.doses}:
        name += f", held for {dose.hold_s:g} s"
    if dose.back_s not in {each.back_s for each in exercise.doses}:
        name += f", {dose.back_s:g} s on the way back"
    return name


def _word(number: int) -> str:
    return _WORDS[number] if number < len(_WORDS) else str(number)
