"""A TOML file with the line of every key, which `tomllib` does not give; see `toml_reader` for the checking."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from firstpush.core.errors import Fault, InputFileError

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True, kw_only=True)
class TomlFile:
    """The content of a TOML file, and where each key stands.

    Parameters
    ----------
    name : str
        Name of the file as the user gave it.
    data : dict
        What `tomllib` read.
    lines : dict
        Line, counted from 1, of each dotted key, such as ``bands[1].pulls[0].force_n``.
    """

    name: str
    data: dict[str, Any]
    lines: dict[str, int] = field(default_factory=dict)


def key_path(parent: str, key: str) -> str:
    """Return the dotted key of `key` inside `parent`; a key that TOML must quote stays quoted.

    Examples
    --------
    >>> key_path("chairs[0]", "camber_deg")
    'chairs[0].camber_deg'
    """
    shown = key if _BARE_KEY.fullmatch(key) else json.dumps(key, ensure_ascii=False)
    return f"{parent}.{shown}" if parent else shown


def as_toml_file(document: Mapping[str, Any], *, where: str) -> TomlFile:
    """Return an already parsed `document` as if it had been read from a file, without lines.

    Parameters
    ----------
    document : mapping
        The structure that `tomllib` would give.  What is None, which TOML cannot hold, counts as left out.
    where : str
        What faults name in place of a file, such as ``athlete Runa Velde``.

    Examples
    --------
    >>> as_toml_file({"a": 1, "b": {"c": None}}, where="form").data
    {'a': 1, 'b': {}}
    """
    return TomlFile(name=where, data=_without_none(dict(document)))


def _without_none(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_none(each) for key, each in value.items() if each is not None}
    if isinstance(value, list):
        return [_without_none(each) for each in value]
    return value


def read_toml(path: str | Path) -> TomlFile:
    """Read the TOML file at `path` and find the line of every key.

    Raises
    ------
    InputFileError
        When there is no such file, or it is not TOML in UTF-8; the fault carries the line where reading stopped.
    """
    name = str(path)
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise InputFileError(
            [
                Fault(
                    file=name,
                    line=None,
                    key="file",
                    wrong=f"it cannot be read ({(error.strerror or 'unknown reason').lower()})",
                    allowed="a TOML file that exists",
                    next_step="Check the name and the folder",
                )
            ]
        ) from error
    except UnicodeDecodeError as error:
        raise InputFileError(
            [
                Fault(
                    file=name,
                    line=error.object[: error.start].count(b"\n") + 1,
                    key="file",
                    wrong="it holds a character that is not UTF-8",
                    allowed="text saved as UTF-8",
                    next_step="Save it again with the encoding UTF-8",
                )
            ]
        ) from error
    return parse_toml(text, name=name)


def parse_toml(text: str, *, name: str) -> TomlFile:
    r"""Read TOML `text`; `name` is the file name shown in faults.

    Examples
    --------
    >>> parse_toml('a = 1\nb = { c = 2 }', name="x.toml").lines
    {'a': 1, 'b': 2, 'b.c': 2}
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputFileError([_syntax_fault(str(error), text=text, name=name)]) from error
    return TomlFile(name=name, data=data, lines=_LineLocator(text.replace("\r\n", "\n")).lines())


def _syntax_fault(message: str, *, text: str, name: str) -> Fault:
    lines = text.splitlines()
    place = re.search(r"\(at (?:line (\d+), column \d+|end of document)\)", message)
    line = int(place[1]) if place and place[1] else max(1, len(lines))
    reason = message[: place.start()].strip() if place else message
    here = lines[line - 1].strip() if line <= len(lines) else ""
    key, _, value = (part.strip() for part in here.partition("="))
    next_step = "Correct this line, or the one before it"
    if decimal_comma := re.match(r"(-?\d+),(\d+)", value):
        next_step = f"Write a decimal point: {decimal_comma[1]}.{decimal_comma[2]}"
    elif re.match(r"[^\W\d]", value) and value not in ("true", "false"):
        next_step = f'Put words in quotation marks: {key} = "{value.split("#")[0].strip()}"'
    elif re.search(r"overwrite|twice", reason):
        next_step = "Take one of the two out: this name stands further up already"
    return Fault(
        file=name,
        line=line,
        key=key if _BARE_KEY.fullmatch(key) else "syntax",
        wrong=f"this is not TOML ({reason[:1].lower()}{reason[1:]})",
        allowed='lines such as name = "Hall cupboard" or mass_kg = 62.0, and headings such as [health] or [[bands]]',
        next_step=next_step,
    )


class _LineLocator:
    """Finds the line of each key in text that `tomllib` has already accepted.

    Since the text is known to be valid, only what moves the position matters: strings, comments, brackets, commas.
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._counted_to = 0
        self._line = 1
        self._lines: dict[str, int] = {}
        self._array_lengths: dict[str, int] = {}

    def lines(self) -> dict[str, int]:
        table = ""
        while self._skip_blank():
            if self._text.startswith("[[", self._at):
                table = self._heading(opening=2, is_array=True)
            elif self._text[self._at] == "[":
                table = self._heading(opening=1, is_array=False)
            else:
                self._key_and_value(table)
        return self._lines

    def _note(self, path: str) -> None:
        self._line += self._text.count("\n", self._counted_to, self._at)
        self._counted_to = self._at
        self._lines.setdefault(path, self._line)

    def _skip_blank(self) -> bool:
        """Move over spaces, newlines and comments; return whether anything is left."""
        while self._at < len(self._text):
            if self._text[self._at] == "#":
                end = self._text.find("\n", self._at)
                self._at = len(self._text) if end < 0 else end
            elif self._text[self._at].isspace():
                self._at += 1
            else:
                return True
        return False

    def _heading(self, *, opening: int, is_array: bool) -> str:
        self._at += opening
        path = ""
        parts = self._key_parts(end="]")
        for position, part in enumerate(parts):
            path = key_path(path, part)
            if is_array and position == len(parts) - 1:
                self._note(path)
                self._array_lengths[path] = self._array_lengths.get(path, 0) + 1
            if path in self._array_lengths:
                path = f"{path}[{self._array_lengths[path] - 1}]"
            self._note(path)
        self._at += opening
        return path

    def _key_and_value(self, table: str) -> None:
        path = table
        start = self._at
        parts = self._key_parts(end="=")
        end, self._at = self._at, start
        for part in parts:
            path = key_path(path, part)
            self._note(path)
        self._at = end + 1
        self._value(path)

    def _key_parts(self, *, end: str) -> list[str]:
        """Read a dotted key and stop at `end`."""
        parts: list[str] = []
        while True:
            self._skip_blank()
            character = self._text[self._at]
            if character == end:
                return parts
            if character == ".":
                self._at += 1
            elif character in "\"'":
                start = self._at
                self._string()
                parts.append(next(iter(tomllib.loads(f"{self._text[start : self._at]} = 0"))))
            else:
                bare = _BARE_KEY.match(self._text, self._at)
                assert bare is not None, "tomllib accepted this text, so a bare key stands here"
                parts.append(bare[0])
                self._at = bare.end()

    def _value(self, path: str) -> None:
        self._skip_blank()
        character = self._text[self._at]
        if character in "\"'":
            self._string()
        elif character == "[":
            self._array(path)
        elif character == "{":
            self._inline_table(path)
        else:
            while self._at < len(self._text) and self._text[self._at] not in ",]}#\n":
                self._at += 1

    def _string(self) -> None:
        quote = self._text[self._at]
        is_long = self._text.startswith(quote * 3, self._at)
        closing = quote * 3 if is_long else quote
        self._at += len(closing)
        while not self._text.startswith(closing, self._at):
            self._at += 2 if quote == '"' and self._text[self._at] == "\\" else 1
        self._at += len(closing)
        # A long string may end in up to two quotation marks of its own before the closing three.
        while is_long and self._text.startswith(quote, self._at):
            self._at += 1

    def _array(self, path: str) -> None:
        self._at += 1
        index = 0
        while self._skip_blank():
            if self._text[self._at] == "]":
                self._at += 1
                return
            if self._text[self._at] == ",":
                self._at += 1
                continue
            element = f"{path}[{index}]"
            self._note(element)
            self._value(element)
            index += 1

    def _inline_table(self, path: str) -> None:
        self._at += 1
        while self._skip_blank():
            if self._text[self._at] == "}":
                self._at += 1
                return
            if self._text[self._at] == ",":
                self._at += 1
                continue
            self._key_and_value(path)
