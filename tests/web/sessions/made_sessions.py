"""Sessions that were made on the pages, for tests that change, print or look at one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from club_people import ClubPeople

    from firstpush.core.session.kinds import KindName
    from firstpush.web.sessions.models import Plan, PlanVersion

DAY = date(2026, 3, 2)


@dataclass(frozen=True, kw_only=True)
class Made:
    """A session of Runa with one version, and the names of what is in it."""

    plan: Plan
    first: PlanVersion

    @property
    def newest(self) -> PlanVersion:
        """The version that holds."""
        found = self.plan.newest
        assert found is not None
        return found

    @property
    def ids(self) -> list[str]:
        """Exercises of the version that holds, in their order."""
        return [item["exercise"] for item in self.newest.document["items"]]


def made_session(
    people: ClubPeople, *, minutes: float = 12, keep: tuple[str, ...] = (), kind: KindName = "before training"
) -> Made:
    """Make a session of Runa as the owner."""
    from firstpush.core.session.asked import Asked
    from firstpush.web.sessions.making import make_version, request_for

    request = request_for(people.owner, people.runa, minutes=minutes, kind=kind, on=DAY, asked=Asked(keep=keep))
    version = make_version(people.runa, request, by=people.owner)
    assert version is not None
    return Made(plan=version.plan, first=version)
