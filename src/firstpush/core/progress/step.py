"""One step in what an exercise asks of an athlete: by what lever, to which set-up and dose, by how much."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.measured import Measured
from firstpush.core.people.athlete import Side
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.setup.uncertainty import QUANTILES

Direction = Literal["harder", "easier"]
Size = Literal["usual", "after a hard effort", "after pain"]
Of = Literal["moment", "turning load", "time", "turn", "ball mass", "trunk"]

LEVERS = (
    "distance",
    "slack mark",
    "height",
    "band",
    "strands",
    "ball mass",
    "added turn",
    "hold time",
    "repetitions",
    "tempo",
    "links alone",
    "one arm",
)
"""What an exercise may list as harder or easier."""
LAID: tuple[str, ...] = ("distance", "slack mark", "height", "band", "strands")
"""Levers that are laid on the floor or tied."""
WHOLE_EXERCISE = "another exercise"

OF_WORDS: dict[Of, str] = {
    "moment": "load",
    "turning load": "turning load",
    "time": "time under load",
    "turn": "turn",
    "ball mass": "weight of the ball",
    "trunk": "pull that the trunk has to hold",
}
"""What changes, as it stands behind the number."""

SMALLEST_STEP = Measured(
    name="smallest step that is worth a change",
    value=0.05,
    unit="1",
    spread=0.0,
    source="below it a set feels as before: a point of effort more or less is noise",
    known="our choice",
)
LARGEST_STEP = Measured(
    name="largest usual step",
    value=0.15,
    unit="1",
    spread=0.0,
    source="small steps, one a week; three of 10 % are +33 %",
    known="our choice",
)
AIMED_STEP = Measured(
    name="step aimed at", value=0.10, unit="1", spread=0.0, source="a tenth at a time", known="common practice"
)
MOST_HARDER = Measured(
    name="load beyond which a step is not proposed, only shown",
    value=0.20,
    unit="1",
    spread=0.0,
    source="weekly load up by less than 20 % is the reference for injury in youth handball (Moller 2017, read)",
    known="our choice",
)
MOST_TIME = Measured(
    name="time under load beyond which a step is not proposed, only shown",
    value=0.50,
    unit="1",
    spread=0.0,
    source="one set more on top of two",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class Window:
    """The sizes of a step that are wanted, without sign [1].

    `smaller_is_worse` says how many times worse it is to stay below than to go beyond.
    """

    low: float
    high: float
    aim: float
    smaller_is_worse: float = 1.0

    def holds(self, change: float) -> bool:
        """Whether a relative change lies inside, its direction left aside."""
        return self.low - 1e-9 <= abs(change) <= self.high + 1e-9

    def off(self, change: float) -> float:
        """Return how far a relative change lies outside, 0 inside [1]."""
        if self.holds(change):
            return 0.0
        return max(self.smaller_is_worse * (self.low - abs(change)), abs(change) - self.high)

    def takes(self, change: RelativeChange) -> bool:
        """Whether a change lies inside and is sure: no end of its range is nearer to nothing than half the smallest."""
        return self.holds(change.value) and change.near >= self.low / 2

    @property
    def words(self) -> str:
        """In per cent: "5 to 15 %"."""
        return f"{100 * self.low:.0f} to {100 * self.high:.0f} %"


def _size(name: str, value: float) -> Measured:
    return Measured(name=name, value=value, unit="1", spread=0.0, source="", known="our choice")


AFTER_EFFORT = (
    _size("smallest easier step after an effort above 15", 0.10),
    _size("largest easier step after an effort above 15", 0.30),
    _size("easier step aimed at after an effort above 15", 0.20),
)
AFTER_PAIN = (
    _size("smallest easier step after pain", 0.20),
    _size("largest easier step after pain", 0.40),
    _size("easier step aimed at after pain", 0.30),
)
TOO_LITTLE = _size("how many times worse it is to lighten too little than too much", 10.0)
WINDOWS: dict[Size, Window] = {
    "usual": Window(low=SMALLEST_STEP.value, high=LARGEST_STEP.value, aim=AIMED_STEP.value),
    "after a hard effort": Window(
        low=AFTER_EFFORT[0].value,
        high=AFTER_EFFORT[1].value,
        aim=AFTER_EFFORT[2].value,
        smaller_is_worse=TOO_LITTLE.value,
    ),
    "after pain": Window(
        low=AFTER_PAIN[0].value, high=AFTER_PAIN[1].value, aim=AFTER_PAIN[2].value, smaller_is_worse=TOO_LITTLE.value
    ),
}
"""The wanted sizes; the last two are for an easier step alone."""


@dataclass(frozen=True, kw_only=True)
class RelativeChange:
    """By how much something changes, with the range that nine of ten paired samples lie in [1].

    Parameters
    ----------
    of : str
        "moment" and "turning load" in N·m, "time" under load, "turn" of the trunk, "ball mass", or "trunk", the share
        of what the trunk holds that is used.
    before, after : float
        What it is before and after [N·m, s, rad, kg or 1].

    Examples
    --------
    >>> str(RelativeChange(value=0.09, low=0.071, high=0.112, of="moment", before=11.0, after=12.0))
    '+9 % (7-11)'
    >>> str(RelativeChange(value=-0.3, low=-0.34, high=-0.27, of="moment", before=10.0, after=7.0))
    '−30 % (27-34)'
    >>> str(RelativeChange(value=0.1, low=0.1, high=0.1, of="time", before=100.0, after=110.0))
    '+10 %'
    """

    value: float
    low: float
    high: float
    of: Of
    before: float
    after: float

    def __str__(self) -> str:
        sign = "+" if self.value >= 0 else "−"
        words = f"{sign}{abs(100 * self.value):.0f} %"
        if self.low == self.high:
            return words
        if self.low < 0 < self.high:
            return f"{words} ({_signed(self.low)} to {_signed(self.high)})"
        return f"{words} ({100 * self.near:.0f}-{100 * max(abs(self.low), abs(self.high)):.0f})"

    @property
    def near(self) -> float:
        """The end of the range that is nearer to no change, without sign; 0 where the range holds it."""
        return min(abs(self.low), abs(self.high)) if self.sure else 0.0

    @property
    def sure(self) -> bool:
        """Whether the whole range has the sign of the value."""
        return self.low > 0 or self.high < 0


def _signed(share: float) -> str:
    return f"{'+' if share >= 0 else '−'}{abs(100 * share):.0f}"


def exact(before: float, after: float, of: Of) -> RelativeChange:
    """Return the change of something that is counted or set, not predicted."""
    value = after / before - 1
    return RelativeChange(value=value, low=value, high=value, of=of, before=before, after=after)


def paired(before: float, after: float, ratio: Array, of: Of) -> RelativeChange:
    """Return the change from `before` to `after` with its range from the `ratio` of paired samples, (N,)."""
    value = after / before - 1
    low, high = (float(each) - 1 for each in np.quantile(ratio, QUANTILES))
    return RelativeChange(value=value, low=min(low, value), high=max(high, value), of=of, before=before, after=after)


@dataclass(frozen=True, kw_only=True)
class AsDone:
    """An exercise as one athlete does it now.

    Parameters
    ----------
    exercise : Exercise
        As it stands in its file, or as an earlier step left it.
    setups : mapping of side to ExerciseSetup
        Of every side that works; an exercise of both arms together stands under the side its set-up was made for.
    dose : DoseOption
    """

    exercise: Exercise
    setups: Mapping[Side, ExerciseSetup]
    dose: DoseOption

    @property
    def arms(self) -> tuple[Side, ...]:
        """Sides that have a set-up, in their order."""
        return tuple(self.setups)


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step that can be done here.

    Parameters
    ----------
    levers : tuple of str
        Of `LEVERS`, or `WHOLE_EXERCISE`.
    exercise : Exercise
        As it is done then; the same as before unless its poses change, or it is another one.
    setups : dict of side to ExerciseSetup
        Of every side; those that stay are the same values as before.
    dose : DoseOption
    changes : dict of side to RelativeChange
        Of the sides that change; empty where two exercises load different axes.
    words : str
        What is changed on court, without the change in load: "distance 1.20 → 1.30 m".
    inside : bool
        Whether every change lies inside the window, and surely so.
    added_turn : float
        What the trunk turns or leans further than before [rad].
    link : int or None
        The only link of a chain that is done then, where that is the step.
    """

    levers: tuple[str, ...]
    exercise: Exercise
    setups: Mapping[Side, ExerciseSetup]
    dose: DoseOption
    changes: Mapping[Side, RelativeChange] = field(default_factory=dict)
    words: str
    inside: bool
    added_turn: float = 0.0
    link: int | None = None

    @property
    def lever(self) -> str:
        """The levers in words."""
        return " and ".join(self.levers)

    @property
    def things_changed(self) -> int:
        """How many things are other than before."""
        return len(self.levers)

    @property
    def change(self) -> RelativeChange | None:
        """The largest change of a side."""
        return max(self.changes.values(), key=lambda each: abs(each.value), default=None)

    @property
    def change_words(self) -> str:
        """The change with what it is of: "+9 % (7-11) of the load"; with two sides that differ, of each."""
        texts = {side: str(change) for side, change in self.changes.items()}
        if self.change is None:
            return "in another axis, so not known in numbers"
        of = OF_WORDS[self.change.of]
        if len(set(texts.values())) == 1:
            return f"{next(iter(texts.values()))} of the {of}"
        return ", ".join(f"{side} {text}" for side, text in texts.items()) + f" of the {of}"


@dataclass(frozen=True, kw_only=True)
class StepAnswer:
    """The best step, the others, and one sentence about them.

    Parameters
    ----------
    best : Step or None
        The step proposed; None where none should be.
    others : tuple of Step
        More steps that can be done, best first, those that are too large among them.
    sentence : str
        Without a full stop.
    """

    best: Step | None
    others: tuple[Step, ...]
    sentence: str
