"""`firstpush programme`: what is written and told, and what is refused."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from command_line import INPUT, run
from pypdf import PdfReader

REQUEST = ("programme", *INPUT, "--minutes", "18", "--days", "mon,wed,fri", "--weeks", "6", "--from", "2026-12-07")


@pytest.fixture(scope="module")
def twice(tmp_path_factory: pytest.TempPathFactory) -> tuple[tuple[Path, str], tuple[Path, str]]:
    """Return two folders made by the same request, with what was printed."""
    made = []
    for name in ("first", "second"):
        folder = tmp_path_factory.mktemp(name)
        done = run(*REQUEST, "--match", "2026-12-12", "--break", "2026-12-28..2027-01-03", "--out", str(folder))
        assert done.returncode == 0, done.stderr
        made.append((folder, done.stdout))
    return made[0], made[1]


def test_three_files_are_written_and_the_same_twice(twice: tuple[tuple[Path, str], tuple[Path, str]]) -> None:
    """Document and paper byte for byte; the calendar but for the time it was made."""
    (first, told), (second, told_again) = twice
    names = ["programme.ics", "programme.json", "programme.pdf"]
    assert sorted(path.name for path in first.iterdir()) == names
    assert told == told_again
    for name in names[1:]:
        assert (first / name).read_bytes() == (second / name).read_bytes()
    without_stamp = [re.sub(rb"DTSTAMP:\w+", b"", (folder / names[0]).read_bytes()) for folder in (first, second)]
    assert without_stamp[0] == without_stamp[1]


def test_what_is_told_is_what_is_written(twice: tuple[tuple[Path, str], tuple[Path, str]]) -> None:
    """Every exercise of every day, every week, the weekly loads, the bounds."""
    (folder, told), _ = twice
    document = json.loads((folder / "programme.json").read_text(encoding="utf-8"))
    for each in document["exercises"]:
        assert each["title"] in told
    for week in document["weeks"]:
        assert re.search(rf"^{week['number']} .* to ", told, re.M)
        for load in week["weekly_load_s"].values():
            assert f"{round(load / 10) * 10} s" in told
    assert "Day before a match" in told
    assert "Before a match" in told
    assert re.search(r"Exercises and days: (proven best|nothing more than [\d.]+\s% better exists)\.", told)
    assert len(PdfReader(folder / "programme.pdf").pages) >= 4


def test_loads_stay_within_what_is_allowed(twice: tuple[tuple[Path, str], tuple[Path, str]]) -> None:
    """In the written document, each shoulder in each week, counted anew from the four training weeks before."""
    (folder, _), _ = twice
    weeks = json.loads((folder / "programme.json").read_text(encoding="utf-8"))["weeks"]
    for side in ("left", "right"):
        loads = [week["weekly_load_s"][side] for week in weeks]
        for at, load in enumerate(loads):
            before = [each for each in loads[:at] if each][-4:]
            if before:
                assert load <= 1.2 * sum(before) / len(before) + 0.2


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--days", "mon,monday"), "1 to 7 different days"),
        (("--days", "lun"), "1 to 7 different days"),
        (("--break", "2026-12-24..x"), "the first and the last with two dots between"),
        (("--break", "2026-12-24..2026-12-20"), "before it begins"),
        (("--match", "2027-03-01"), "is not in this programme"),
        (("--at", "half past five"), "hours and minutes, like 17:30"),
        (("--test-week", "7"), "allowed are 1 to 6"),
        (("--minutes", "1.5"), "too short for any exercise here"),
        (("--weeks", "27"), "27"),
        (("--light-week", "1"), "leaves no other"),
    ],
)
def test_a_wrong_request_is_refused_in_one_message(options: tuple[str, ...], words: str, tmp_path: Path) -> None:
    """Exit code 2, what is allowed on the standard error, nothing written."""
    done = run(*REQUEST, *options, "--out", str(tmp_path / "out"))
    assert done.returncode == 2
    assert words in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_at_home_no_venue_is_needed(tmp_path: Path) -> None:
    """A room and a door; in a hall the venue is asked for. A single day is a break; `--json` prints what is written."""
    without = [part for at, part in enumerate(REQUEST) if "--venue" not in (part, REQUEST[at - 1])]
    refused = run(*without, "--out", str(tmp_path / "hall"))
    assert refused.returncode == 2
    assert "--venue" in refused.stderr
    done = run(*without, "--kind", "home", "--break", "2026-12-11", "--out", str(tmp_path / "home"), "--json")
    assert done.returncode == 0, done.stderr
    written = json.loads((tmp_path / "home" / "programme.json").read_text(encoding="utf-8"))
    assert json.loads(done.stdout) == written
    assert written["breaks"] == [{"first": "2026-12-11", "last": "2026-12-11"}]
    assert "court" not in {each["part"] for each in written["exercises"]}
