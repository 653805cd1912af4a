"""Push lanes and their cues, against the sprint formula turned round by bisection, and the sound read back."""

from __future__ import annotations

import io
import math
import wave

import numpy as np
import pytest
from course_cases import MARGIN, outline
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from firstpush.core.courses import (
    CourseError,
    Cue,
    Limits,
    cues_of,
    distance_at,
    lane_course,
    lane_times,
    lay_out,
    line_over,
    sound,
    time_to,
    turning_of,
)


@given(distance=st.floats(0.001, 60.0), speed=st.floats(0.5, 6.0), constant=st.floats(0.1, 4.0))
def test_time_to_a_distance_turns_the_distance_formula_round(distance: float, speed: float, constant: float) -> None:
    """X = v (t − τ (1 − e^(−t/τ))), solved by bisection."""
    limits = Limits(maximal_speed=speed, time_constant=constant)
    expected = brentq(
        lambda t: speed * (t - constant * (1.0 - math.exp(-t / constant))) - distance, 0.0, 500.0, xtol=1e-12
    )
    assert float(time_to(distance, limits)) == pytest.approx(expected, abs=1e-6)
    assert float(distance_at(time_to(distance, limits), limits)) == pytest.approx(distance, abs=1e-6)
    assert float(time_to(0.0, limits)) == 0.0


def test_each_length_is_pushed_at_its_share() -> None:
    """25, 50, 75, 100 % of 4 m/s: top speeds below 1, 2, 3, 4 m/s and, on 22 m, within 2 % of them."""
    of = outline()
    line = line_over(lane_course(outline=of, length=22.0), of, Limits(maximal_speed=4.0, time_constant=1.0))
    times = lane_times(line)
    forward = [each for each in times if not each.backward]
    for each, speed in zip(forward, (1.0, 2.0, 3.0, 4.0), strict=True):
        assert 0.98 * speed <= each.top_speed <= speed
    assert [each.number for each in times] == [1, 1, 2, 2, 3, 3, 4]
    assert sum(each.length for each in times) == pytest.approx(line.distance)
    turns = sum(turn.duration for turn in line.turns)
    assert sum(each.duration for each in times) + turns == pytest.approx(line.duration)


def test_lanes_are_lengths_and_sides_in_a_zigzag() -> None:
    """Four lengths of 20 m and three sides of 3.5 m; each pull goes backwards to the next lane."""
    of = outline()
    course = lane_course(outline=of)
    assert [leg.backward for leg in course.legs] == [False, True] * 3 + [False]
    assert line_over(course, of).distance == pytest.approx(4 * 20.0 + 3 * 3.5)
    assert (course.finish.x, course.finish.y) == (0.0, -3 * 3.5)
    assert [leg.says for leg in course.legs if leg.says] == ["1 · 25 %", "2 · 50 %", "3 · 75 %", "4 · 100 %"]


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
def test_turns_balance_for_an_odd_number_of_lengths_only(count: int) -> None:
    """Two quarters to one side after each length but the last, the sides taking turns."""
    of = outline()
    found = turning_of(line_over(lay_out("push-lanes", outline=of, count=count), of))
    assert found.is_even == (count % 2 == 1)
    assert found.left + found.right == 2 * (count - 1)


def test_a_side_on_which_the_chair_cannot_turn_is_refused() -> None:
    """Swing of the chair, half its width, and the margin: said in metres."""
    of = outline()
    needed = math.ceil(100 * (of.swing + of.width / 2 + MARGIN)) / 100
    with pytest.raises(CourseError, match=rf"a short side of 0.9 m cannot be used; this chair needs {needed:.2f} m"):
        lane_course(outline=of, side=0.9)
    assert line_over(lane_course(outline=of, side=needed), of).is_clear
    with pytest.raises(CourseError, match=r"a lane of 0.2 m cannot be laid out; allowed is 1 m to 60 m"):
        lane_course(outline=of, length=0.2)
    with pytest.raises(CourseError, match="lanes without a length"):
        lane_course(outline=of, shares=())


@settings(max_examples=15, deadline=None)
@given(
    length=st.floats(5.0, 40.0),
    count=st.integers(1, 6),
    speed=st.floats(1.0, 6.0),
    name=st.sampled_from(["push-lanes", "stop-and-turn", "half-circle-back"]),
)
def test_no_two_cues_are_nearer_than_an_ear_tells_apart(length: float, count: int, speed: float, name: str) -> None:
    """0.4 s; count first, go after it, end last."""
    of = outline()
    count = max(count, 3) if name != "push-lanes" else count
    spacing = length if name == "push-lanes" else 3.0 + length / 10
    line = line_over(lay_out(name, outline=of, spacing=spacing, count=count), of, Limits(maximal_speed=speed))
    cues = cues_of(line)
    assert min(np.diff([cue.time for cue in cues])) >= 0.4 - 1e-9
    assert [cue.says for cue in cues[:4]] == ["3", "2", "1", "go"]
    assert cues[-1].kind == "end"
    assert cues[-1].time == pytest.approx(3.0 + line.duration)


def test_ticks_fall_where_the_chair_is() -> None:
    """The tick of 10 m sounds when the axle has come 10 m; the brake just before the speed falls for good."""
    of = outline()
    line = line_over(lane_course(outline=of, shares=(1.0,)), of)
    found = {cue.says: cue.time - 3.0 for cue in cues_of(line)}
    free = line.limits
    assert found["10 m"] == pytest.approx(float(time_to(10.0, free)), rel=0.01)
    speed = line.rolls[0].profile.speed
    time = line.rolls[0].profile.time
    assert found["brake"] == pytest.approx(time[speed.argmax()], abs=0.03)


def read_back(data: bytes) -> tuple[int, np.ndarray, np.ndarray]:
    """Return the rate of a sound file, its samples about 0, and when each sound begins [s]."""
    with wave.open(io.BytesIO(data)) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 1)
        rate = file.getframerate()
        samples = np.frombuffer(file.readframes(file.getnframes()), dtype=np.uint8).astype(float) - 128.0
    loud = np.flatnonzero(np.abs(samples) > 3)
    return rate, samples, loud[np.insert(np.diff(loud) > 0.1 * rate, 0, True)] / rate


def test_the_sound_file_has_each_cue_at_its_time() -> None:
    """Where the silence ends, and at which pitch: 660 Hz counts, 880 Hz ends; within 5 ms."""
    cues = (
        Cue(time=0.0, kind="count", says="1"),
        Cue(time=1.0, kind="go", says="go"),
        Cue(time=2.5, kind="tick", says="5 m"),
        Cue(time=4.123, kind="end", says="end"),
    )
    rate, samples, begins = read_back(sound(cues))
    assert begins == pytest.approx([0.0, 1.0, 2.5, 4.123], abs=0.005)
    assert np.abs(samples).max() < 127, "nothing is cut off"
    for time, pitch, length in ((0.0, 660.0, 0.12), (4.123, 880.0, 0.60)):
        heard = samples[round(time * rate) : round((time + length) * rate)]
        loudest = np.argmax(np.abs(np.fft.rfft(heard))) / length
        assert loudest == pytest.approx(pitch, abs=1.0 / length)


def test_a_minute_of_lanes_is_half_a_megabyte() -> None:
    """8000 samples of one byte a second, so 60 s are 0.48 MB; every cue of four lengths begins within 5 ms."""
    cues = cues_of(line_over(lay_out("push-lanes", outline=outline()), outline()))
    data = sound(cues)
    _, _, begins = read_back(data)
    assert begins == pytest.approx([cue.time for cue in cues], abs=0.005)
    header, tail = 44, 0.8
    assert 8000 * cues[-1].time < len(data) <= 8000 * (cues[-1].time + tail) + header


def test_a_tone_is_clean() -> None:
    """What is not the tone and its octave is 40 dB below them, as on a good telephone line (from memory: G.711)."""
    rate, samples, _ = read_back(sound([Cue(time=0.0, kind="end", says="end")]))
    # From where it is fullest, before it fades: windowed, each partial is a few bins wide.
    heard = samples[round(0.01 * rate) : round(0.30 * rate)]
    power = np.abs(np.fft.rfft(heard * np.hanning(len(heard)))) ** 2
    pitch = np.fft.rfftfreq(len(heard), 1 / rate)
    tone = (np.abs(pitch - 880.0) < 25.0) | (np.abs(pitch - 1760.0) < 25.0)
    assert 10 * math.log10(power[tone].sum() / power[~tone].sum()) > 40.0


def test_sound_for_nothing_is_refused() -> None:
    """No cue, no rate, no such sound."""
    with pytest.raises(CourseError, match="there is no cue to sound"):
        sound([])
    with pytest.raises(CourseError, match="100 samples per second cannot be written; allowed is 8000 to 48000"):
        sound([Cue(time=0.0, kind="go", says="go")], rate=100)
    with pytest.raises(CourseError, match="there is no sound for gong"):
        sound([Cue(time=0.0, kind="gong", says="go")])  # type: ignore[arg-type]
