"""The rule of the trade: too easy, make it harder; too hard, easier; pain, stop; else keep. With its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.measured import Measured
from firstpush.core.progress.entries import FEELS
from firstpush.core.progress.history import Done

What = Literal["progress", "keep", "regress", "stop"]
WHATS: tuple[What, ...] = ("stop", "regress", "keep", "progress")
"""From the most careful to the boldest."""
COULD_BE_HARDER = "whether it could be harder"
ROUNDING = 1e-9
"""A rise of just what is allowed is allowed, however it was added up [1]."""

KEEP_FROM = Measured(
    name="effort from which a strength exercise is kept",
    value=12,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: 12 to 15 trains",
    known="common practice",
)
KEEP_UP_TO = Measured(
    name="effort up to which an exercise is kept",
    value=15,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: too hard, easier",
    known="common practice",
)
PROGRESS_BELOW = Measured(
    name="effort below which a strength exercise is made harder",
    value=11,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: too easy, harder",
    known="common practice",
)
CONTROL_PROGRESS_BELOW = Measured(
    name="effort below which a control exercise is made harder",
    value=12,
    unit="of 6-20",
    spread=0,
    source="rule of the trade: too easy, harder",
    known="common practice",
)
CONCORDANT = Measured(
    name="sessions in a row that must say the same before a step",
    value=2,
    unit="sessions",
    spread=0,
    source="one good day is no progress; tissue follows slower than effort",
    known="common practice",
)
DAYS_BETWEEN_STEPS = Measured(
    name="days between two steps of one exercise",
    value=7,
    unit="days",
    spread=0,
    source="one good day is no progress; tissue follows slower than effort",
    known="common practice",
)
WEEKLY_RISE = Measured(
    name="largest rise of a week's joint load over the mean of the four weeks before",
    value=0.20,
    unit="1",
    spread=0,
    source="reference category of weekly load in youth handball (Moller 2017)",
    known="read",
)
MOST_STEPS_A_WEEK = Measured(
    name="exercises of one arm made harder in seven days, at most",
    value=2,
    unit="exercises",
    spread=0,
    source="an ache after four steps in three days cannot be traced",
    known="our choice",
)
LONGEST_GAP = Measured(
    name="days after which an earlier session says nothing about the next",
    value=14,
    unit="days",
    spread=0,
    source="after a gap it is begun anew",
    known="our choice",
)
PAIN_HOLDS = Measured(
    name="days for which a pain holds back the exercises of its arm",
    value=14,
    unit="days",
    spread=0,
    source="load comes back later than the wish for it",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Rules:
    """The numbers of the rule for one athlete; the defaults are common practice.

    Parameters
    ----------
    progress_below, control_progress_below : int
        Effort below which strength, and control, is made harder; between it and `keep_from` it is kept and asked about.
    keep_from, keep_up_to : int
        Effort in which an exercise is kept; above, it is made easier at once.
    concordant : int
        Sessions in a row that must say the same before a step.
    days_between_steps : int
    weekly_rise : float
        Largest rise of a week's joint load over the mean of the four weeks before, as a share.
    asked_in : str
        "numbers", 6 to 20, or "words": easy, right, hard, which are never turned into numbers.

    Raises
    ------
    OutOfRangeError
        When the numbers are not in order.
    """

    progress_below: int = round(PROGRESS_BELOW.value)
    control_progress_below: int = round(CONTROL_PROGRESS_BELOW.value)
    keep_from: int = round(KEEP_FROM.value)
    keep_up_to: int = round(KEEP_UP_TO.value)
    concordant: int = round(CONCORDANT.value)
    days_between_steps: int = round(DAYS_BETWEEN_STEPS.value)
    weekly_rise: float = WEEKLY_RISE.value
    asked_in: Literal["numbers", "words"] = "numbers"

    def __post_init__(self) -> None:
        lowest = min(self.progress_below, self.control_progress_below)
        if not 7 <= lowest <= max(self.progress_below, self.control_progress_below) <= self.keep_from:
            raise OutOfRangeError(
                f"harder below {self.progress_below} and {self.control_progress_below}, kept from {self.keep_from}: "
                "allowed is 7 to the number that an exercise is kept from. Lower the first or raise the second."
            )
        if not self.keep_from <= self.keep_up_to <= 19:
            raise OutOfRangeError(
                f"kept from {self.keep_from} up to {self.keep_up_to}: the second must be from the first to 19. "
                "Put them in order."
            )
        if self.concordant < 1 or self.days_between_steps < 0 or not 0 < self.weekly_rise <= 1:
            raise OutOfRangeError(
                f"{self.concordant} sessions, {self.days_between_steps} days, a rise of {self.weekly_rise:g}: allowed "
                "are 1 or more, 0 or more, and above 0 up to 1. Put these numbers right."
            )

    def below(self, part: str) -> int:
        """Return the effort below which an exercise of `part` is made harder."""
        return self.control_progress_below if part == "control" else self.progress_below


@dataclass(frozen=True, kw_only=True)
class Decision:
    """What is proposed for one exercise, because of what, and what to ask; both as clauses without a full stop."""

    exercise: str
    what: What
    because: str
    ask: str = ""


@dataclass(frozen=True, kw_only=True)
class WeekLoad:
    """Joint load of a week with the harder step in it, and the mean of the weeks before; None is unknown.

    `of` says whose load it is, as it stands before "would rise".
    """

    with_step: float
    mean_of_four_weeks: float | None
    of: str = "the week's load"

    @property
    def rise(self) -> float | None:
        """By how much the week would lie above the mean [1]; endless from nothing."""
        if self.mean_of_four_weeks is None:
            return None
        return self.with_step / self.mean_of_four_weeks - 1.0 if self.mean_of_four_weeks > 0 else float("inf")


def decide(
    dones: Sequence[Done],
    *,
    part: str,
    rules: Rules,
    last_step_on: date | None = None,
    others_stepped: int = 0,
    week: WeekLoad | None = None,
    held_back: str = "",
    try_out: str = "",
    known_on: date | None = None,
) -> Decision:
    """Return what is proposed for the next time of one exercise.

    Parameters
    ----------
    dones : sequence of Done
        Of this exercise, the oldest first, since its set-up was last changed; at least one.
    part : str
        The exercise's part: control exercises have a limit of their own.
    rules : Rules
    last_step_on : date or None
        When the exercise was last made harder; None for never.
    others_stepped : int
        How many other exercises of these arms were made harder in the seven days before.
    week : WeekLoad or None
        What the harder step would make of the week; None where no load is stated.
    held_back : str
        Why nothing of this arm is made harder now, as a clause: pain that came in another exercise.
    try_out : str
        Why the first load is still looked for, as a clause, see `firstpush.core.progress.try_out_again`; empty where it
        is known.  No step is made from a load that was only the lightest.
    known_on : date or None
        When its first load was found by a try-out that went on on a later day: that raised it like a step.

    Returns
    -------
    Decision
        The same input always gives the same decision. Nothing changes without the practitioner's word.

    Raises
    ------
    OutOfRangeError
        For nothing done.

    Source
    ------
    Common practice: 12 to 15 keeps, below 11 (control: below 12) is made harder, above 15 easier; two sessions that
    agree before a step up, one step a week, down at once; a week's load up by less than 20 % (Moller 2017, read).
    """
    if not dones:
        raise OutOfRangeError("nothing was done of this exercise; decide after it was done once.")
    last = dones[-1]
    grave = _grave(last, dones)
    if grave is not None:
        return grave
    said = _effort_says(last, part=part, rules=rules)
    if said.what == "regress" or not last.clean:
        return said if said.what == "regress" else _not_clean(last)
    if said.what != "progress":
        waiting = (
            why_it_waits(on=last.on, rules=rules, last_step_on=last_step_on, known_on=known_on)
            if said.ask == COULD_BE_HARDER
            else []
        )
        # Whether it could be harder is not asked while it may not be made so.
        return replace(said, because="; ".join([said.because, *waiting]), ask="") if waiting else said
    if held_back:
        return Decision(exercise=last.exercise, what="keep", because=f"{said.because}, but {held_back}")
    if try_out:
        return Decision(
            exercise=last.exercise,
            what="keep",
            because=try_out,
            ask="for a try-out set at the start of next time: it begins with this load",
        )
    waits = why_it_waits(
        on=last.on,
        rules=rules,
        last_step_on=last_step_on,
        others_stepped=others_stepped,
        week=week,
        known_on=known_on,
    )
    return _may_it_be_harder(dones, said, part=part, rules=rules, waits=waits)


def _grave(last: Done, dones: Sequence[Done]) -> Decision | None:
    """Return what pain, a broken-off exercise or faults ask for, before effort is looked at."""
    exercise = last.exercise
    if last.pain in ("stop the exercise", "stop the arm"):
        what = "a new or sharp pain" if last.pain == "stop the exercise" else "pain of more than 5 of 10"
        return Decision(
            exercise=exercise,
            what="stop",
            because=f"{what} came in it",
            ask="for it to be looked at before it comes back",
        )
    if last.stopped:
        return Decision(
            exercise=exercise,
            what="stop",
            because="it was broken off",
            ask="what happened, and whether it may come back",
        )
    if last.pain == "easier":
        return Decision(
            exercise=exercise, what="regress", because="pain rose in it, or was above the usual or the limit"
        )
    if not last.finished and not last.no_time:
        return Decision(exercise=exercise, what="regress", because="it was not finished as planned")
    if last.faults and len(dones) > 1 and dones[-2].faults:
        return Decision(
            exercise=exercise, what="regress", because=f"it was not clean twice in a row ({', '.join(last.faults)})"
        )
    return None


def _not_clean(last: Done) -> Decision:
    if last.faults:
        because = f"it was not clean ({', '.join(last.faults)})"
    elif last.pain not in (None, "go on"):
        because = "there was familiar pain in it"
    else:
        # Neither too hard nor a fault of form; half of the sets say nothing about the whole.
        because = "there was no time to finish it, so it does not count towards a step"
    return Decision(exercise=last.exercise, what="keep", because=because)


def _effort_says(last: Done, *, part: str, rules: Rules) -> Decision:
    effort, exercise = last.effort, last.exercise
    if effort is None:
        return Decision(exercise=exercise, what="keep", because="effort was not asked", ask="how hard it was")
    if effort in FEELS:
        what: What = {"easy": "progress", "right": "keep", "hard": "regress"}[effort]  # type: ignore[assignment]
        return Decision(exercise=exercise, what=what, because=f"it felt {effort}")
    assert isinstance(effort, int)
    if effort > rules.keep_up_to:
        return Decision(exercise=exercise, what="regress", because=f"effort {effort} is above {rules.keep_up_to}")
    below = rules.below(part)
    if effort < below:
        return Decision(exercise=exercise, what="progress", because=f"effort {effort} is below {below}")
    if effort < rules.keep_from:
        return Decision(
            exercise=exercise,
            what="keep",
            because=f"effort {effort} lies between too easy (below {below}) and {rules.keep_from}",
            ask=COULD_BE_HARDER,
        )
    return Decision(
        exercise=exercise, what="keep", because=f"effort {effort} lies within {rules.keep_from} to {rules.keep_up_to}"
    )


def why_it_waits(
    *,
    on: date,
    rules: Rules,
    last_step_on: date | None = None,
    others_stepped: int = 0,
    week: WeekLoad | None = None,
    known_on: date | None = None,
) -> list[str]:
    """Return why nothing is made harder now, whatever effort says, one clause each; empty where nothing holds it.

    Parameters
    ----------
    on : date
        Of the session.
    rules : Rules
    last_step_on : date or None
        When the exercise was last made harder.
    others_stepped : int
        How many other exercises of these arms were made harder in the seven days before.
    week : WeekLoad or None
        What the harder step would make of the week.
    known_on : date or None
        When its first load was found by a try-out that went on on a later day.
    """
    reasons = []
    apart = timedelta(days=rules.days_between_steps)
    if known_on is not None and on - known_on < apart and (last_step_on is None or last_step_on < known_on):
        reasons.append(
            f"its first load was found on {known_on:%-d %B}: harder at the earliest on {known_on + apart:%-d %B}"
        )
    if last_step_on is not None and on - last_step_on < apart:
        next_on = last_step_on + apart
        reasons.append(f"its last step was on {last_step_on:%-d %B}: harder at the earliest on {next_on:%-d %B}")
    if others_stepped >= MOST_STEPS_A_WEEK.value:
        reasons.append(f"{others_stepped} other exercises of this arm were made harder in these seven days")
    if week is not None and (beyond := beyond_the_week(week, rules)):
        reasons.append(beyond)
    return reasons


def beyond_the_week(week: WeekLoad, rules: Rules) -> str:
    """Return by how much a week with a harder step in it would rise too far, as a clause; empty where it would not."""
    if week.rise is None or week.rise <= rules.weekly_rise + ROUNDING:
        return ""
    # Rounded up, so that what holds it back never reads like what is allowed.
    grown = "from nothing" if week.rise == float("inf") else f"by {ceil(100 * week.rise - 1e-6)} %"
    return f"with a step {week.of} would rise {grown}, more than {100 * rules.weekly_rise:.0f} %"


def _may_it_be_harder(
    dones: Sequence[Done], said: Decision, *, part: str, rules: Rules, waits: Sequence[str]
) -> Decision:
    """Return the step up, or why it waits."""
    last = dones[-1]

    def says_so(each: Done) -> bool:
        return _effort_says(each, part=part, rules=rules).what == "progress"

    # Broken off for want of time and easy so far, a session says nothing; said to be harder, it says no.
    told = [each for each in dones if not (each.no_time and (each.effort is None or says_so(each)))]
    recent = [each for each in told[-rules.concordant :] if last.on - each.on <= timedelta(days=LONGEST_GAP.value)]
    agree = [each for each in recent if each.clean and says_so(each)]
    reasons = [f"a step waits for {rules.concordant} sessions in a row that say so"] * (len(agree) < rules.concordant)
    if reasons := [*reasons, *waits]:
        return Decision(exercise=last.exercise, what="keep", because=f"{said.because}, but {'; '.join(reasons)}")
    return Decision(
        exercise=last.exercise,
        what="progress",
        because=f"{said.because}, {rules.concordant} sessions in a row" if rules.concordant > 1 else said.because,
    )
