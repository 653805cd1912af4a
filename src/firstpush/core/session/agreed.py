"""How an exercise is done from now on, as practitioner and athlete agreed; kept as plain data, and laid again.

Where the same band, post and floor are there, it is laid just as agreed.  Where they are not, or where the day asks for
less, the search lays it to the agreed load.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from math import degrees, radians
from typing import Any

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.exercises.other_poses import link_alone, with_added_turn
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.setup.by_hand import LaidByHand
from firstpush.core.setup.targets import AgreedLoad

FORMAT = "firstpush agreed 1"
_DOSE_FIELDS = tuple(each.name for each in fields(DoseOption))


@dataclass(frozen=True, kw_only=True)
class AgreedSide:
    """One side of an exercise as agreed: how its band is laid, and the load it has on that day [N·m]."""

    load: float | None = None
    laid: LaidByHand | None = None


@dataclass(frozen=True, kw_only=True)
class Agreed:
    """How one exercise is done from now on, or that it is not.

    Parameters
    ----------
    exercise : str
        Id.
    since : date
    change : str
        What was changed, as a clause; empty where it was kept.
    left_out : str
        Why it is not done, as a clause; empty where it is.
    replaced_by : str
        The exercise that is done in its place, where that is why it is left out.
    sides : mapping of side to AgreedSide
        An exercise of both arms together stands under the side its set-up was made for.
    dose : DoseOption or None
        None leaves it to the session.
    share : float
        Share of the usual load that was wanted on the day it was agreed [1].
    support : tuple of str
        What was added to what the athlete has.
    ball : str or None
        Name in the kit.
    added_turn : float
        What the trunk turns or leans beyond the file of the exercise [rad].
    link : int or None
        The only link of a chain that is done.
    """

    exercise: str
    since: date
    change: str = ""
    left_out: str = ""
    replaced_by: str = ""
    sides: Mapping[Side, AgreedSide] = field(default_factory=dict)
    dose: DoseOption | None = None
    share: float = 1.0
    support: tuple[str, ...] = ()
    ball: str | None = None
    added_turn: float = 0.0
    link: int | None = None

    @property
    def words(self) -> str:
        """Where its load comes from."""
        return f"as agreed on {self.since:%-d %B %Y}"

    def loads(self) -> dict[tuple[str, Side], AgreedLoad]:
        """Return the load of each side on a usual day, as the search asks for it."""
        return {
            (self.exercise, side): AgreedLoad(
                value=None if each.load is None else each.load / self.share,
                words=self.words,
                support=self.support,
                ball=self.ball,
            )
            for side, each in self.sides.items()
        }

    def as_done(self, exercise: Exercise) -> Exercise:
        """Return the exercise of the file with the poses that were agreed; what cannot be done any more is let go."""
        if self.link is not None and self.link in dict(exercise.loaded_links):
            exercise = link_alone(exercise, self.link)
        if self.added_turn:
            exercise = with_added_turn(exercise, self.added_turn) or exercise
        return exercise

    def document(self) -> dict[str, Any]:
        """Return it as plain data with units in the keys."""
        return {
            "format": FORMAT,
            "exercise": self.exercise,
            "since": self.since.isoformat(),
            "change": self.change,
            "left_out": self.left_out,
            "replaced_by": self.replaced_by,
            "sides": {side: _side_document(each) for side, each in self.sides.items()},
            "dose": None if self.dose is None else {name: getattr(self.dose, name) for name in _DOSE_FIELDS},
            "share": self.share,
            "support": list(self.support),
            "ball": self.ball,
            "added_turn_deg": degrees(self.added_turn),
            "link": self.link,
        }


def agreed_loads(agreed: Iterable[Agreed]) -> dict[tuple[str, Side], AgreedLoad]:
    """Return the loads of all that is done, as `Circumstances.agreed` takes them."""
    return {key: load for each in agreed if not each.left_out for key, load in each.loads().items()}


def read_agreed(document: Mapping[str, Any]) -> Agreed:
    """Return what `Agreed.document` wrote.

    Raises
    ------
    OutOfRangeError
        When it is something else, or a number in it cannot be.
    """
    try:
        if document["format"] != FORMAT:
            raise ValueError(f"its format is {document['format']!r}")
        dose = document["dose"]
        share = float(document["share"])
        if not 0.0 < share <= 1.0:
            raise ValueError(f"a share of {share:g}")
        return Agreed(
            exercise=str(document["exercise"]),
            since=date.fromisoformat(document["since"]),
            change=str(document["change"]),
            left_out=str(document["left_out"]),
            replaced_by=str(document.get("replaced_by", "")),
            sides={side: _side_of(document["sides"][side]) for side in SIDES if side in document["sides"]},
            dose=None if dose is None else _dose_of(dose),
            share=share,
            support=tuple(map(str, document["support"])),
            ball=document["ball"],
            added_turn=radians(float(document["added_turn_deg"])),
            link=document["link"],
        )
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise OutOfRangeError(
            f"what was agreed about an exercise cannot be read ({error}); allowed is what this program wrote. "
            "Agree about that exercise again."
        ) from error


def _side_document(each: AgreedSide) -> dict[str, Any]:
    found: dict[str, Any] = {"load_nm": each.load}
    if each.laid is not None:
        found |= {
            "band": each.laid.band,
            "strands": each.laid.strands,
            "slack_length_m": each.laid.slack_length,
            "post": each.laid.post,
            "anchor_height_m": each.laid.height,
            "distance_m": each.laid.distance,
        }
    return found


def _side_of(row: Mapping[str, Any]) -> AgreedSide:
    load = row["load_nm"]
    laid = None
    if "band" in row:
        laid = LaidByHand(
            band=str(row["band"]),
            strands=int(row["strands"]),
            slack_length=float(row["slack_length_m"]),
            post=row["post"],
            height=row["anchor_height_m"],
            distance=row["distance_m"],
        )
    return AgreedSide(load=None if load is None else float(load), laid=laid)


def _dose_of(row: Mapping[str, Any]) -> DoseOption:
    # What an earlier program did not know of a dose is as usual.
    dose = DoseOption(**{name: row[name] for name in _DOSE_FIELDS if name in row})
    if dose.sets < 1 or (dose.repetitions is None and dose.seconds is None) or dose.set_seconds <= 0:
        raise ValueError(f"a dose of {dose.name!r} that lasts no time")
    return dose


def only_dose(exercise: Exercise, dose: DoseOption) -> Exercise:
    """Return `exercise` with nothing but `dose` to choose, on as many sides as it is done on."""
    return replace(exercise, doses=(replace(dose, per_side=exercise.sides == "each"),))
