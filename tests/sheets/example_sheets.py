"""Invented sheets for the tests: a short session, a long one, and one with words that are too long for everything."""

from __future__ import annotations

from dataclasses import replace

from firstpush.core.notices import Notice
from firstpush.sheets.content import Fact, LeftOut, SheetContent, SheetItem, TimelineBar, Version, clock

FIGURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 116 57" width="116mm" height="57mm">'
    '<circle cx="25" cy="12" r="5" fill="none" stroke="#1d2b31"/>'
    '<circle cx="22" cy="42" r="11" fill="none" stroke="#1d2b31"/>'
    '<path d="M25 17V34H36V48M25 22L40 26" fill="none" stroke="#1d2b31" stroke-width="2"/>'
    '<path d="M40 26L54 30" stroke="#b8431f"/><path d="M54 20V53M2 53H114" stroke="#1d2b31" stroke-width="0.5"/>'
    '<text x="2" y="5" font-family="Atkinson Hyperlegible Next" font-size="3.6">Start</text>'
    '<text x="62" y="5" font-family="Atkinson Hyperlegible Next" font-size="3.6">End</text></svg>'
)

SMALL_FIGURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 33 18" width="33mm" height="18mm">'
    '<circle cx="8" cy="3" r="1.6" fill="none" stroke="#1d2b31" stroke-width="0.25"/>'
    '<circle cx="7" cy="13" r="4" fill="none" stroke="#1d2b31" stroke-width="0.25"/>'
    '<path d="M8 5V11H12V16M8 7L13 8" fill="none" stroke="#1d2b31" stroke-width="0.6"/>'
    '<path d="M13 8L17 9" stroke="#b8431f" stroke-width="0.5"/>'
    '<path d="M17 6V17M1 17H32" stroke="#1d2b31" stroke-width="0.25"/></svg>'
)

TITLES = (
    "Chest stretch at a post",
    "External rotation at 90° abduction",
    "Seated row",
    "Anti-rotation press",
    "Ball circles",
    "Graded push lengths",
)


def item(number: int, *, figure_svg: str = FIGURE, small_figure_svg: str = SMALL_FIGURE) -> SheetItem:
    """Return one exercise that pulls at a band, with everything filled in."""
    title = TITLES[(number - 1) % len(TITLES)]
    return SheetItem(
        number=number,
        title=title if number <= len(TITLES) else f"{title}, again ({number})",
        part="strength",
        side_words="Right arm, then left arm",
        figure_svg=figure_svg,
        figure_alt=f"{title}: start and end position, seen from the front right; the band runs to a post in front.",
        dose_large=f"2 × {7 + number}",
        dose_small="2 s out · 1 s hold · 2 s back · 45 s pause",
        minutes="2:50",
        start_clock=clock(170 * (number - 1)),
        facts=(
            Fact(label="Band", value="flat 16, single, mark at 0.80 m"),
            Fact(label="Post", value="wall bars, 0.90 m high"),
            Fact(label="Distance", value="0.60 m from the footplate"),
            Fact(label="Chair", value="facing the post, chocked both ways"),
        ),
        cue="The elbow stays where it is; only the forearm turns.",
        watch_for=("the elbow dropping below the shoulder", "the shoulder shrugging", "the lower back arching"),
        easier="half a step nearer to the post, 0.45 m from the footplate",
        harder="mark at 0.75 m",
        stop_rule="Stop at pain above 3 of 10 or at tingling in the hand.",
        notices=(
            Notice(
                id=f"arc-often-hurts-{number}",
                level="caution",
                what="shoulder height is inside the arc that often hurts",
                do="Lower the elbow by a hand's width and stop at pain",
            ),
        )
        if number == 2
        else (),
        numbers=(
            Fact(label="Lifting load", value="12 (9-15) N·m at the end, external rotation"),
            Fact(label="Pull", value="24-31 N at the end, 14-19 N at the start"),
            Fact(label="Band", value="95-105 % longer than slack, limit 200 %"),
            Fact(label="Trunk", value="needs turning control, has part of it; margin 1.6 (1.2-2.1)"),
            Fact(label="Chair", value="factor 1.8 (1.4-2.3), tipping backwards over the anti-tip wheel governs"),
            Fact(label="Target", value="measured strength 16.5 N·m, 70 % of it"),
        ),
        small_figure_svg=small_figure_svg,
        why="External rotators counter the pushing muscles; the right side measured 8 % weaker than the left.",
    )


def timeline(items: int) -> tuple[TimelineBar, ...]:
    """Return two sets, a pause and the setting up for each exercise, 170 s apiece."""
    bars = []
    for at in range(items):
        ends = (0, 40, 90, 120, 170)
        kinds = ("setting up", "work", "pause", "work")
        for start, end, kind in zip(ends, ends[1:], kinds, strict=False):
            bars.append(TimelineBar(label=str(at + 1), start_s=170 * at + start, end_s=170 * at + end, kind=kind))
    return tuple(bars)


def sheet(version: Version, *, items: int = 6, figure_svg: str = FIGURE) -> SheetContent:
    """Return the sheet of an invented athlete of the harbour club."""
    return SheetContent(
        version=version,
        athlete_name="Runa Velde",
        venue="Slipway hall",
        kind="strength session",
        date=None,
        total_time=clock(170 * items),
        timeline=timeline(items),
        before_we_start=(
            "Pain today, 0-10, each shoulder.",
            "Slept, eaten, drunk, bladder emptied.",
            "Skin under straps and cuffs looked at.",
            "Chair: tyres hard, strap closed, anti-tip wheel down.",
        ),
        stop_rules=(
            "Pain above 3 of 10, or 2 more than usual.",
            "Tingling, numbness, a shoulder that slips.",
            "Dizziness, pounding headache, sweating above the injury: sit up, loosen straps, call for help.",
        ),
        notices=(
            Notice(
                id="turn-partly",
                level="caution",
                what="turning the trunk is partly controlled",
                do="Keep the waist strap closed in every exercise with the post at the side",
            ),
            Notice(
                id="band-near-limit",
                level="note",
                what="the tube was measured once only",
                do="Pull it again with the hook scale",
                about="tube",
            ),
        ),
        items=tuple(item(number, figure_svg=figure_svg) for number in range(1, items + 1)),
        left_out=(
            LeftOut(title="Overhead press", reason="the right arm is lifted to 165° only, and 170° is needed"),
            LeftOut(title="Diagonal pull", reason="no post gives an anchor at 0.20 m with 2.0 m free before it"),
        ),
        sources=(
            "Segment masses: de Leva 1996, read.",
            "Share of strength for two sets of ten: our choice.",
            "Effort and pain limits: common practice.",
        ),
        program_version="0.1.0",
        input_checksum="3f2a9c41",
    )


LONG_WORD = "Schulterblattrückziehungsübungsanleitung"
LONG_NAME = "Maximiliane-Friederike von Hohenschwangau-Wolfratshausen zu Unterpfaffenhofen-Germering"


def long_sheet(version: Version, *, items: int = 6) -> SheetContent:
    """Return a sheet whose every word runs to German length."""
    plain = sheet(version, items=items)
    sentence = f"{LONG_WORD} mit Geschwindigkeitsbegrenzungsvorrichtung am Mehrzweckhallensprossenwandpfosten"
    return replace(
        plain,
        athlete_name=LONG_NAME,
        venue="Mehrzwecksporthallenbetriebsgesellschaft am Hafenbecken, Halle 3",
        kind="Wettkampfvorbereitungsaufwärmprogramm before a match",
        date="Donnerstag, 24. September 2026",
        before_we_start=tuple(f"{each} {sentence}." for each in plain.before_we_start),
        notices=tuple(replace(each, what=f"{each.what}, {sentence}", about=LONG_WORD) for each in plain.notices),
        items=tuple(
            replace(
                each,
                title=f"{each.title} {sentence}",
                dose_large="12 × 120 s a side",
                facts=tuple(replace(fact, value=f"{fact.value}, {sentence}") for fact in each.facts),
                cue=f"{each.cue} {sentence}.",
                easier=sentence,
                why=f"{each.why} {sentence}." * 3,
            )
            for each in plain.items
        ),
    )
