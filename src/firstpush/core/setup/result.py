"""An exercise set-up: everything needed to do one exercise with one athlete in one venue, and what it produces."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from firstpush.core.body.movement import Movement
from firstpush.core.body.rotations import Array
from firstpush.core.exercises.definition import Attach, Exercise
from firstpush.core.kit.bands import BandLaw
from firstpush.core.kit.kit import Ball, Band
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import Chair, Side, Strap
from firstpush.core.people.body_size import BodySize
from firstpush.core.setup.centre_of_mass import CentreOfMass
from firstpush.core.setup.chair_stability import Blocking, ChairStability
from firstpush.core.setup.loads import AllMoments
from firstpush.core.setup.rails import RailPlace
from firstpush.core.setup.targets import Target
from firstpush.core.setup.trunk_hold import TrunkHold


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A number with the range that nine of ten samples lie in.

    Examples
    --------
    >>> str(Estimate(value=11.6, low=9.2, high=14.8, unit="N·m"))
    '12 (9-15) N·m'
    >>> str(Estimate(value=3.42, low=3.1, high=3.8, unit="N·m"))
    '3.4 (3.1-3.8) N·m'
    """

    value: float
    low: float
    high: float
    unit: str

    def __str__(self) -> str:
        return f"{self.number} {self.unit}"

    @property
    def ranged(self) -> bool:
        """Whether the range is known yet."""
        return not (math.isnan(self.low) or math.isnan(self.high))

    @property
    def digits(self) -> int:
        """Decimals that the range allows: none once it is wider than 1."""
        return 0 if self.high - self.low >= 1 else 1

    @property
    def number(self) -> str:
        """Value and range without unit."""
        d = self.digits
        return f"{self.value:.{d}f} ({self.low:.{d}f}-{self.high:.{d}f})"

    @property
    def range_words(self) -> str:
        """The range alone with its unit, for the athlete's forces: "24-31 N"."""
        d = self.digits
        return f"{self.low:.{d}f}-{self.high:.{d}f} {self.unit}"


def unranged(value: float, unit: str) -> Estimate:
    """Return an estimate whose range is not known yet; printing it shows that, a JSON file refuses it."""
    return Estimate(value=value, low=math.nan, high=math.nan, unit=unit)


@dataclass(frozen=True, kw_only=True)
class BandSetup:
    """How the band is laid: piece, strands, tape mark, and where it is tied.

    Parameters
    ----------
    slack_length : float
        From the anchor to the hand, laid slack: the tape mark [m].
    loop : bool
        One band goes round the post and both hands hold an end; else each hand has its own.
    ends : dict of side to array (F, 3)
        Where the line of each arm ends: on the post, on the chair, in the other hand [m].
    post, height, distance
        Name, height above the floor and distance along the floor from `measured_from` [m]; None without a post.
    stretch : dict of side to array (F,)
        Length over slack length.
    tension : dict of side to array (F,) or None
        Pull on each arm [N]; None when the band's pull was never measured.
    """

    band: Band
    law: BandLaw
    strands: int
    slack_length: float
    loop: bool
    post: str | None
    ends: dict[Side, Array]
    height: float | None
    distance: float | None
    measured_from: str
    chair_words: str
    stretch: dict[Side, Array]
    length: dict[Side, Array]
    tension: dict[Side, Array] | None

    @property
    def anchor(self) -> Array | None:
        """Place on the post, (3,) [m]; None without a post."""
        return None if self.post is None else np.asarray(next(iter(self.ends.values()))[0])


@dataclass(frozen=True, kw_only=True)
class LimitingLink:
    """What sets the band: the axis loaded, over its frames, and what is wanted of it; a single movement is its own."""

    loads: str
    frames: range
    target: Target | None


@dataclass(frozen=True, kw_only=True)
class ExerciseSetup:
    """One exercise set up for one athlete on one side; arrays run over the F frames of the movement.

    Parameters
    ----------
    exercise : Exercise
        As done: fitted to the arm's range, or the one-arm variant.
    forces : dict of side to array (F, 3)
        Force of band and ball on each arm [N].
    target : Target or None
        What is wanted of the limiting link.
    load : array (F,) or None
        The load the exercise names [N·m]; None where none is stated.
    peak : Estimate or None
        Largest load over the movement, with its range.
    pull : Estimate or None
        Largest pull on one hand, with its range [N].
    strap : str
        Strap to be worn for this exercise.
    support : tuple of str
        What was added to what the athlete has: "chest strap", "one arm".
    strap_counts : bool
        Whether the strap of the chair must be closed for it: the trunk would hold by less than is wished without it, or
        a caution asks for it, or was left away because it is worn.
    hold_without : str
        How the trunk would hold without what was added, as words: "not to the front"; empty where nothing was.
    rail : RailPlace or None
        What the venue has for hands on a rail; None where nothing of it is so high, or no rail is held.
    """

    exercise: Exercise
    side: Side
    body: BodySize
    chair: Chair
    movement: Movement
    attach: dict[Side, Attach]
    band: BandSetup | None
    ball: Ball | None
    blocking: Blocking
    strap: Strap
    support: tuple[str, ...]
    target: Target | None
    forces: dict[Side, Array]
    load: Array | None
    limiting: LimitingLink | None
    peak: Estimate | None
    pull: Estimate | None
    moments: AllMoments
    centre: CentreOfMass
    stability: ChairStability | None
    hold: TrunkHold
    notices: tuple[Notice, ...]
    strap_counts: bool = False
    hold_without: str = ""
    rail: RailPlace | None = None

    @property
    def strap_worn(self) -> Strap:
        """The strap of the chair where the set-up rests on it, or the chair is braked; one put on stands in `support`.

        Braking moves also a trunk that holds by itself, so a chair with a strap is driven with it closed (common
        practice).
        """
        counts = self.strap_counts or self.exercise.part == "court"
        return self.strap if counts and not self.straps_put_on else "none"

    @property
    def strap_closed(self) -> Strap:
        """The strap of the chair that is looked at before the start: where it is worn, or the chair rolls at all."""
        closed = self.strap_counts or self.exercise.rolls
        return self.strap if closed and not self.straps_put_on else "none"

    @property
    def straps_put_on(self) -> tuple[str, ...]:
        """The straps that were added to those of the chair: "chest strap"."""
        return tuple(each for each in self.support if each.endswith("strap"))

    @property
    def arms(self) -> tuple[Side, ...]:
        """Arms that work."""
        return self.exercise.sides_of(self.side)

    @property
    def worst_frame_of_chair(self) -> int:
        """Frame in which the chair is nearest to giving."""
        return 0 if self.stability is None else int(np.argmin(self.stability.factor))


@dataclass(frozen=True, kw_only=True)
class SetupAnswer:
    """What the search has to say: set-ups, best first, or one sentence why there is none.

    Parameters
    ----------
    answer : str
        One sentence; for set-ups it names the best, else it says what is missing and the nearest that would do.
    tried : int
        Set-ups looked at.
    failed : dict of str to int
        For each condition, how many failed it first.
    reasons : tuple of str
        Where the exercise is not for the athlete: why, one by one, as they stand in `answer`.
    """

    setups: tuple[ExerciseSetup, ...]
    answer: str
    tried: int
    failed: dict[str, int]
    notices: tuple[Notice, ...] = ()
    reasons: tuple[str, ...] = ()

    @property
    def best(self) -> ExerciseSetup | None:
        """The best set-up, or None."""
        return self.setups[0] if self.setups else None
