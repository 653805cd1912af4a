"""What stopped an athlete last on a day: told in the package and the list, so that a second device knows it too."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any
from uuid import UUID

from firstpush.core.people.before_start import said_to_stop
from firstpush.core.people.first_aid import every_card
from firstpush.core.progress.entries import Entry, read_entry, standing
from firstpush.web.oncourt.about_athlete import place_words
from firstpush.web.oncourt.alarms import pains_of, what_it_meant
from firstpush.web.oncourt.models import CourtEntry


def last_stops(athletes: Iterable[int], day: date) -> dict[int, dict[str, str]]:
    """Return what stopped each of these athletes last on a day, by athlete; who was not stopped is not there.

    Parameters
    ----------
    athletes : iterable of int
    day : date
        By the clock of the device.

    Returns
    -------
    dict of athlete to dict
        "date" and "at" by the clock of the device, such as "02:17", and "what", a clause.
    """
    rows = CourtEntry.objects.filter(athlete__in=set(athletes), at__date=day).values("run")
    runs: dict[UUID, list[Entry]] = {}
    for text in CourtEntry.objects.filter(run__in=rows).values_list("text", flat=True):
        entry = read_entry(text)
        runs.setdefault(entry.run, []).append(entry)
    last: dict[int, Entry] = {}
    for entries in runs.values():
        for entry in standing(entries):
            before = last.get(entry.athlete)
            if entry.at.date() == day and what_stopped(entry) and (before is None or before.at <= entry.at):
                last[entry.athlete] = entry
    return {
        athlete: {"date": f"{entry.at:%Y-%m-%d}", "at": f"{entry.at:%H:%M}", "what": what_stopped(entry)}
        for athlete, entry in last.items()
    }


def what_stopped(entry: Entry) -> str:
    """Return what of an entry ended a session, or the use of an arm, as a clause; empty where it ended neither."""
    values = entry.values
    match entry.kind:
        case "stopped":
            card = next((each for each in every_card() if each.id == values["card"]), None)
            if card is None:
                return str(values.get("sign") or values["card"])
            return card.title[:1].lower() + card.title[1:] if card.ends == "session" else ""
        case "before":
            if "stop" in (values.get("effects") or ()):
                said = "; ".join(said_to_stop(values["answers"]))
                return f"before the start: {said or 'the answers said stop'}"
            return ""
        case "pain":
            grave = [each for each in pains_of(entry) if what_it_meant(each).outcome == "stop the arm"]
            return "".join(
                f"pain of {each['level_0_10']} of 10, {place_words(each['place'], each.get('side'))}" for each in grave
            )
        case _:
            return ""


def with_stop(package: str, stop: Mapping[str, Any] | None) -> str:
    """Return the text of a package with the last stop of the day in it; as it is where there was none."""
    if stop is None:
        return package
    # A package is kept by its content, and this is news of the day: it is put in behind what is kept.
    return f'{package.rstrip()[:-1]},"stopped_today":{json.dumps(stop, ensure_ascii=False)}}}'
