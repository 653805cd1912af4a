"""Changes by hand as requests: from what was asked of a version, and one change, to what is asked of the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from firstpush.core.people.athlete import Side
from firstpush.core.session.by_hand import ByHand
from firstpush.core.setup.by_hand import SetupByHand
from firstpush.web.sessions.request import SessionRequest

Plan = tuple[tuple[str, str], ...]
"""Exercises and doses of the version that is changed, in their order."""


def exchanged(request: SessionRequest, plan: Plan, *, out: str, into: str, dose: str) -> SessionRequest:
    """Ask for `into` in the place of `out`; the rest of `plan` is to stay."""
    asked = request.asked
    return _next(
        replace(
            request,
            asked=replace(
                asked,
                keep=(*_others(asked.keep, out, into), into),
                without=(*_others(asked.without, out, into), out),
                doses=_other_doses(asked.doses, out, into),
            ),
            by_hand=replace(
                _without_hand(request.by_hand, out),
                order=tuple(into if id_ == out else id_ for id_ in request.by_hand.order),
            ),
        ),
        tuple((into, dose) if id_ == out else (id_, name) for id_, name in plan),
    )


def left_out(request: SessionRequest, plan: Plan, *, exercise: str) -> SessionRequest:
    """Ask for a session without `exercise`."""
    asked = request.asked
    return _next(
        replace(
            request,
            asked=replace(
                asked,
                keep=_others(asked.keep, exercise),
                without=(*_others(asked.without, exercise), exercise),
                doses=_other_doses(asked.doses, exercise),
            ),
            by_hand=_without_hand(request.by_hand, exercise),
        ),
        plan,
    )


def kept(request: SessionRequest, plan: Plan, *, exercise: str) -> SessionRequest:
    """Ask that `exercise` is there, whether it is in `plan` or not."""
    asked = request.asked
    return _next(
        replace(
            request,
            asked=replace(
                asked,
                keep=(*_others(asked.keep, exercise), exercise),
                without=_others(asked.without, exercise),
            ),
        ),
        plan,
    )


def dosed(request: SessionRequest, plan: Plan, *, exercise: str, dose: str) -> SessionRequest:
    """Ask for `exercise` in just this dose."""
    asked = request.asked
    return _next(
        replace(
            request,
            asked=replace(
                asked,
                without=_others(asked.without, exercise),
                doses=(*_other_doses(asked.doses, exercise), (exercise, dose)),
            ),
        ),
        tuple((id_, dose if id_ == exercise else name) for id_, name in plan),
    )


def ordered(request: SessionRequest, plan: Plan, *, order: Sequence[str]) -> SessionRequest:
    """Ask for this order inside the parts."""
    return _next(replace(request, by_hand=replace(request.by_hand, order=tuple(order))), plan)


def sided(request: SessionRequest, plan: Plan, *, exercise: str, sides: tuple[Side, ...]) -> SessionRequest:
    """Ask for `exercise` on these sides; for none, on every side that can do it."""
    others = {id_: each for id_, each in request.by_hand.sides.items() if id_ != exercise}
    new = {**others, exercise: sides} if sides else others
    return _next(kept(replace(request, by_hand=replace(request.by_hand, sides=new)), plan, exercise=exercise), plan)


def laid(
    request: SessionRequest, plan: Plan, *, exercise: str, setups: dict[Side, SetupByHand | None]
) -> SessionRequest:
    """Ask for set-ups by hand on some sides; None goes back to what the search finds."""
    new = dict(request.by_hand.setups)
    for side, setup in setups.items():
        new.pop((exercise, side), None)
        if setup is not None:
            new[exercise, side] = setup
    return kept(replace(request, by_hand=replace(request.by_hand, setups=new)), plan, exercise=exercise)


def let_go(request: SessionRequest, plan: Plan, *, wish: str, about: str) -> SessionRequest:
    """Take back one thing that was asked by hand; `wish` is the field it stands in."""
    asked, by_hand = request.asked, request.by_hand
    if wish == "aims":
        asked = replace(asked, aims=_others(asked.aims, about))
    elif wish == "without":
        asked = replace(asked, without=_others(asked.without, about))
    elif wish == "keep":
        asked = replace(asked, keep=_others(asked.keep, about))
    elif wish == "doses":
        asked = replace(asked, doses=_other_doses(asked.doses, about))
    elif wish == "order":
        by_hand = replace(by_hand, order=())
    elif wish == "sides":
        by_hand = replace(by_hand, sides={id_: each for id_, each in by_hand.sides.items() if id_ != about})
    elif wish == "setups":
        by_hand = replace(by_hand, setups={key: each for key, each in by_hand.setups.items() if key[0] != about})
    return _next(replace(request, asked=asked, by_hand=by_hand), plan)


def _next(request: SessionRequest, plan: Plan) -> SessionRequest:
    return replace(request, asked=replace(request.asked, earlier=plan), back_to=None)


def _others(ids: Sequence[str], *gone: str) -> tuple[str, ...]:
    return tuple(id_ for id_ in ids if id_ not in gone)


def _other_doses(doses: Plan, *gone: str) -> Plan:
    return tuple((id_, name) for id_, name in doses if id_ not in gone)


def _without_hand(by_hand: ByHand, exercise: str) -> ByHand:
    """Return what is set by hand of all other exercises; the order is kept."""
    return replace(
        by_hand,
        sides={id_: sides for id_, sides in by_hand.sides.items() if id_ != exercise},
        setups={key: setup for key, setup in by_hand.setups.items() if key[0] != exercise},
    )
