"""`firstpush course` and `firstpush sprint`: what they print, what they write, what they refuse."""

from __future__ import annotations

import io
import math
import wave
from pathlib import Path

import pytest
from command_line import run, run_json
from pypdf import PdfReader

from firstpush.demo import demo_file

INPUT = tuple(part for name in ("athlete", "venue") for part in (f"--{name}", str(demo_file(name))))


def sprint_times(speed: float, constant: float, distances: tuple[float, ...], *, offset: float = 0.0) -> list[float]:
    """Return when x = v (t − τ (1 − e^(−t/τ))) is reached, by halving; the clock starts when `offset` is passed."""

    def when(distance: float) -> float:
        low, high = 0.0, 60.0
        for _ in range(80):
            middle = (low + high) / 2
            gone = speed * (middle - constant * (1 - math.exp(-middle / constant)))
            low, high = (middle, high) if gone < distance else (low, middle)
        return low

    return [when(each + offset) - when(offset) for each in distances]


def written(distances: tuple[float, ...], times: list[float]) -> str:
    """Return splits as they are typed."""
    return ",".join(f"{d:g}:{t:.4f}" for d, t in zip(distances, times, strict=True))


@pytest.mark.parametrize(("speed", "constant", "offset"), [(4.4, 1.2, 0.0), (3.2, 0.8, 0.5), (5.1, 1.5, 0.3)])
def test_a_sprint_gives_back_the_speed_it_was_made_with(speed: float, constant: float, offset: float) -> None:
    """Splits from the formula, found by halving, are fitted to the speed and time constant that made them."""
    distances = (5.0, 10.0, 20.0)
    splits = written(distances, sprint_times(speed, constant, distances, offset=offset))
    found = run_json("sprint", "--splits", splits, "--start-offset-m", str(offset))
    assert found["vmax_m_s"] == pytest.approx(speed, rel=0.005)
    assert found["tau_s"] == pytest.approx(constant, rel=0.01)
    assert found["vmax_low_m_s"] < speed < found["vmax_high_m_s"]
    assert found["tau_low_s"] < constant < found["tau_high_s"]
    assert found["start_offset_m"] == offset
    assert [split["later_than_fit_s"] for split in found["splits"]] == pytest.approx([0.0] * 3, abs=0.005)


def test_a_start_offset_left_out_makes_the_athlete_start_too_well() -> None:
    """Half a metre behind the line makes 1.2 s into far less where nobody says so."""
    distances = (5.0, 10.0, 20.0)
    splits = written(distances, sprint_times(4.4, 1.2, distances, offset=0.5))
    told = run_json("sprint", "--splits", splits, "--start-offset-m", "0.5")
    left_out = run_json("sprint", "--splits", splits)
    assert told["tau_s"] == pytest.approx(1.2, abs=0.02)
    assert left_out["tau_s"] < 0.75


def test_a_sprint_is_printed_with_its_ranges() -> None:
    """By stopwatch the ranges are wider, and what has a say is said."""
    splits = "5:2.12,10:3.32,20:5.65"
    gates = run("sprint", "--splits", splits)
    assert gates.returncode == 0
    assert "maximal speed" in gates.stdout
    assert "m/s" in gates.stdout
    by_hand = run_json("sprint", "--splits", splits, "--stopwatch")
    by_gates = run_json("sprint", "--splits", splits)
    wide = by_hand["vmax_high_m_s"] / by_hand["vmax_low_m_s"]
    assert wide > by_gates["vmax_high_m_s"] / by_gates["vmax_low_m_s"]
    assert by_hand["with_athletes_in_general"]


@pytest.mark.parametrize(("splits", "says"), [("5;2.12", "5:2.12"), ("10:3.3,5:4.0", "figures exchanged")])
def test_splits_that_cannot_be_are_refused_in_one_sentence(splits: str, says: str) -> None:
    """What is wrong, what is allowed, what to do next."""
    done = run("sprint", "--splits", splits)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stdout == ""


def test_a_course_is_told_and_written(tmp_path: Path) -> None:
    """Spacing, bracket and the table for two tapes; the page is one page."""
    out = tmp_path / "course.pdf"
    done = run("course", "half-circle", *INPUT, "--out", str(out))
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Half circle round the cones: Radius 3.00 m.\n")
    assert "m beside every cone." in done.stdout
    assert "cones 1 and 5, 6.00 m apart" in done.stdout
    # The middle cone of five stands √2 × 3 m from both ends of the base.
    assert "3                 4.24 m  4.24 m  left" in done.stdout
    assert done.stderr == f"wrote {out}\n"
    assert len(PdfReader(io.BytesIO(out.read_bytes())).pages) == 1


def test_a_spacing_too_small_says_which_would_do(tmp_path: Path) -> None:
    """Exit code 1, the metres that are missing, and a spacing as said works."""
    done = run("course", "half-circle", *INPUT, "--spacing-m", "1.50")
    found = run_json("course", "half-circle", *INPUT)
    needed = found["least_spacing_m"]
    assert needed > 1.50
    assert done.returncode == 1
    assert f"needs {needed:.2f} m, has only 1.50 m" in done.stdout
    right = run("course", "half-circle", *INPUT, "--spacing-m", f"{needed}")
    assert right.returncode == 0
    assert "Does not fit" not in right.stdout


def test_a_sprint_makes_the_bracket_narrower() -> None:
    """What is measured is no longer among what is not."""
    wide = run_json("course", "slalom", *INPUT)["times"][0]
    narrow = run_json("course", "slalom", *INPUT, "--splits", "5:2.12,10:3.32,20:5.65")["times"][0]
    assert narrow["longest_s"] / narrow["shortest_s"] < wide["longest_s"] / wide["shortest_s"]
    assert "maximal speed" in wide["not_measured"]
    assert "maximal speed" not in narrow["not_measured"]


def test_lanes_are_written_as_sound_and_as_a_moving_plan(tmp_path: Path) -> None:
    """The sound lasts as long as the lanes and the count before them; the plan has a chair that moves."""
    sound, plan = tmp_path / "lanes.wav", tmp_path / "lanes.svg"
    found = run_json("course", "push-lanes", *INPUT, "--out", str(sound))
    with wave.open(str(sound)) as file:
        seconds = file.getnframes() / file.getframerate()
    assert seconds == pytest.approx(3.0 + found["times"][0]["likely_s"], abs=1.0)
    done = run("course", "push-lanes", *INPUT, "--out", str(plan), "--moving")
    assert done.returncode == 0, done.stderr
    text = plan.read_text(encoding="utf-8")
    assert "@keyframes" in text
    assert "<script" not in text
    assert 'width="297mm" height="210mm"' in text


def test_a_course_of_ones_own_comes_from_a_file(tmp_path: Path) -> None:
    """Its faults are named with the file; without one the layouts are named."""
    own = tmp_path / "corner.toml"
    own.write_text(
        'name = "corner"\nstart = "A"\norder = ["1L", "to B"]\n'
        'cones = [{ name = "1", x_m = 4, y_m = 1 }, { name = "2", x_m = 1, y_m = 4 }]\n'
        'points = [{ name = "A", x_m = 0, y_m = 0 }, { name = "B", x_m = 5, y_m = 5 }]\n',
        encoding="utf-8",
    )
    found = run_json("course", str(own), *INPUT)
    assert found["order"] == "1L"
    assert found["fits"]
    own.write_text(own.read_text(encoding="utf-8").replace('"1L"', '"7L"'), encoding="utf-8")
    wrong = run("course", str(own), *INPUT)
    assert wrong.returncode == 2
    assert "corner.toml" in wrong.stderr
    assert "passes a cone '7'" in wrong.stderr


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("zigzag", *INPUT), "there is no course 'zigzag'"),
        (("nothing.toml", *INPUT), "there is no file 'nothing.toml'"),
        (("slalom", *INPUT, "--out", "course.docx"), "allowed are .pdf, .svg, .wav"),
        (("slalom", *INPUT, "--sport", "bowls"), "wheelchair badminton"),
        (("slalom", *INPUT, "--cones", "1"), "cones"),
        (("slalom", *INPUT, *INPUT[:2], "--splits", "5:2.12"), "one sprint cannot stand for 2 athletes"),
    ],
)
def test_wrong_requests_say_what_is_allowed(arguments: tuple[str, ...], says: str) -> None:
    """Exit code 2, nothing on the standard output."""
    done = run("course", *arguments)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stdout == ""
