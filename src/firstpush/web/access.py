"""The one door to what is stored: who may do what, and nothing of another club.

Every view says what it needs (`needs`, or `open_to_all`); every object comes out of a function here.  What does not
exist and what belongs to others look alike (404); what is there and not allowed is said so (403).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, Literal, ParamSpec, TypeVar, cast

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.core.exceptions import PermissionDenied
from django.db.models import Model, QuerySet
from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404

from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club import arrival
from firstpush.web.club.models import Account, Club, Membership, Role
from firstpush.web.courses.models import OwnCourse
from firstpush.web.exercises.models import OwnExercise
from firstpush.web.kit.models import KitRecord, VenueRecord
from firstpush.web.sessions.models import DayEvent, DayPlan, Plan, Presence

Need = Literal["sheet", "read", "do", "write", "own"]
"""sheet: see sheets (athletes their own); read: see the club; do: do sessions and log; write: change athletes, kit,
venue, exercises and sessions; own: accounts, erasing people."""

ROLES: dict[Need, frozenset[str]] = {
    "sheet": frozenset(Role.values),
    "read": frozenset({Role.OWNER, Role.COLLEAGUE, Role.ASSISTANT}),
    "do": frozenset({Role.OWNER, Role.COLLEAGUE, Role.ASSISTANT}),
    "write": frozenset({Role.OWNER, Role.COLLEAGUE}),
    "own": frozenset({Role.OWNER}),
}

User = AbstractBaseUser | AnonymousUser
Stored = TypeVar("Stored", bound=Model)
Arguments = ParamSpec("Arguments")


class MemberRequest(HttpRequest):
    """A request that has passed `needs`: somebody with a membership."""

    user: Account
    membership: Membership


View = Callable[Concatenate[MemberRequest, Arguments], HttpResponseBase]


class _May:
    """What a membership may do, as attributes for templates: `may.write`."""

    def __init__(self, membership: Membership | None) -> None:
        self._role = "" if membership is None else membership.role

    def __getattr__(self, name: str) -> bool:
        for need, roles in ROLES.items():
            if need == name:
                return self._role in roles
        raise AttributeError(name)


def may(membership: Membership | None) -> _May:
    """Return what `membership` may do; None may do nothing."""
    return _May(membership)


def membership_or_none(user: User) -> Membership | None:
    """Return the membership of `user`, or None for a stranger and for one that was withdrawn."""
    if not isinstance(user, Account) or not user.is_active:
        return None
    found: Membership | None = getattr(user, "membership", None)
    return None if found is None or found.withdrawn_at is not None else found


def membership_of(user: User, *, to: Need) -> Membership:
    """Return the membership of `user` when its role allows `to`.

    Raises
    ------
    PermissionDenied
        When there is none, or the role does not allow it.
    """
    found = membership_or_none(user)
    if found is None or found.role not in ROLES[to]:
        raise PermissionDenied
    return found


def needs(
    to: Need,
) -> Callable[[View[Arguments]], Callable[Concatenate[HttpRequest, Arguments], HttpResponseBase]]:
    """Let only those into the view whose role allows `to`; the view finds ``request.membership``."""

    def decorate(view: View[Arguments]) -> Callable[Concatenate[HttpRequest, Arguments], HttpResponseBase]:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Arguments.args, **kwargs: Arguments.kwargs) -> HttpResponseBase:
            request.membership = membership_of(request.user, to=to)  # type: ignore[attr-defined]
            return view(request, *args, **kwargs)  # type: ignore[arg-type]

        guarded.needs = to  # type: ignore[attr-defined]
        return cast("Callable[Concatenate[HttpRequest, Arguments], HttpResponseBase]", guarded)

    return decorate


def open_to_all(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Let everybody into the view, logged in or not."""
    opened: Callable[..., HttpResponseBase] = login_not_required(view)
    opened.needs = "nothing"  # type: ignore[attr-defined]
    return opened


def for_any_account(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Mark a view about the account itself (password, second step), which needs a login and no membership."""
    view.needs = "account"  # type: ignore[attr-defined]
    return view


def arriving_account(token: str) -> Account | None:
    """Return the account that `token` lets in without a password, this once; None when it lets nobody in.

    Raises
    ------
    Http404
        When nobody is let in like that: everywhere but in the demo, served to its own computer.
    """
    way_in = arrival.offered()
    if way_in is None:
        raise Http404
    return Account.objects.filter(username=way_in.account_name).first() if way_in.use(token) else None


# Objects


def club_of(user: User, *, to: Need = "read") -> Club:
    """Return the club of `user`."""
    return membership_of(user, to=to).club


def members_for(user: User) -> QuerySet[Membership]:
    """Return all memberships of the club, for its owner."""
    club = club_of(user, to="own")
    return Membership.objects.filter(club=club).select_related("account", "athlete").order_by("created_at")


def member_for(user: User, id_: int) -> Membership:
    """Return a membership of the club, for its owner."""
    return get_object_or_404(members_for(user), pk=id_)


def athletes_for(user: User, *, to: Need = "read") -> QuerySet[AthleteRecord]:
    """Return the athletes that `user` may see; withdrawn ones too."""
    return _of_club(AthleteRecord, user, to=to)


def athlete_for(user: User, id_: int, *, to: Need = "read") -> AthleteRecord:
    """Return an athlete of the club."""
    return _one(AthleteRecord, user, id_, to=to)


def kits_for(user: User, *, to: Need = "read") -> QuerySet[KitRecord]:
    """Return the cupboards of the club."""
    return _of_club(KitRecord, user, to=to)


def kit_for(user: User, id_: int, *, to: Need = "read") -> KitRecord:
    """Return a cupboard of the club."""
    return _one(KitRecord, user, id_, to=to)


def venues_for(user: User, *, to: Need = "read") -> QuerySet[VenueRecord]:
    """Return the venues of the club."""
    return _of_club(VenueRecord, user, to=to)


def venue_for(user: User, id_: int, *, to: Need = "read") -> VenueRecord:
    """Return a venue of the club."""
    return _one(VenueRecord, user, id_, to=to)


def own_exercises_for(user: User, *, to: Need = "read") -> QuerySet[OwnExercise]:
    """Return the exercises that the club wrote itself."""
    return _of_club(OwnExercise, user, to=to)


def own_exercise_for(user: User, slug: str, *, to: Need = "read") -> OwnExercise:
    """Return an exercise that the club wrote itself."""
    found = get_object_or_404(_of_club(OwnExercise, user, to="read"), slug=slug)
    membership_of(user, to=to)
    return found


def courses_for(user: User, *, to: Need = "read") -> QuerySet[OwnCourse]:
    """Return the courses that the club made itself; withdrawn ones too."""
    return _of_club(OwnCourse, user, to=to)


def course_for(user: User, id_: int, *, to: Need = "read") -> OwnCourse:
    """Return a course that the club made itself."""
    return _one(OwnCourse, user, id_, to=to)


def presences_for(user: User, *, to: Need = "read") -> QuerySet[Presence]:
    """Return who was here when, in the club."""
    return _of_club(Presence, user, to=to).select_related("athlete")


def day_plans_for(user: User, *, to: Need = "read") -> QuerySet[DayPlan]:
    """Return where, with what and how long the club trains, one a day."""
    return _of_club(DayPlan, user, to=to).select_related("kit", "venue")


def day_events_for(user: User, *, to: Need = "read") -> QuerySet[DayEvent]:
    """Return what happened on the club's days."""
    return _of_club(DayEvent, user, to=to)


def day_event_for(user: User, id_: int, *, to: Need = "read") -> DayEvent:
    """Return something that happened on a day of the club."""
    return _one(DayEvent, user, id_, to=to)


def plans_for(user: User, *, to: Need = "sheet") -> QuerySet[Plan]:
    """Return the sessions that `user` may see: those of the club, or an athlete's own."""
    membership = membership_of(user, to=to)
    plans = Plan.objects.filter(athlete__club=membership.club).select_related("athlete")
    return plans.filter(athlete=membership.athlete) if membership.role == Role.ATHLETE else plans


def plan_for(user: User, id_: int, *, to: Need = "sheet") -> Plan:
    """Return a session of the club, or an athlete's own."""
    found = get_object_or_404(plans_for(user), pk=id_)
    membership_of(user, to=to)
    return found


def _of_club(model: type[Stored], user: User, *, to: Need) -> QuerySet[Stored]:
    manager: Any = model._default_manager
    found: QuerySet[Stored] = manager.filter(club=club_of(user, to=to))
    return found


def _one(model: type[Stored], user: User, id_: int, *, to: Need) -> Stored:
    """Look first whether it is there for the club (404), then whether it may be done (403)."""
    found = get_object_or_404(_of_club(model, user, to="read"), pk=id_)
    membership_of(user, to=to)
    return found
