"""What the sheets of a day want at the same time, and who starts when so that it suffices, in words."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from firstpush.core.kit.kit_file import kit_from
from firstpush.core.kit.venue_file import venue_from
from firstpush.core.session.kinds import ROOM
from firstpush.core.session.timeline import clock
from firstpush.core.squad import (
    Claim,
    Clash,
    Resource,
    Stagger,
    claims_of,
    clashes,
    smallest_stagger,
    supply,
    together_at_most,
)
from firstpush.web.figures import exercise_key
from firstpush.web.reckoned import Reckoned, document_key
from firstpush.web.sessions.day_state import Now, Row
from firstpush.web.sessions.models import DayEvent, DayEventKind, DayPlan

Supply = dict[Resource, int]

_ATTACH = {"wrist_cuff": "wrist cuffs", "forearm_cuff": "forearm cuffs", "upper_arm_cuff": "upper arm cuffs"}
_NUMBERS = ("nobody", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True, kw_only=True)
class ClashLine:
    """One clash: what, who with when, and what helps against it alone."""

    words: str
    who: list[str]
    helps: str


@dataclass(frozen=True, kw_only=True)
class StartLine:
    """Who starts when, in minutes after the first: names, and the athletes' numbers in the database."""

    minutes: int
    names: list[str]
    athlete_ids: list[int]


@dataclass(frozen=True, kw_only=True)
class Together:
    """What the day page says of several sheets.

    Parameters
    ----------
    sheets : int
        How many were looked at.
    lines : list of ClashLine
        What clashes with the starts that are kept.
    kept : list of StartLine
        The starts that are kept, by time; empty when all start together.
    offered : list of StartLine
        Starts that leave less; empty when nothing clashes or nothing helps.
    offer : str
        What the offered starts do, in one sentence.
    not_counted : list of str
        What several want at once and of which nobody has written down how many there are.
    """

    sheets: int
    lines: list[ClashLine]
    kept: list[StartLine]
    offered: list[StartLine]
    offer: str
    not_counted: list[str]


_TOGETHER: Reckoned[Together] = Reckoned(most=32)
_STAGGERS: Reckoned[Stagger] = Reckoned(most=64)
_CLAIMS: Reckoned[tuple[Claim, ...]] = Reckoned(most=256)
_SUPPLIES: Reckoned[Supply] = Reckoned(most=16)


def together(rows: Iterable[Row], now: Now) -> Together | None:
    """Return what the ready sheets of a day come to together; None for fewer than two of one cupboard and venue.

    Parameters
    ----------
    rows : iterable of Row
    now : Now
        What is there on the day.
    """
    rows = [row for row in rows if _counts(row, now.plan)]
    if len(rows) < 2 or now.plan.kit is None:
        return None
    who = tuple((row.record.name, row.start_min, _claims_key(row, now)) for row in rows)
    return _TOGETHER.of((who, _there_key(now)), lambda: _together(rows, now))


def _together(rows: Sequence[Row], now: Now) -> Together:
    names = {str(row.record.pk): row.record.name for row in rows}
    there = _there(now)
    claims = tuple(each for row in rows for each in _claims(row, now))
    starts = {str(row.record.pk): row.start_min for row in rows}
    found = clashes(claims, there, starts_min=starts)
    kept = _start_lines(starts, names) if any(starts.values()) else []
    unknown = _not_counted(claims, there, starts)
    if not found:
        return Together(sheets=len(rows), lines=[], kept=kept, offered=[], offer="", not_counted=unknown)
    longest_s = max(_length(row) for row in rows)
    asked = (tuple(sorted(there.items())), tuple(names), longest_s // 60)
    stagger = _stagger(claims, *asked)
    alone = {each.resource: _stagger(_of(each.resource, claims), *asked) for each in found}
    better = _how_bad(stagger.left) < _how_bad(found)
    ends = max(60 * stagger.starts_min[str(row.record.pk)] + _length(row) for row in rows)
    return Together(
        sheets=len(rows),
        lines=[_line(each, names, alone[each.resource], longest_s) for each in found],
        kept=kept,
        offered=_start_lines(stagger.starts_min, names) if better else [],
        offer=_offer(stagger, better=better, longest_s=longest_s, ends_s=ends),
        not_counted=unknown,
    )


def standing_on_band(event: DayEvent, rows: Sequence[Row], now: Now) -> str:
    """Return how many of the day's sheets use the band that tore, and for how many at a time what is left is enough.

    Empty for what is no torn band, is undone, or tore in another cupboard than the day's.
    """
    gone = event.withdrawal
    if event.kind != DayEventKind.TORN or gone is None or event.undone_at is not None or gone.kit_id != now.plan.kit_id:
        return ""
    band = Resource(kind="band", name=gone.band)
    left = _there(now).get(band, 0)
    users = {
        row.record.name: max(claims)
        for row in rows
        if row.is_here
        and row.sheet is not None
        and row.sheet.asked.get("kit_id") == now.plan.kit_id
        and (claims := [each.count for each in _claims(row, now) if each.resource == band])
    }
    if not users:
        return f"No sheet of the day uses {gone.band}; all stay as they are."
    sheets = "1 sheet uses" if len(users) == 1 else f"{len(users)} sheets use"
    at_once = together_at_most(users.values(), left)
    if at_once == len(users):
        enough = "enough for all at once" if len(users) > 1 else "enough for it"
    elif at_once:
        enough = f"enough for {_number(at_once, 'athlete')} at a time"
    else:
        enough = "enough for none of them"
    return f"{sheets} {gone.band}, {left or 'none'} left: {enough} ({', '.join(users)})."


def _counts(row: Row, plan: DayPlan) -> bool:
    """Whether a sheet is done with the others: here, ready, with the day's cupboard in the day's venue."""
    if not row.is_here or not row.ready or row.sheet is None:
        return False
    asked = row.sheet.asked
    return bool(asked.get("kit_id") == plan.kit_id and asked.get("venue_id") == plan.venue_id)


def _there_key(now: Now) -> Hashable:
    venue = None if now.plan.venue_id is None else now.venue(now.plan.venue_id)
    return document_key([now.kit(now.plan.kit_id), venue])


def _there(now: Now) -> Supply:
    return _SUPPLIES.of(_there_key(now), lambda: _supply(now))


def _supply(now: Now) -> Supply:
    venue = ROOM
    if now.plan.venue_id is not None:
        venue = venue_from(now.venue(now.plan.venue_id), where="venue")
    return supply(kit_from(now.kit(now.plan.kit_id), where="kit"), venue)


def _claims_key(row: Row, now: Now) -> Hashable:
    """Return what the claims of a sheet come from: who, its version, and how its exercises are defined now."""
    assert row.sheet is not None, "a row without a session holds nothing"
    exercises = (now.exercises.get(id_) for id_ in row.sheet.exercises)
    return row.record.pk, row.sheet.key, tuple(None if each is None else exercise_key(each) for each in exercises)


def _claims(row: Row, now: Now) -> tuple[Claim, ...]:
    sheet = row.sheet
    assert sheet is not None, "a row without a session holds nothing"
    return _CLAIMS.of(_claims_key(row, now), lambda: claims_of(str(row.record.pk), sheet.done, exercises=now.exercises))


def _length(row: Row) -> int:
    return 0 if row.sheet is None else row.sheet.total_s


def _not_counted(claims: Iterable[Claim], there: Supply, starts: Mapping[str, int]) -> list[str]:
    """Name what is wanted more than once at a time and is of a kind whose number is not known."""
    kinds = {resource.kind for resource in there}
    unknown = [each for each in claims if each.resource.kind not in kinds]
    found = clashes(unknown, {each.resource: 1 for each in unknown}, starts_min=starts)
    return [
        f"{_named(each.resource)[:1].upper()}{_named(each.resource)[1:]}: {each.wanted} wanted at once from "
        f"{clock(each.start_s)}; how many there are is not written down."
        for each in found
    ]


def _how_bad(left: Iterable[Clash]) -> tuple[int, int]:
    missing = [each.wanted - each.there for each in left]
    return len(missing), sum(missing)


def _of(resource: Resource, claims: Iterable[Claim]) -> tuple[Claim, ...]:
    return tuple(each for each in claims if each.resource == resource)


def _stagger(
    claims: tuple[Claim, ...], there: tuple[tuple[Resource, int], ...], names: tuple[str, ...], longest_min: int
) -> Stagger:
    """Return the smallest stagger; kept by itself: with other starts than the kept ones it is the same."""
    return _STAGGERS.of(
        (claims, there, names, longest_min),
        lambda: smallest_stagger(claims, dict(there), athletes=names, longest_min=longest_min),
    )


def _start_lines(starts: Mapping[str, int], names: Mapping[str, str]) -> list[StartLine]:
    return [
        StartLine(
            minutes=minutes,
            names=[name for key, name in names.items() if starts[key] == minutes],
            athlete_ids=[int(key) for key in names if starts[key] == minutes],
        )
        for minutes in sorted(set(starts.values()))
    ]


def _line(clash: Clash, names: Mapping[str, str], alone: Stagger, longest_s: int) -> ClashLine:
    titles = list(dict.fromkeys(claim.exercise for claim in clash.claims))
    held: dict[str, list[Claim]] = {}
    for claim in clash.claims:
        held.setdefault(claim.athlete, []).append(claim)
    most = [max(claim.count for claim in own) for own in held.values()]
    return ClashLine(
        words=f"{_titled(clash.resource, titles)}: {clash.wanted} wanted at once from {clock(clash.start_s)}, "
        f"{_there_words(clash)}",
        who=[
            f"{names[athlete]}: {'; '.join(_when(claim, titled=len(titles) > 1) for claim in own)}"
            for athlete, own in held.items()
        ],
        helps=_helps(clash, most, alone, longest_s),
    )


def _when(claim: Claim, *, titled: bool) -> str:
    many = "" if claim.resource.kind == "post" else f" ({claim.count})"
    return f"{f'{claim.exercise} ' if titled else ''}{clock(claim.start_s)}-{clock(claim.end_s)}{many}"


def _titled(resource: Resource, titles: list[str]) -> str:
    """Name the resource, with the exercise where it is one and the same."""
    name = _named(resource)
    if len(titles) > 1:
        return name[:1].upper() + name[1:]
    return f"{titles[0]} {'at' if resource.kind == 'post' else 'with'} {name}"


def _named(resource: Resource) -> str:
    if resource.kind == "cuff":
        return _ATTACH.get(resource.name, resource.name)
    return f"{resource.name} straps" if resource.kind == "strap" else resource.name


def _there_words(clash: Clash) -> str:
    if clash.resource.kind == "post":
        return f"{clash.there} place" if clash.there == 1 else f"{clash.there} places"
    return f"{clash.there or 'none'} there"


def _helps(clash: Clash, counts: list[int], alone: Stagger, longest_s: int) -> str:
    at_once = together_at_most(counts, clash.there)
    post = clash.resource.kind == "post"
    with_it = f"With {_there_words(clash)}" if post else f"With {clash.there} {_named(clash.resource)}"
    if not at_once:
        return f"{with_it} nobody can do it: no starts help. Make their sheets again."
    limit = f"{with_it} at most {_number(at_once, '')} at a time"
    if alone.left:
        return f"{limit}: no starts up to {longest_s // 60} min apart do that. {clash.wanted - clash.there} more would."
    return f"{limit}: for this alone, the last would start {alone.last_min} min after the first."


def _offer(stagger: Stagger, *, better: bool, longest_s: int, ends_s: int) -> str:
    all_end = f"All are done after {clock(ends_s)} instead of {clock(longest_s)}."
    if not stagger.left:
        return f"Nothing clashes with these starts. {all_end}"
    left = "; ".join(f"{_named(each.resource)}: {each.wanted} wanted, {each.there} there" for each in stagger.left)
    none = f"No starts up to {longest_s // 60} min apart remove all of it."
    return f"{none} These leave the least ({left}). {all_end}" if better else none


def _number(number: int, noun: str) -> str:
    word = _NUMBERS[number] if number < len(_NUMBERS) else str(number)
    return f"{word} {noun}{'' if number == 1 else 's'}" if noun else word
