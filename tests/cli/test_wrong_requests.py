"""A wrong request: exit code 2, the reason on stderr, nothing on stdout, nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_line import INPUT, run

from firstpush.demo import demo_file


def altered(tmp_path: Path, name: str, before: str, after: str) -> str:
    """Return the path of a copy of a demo file with one line changed."""
    text = demo_file(name).read_text(encoding="utf-8")
    assert before in text, f"{before!r} is not in the demo file any more"
    path = tmp_path / f"{name}.toml"
    path.write_text(text.replace(before, after, 1), encoding="utf-8")
    return str(path)


def with_file(name: str, path: str) -> list[str]:
    """Return the demo options with one file replaced."""
    given = list(INPUT)
    given[given.index(f"--{name}") + 1] = path
    return given


def test_an_unknown_exercise_is_refused_with_the_nearest_name() -> None:
    """The message names what was given, the nearest exercise and all that there are."""
    done = run("setup", "seated_rwo", *INPUT)
    assert (done.returncode, done.stdout) == (2, "")
    assert "'seated_rwo'" in done.stderr
    assert "did you mean 'seated_row'?" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_key_with_a_typo_is_refused_with_file_line_and_the_nearest_key(tmp_path: Path) -> None:
    """A key that is not known would otherwise be a measurement that silently does not count."""
    path = altered(tmp_path, "kit", "count = 3", "cuont = 3")
    line = 1 + Path(path).read_text(encoding="utf-8").splitlines().index("cuont = 3")
    done = run("band", "--kit", path)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"kit.toml:{line}: bands[0].cuont" in done.stderr
    assert "did you mean count?" in done.stderr


def test_faults_of_all_three_files_are_told_at_once(tmp_path: Path) -> None:
    """One run tells everything that has to be put right."""
    athlete = altered(tmp_path, "athlete", "arm_span_m = 1.66", "arm_span_m = 166")
    venue = altered(tmp_path, "venue", "room_in_front_m = 3.0", "room_in_front_m = 300")
    kit = altered(tmp_path, "kit", "force_n = 9.1", "force_n = 2.0")
    out = tmp_path / "out"
    request = ["--athlete", athlete, "--kit", kit, "--venue", venue, "--minutes", "18", "--out", str(out)]
    done = run("session", *request)
    assert (done.returncode, done.stdout) == (2, "")
    for said in ("athlete.toml:", "arm_span_m", "did you mean 1.66?", "kit.toml:", "force_n", "venue.toml:"):
        assert said in done.stderr, f"{said} is missing"
    assert not out.exists(), "a refused request made its folder"


@pytest.mark.parametrize("name", ["athlete", "kit", "venue"])
def test_a_file_that_is_not_there_is_refused(name: str, tmp_path: Path) -> None:
    """The message names the file."""
    missing = str(tmp_path / "nowhere.toml")
    done = run("setup", "seated_row", *with_file(name, missing))
    assert (done.returncode, done.stdout) == (2, "")
    assert "nowhere.toml" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_file_that_is_no_toml_is_refused(tmp_path: Path) -> None:
    """The message says in which line reading stopped."""
    broken = tmp_path / "kit.toml"
    broken.write_text('name = "shed"\n[[bands]\n', encoding="utf-8")
    done = run("band", "--kit", str(broken))
    assert (done.returncode, done.stdout) == (2, "")
    assert "kit.toml:2" in done.stderr


@pytest.mark.parametrize("minutes", ["0", "-5", "500", "ten"])
def test_minutes_that_are_no_time_are_refused(minutes: str, tmp_path: Path) -> None:
    """Nothing is written for a request that is refused."""
    done = run("session", *INPUT, "--minutes", minutes, "--out", str(tmp_path / "out"))
    assert (done.returncode, done.stdout) == (2, "")
    assert "--minutes" in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("command", ["band", "session", "setup"])
def test_a_missing_option_is_named(command: str) -> None:
    """A command without what it needs says what that is."""
    done = run(command)
    assert (done.returncode, done.stdout) == (2, "")
    assert "Missing" in done.stderr
