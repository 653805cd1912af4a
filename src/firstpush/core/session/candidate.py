"""What a session is chosen from: exercises made ready for one athlete in one venue, and those that could not be."""

from __future__ import annotations

from dataclasses import dataclass, field

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Attach, DoseOption, Exercise
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Side, Strap
from firstpush.core.setup.cautions import ASKS_FOR_CARE


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One exercise made ready for one athlete in one venue; None is "not used" or "does not matter".

    Parameters
    ----------
    exercise : Exercise
        The exercise.
    sides : tuple of str
        Sides it can be done on, the one to begin with first; both for an exercise of both arms together, done once.
    post : str or None
        Post that the band is tied to or the arm leans on.
    anchor_height : float or None
        Height of the anchor above the floor [m].
    band : str or None
        Name of the band.
    slack_length : float or None
        Slack length of each strand [m].
    strands : int
        How many strands lie side by side; 0 without a band.
    anchor_side : str or None
        Where the post stands, seen from the athlete: "front", "behind", "working side", "other side".
    distance : float or None
        Distance of the chair from the post [m].
    blocked : bool
        Whether the chair must be blocked.
    attach : str
        Where the band pulls: "hand", or the cuff that has to be put on.
    strap : str
        Strap put on for this exercise beside what is worn anyway: "none", "waist" or "chest".
    preference : float
        How well the set-up fits its own wish, 0 to 1.
    notices : tuple of Notice
        What must be told about the set-up.
    family : str or None
        Exercises of one family are steps of each other (a link of a chain, an easier form); a session holds one.

    Raises
    ------
    OutOfRangeError
        When the sides, the doses or the preference contradict the exercise.
    """

    exercise: Exercise
    sides: tuple[Side, ...]
    post: str | None = None
    anchor_height: float | None = None
    band: str | None = None
    slack_length: float | None = None
    strands: int = 0
    anchor_side: str | None = None
    distance: float | None = None
    blocked: bool = False
    attach: Attach = "hand"
    strap: Strap = "none"
    preference: float = 1.0
    notices: tuple[Notice, ...] = field(default_factory=tuple)
    family: str | None = None

    def __post_init__(self) -> None:
        if not self.sides or len(set(self.sides)) != len(self.sides) or not set(self.sides) <= set(SIDES):
            raise OutOfRangeError(
                f"the sides {self.sides} of {self.id!r} are not a choice of sides; allowed are left, right or both, "
                "each once. An exercise that no side can do is left out."
            )
        if self.together and len(self.sides) != 2:
            raise OutOfRangeError(
                f"{self.id!r} is given for the {self.sides[0]} side only, but both arms do it together; "
                "both sides are needed. Leave it out."
            )
        if not 0.0 <= self.preference <= 1.0:
            raise OutOfRangeError(
                f"the preference {self.preference} of {self.id!r} is not a share; it must be 0 to 1. "
                "Divide it by the best possible."
            )
        for dose in (*self.exercise.doses, *self.exercise.by_hand):
            if dose.per_side == self.together or dose.sets < 1:
                raise OutOfRangeError(
                    f"the dose {dose.name!r} of {self.id!r} has per_side = {str(dose.per_side).lower()} and "
                    f"{dose.sets} sets with sides = {self.exercise.sides!r}; per_side goes with sides = 'each', "
                    "and there is 1 set or more. Correct the exercise file."
                )

    @property
    def id(self) -> str:
        """Id of the exercise."""
        return self.exercise.id

    @property
    def together(self) -> bool:
        """Whether both arms work at once."""
        return self.exercise.sides == "together"

    @property
    def cautions(self) -> int:
        """How many cautions the exercise carries for this athlete, that a sore arm works among them."""
        return len({notice.what for notice in self.notices if notice.id in ASKS_FOR_CARE})

    def side_sets(self, dose: DoseOption) -> dict[Side, int]:
        """Return how many sets each side gets from `dose`."""
        return dict.fromkeys(self.sides, dose.sets)


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """A candidate with the dose it is done in."""

    candidate: Candidate
    dose: DoseOption


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """An exercise that is not in the session, and why, in one sentence without a full stop."""

    exercise: Exercise
    reason: str
