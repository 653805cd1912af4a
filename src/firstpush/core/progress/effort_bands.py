"""What effort is meant of an exercise: what trains has a band, what warms and moves has no lower end.

A warm-up is meant to be easy: an effort below what trains is no reason to make it harder.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.progress.entries import FEELS, Feel
from firstpush.core.progress.rules import Rules
from firstpush.core.setup.cautions import applying

Says = Literal["too easy", "nearly too easy", "as meant", "harder than meant", "too hard"]
ABOVE_MEANT = Measured(
    name="effort above what is meant of a warm-up, from which on it is made easier",
    value=2,
    unit="of 6-20",
    spread=0,
    source="to the end of the zone above, 12 to 13 (Garber 2011); a rating repeats within about a point",
    known="our choice",
)


@dataclass(frozen=True, kw_only=True)
class EffortBand:
    """What a number of effort says about one exercise.

    Parameters
    ----------
    harder_below : int or None
        It is made harder below; None for what is never made harder for a low effort.
    meant_from : int
        From here on it is as meant; between `harder_below` and it the rule asks.  6 where it has no lower end.
    meant_up_to : int
        Up to here it is as meant; between it and `easier_above` it is kept, and slower is asked for.
    easier_above : int
        It is made easier above.
    why : str
        Why it is not made harder for a low effort, as a clause; empty where it may be.
    """

    harder_below: int | None
    meant_from: int
    meant_up_to: int
    easier_above: int
    why: str = ""

    @property
    def meant(self) -> str:
        """The efforts that are meant, in words: "12 to 15"."""
        return f"{self.meant_from} to {self.meant_up_to}" if self.meant_from > 6 else f"up to {self.meant_up_to}"

    @property
    def slower(self) -> str:
        """What is asked for above what is meant, as "ask" goes on."""
        return f"for a slower pace: effort {self.meant} is meant"

    def says(self, effort: int | Feel) -> Says:
        """Return what an effort says: 6 to 20, or a word, which is never turned into a number."""
        if effort in FEELS:
            if effort == "easy":
                return "as meant" if self.harder_below is None else "too easy"
            return "too hard" if effort == "hard" else "as meant"
        assert isinstance(effort, int), "what is no word is a number"
        if effort > self.easier_above:
            return "too hard"
        if effort > self.meant_up_to:
            return "harder than meant"
        if effort >= self.meant_from or self.harder_below is None:
            return "as meant"
        return "too easy" if effort < self.harder_below else "nearly too easy"

    def because(self, effort: int | Feel) -> str:
        """Return what an effort says, as a clause without a full stop."""
        if effort in FEELS:
            light = f", and {self.why}" if effort == "easy" and self.why else ""
            return f"it felt {effort}{light}"
        assert isinstance(effort, int), "what is no word is a number"
        match self.says(effort):
            case "too hard":
                return f"effort {effort} is above {self.easier_above}"
            case "harder than meant":
                return f"effort {effort} is above what is meant of it, {self.meant}"
            case "too easy":
                return f"effort {effort} is below {self.harder_below}"
            case "nearly too easy":
                return f"effort {effort} lies between too easy (below {self.harder_below}) and {self.meant_from}"
        if effort < self.meant_from or self.meant_from <= 6:
            return f"effort {effort} is light, and {self.why}"
        return f"effort {effort} lies within {self.meant_from} to {self.meant_up_to}"


@dataclass(frozen=True, kw_only=True)
class BandOf:
    """One row of the table of bands: of which exercises, what is meant, and how that is known."""

    of: str
    low: str
    meant: str
    high: str
    source: str
    known: Known


TABLE: tuple[BandOf, ...] = (
    BandOf(
        of="strength, and mobility with a band",
        low="below 11 harder, 11 asks",
        meant="12 to 15",
        high="above 15 easier",
        source="rule of the trade",
        known="common practice",
    ),
    BandOf(
        of="control",
        low="below 12 harder",
        meant="12 to 15",
        high="above 15 easier",
        source="rule of the trade",
        known="common practice",
    ),
    BandOf(
        of="mobility without a band",
        low="never harder",
        meant="up to 15",
        high="above 15 easier",
        source="dynamic before play, to move and to warm (Behm 2016, read); that no number is asked of it",
        known="common practice",
    ),
    BandOf(
        of="a warm-up whose file names an effort: easy rolling",
        low="never harder",
        meant="9 to 11",
        high="12 and 13 slower, above 13 easier",
        source="light is 9 to 11 (Garber 2011, read), and talking stays easy",
        known="common practice",
    ),
    BandOf(
        of="a drill on the court whose file names an effort",
        low="one number below it asks, less is harder",
        meant="as its file says",
        high="above it easier",
        source="the file of the exercise",
        known="our choice",
    ),
    BandOf(
        of="a drill that a caution holds to walking pace, or to a dose with care",
        low="never harder",
        meant="up to 15",
        high="above 15 easier",
        source="who is told to go slowly is not asked for more because it was easy",
        known="our choice",
    ),
)
"""The bands with the usual numbers of the rule; another number of one athlete moves what is made of it."""


def effort_band(exercise: Exercise, rules: Rules, *, held: bool = False) -> EffortBand:
    """Return what effort is meant of an exercise.

    Parameters
    ----------
    exercise : Exercise
        As it stands in its file.
    rules : Rules
        Of the athlete: what the file of an exercise means is never above the number up to which it is kept.
    held : bool
        Whether a caution holds it back today, see `is_held_back`.

    Source
    ------
    Common practice: 12 to 15 trains; a warm-up is light, 9 to 11 (zone of Garber 2011, read).  See `TABLE`.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import exercise_named
    >>> [effort_band(exercise_named(each), Rules()).meant for each in ("easy_rolling", "open_book_turn", "low_row")]
    ['9 to 11', 'up to 15', '12 to 15']
    """
    most = rules.keep_up_to
    if held:
        return EffortBand(
            harder_below=None, meant_from=6, meant_up_to=most, easier_above=most, why="with care it stays as it is"
        )
    if exercise.effort is not None:
        low, high = exercise.effort
        high = min(high, most)
        low = min(low, high)
        if exercise.part == "mobility":
            return EffortBand(
                harder_below=None,
                meant_from=low,
                meant_up_to=high,
                easier_above=min(high + round(ABOVE_MEANT.value), most),
                why="a warm-up may be",
            )
        return EffortBand(harder_below=low - 1, meant_from=low, meant_up_to=high, easier_above=high)
    if exercise.part == "mobility" and exercise.band is None:
        return EffortBand(
            harder_below=None, meant_from=6, meant_up_to=most, easier_above=most, why="it is there to move, not to tire"
        )
    return EffortBand(
        harder_below=rules.below(exercise.part), meant_from=rules.keep_from, meant_up_to=most, easier_above=most
    )


def is_held_back(exercise: Exercise, athlete: Athlete, dose: DoseOption) -> bool:
    """Whether a caution holds the athlete to walking pace, or to a dose that is there for care alone."""
    found = applying(exercise, athlete, SIDES)
    return dose.only_with_care or any(each.caution.walking_pace and not each.is_asked for each in found)
