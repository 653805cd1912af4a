"""Candidates for training weeks, and every week that can be made of them, one by one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import permutations, product
from typing import Any

from hypothesis import strategies as st

from firstpush.core.exercises.definition import AIMS, Exercise
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.programme.worth import FULL_SETS, MUSCLES, WeekRules
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timeline import timeline
from firstpush.core.session.wishes import balanced_sides, is_anterior, is_posterior, place_in_order

BOTH: tuple[Side, Side] = ("left", "right")
SOME = (
    "seated_row",
    "external_rotation_90",
    "anti_rotation_press",
    "elbow_extension",
    "chest_stretch_post",
    "ball_circles",
    "graded_push_lengths",
)
"""Exercises of every part, with and without a band, for both arms together and one after the other."""


def ready(name: str | Exercise, **other: Any) -> Candidate:
    """One exercise at the wall bars, blocked where it has a band."""
    exercise = exercise_named(name) if isinstance(name, str) else name
    setup: dict[str, Any] = {"sides": BOTH}
    if exercise.needs.post:
        setup |= {"post": "wall bars", "distance": 0.6}
    if exercise.band is not None:
        setup |= {
            "band": "flat band",
            "slack_length": 0.6,
            "strands": 1,
            "anchor_height": 0.9,
            "anchor_side": exercise.band.anchor_side,
            "blocked": True,
        }
    return Candidate(exercise=exercise, **setup | other)


@st.composite
def catalogues(draw: st.DrawFn, *, smallest: int = 1, largest: int = 3, doses: int = 2) -> list[Candidate]:
    """Library exercises with other aims, fewer doses, families, and set-ups that share some things and not others."""
    made = []
    for number in range(draw(st.integers(smallest, largest))):
        base = exercise_named(draw(st.sampled_from(SOME)))
        taken = draw(
            st.lists(st.sampled_from(base.doses), min_size=1, max_size=doses, unique_by=lambda dose: dose.name)
        )
        aims = draw(st.sets(st.sampled_from(AIMS), min_size=1, max_size=2))
        exercise = replace(
            base,
            id=f"{base.id}_{number}",
            title=f"{base.title} {number}",
            doses=tuple(taken),
            aims=tuple(aim for aim in AIMS if aim in aims),
        )
        other: dict[str, Any] = {
            "preference": draw(st.sampled_from([0.0, 0.5, 1.0])),
            "family": draw(st.sampled_from([None, None, "a family"])),
        }
        if exercise.sides == "each":
            other["sides"] = draw(st.sampled_from([BOTH, BOTH[::-1], ("left",), ("right",)]))
        if exercise.needs.post:
            other["post"] = draw(st.sampled_from(["wall bars", "basket upright"]))
        if exercise.band is not None:
            other["blocked"] = draw(st.booleans())
            other["anchor_height"] = draw(st.sampled_from([0.75, 0.9]))
            other["attach"] = draw(st.sampled_from(["hand", "wrist_cuff"]))
        made.append(ready(exercise, **other))
    return made


def shortest_order(chosen: Sequence[Chosen]) -> tuple[Chosen, ...]:
    """Return the order that takes least time among all in which the parts follow each other."""
    orders = [
        order
        for order in permutations(chosen)
        if (places := [place_in_order(each.candidate.exercise) for each in order]) == sorted(places)
    ]
    return min(orders, key=lambda order: timeline(order).total_s)


def every_day(rules: WeekRules) -> Iterator[tuple[Chosen, ...]]:
    """Every choice of exercises and doses for one day that fits the time and has one exercise of a family."""
    for doses in product(*[(None, *each.exercise.doses) for each in rules.offered]):
        chosen = [
            Chosen(candidate=each, dose=dose)
            for each, dose in zip(rules.offered, doses, strict=True)
            if dose is not None
        ]
        families = [each.candidate.family for each in chosen if each.candidate.family is not None]
        if not chosen or len(set(families)) != len(families):
            continue
        order = shortest_order(chosen)
        if timeline(order).total_s <= rules.limit_s:
            yield order


def keeps_the_week(days: Sequence[Sequence[Chosen]], rules: WeekRules) -> bool:
    """Whether a week keeps balance and rest, counted set by set and shoulder by shoulder."""
    for side in balanced_sides(rules.offered):
        mine = [each for day in days for each in day if side in each.candidate.sides]
        back = sum(each.dose.sets for each in mine if is_posterior(each.candidate.exercise))
        front = sum(each.dose.sets for each in mine if is_anterior(each.candidate.exercise))
        if back < rules.back_to_front * front:
            return False
    for one, two in rules.in_a_row:
        for side in SIDES:
            if full_muscles(days[one], side) & full_muscles(days[two], side):
                return False
    return True


def full_muscles(day: Sequence[Chosen], side: Side) -> set[str]:
    """Muscle groups of one shoulder that a day loads with a dose that is not light."""
    return {
        MUSCLES[aim]
        for each in day
        if side in each.candidate.sides
        and each.candidate.exercise.part == "strength"
        and each.dose.sets >= FULL_SETS.value
        for aim in each.candidate.exercise.aims
        if aim in MUSCLES
    }


def every_week(rules: WeekRules) -> Iterator[tuple[tuple[Chosen, ...], ...]]:
    """Every week of such days that keeps balance and rest."""
    known = list(every_day(rules))
    for days in product(known, repeat=rules.days):
        if keeps_the_week(days, rules):
            yield days


def mirrored(candidate: Candidate) -> Candidate:
    """Return the exercise for the athlete seen in a mirror."""
    other: dict[Side, Side] = {"left": "right", "right": "left"}
    return replace(candidate, sides=tuple(other[side] for side in candidate.sides))
