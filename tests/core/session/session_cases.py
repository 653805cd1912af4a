"""Candidates built from the library's exercises, and every session that can be made of them, one by one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import permutations, product
from typing import Any

from hypothesis import strategies as st

from firstpush.core.exercises.definition import AIMS, Exercise
from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.people.athlete import Side
from firstpush.core.session import Candidate, Chosen, timeline
from firstpush.core.session.asked import Asked
from firstpush.core.session.kinds import kind_named
from firstpush.core.session.wishes import Measure, Served, place_in_order, served_by

BOTH: tuple[Side, Side] = ("left", "right")


def ready(name: str | Exercise, **other: Any) -> Candidate:
    """One exercise at the wall bars, facing as it asks, blocked where it has a band."""
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


def whole_library() -> list[Candidate]:
    """Every exercise of the library that shipped first, one set-up each, each height its own."""
    heights = {"seated_row": 0.75, "external_rotation_90": 1.05, "anti_rotation_press": 0.9}
    rest = ("chest_stretch_post", "ball_circles", "graded_push_lengths")
    return [ready(name, anchor_height=height) for name, height in heights.items()] + [ready(name) for name in rest]


def only_dose(candidate: Candidate, number: int = 0) -> Chosen:
    """Take the candidate in the dose with this number."""
    return Chosen(candidate=candidate, dose=candidate.exercise.doses[number])


@st.composite
def catalogues(draw: st.DrawFn, *, smallest: int = 1, largest: int = 4) -> list[Candidate]:
    """Library exercises with other aims, fewer doses, and set-ups that share some things and not others."""
    made = []
    for number in range(draw(st.integers(smallest, largest))):
        base = draw(st.sampled_from(list(library().values())))
        doses = draw(st.lists(st.sampled_from(base.doses), min_size=1, max_size=2, unique_by=lambda dose: dose.name))
        aims = draw(st.sets(st.sampled_from(AIMS), min_size=1, max_size=2))
        exercise = replace(
            base,
            id=f"{base.id}_{number}",
            title=f"{base.title} {number}",
            doses=tuple(doses),
            aims=tuple(aim for aim in AIMS if aim in aims),
            after_any=(made[0].id,) if made and draw(st.integers(0, 4)) == 0 else (),
        )
        other: dict[str, Any] = {"preference": draw(st.sampled_from([0.0, 0.5, 0.9, 1.0]))}
        if exercise.sides == "each":
            other["sides"] = draw(st.sampled_from([BOTH, BOTH[::-1], ("left",), ("right",)]))
        if exercise.needs.post:
            other["post"] = draw(st.sampled_from(["wall bars", "basket upright"]))
            other["distance"] = draw(st.sampled_from([0.6, 0.8]))
        if exercise.band is not None:
            other["blocked"] = draw(st.booleans())
            other["anchor_height"] = draw(st.sampled_from([0.75, 0.9]))
            other["band"] = draw(st.sampled_from(["flat band", "tube"]))
            other["slack_length"] = draw(st.sampled_from([0.5, 0.6]))
        made.append(ready(exercise, **other))
    return made


def measured(candidates: Sequence[Candidate], *, asked: Asked | None = None, kind: str = "before training") -> Measure:
    """Return what the sessions of these candidates are measured against."""
    return Measure(offered=tuple(candidates), asked=asked or Asked(), kind=kind_named(kind))


def every_session(candidates: Sequence[Candidate], *, limit_s: int) -> Iterator[tuple[Chosen, ...]]:
    """Every choice of exercises and doses in every allowed order that takes no longer than `limit_s`."""
    for doses in product(*[(None, *each.exercise.doses) for each in candidates]):
        chosen = [
            Chosen(candidate=each, dose=dose) for each, dose in zip(candidates, doses, strict=True) if dose is not None
        ]
        for order in permutations(chosen):
            places = [place_in_order(each.candidate.exercise) for each in order]
            ids = {each.candidate.id for each in order}
            begun = all(
                not each.candidate.exercise.after_any or ids & set(each.candidate.exercise.after_any) for each in order
            )
            if order and begun and places == sorted(places) and timeline(order).total_s <= limit_s:
                yield order


def allowed(order: Sequence[Chosen], asked: Asked, candidates: Sequence[Candidate]) -> bool:
    """Whether a session does what is asked by hand, counted item by item."""
    inside = {each.candidate.id: each for each in order}
    families = [each.candidate.family for each in order if each.candidate.family]
    trained = {(aim, side) for each in order for aim in each.candidate.exercise.aims for side in each.candidate.sides}
    can_be = {(aim, side) for each in candidates for aim in each.exercise.aims for side in each.sides}
    return (
        len(set(families)) == len(families)
        and set(asked.wanted) <= set(inside)
        and not set(asked.without) & set(inside)
        and all(inside[id_].dose.name == name for id_, name in asked.doses)
        and all({pair for pair in can_be if pair[0] == aim} <= trained for aim in asked.aims)
        and all(any(pair[0] == aim for pair in can_be) for aim in asked.aims)
    )


def best_by_hand(
    candidates: Sequence[Candidate], *, limit_s: int, asked: Asked | None = None, kind: str = "before training"
) -> Served | None:
    """How well the best of every session serves the wishes."""
    asked = asked or Asked()
    measure = measured(candidates, asked=asked, kind=kind)
    found = [
        served_by(order, measure=measure)
        for order in every_session(candidates, limit_s=limit_s)
        if allowed(order, asked, candidates)
    ]
    return max(found, key=lambda served: served.rank, default=None)
