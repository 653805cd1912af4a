"""A checking reader over a TOML file: it collects every fault, and `finish` raises them all at once."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.toml_file import TomlFile, key_path

Word = TypeVar("Word", bound=str)

UNKNOWN = "unknown"
"""The word that says so; it reads as None under every key."""

_ABSENT = object()
_LIKELY_SLIPS: dict[str, tuple[tuple[float, str], ...]] = {
    "m": (
        (100, " It looks like centimetres"),
        (1000, " It looks like millimetres"),
        (10, ""),
        (39.37, " It looks like inches"),
    ),
    "kg": ((1000, " It looks like grams"), (10, "")),
    "%": ((0.01, " It looks like a fraction"), (10, "")),
}
"""For each unit what a wrong number may have been multiplied by, likeliest first."""
_ANY_SLIP = ((10, ""), (100, ""), (0.1, ""), (-1, ""))


@dataclass(frozen=True, kw_only=True)
class Allowed:
    """The range a number may lie in, ends included, with its unit ("" for a pure number).

    Examples
    --------
    >>> str(Allowed(low=15, high=250, unit="kg"))
    '15 to 250 kg'
    """

    low: float
    high: float
    unit: str

    def __str__(self) -> str:
        return f"{self.low:g} to {self.high:g} {self.unit}".rstrip()

    def holds(self, value: float) -> bool:
        """Whether `value` lies in the range; never so for "not a number"."""
        return self.low <= value <= self.high

    def likely_slip(self, value: float) -> str:
        """Return a question that names the likely slip, or "" when none is in sight.

        Examples
        --------
        >>> Allowed(low=0.6, high=2.6, unit="m").likely_slip(172.0)
        ' (did you mean 1.72? It looks like centimetres)'
        """
        for divisor, why in (*_LIKELY_SLIPS.get(self.unit, ()), *_ANY_SLIP):
            if self.holds(meant := value / divisor):
                return f" (did you mean {meant:.4g}?{why})"
        return ""


@dataclass(frozen=True)
class _Missing:
    key: str
    allowed: str
    write: str


class Reader:
    """One table of a TOML file, read key by key; tables inside it are readers too.

    Every method that reads a key also marks it as known, so that `finish` can name the unknown ones.
    A key that is left out or "unknown" reads as None.  After a fault the methods with `write` in their arguments return
    a placeholder of the right type (for a number "not a number"): it never gets out, since `finish` raises.

    Parameters
    ----------
    file : TomlFile
        The file; the reader starts at its top table.
    """

    def __init__(self, file: TomlFile) -> None:
        self._file = file
        self._path = ""
        self._data: dict[str, Any] = file.data
        self._asked: list[str] = []
        self._missing: list[_Missing] = []
        self._all: list[Reader] = [self]
        self._faults: list[Fault] = []

    def _inside(self, path: str, data: dict[str, Any]) -> Reader:
        inner = Reader(self._file)
        inner._path, inner._data = path, data
        inner._all, inner._faults = self._all, self._faults
        self._all.append(inner)
        return inner

    @property
    def path(self) -> str:
        """Dotted key of this table; "" at the top."""
        return self._path

    def given(self, key: str) -> bool:
        """Whether `key` stands here with anything but "unknown"."""
        return bool(self._data.get(key, UNKNOWN) != UNKNOWN)

    def fault(self, key: str, *, wrong: str, allowed: str, next_step: str) -> None:
        """Collect a fault at `key` of this table; ``key[1]`` is its second element."""
        name, index, _ = key.partition("[") if key not in self._data else (key, "", "")
        path = key_path(self._path, name) + key[len(name) :] if index else key_path(self._path, key)
        self._faults.append(
            Fault(
                file=self._file.name,
                line=self._file.lines.get(path),
                key=path,
                wrong=wrong,
                allowed=allowed,
                next_step=next_step,
            )
        )

    def has_fault(self, key: str) -> bool:
        """Whether something is already known to be wrong at `key`: what rests on it need not be told too."""
        path = key_path(self._path, key)
        return any(each.key == path for each in self._faults) or any(each.key == key for each in self._missing)

    def read_nothing(self) -> None:
        """Take every key of this table as known: another fault makes its content pointless."""
        self._asked.extend(self._data)

    def missing(self, key: str, *, allowed: str, write: str) -> None:
        """Collect that `key` is needed and not there (dropped when a misspelt key explains it)."""
        self._missing.append(_Missing(key, allowed, write))

    def _value(self, key: str) -> Any:
        """Return what stands at `key`, None for "unknown", or `_ABSENT`."""
        if key not in self._asked:
            self._asked.append(key)
        value = self._data.get(key, _ABSENT)
        return None if value == UNKNOWN else value

    def _optional(self, key: str) -> Any:
        value = self._value(key)
        return None if value is _ABSENT else value

    def _needed(self, key: str, *, allowed: str, write: str) -> Any:
        value = self._value(key)
        if value is None:
            self.fault(key, wrong='"unknown" does not do here', allowed=allowed, next_step=write)
        elif value is _ABSENT:
            self.missing(key, allowed=allowed, write=write)
            value = None
        return value

    def number(self, key: str, allowed: Allowed) -> float | None:
        """Read a number in the unit of `allowed`."""
        return self._as_number(key, self._optional(key), allowed)

    def needed_number(self, key: str, allowed: Allowed, *, write: str) -> float:
        """Read a number that must be there; `write` says what to write."""
        value = self._as_number(key, self._needed(key, allowed=str(allowed), write=write), allowed)
        return math.nan if value is None else value

    def number_or_word(self, key: str, allowed: Allowed, word: str) -> float | str | None:
        """Read a number, or the one `word` that may stand in its place."""
        value = self._optional(key)
        if value == word:
            return word
        return self._as_number(key, value, allowed, also=word)

    def _as_number(
        self, key: str, value: Any, allowed: Allowed, *, also: str = "", whole: bool = False
    ) -> float | None:
        if value is None:
            return None
        choices = f'{allowed} or "{also}"' if also else str(allowed)
        if isinstance(value, bool) or not isinstance(value, int | float):
            next_step = f"Write a number in {allowed.unit}" if allowed.unit else "Write a number"
            if isinstance(value, str):
                next_step += ", without quotation marks and with a decimal point"
            self.fault(key, wrong=f"{shown(value)} is not a number", allowed=choices, next_step=next_step)
            return None
        if not allowed.holds(value):
            slip = "" if whole else allowed.likely_slip(value)
            self.fault(
                key,
                wrong=f"{f'{value!r} {allowed.unit}'.rstrip()} is out of range{slip}",
                allowed=choices,
                next_step="Correct the number, or measure again",
            )
            return None
        return float(value)

    def integer(self, key: str, allowed: Allowed) -> int | None:
        """Read a whole number in the unit of `allowed`."""
        return self._as_integer(key, self._optional(key), allowed)

    def needed_integer(self, key: str, allowed: Allowed, *, write: str) -> int:
        """Read a whole number that must be there; `write` says what to write."""
        value = self._as_integer(key, self._needed(key, allowed=str(allowed), write=write), allowed)
        return int(allowed.low) if value is None else value

    def _as_integer(self, key: str, value: Any, allowed: Allowed) -> int | None:
        number = self._as_number(key, value, allowed, whole=True)
        if number is None:
            return None
        if isinstance(value, float):
            self.fault(
                key,
                wrong=f"{value!r} is not a whole number",
                allowed=f"a whole number from {allowed}",
                next_step="Write it without a decimal point",
            )
            return None
        return int(number)

    def boolean(self, key: str) -> bool | None:
        """Read true or false."""
        value = self._optional(key)
        if value is None or isinstance(value, bool):
            return value
        self.fault(
            key,
            wrong=f"{shown(value)} is neither true nor false",
            allowed="true or false",
            next_step="Write true or false, without quotation marks",
        )
        return None

    def text(self, key: str) -> str | None:
        """Read words."""
        return self._as_text(key, self._optional(key))

    def needed_text(self, key: str, *, write: str) -> str:
        """Read words that must be there; `write` says what to write."""
        return self._as_text(key, self._needed(key, allowed="a text in quotation marks", write=write)) or ""

    def _as_text(self, key: str, value: Any) -> str | None:
        if value is None:
            return None
        if isinstance(value, str) and value.strip():
            return value.strip()
        self.fault(
            key,
            wrong=f"{shown(value)} is not a text",
            allowed="a text in quotation marks, not empty",
            next_step=f'Write {key} = "..."',
        )
        return None

    def one_of(self, key: str, words: Sequence[Word], *, also: str = "") -> Word | None:
        """Read one of `words`; `also` names what else the message should allow."""
        return self._as_one_of(key, self._optional(key), words, also=also)

    def needed_one_of(self, key: str, words: Sequence[Word], *, write: str) -> Word:
        """Read one of `words` that must be there; `write` says what to write."""
        value = self._needed(key, allowed=one_of_text(words), write=write)
        return self._as_one_of(key, value, words) or words[0]

    def _as_one_of(self, key: str, value: Any, words: Sequence[Word], *, also: str = "") -> Word | None:
        if value is None:
            return None
        for word in words:
            if word == value:
                return word
        near = _nearest(value, words) if isinstance(value, str) else None
        hint = f" (did you mean {shown(near)}?)" if near else ""
        self.fault(
            key,
            wrong=f"{shown(value)} is not known{hint}",
            allowed=one_of_text([*words, *([also] if also else [])]),
            next_step="Write one of these",
        )
        return None

    def names(self, key: str, words: Sequence[str]) -> frozenset[str] | None:
        """Read a list of names out of `words`; "none" and an empty list say that there are none."""
        value = self._optional(key)
        if value is None:
            return None
        if value == "none":
            return frozenset()
        if not isinstance(value, list):
            self.fault(
                key,
                wrong=f"{shown(value)} is not a list",
                allowed=f'"none", or a list of: {", ".join(words)}',
                next_step=f'Write {key} = ["{words[0]}"] or {key} = "none"',
            )
            return None
        found = [self._as_one_of(f"{key}[{i}]", each, words) for i, each in enumerate(value)]
        return frozenset(each for each in found if each is not None)

    def numbers(self, key: str, allowed: Allowed) -> list[float] | None:
        """Read a list of numbers in the unit of `allowed`."""
        value = self._optional(key)
        if value is None:
            return None
        if not isinstance(value, list):
            self.fault(
                key,
                wrong=f"{shown(value)} is not a list",
                allowed=f"a list of numbers, each {allowed}",
                next_step=f"Write {key} = [ ... ]",
            )
            return None
        found = [self._as_number(f"{key}[{i}]", each, allowed) for i, each in enumerate(value)]
        return [each for each in found if each is not None]

    def texts(self, key: str) -> list[str] | None:
        """Read a list of words, none of them empty."""
        value = self._optional(key)
        if value is None:
            return None
        if not isinstance(value, list):
            self.fault(
                key,
                wrong=f"{shown(value)} is not a list",
                allowed="a list of texts in quotation marks",
                next_step=f'Write {key} = ["...", "..."]',
            )
            return None
        found = [self._as_text(f"{key}[{i}]", each) for i, each in enumerate(value)]
        return [each for each in found if each is not None]

    def is_table(self, key: str) -> bool:
        """Whether a table stands at `key`, for a key that takes a list or a table."""
        return isinstance(self._data.get(key), dict)

    def is_list(self, key: str) -> bool:
        """Whether a list stands at `key`, for a key that takes a list or a table."""
        return isinstance(self._data.get(key), list)

    def table(self, key: str) -> Reader:
        """Read the table at `key`; an empty one where it is left out."""
        value = self._optional(key)
        if value is None:
            value = {}
        elif not isinstance(value, dict):
            self.fault(
                key,
                wrong=f"{shown(value)} is not one table",
                allowed=f"[{key_path(self._path, key)}] with its keys below, or {key} = {{ ... }}",
                next_step="Write it so, once",
            )
            value = {}
        return self._inside(key_path(self._path, key), value)

    def tables(self, key: str) -> list[Reader]:
        """Read the list of tables at `key`; an empty list where it is left out."""
        return self.tables_or_none(key) or []

    def tables_or_none(self, key: str, *, word: str = "") -> list[Reader] | None:
        """Read the list of tables at `key`: None where unknown, an empty list where `word` (such as "none") stands."""
        value = self._optional(key)
        if value is None:
            return None
        if word and value == word:
            return []
        path = key_path(self._path, key)
        if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
            choices = f"[[{path}]] before each, or {key} = [ {{ ... }}, {{ ... }} ]"
            self.fault(
                key,
                wrong=f"{shown(value)} is not a list of tables",
                allowed=f'{choices}, or "{word}"' if word else choices,
                next_step=f"Write [[{path}]] before each one",
            )
            return []
        return [self._inside(f"{path}[{i}]", each) for i, each in enumerate(value)]

    def refuse_same_names(self, readers: Iterable[Reader]) -> None:
        """Collect a fault for every name that an earlier table of `readers` bears already; case does not count."""
        first: dict[str, Reader] = {}
        for reader in readers:
            name = reader._data.get("name")
            if not isinstance(name, str):
                continue
            other = first.setdefault(name.strip().casefold(), reader)
            if other is not reader:
                line = self._file.lines.get(key_path(other.path, "name"))
                reader.fault(
                    "name",
                    wrong=f"{shown(name)} is taken by {other.path}{f' (line {line})' if line else ''}",
                    allowed="a name of its own for each",
                    next_step="Rename one, or raise the count of the first if they are alike",
                )

    def finish(self) -> None:
        """Raise all faults, in the order of the file.

        Raises
        ------
        InputFileError
            When anything read since the start was wrong, missing or not known.
        """
        explained = {each for reader in self._all for each in reader._find_unknown_keys()}
        for reader in self._all:
            reader._find_missing_keys(explained)
        if self._faults:
            raise InputFileError(sorted(self._faults, key=self._place))

    def _place(self, fault: Fault) -> tuple[int, str]:
        path = fault.key
        while path and path not in self._file.lines:
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        return self._file.lines.get(path, 0), fault.key

    def _heading(self) -> str:
        if not self._path:
            return "the top of the file, before the first heading"
        table, index, _ = self._path.rpartition("[")
        return f"[[{table}]]" if index else f"[{self._path}]"

    def _find_unknown_keys(self) -> list[tuple[str, str]]:
        """Collect a fault for each unknown key; return the table and key that each most likely stands for."""
        explained: list[tuple[str, str]] = []
        for key in self._data:
            if key in self._asked:
                continue
            near = _nearest(key, self._asked)
            # A line written under the wrong heading is a commoner slip than a name that happens to look like another.
            elsewhere = next((reader for reader in self._all if key in reader._asked), None)
            if elsewhere:
                explained.append((elsewhere._path, key))
                hint, next_step = f"; it belongs to {elsewhere._heading()}", "Move the line there"
            elif near:
                explained.append((self._path, near))
                hint, next_step = f" (did you mean {near}?)", "Correct the name (the unit is part of it)"
            else:
                hint, next_step = "", "Correct the name, or take the line out"
            self.fault(
                key,
                wrong=f"there is no such key here{hint}",
                allowed=", ".join(sorted(self._asked)),
                next_step=next_step,
            )
        return explained

    def _find_missing_keys(self, explained: set[tuple[str, str]]) -> None:
        for gap in self._missing:
            if (self._path, gap.key) not in explained:
                line = self._file.lines.get(self._path)
                where = f" from the table that starts at line {line}" if line else ""
                self.fault(gap.key, wrong=f"it is missing{where}", allowed=gap.allowed, next_step=gap.write)


def shown(value: object) -> str:
    """Return `value` as it would stand in the file, shortened."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return f'"{value}"'
        case list():
            return "a list" if value else "an empty list"
        case dict():
            return "a table"
        case _:
            return str(value)


def one_of_text(words: Iterable[str]) -> str:
    """Return `words` as a choice in quotation marks."""
    return ", ".join(f'"{word}"' for word in words)


def _nearest(given: str, known: Sequence[str]) -> str | None:
    by_lower = {word.casefold(): word for word in known}
    near = difflib.get_close_matches(given.casefold(), by_lower, n=1)
    return by_lower[near[0]] if near else None
