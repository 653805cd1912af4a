"""A venue file becomes a venue in SI units, or all its faults at once."""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import heights_between, load_venue
from firstpush.demo import demo_file


def written(folder: Path, text: str) -> Path:
    """Write `text` into a file in `folder`."""
    path = folder / "venue.toml"
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(folder: Path, text: str) -> list[Fault]:
    """Return the faults of a venue file with `text`."""
    with pytest.raises(InputFileError) as caught:
        load_venue(written(folder, text))
    return list(caught.value.faults)


def post(heights: str, room: str = "room_in_front_m = 3.0") -> str:
    """Return a venue with one post."""
    return f'name = "hall"\n[[posts]]\nname = "upright"\nheights_m = {heights}\n{room}\n'


def test_demo_venue_is_read() -> None:
    """The wall bars have a bar every 0.15 m up to 2.40 m, the upright takes a band anywhere up to 2.00 m."""
    venue = load_venue(demo_file("venue"))
    bars, upright = venue.posts
    assert bars.heights == pytest.approx([0.15 * i for i in range(1, 17)])
    assert bars.places == 3
    assert (upright.heights[0], upright.heights[-1]) == (0.10, 2.00)
    assert upright.heights[1] - upright.heights[0] == pytest.approx(0.05)
    assert (venue.floor_length, venue.floor_width, venue.helpers) == (32.0, 19.0, 1)


def test_name_alone_is_a_venue(tmp_path) -> None:
    """What was not said is None, also the helpers: nobody is assumed to be there or not to be there."""
    assert load_venue(written(tmp_path, 'name = "yard"')) == Venue(name="yard", helpers=None)


def test_heights_as_a_list_come_rising_and_once(tmp_path) -> None:
    """A list of heights is sorted; a height written twice is one height."""
    venue = load_venue(written(tmp_path, post("[1.0, 0.5, 1.0]")))
    assert venue.posts[0].heights == (0.5, 1.0)
    assert venue.posts[0].places == 1


@given(st.integers(0, 60), st.integers(1, 60), st.integers(1, 300))
def test_bars_stand_a_step_apart_and_none_is_lost(first: int, step: int, bars: int) -> None:
    """From the first to the last bar every bar is there, whatever binary fractions do to the sum (in cm)."""
    last = first + step * (bars - 1)
    heights = heights_between(low=first / 100, high=last / 100, step=step / 100)
    assert [round(height * 100) for height in heights] == list(range(first, last + 1, step))


@given(st.floats(0, 2), st.floats(0, 2))
def test_continuous_post_has_both_ends_and_no_gap(low: float, length: float) -> None:
    """Any height of a continuous post is at most half a sample from one that is tried."""
    heights = heights_between(low=low, high=low + length, step=None)
    assert heights[0] == pytest.approx(low, abs=1e-3)
    assert heights[-1] == pytest.approx(low + length, abs=1e-3)
    gaps = [b - a for a, b in pairwise(heights)]
    assert all(0 < gap < 0.0501 for gap in gaps)


@pytest.mark.parametrize(
    ("text", "key", "line", "says"),
    [
        (post("{ from = 2.0, to = 0.1 }"), "posts[0].heights_m.from", 4, "from 2 m is above to 0.1 m"),
        (post("{ from = 15, to = 2.3 }"), "posts[0].heights_m.from", 4, "did you mean 0.15?"),
        (post("{ from = 0.1 }"), "posts[0].heights_m.to", None, "it is missing"),
        (post("{ from = 0.1, to = 2, setp = 0.1 }"), "posts[0].heights_m.setp", 4, "did you mean step?"),
        (post("{ from = 0.1, to = 2, step = 0 }"), "posts[0].heights_m.step", 4, "0 m is out of range"),
        (post("[]"), "posts[0].heights_m", 4, "there is no height in it"),
        (post("[0.5,\n 50]"), "posts[0].heights_m[1]", 5, "did you mean 0.5"),
        (post("1.0"), "posts[0].heights_m", 4, "1.0 is not one table"),
        (post("[1.0]", ""), "posts[0].room_in_front_m", None, "it is missing from the table that starts at line 2"),
        (post("[1.0]", "room_in_front_m = 300"), "posts[0].room_in_front_m", 5, "did you mean 3?"),
        (post("[1.0]") + "places = 0", "posts[0].places", 6, "0 athletes is out of range"),
        (post("[1.0]") + post("[1.0]").split("\n", 1)[1], "posts[1].name", 7, "is taken by posts[0] (line 3)"),
        ('name = "hall"\nfloor_length_m = 3200', "floor_length_m", 2, "did you mean 32"),
        ('name = "hall"\nhelper = 1', "helper", 2, "did you mean helpers?"),
        ("", "name", None, "it is missing"),
    ],
)
def test_one_slip_makes_one_fault_on_its_line(tmp_path, text: str, key: str, line: int | None, says: str) -> None:
    """A venue with one slip is refused for that slip and nothing else."""
    (fault,) = faults_of(tmp_path, text)
    assert fault.key == key
    assert fault.line == line
    assert says in fault.wrong


def test_post_without_heights_asks_for_them_once(tmp_path) -> None:
    """A post that says nothing of heights makes one fault with all three ways to write them."""
    (fault,) = faults_of(tmp_path, 'name = "hall"\n[[posts]]\nname = "p"\nroom_in_front_m = 3\n')
    assert fault.key == "posts[0].heights_m"
    assert "step" in fault.next_step
    assert "[0.5, 1.0]" in fault.next_step


def test_room_must_fit_on_the_floor(tmp_path) -> None:
    """A floor of 5 × 4 m is √41 = 6.4 m across: 9 m in front of a post are not there, 6 m are."""
    floor = "floor_length_m = 5\nfloor_width_m = 4\n"
    (fault,) = faults_of(tmp_path, floor + post("[1.0]", "room_in_front_m = 9"))
    assert (fault.key, fault.line) == ("posts[0].room_in_front_m", 7)
    assert "more than the floor of 5 × 4 m" in fault.wrong
    assert load_venue(written(tmp_path, floor + post("[1.0]", "room_in_front_m = 6"))).posts[0].room_in_front == 6
