"""Sessions of Runa that were done and logged, for tests of what comes after."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any
from uuid import NAMESPACE_OID, UUID, uuid5

if TYPE_CHECKING:
    from firstpush.web.club.models import Account
    from firstpush.web.sessions.models import PlanVersion

DAYS = (date(2026, 3, 2), date(2026, 3, 9))
"""A week apart, so that a step may follow a step."""


@dataclass(frozen=True, kw_only=True)
class Pain:
    """A pain that was said in an exercise."""

    level: int
    feeling: str = "sharp"
    outcome: str = "stop the exercise"
    side: str = "right"


def log_session(
    version: PlanVersion,
    *,
    on: date,
    by: Account,
    efforts: Mapping[str, int] | None = None,
    pains: Mapping[str, Pain] | None = None,
    leave: Sequence[str] = (),
    swapped: Mapping[str, str] | None = None,
    cut: Mapping[str, int] | None = None,
    effort: int = 13,
    before: Sequence[Pain] = (),
) -> UUID:
    """Log a session as the page does: every exercise as planned but for what is said; return its run.

    Parameters
    ----------
    efforts : mapping of exercise to effort 6-20
        Of exercises asked by themselves; all others have `effort`, asked of their part.
    pains : mapping of exercise to Pain
        It ends the exercise.
    leave : sequence of exercise
        Left out for want of time.
    swapped : mapping of exercise to variant
    cut : mapping of exercise to repetitions
        Cut short for want of time.
    before : sequence of Pain
        Said before the start.
    """
    from firstpush.web.oncourt.entries import keep
    from firstpush.web.oncourt.sender import sender_of

    run = uuid5(NAMESPACE_OID, f"{version.pk} {on}")
    texts: list[str] = []

    def entry(kind: str, **values: Any) -> None:
        place = len(texts) + 1
        head = {
            "format": "firstpush entry 1",
            "id": str(uuid5(NAMESPACE_OID, f"{run} {place}")),
            "run": str(run),
            "sequence": place,
            "plan": version.plan_id,
            "version": version.number,
            "athlete": version.plan.athlete_id,
            "at": f"{on}T18:{place:02}:00+01:00",
            "kind": kind,
        }
        texts.append(json.dumps(head | values))

    entry("begin")
    if before:
        # The page says what each pain asks for in the answers, not in the pains themselves.
        told = [
            {"place": "shoulder front", "side": each.side, "level_0_10": each.level, "feeling": each.feeling}
            for each in before
        ]
        entry("before", answers={}, pains=told)
    for item in version.document["items"]:
        id_ = item["exercise"]
        if id_ in leave:
            entry("skipped", exercise=id_, reason="no time")
            continue
        variant = (swapped or {}).get(id_, "planned")
        if variant != "planned":
            entry("swapped", exercise=id_, to=variant)
        if id_ in (pains or {}):
            pain = (pains or {})[id_]
            said = {"level_0_10": pain.level, "feeling": pain.feeling, "outcome": pain.outcome}
            entry("pain", exercise=id_, place="shoulder front", side=pain.side, **said)
            continue
        if id_ in (cut or {}):
            entry(
                "done",
                exercise=id_,
                variant=variant,
                as_planned=False,
                sets=1,
                repetitions=(cut or {})[id_],
                reason="no time",
            )
        else:
            entry("done", exercise=id_, variant=variant, as_planned=variant == "planned")
        if id_ in (efforts or {}):
            entry("effort", exercise=id_, effort_6_20=(efforts or {})[id_])
    for part in dict.fromkeys(item["part"] for item in version.document["items"]):
        entry("effort", part=part, effort_6_20=effort)
    entry("ended", session_effort_0_10=4, minutes=15)
    answer = keep(texts, sender_of(by))
    assert answer.new == len(texts), answer
    return run
