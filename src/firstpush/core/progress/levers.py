"""The next step of an exercise, harder or easier: what kit and venue at hand can realise, best first, in numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.progress.dose_steps import MOST_SETS, dose_steps, is_longer_set, no_longer
from firstpush.core.progress.laying import Bench, Way, bench, ready_for
from firstpush.core.progress.other_levers import other_ways, whole_exercise
from firstpush.core.progress.predicted import Predictor, heavier_somewhere
from firstpush.core.progress.ranking import Ranking
from firstpush.core.progress.step import (
    LAID,
    WINDOWS,
    AsDone,
    Direction,
    Size,
    Step,
    StepAnswer,
    Window,
)
from firstpush.core.progress.try_out import is_tried_out
from firstpush.core.session.prepare import JUNIOR_SETS
from firstpush.core.setup.by_hand import laid_as
from firstpush.core.setup.circumstances import Circumstances

OF_THE_DOSE = ("repetitions", "hold time", "tempo")
PAIRS_TRIED = 96
"""Ways that change two things, tried in the order of their nearness to the aim."""
OPTIONS_TRIED = 4
"""Ways of one lever that are worked out in full, until one goes the right way in every joint."""
SHOWN = 5
"""Steps that are worked out in full beside the best."""


@dataclass(frozen=True, kw_only=True)
class Variants:
    """An easier and a harder way to do one exercise, prepared before the session."""

    easier: StepAnswer
    harder: StepAnswer


def next_step(
    case: Circumstances,
    now: AsDone,
    *,
    direction: Direction,
    exercises: Mapping[str, Exercise] | None = None,
    size: Size = "usual",
    seed: int = 0,
) -> StepAnswer:
    """Return the steps that make an exercise harder or easier for one athlete here, best first.

    Parameters
    ----------
    case : Circumstances
        Of the kind of session, see `firstpush.core.session.prepare.case_of_kind`.
    now : AsDone
        The exercise with its set-ups and dose as they are done now.
    direction : str
        "harder" or "easier"; only levers that the exercise lists for it are used.
    exercises : mapping of id to Exercise, optional
        Those known here, for the exercise one step up or down.
    size : str
        "usual", or for an easier step "after a hard effort" or "after pain": then it is larger.
    seed : int
        For the ranges.

    Returns
    -------
    StepAnswer
        Every set-up in it passes the checks of the search.  Outside the window the nearest is proposed and the sentence
        says so; a harder step beyond `MOST_HARDER` of load or `MOST_TIME` is shown, never proposed.

    Raises
    ------
    OutOfRangeError
        When there is no set-up, or a larger step is asked for in the harder direction.
    """
    return StepSearch(case, now, direction, exercises or {}, size, Predictor(now=now, seed=seed)).answer()


def variants(
    case: Circumstances,
    now: AsDone,
    *,
    exercises: Mapping[str, Exercise] | None = None,
    pain: bool = False,
    seed: int = 0,
) -> Variants:
    """Return the easier and the harder variant of an exercise, for the time of the session.

    Parameters
    ----------
    case, now, exercises, seed
        As for `next_step`.
    pain : bool
        With pain the easier one is clearly lighter, 20 to 40 %, in no joint heavier; and there is no harder one.
        Without, it is the one "after a hard effort", and the harder one is of the usual size.

    Of a first time, `now` has the dose that is printed (`try_out_dose`); its harder variant is of load alone.
    """
    now = _load_first(now)
    predictor = Predictor(now=now, seed=seed)
    known = exercises or {}
    # Whoever asks for it on court finds it too hard, so a hair less will not do.
    size: Size = "after pain" if pain else "after a hard effort"
    easier = StepSearch(case, now, "easier", known, size, predictor).answer()
    if easier.best is None and is_tried_out(now.dose, now.setups):
        # The lightest that there is: fewer of it, down to the five of a first set, is what is left.
        easier = StepSearch(case, now, "easier", known, "after pain", predictor).answer()
    if pain:
        return Variants(
            easier=easier, harder=StepAnswer(best=None, others=(), sentence="with pain nothing is made harder")
        )
    return Variants(easier=easier, harder=StepSearch(case, now, "harder", known, "usual", predictor).answer())


def _load_first(now: AsDone) -> AsDone:
    """Return an exercise whose harder levers leave the dose alone where it is a first time: the load is looked for."""
    if not is_tried_out(now.dose, now.setups):
        return now
    levers = tuple(lever for lever in now.exercise.harder if lever not in OF_THE_DOSE)
    return replace(now, exercise=replace(now.exercise, harder=levers, harder_exercise=None))


class StepSearch:
    """One direction of one exercise; `next_step`, `variants` and `steps_down` say what is asked of it."""

    def __init__(
        self,
        case: Circumstances,
        now: AsDone,
        direction: Direction,
        exercises: Mapping[str, Exercise],
        size: Size,
        predictor: Predictor,
    ) -> None:
        if not now.setups:
            raise OutOfRangeError(
                f"{now.exercise.title} has no set-up on any side; a step starts from one. Set it up first."
            )
        if direction == "harder" and size != "usual":
            raise OutOfRangeError(
                f"a step {size} is only easier; for a harder one the size is 'usual'. Ask for an easier step."
            )
        self.case, self.now, self.direction, self.exercises = case, now, direction, exercises
        self.size, self.predictor = size, predictor
        self.window: Window = WINDOWS[size]
        self.sign = 1 if direction == "harder" else -1
        self.levers = now.exercise.harder if direction == "harder" else now.exercise.easier
        has_load = any(setup.peak is not None and setup.band is not None for setup in now.setups.values())
        self.ranking = Ranking(direction=direction, size=size, levers=self.levers, has_load=has_load)
        self.benches: dict[Side, Bench] = {}
        self.remarks: dict[str, None] = {}

    def answer(self) -> StepAnswer:
        """Return the steps, best first."""
        not_ready = self._open_all()
        if not_ready:
            return StepAnswer(best=None, others=(), sentence=not_ready)
        steps = self._steps_of(self.levers)
        if not any(step.inside and self.ranking.first_choice(step) for step in steps):
            steps += self._laid_steps(self.levers, 2)
        if not any(step.inside and self.ranking.first_choice(step) for step in steps):
            steps += self.whole_step()
        steps = self.ranking.in_order(steps)
        best = next((step for step in steps if self.ranking.may_be_proposed(step)), None)
        others = tuple(step for step in steps if step is not best)
        return StepAnswer(best=best, others=others[:SHOWN], sentence=self._sentence(best, steps))

    def by_lever(self, *, most: int, takes: Window) -> list[Step]:
        """Return the best step that each lever leads to by itself, in the order of the exercise, `most` of them.

        A step is taken where every change lies surely inside `takes`.
        """
        if self._open_all():
            return []
        found: list[Step] = []
        for lever in self.levers:
            steps = self._steps_of((lever,))
            large = [step for step in steps if all(takes.takes(change) for change in step.changes.values())]
            found += self.ranking.in_order(large)[:1]
            if len(found) == most:
                break
        return found

    def whole_step(self) -> list[Step]:
        """Return the step to the exercise that is one step up or down, where it can be done here; else nothing."""
        whole = whole_exercise(self.case, self.now, self.direction, self.exercises)
        if whole is not None and self.direction == "easier":
            dose = no_longer(whole.dose, than=self.now.dose)
            whole = None if dose is None else replace(whole, dose=dose)
        if whole is None:
            return []
        step = self.predictor.other(whole, self.window)
        return [step] if self._goes_the_right_way(step) else []

    def _open_all(self) -> str:
        """Lay out what could be laid on every side; return why a side is not ready, or empty."""
        for side, setup in self.now.setups.items():
            ready = ready_for(self.now.exercise, self.case, side)
            if ready.reason is not None:
                return f"{side}: {ready.reason}"
            if setup.band is not None and set(self.levers) & set(LAID):
                self._open(side)
        return ""

    def _open(self, side: Side) -> None:
        found = bench(self.now.exercise, self.case, self.now.setups[side])
        if isinstance(found, str):
            self.remarks[found] = None
        else:
            self.benches[side] = found
            if self.sign > 0 and found.at_its_largest:
                self.remarks[f"at most {found.target.largest:.0f} N·m are for this exercise"] = None

    # -- what there is ------------------------------------------------------------------------------------------

    def _steps_of(self, levers: tuple[str, ...]) -> list[Step]:
        """Return the steps that `levers` lead to one at a time and that go the right way."""
        steps = self._dose_steps(levers) + self._other_steps(levers)
        return [step for step in steps if self._goes_the_right_way(step)] + self._laid_steps(levers, 1)

    def _dose_steps(self, levers: tuple[str, ...]) -> list[Step]:
        most = JUNIOR_SETS if self.case.junior else MOST_SETS
        found = dose_steps(
            self.now.exercise,
            self.now.dose,
            levers=levers,
            after_pain=self.size == "after pain",
            most_sets=most,
        )
        return [self.predictor.dosed(each, self.window) for each in found]

    def _other_steps(self, levers: tuple[str, ...]) -> list[Step]:
        return [
            self.predictor.other(each, self.window) for each in other_ways(self.case, self.now, self.direction, levers)
        ]

    def _laid_steps(self, levers: tuple[str, ...], things: int) -> list[Step]:
        """Return for each lever, or pair of levers, the best step that goes the right way."""
        if not self.benches or len(self.benches) < len(self.now.setups):
            return []
        listed = [lever for lever in levers if lever in LAID]
        found = {}
        for side, each in self.benches.items():
            near = each.ways(listed, things=things, sign=self.sign)
            if things > 1:
                near = [way for way in near if self.window.holds(way.change)]
                near.sort(key=lambda way: abs(abs(way.change) - self.window.aim))
            found[side] = each.kept(near if things == 1 else near[:PAIRS_TRIED])
        steps = []
        for options in self._joined(found):
            tried = (self._laid(ways) for ways in options[:OPTIONS_TRIED])
            step = next((step for step in tried if self._goes_the_right_way(step)), None)
            steps += [] if step is None else [step]
        return steps

    def _laid(self, ways: Mapping[Side, Way]) -> Step:
        now = self.now.exercise.title.lower()
        change = max((way.change for way in ways.values()), key=abs)
        words = f"one step {self.direction} than before in the {now}: {100 * change:+.0f} %"
        return self.predictor.laid(self.benches, ways, self.window, words)

    def _joined(self, found: Mapping[Side, list[Way]]) -> list[list[dict[Side, Way]]]:
        """Return for each lever the ways of all sides together, best first: the very same where both are laid alike."""
        kinds: dict[tuple[str, ...], list[dict[Side, Way]]] = {}
        if len({laid_as(setup) for setup in self.now.setups.values()}) == 1:
            by_laid = {side: {way.laid: way for way in ways} for side, ways in found.items()}
            for laid, way in next(iter(by_laid.values())).items():
                if all(laid in each for each in by_laid.values()):
                    kinds.setdefault(way.levers, []).append({side: each[laid] for side, each in by_laid.items()})
        else:
            listed = {side: {way.levers: None for way in ways} for side, ways in found.items()}
            for levers in next(iter(listed.values())):
                own = {
                    side: sorted((w for w in ways if w.levers == levers), key=lambda way: self._off({"right": way}))
                    for side, ways in found.items()
                }
                kinds[levers] = [dict(zip(own, ways, strict=True)) for ways in zip(*own.values(), strict=False)]
        return [sorted(options, key=self._off) for options in kinds.values() if options]

    def _off(self, ways: Mapping[Side, Way]) -> tuple[float, float]:
        changes = [way.change for way in ways.values()]
        return (
            max(self.window.off(change) for change in changes),
            max(abs(abs(change) - self.window.aim) for change in changes),
        )

    # -- which of it --------------------------------------------------------------------------------------------

    def _goes_the_right_way(self, step: Step) -> bool:
        if any(change.value * self.sign <= 0 or not change.sure for change in step.changes.values()):
            return False
        if self.direction == "harder":
            return True
        if is_longer_set(self.now.dose, step.dose):
            return False
        first = next(iter(self.now.setups.values()))
        return not any(heavier_somewhere(self.now.setups.get(s, first), setup) for s, setup in step.setups.items())

    # -- what is said -------------------------------------------------------------------------------------------

    def _sentence(self, best: Step | None, steps: list[Step]) -> str:
        title = self.now.exercise.title
        if best is not None and best.inside:
            said = f"{best.words}: {best.change_words}"
            return said if self.ranking.first_choice(best) else f"{said}; the load itself cannot be made lighter here"
        wanted = f"nothing here makes it {self.window.words} {self.direction}"
        beyond = [
            f"{step.words} is {step.change_words}"
            for step in steps
            if step is not best and step.changes and len(step.levers) == 1
        ][:2]
        remarks = [*self.remarks, *self._most_failed()]
        if best is None and not self.levers:
            return f"{title} lists nothing that makes it {self.direction}"
        if best is None:
            why = "; ".join([*beyond, *remarks]) or "what it lists is at its end"
            return f"{wanted}: {why}; leave it as it is"
        rather = f"{'rather' if beyond else 'the nearest is'} {best.words} ({best.change_words})"
        return f"{wanted}: " + "; ".join([*beyond, *remarks, rather])

    def _most_failed(self) -> list[str]:
        counted: dict[str, int] = {}
        for each in self.benches.values():
            for wrong, count in each.failed.items():
                counted[wrong] = counted.get(wrong, 0) + count
        if not counted:
            return []
        wrong = max(counted, key=counted.__getitem__)
        return [f"of what could be laid, {wrong} in {counted[wrong]} ways"]
