"""A list of athletes as text with columns: read, checked row by row, and written back where something is wrong."""

from __future__ import annotations

import csv
import difflib
import io
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from django.core.exceptions import ValidationError

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.people.athlete_file import athlete_from
from firstpush.web.athletes.fields import BODY, FUNCTION, HEALTH, PAIN, PAIN_KEY, Document, Field, put_at, sentence_of
from firstpush.web.athletes.new_form import LARGEST_NUMBER
from firstpush.web.forms import number_from

MOST_ROWS = 500
MOST_BYTES = 1_000_000
SEPARATORS = (";", "\t", ",")
BETWEEN_WORDS = "+"
"""Stands between several words in one cell, such as two conditions."""
SAMPLE_COLUMNS = (
    "name",
    "number",
    "mass_kg",
    "arm_span_m",
    "spinal_level",
    "conditions",
    "missing_limbs",
    "latex",
    "chair",
)
SAMPLE_ROWS = (
    ("Runa Velde", "7", "58.0", "1.66", "T10", "none", "none", "tolerated", "court"),
    ("Ilja Sandvoss", "12", "71.5", "1.79", "none", "none", "left above knee + right above knee", "unknown", "court"),
    ("Mareike Tordal", "", "49", "1.52", "", "spina bifida + shunt", "", "avoid", "daily"),
)


def _columns() -> dict[str, tuple[str, Field | None]]:
    """Return, for each column, the dotted key that it fills and its field; a column is named by the end of its key."""
    found: dict[str, tuple[str, Field | None]] = {"number": ("number", None), "chair": ("chairs[0].kind", None)}
    for field in (*BODY, *HEALTH):
        found[field.key.rpartition(".")[2]] = (field.key, field)
    for field in FUNCTION:
        # The unit stands in the name of a column; in the file it stands in the name of the table.
        _, part, *rest = field.key.split(".")
        found["_".join((part, *rest, *(["deg"] if field.unit == "°" else [])))] = (field.key, field)
    for field in PAIN:
        found[f"pain_{field.key}"] = (f"{PAIN_KEY}[0].{field.key}", field)
    return found


COLUMNS = _columns()


@dataclass(frozen=True, kw_only=True)
class RowRead:
    """One row of the list.

    Parameters
    ----------
    line : int
        Row of the text, counted from 1.
    cells : tuple of str
        As they stand there, in the order of the columns.
    faults : tuple of (column, sentence)
        The column is empty for what concerns the whole row.
    """

    line: int
    cells: tuple[str, ...]
    name: str
    number: int | None
    document: Document
    faults: tuple[tuple[str, str], ...]

    @property
    def good(self) -> bool:
        """Whether it can be saved."""
        return not self.faults


@dataclass(frozen=True, kw_only=True)
class ListRead:
    """The whole list; `faults` concern the list as such, and then no row was read."""

    columns: tuple[str, ...]
    separator: str
    rows: tuple[RowRead, ...]
    faults: tuple[str, ...]

    @property
    def good(self) -> tuple[RowRead, ...]:
        """The rows that can be saved."""
        return tuple(row for row in self.rows if row.good)

    @property
    def faulty(self) -> tuple[RowRead, ...]:
        """The rows that cannot."""
        return tuple(row for row in self.rows if not row.good)


def decoded(content: bytes) -> str:
    """Return the text of a file that a table program wrote, in whichever of the usual encodings."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def read_list(text: str, *, taken: Collection[str] = ()) -> ListRead:
    """Read a list of athletes.

    Parameters
    ----------
    text : str
        The first line names the columns; semicolons, tabs or commas between the cells.
    taken : collection of str
        Names that are in the club already.
    """
    lines = text.removeprefix("\ufeff").splitlines()
    first = next((line for line in lines if line.strip(" \t;,")), "")
    separator = max(SEPARATORS, key=first.count)
    try:
        table = [row for row in _numbered(lines, separator) if any(cell.strip() for cell in row[1])]
    except csv.Error as error:
        return _refused(
            separator, f"The text cannot be read as a table ({error}). Allowed: cells with semicolons between."
        )
    if not table:
        return _refused(
            separator, "There is nothing in it. Allowed: a line with the names of the columns, then a line each."
        )
    columns = tuple(cell.strip().casefold() for cell in table[0][1])
    while columns and not columns[-1]:
        columns = columns[:-1]
    faults = [*_faults_of_columns(columns)]
    if len(table) - 1 > MOST_ROWS:
        faults.append(f"{len(table) - 1} rows are too many at once. Allowed: up to {MOST_ROWS}. Take it in parts.")
    if faults:
        return _refused(separator, *faults, columns=columns)
    names = {name.strip().casefold() for name in taken}
    rows = []
    for line, cells in table[1:]:
        row = _row(line, cells, columns, separator, names)
        names.add(row.name.casefold())
        rows.append(row)
    return ListRead(columns=columns, separator=separator, rows=tuple(rows), faults=())


def _numbered(lines: list[str], separator: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(lines, delimiter=separator)
    for row in reader:
        yield reader.line_num, row


def _refused(separator: str, *faults: str, columns: tuple[str, ...] = ()) -> ListRead:
    return ListRead(columns=columns, separator=separator, rows=(), faults=faults)


def _faults_of_columns(columns: tuple[str, ...]) -> Iterator[str]:
    for name in columns:
        if name not in COLUMNS:
            near = difflib.get_close_matches(name, COLUMNS, n=1)
            hint = f" Did you mean {near[0]}?" if near else ""
            allowed = ", ".join(sorted(COLUMNS))
            yield f"There is no column {name or 'without a name'}.{hint} Allowed: {allowed}. Rename it."
        elif columns.count(name) > 1:
            yield f"The column {name} stands twice. Allowed: once. Take one out."
    if "name" not in columns:
        yield "There is no column name. Allowed: the first line names the columns, name among them. Add it."


def _row(line: int, cells: list[str], columns: tuple[str, ...], separator: str, names: set[str]) -> RowRead:
    given = {name: cell.strip() for name, cell in zip(columns, cells, strict=False)}
    faults: list[tuple[str, str]] = []
    document: Document = {}
    number: int | None = None
    extra = [cell for cell in cells[len(columns) :] if cell.strip()]
    if extra:
        faults.append(
            ("", f"{len(extra)} cells too many: {', '.join(extra)}. Allowed: {len(columns)}. Correct the row.")
        )
    for column, text in given.items():
        if not text:
            continue
        key, field = COLUMNS[column]
        try:
            value = _value(text, field, whole=column == "number")
        except ValidationError as error:
            faults.append((column, " ".join(error.messages)))
            continue
        if column == "number":
            number = value if isinstance(value, int) and 0 <= value <= LARGEST_NUMBER else None
            if number is None:
                faults.append((column, f"{text} is no number of a shirt. Allowed: a whole number from 0. Correct it."))
        else:
            _put(document, key, value)
    document.setdefault("chairs", [{"kind": "court"}])
    name = str(document.get("name", "")).strip()
    if name.casefold() in names and name:
        faults.append(
            ("name", f"{name} is in the club or in this list already. Allowed: a name of its own. Change one.")
        )
    faults += [each for each in _faults_of(document) if each[0] not in {column for column, _ in faults}]
    cells_kept = tuple((*cells, *[""] * len(columns))[: max(len(columns), len(cells))])
    return RowRead(line=line, cells=cells_kept, name=name, number=number, document=document, faults=tuple(faults))


def _value(text: str, field: Field | None, *, whole: bool) -> object:
    """Return the value of a cell as the document holds it; words are checked by core."""
    if whole:
        return number_from(text)
    if field is None or field.takes in ("text", "choice"):
        return text if field is None or field.takes == "text" else _as_written(text, field.choices)
    if field.takes == "many":
        words = [_as_written(word.strip(), field.choices) for word in text.split(BETWEEN_WORDS) if word.strip()]
        return words[0].casefold() if [word.casefold() for word in words] in (["none"], ["unknown"]) else words
    if field.word and text.casefold() == field.word:
        return field.word
    return number_from(text)


def _as_written(word: str, choices: tuple[str, ...]) -> str:
    """Return `word` as core writes it where only capitals differ."""
    return next((choice for choice in (*choices, "unknown") if choice.casefold() == word.casefold()), word)


def _put(document: Document, key: str, value: object) -> None:
    if key.startswith("chairs"):
        document["chairs"] = [{"kind": str(value).casefold()}]
    elif key.startswith(f"{PAIN_KEY}["):
        place = key.rpartition(".")[2]
        pain = document.setdefault("health", {}).setdefault("pain", [{}])
        if place == "place" and str(value).casefold() == "none":
            document["health"]["pain"] = "none"
        elif isinstance(pain, list):
            pain[0][place] = value
    else:
        put_at(document, key, value)


def _faults_of(document: Document) -> list[tuple[str, str]]:
    """Return what the reader of core finds, each with the column it is about."""
    try:
        athlete_from(document, where="row")
    except InputFileError as error:
        return [(_column_of(fault), sentence_of(fault)) for fault in error.faults]
    return []


def _column_of(fault: Fault) -> str:
    key = fault.key
    for column, (of, _) in COLUMNS.items():
        if key == of or (key.startswith(f"{of}[") and of != "chairs[0].kind"):
            return column
    return ""


def written(columns: tuple[str, ...], rows: Collection[tuple[str, ...]], *, separator: str = ";") -> str:
    """Return a list as text."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()


def sample() -> str:
    """Return a list to begin from, with invented athletes."""
    return written(SAMPLE_COLUMNS, SAMPLE_ROWS)
