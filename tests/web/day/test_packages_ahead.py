"""What devices take on court is built after the sessions of a day were made, and only what still holds."""

from __future__ import annotations

from pathlib import Path

import pytest
from club_people import ClubPeople
from day_sessions import session_today

from firstpush.web.oncourt import package
from firstpush.web.sessions.models import PlanVersion


@pytest.fixture
def built(monkeypatch: pytest.MonkeyPatch) -> list[PlanVersion]:
    """Return the versions whose packages are built, in order; the first one fails."""
    found: list[PlanVersion] = []

    def build(version: PlanVersion) -> str:
        found.append(version)
        if len(found) == 1:
            raise RuntimeError("a fault of the program")
        return "{}"

    monkeypatch.setattr(package, "package_text", build)
    return found


def test_what_was_made_again_meanwhile_is_left_out_and_a_fault_stops_nobody_else(
    people: ClubPeople, built: list[PlanVersion], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Of three sessions one was made again since: the two others are built, the second though the first fails."""
    runa, jon = session_today(people, people.runa), session_today(people, people.jon)
    old = session_today(people, people.runa)
    old.plan.add_version(request=old.request, document=old.document, by=people.owner)
    package.build_ahead([runa, old, jon])
    assert not built, "without a data folder nothing is kept"
    monkeypatch.setattr(package.settings, "FOLDER", tmp_path)
    package.build_ahead([runa, old, jon])
    assert built == [runa, jon]
