"""From athlete, kit and venue to the exercises that are ready to be chosen, and those that are not, with reasons."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Collection, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from threading import Lock

import numpy as np

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.measured import Measured
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Side
from firstpush.core.session.candidate import Candidate, LeftOut
from firstpush.core.session.kinds import Kind, KindName, kind_named, venue_in
from firstpush.core.setup.circumstances import Circumstances
from firstpush.core.setup.court import LaidOut, laid_out
from firstpush.core.setup.result import BandSetup, ExerciseSetup, SetupAnswer
from firstpush.core.setup.search import search_setup
from firstpush.core.setup.uncertainty import with_ranges

FIRST_SIDE: Side = "right"
OTHER_SIDE: Side = "left"
"""The side that begins: a habit, so that sheets read alike."""


@dataclass(frozen=True, kw_only=True)
class Prepared:
    """What a session can be chosen from.

    Parameters
    ----------
    setups : dict of (exercise id, side) to ExerciseSetup
        An exercise of both arms together stands under `FIRST_SIDE`.
    candidates : tuple of Candidate
    left_out : tuple of LeftOut
        With one sentence each.
    courses : dict of exercise id to LaidOut
        Of court drills: how they are laid on the floor.
    """

    setups: dict[tuple[str, Side], ExerciseSetup]
    candidates: tuple[Candidate, ...]
    left_out: tuple[LeftOut, ...]
    courses: Mapping[str, LaidOut] = field(default_factory=dict)


FIRST_SET_AT_MOST = Measured(
    name="load of a first set over the start load wanted, at most, in a session that is proposed",
    value=1.3,
    unit="1",
    spread=0.0,
    source="a first set is there to ask how hard it is; what is heavier is asked for by hand",
    known="our choice",
)
JUNIOR_SETS = 2
"""A junior does no third set (our choice)."""


def prepare(
    case: Circumstances,
    exercises: Iterable[Exercise],
    *,
    kind: KindName = "before training",
    keep: Collection[str] = (),
    done_before: Collection[str] = (),
) -> Prepared:
    """Set every exercise up for one athlete, on each side that can do it; ranges come when the session is chosen.

    Parameters
    ----------
    case : Circumstances
    exercises : iterable of Exercise
    kind : str, optional
        Kind of session: it chooses doses, makes loads lighter, and leaves out what has no place in it.
    keep : collection of str, optional
        Ids of exercises asked for by hand: a harder step, or a first set that is too heavy, is then offered too, with
        a caution.
    done_before : collection of str, optional
        Ids of exercises that the athlete has done: what is a step of them may come now.

    Returns
    -------
    Prepared
    """
    exercises = tuple(exercises)
    of_kind = kind_for(case, kind)
    case = case_of_kind(case, kind)
    family = families(exercises)
    setups: dict[tuple[str, Side], ExerciseSetup] = {}
    candidates, left_out = [], []
    first_times: set[str] = set()
    last: BandSetup | None = None
    for exercise in exercises:
        out_of_place = of_kind.why_not(exercise)
        if out_of_place is not None:
            left_out.append(LeftOut(exercise=exercise, reason=out_of_place))
            continue
        done, answers = _both_sides(exercise, case, last)
        if exercise.id not in keep:
            done, answers = _light_enough(done, answers)
        if not done:
            left_out.append(LeftOut(exercise=exercise, reason=_why_not(answers=answers)))
            continue
        new = not _has_done(exercise, done_before)
        first_time = new and any(map(_is_first_time, done.values()))
        harder = exercise.advanced and (case.junior or new)
        if harder and exercise.id not in keep:
            left_out.append(LeftOut(exercise=exercise, reason="a harder step: its easier exercise comes first"))
            continue
        setups.update({(exercise.id, side): setup for side, setup in done.items()})
        about = (*_about_the_other_side(done, answers), *((_HARDER_STEP,) if harder else ()))
        candidate = replace(candidate_of(done, about), family=family.get(exercise.id))
        candidates.append(replace(candidate, exercise=of_kind.with_doses_of(candidate.exercise)))
        if first_time and exercise.id not in keep:
            first_times.add(exercise.id)
        last = next(iter(done.values())).band or last
    steps = _later_steps(candidates, first_times)
    left_out += [LeftOut(exercise=each.exercise, reason=steps[each.id]) for each in candidates if each.id in steps]
    possible = tuple(each for each in candidates if each.id not in steps)
    return Prepared(setups=setups, candidates=possible, left_out=tuple(left_out), courses=_courses(candidates, case))


def _courses(candidates: Iterable[Candidate], case: Circumstances) -> dict[str, LaidOut]:
    """Return the drills as the search laid them, by their exercise."""
    found = {}
    for each in candidates:
        laid = laid_out(each.exercise, athlete=case.athlete, chair=case.chair, venue=case.venue, speed=case.court_speed)
        if laid is not None:
            found[each.id] = laid
    return found


def kind_for(case: Circumstances, kind: KindName) -> Kind:
    """Return a kind of session with the sets that this athlete may do in it."""
    of_kind = kind_named(kind)
    if not case.junior:
        return of_kind
    fewest = min(of_kind.fewest_sets, JUNIOR_SETS)
    return replace(of_kind, most_sets=min(of_kind.most_sets, JUNIOR_SETS), fewest_sets=fewest)


def case_of_kind(case: Circumstances, kind: KindName) -> Circumstances:
    """Return the circumstances in which exercises are set up for a kind of session: its places and its load."""
    of_kind = kind_named(kind)
    venue = venue_in(of_kind, case.venue, case.kit)
    return replace(case, venue=venue, load_share=case.load_share * of_kind.load_share)


def _has_done(exercise: Exercise, done_before: Collection[str]) -> bool:
    return exercise.id in done_before or exercise.easier_exercise in done_before


def _later_steps(candidates: Iterable[Candidate], first_times: Collection[str]) -> dict[str, str]:
    """Return the exercises whose easier step can be done here and comes first, each with the sentence that says so."""
    offered = {each.id: each.exercise for each in candidates}
    found = {}
    for id_ in first_times:
        easier = offered[id_].easier_exercise
        if easier in offered:
            found[id_] = f"a harder step: {offered[easier].title} comes first"
    return found


_HARDER_STEP = Notice(
    id="harder-step-kept",
    level="caution",
    what="a harder step, kept by hand before its easier exercise was done",
    do="Show it without load first; go back to the easier exercise when the movement is not clean",
)


def ranged(prepared: Prepared, ids: Iterable[str], *, seed: int = 0) -> Prepared:
    """Return `prepared` with the ranges of loads and pulls for the exercises `ids`, those that are printed.

    Parameters
    ----------
    prepared : Prepared
    ids : iterable of str
        Of the exercises chosen.
    seed : int
        For the draws.
    """
    wanted = set(ids)
    setups = {
        (id_, side): with_ranges(setup, rng=np.random.default_rng(seed)) if id_ in wanted else setup
        for (id_, side), setup in prepared.setups.items()
    }
    return replace(prepared, setups=setups)


def families(exercises: Iterable[Exercise]) -> dict[str, str]:
    """Return the family of each exercise that is an easier or harder step of another: the first id of its family."""
    steps: dict[str, set[str]] = {each.id: set() for each in exercises}
    for each in exercises:
        for step in (each.easier_exercise, each.harder_exercise):
            if step in steps:
                steps[each.id].add(step)
                steps[step].add(each.id)
    found: dict[str, str] = {}
    for first in sorted(steps):
        reached, ahead = {first}, [first]
        while ahead:
            more = steps[ahead.pop()] - reached
            reached |= more
            ahead += more
        if first not in found and len(reached) > 1:
            found.update(dict.fromkeys(reached, first))
    return found


def _is_first_time(setup: ExerciseSetup) -> bool:
    return setup.target is not None and setup.target.kind == "try-out"


def _both_sides(
    exercise: Exercise, case: Circumstances, last: BandSetup | None
) -> tuple[dict[Side, ExerciseSetup], list[SetupAnswer]]:
    """Return the set-ups by side; one alone for both arms together; a one-arm variant only if a side needs it."""
    first = _answer(exercise, case, FIRST_SIDE, last)
    done: dict[Side, ExerciseSetup] = {FIRST_SIDE: first.best} if first.best else {}
    if first.best and first.best.exercise.sides == "together":
        return done, [first]
    second = _answer(exercise, case, OTHER_SIDE, first.best.band if first.best else last)
    if second.best and second.best.exercise.sides != "together":
        done[OTHER_SIDE] = second.best
    return done, [first, second]


def _light_enough(
    done: dict[Side, ExerciseSetup], answers: list[SetupAnswer]
) -> tuple[dict[Side, ExerciseSetup], list[SetupAnswer]]:
    """Return set-ups and answers without the sides on which a first set would be too heavy, each with that reason."""
    light = {side: setup for side, setup in done.items() if not _is_too_heavy(setup)}
    heavy = [setup for setup in done.values() if _is_too_heavy(setup)]
    told = [
        replace(answer, setups=(), answer=_said_too_heavy(answer.setups[0]), reasons=())
        if answer.setups and any(answer.setups[0] is setup for setup in heavy)
        else answer
        for answer in answers
    ]
    return light, told


def _is_too_heavy(setup: ExerciseSetup) -> bool:
    # An arm's own weight is lifted every day and cannot be laid lighter: it keeps its caution.
    if setup.band is None or setup.peak is None or setup.target is None or setup.target.kind != "try-out":
        return False
    return setup.peak.value > FIRST_SET_AT_MOST.value * setup.target.value


def _said_too_heavy(setup: ExerciseSetup) -> str:
    assert setup.peak is not None and setup.target is not None, "heavier than a wanted load"
    gives, wanted = setup.peak.value, setup.target.value
    digits = 0 if wanted >= 10 else 1
    return (
        f"{setup.exercise.title}, {setup.side}: too heavy for a first set: the lightest that can be laid here gives "
        f"{gives:.{digits}f} N·m, {gives / wanted:.1f} times the {wanted:.{digits}f} N·m wanted; "
        "a lighter band would do, or ask for it by hand"
    )


def _why_not(*, answers: list[SetupAnswer]) -> str:
    """Return why an exercise is not done: what both sides share once, what one side has alone with that side."""
    each = [answer.reasons or (answer.answer.partition(": ")[2],) for answer in answers]
    told = dict.fromkeys(reason for reasons in each for reason in reasons)
    if all(set(reasons) == set(told) for reasons in each):
        return "; ".join(told)
    said = []
    for reason in told:
        has = [side for side, reasons in zip((FIRST_SIDE, OTHER_SIDE), each, strict=True) if reason in reasons]
        if len(has) > 1:
            said.append(f"{reason} (both sides)")
        else:
            said.append(reason if has[0] in reason else f"{has[0]}: {reason}")
    return "; ".join(said)


_ANSWERS: OrderedDict[Hashable, SetupAnswer] = OrderedDict()
_ANSWERS_LOCK = Lock()
"""Several sessions may be made at once; two searches for the same at once give the same."""
ANSWERS_KEPT = 1024
"""Searches are kept by their content: a second session of an athlete searches only what is new."""


def _answer(exercise: Exercise, case: Circumstances, side: Side, like: BandSetup | None) -> SetupAnswer:
    """Return the best set-up of one exercise on one side, from the answers kept when all that it rests on is equal."""
    laid = None
    if like is not None:
        laid = (like.band.name, like.strands, like.slack_length, like.post, like.height, like.distance)
    agreed = case.agreed.get((exercise.id, side))
    key = (exercise, case.athlete, case.kit, case.venue, case.today, case.court_speed, side, laid, agreed)
    with _ANSWERS_LOCK:
        if key in _ANSWERS:
            _ANSWERS.move_to_end(key)
            return _ANSWERS[key]
    found = search_setup(exercise, case, side=side, best=1, like=like, ranges=False)
    with _ANSWERS_LOCK:
        _ANSWERS[key] = found
        if len(_ANSWERS) > ANSWERS_KEPT:
            _ANSWERS.popitem(last=False)
    return found


def _about_the_other_side(done: dict[Side, ExerciseSetup], answers: list[SetupAnswer]) -> tuple[Notice, ...]:
    """Say why one side is not done, when only the other can be."""
    refused = [answer for answer in answers if not answer.setups]
    if not refused or next(iter(done.values())).exercise.sides == "together":
        return ()
    missing = "left" if "right" in done else "right"
    return (
        Notice(
            id="one-side-only",
            level="note",
            what=f"not on the {missing} side: {_why_not(answers=refused)}",
            do="Leave that side out; its own easier exercise is chosen by the practitioner",
        ),
    )


def candidate_of(done: dict[Side, ExerciseSetup], more: tuple[Notice, ...]) -> Candidate:
    """Return an exercise as it can be chosen, from its set-ups by side and what is to be told beside them."""
    first = next(iter(done.values()))
    together = first.exercise.sides == "together"
    band = first.band
    fits = [_fit(setup) for setup in done.values()]
    return Candidate(
        exercise=replace(
            first.exercise,
            doses=_common_doses([setup.exercise for setup in done.values()]),
            by_hand=tuple(dose for dose in first.exercise.by_hand if _is_by_hand_on_all(dose, done)),
            cue=_common_cue(done),
        ),
        sides=("left", "right") if together else tuple(done),
        post=band.post if band else (_leaning_post(first)),
        anchor_height=band.height if band else None,
        band=band.band.name if band else None,
        slack_length=band.slack_length if band else None,
        strands=band.strands if band else 0,
        anchor_side=first.exercise.band.anchor_side if first.exercise.band else None,
        distance=band.distance if band else None,
        blocked=band is not None and band.post is not None,
        attach=first.attach.get(first.side, "hand") if band is not None else "hand",
        strap=first.strap if f"{first.strap} strap" in first.support else "none",
        preference=float(np.mean(fits)),
        notices=tuple(dict.fromkeys((*more, *(notice for setup in done.values() for notice in setup.notices)))),
    )


def relaid(
    candidate: Candidate,
    *,
    found: Mapping[Side, ExerciseSetup],
    done: Mapping[Side, ExerciseSetup],
    said: Sequence[Notice] = (),
) -> Candidate:
    """Return `candidate` with the set-ups `done` in place of those `found`, on the same sides and in the same doses.

    Parameters
    ----------
    candidate : Candidate
    found, done : mapping of side to ExerciseSetup
        Of every side that it has a set-up for.
    said : sequence of Notice
        What is to be told beside what the set-ups tell.
    """
    # What was said of the exercise beside its set-ups stays: one side only, a harder step.
    of_setups = {notice for setup in found.values() for notice in setup.notices}
    about = (*said, *(notice for notice in candidate.notices if notice not in of_setups))
    new = candidate_of(dict(done), about)
    exercise = replace(new.exercise, doses=candidate.exercise.doses, by_hand=candidate.exercise.by_hand)
    return replace(new, exercise=exercise, family=candidate.family, sides=candidate.sides)


def _common_cue(done: Mapping[Side, ExerciseSetup]) -> str:
    """Return the cue: one where the sides agree, else each side's, for a caution may be true of one arm alone."""
    cues = {side: setup.exercise.cue for side, setup in done.items()}
    if len(set(cues.values())) == 1:
        return next(iter(cues.values()))
    return " ".join(f"{side.capitalize()}: {cue}" for side, cue in cues.items())


def _common_doses(of_sides: Sequence[Exercise]) -> tuple[DoseOption, ...]:
    """Return the doses that every side may have: a caution true of one arm holds both to them."""
    names = [{dose.name for dose in (*each.doses, *each.by_hand)} for each in of_sides]
    held_to = min(of_sides, key=lambda each: (not any(dose.only_with_care for dose in each.doses), len(each.doses)))
    return tuple(dose for dose in held_to.doses if all(dose.name in each for each in names))


def _is_by_hand_on_all(dose: DoseOption, done: Mapping[Side, ExerciseSetup]) -> bool:
    return all(dose.name in {each.name for each in setup.exercise.by_hand} for setup in done.values())


def _leaning_post(setup: ExerciseSetup) -> str | None:
    return "any upright post or door frame" if setup.exercise.leans_on_post else None


def _fit(setup: ExerciseSetup) -> float:
    """Return how near the load is to the wish, 1 at the wish and smaller with every doubling away from it."""
    if setup.peak is None or setup.target is None:
        return 1.0
    return float(np.exp(-abs(np.log(max(setup.peak.value, 1e-6) / setup.target.value))))
