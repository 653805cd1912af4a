"""The first things a club writes down, what each is for, and the way back to the page that asked for it."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import HttpRequest
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme

from firstpush.web import access
from firstpush.web.access import User

BACK = "back"
"""Name of the address in a query that is gone back to when something is saved."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to write down first: what it is for, where that is done, and whether it is done."""

    what: str
    why: str
    button: str
    url: str
    done: bool


def first_steps(user: User, *, back: str) -> tuple[Step, ...]:
    """Return the first three steps of a club; none once it can make sessions and nothing is left.

    Parameters
    ----------
    user
        Whose club it is.
    back : str
        Address to come back to when a cupboard or a venue is saved.
    """
    kits = access.kits_for(user).filter(withdrawn_at=None).exists()
    venues = access.venues_for(user).filter(withdrawn_at=None).exists()
    athletes = access.athletes_for(user).filter(withdrawn_at=None).exists()
    steps = (
        Step(
            what="The cupboard",
            why="Bands with their pull, chocks, straps: every set-up is laid with what is there.",
            button="Add a cupboard",
            url=with_back(reverse("new_kit"), back),
            done=kits,
        ),
        Step(
            what="The hall",
            why="Posts and free floor. It may wait: without one a session is in a room with nothing to tie to.",
            button="Add a venue",
            url=with_back(reverse("new_venue"), back),
            done=venues,
        ),
        Step(
            what="The first athlete",
            why="A name, the mass and the arm span or the stature are enough for a first sheet.",
            button="Add an athlete",
            url=reverse("new_athlete"),
            done=athletes,
        ),
    )
    # A club that trains without a hall has said so by making sessions.
    settled = kits and athletes and (venues or access.plans_for(user).exists())
    return () if settled else steps


def steps_shown(user: User, *, back: str) -> dict[str, object]:
    """Return what ``parts/first_steps.html`` needs: the steps, and which is next."""
    steps = first_steps(user, back=back)
    return {"first_steps": steps, "next_step": next((step for step in steps if not step.done), None)}


def with_back(url: str, back: str) -> str:
    """Return `url` with the address to come back to."""
    return f"{url}?{urlencode({BACK: back})}"


def back_of(request: HttpRequest) -> str | None:
    """Return the address of this application that a request wants to go back to; None when it names none."""
    back = request.GET.get(BACK, "")
    ours = back.startswith("/") and url_has_allowed_host_and_scheme(back, allowed_hosts=None)
    return back if ours else None
