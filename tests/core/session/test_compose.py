"""Composing against every session that exists, on catalogues small enough to try them all."""

import re
import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from session_cases import best_by_hand, catalogues, every_session, measured, only_dose, ready, whole_library

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.session import Candidate, Chosen, LeftOut, Session, compose, timeline
from firstpush.core.session.wishes import (
    WISHES,
    Served,
    first_worse,
    is_anterior,
    is_posterior,
    place_in_order,
    served_by,
)

MINUTES = st.sampled_from([2, 4, 5, 6, 7.5, 9, 11, 14])
WORDS = {
    "parts": " part",
    "balance": "too few at the back",
    "aims": ("no ", "too few sets of "),
    "even sides": "more sets on one side",
    "fit": ("near the wanted load", "loads a little farther off", "set fewer", "sets fewer"),
    "work": "less work",
    "setting up": "longer setting up",
}
"""How a reason says it of the exchange."""


def done(session: Session) -> list[Chosen]:
    """Return what the session does, in its order."""
    return [Chosen(candidate=item.candidate, dose=item.dose) for item in session.items]


def ids(session: Session) -> list[str]:
    """Return the exercises of the session, in their order."""
    return [item.candidate.id for item in session.items]


@settings(max_examples=60, deadline=None)
@given(candidates=catalogues(), minutes=MINUTES)
def test_no_session_serves_the_wishes_better(candidates: list[Candidate], minutes: float) -> None:
    """The session equals the best of all that exist, wish by wish, and says so."""
    session = compose(candidates, minutes=minutes)
    best = best_by_hand(candidates, limit_s=int(minutes * 60))
    if best is None:
        assert session.items == ()
        return
    assert served_by(done(session), measure=measured(candidates)).rank == best.rank
    assert session.status == "proven best"
    assert session.bound is None
    assert tuple(level.reached for level in session.levels) == best.rank
    assert tuple(level.wish for level in session.levels) == WISHES


def best_exchange(
    candidates: list[Candidate], session: Session, *, limit_s: int, out: Candidate | None, into: list[Candidate]
) -> Served | None:
    """How well the best session serves in which one of `into` comes in for `out`, and the rest stays as it is."""
    rest = [each for each in done(session) if each.candidate is not out]
    fixed = [replace(c.candidate, exercise=replace(c.candidate.exercise, doses=(c.dose,))) for c in rest]
    best: Served | None = None
    for new in into:
        for order in every_session([*fixed, new], limit_s=limit_s):
            if len(order) == len(fixed) + 1:
                served = served_by(order, measure=measured(candidates))
                best = served if best is None or served.rank > best.rank else best
    return best


def says(reason: str, wish: str) -> bool:
    """Whether a reason uses the words of a wish."""
    words = WORDS[wish]
    return any(each in reason for each in ([words] if isinstance(words, str) else words))


@settings(max_examples=40, deadline=None)
@given(candidates=catalogues(smallest=2), minutes=MINUTES)
def test_the_reason_of_an_exercise_names_what_the_next_best_in_its_place_loses(
    candidates: list[Candidate], minutes: float
) -> None:
    """Every exercise is put in its place in every dose and order; the best of them loses at the wish that is named."""
    limit = int(minutes * 60)
    session = compose(candidates, minutes=minutes)
    served = served_by(done(session), measure=measured(candidates))
    inside = set(ids(session))
    for item in session.items:
        rest = [each for each in candidates if each.id not in inside]
        alike = [each for each in rest if each.exercise.part == item.candidate.exercise.part]
        # Like is compared with like, where that is possible.
        other = best_exchange(candidates, session, limit_s=limit, out=item.candidate, into=alike)
        if other is None:
            other = best_exchange(candidates, session, limit_s=limit, out=item.candidate, into=rest)
        if other is None:
            assert item.reason.endswith("; no other exercise fits in its place")
            continue
        worse = first_worse(best=served, other=other)
        if worse is None:
            assert item.reason.endswith("would be as good")
        else:
            assert "; next best: " in item.reason
            assert says(item.reason.partition("; next best: ")[2], worse)


@settings(max_examples=40, deadline=None)
@given(candidates=catalogues(smallest=2), minutes=MINUTES)
def test_what_is_left_out_would_need_the_time_that_is_said(candidates: list[Candidate], minutes: float) -> None:
    """The time missing is the shortest session of all these exercises by trial, less the time there is."""
    limit = int(minutes * 60)
    session = compose(candidates, minutes=minutes)
    served = served_by(done(session), measure=measured(candidates))
    named = {each.id: each for each in candidates}
    assert {each.exercise.id for each in session.left_out} == set(named) - set(ids(session))
    for left in session.left_out:
        candidate = named[left.exercise.id]
        alone = min(timeline([only_dose(candidate, n)]).total_s for n in range(len(candidate.exercise.doses)))
        if alone > limit:
            assert left.reason == f"alone it takes {alone // 60}:{alone % 60:02d}, and there are {limit // 60}:" + (
                f"{limit % 60:02d}"
            )
            continue
        fixed = [replace(c.candidate, exercise=replace(c.candidate.exercise, doses=(c.dose,))) for c in done(session)]
        orders = every_session([*fixed, candidate], limit_s=100_000)
        openers = set(candidate.exercise.after_any)
        begun = not openers or bool(openers & set(ids(session)))
        lengths = [timeline(order).total_s for order in orders if len(order) == len(fixed) + 1]
        missing = min(lengths, default=0) - limit
        assert begun or left.reason.startswith("it comes only after ")
        if begun and len(session.items) >= max(4, -(-limit // 120)):
            assert left.reason.startswith("the session already has ")
        elif missing > 0 and begun:
            assert left.reason.startswith(f"needs {missing // 60}:{missing % 60:02d} more")
        elif begun:
            assert left.reason.startswith("it would fit into the time; ")
        part = candidate.exercise.part
        alike = [item.candidate for item in session.items if item.candidate.exercise.part == part]
        tried = [best_exchange(candidates, session, limit_s=limit, out=out, into=[candidate]) for out in alike]
        if not any(tried):
            tried = [
                best_exchange(candidates, session, limit_s=limit, out=out, into=[candidate])
                for out in (None, *(item.candidate for item in session.items))
            ]
        other = max((each for each in tried if each is not None), key=lambda each: each.rank, default=None)
        if other is None:
            assert left.reason.endswith("no one exercise makes room enough for it")
            continue
        worse = first_worse(best=served, other=other)
        assert (
            left.reason.endswith("would be as good") if worse is None else says(left.reason.rpartition(": ")[2], worse)
        )


def mirrored(candidate: Candidate) -> Candidate:
    """Return the exercise for the athlete seen in a mirror; the post stays at the working side."""
    other: dict[Side, Side] = {"left": "right", "right": "left"}
    return replace(candidate, sides=tuple(other[side] for side in candidate.sides))


def mirrored_text(text: str) -> str:
    """Put left for right and right for left."""
    return re.sub(r"\b(left|right)\b", lambda found: {"left": "right", "right": "left"}[found[0]], text)


@settings(max_examples=30, deadline=None)
@given(candidates=catalogues(), minutes=MINUTES)
def test_a_mirrored_athlete_gets_the_mirrored_session(candidates: list[Candidate], minutes: float) -> None:
    """Left for right in the candidates is left for right in every step and reason, and nothing else."""
    one = compose(candidates, minutes=minutes)
    two = compose([mirrored(each) for each in candidates], minutes=minutes)
    assert [mirrored(item.candidate) for item in one.items] == [item.candidate for item in two.items]
    assert [item.dose for item in one.items] == [item.dose for item in two.items]
    assert one.levels == two.levels
    assert [(step.kind, step.start_s, step.end_s, mirrored_text(step.words)) for step in one.timeline.steps] == [
        (step.kind, step.start_s, step.end_s, step.words) for step in two.timeline.steps
    ]
    for first, second in zip(one.items, two.items, strict=True):
        # Both shoulders in one sentence stand in the order of the alphabet, so only the words are the same.
        assert sorted(mirrored_text(first.reason).split()) == sorted(second.reason.split())


@settings(max_examples=20, deadline=None)
@given(candidates=catalogues(smallest=2), minutes=MINUTES, data=st.data())
def test_the_order_of_the_candidates_changes_nothing(
    candidates: list[Candidate], minutes: float, data: st.DataObject
) -> None:
    """The same twice, and the same from a shuffled list."""
    session = compose(candidates, minutes=minutes)
    assert compose(candidates, minutes=minutes) == session
    assert compose(data.draw(st.permutations(candidates)), minutes=minutes) == session


@settings(max_examples=30, deadline=None)
@given(candidates=catalogues(), minutes=MINUTES, more=st.sampled_from([0.5, 1, 3, 10]))
def test_more_minutes_never_make_a_wish_worse(candidates: list[Candidate], minutes: float, more: float) -> None:
    """With more minutes no wish is served worse, unless one before it is served better."""
    few, many = compose(candidates, minutes=minutes), compose(candidates, minutes=minutes + more)
    assume(few.items)
    assert (
        served_by(done(many), measure=measured(candidates)).rank
        >= served_by(done(few), measure=measured(candidates)).rank
    )


@settings(max_examples=30, deadline=None)
@given(candidates=catalogues(), minutes=MINUTES)
def test_the_session_keeps_to_the_minutes_and_to_the_order_of_the_parts(
    candidates: list[Candidate], minutes: float
) -> None:
    """No session is longer than asked; parts come in order, and pressing comes last in the strength part."""
    session = compose(candidates, minutes=minutes)
    assert session.total_s <= minutes * 60
    assert session.unused_s == int(minutes * 60) - session.total_s
    assert session.timeline == timeline(done(session))
    places = [place_in_order(item.candidate.exercise) for item in session.items]
    assert places == sorted(places)
    for item in session.items:
        steps = session.steps_of(item)
        first_set = next(step for step in steps if step.kind == "set")
        assert item.setting_up_s == first_set.start_s - steps[0].start_s


def test_the_library_fills_eighteen_minutes() -> None:
    """All six exercises fit into 18 minutes, each part is there, and no longer set would fit."""
    session = compose(whole_library(), minutes=18)
    assert len(session.items) == 6
    assert session.left_out == ()
    assert session.notices == ()
    for number, chosen in enumerate(done(session)):
        for dose in chosen.candidate.exercise.doses:
            longer = done(session)
            longer[number] = Chosen(candidate=chosen.candidate, dose=dose)
            if (
                served_by(longer, measure=measured(whole_library())).rank
                > served_by(done(session), measure=measured(whole_library())).rank
            ):
                assert timeline(longer).total_s > 18 * 60


def test_pulling_has_twice_the_sets_of_pressing_on_each_side() -> None:
    """Row and rotation get two sets for each set of the press, left and right, in every number of minutes."""
    seen_together = False
    for minutes in range(5, 25, 2):
        session = compose(whole_library(), minutes=minutes)
        for side in SIDES:
            sets = {True: 0, False: 0}
            for item in session.items:
                if side in item.sides and (
                    is_posterior(item.candidate.exercise) or is_anterior(item.candidate.exercise)
                ):
                    sets[is_posterior(item.candidate.exercise)] += item.dose.sets
            assert sets[True] >= 2 * sets[False]
            seen_together = seen_together or sets[False] > 0
    assert seen_together


def test_pressing_with_nothing_against_it_is_told() -> None:
    """Where only the press can be done it stays, with a caution for each shoulder."""
    session = compose([ready("anti_rotation_press")], minutes=10)
    assert ids(session) == ["anti_rotation_press"]
    cautions = [each for each in session.notices if each.id == "front-outweighs-back"]
    assert [each.about for each in cautions] == ["left", "right"]
    assert all(each.level == "caution" for each in cautions)


def test_one_side_only_is_done_on_that_side_only() -> None:
    """The right arm cannot turn out: the left does, and the right has no step of it."""
    session = compose([ready("external_rotation_90", sides=("left",)), ready("seated_row")], minutes=12)
    assert set(ids(session)) == {"seated_row", "external_rotation_90"}
    steps = session.timeline.steps_of("external_rotation_90")
    assert {step.side for step in steps if step.kind == "set"} == {"left"}
    reasons = {item.candidate.id: item.reason for item in session.items}
    assert "external rotation on the left" in reasons["external_rotation_90"]


def test_too_few_minutes_say_how_many_would_do() -> None:
    """The row in its shortest dose, blocked and freed, takes 60 + 40 + 20 + 10 · 5 + 15 s = 3:05."""
    row = ready("seated_row")
    session = compose([row], minutes=3)
    assert session.items == ()
    assert session.timeline.steps == ()
    (notice,) = session.notices
    assert (notice.id, notice.level) == ("session-too-short", "stop")
    assert "takes 3:05, and there are 3:00" in notice.what
    assert notice.do == "Give 4 minutes or more"
    assert [each.reason for each in session.left_out] == ["alone it takes 3:05, and there are 3:00"]
    assert compose([row], minutes=185 / 60).total_s == 185


def test_no_candidates_say_what_is_in_the_way() -> None:
    """With nothing to choose from, the first exercise left out and its reason are named."""
    row = LeftOut(exercise=ready("seated_row").exercise, reason="there is no post")
    session = compose([], minutes=15, left_out=[row])
    assert session.items == ()
    assert session.left_out == (row,)
    (notice,) = session.notices
    assert (notice.id, notice.level) == ("no-exercise-possible", "stop")
    assert "Seated row: there is no post" in notice.do


def test_an_exercise_with_a_stop_is_never_chosen() -> None:
    """The same row is chosen with a caution and left out with a stop, whose words are the reason."""
    row, circles = ready("seated_row"), ready("ball_circles")
    caution = Notice(id="trunk", level="caution", what="the trunk holds barely", do="Strap the chest")
    stop = replace(caution, level="stop", what="the trunk does not hold")
    assert "seated_row" in ids(compose([replace(row, notices=(caution,)), circles], minutes=15))
    session = compose([replace(row, notices=(caution, stop)), circles], minutes=15)
    assert ids(session) == ["ball_circles"]
    assert [each.reason for each in session.left_out] == ["the trunk does not hold: Strap the chest"]


def test_a_part_with_nothing_to_do_is_told() -> None:
    """Without a post there is no strength part, and the session says so; without time, it says that."""
    nothing = compose([ready("ball_circles")], minutes=10)
    missing_parts = [each for each in nothing.notices if each.id == "part-missing"]
    assert {each.about for each in missing_parts} == {"mobility", "strength", "court"}
    assert all("nothing can be done here" in each.what for each in missing_parts)
    short = compose([ready("ball_circles"), ready("graded_push_lengths")], minutes=3.6)
    done = {each.candidate.exercise.part for each in short.items}
    (missing,) = {"control", "court"} - done
    assert f"there is no time for the {missing} part" in [each.what for each in short.notices]


def test_equals_are_chosen_by_the_seed() -> None:
    """Of two exercises that differ in name only, some seeds take one and some the other, each always the same."""
    row = ready("seated_row")
    pair = [replace(row, exercise=replace(row.exercise, id=name)) for name in ("row_a", "row_b")]
    taken = {seed: ids(compose(pair, minutes=185 / 60, seed=seed))[0] for seed in range(12)}
    assert set(taken.values()) == {"row_a", "row_b"}
    assert taken == {seed: ids(compose(pair[::-1], minutes=185 / 60, seed=seed))[0] for seed in range(12)}


@pytest.mark.parametrize("minutes", [0, -3, 181, float("nan")])
def test_minutes_out_of_range_are_refused(minutes: float) -> None:
    """Three hours are a session; nothing, less and more are none."""
    assert compose(whole_library(), minutes=180).items
    with pytest.raises(OutOfRangeError, match="allowed is above 0 and at most 180 minutes"):
        compose(whole_library(), minutes=minutes)


def test_an_exercise_offered_twice_is_refused() -> None:
    """Two set-ups of one exercise would be done one after the other; the better one is the caller's choice."""
    assert compose([ready("seated_row")], minutes=15).items
    with pytest.raises(OutOfRangeError, match="seated_row is offered more than once"):
        compose([ready("seated_row"), ready("seated_row")], minutes=15)


def test_an_unknown_kind_of_session_is_refused() -> None:
    """The message names the kinds there are."""
    with pytest.raises(UnknownNameError, match="before training"):
        compose(whole_library(), minutes=15, kind="before trainin")  # type: ignore[arg-type]


def test_ortools_is_not_loaded_before_it_is_needed() -> None:
    """Importing the folder stays light, so that the command line answers at once."""
    code = "import sys, firstpush.core.session; assert not [m for m in sys.modules if m.startswith('ortools')]"
    subprocess.run([sys.executable, "-c", code], check=True)
