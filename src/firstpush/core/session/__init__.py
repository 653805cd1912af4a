"""Choosing, ordering and timing a session: from exercises made ready for one athlete to a plan to the second.

Public: `Candidate`, `LeftOut`, `Asked`, `compose`, `Session`, `SessionItem`, `timeline`, `Timeline`, `Step`.
The wishes and their order stand in `wishes.py` and in docs/why/session.md.
"""

from firstpush.core.session.asked import Asked, DoneSession
from firstpush.core.session.candidate import Candidate, Chosen, LeftOut
from firstpush.core.session.compose import compose
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.session.timeline import Step, Timeline, timeline

__all__ = [
    "Asked",
    "Candidate",
    "Chosen",
    "DoneSession",
    "LeftOut",
    "Session",
    "SessionItem",
    "Step",
    "Timeline",
    "compose",
    "timeline",
]
