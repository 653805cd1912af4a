"""`firstpush session`: what is written, twice the same, and nothing by halves."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from command_line import INPUT, run
from pypdf import PdfReader


@pytest.fixture(scope="module")
def twice(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Return two folders made by the same request."""
    folders = (tmp_path_factory.mktemp("first"), tmp_path_factory.mktemp("second"))
    for folder in folders:
        done = run("session", *INPUT, "--minutes", "18", "--out", str(folder))
        assert done.returncode == 0, done.stderr
    return folders


def written(folder: Path) -> dict[str, bytes]:
    """Return the content of every file in `folder`."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def test_the_same_request_writes_the_same_bytes(twice: tuple[Path, Path]) -> None:
    """Document, paper and drawings of two runs are identical, byte for byte."""
    first, second = (written(folder) for folder in twice)
    assert first.keys() == second.keys()
    for name, content in first.items():
        assert content == second[name], f"{name} differs between two runs"


def test_document_paper_and_drawings_are_written(twice: tuple[Path, Path]) -> None:
    """There is one drawing for each exercise of the session, and nothing else."""
    files = written(twice[0])
    document = json.loads(files["session.json"])
    drawings = {f"figures/{item['exercise']}.svg" for item in document["items"]}
    assert set(files) == {"session.json", "session.pdf", *drawings}
    assert files["session.pdf"].startswith(b"%PDF-")
    for name in drawings:
        assert files[name].lstrip().startswith(b"<svg"), f"{name} is no drawing"


def test_the_session_fits_the_minutes_and_counts_every_second(twice: tuple[Path, Path]) -> None:
    """The steps of the timeline follow each other without a gap, and end at the total."""
    document = json.loads((twice[0] / "session.json").read_text(encoding="utf-8"))
    clock = 0.0
    for step in document["timeline"]:
        assert step["start_s"] == pytest.approx(clock), f"a gap or overlap before {step}"
        assert step["end_s"] > step["start_s"], f"{step} takes no time"
        clock = step["end_s"]
    assert document["total_s"] == pytest.approx(clock)
    assert clock <= 18 * 60
    ends = [0, *(item["end_s"] for item in document["items"])]
    for item, before in zip(document["items"], ends, strict=False):
        assert item["start_s"] >= before, f"{item['exercise']} begins before the one before it has ended"


def test_what_is_printed_is_what_is_written(tmp_path: Path) -> None:
    """`--json` prints the document that is also in the file; remarks go to the other stream."""
    done = run("session", *INPUT, "--minutes", "10", "--out", str(tmp_path / "out"), "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == json.loads((tmp_path / "out" / "session.json").read_text(encoding="utf-8"))
    assert "session.pdf" in done.stderr


def test_the_table_names_every_exercise_and_every_one_left_out(tmp_path: Path) -> None:
    """What cannot be done here stands there with its reason; what fits less well is counted, its reasons on paper."""
    done = run("session", *INPUT, "--minutes", "10", "--out", str(tmp_path))
    document = json.loads((tmp_path / "session.json").read_text(encoding="utf-8"))
    assert done.returncode == 0, done.stderr
    assert document["left_out"], "ten minutes are too little for all six"
    for item in document["items"]:
        assert item["title"] in done.stdout
    told = [out for out in document["left_out"] if f": {out['reason']}." in done.stdout]
    assert done.stdout.count("Left out: ") == len(told)
    others = [out for out in document["left_out"] if out not in told]
    words = ("more", "fit into the time", "is a step of")
    assert all(any(word in out["reason"] for word in words) for out in others)
    assert f"{len(others)} more can be done here" in done.stdout
    page = "".join(page.extract_text() for page in PdfReader(tmp_path / "session.pdf").pages)
    for out in others:
        assert out["reason"].split(";")[0].replace(" ", "") in "".join(page.split()), out["exercise"]


def test_another_seed_or_another_minute_leaves_a_trace(twice: tuple[Path, Path], tmp_path: Path) -> None:
    """The checksum on the sheet changes with what it was made from."""
    run("session", *INPUT, "--minutes", "18", "--seed", "1", "--out", str(tmp_path))
    checksums = {
        json.loads((folder / "session.json").read_text(encoding="utf-8"))["input_checksum"]
        for folder in (twice[0], tmp_path)
    }
    assert len(checksums) == 2


def test_when_nothing_fits_the_time_nothing_is_written(tmp_path: Path) -> None:
    """One minute is no session: exit code 1, the shortest time that would do, no folder."""
    done = run("session", *INPUT, "--minutes", "1", "--out", str(tmp_path / "out"))
    assert done.returncode == 1
    assert "(session-too-short)" in done.stdout
    assert not (tmp_path / "out").exists()


def test_a_folder_that_cannot_be_written_gets_nothing(tmp_path: Path) -> None:
    """A file in the place of the folder for drawings: exit code 1, and no part of the session lies there."""
    (tmp_path / "figures").write_text("a file", encoding="utf-8")
    done = run("session", *INPUT, "--minutes", "10", "--out", str(tmp_path))
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["figures"]


def test_drawings_that_move_are_made_when_asked_for(tmp_path: Path) -> None:
    """With `--moving` each exercise of the session has a still and a moving drawing."""
    done = run("session", *INPUT, "--minutes", "5", "--out", str(tmp_path), "--moving")
    assert done.returncode == 0, done.stderr
    files = written(tmp_path)
    items = json.loads(files["session.json"])["items"]
    drawings = {f"figures/{item['exercise']}{kind}.svg" for item in items for kind in ("", "_moving")}
    assert set(files) == {"session.json", "session.pdf", *drawings}
    assert all(b"prefers-reduced-motion" in files[name] for name in drawings if name.endswith("_moving.svg"))
