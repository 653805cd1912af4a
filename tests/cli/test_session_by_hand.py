"""`firstpush session` overruled by hand: kept, left out, swapped, dosed, made again, and what collides."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from command_line import INPUT, run

DAY = ("--date", "2026-11-25")


def made(folder: Path, *options: str) -> dict[str, Any]:
    """Return the document of a session made with these options."""
    done = run("session", *INPUT, *DAY, *options, "--out", str(folder))
    assert done.returncode == 0, done.stdout + done.stderr
    document: dict[str, Any] = json.loads((folder / "session.json").read_text(encoding="utf-8"))
    return document


def doses(document: dict[str, Any]) -> dict[str, str]:
    """Return exercises and doses."""
    return {item["exercise"]: item["dose"]["name"] for item in document["items"]}


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a session of twelve minutes with nothing asked by hand."""
    folder = tmp_path_factory.mktemp("first")
    made(folder, "--minutes", "12")
    return folder


def test_an_earlier_session_made_again_with_a_swap_keeps_the_rest(first: Path, tmp_path: Path) -> None:
    """One exercise of the earlier session for another: the new one is there, and no more than it had to changed."""
    before = doses(json.loads((first / "session.json").read_text(encoding="utf-8")))
    old = next(id_ for id_ in before if id_ in ("chin_tuck", "open_book_turn", "shoulder_blade_clock"))
    again = ("--again", str(first / "session.json"), "--swap", f"{old}=upper_trapezius_stretch")
    document = made(tmp_path, "--minutes", "12", *again)
    after = doses(document)
    assert "upper_trapezius_stretch" in after
    assert old not in after
    assert len(set(before.items()) & set(after.items())) >= len(before) - 2
    assert document["date"] == "2026-11-25"


def test_a_dose_an_aim_and_a_kind_are_held_to(tmp_path: Path) -> None:
    """Each shows in the document."""
    document = made(
        tmp_path,
        *("--minutes", "9", "--kind", "before a match"),
        *("--dose", "low_row=one set of eight", "--aim", "external rotation"),
    )
    assert document["kind"] == "before a match"
    assert doses(document)["low_row"] == "one set of eight"
    assert any("external rotation" in item["aims"] for item in document["items"])


@pytest.mark.parametrize(
    ("id_", "dose"), [("graded_push_lengths", "two easy lengths, twice"), ("seated_row", "one set of eight")]
)
def test_a_dose_that_nobody_is_given_unasked_is_done_when_asked(id_: str, dose: str, tmp_path: Path) -> None:
    """By its name: one that is there by hand, and one of fewer sets than the file has."""
    assert doses(made(tmp_path, "--minutes", "12", "--dose", f"{id_}={dose}"))[id_] == dose


def test_wishes_that_collide_are_told_with_what_would_help(tmp_path: Path) -> None:
    """Five minutes are too short for four exercises: exit code 1, nothing written, each way out named."""
    kept = ("low_row", "anti_rotation_press", "overhead_press", "half_circle_cones")
    options = [word for id_ in kept for word in ("--keep", id_)]
    done = run("session", *INPUT, *DAY, "--minutes", "5", *options, "--out", str(tmp_path / "out"), "--json")
    assert done.returncode == 1
    collision = json.loads(done.stdout)["collision"]
    assert "too short" in collision["because"]
    assert all(each["change"] for each in collision["wishes"])
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--keep", "low_rwo"), "low_row"),
        (("--swap", "low_row"), "OLD=NEW"),
        (("--dose", "low_row=a lot"), "one set of twelve"),
        (("--dose", "graded_push_lengths=a lot"), "two easy lengths, twice"),
        (("--aim", "rotation"), "external rotation"),
        (("--again", "no-such-file.json"), "no-such-file.json"),
    ],
)
def test_what_cannot_be_asked_is_told_and_writes_nothing(options: tuple[str, ...], said: str, tmp_path: Path) -> None:
    """The message names what would do."""
    done = run("session", *INPUT, *DAY, "--minutes", "12", *options, "--out", str(tmp_path / "out"))
    assert done.returncode in (1, 2)
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_at_home_no_venue_is_needed(tmp_path: Path) -> None:
    """In a hall it is; at home a room with nothing to tie to is assumed."""
    at = INPUT.index("--venue")
    without = [*INPUT[:at], *INPUT[at + 2 :]]
    refused = run("session", *without, *DAY, "--minutes", "12", "--out", str(tmp_path / "hall"))
    assert refused.returncode == 2
    assert "--venue" in refused.stderr
    done = run("session", *without, *DAY, "--kind", "home", "--minutes", "12", "--out", str(tmp_path / "home"))
    assert done.returncode == 0, done.stderr
    document = json.loads((tmp_path / "home" / "session.json").read_text(encoding="utf-8"))
    assert {item["part"] for item in document["items"]} == {"mobility", "strength", "control"}
