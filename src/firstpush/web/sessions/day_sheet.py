"""What a day reads of one session: read once from its version, which never changes, and kept."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.urls import reverse

from firstpush.core.notices import Notice, without_repeats
from firstpush.web.reckoned import Reckoned, version_key
from firstpush.web.sessions.models import PlanVersion

SHEETS_KEPT = 128
"""Some fifty kilobytes each; a session document is twice that as text, and ten times in memory."""
_OF_ITEM = ("exercise", "title", "start_s", "end_s", "sides", "setups")

KEPT: Reckoned[DaySheet] = Reckoned(most=SHEETS_KEPT)


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One exercise of a session as the day shows it: where its drawing is, title and dose."""

    address: str
    title: str
    dose: str


@dataclass(frozen=True, kw_only=True)
class DaySheet:
    """What a day reads of a version.

    Parameters
    ----------
    key : hashable
        Stands for the version.
    asked : mapping
        What was asked for.
    done : mapping
        The session document, of its items only what is done with what and when.
    figures : tuple of Figure
        In order; empty for a session kept without words.
    notices : tuple of Notice
        All of them, of the session and of its exercises.
    """

    key: Hashable
    asked: Mapping[str, Any]
    done: Mapping[str, Any]
    figures: tuple[Figure, ...]
    notices: tuple[Notice, ...]

    @property
    def total_s(self) -> int:
        """How long the session takes [s]."""
        return int(self.done["total_s"])

    @property
    def exercises(self) -> tuple[str, ...]:
        """Ids of its exercises, in order."""
        return tuple(str(item.get("exercise")) for item in self.done["items"])


def sheets_of(versions: Iterable[PlanVersion]) -> dict[int, DaySheet]:
    """Return what the day reads of each version, by its number in the database.

    Parameters
    ----------
    versions : iterable of PlanVersion
        Request and document need not be there yet: those not read before are fetched together.
    """
    by_key = {version_key(version): version for version in versions}
    unread = [version.pk for key, version in by_key.items() if not KEPT.holds(key)]
    whole = PlanVersion.objects.in_bulk(unread) if unread else {}
    return {
        version.pk: KEPT.of(key, partial(_read, key, whole.get(version.pk, version))) for key, version in by_key.items()
    }


def _read(key: Hashable, version: PlanVersion) -> DaySheet:
    document = version.document
    words = document.get("sheets", {}).get("practitioner")
    items = [{name: item[name] for name in _OF_ITEM if name in item} for item in document.get("items", ())]
    return DaySheet(
        key=key,
        asked=version.request,
        done={"total_s": document.get("total_s", 0), "items": items},
        figures=() if words is None else _figures(version, words),
        notices=() if words is None else _notices(words),
    )


def _figures(version: PlanVersion, words: Mapping[str, Any]) -> tuple[Figure, ...]:
    return tuple(
        Figure(
            address=reverse("day_figure", args=(version.plan_id, version.number, place)),
            title=item["title"],
            dose=item["dose_large"],
        )
        for place, item in enumerate(words["items"], start=1)
    )


def _notices(words: Mapping[str, Any]) -> tuple[Notice, ...]:
    about_all = [_notice(notice) for notice in words["notices"]]
    of_items = [_notice(notice, item["title"]) for item in words["items"] for notice in item["notices"]]
    return tuple(without_repeats([*about_all, *of_items]))


def _notice(plain: Mapping[str, Any], about: str = "") -> Notice:
    about = plain.get("about") or about
    return Notice(id=plain["id"], level=plain["level"], what=plain["what"], do=plain["do"], about=about)
