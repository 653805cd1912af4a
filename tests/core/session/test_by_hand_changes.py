"""A session changed by hand: order, sides and set-ups; what is told beforehand is what comes of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session_cases import catalogues, only_dose

from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.session import Asked, Candidate, Chosen, compose, timeline
from firstpush.core.session.by_hand import (
    ByHand,
    arranged,
    case_of_kind,
    chosen_of,
    plan_by_hand,
    reordered,
)
from firstpush.core.session.consequences import Options
from firstpush.core.session.plan import STAGES, Planned, plan_session
from firstpush.core.session.remedies import remedies
from firstpush.core.session.wishes import place_in_order
from firstpush.core.setup.by_hand import LaidByHand, SetupByHand, laid_as
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.demo import demo_file

MINUTES = 15.0


@cache
def case() -> Circumstances:
    """Return the demo athlete on a day in the demo hall."""
    athlete, kit, venue = (demo_file(name) for name in ("athlete", "kit", "venue"))
    return circumstances(load_athlete(athlete), load_kit(kit), load_venue(venue), on=date(2026, 3, 2))


@cache
def planned() -> Planned:
    """Return a session with nothing set by hand."""
    return plan_by_hand(case(), library().values(), minutes=MINUTES)


def changed(by_hand: ByHand | None = None, **asked: object) -> Planned:
    """Return the session made again with something by hand and the rest as it was."""
    earlier = tuple((each.candidate.id, each.dose.name) for each in chosen_of(planned().session))
    return plan_by_hand(
        case(),
        library().values(),
        minutes=MINUTES,
        asked=Asked(earlier=earlier, **asked),  # type: ignore[arg-type]
        by_hand=by_hand,
    )


def ids(found: Planned) -> list[str]:
    """Return the exercises of a session in their order."""
    return [item.candidate.id for item in found.session.items]


def test_with_nothing_by_hand_it_is_the_session_of_the_other_way() -> None:
    """`plan_session`, which knows nothing of all this, makes the same; every stage is told in its order."""
    told: list[str] = []
    mine = plan_by_hand(case(), library().values(), minutes=MINUTES, told=told.append)
    assert mine.session == plan_session(case(), library().values(), minutes=MINUTES).session
    assert tuple(told) == STAGES


@settings(max_examples=80, deadline=None)
@given(candidates=catalogues(smallest=2, largest=5), data=st.data())
def test_an_order_by_hand_is_kept_inside_the_parts(candidates: list[Candidate], data: st.DataObject) -> None:
    """Places keep their order, what is named keeps its own, and what is not stands where no other place is shorter."""
    items = sorted(map(only_dose, candidates), key=lambda each: place_in_order(each.candidate.exercise))
    every = [each.candidate.id for each in items]
    order = data.draw(st.permutations(every).map(lambda found: found[: data.draw(st.integers(0, len(every)))]))
    new = arranged(items, [*order, "not there"])
    assert sorted(each.candidate.id for each in new) == sorted(every)
    places = [place_in_order(each.candidate.exercise) for each in new]
    assert places == sorted(places)
    for place in set(places):
        group = [each.candidate.id for each in new if place_in_order(each.candidate.exercise) == place]
        named = [id_ for id_ in group if id_ in order]
        assert named == [id_ for id_ in order if id_ in group]
        if not named:
            assert group == [each.candidate.id for each in items if each.candidate.id in group], "nothing moves"
    if len(order) == len(every) - 1 and order:
        # One is left: all places for it are tried here too.
        (free,) = set(every) - set(order)
        allowed = [
            timeline(other).total_s
            for other in permutations(new)
            if [e.candidate.id for e in other if e.candidate.id != free]
            == [e.candidate.id for e in new if e.candidate.id != free]
            and [place_in_order(e.candidate.exercise) for e in other] == places
        ]
        mine = next(each for each in new if each.candidate.id == free)
        alone = [p for p in places if p == place_in_order(mine.candidate.exercise)]
        if len(alone) > 1:
            assert timeline(new).total_s == min(allowed)


def test_an_order_that_takes_too_long_is_let_go_and_told() -> None:
    """With two posts far apart, going back and forth does not fit: the shortest order stays, with a note."""
    base = library()
    rows = [replace(base[name], after_any=(), opens_part=False) for name in ("seated_row", "high_row", "low_row")]
    known = [
        Candidate(
            exercise=exercise,
            sides=("left", "right"),
            post=post,
            anchor_height=0.9,
            band="flat",
            slack_length=0.6,
            strands=1,
            anchor_side="front",
            distance=0.6,
            blocked=True,
        )
        for exercise, post in zip(rows, ("bars", "upright", "bars"), strict=True)
    ]
    whole = compose(known, minutes=60, asked=Asked(keep=tuple(each.id for each in known)))
    shortest = whole.total_s
    from firstpush.core.session.by_hand import _in_hand_order

    back_and_forth = ("seated_row", "high_row", "low_row")
    assert timeline(arranged(chosen_of(whole), back_and_forth)).total_s > shortest, "else this tests nothing"
    tight = replace(whole, minutes=shortest / 60)
    kept = _in_hand_order(tight, back_and_forth)
    assert chosen_of(kept) == chosen_of(tight)
    assert [notice.id for notice in kept.notices if notice.id == "order-by-hand-let-go"]
    roomy = _in_hand_order(whole, back_and_forth)
    assert [item.candidate.id for item in roomy.items] == list(back_and_forth)
    assert roomy.timeline == timeline(chosen_of(roomy))
    assert sum(level.reached for level in roomy.levels if level.wish == "setting up") < sum(
        level.reached for level in whole.levels if level.wish == "setting up"
    )
    assert roomy.status == "best found", "another order takes less setting up"


def test_what_is_told_of_a_change_is_what_comes_of_it() -> None:
    """Times told beforehand against timelines laid out anew; an exchange told as free of loss loses no wish."""
    options = Options(planned())
    items = chosen_of(planned().session)
    total = timeline(items).total_s
    moved = dosed = exchanged = 0
    for item in items:
        found = options.of(item.candidate.id)
        without = [each for each in items if each is not item]
        assert found.without.longer_s == timeline(without).total_s - total
        for chosen, what in found.doses:
            dosed += 1
            other = [chosen if each is item else each for each in items]
            assert what.longer_s == timeline(other).total_s - total
            assert what.over_s == max(0, timeline(other).total_s - int(60 * MINUTES))
        for move in found.moves:
            if move.consequence is None:
                assert move.reason
                continue
            moved += 1
            new = arranged(items, move.order)
            assert new != items
            assert move.consequence.longer_s == timeline(new).total_s - total
            assert reordered(planned().session, new).total_s == timeline(new).total_s
        for option in found.exchanges:
            exchanged += 1
            assert option.into.candidate.id not in ids(planned())
            assert option.consequence.over_s == 0, "what does not fit is not offered"
    assert moved > 0 and dosed > 0 and exchanged > 0


def test_reasons_after_a_change_still_speak_of_exercises() -> None:
    """That more of the session before would change is told only where nothing else is worse."""
    first = planned()
    out = first.session.items[-1].candidate.id
    again = changed(without=frozenset({out}))
    assert again.session.items
    for found in (first, again):
        told = [each.reason for each in (*found.session.items, *found.session.left_out) if "in place of" in each.reason]
        silent = [words for words in told if "the session before" in words]
        assert told
        assert len(silent) <= len(told) / 4, silent


def test_an_order_by_hand_comes_out_of_the_whole_way() -> None:
    """The move that is offered is made, and the session stays as it is otherwise."""
    options = Options(planned())
    move = next(
        move
        for item in chosen_of(planned().session)
        for move in options.of(item.candidate.id).moves
        if move.consequence is not None and not move.consequence.over_s
    )
    new = changed(ByHand(order=move.order))
    assert sorted(ids(new)) == sorted(ids(planned()))
    assert [id_ for id_ in ids(new) if id_ in move.order] == list(move.order)
    assert move.consequence is not None
    assert new.session.total_s == planned().session.total_s + move.consequence.longer_s


def test_one_side_by_hand_leaves_the_other_alone() -> None:
    """The timeline has no step of the side that was taken out, and neither has anything that is printed."""
    item = next(each for each in planned().session.items if len(each.sides) == 2 and not each.candidate.together)
    id_ = item.candidate.id
    new = changed(ByHand(sides={id_: ("left",)}), keep=(id_,))
    mine = next(each for each in new.session.items if each.candidate.id == id_)
    assert mine.sides == ("left",)
    assert {step.side for step in new.session.steps_of(mine)} <= {None, "left"}
    assert {side for each, side in new.prepared.setups if each == id_} == {"left"}


def banded() -> tuple[str, Planned]:
    """Return an exercise of the session with a band on a post."""
    found = next(item for item in planned().session.items if item.candidate.distance is not None)
    return found.candidate.id, planned()


def test_a_set_up_by_hand_stands_in_the_session() -> None:
    """Mark and place that were named are those of the candidate, of both sides, with ranges and a note."""
    id_, before = banded()
    mine = {side: setup for (each, side), setup in before.prepared.setups.items() if each == id_}
    first = laid_as(next(iter(mine.values())))
    assert first is not None and first.distance is not None
    other = replace(first, distance=round(first.distance + 0.05, 3))
    by_hand = ByHand(setups={(id_, side): SetupByHand(laid=other) for side in mine})
    new = changed(by_hand, keep=(id_,))
    item = next(each for each in new.session.items if each.candidate.id == id_)
    assert item.candidate.distance == pytest.approx(other.distance)
    for side in mine:
        setup = new.prepared.setups[id_, side]
        assert laid_as(setup) == other
        assert setup.peak is not None and setup.peak.ranged
    assert "set-up-by-hand" in {notice.id for notice in item.candidate.notices}


def test_a_set_up_by_hand_that_is_no_longer_there_is_let_go_and_told() -> None:
    """The band was withdrawn: the set-up that is found takes its place, and the reason stands in a caution."""
    id_, before = banded()
    gone = LaidByHand(band="withdrawn", strands=1, slack_length=0.5, post="pier", height=1.0, distance=0.5)
    sides = [side for each, side in before.prepared.setups if each == id_]
    new = changed(ByHand(setups={(id_, side): SetupByHand(laid=gone) for side in sides}), keep=(id_,))
    item = next(each for each in new.session.items if each.candidate.id == id_)
    before_item = next(each for each in before.session.items if each.candidate.id == id_)
    assert item.candidate.distance == before_item.candidate.distance
    told = [notice for notice in item.candidate.notices if notice.id == "set-up-by-hand-let-go"]
    assert told and all(notice.level == "caution" and "pier" in notice.what for notice in told)


@pytest.mark.parametrize("minutes", [9.0, 11.0])
def test_every_way_out_of_a_collision_is_one(minutes: float) -> None:
    """Each smallest change, made, gives a session that does all the rest that was asked."""
    asked = Asked(keep=("seated_row", "external_rotation_90", "anti_rotation_press", "hugging_press"))
    made = plan_by_hand(case(), library().values(), minutes=minutes, asked=asked)
    assert made.session.collision is not None and not made.session.items
    wishes = made.session.collision.wishes
    found = remedies(made.session.collision, minutes=minutes, asked=asked)
    assert [each.words for each in found] == [wish.change for wish in wishes]
    for each, wish in zip(found, wishes, strict=True):
        again = plan_by_hand(
            case(),
            library().values(),
            minutes=each.minutes,
            asked=each.asked,
            by_hand=ByHand(sides=each.sides),
        )
        if wish.wish.kind == "minutes":
            assert each.is_enough, "more minutes are given for everything that is asked"
        assert each.is_enough == bool(again.session.items), each.words
        if again.session.items:
            assert set(each.asked.wanted) <= set(ids(again)), each.words
        else:
            assert again.session.collision is not None
            assert again.session.collision != made.session.collision, "this one is out of the way"
            assert f"{each.words} (not enough alone)" in made.session.notices[0].do or made.session.collision.others_too


def test_a_dose_of_fewer_sets_can_be_asked_by_name() -> None:
    """What a collision proposes ("one set of ...") is not in the exercise's file, and still can be asked."""
    item = next(
        each for each in planned().session.items if each.candidate.exercise.part == "strength" and each.dose.sets == 2
    )
    id_ = item.candidate.id
    names = [dose.name for dose in library()[id_].doses]
    new = changed(doses=((id_, names[0].replace("two sets", "one set")),))
    mine: Chosen = next(each for each in chosen_of(new.session) if each.candidate.id == id_)
    assert mine.dose.sets == 1


def test_the_kind_of_session_makes_the_case_of_its_set_ups() -> None:
    """Before a match loads are 60 %; at home with a door anchor there is a door."""
    assert case_of_kind(case(), "before a match").load_share == pytest.approx(0.6)
    with_door = replace(case(), kit=replace(case().kit, door_anchors=1))
    assert "closed door" in {post.name for post in case_of_kind(with_door, "home").venue.posts}


def test_the_warm_up_goes_last_before_a_training() -> None:
    """A longer dose moves something else out; where nothing else could stay, and for strength, the warm-up may go."""
    before = planned()
    longer = [
        (item.candidate.id, other.dose.name)
        for item in before.session.items
        for other, what in Options(before).of(item.candidate.id).doses
        if what.over_s and item.candidate.id != "easy_rolling"
    ]
    assert "easy_rolling" in ids(before) and len(longer) >= 3
    gone = set()
    for id_, name in longer:
        after = changed(doses=((id_, name),))
        assert "easy_rolling" in ids(after), f"{id_}: {name} took the warm-up's time"
        gone |= set(ids(before)) - set(ids(after))
        for item in after.session.items:
            assert item.candidate.id == id_ or not item.reason.startswith("asked for by hand")
    assert gone, "something made room"
    assert "easy_rolling" not in ids(changed(without=("easy_rolling",))), "left out by hand it stays out"
