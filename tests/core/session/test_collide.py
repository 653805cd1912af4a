"""Wishes that collide, against every set of wishes and every session that exists."""

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session_cases import allowed, catalogues, every_session, ready, whole_library

from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.notices import Notice
from firstpush.core.session import Asked, Candidate, LeftOut, compose, timeline
from firstpush.core.session.collide import CollidingWish, HardWish, wishes_of
from firstpush.core.session.kinds import with_sets

LONG = 100_000


def asked_of(wishes: tuple[HardWish, ...]) -> Asked:
    """Return a request that asks for these wishes only."""
    return Asked(
        keep=tuple(wish.about for wish in wishes if wish.kind == "keep"),
        without=tuple(wish.about for wish in wishes if wish.kind == "without"),
        doses=tuple((wish.about, wish.dose) for wish in wishes if wish.kind == "dose"),
        aims=tuple(wish.about for wish in wishes if wish.kind == "aim"),
    )


def shortest(candidates: list[Candidate], wishes: tuple[HardWish, ...]) -> int | None:
    """Return the length of the shortest of all sessions that do what is asked, whatever the minutes."""
    asked = asked_of(wishes)
    fitting = [order for order in every_session(candidates, limit_s=LONG) if allowed(order, asked, candidates)]
    return min((timeline(order).total_s for order in fitting), default=None)


def fits(candidates: list[Candidate], wishes: tuple[HardWish, ...], *, limit_s: int) -> bool:
    """Whether some session does what is asked, in the time there is when the minutes are among the wishes."""
    found = shortest(candidates, wishes)
    return found is not None and (all(wish.kind != "minutes" for wish in wishes) or found <= limit_s)


def makes_room(
    candidates: list[Candidate], wishes: tuple[HardWish, ...], change: CollidingWish, *, limit_s: int
) -> bool:
    """Whether everything asked fits once a change of a collision is made."""
    rest = tuple(each for each in wishes if each != change.wish)
    if change.wish.kind == "minutes":
        return fits(candidates, (HardWish(kind="minutes"), *rest), limit_s=limit_s + change.more_s)
    if not change.dose and not change.sides:
        return fits(candidates, rest, limit_s=limit_s)
    done = HardWish(kind="dose", about=change.wish.about, dose=change.dose or change.wish.dose)
    if not done.dose:
        done = HardWish(kind="keep", about=change.wish.about)
    return fits([_with_change(each, change) for each in candidates], (*rest, done), limit_s=limit_s)


def _with_change(candidate: Candidate, change: CollidingWish) -> Candidate:
    """Return a candidate on fewer sides, or with the dose of fewer sets that a change names."""
    if candidate.id != change.wish.about:
        return candidate
    if change.sides:
        return replace(candidate, sides=change.sides)
    doses = candidate.exercise.doses
    fewer = [with_sets(dose, sets) for dose in doses for sets in range(1, dose.sets)]
    new = next(dose for dose in (*doses, *fewer) if dose.name == change.dose)
    return replace(candidate, exercise=replace(candidate.exercise, doses=tuple(dict.fromkeys((*doses, new)))))


@st.composite
def conflicts(draw: st.DrawFn) -> tuple[list[Candidate], Asked, float]:
    """Draw a small catalogue, of which two may be steps of each other, with wishes that often collide."""
    known = draw(catalogues(smallest=2, largest=3))
    if draw(st.booleans()):
        known[:2] = [replace(each, family="steps") for each in known[:2]]
    ids = [each.id for each in known]
    keep = draw(st.lists(st.sampled_from(ids), max_size=3, unique=True))
    without = draw(st.lists(st.sampled_from(ids), max_size=1))
    dosed = draw(st.lists(st.sampled_from(known), max_size=1))
    doses = tuple((each.id, draw(st.sampled_from([dose.name for dose in each.exercise.doses]))) for each in dosed)
    aims = sorted({aim for each in known for aim in each.exercise.aims})
    asked = Asked(
        keep=tuple(keep),
        without=tuple(without),
        doses=doses,
        aims=tuple(draw(st.lists(st.sampled_from(aims), max_size=2, unique=True))),
    )
    return known, asked, draw(st.sampled_from([3, 4, 5, 6, 8, 10]))


@settings(max_examples=120, deadline=None)
@given(case=conflicts())
def test_what_collides_is_the_smallest_set_that_no_session_serves(case: tuple[list[Candidate], Asked, float]) -> None:
    """All sets of wishes are tried by hand: none smaller collides, and leaving out any member lets the rest stand."""
    candidates, asked, minutes = case
    limit = int(minutes * 60)
    session = compose(candidates, minutes=minutes, asked=asked)
    wishes = wishes_of(asked)
    if fits(candidates, wishes, limit_s=limit):
        assert session.items
        assert session.collision is None
        assert allowed(
            [type("Done", (), {"candidate": item.candidate, "dose": item.dose}) for item in session.items],  # type: ignore[misc]
            asked,
            candidates,
        )
        return
    assert session.items == ()
    if len(wishes) == 1:
        assert session.collision is None
        return
    assert session.collision is not None
    members = tuple(each.wish for each in session.collision.wishes)
    assert not fits(candidates, members, limit_s=limit)
    for size in range(1, len(members)):
        assert all(fits(candidates, some, limit_s=limit) for some in combinations(wishes, size))
    for each in session.collision.wishes:
        assert each.is_enough == makes_room(candidates, wishes, each, limit_s=limit), each.change


@settings(max_examples=60, deadline=None)
@given(case=conflicts())
def test_the_minutes_asked_for_are_those_that_are_missing(case: tuple[list[Candidate], Asked, float]) -> None:
    """Where the minutes collide, "give" names the shortest session by trial that does everything asked."""
    candidates, asked, minutes = case
    limit = int(minutes * 60)
    session = compose(candidates, minutes=minutes, asked=asked)
    if session.collision is None or session.collision.wishes[0].wish.kind != "minutes":
        return
    members = tuple(each.wish for each in session.collision.wishes[1:])
    found = shortest(candidates, members)
    assert found is not None
    missing = found - limit
    assert session.collision.because.endswith(f"are {missing // 60}:{missing % 60:02d} too short")
    for_all = shortest(candidates, wishes_of(asked)[1:])
    more = missing if for_all is None else for_all - limit
    words = f"give {more // 60}:{more % 60:02d} more" + (", for all that is asked" if more > missing else "")
    assert session.collision.wishes[0].change == words


ROW, PRESS = ready("seated_row"), ready("anti_rotation_press")


def test_a_session_too_short_for_what_is_kept_says_what_to_give_up() -> None:
    """Row 60 + 40 + 20 + 2 · 40 + 40 s and press 15 + 25 + 20 + 4 · 48 + 3 changes of 60 s and more: too long for six.

    The row has a dose of one set of ten (50 s), 70 s less with its pause; the press may be done on one side.
    """
    asked = Asked(doses=(("seated_row", "two sets of ten"), ("anti_rotation_press", "one set of eight a side")))
    needed = 60 + (40 + 20) + (50 + 45 + 50) + (15 + 25 + 10 + 20) + (48 + 60 + 48) + 15
    exact = compose([ROW, PRESS], minutes=needed / 60, asked=asked)
    assert exact.total_s == needed
    short = compose([ROW, PRESS], minutes=(needed - 30) / 60, asked=asked)
    assert short.collision is not None
    assert [each.words.partition(" ")[0] for each in short.collision.wishes] == ["there", "Seated", "Anti-rotation"]
    minutes, row, press = [each.change for each in short.collision.wishes]
    assert minutes == "give 0:30 more"
    # Two sets of eight give up 20 s of work and, with a shorter pause, 25 s of time: too little. One set is next.
    assert row == "do Seated row in one set of ten"
    assert press in (
        "do Anti-rotation press on the left side only",
        "do Anti-rotation press on the right side only",
    )
    (notice,) = short.notices
    assert (notice.id, notice.level) == ("wishes-collide", "stop")
    assert all(each.change in notice.do for each in short.collision.wishes)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_each_change_alone_helps(number: int) -> None:
    """The session that follows one of the changes exists; the one before it does not."""
    asked = Asked(doses=(("seated_row", "two sets of ten"), ("anti_rotation_press", "one set of eight a side")))
    limit = 7.5
    assert not compose([ROW, PRESS], minutes=limit, asked=asked).items
    if number == 0:
        changed = compose([ROW, PRESS], minutes=limit + 66 / 60, asked=asked)
    elif number == 1:
        changed = compose(
            [ROW, PRESS],
            minutes=limit,
            asked=replace(asked, doses=(("seated_row", "one set of ten"), asked.doses[1])),
        )
    else:
        changed = compose([ROW, replace(PRESS, sides=("left",))], minutes=limit, asked=asked)
    assert {item.candidate.id for item in changed.items} == {"seated_row", "anti_rotation_press"}


def test_steps_of_each_other_cannot_both_be_kept() -> None:
    """The sentence says that they are steps, and each may be left out."""
    pair = [replace(each, family="rows") for each in (ready("seated_row"), ready("low_row"))]
    session = compose(pair, minutes=30, asked=Asked(keep=("seated_row", "low_row")))
    assert session.collision is not None
    assert "are steps of each other" in session.collision.because
    assert [each.change for each in session.collision.wishes] == ["leave Seated row out", "leave Low row out"]


def test_an_exercise_that_cannot_be_done_here_is_not_forced() -> None:
    """Neither one without a set-up nor one with a stop; the reason is given, whatever the minutes."""
    out = LeftOut(exercise=PRESS.exercise, reason="there is no post")
    stop = Notice(id="after-operation", level="stop", what="the repair is fresh", do="Follow the surgeon")
    barred = replace(PRESS, notices=(stop,))
    for offered, left_out, reason in (([ROW], [out], "there is no post"), ([ROW, barred], [], "the repair is fresh")):
        session = compose(offered, minutes=30, asked=Asked(keep=("anti_rotation_press",)), left_out=left_out)
        assert session.items == ()
        assert session.collision is not None
        assert reason in session.collision.because
        assert [each.wish.kind for each in session.collision.wishes] == ["keep"]


def test_names_that_do_not_exist_are_told_with_those_that_do() -> None:
    """An exercise, a dose and an aim."""
    with pytest.raises(UnknownNameError, match="seated_row"):
        compose([ROW], minutes=10, asked=Asked(keep=("seated_rwo",)))
    with pytest.raises(UnknownNameError, match="two sets of ten"):
        compose([ROW], minutes=10, asked=Asked(doses=(("seated_row", "nine sets"),)))
    with pytest.raises(UnknownNameError, match="external rotation"):
        Asked(aims=("outer rotation",))
    with pytest.raises(OutOfRangeError, match="two doses"):
        Asked(doses=(("seated_row", "a"), ("seated_row", "b")))


def test_eight_wishes_that_do_not_fit_ten_minutes_are_told_at_once() -> None:
    """The whole library kept in ten minutes: a smallest set is found, and giving its minutes lets it stand."""
    known = whole_library()
    ids = tuple(each.id for each in known)
    session = compose(known, minutes=10, asked=Asked(keep=ids))
    assert session.collision is not None
    assert session.collision.wishes[0].wish.kind == "minutes"
    kept = tuple(each.wish.about for each in session.collision.wishes[1:])
    given = session.collision.wishes[0].change.split()[1].split(":")
    minutes = 10 + int(given[0]) + int(given[1]) / 60
    everything = ids if "for all that is asked" in session.collision.wishes[0].change else kept
    assert compose(known, minutes=minutes, asked=Asked(keep=everything)).items
    assert not compose(known, minutes=minutes - 1 / 60, asked=Asked(keep=everything)).items
