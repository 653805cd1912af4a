"""The rule of the trade: too easy, make it harder; too hard, easier; pain, stop; else keep. With its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from typing import Literal

from firstpush.core.errors import OutOfRangeError
from firstpush.core.progress.effort_bands import EffortBand
from firstpush.core.progress.history import Done
from firstpush.core.progress.rules import LONGEST_GAP, MOST_STEPS_A_WEEK, Rules

What = Literal["progress", "keep", "regress", "stop"]
WHATS: tuple[What, ...] = ("stop", "regress", "keep", "progress")
"""From the most careful to the boldest."""
COULD_BE_HARDER = "whether it could be harder"
ROUNDING = 1e-9
"""A rise of just what is allowed is allowed, however it was added up [1]."""


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
    band: EffortBand,
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
    band : EffortBand
        What effort is meant of the exercise, see `firstpush.core.progress.effort_bands`.
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
    said = _effort_says(last, band=band)
    if said.what == "regress" or not last.clean:
        return said if said.what == "regress" else _not_clean(last)
    if last.lighter and (said.what == "progress" or said.ask == COULD_BE_HARDER):
        return _too_light_a_day(last, said)
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
    return _may_it_be_harder(dones, said, band=band, rules=rules, waits=waits)


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


def _too_light_a_day(last: Done, said: Decision) -> Decision:
    """Return that an easy set with less than the usual load says nothing about the usual load."""
    because = f"{said.because}, but the loads were lighter {last.lighter}: that says nothing about the usual ones"
    return Decision(exercise=last.exercise, what="keep", because=because)


def _effort_says(last: Done, *, band: EffortBand) -> Decision:
    """Return what the effort alone says, on the band that is meant of the exercise."""
    effort, exercise = last.effort, last.exercise
    if effort is None:
        return Decision(exercise=exercise, what="keep", because="effort was not asked", ask="how hard it was")
    said = band.says(effort)
    what = {"too easy": "progress", "too hard": "regress"}.get(said, "keep")
    ask = {"nearly too easy": COULD_BE_HARDER, "harder than meant": band.slower}.get(said, "")
    return Decision(exercise=exercise, what=what, because=band.because(effort), ask=ask)  # type: ignore[arg-type]


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
    dones: Sequence[Done], said: Decision, *, band: EffortBand, rules: Rules, waits: Sequence[str]
) -> Decision:
    """Return the step up, or why it waits."""
    last = dones[-1]

    def says_so(each: Done) -> bool:
        return _effort_says(each, band=band).what == "progress"

    # Broken off for want of time, or done with less load, and easy so far, a session says nothing; harder, it says no.
    told = [each for each in dones if not ((each.no_time or each.lighter) and (each.effort is None or says_so(each)))]
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
