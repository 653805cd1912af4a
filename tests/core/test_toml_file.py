"""A TOML file is read with the line of every key, and every fault is told at once."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.toml_file import parse_toml, read_toml
from firstpush.core.toml_reader import Allowed, Reader

LENGTH = Allowed(low=0.2, high=3.0, unit="m")

TRICKY = '''# [not_a_table] and not = "a key"
name = "a # in a text, a ] and a } too"   # name = 2
path.to.key = 1
"quoted.key" = 'single "quotes" and a \\'
long = """
inside = 1
a \\""" still inside
"""
after_long = 2
list = [ 1, # one
  [ "a", "]" ],
  { x = 1,  y = "}" } ]
when = 1979-05-27 07:32:00Z

[table . inner]   # spaces are allowed
key = { a = { b = 3 } }
[[bands]]
name = "one"
pulls = [ { force_n = 1.0 },
          { force_n = 2.0 } ]
[bands.made]
year = 2020
[[bands.marks]]
at = 1
[[bands.marks]]
at = 2
[[bands]]
name = "two"
[[bands.marks]]
at = 3
'''


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("name", 2),
        ("path", 3),
        ("path.to.key", 3),
        ('"quoted.key"', 4),
        ("long", 5),
        ("after_long", 9),
        ("list", 10),
        ("list[0]", 10),
        ("list[1][1]", 11),
        ("list[2].y", 12),
        ("when", 13),
        ("table.inner", 15),
        ("table.inner.key.a.b", 16),
        ("bands", 17),
        ("bands[0]", 17),
        ("bands[0].pulls[0].force_n", 19),
        ("bands[0].pulls[1].force_n", 20),
        ("bands[0].made", 21),
        ("bands[0].made.year", 22),
        ("bands[0].marks[0].at", 24),
        ("bands[0].marks[1]", 25),
        ("bands[0].marks[1].at", 26),
        ("bands[1].name", 28),
        ("bands[1].marks[0].at", 30),
    ],
)
def test_key_has_its_line(key: str, line: int) -> None:
    """Each key is found on the line where it stands, counted by eye in the text above."""
    assert parse_toml(TRICKY, name="tricky.toml").lines[key] == line


def test_text_in_a_value_is_no_key() -> None:
    """Keys that stand in comments or texts only are not found."""
    lines = parse_toml(TRICKY, name="tricky.toml").lines
    assert not {"not", "not_a_table", "inside"} & set(lines)


def test_windows_line_ends_count_once() -> None:
    """Lines that end as on Windows, and a byte-order mark, change no line number."""
    windows = parse_toml(TRICKY.replace("\n", "\r\n"), name="x.toml")
    assert windows.lines == parse_toml(TRICKY, name="x.toml").lines


VALUES = (
    ["1.5"],
    ['"text # with [ ] { } ="'],
    ["'''", "k = 1", "[t]", "'''"],
    ['"""', '\\"""', '""""'],
    ["[", "  1, # [", "  2,", "]"],
    ['{ a = "}", b = [ 1, 2 ] }'],
    ["[ { a = 1 },", "  { a = 2 } ]"],
    ["true # k = 3"],
)


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[str, int]]:
    """Write a document line by line and note on which line each key was written."""
    lines: list[str] = []
    expected: dict[str, int] = {}

    def body(table: str) -> None:
        for index in range(draw(st.integers(0, 4))):
            lines.extend(draw(st.lists(st.sampled_from(["", "# x = 1", "  # [[t]]"]), max_size=2)))
            first, *rest = draw(st.sampled_from(VALUES))
            expected[f"{table}.k{index}".lstrip(".")] = len(lines) + 1
            lines.extend([f"k{index} = {first}", *rest])

    body("")
    for table in range(draw(st.integers(0, 3))):
        expected[f"t{table}"] = len(lines) + 1
        lines.append(f"[t{table}]")
        body(f"t{table}")
    for element in range(draw(st.integers(0, 3))):
        expected[f"many[{element}]"] = len(lines) + 1
        lines.append("[[many]]")
        body(f"many[{element}]")
    return "\n".join(lines), expected


def _all_keys(value: object, path: str = "") -> set[str]:
    if isinstance(value, dict):
        return {
            found
            for key, inner in value.items()
            for found in ({f"{path}.{key}".lstrip(".")} | _all_keys(inner, f"{path}.{key}".lstrip(".")))
        }
    if isinstance(value, list):
        return {
            found for i, inner in enumerate(value) for found in ({f"{path}[{i}]"} | _all_keys(inner, f"{path}[{i}]"))
        }
    return set()


@given(documents())
def test_line_numbers_of_any_document(document: tuple[str, dict[str, int]]) -> None:
    """In any document each key stands where it was written, and no key that `tomllib` reads is without a line."""
    text, expected = document
    lines = parse_toml(text, name="x.toml").lines
    assert {key: lines.get(key) for key in expected} == expected
    assert set(lines) == _all_keys(tomllib.loads(text))


def faults_of(text: str, **wanted: str) -> tuple[Fault, ...]:
    """Read `text` with one method of the reader for each key, and return the faults."""
    reader = Reader(parse_toml(text, name="x.toml"))
    for key, method in wanted.items():
        match method:
            case "number":
                reader.number(key, LENGTH)
            case "needed":
                reader.needed_number(key, LENGTH, write=f"Write {key} = 1.0")
            case "integer":
                reader.integer(key, Allowed(low=0, high=5, unit=""))
            case "boolean":
                reader.boolean(key)
            case "text":
                reader.needed_text(key, write=f"Write {key}")
            case "one_of":
                reader.one_of(key, ("full", "weak", "none"))
            case "names":
                reader.names(key, ("shunt", "epilepsy"))
            case "tables":
                reader.tables(key)
            case "table":
                reader.table(key)
    with pytest.raises(InputFileError) as caught:
        reader.finish()
    return caught.value.faults


@pytest.mark.parametrize(
    ("text", "method", "wrong"),
    [
        ("key = 172", "number", "172 m is out of range (did you mean 1.72? It looks like centimetres)"),
        ("key = 17.2", "number", "17.2 m is out of range (did you mean 1.72?)"),
        ("key = -1.5", "number", "-1.5 m is out of range (did you mean 1.5?)"),
        ("key = nan", "number", "nan m is out of range"),
        ("key = inf", "number", "inf m is out of range"),
        ("key = true", "number", "true is not a number"),
        ('key = "1,72"', "number", '"1,72" is not a number'),
        ('key = "unknown"', "needed", '"unknown" does not do here'),
        ("", "needed", "it is missing"),
        ("key = 6", "integer", "6 is out of range"),
        ("key = 4.5", "integer", "4.5 is not a whole number"),
        ("key = 1", "boolean", "1 is neither true nor false"),
        ('key = " "', "text", '" " is not a text'),
        ("key = 3", "text", "3 is not a text"),
        ('key = "weka"', "one_of", '"weka" is not known (did you mean "weak"?)'),
        ("key = 3", "one_of", "3 is not known"),
        ('key = "shunt"', "names", '"shunt" is not a list'),
        ('key = ["shnut"]', "names", '"shnut" is not known (did you mean "shunt"?)'),
        ("[key]", "tables", "a table is not a list of tables"),
        ("[[key]]", "table", "a list is not one table"),
    ],
)
def test_what_is_wrong_is_said_with_value_and_unit(text: str, method: str, wrong: str) -> None:
    """One wrong value makes one fault, which repeats the value with its unit and names the likely slip."""
    (fault,) = faults_of(text, key=method)
    assert fault.wrong == wrong
    assert fault.allowed
    assert fault.next_step


@pytest.mark.parametrize(
    ("text", "method"),
    [
        ("key = 1.72", "number"),
        ("key = 3", "number"),
        ('key = "unknown"', "number"),
        ("", "integer"),
        ("key = 5", "integer"),
        ("key = false", "boolean"),
        ('key = "weak"', "one_of"),
        ("key = []", "names"),
        ('key = "none"', "names"),
        ("[[key]]", "tables"),
        ("[key]", "table"),
    ],
)
def test_what_is_right_passes(text: str, method: str) -> None:
    """The same set-up with an allowed value leaves only the unknown key beside it as a fault."""
    (fault,) = faults_of("other = 1\n" + text, key=method)
    assert fault.key == "other"


def test_all_faults_come_at_once_in_the_order_of_the_file() -> None:
    """Three slips make three faults, each with its own line."""
    faults = faults_of('b = 172\nc = "x"\na = 0.0', a="number", b="number", c="integer")
    assert [(fault.key, fault.line) for fault in faults] == [("b", 1), ("c", 2), ("a", 3)]


def test_misspelt_key_names_the_nearest_and_is_not_missed_too() -> None:
    """A misspelt key that is needed makes one fault, not two."""
    (fault,) = faults_of("lenght = 1.0", length="needed")
    assert (fault.key, fault.line) == ("lenght", 1)
    assert "did you mean length?" in fault.wrong


def test_key_under_the_wrong_heading_is_sent_home() -> None:
    """A key that another table knows is sent there by name."""
    reader = Reader(parse_toml("upper_arm_m = 0.3\n[measured]\n", name="x.toml"))
    reader.table("measured").number("upper_arm_m", LENGTH)
    with pytest.raises(InputFileError, match=r"it belongs to \[measured\]"):
        reader.finish()


@pytest.mark.parametrize(
    ("text", "line", "next_step"),
    [
        ('a = 1\nmass_kg = 62,5\nb = "x"', 2, "Write a decimal point: 62.5"),
        ("a = 1\nname = Runa # the name\n", 2, 'Put words in quotation marks: name = "Runa"'),
        ("a = 1\nb = 1\na = 2\n", 3, "Take one of the two out: this name stands further up already"),
        ("[a]\n[b]\n[a]\n", 3, "Take one of the two out: this name stands further up already"),
        ("a = 1\n\n[b\n", 3, "Correct this line, or the one before it"),
        ('a = 1\nb = """\nc', 3, "Correct this line, or the one before it"),
    ],
)
def test_syntax_fault_has_its_line(text: str, line: int, next_step: str) -> None:
    """A file that is not TOML is refused with the line where reading stopped and the likely cure."""
    with pytest.raises(InputFileError) as caught:
        parse_toml(text, name="x.toml")
    (fault,) = caught.value.faults
    assert (fault.line, fault.next_step) == (line, next_step)


def test_missing_file_is_a_fault(tmp_path) -> None:
    """A file that is not there is told by the name the user gave."""
    with pytest.raises(InputFileError, match=r"nowhere\.toml: file: it cannot be read"):
        read_toml(tmp_path / "nowhere.toml")


def test_file_in_another_encoding_is_a_fault_with_its_line(tmp_path) -> None:
    """A letter saved in an old encoding is found on its line."""
    path = tmp_path / "old.toml"
    path.write_bytes(b'a = 1\nname = "R\xfcna"\n')
    with pytest.raises(InputFileError) as caught:
        read_toml(path)
    assert caught.value.faults[0].line == 2


def test_byte_order_mark_is_read_over(tmp_path) -> None:
    """A file with a byte-order mark reads like one without."""
    path = tmp_path / "mark.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\n")
    assert read_toml(path).data == {"a": 1}
