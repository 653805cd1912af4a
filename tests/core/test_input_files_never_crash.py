"""Whatever stands in an input file, it is read or refused with its faults; it never breaks the reader."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete_file import load_athlete
from firstpush.demo import demo_file

LOADERS = {"athlete": load_athlete, "kit": load_kit, "venue": load_venue}
VALUES = (
    "0",
    "-1",
    "1e9",
    "nan",
    "true",
    "1979-05-27",
    '""',
    '"none"',
    '"unknown"',
    '"full"',
    "[]",
    "[ 1 ]",
    "[ [ 1 ], { a = 1 } ]",
    "{}",
    "{ a = 1 }",
    "[ {} ]",
    '[ { name = "x" } ]',
)


def faults_of(name: str, path: Path) -> tuple[Fault, ...]:
    """Return the faults of the file, none when it is read; any other exception breaks the test."""
    try:
        LOADERS[name](path)
    except InputFileError as error:
        return error.faults or pytest.fail("a file was refused without a fault")
    return ()


@pytest.mark.parametrize("name", LOADERS)
@given(st.data())
def test_any_value_at_any_key_is_read_or_refused(tmp_path_factory, name: str, data: st.DataObject) -> None:
    """Up to three values of a demo file replaced by others: an object comes out, or faults that point into the file."""
    text = demo_file(name).read_text(encoding="utf-8")
    for _ in range(data.draw(st.integers(1, 3))):
        places = list(re.finditer(r"(?<== )(\"[^\"]*\"|[\d.]+|true|false)", text))
        place = data.draw(st.sampled_from(places))
        text = text[: place.start()] + data.draw(st.sampled_from(VALUES)) + text[place.end() :]
    path = tmp_path_factory.mktemp("any") / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    faults = faults_of(name, path)
    assert all(fault.line is None or 1 <= fault.line <= len(text.splitlines()) for fault in faults)


@pytest.mark.parametrize("name", LOADERS)
@given(st.data())
def test_any_line_left_out_is_read_or_refused(tmp_path_factory, name: str, data: st.DataObject) -> None:
    """A line cut out anywhere, as in a careless edit, breaks nothing but the file."""
    lines = demo_file(name).read_text(encoding="utf-8").splitlines()
    cut = data.draw(st.sets(st.integers(0, len(lines) - 1), min_size=1, max_size=4))
    path = tmp_path_factory.mktemp("cut") / f"{name}.toml"
    path.write_text("\n".join(line for i, line in enumerate(lines) if i not in cut), encoding="utf-8")
    assert all(fault.next_step for fault in faults_of(name, path))
