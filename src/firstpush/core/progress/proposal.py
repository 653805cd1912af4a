"""After a session: what is proposed for each exercise, what could be chosen in its place, and what is agreed then."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Literal

from firstpush.core.errors import FirstpushError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.people.athlete import Side
from firstpush.core.progress.decide import COULD_BE_HARDER, Decision, WeekLoad, decide, why_it_waits
from firstpush.core.progress.effort_bands import effort_band, is_held_back
from firstpush.core.progress.history import Done
from firstpush.core.progress.laying import bench
from firstpush.core.progress.levers import next_step
from firstpush.core.progress.narrowed import first_after_pain, in_the_week, surely_small
from firstpush.core.progress.ranking import of_load
from firstpush.core.progress.rules import Rules
from firstpush.core.progress.since_first import since_first
from firstpush.core.progress.step import WHOLE_EXERCISE, AsDone, Direction, RelativeChange, Size, Step, StepAnswer
from firstpush.core.progress.try_out_again import Trying, goes_on_words
from firstpush.core.session.agreed import Agreed, AgreedSide
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.by_hand import laid_as
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.result import ExerciseSetup

Find = Callable[..., StepAnswer]
"""`next_step`, or something that remembers what it said."""
ChoiceName = Literal["as done", "harder", "easier", "leave out"]


def as_now(
    item: SessionItem, setups: Mapping[Side, ExerciseSetup], *, filed: Exercise, agreed: Agreed | None
) -> AsDone:
    """Return an exercise of a session as it is done now, with the doses of its file.

    Parameters
    ----------
    item : SessionItem
    setups : mapping of side to ExerciseSetup
        Of the sides that are done.
    filed : Exercise
        As it stands in its file: its doses bound how long a set may become, however often one was agreed.
    agreed : Agreed or None
        How it was agreed when the session was made.
    """
    exercise = item.candidate.exercise
    if agreed is not None and agreed.dose is not None and not item.dose.only_with_care:
        known = agreed.as_done(filed).doses
        per_side = exercise.sides == "each"
        usual = tuple(replace(dose, per_side=per_side) for dose in known if not dose.only_with_care)
        exercise = replace(exercise, doses=usual)
    return AsDone(exercise=exercise, setups=setups, dose=item.dose)


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One thing that can be agreed about an exercise.

    Parameters
    ----------
    words : str
        What is changed on court; empty where nothing is.
    change : str
        By how much, with its range: "+9 % (7-11) of the load".
    setups : mapping of side to ExerciseSetup
        As it is done then; empty where it is left out.
    agreed : tuple of Agreed
        What holds once it is accepted; two where another exercise takes its place.
    rise : float
        How much more load or time a harder one could be, the upper end of its range [1].
    """

    name: ChoiceName
    words: str
    change: str
    setups: Mapping[Side, ExerciseSetup]
    agreed: tuple[Agreed, ...]
    rise: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """What the rule says of one exercise, and what can be chosen.

    Parameters
    ----------
    decision : Decision
    choices : tuple of Choice
        "as done" and "leave out" always; "harder" and "easier" where there is such a step, the best first.
    proposed : int
        Which of the choices the rule proposes.
    sentences : mapping of direction to str
        What the levers say of a step: which is best, or why none is proposed.
    """

    decision: Decision
    choices: tuple[Choice, ...]
    proposed: int
    sentences: Mapping[Direction, str]


def propose(
    case: Circumstances,
    now: AsDone,
    dones: Sequence[Done],
    *,
    filed: Exercise,
    rules: Rules,
    exercises: Mapping[str, Exercise],
    on: date,
    before: Agreed | None = None,
    done_otherwise: str = "",
    last_step_on: date | None = None,
    others_stepped: int = 0,
    week: Callable[[RelativeChange], WeekLoad | None] = lambda change: None,
    held_back: str = "",
    after_pain: bool = False,
    trying: Trying | None = None,
    first: Agreed | None = None,
    known_on: date | None = None,
    find: Find = next_step,
) -> Proposal:
    """Return what is proposed for the next time of one exercise; nothing is agreed by that.

    Parameters
    ----------
    case : Circumstances
        Of the kind of session that was done.
    now : AsDone
        As it was done.
    dones : sequence of Done
        Of this exercise since its set-up was last changed, the oldest first; the last is what is decided about.
    filed : Exercise
        As it stands in its file.
    rules : Rules
    exercises : mapping of id to Exercise
        Those known here, for the exercise one step up or down.
    on : date
        The day from which it holds.
    before : Agreed or None
        What was agreed about it until now.
    done_otherwise : str
        How what was done differs from what was planned, as a clause: keeping it is then a change.
    last_step_on : date or None
        When it was last made harder.
    others_stepped : int
        How many other exercises of these arms were made harder in the seven days before.
    week : callable
        From the change of a harder step to the load of the week with it.
    held_back : str
        Why nothing of this arm is made harder now, as a clause; no harder step is offered then.
    after_pain : bool
        Whether a pain held the arm back and no step was made since: the first one is of the dose, not of the load.
    trying : Trying or None
        Where its load was found by a try-out and not changed by a step since; no step is made while that goes on.
    first : Agreed or None
        As it was done when its load was first known; every step says what it comes to since then.
    known_on : date or None
        When that load was found by a try-out that went on on a later day: the next step comes as long after it as after
        a step.
    find : callable
        `next_step`, or something that remembers its answers.
    """
    looked_for = goes_on_words(replace(trying, held_back=trying.held_back or held_back)) if trying is not None else ""
    said = partial(
        decide,
        dones,
        band=effort_band(filed, rules, held=is_held_back(filed, case.athlete, now.dose)),
        rules=rules,
        last_step_on=last_step_on,
        others_stepped=others_stepped,
        held_back=held_back,
        try_out=looked_for,
        known_on=known_on,
    )
    decision = said()
    last = dones[-1]
    sore = last.pain not in (None, "go on") or last.stopped
    easier_size: Size = "after pain" if sore else "after a hard effort" if decision.what == "regress" else "usual"
    steps = partial(_steps, find, case, exercises=exercises)
    easier = steps(now, "easier", size=easier_size)
    # What the rule holds back, it holds back from the practitioner's choice too: a word cannot shorten a week.
    waiting = why_it_waits(
        on=last.on, rules=rules, last_step_on=last_step_on, others_stepped=others_stepped, known_on=known_on
    )
    waiting += [f"{looked_for}, and a step comes after that"] * bool(looked_for)
    held = sore or held_back or waiting or decision.what in ("regress", "stop")
    harder = None if held else first_after_pain(steps, now) if after_pain else steps(now, "harder", size="usual")
    harder = surely_small(harder)
    if harder is not None and harder.best is not None:
        harder, too_much = in_the_week(harder, week, rules)
        if too_much is not None:
            decision, waiting = said(week=too_much), why_it_waits(on=last.on, rules=rules, week=too_much)
    maker = _Maker(case=case, now=now, filed=filed, on=on, before=before, first=first)
    kept = maker.as_done(done_otherwise, felt=last.effort is not None)
    if first is None and last.effort is not None:
        # Felt for the first time that anybody knows of.
        maker = replace(maker, first=kept.agreed[0])
    choices = [kept]
    sentences: dict[Direction, str] = {"harder": "; ".join(waiting)} if waiting else {}
    for direction, answer in (("harder", harder), ("easier", easier)):
        if answer is not None:
            sentences[direction] = answer.sentence  # type: ignore[index]
            choices += [maker.step(direction, step) for step in _offered(answer)]  # type: ignore[arg-type]
    choices.append(maker.left_out(decision))
    if decision.ask == COULD_BE_HARDER and not any(choice.name == "harder" for choice in choices):
        # A question that no answer can follow from is not asked; why there is no step is said in its place.
        why = [held_back] if held_back else [sentences["harder"]] if "harder" in sentences else []
        decision = replace(decision, because="; ".join([decision.because, *why]), ask="")
    return Proposal(
        decision=decision, choices=tuple(choices), proposed=_proposed(decision, choices), sentences=sentences
    )


def _steps(
    find: Find,
    case: Circumstances,
    now: AsDone,
    direction: Direction,
    *,
    exercises: Mapping[str, Exercise],
    size: Size,
) -> StepAnswer | None:
    try:
        return find(case, now, direction=direction, exercises=exercises, size=size)
    except FirstpushError:
        # What cannot be stepped can still be kept or left out.
        return None


def _offered(answer: StepAnswer) -> list[Step]:
    """Return the best step and the others that have its size: what is too large is told, not offered."""
    if answer.best is None:
        return []
    return [answer.best, *(step for step in answer.others if step.inside)]


def _proposed(decision: Decision, choices: Sequence[Choice]) -> int:
    wanted: dict[str, ChoiceName] = {"progress": "harder", "regress": "easier", "stop": "leave out", "keep": "as done"}
    names = [choice.name for choice in choices]
    if (name := wanted[decision.what]) in names:
        return names.index(name)
    # Nothing harder can be laid: it stays.  Nothing easier can: what was too much does not come back as it was.
    return names.index("as done" if decision.what == "progress" else "leave out")


@dataclass(frozen=True, kw_only=True)
class _Maker:
    """What is the same in all choices about one exercise."""

    case: Circumstances
    now: AsDone
    filed: Exercise
    on: date
    before: Agreed | None
    first: Agreed | None

    def as_done(self, change: str, *, felt: bool) -> Choice:
        agreed = self._agreed(self.now, change=change, turn=0.0, link=None)
        if not felt:
            # It is laid so again, but a load of which nobody said how hard it was is not known yet.
            agreed = replace(agreed, sides={side: replace(each, load=None) for side, each in agreed.sides.items()})
        return Choice(name="as done", words=change, change="", setups=self.now.setups, agreed=(agreed,))

    def step(self, direction: Direction, step: Step) -> Choice:
        then = AsDone(exercise=step.exercise, setups=step.setups, dose=step.dose)
        words = f"{step.words}: {step.change_words}"
        if WHOLE_EXERCISE in step.levers:
            new = replace(
                self._agreed(then, change=f"in place of {self.filed.title.lower()}", turn=0.0, link=None, anew=True),
                exercise=step.exercise.id,
            )
            reason = f"since {self.on:%-d %B} {step.exercise.title.lower()} is done in its place"
            agreed: tuple[Agreed, ...] = (new, self._out(reason, replaced_by=step.exercise.id))
        else:
            agreed = (self._agreed(then, change=words, turn=step.added_turn, link=step.link),)
        change = "; ".join(text for text in (step.change_words, self._total(step, agreed[0])) if text)
        rise = max((each.high for each in step.changes.values()), default=0.0) if direction == "harder" else 0.0
        return Choice(name=direction, words=step.words, change=change, setups=step.setups, agreed=agreed, rise=rise)

    def _total(self, step: Step, agreed: Agreed) -> str:
        """Return what the steps come to since the first known load; another exercise is another beginning."""
        if self.first is None or step.change is None or WHOLE_EXERCISE in step.levers:
            return ""
        return since_first(self.first, agreed, of="moment" if of_load(step) else step.change.of)

    def left_out(self, decision: Decision) -> Choice:
        because = f": {decision.because}" if decision.what in ("stop", "regress") else ""
        reason = f"left out since {self.on:%-d %B}{because}"
        return Choice(name="leave out", words="", change="", setups={}, agreed=(self._out(reason),))

    def _out(self, reason: str, *, replaced_by: str = "") -> Agreed:
        return Agreed(exercise=self.filed.id, since=self.on, left_out=reason, replaced_by=replaced_by)

    def _agreed(self, then: AsDone, *, change: str, turn: float, link: int | None, anew: bool = False) -> Agreed:
        before = None if anew else self.before
        found = agreed_from(self.case, self.filed.id, then, on=self.on, change=change)
        return replace(
            found,
            added_turn=turn + (0.0 if before is None else before.added_turn),
            link=link if link is not None else None if before is None else before.link,
        )


def agreed_from(case: Circumstances, exercise: str, then: AsDone, *, on: date, change: str) -> Agreed:
    """Return an exercise as it is set up for the next time, as it is agreed: laid, loaded, dosed and supported.

    Parameters
    ----------
    case : Circumstances
        Of the kind of session.
    exercise : str
        Id.
    then : AsDone
    on : date
        The day from which it holds.
    change : str
        What is changed, as a clause; empty where nothing is.
    """
    first = next(iter(then.setups.values()))
    return Agreed(
        exercise=exercise,
        since=on,
        change=change,
        sides={side: _side(case, then.exercise, setup) for side, setup in then.setups.items()},
        dose=then.dose,
        share=case.load_share,
        support=first.support,
        ball=None if first.ball is None else first.ball.name,
    )


def _side(case: Circumstances, exercise: Exercise, setup: ExerciseSetup) -> AgreedSide:
    laid = None if setup.band is None else laid_as(setup)
    load = None if setup.peak is None else setup.peak.value
    if setup.exercise.loaded_links:
        # The search asks for the load of a chain on the scale of its first link.
        found = bench(exercise, case, setup)
        load = None if isinstance(found, str) else found.before
    return AgreedSide(load=load, laid=laid)
