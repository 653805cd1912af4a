"""What makes room for a change by hand, told before it is made: the session is chosen again as it would be."""

from __future__ import annotations

from collections.abc import Collection

from firstpush.core.errors import FirstpushError
from firstpush.core.session.session import Session
from firstpush.core.words import listed
from firstpush.web.access import User
from firstpush.web.sessions.making import planned_as_asked, planned_of, with_inputs
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import SessionRequest


def made_way(user: User, version: PlanVersion, asked: SessionRequest, *, about: Collection[str]) -> str:
    """Return what else would be different, as a clause without a full stop.

    Parameters
    ----------
    user
        Who looks.
    version : PlanVersion
        As it is now.
    asked : SessionRequest
        With the change; made after this, nothing has to be chosen again.
    about : collection of str
        Ids of the exercises that the change itself names, of which nothing is told.
    """
    try:
        after = planned_as_asked(version.plan.athlete, with_inputs(user, version.plan.athlete, asked)).session
        before = planned_of(version).session
    except FirstpushError as error:
        return f"it cannot be made: {error}".rstrip(".")
    if after.collision is not None:
        return f"it does not fit together with what is asked: {after.collision.because}"
    return _told(before, after, about=about) if after.items else "nothing fits then"


def _told(before: Session, after: Session, *, about: Collection[str]) -> str:
    was = {item.candidate.id: item for item in before.items if item.candidate.id not in about}
    now = {item.candidate.id: item for item in after.items if item.candidate.id not in about}
    gone = [item.candidate.exercise.title for id_, item in was.items() if id_ not in now]
    new = [item.candidate.exercise.title for id_, item in now.items() if id_ not in was]
    other = [
        f"{now[id_].candidate.exercise.title} would be {now[id_].dose.name}"
        for id_, item in was.items()
        if id_ in now and now[id_].dose.name != item.dose.name
    ]
    said = [f"{listed(gone)} would be left out"] if gone else []
    said += [f"{listed(new)} would come in"] if new else []
    return "; ".join([*said, *other]) or "all others stay as they are"
