"""What is asked of a session, as it is kept with each version: plain data with units in the keys, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from firstpush.core.errors import FirstpushError
from firstpush.core.people.athlete import Side
from firstpush.core.session.asked import Asked
from firstpush.core.session.by_hand import ByHand
from firstpush.core.session.kinds import KindName, kind_named
from firstpush.core.setup.by_hand import LaidByHand, SetupByHand
from firstpush.web.errors import WebError

FORMAT = "firstpush session request 1"


@dataclass(frozen=True, kw_only=True)
class SessionRequest:
    """What is asked, and of what it is made.

    Parameters
    ----------
    kit_id, venue_id : int or None
        Records of the club; None for a venue is a room with nothing to tie a band to.
    inputs : mapping
        The documents of athlete, kit and venue that the session was made from: with them it can be made again as it
        was, whatever is changed later.
    changed_from : int or None
        Number of the version that was changed; None for the first.
    back_to : int or None
        Number of the version that this one is a return to.
    """

    minutes: float
    kind: KindName = "before training"
    on: date | None = None
    kit_id: int | None = None
    venue_id: int | None = None
    asked: Asked = field(default_factory=Asked)
    by_hand: ByHand = field(default_factory=ByHand)
    inputs: Mapping[str, Any] = field(default_factory=dict)
    changed_from: int | None = None
    back_to: int | None = None

    def document(self) -> dict[str, Any]:
        """Return it as plain data."""
        asked, by_hand = self.asked, self.by_hand
        return {
            "format": FORMAT,
            "minutes": self.minutes,
            "kind": self.kind,
            "date": None if self.on is None else self.on.isoformat(),
            "kit_id": self.kit_id,
            "venue_id": self.venue_id,
            "keep": list(asked.keep),
            "without": list(asked.without),
            "doses": [{"exercise": id_, "dose": name} for id_, name in asked.doses],
            "aims": list(asked.aims),
            "back_to_front": asked.back_to_front,
            "earlier": [{"exercise": id_, "dose": name} for id_, name in asked.earlier],
            **({"careful": True} if asked.careful else {}),
            "order": list(by_hand.order),
            "sides": [{"exercise": id_, "sides": list(sides)} for id_, sides in by_hand.sides.items()],
            "setups": [
                {"exercise": id_, "side": side} | _setup_document(setup)
                for (id_, side), setup in by_hand.setups.items()
            ],
            "inputs": dict(self.inputs),
            "changed_from": self.changed_from,
            "back_to": self.back_to,
        }


def read_request(document: Mapping[str, Any]) -> SessionRequest:
    """Return what a stored request says; what it leaves out is left to the model.

    Raises
    ------
    WebError
        When it is no request.
    """
    try:
        kind = kind_named(str(document.get("kind", "before training"))).name
        on = document.get("date")
        return SessionRequest(
            minutes=float(document["minutes"]),
            kind=kind,
            on=None if on is None else date.fromisoformat(str(on)),
            kit_id=document.get("kit_id"),
            venue_id=document.get("venue_id"),
            asked=Asked(
                keep=_texts(document, "keep"),
                without=_texts(document, "without"),
                doses=_doses(document, "doses"),
                aims=_texts(document, "aims"),
                back_to_front=float(document.get("back_to_front", 2.0)),
                earlier=_doses(document, "earlier"),
                careful=bool(document.get("careful", False)),
            ),
            by_hand=ByHand(
                order=_texts(document, "order"),
                sides={str(row["exercise"]): tuple(map(_side, row["sides"])) for row in document.get("sides", ())},
                setups={
                    (str(row["exercise"]), _side(row["side"])): _setup_of(row) for row in document.get("setups", ())
                },
            ),
            inputs=document.get("inputs", {}),
            changed_from=document.get("changed_from"),
            back_to=document.get("back_to"),
        )
    except (KeyError, TypeError, ValueError, AttributeError, FirstpushError) as error:
        raise WebError(
            f"what was asked of this session cannot be read ({error}). Allowed: what this program wrote. "
            "Make the session again."
        ) from error


def _texts(document: Mapping[str, Any], key: str) -> tuple[str, ...]:
    return tuple(str(each) for each in document.get(key, ()))


def _doses(document: Mapping[str, Any], key: str) -> tuple[tuple[str, str], ...]:
    return tuple((str(row["exercise"]), str(row["dose"])) for row in document.get(key, ()))


def _side(word: object) -> Side:
    if word == "left":
        return "left"
    if word == "right":
        return "right"
    raise ValueError(f"{word!r} is no side; allowed are left and right")


def _setup_document(setup: SetupByHand) -> dict[str, Any]:
    if setup.laid is None:
        return {"load_nm": setup.target}
    laid = setup.laid
    return {
        "band": laid.band,
        "strands": laid.strands,
        "slack_length_m": laid.slack_length,
        "post": laid.post,
        "anchor_height_m": laid.height,
        "distance_m": laid.distance,
    }


def _setup_of(row: Mapping[str, Any]) -> SetupByHand:
    if row.get("load_nm") is not None:
        return SetupByHand(target=float(row["load_nm"]))
    return SetupByHand(
        laid=LaidByHand(
            band=str(row["band"]),
            strands=int(row["strands"]),
            slack_length=float(row["slack_length_m"]),
            post=row.get("post"),
            height=row.get("anchor_height_m"),
            distance=row.get("distance_m"),
        )
    )
