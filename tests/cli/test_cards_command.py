"""`firstpush cards` and `firstpush catalogue`: what is written, what is told, and nothing by halves."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from command_line import INPUT, run

NAMES = ("external_rotation_90", "chest_stretch_post")


def kit_without_bands(folder: Path) -> tuple[str, ...]:
    """Return the demo files as options, with a cupboard that holds cones and chocks only."""
    path = folder / "kit.toml"
    path.write_text(
        'name = "Empty cupboard"\n[cones]\ncount = 4\n[blocking]\nchocks = 4\nchock_height_m = 0.08\n', encoding="utf-8"
    )
    options = list(INPUT)
    options[options.index("--kit") + 1] = str(path)
    return tuple(options)


def test_two_exercises_give_two_files_and_a_line_each(tmp_path: Path) -> None:
    """Both versions lie in the folder; the table has one line an exercise."""
    done = run("cards", *NAMES, *INPUT, "--out", str(tmp_path / "out"))
    assert done.returncode == 0, done.stderr
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["cards.pdf", "cards_practitioner.pdf"]
    assert "External rotation at 90° abduction" in done.stdout
    assert "Moving chest stretch at a post" in done.stdout
    for name in ("cards.pdf", "cards_practitioner.pdf"):
        assert (tmp_path / "out" / name).read_bytes().startswith(b"%PDF-")
        assert f"wrote {tmp_path / 'out' / name}" in done.stderr


def test_the_same_request_writes_the_same_bytes(tmp_path: Path) -> None:
    """Two runs of one request give the same files."""
    for out in ("first", "second"):
        assert run("cards", "chest_stretch_post", *INPUT, "--out", str(tmp_path / out)).returncode == 0
    for name in ("cards.pdf", "cards_practitioner.pdf"):
        assert (tmp_path / "first" / name).read_bytes() == (tmp_path / "second" / name).read_bytes()


def test_what_has_no_set_up_is_told_and_not_made(tmp_path: Path) -> None:
    """The reason stands on the error stream and in the JSON; the other card is made."""
    done = run("cards", *NAMES, *kit_without_bands(tmp_path), "--out", str(tmp_path / "out"), "--json")
    assert done.returncode == 0, done.stderr
    document = json.loads(done.stdout)
    assert [each["exercise"] for each in document["made"]] == ["chest_stretch_post"]
    (not_made,) = document["not_made"]
    assert not_made["exercise"] == "external_rotation_90"
    assert f"No card: {not_made['title']}: {not_made['reason']}." in done.stderr


def test_without_any_card_nothing_is_written(tmp_path: Path) -> None:
    """Exit code 1, the reason, no folder."""
    done = run("cards", "external_rotation_90", *kit_without_bands(tmp_path), "--out", str(tmp_path / "out"))
    assert done.returncode == 1
    assert "No card: External rotation at 90° abduction: " in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("command", ["cards", "catalogue"])
def test_an_unknown_exercise_is_refused_with_the_nearest_name(command: str, tmp_path: Path) -> None:
    """Exit code 2, and the name that was probably meant."""
    more = INPUT if command == "cards" else ()
    done = run(command, "seated_rwo", *more, "--out", str(tmp_path / "out"))
    assert done.returncode == 2
    assert "did you mean 'seated_row'?" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_contact_sheet_of_two_is_one_file(tmp_path: Path) -> None:
    """Without files of an athlete it is drawn for the reference body."""
    done = run("catalogue", *NAMES, "--out", str(tmp_path / "sheet" / "catalogue.pdf"))
    assert done.returncode == 0, done.stderr
    assert [path.name for path in (tmp_path / "sheet").iterdir()] == ["catalogue.pdf"]
    assert (tmp_path / "sheet" / "catalogue.pdf").read_bytes().startswith(b"%PDF-")
    assert done.stdout == ""


def test_a_contact_sheet_takes_all_three_files_or_none(tmp_path: Path) -> None:
    """One file alone is a wrong request that names the missing ones."""
    done = run("catalogue", *NAMES, *INPUT[:2], "--out", str(tmp_path / "catalogue.pdf"))
    assert done.returncode == 2
    assert "--kit and --venue is missing" in done.stderr
    assert list(tmp_path.iterdir()) == []
