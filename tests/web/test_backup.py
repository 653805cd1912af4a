"""Backup and restore, and what the doctor says of a folder."""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from served import filled, serving
from test_serve import run

from firstpush.web import database as our_database
from firstpush.web.database import connect
from firstpush.web.folder import database_of
from firstpush.web.sessions import migrations


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the club of `club_people`; not to be changed."""
    folder: Path = tmp_path_factory.mktemp("original") / "club"
    filled(folder)
    return folder


@pytest.fixture
def club(original: Path, tmp_path: Path) -> Path:
    """Return a copy of the folder that a test may spoil."""
    folder = tmp_path / "club"
    folder.mkdir(mode=0o700)
    for path in original.iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
        (folder / path.name).chmod(0o600)
    return folder


def content(file: Path) -> list[str]:
    """Return every table with its definition and its rows: two with the same content hold the same."""
    with closing(connect(file)) as database:
        made = database.execute("SELECT name, sql FROM sqlite_master ORDER BY type, name").fetchall()
        tables = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name").fetchall()
        rows = [(name, *row) for (name,) in tables for row in database.execute(f'SELECT * FROM "{name}"')]
    return [str(each) for each in (*made, *rows)]


def spoil(file: Path) -> None:
    """Write noise over the middle of a file, as a failing disk does."""
    with file.open("r+b") as opened:
        opened.seek(file.stat().st_size // 2)
        opened.write(bytes(range(256)) * 64)


def test_a_backup_made_while_serving_brings_everything_back(club: Path, tmp_path: Path) -> None:
    """What was backed up is what comes back, to the last row; the backup can be read by its owner only."""
    file = tmp_path / "monday.sqlite3"
    with serving(club):
        done = run("backup", str(file), "--folder", str(club))
    assert done.returncode == 0, done.stderr
    assert content(file) == content(database_of(club))
    if os.name == "posix":
        assert file.stat().st_mode & 0o077 == 0
    fresh = tmp_path / "fresh"
    assert run("restore", str(file), "--folder", str(fresh)).returncode == 0
    assert content(database_of(fresh)) == content(file)
    assert "Runa Velde" in "".join(content(database_of(fresh)))


def test_nothing_is_written_over_unless_said_so(club: Path, tmp_path: Path) -> None:
    """Both commands name the option that would; a restore keeps what was there aside."""
    file = tmp_path / "monday.sqlite3"
    assert run("backup", str(file), "--folder", str(club)).returncode == 0
    before = file.read_bytes()
    refused = run("backup", str(file), "--folder", str(club))
    assert refused.returncode == 2
    assert "--overwrite" in refused.stderr
    assert file.read_bytes() == before
    with closing(connect(database_of(club))) as database:
        database.execute("UPDATE club_club SET name = 'Pier Wheels' WHERE name = 'Harbour Wheels'")
        database.commit()
    refused = run("restore", str(file), "--folder", str(club))
    assert refused.returncode == 2
    assert "--replace" in refused.stderr
    assert "Pier Wheels" in "".join(content(database_of(club)))
    assert run("restore", str(file), "--folder", str(club), "--replace").returncode == 0
    assert "Pier Wheels" not in "".join(content(database_of(club)))
    aside = list(club.glob("before-restore-*.sqlite3"))
    assert len(aside) == 1
    assert "Pier Wheels" in "".join(content(aside[0]))
    assert run("backup", str(file), "--folder", str(club), "--overwrite").returncode == 0


def test_a_damaged_backup_is_refused_and_changes_nothing(club: Path, tmp_path: Path) -> None:
    """Noise in the middle, half a file, no database at all, someone else's database: each is told."""
    good = tmp_path / "good.sqlite3"
    assert run("backup", str(good), "--folder", str(club)).returncode == 0
    before = content(database_of(club))
    spoilt, half, text, other = (tmp_path / name for name in ("spoilt", "half", "text", "other"))
    spoilt.write_bytes(good.read_bytes())
    spoil(spoilt)
    half.write_bytes(good.read_bytes()[: good.stat().st_size // 2])
    text.write_text("not a database, though long enough to be taken for one\n" * 20, encoding="utf-8")
    with closing(sqlite3.connect(other)) as database:
        database.execute("CREATE TABLE band (name TEXT)")
        database.commit()
    for file in (spoilt, half, text, other, tmp_path / "missing"):
        done = run("restore", str(file), "--folder", str(club), "--replace")
        assert done.returncode == 2, file.name
        assert "Allowed: a file made by firstpush backup" in done.stderr, file.name
        assert content(database_of(club)) == before, file.name
    assert not list(club.glob("before-restore-*"))


def test_under_a_running_server_nothing_is_restored(club: Path, tmp_path: Path) -> None:
    """The server would go on writing into the old file."""
    file = tmp_path / "monday.sqlite3"
    assert run("backup", str(file), "--folder", str(club)).returncode == 0
    with serving(club):
        done = run("restore", str(file), "--folder", str(club), "--replace")
    assert done.returncode == 2
    assert "End it first" in done.stderr


def test_a_folder_without_data_has_no_backup(tmp_path: Path) -> None:
    """The message names the folder."""
    done = run("backup", str(tmp_path / "x"), "--folder", str(tmp_path))
    assert done.returncode == 2
    assert str(tmp_path) in done.stderr
    assert not (tmp_path / "x").exists()


def findings(folder: Path) -> tuple[int, dict[str, dict[str, str]]]:
    """Return the exit code of the doctor, and what it found by what it looked at."""
    done = run("doctor", "--folder", str(folder), "--json")
    assert "Traceback" not in done.stderr
    return done.returncode, {each["about"]: each for each in json.loads(done.stdout)}


def test_the_doctor_finds_a_sound_folder_sound(club: Path) -> None:
    """Nothing to do, exit code 0, the journal as the library allows, and nothing changed by looking."""
    before = content(database_of(club))
    code, found = findings(club)
    assert [each for each in found.values() if each["to_do"]] == []
    assert code == 0
    assert found["journal"]["found"] == our_database.journal()
    assert found["database"]["found"].startswith("whole")
    assert content(database_of(club)) == before
    done = run("doctor", "--folder", str(club))
    assert (done.returncode, "wrong" in done.stdout) == (0, False)


def test_the_doctor_says_what_is_wrong_and_what_to_do(club: Path, tmp_path: Path) -> None:
    """Damage, open rights, tables that are behind, no folder: each has something to do, and exit code 1."""
    code, found = findings(tmp_path / "nowhere")
    assert code == 1
    assert "firstpush serve" in found["folder"]["to_do"]
    with closing(connect(database_of(club))) as database:
        database.execute("DELETE FROM django_migrations WHERE app = 'plans'")
        database.commit()
    if os.name == "posix":
        (club / "secret-key").chmod(0o644)
    code, found = findings(club)
    assert code == 1
    steps = len(list(Path(next(iter(migrations.__path__))).glob("0*.py")))
    assert found["tables"]["found"].startswith(f"{steps} steps behind")
    if os.name == "posix":
        assert "chmod 600" in found["rights"]["to_do"]
        assert "secret-key" in found["rights"]["found"]
    spoil(database_of(club))
    code, found = findings(club)
    assert code == 1
    assert found["database"]["found"].startswith("damaged")
    assert "restore" in found["database"]["to_do"]


def test_an_old_sqlite_gets_the_rollback_journal(monkeypatch: pytest.MonkeyPatch) -> None:
    """From 3.51.3 on the write-ahead log loses nothing; before it the slower journal is used. Both write through."""
    for version, mode in (((3, 40, 1), "delete"), ((3, 51, 2), "delete"), ((3, 51, 3), "wal"), ((3, 52, 0), "wal")):
        monkeypatch.setattr(our_database, "library_version", lambda version=version: version)
        options = our_database.django_database(None)["OPTIONS"]
        assert f"journal_mode={mode}" in options["init_command"], version
        assert "synchronous=FULL" in options["init_command"]
        assert options["transaction_mode"] == "IMMEDIATE"
