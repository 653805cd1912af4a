"""What is asked of a session goes into plain data and comes back as it was."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.exercises.definition import AIMS
from firstpush.core.session.asked import Asked
from firstpush.core.session.by_hand import ByHand
from firstpush.core.session.kinds import KIND_NAMES
from firstpush.core.setup.by_hand import LaidByHand, SetupByHand
from firstpush.web.errors import WebError
from firstpush.web.sessions import changing
from firstpush.web.sessions.request import SessionRequest, read_request

IDS = st.sampled_from(["low_row", "pull_apart", "easy_rolling", "seated_row"])
DOSES = st.lists(st.tuples(IDS, st.sampled_from(["two sets of ten", "one set of ten"])), unique_by=lambda d: d[0])
SETUPS = st.one_of(
    st.builds(lambda load: SetupByHand(target=load), st.floats(0.5, 40)),
    st.builds(
        lambda band, mark: SetupByHand(
            laid=LaidByHand(band=band, strands=2, slack_length=mark, post="bars", height=0.9, distance=0.6)
        ),
        st.sampled_from(["flat 15", "tube"]),
        st.floats(0.3, 2),
    ),
)
REQUESTS = st.builds(
    SessionRequest,
    minutes=st.floats(1, 60),
    kind=st.sampled_from(KIND_NAMES),
    on=st.one_of(st.none(), st.dates()),
    kit_id=st.integers(1, 9),
    venue_id=st.one_of(st.none(), st.integers(1, 9)),
    asked=st.builds(
        Asked,
        keep=st.lists(IDS, unique=True).map(tuple),
        without=st.lists(IDS, unique=True).map(tuple),
        doses=DOSES.map(tuple),
        aims=st.lists(st.sampled_from(AIMS), unique=True).map(tuple),
        back_to_front=st.floats(0, 10),
        earlier=DOSES.map(tuple),
    ),
    by_hand=st.builds(
        ByHand,
        order=st.lists(IDS, unique=True).map(tuple),
        sides=st.dictionaries(IDS, st.sampled_from([("left",), ("right",)])),
        setups=st.dictionaries(st.tuples(IDS, st.sampled_from(["left", "right"])), SETUPS),
    ),
    changed_from=st.one_of(st.none(), st.integers(1, 9)),
)


@given(REQUESTS)
def test_a_request_comes_back_from_json_as_it_was(request_: SessionRequest) -> None:
    """Written as JSON and read again, nothing is lost or changed."""
    assert read_request(json.loads(json.dumps(request_.document()))) == request_


@pytest.mark.parametrize(
    "document",
    [
        {},
        {"minutes": "long"},
        {"minutes": 15, "kind": "after lunch"},
        {"minutes": 15, "date": "yesterday"},
        {"minutes": 15, "doses": [{"exercise": "low_row"}]},
        {"minutes": 15, "sides": [{"exercise": "low_row", "sides": ["up"]}]},
        {"minutes": 15, "aims": ["speed"]},
        {"minutes": 15, "setups": [{"exercise": "low_row", "side": "left", "load_nm": -1}]},
    ],
)
def test_what_is_no_request_is_refused_in_words(document: dict[str, Any]) -> None:
    """One sentence says what to do; nothing is guessed."""
    with pytest.raises(WebError, match="Make the session again"):
        read_request(document)


def test_a_request_that_says_little_asks_for_little() -> None:
    """A version kept by another program names its minutes only."""
    assert read_request({"minutes": 15}) == SessionRequest(minutes=15)


PLAN = (("low_row", "two sets of ten"), ("pull_apart", "one set of ten"))
BEFORE = SessionRequest(
    minutes=15,
    on=date(2026, 3, 2),
    asked=Asked(keep=("low_row",), without=("seated_row",), doses=(("low_row", "two sets of ten"),)),
    by_hand=ByHand(
        order=("low_row", "pull_apart"),
        sides={"low_row": ("left",)},
        setups={("low_row", "left"): SetupByHand(target=5.0)},
    ),
)


def test_an_exchange_takes_back_what_was_asked_of_both() -> None:
    """The one that goes is out, the one that comes is in its place in plan and order, and nothing contradicts."""
    new = changing.exchanged(BEFORE, PLAN, out="low_row", into="seated_row", dose="one set of ten")
    assert new.asked.keep == ("seated_row",)
    assert new.asked.without == ("low_row",)
    assert new.asked.doses == ()
    assert new.asked.earlier == (("seated_row", "one set of ten"), ("pull_apart", "one set of ten"))
    assert new.by_hand == ByHand(order=("seated_row", "pull_apart"))


def test_leaving_out_and_bringing_in_contradict_nothing() -> None:
    """What is left out is not kept, and what must be there is not left out."""
    gone = changing.left_out(BEFORE, PLAN, exercise="low_row")
    assert (gone.asked.keep, gone.asked.without, gone.asked.doses) == ((), ("seated_row", "low_row"), ())
    assert not gone.by_hand.setups and not gone.by_hand.sides
    back = changing.kept(gone, PLAN, exercise="low_row")
    assert (back.asked.keep, back.asked.without) == (("low_row",), ("seated_row",))


def test_a_dose_is_asked_once() -> None:
    """A second dose of one exercise takes the place of the first, in plan and request."""
    new = changing.dosed(BEFORE, PLAN, exercise="low_row", dose="one set of ten")
    assert new.asked.doses == (("low_row", "one set of ten"),)
    assert new.asked.earlier[0] == ("low_row", "one set of ten")


@pytest.mark.parametrize(
    ("wish", "about"),
    [
        ("keep", "low_row"),
        ("without", "seated_row"),
        ("doses", "low_row"),
        ("order", ""),
        ("sides", "low_row"),
        ("setups", "low_row"),
    ],
)
def test_everything_asked_by_hand_can_be_let_go(wish: str, about: str) -> None:
    """What is let go is gone, and only that."""
    new = changing.let_go(BEFORE, PLAN, wish=wish, about=about)
    before, after = BEFORE.document(), new.document()
    assert after[wish] == []
    assert before[wish] != []
    others = set(before) - {wish, "earlier"}
    assert {key: after[key] for key in others} == {key: before[key] for key in others}
