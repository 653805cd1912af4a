"""Which of the harder steps that can be done here may be offered: small for sure, in the week's room, after a pain."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from firstpush.core.progress.decide import WeekLoad, beyond_the_week
from firstpush.core.progress.levers import OF_THE_DOSE
from firstpush.core.progress.ranking import of_load
from firstpush.core.progress.rules import Rules
from firstpush.core.progress.step import AIMED_STEP, MOST_HARDER, AsDone, RelativeChange, Step, StepAnswer


def first_after_pain(steps: Callable[..., StepAnswer | None], now: AsDone) -> StepAnswer | None:
    """Return the first step after a pain: of the dose; where that is at its end, a small one of the load."""
    levers = tuple(lever for lever in now.exercise.harder if lever in OF_THE_DOSE)
    of_dose = replace(now, exercise=replace(now.exercise, harder=levers, harder_exercise=None))
    answer = steps(of_dose, "harder", size="usual")
    if answer is not None and answer.best is not None:
        return answer
    answer = steps(now, "harder", size="usual")
    if answer is None:
        return None
    every = (answer.best, *answer.others)
    small = [step for step in every if step is not None and step.inside and _at_most(step, AIMED_STEP.value)]
    said = "the first step after a pain is more repetitions or time, and the dose is at its end"
    if not small:
        return StepAnswer(best=None, others=(), sentence=f"{said}; no step of load is small enough: leave it as it is")
    sentence = f"{said}: {small[0].words} ({small[0].change_words})"
    return StepAnswer(best=small[0], others=tuple(small[1:]), sentence=sentence)


def _at_most(step: Step, most: float) -> bool:
    return bool(step.changes) and all(change.high <= most + 1e-9 for change in step.changes.values())


def surely_small(answer: StepAnswer | None) -> StepAnswer | None:
    """Return a harder answer without the steps whose range reaches beyond the largest load that is proposed."""
    if answer is None:
        return None

    def is_small(step: Step) -> bool:
        return not of_load(step) or _at_most(step, MOST_HARDER.value)

    return _kept_steps(
        answer,
        is_small,
        lambda step: (
            f"{step.words} could be up to +{100 * (step.change.high if step.change else 0.0):.0f} %, more than "
            f"{100 * MOST_HARDER.value:.0f} %"
        ),
    )


def in_the_week(
    answer: StepAnswer, week: Callable[[RelativeChange], WeekLoad | None], rules: Rules
) -> tuple[StepAnswer | None, WeekLoad | None]:
    """Return a harder answer without the steps that the week has no room for; with none left, the week of its best."""

    def weeks(step: Step) -> list[WeekLoad]:
        # A side that is laid otherwise has its own change; the largest stands for both.
        found = [week(max(step.changes.values(), key=lambda change: change.high))] if step.changes else []
        return [each for each in found if each is not None]

    def has_room(step: Step) -> bool:
        return not any(beyond_the_week(each, rules) for each in weeks(step))

    best = answer.best
    assert best is not None, "asked before"
    kept = _kept_steps(answer, has_room, lambda step: f"{step.words} ({step.change_words}) is too much for this week")
    return (kept, None) if kept.best is not None or has_room(best) else (None, next(iter(weeks(best)), None))


def _kept_steps(answer: StepAnswer, keep: Callable[[Step], bool], why_not: Callable[[Step], str]) -> StepAnswer:
    """Return an answer with those steps alone that may be kept; where the best may not, it is said, and what rather."""
    steps = [step for step in (answer.best, *answer.others) if step is not None and keep(step)]
    if answer.best is None or (steps and steps[0] is answer.best):
        return replace(answer, others=tuple(step for step in steps if step is not answer.best))
    inside = [step for step in steps if step.inside] or [step for step in steps if _at_most(step, MOST_HARDER.value)]
    if not inside:
        return StepAnswer(best=None, others=tuple(steps), sentence=f"{why_not(answer.best)}; leave it as it is")
    best = inside[0]
    rather = f"; rather {best.words} ({best.change_words})"
    others = tuple(step for step in steps if step is not best)
    return StepAnswer(best=best, others=others, sentence=why_not(answer.best) + rather)
