"""What the pages of a session show, made from the document that is kept: nothing is computed here."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from firstpush.core.exercises.definition import Exercise
from firstpush.core.session.compare import Difference, differences
from firstpush.core.session.timeline import clock
from firstpush.core.session.wishes import FIT_STEP, PART_STEP, RATIO_STEP
from firstpush.core.words import listed
from firstpush.sheets.content import TimelineBar as Bar
from firstpush.sheets.content import Version, timeline_words
from firstpush.web.sessions.history import Step, redone, undone
from firstpush.web.sessions.models import Plan, PlanVersion
from firstpush.web.sessions.request import SessionRequest
from firstpush.web.sessions.sheet_words import words_of

WISH_WORDS = {
    "due": "aims that are due and trained, each side for itself",
    "parts": "parts that have an exercise",
    "balance": "sets that the back of the shoulders lacks",
    "unchanged": "kept of the version before (2 an exercise, 3 with its dose)",
    "aims": "aims trained and trained in full, by their weight",
    "even sides": "sets that one side has more than the other",
    "familiar": "exercises never done before",
    "care": "cautions that exercises carry for this athlete",
    "change": "exercises done for weeks that want a change",
    "fit": "sets, each by how well its set-up fits its load",
    "work": "time in which an arm works",
    "setting up": "time for setting up",
}
ONLY_WHEN_ASKED = frozenset({"due", "unchanged", "familiar", "change"})
"""Wishes that say nothing where nothing went before."""


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What one wish reached, and what could be reached, as they are shown."""

    words: str
    reached: str
    bound: str
    proven: bool


@dataclass(frozen=True, kw_only=True)
class TimeBar:
    """One stretch of the time line: place and width in per cent of the whole, and what is done in it."""

    left: str
    width: str
    kind: str


@dataclass(frozen=True, kw_only=True)
class TimeMark:
    """A number above or below the time line, at a place in per cent of the whole."""

    left: str
    label: str


@dataclass(frozen=True, kw_only=True)
class TimeLine:
    """The time line to scale."""

    bars: tuple[TimeBar, ...]
    starts: tuple[TimeMark, ...]
    minutes: tuple[TimeMark, ...]
    words: str


@dataclass(frozen=True, kw_only=True)
class ByHandWish:
    """One thing that was asked by hand, with what takes it back."""

    words: str
    wish: str
    about: str = ""


@dataclass(frozen=True, kw_only=True)
class VersionRow:
    """One version as the list shows it."""

    version: PlanVersion
    differences: tuple[Difference, ...] = field(default_factory=tuple)


def rows_of(document: dict[str, Any], which: Version) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Return the items of a document, each with its words."""
    words = words_of(document, which)
    return list(zip(document.get("items", []), words["items"], strict=True)) if words else []


def time_line(words: dict[str, Any], total_s: int) -> TimeLine:
    """Return the time line of a sheet, to scale."""

    def share(seconds: float) -> str:
        return f"{100 * seconds / max(total_s, 1):.3f}"

    bars = words["timeline"]
    starts: dict[str, float] = {}
    for bar in bars:
        starts.setdefault(bar["label"], bar["start_s"])
    step = 1 if total_s <= 30 * 60 else 5
    return TimeLine(
        bars=tuple(
            TimeBar(
                left=share(bar["start_s"]),
                width=share(bar["end_s"] - bar["start_s"]),
                kind={"work": "work", "pause": "rest-time"}.get(bar["kind"], "set-up"),
            )
            for bar in bars
        ),
        starts=tuple(TimeMark(left=share(at), label=label) for label, at in starts.items() if label != "start"),
        minutes=tuple(
            TimeMark(left=share(60 * minute), label=str(minute)) for minute in range(0, total_s // 60 + 1, step)
        ),
        words=timeline_words(tuple(Bar(**bar) for bar in bars)),
    )


def wishes_of(document: dict[str, Any]) -> list[Wish]:
    """Return what the wishes reached, in plain words."""
    return [
        Wish(
            words=WISH_WORDS.get(row["wish"], row["wish"]),
            reached=_amount(row["wish"], row["reached"]),
            bound=_amount(row["wish"], row["bound"]),
            proven=row["proven"],
        )
        for row in document.get("wishes", [])
        if row["wish"] not in ONLY_WHEN_ASKED or row["reached"] or row["bound"]
    ]


UNITS = {
    "due": "aim",
    "parts": "part",
    "balance": "set",
    "even sides": "set",
    "familiar": "exercise",
    "care": "caution",
    "change": "exercise",
    "fit": "set",
}
"""What is counted of each wish that is no time; what is not here is weighed."""


def _amount(wish: str, number: int) -> str:
    """Return how much of a wish is reached, with its unit."""
    if wish in ("work", "setting up"):
        return f"{clock(abs(number))} min"
    value = abs(number) / {"parts": PART_STEP, "balance": RATIO_STEP, "fit": FIT_STEP}.get(wish, 1)
    value = round(value) if wish == "parts" else value
    unit = UNITS.get(wish)
    return f"{value:g} weighed" if unit is None else f"{value:g} {unit}{'' if value == 1 else 's'}"


def asked_by_hand(request: SessionRequest, exercises: dict[str, Exercise]) -> list[ByHandWish]:
    """Return everything that was asked by hand, in words."""

    def title(id_: str) -> str:
        return exercises[id_].title if id_ in exercises else id_

    asked, by_hand = request.asked, request.by_hand
    found = [ByHandWish(words=f"{title(id_)} must be there", wish="keep", about=id_) for id_ in asked.keep]
    found += [ByHandWish(words=f"{title(id_)} in {name}", wish="doses", about=id_) for id_, name in asked.doses]
    found += [ByHandWish(words=f"{title(id_)} is left out", wish="without", about=id_) for id_ in asked.without]
    found += [ByHandWish(words=f"{aim} must be trained", wish="aims", about=aim) for aim in asked.aims]
    found += [
        ByHandWish(words=f"{title(id_)} on the {listed(sides)} only", wish="sides", about=id_)
        for id_, sides in by_hand.sides.items()
        if len(sides) == 1
    ]
    found += [
        ByHandWish(words=f"{title(id_)} is set up by hand", wish="setups", about=id_)
        for id_ in dict.fromkeys(id_ for id_, _ in by_hand.setups)
    ]
    if by_hand.order:
        found.append(ByHandWish(words="The order was changed by hand", wish="order"))
    return found


def steps_of(plan: Plan) -> list[Step]:
    """Return the versions of a session as its history needs them."""
    return [
        Step(number=number, changed_from=request.get("changed_from"), back_to=request.get("back_to"))
        for number, request in plan.versions.order_by("number").values_list("number", "request")
    ]


def undo_and_redo(plan: Plan) -> dict[str, int | None]:
    """Return the versions that an undo and a redo go to."""
    steps = steps_of(plan)
    return {"undo": undone(steps), "redo": redone(steps)}


def what_changed(version: PlanVersion) -> tuple[Difference, ...]:
    """Return what changed against the version before; empty for the first."""
    before = version.plan.versions.filter(number=version.number - 1).first()
    return () if before is None else differences(before.document, version.document)


def version_rows(plan: Plan) -> list[VersionRow]:
    """Return all versions, the newest first, each with what changed against the one before it."""
    rows: list[VersionRow] = []
    before: PlanVersion | None = None
    for version in plan.versions.select_related("made_by").order_by("number"):
        found = () if before is None else differences(before.document, version.document)
        rows.append(VersionRow(version=version, differences=found))
        before = version
    return rows[::-1]
