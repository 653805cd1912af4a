"""Every error that core raises on purpose, as one tree.

    FirstpushError                 one sentence: what is wrong, what is allowed, what to do next
    ├── InputFileError             an athlete, kit or venue file has faults; carries all of them
    ├── ExerciseError              an exercise file has faults; carries all of them
    ├── UnknownNameError           a name that is not in a fixed list; says which would work
    ├── OutOfRangeError            a value outside the range a method holds for
    ├── CourseError                a course that no chair can drive as it is (`firstpush.core.courses.course`)
    └── EntryError                 what was sent as an entry is none

A set-up or a session that does not exist is no error but an answer: see `firstpush.core.notices`.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


class FirstpushError(Exception):
    """Something asked for cannot be done; the message says what is allowed and what to do next."""


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One thing wrong in a file: where, what, what is allowed, what to do.

    Parameters
    ----------
    file : str
        Name of the file as the user gave it.
    line : int or None
        Line in the file, counted from 1; None when a key is missing altogether.
    key : str
        Dotted key, for example ``chairs[0].camber_deg``.
    wrong : str
        What is wrong, with the value and unit that was given.
    allowed : str
        What would work.
    next_step : str
        What to do now.
    """

    file: str
    line: int | None
    key: str
    wrong: str
    allowed: str
    next_step: str

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{place}: {self.key}: {self.wrong}. Allowed: {self.allowed}. {self.next_step}."


class _FileError(FirstpushError):
    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class InputFileError(_FileError):
    """An athlete, kit or venue file has faults; `faults` holds all of them at once."""


class ExerciseError(_FileError):
    """An exercise file has faults; `faults` holds all of them at once."""


class UnknownNameError(FirstpushError):
    """A name that is not in a fixed list.

    Examples
    --------
    >>> str(UnknownNameError(kind="exercise", given="rwo", known=["row", "press"]))
    "there is no exercise 'rwo'; did you mean 'row'? Known: press, row. Give one of these names."
    """

    def __init__(self, *, kind: str, given: str, known: Iterable[str]) -> None:
        self.given = given
        self.known = tuple(sorted(known))
        near = difflib.get_close_matches(given, self.known, n=1)
        hint = f"; did you mean {near[0]!r}?" if near else "."
        super().__init__(f"there is no {kind} {given!r}{hint} Known: {', '.join(self.known)}. Give one of these names.")


class OutOfRangeError(FirstpushError):
    """A value outside the range that a method holds for."""


class EntryError(FirstpushError):
    """What was sent as an entry of a session is none; says every fault."""
