"""From a composed session to the words on its sheets: the athlete's version and the practitioner's."""

from __future__ import annotations

import math
from dataclasses import replace

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.figure.from_setup import contact_post, scene_of
from firstpush.core.figure.palette import Look
from firstpush.core.figure.still import draw_still
from firstpush.core.notices import Notice, without_repeats
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.people.body_size import BodySize
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.sheets.content import (
    BarKind,
    Fact,
    LeftOut,
    SheetContent,
    SheetItem,
    TimelineBar,
    Version,
    clock,
)

FIGURE_MM = (118.0, 64.0)
STOP_RULES = (
    "Stop the exercise at new or sharp pain, at pain over 5 of 10, or when pain rises from set to set.",
    "Stop everything at dizziness, chest pain, new numbness or weakness, or when a band tears or the chair moves.",
)
BEFORE_WE_START = (
    "Pain now, by place, 0 to 10; ill, feverish or unusually tired today?",
    "Bladder emptied, bag tube free; straps and shoes neither loose nor tight; skin under straps looked at.",
    "Chair blocked both ways before a band is stretched; anti-tip down.",
)
ITEM_STOP_RULE = "Stop at new, sharp or rising pain."

_WORK: dict[str, BarKind] = {"set": "work", "pause": "pause"}


def sheet_contents(
    session: Session,
    prepared: Prepared,
    *,
    athlete: Athlete,
    venue_name: str,
    notices: tuple[Notice, ...],
    program_version: str,
    checksum: str,
    date: str | None = None,
    figures: dict[str, str] | None = None,
) -> tuple[SheetContent, SheetContent]:
    """Return the athlete's sheet and the practitioner's copy.

    Parameters
    ----------
    session, prepared
    athlete : Athlete
    venue_name : str
    notices : tuple of Notice
        About the athlete's health.
    program_version, checksum : str
        For the footer.
    date : str, optional
        As printed; left out, a line to write on.
    figures : dict of exercise id to str, optional
        SVG already drawn; what is missing is drawn here.
    """
    drawn = figures if figures is not None else session_figures(session, prepared)
    items = [
        _item(number, item, session, prepared, drawn[item.candidate.exercise.id])
        for number, item in enumerate(session.items, start=1)
    ]
    for_athlete = [replace(item, notices=_graver(item.notices)) for item in items]
    body = next(iter(prepared.setups.values())).body if prepared.setups else None

    def version(which: Version) -> SheetContent:
        about_all = without_repeats([*notices, *session.notices])
        mine = which == "athlete"
        return SheetContent(
            version=which,
            athlete_name=athlete.name,
            venue=venue_name,
            kind=f"session {session.kind}",
            date=date,
            total_time=clock(session.total_s),
            timeline=_bars(session),
            before_we_start=BEFORE_WE_START,
            stop_rules=STOP_RULES,
            notices=_graver(tuple(about_all)) if mine else tuple(about_all),
            items=tuple(for_athlete if mine else items),
            left_out=tuple(LeftOut(title=out.exercise.title, reason=out.reason) for out in session.left_out),
            sources=_sources(session, prepared, body) if body is not None else (),
            program_version=program_version,
            input_checksum=checksum,
        )

    return version("athlete"), version("practitioner")


def _graver(notices: tuple[Notice, ...]) -> tuple[Notice, ...]:
    """Return what the athlete reads too: cautions and stops, no notes."""
    return tuple(notice for notice in notices if notice.level != "note")


def session_figures(session: Session, prepared: Prepared) -> dict[str, str]:
    """Return the drawing (SVG) of every exercise of the session, by its id."""
    look = Look()
    drawn = {}
    for item in session.items:
        setup = setups_of(item, prepared)[item.sides[0] if not item.candidate.together else None]
        width, height = FIGURE_MM
        drawn[item.candidate.exercise.id] = draw_still(
            scene_of(setup, look=look),
            width_mm=width,
            height_mm=height,
            title=setup.exercise.title,
            description=figure_words(setup),
            ground=False,
        )
    return drawn


def figure_words(setup: ExerciseSetup) -> str:
    """Return what the drawing shows, for those who do not see it."""
    band = setup.band
    where = (
        f" The band runs from {band.post}, {band.height:.2f} m high, {band.distance:.2f} m from {band.measured_from}."
        if band
        else ""
    )
    return f"Start and end. {setup.exercise.summary}{where}"


def setups_of(item: SessionItem, prepared: Prepared) -> dict[Side | None, ExerciseSetup]:
    """Return the set-ups of an item by side; under None for both arms together."""
    id_ = item.candidate.exercise.id
    found = {side: setup for (each, side), setup in prepared.setups.items() if each == id_}
    if item.candidate.together:
        return {None: next(iter(found.values()))}
    return {side: found[side] for side in item.sides}


def _item(number: int, item: SessionItem, session: Session, prepared: Prepared, svg: str) -> SheetItem:
    exercise, dose = item.candidate.exercise, item.dose
    setups = setups_of(item, prepared)
    first = next(iter(setups.values()))
    steps = session.steps_of(item)
    return SheetItem(
        number=number,
        title=exercise.title,
        part=exercise.part,
        side_words=_side_words(item),
        figure_svg=svg,
        figure_alt=figure_words(first),
        dose_large=dose_large(dose, exercise),
        dose_small=_dose_words(item, setups),
        minutes=clock(steps[-1].end_s - steps[0].start_s),
        start_clock=clock(steps[0].start_s),
        facts=_facts(setups),
        cue=exercise.cue,
        stop_rule=ITEM_STOP_RULE,
        watch_for=exercise.watch_for,
        easier=_levers(exercise.easier, "less"),
        harder=_levers(exercise.harder, "more"),
        notices=tuple(replace(notice, about="") for notice in without_repeats(list(item.candidate.notices))),
        numbers=_numbers(setups),
        why=_why(item, setups),
    )


def dose_large(dose: DoseOption, exercise: Exercise) -> str:
    """Return the dose in large: "2 × 10", "2 × 30 s", "60 s"."""
    if exercise.part == "court":
        return f"{dose.sets} × 4"
    amount = f"{dose.repetitions}" if dose.repetitions is not None else f"{dose.seconds:.0f} s"
    return amount if dose.sets == 1 and dose.repetitions is None else f"{dose.sets} × {amount}"


def dose_small(dose: DoseOption, exercise: Exercise) -> str:
    """Return tempo, pause and sides in small."""
    words = []
    if exercise.circle is not None:
        words.append("one set each direction" if dose.sets == 2 else "change direction half-way")
    elif exercise.part == "court":
        words.append("four lengths: 25, 50, 75, 100 % of your fastest")
    else:
        phases = [("out", dose.out_s), ("hold", dose.hold_s), ("back", dose.back_s)]
        words += [f"{seconds:g} s {name}" for name, seconds in phases if seconds > 0]
    if dose.pause_s > 0 and dose.sets > 1:
        words.append(f"{dose.pause_s:g} s pause")
    return " · ".join(words)


def _dose_words(item: SessionItem, setups: dict[Side | None, ExerciseSetup]) -> str:
    """Return the small dose line; a first time asks after a few repetitions."""
    words = dose_small(item.dose, item.candidate.exercise)
    first_time = any(setup.target is not None and setup.target.kind == "try-out" for setup in setups.values())
    return (
        f"{words} · first time: 5 to 8 slow ones, then say how hard" if first_time and item.dose.repetitions else words
    )


def _side_words(item: SessionItem) -> str:
    if item.candidate.together:
        return "Both arms together"
    if len(item.sides) == 1:
        return f"{item.sides[0].capitalize()} side only"
    return f"{item.sides[0].capitalize()} side, then {item.sides[1]}"


def _facts(setups: dict[Side | None, ExerciseSetup]) -> tuple[Fact, ...]:
    """Return the large set-up facts: one value where the sides agree, else each side's."""
    return _by_label({side: _facts_of(setup) for side, setup in setups.items()})


def _by_label(each: dict[Side | None, dict[str, str]]) -> tuple[Fact, ...]:
    """Return one fact a label: the value both sides share, else the right's and the left's."""
    labels = dict.fromkeys(label for facts in each.values() for label in facts)
    found = []
    for label in labels:
        values = {side: facts[label] for side, facts in each.items() if label in facts}
        alike = len(set(values.values())) == 1 and len(values) == len(each)
        value = next(iter(values.values())) if alike else "; ".join(f"{side} {words}" for side, words in values.items())
        found.append(Fact(label=label, value=value))
    return tuple(found)


def _facts_of(setup: ExerciseSetup) -> dict[str, str]:
    facts: dict[str, str] = {}
    if setup.band is not None:
        facts |= _band_facts(setup, setup.band)
    if setup.ball is not None:
        facts["Ball"] = f"{setup.ball.name}, {setup.ball.mass:g} kg"
        facts["Arm"] = "straight, at shoulder height"
    post = contact_post(setup)
    if post is not None:
        beside = max(abs(float(post[1])) - setup.chair.overall_width / 2, 0.0)
        height = float(setup.movement.skeleton.arms[setup.side].elbow[0, 2])
        facts["Post"] = "upright, beside the working arm"
        facts["Distance"] = f"{_to_5_cm(beside):.2f} m from the tyre"
        facts["Elbow"] = f"{_to_5_cm(height):.2f} m high on the post"
    if setup.exercise.part == "court":
        facts["Floor"] = f"{setup.exercise.needs.floor_length:g} m free ahead"
        facts["Way back"] = "short side, pulled backwards"
    if setup.support:
        words = ", ".join(setup.support)
        facts["Chair" if "Chair" in facts else "Support"] = "; ".join(filter(None, (facts.get("Chair"), words)))
    return facts


def _band_facts(setup: ExerciseSetup, band: BandSetup) -> dict[str, str]:
    strands = "" if band.strands == 1 else "folded double"
    hands = "round the post, an end in each hand" if band.loop else ""
    if setup.exercise.band is not None and setup.exercise.band.grip == "each" and not band.loop:
        hands = "one for each hand"
    cuffs = [
        f"{side} wrist in a cuff" for side in SIDES if setup.attach.get(side) == "wrist_cuff" and side in band.stretch
    ]
    return {
        "Band": ", ".join(filter(None, (band.band.name, strands, f"mark {band.slack_length:.2f} m", hands, *cuffs))),
        "Post": f"{band.post}, {band.height:.2f} m high",
        "Distance": f"{band.distance:.2f} m, {band.measured_from.removeprefix('the ')} to post",
        "Chair": f"{band.chair_words}; {_blocked(setup)}",
    }


def _blocked(setup: ExerciseSetup) -> str:
    return {
        "chocks": "chocked both ways",
        "brakes": "brakes on",
        "brakes and chocks": "brakes on, chocked both ways",
        "free": "not blocked",
    }[setup.blocking]


def _to_5_cm(length: float) -> float:
    return round(length / 0.05) * 0.05


def _levers(levers: tuple[str, ...], more_or_less: str) -> str:
    words = {
        "distance": {"more": "chair farther from the post", "less": "chair nearer to the post"},
        "slack mark": {"more": "shorter mark", "less": "longer mark"},
        "strands": {"more": "band folded double", "less": "single band"},
        "band": {"more": "next heavier band", "less": "next lighter band"},
        "hold time": {"more": "hold longer", "less": "hold shorter"},
        "repetitions": {"more": "more repetitions", "less": "fewer repetitions"},
        "ball mass": {"more": "heavier ball", "less": "no ball"},
        "added turn": {"more": "turn farther", "less": "turn less"},
    }
    return ", then ".join(words[lever][more_or_less] for lever in levers[:2])


def _numbers(setups: dict[Side | None, ExerciseSetup]) -> tuple[Fact, ...]:
    """Return the practitioner's numbers: one where the sides agree, else each side's."""
    return _by_label({side: _numbers_of(setup) for side, setup in setups.items()})


def _numbers_of(setup: ExerciseSetup) -> dict[str, str]:
    found: dict[str, str] = {}
    if setup.peak is not None:
        found["Load"] = f"{setup.exercise.loads} {setup.peak}"
    if setup.target is not None:
        found["Wanted"] = f"{setup.target.value:.0f} N·m: {setup.target.words}"
    if setup.band is not None:
        stretch = [100 * (float(s) - 1) for each in setup.band.stretch.values() for s in (each.min(), each.max())]
        pull = f"{setup.pull.range_words} on a hand, " if setup.pull else ""
        found["Band"] = f"{pull}{min(stretch):.0f} to {max(stretch):.0f} % longer"
    if setup.exercise.static:
        found["Trunk"] = _trunk_words(setup)
    if setup.stability is not None:
        frame = setup.worst_frame_of_chair
        found["Chair"] = (
            f"{setup.stability.governing_mode[frame]} at {setup.stability.factor[frame]:.1f} times this pull"
        )
    return found


def _trunk_words(setup: ExerciseSetup) -> str:
    worst = int(setup.hold.smallest_factor.argmin())
    factor = float(setup.hold.smallest_factor[worst])
    if math.isinf(factor):
        return "nothing pulls at it"
    direction = str(setup.hold.weakest_direction[worst])
    return f"holds {min(factor, 99):.1f} times what pulls, weakest {direction}"


def _why(item: SessionItem, setups: dict[Side | None, ExerciseSetup]) -> str:
    first = next(iter(setups.values()))
    reason = item.reason
    evidence = [f"{each.says} ({each.source}, {each.known})" for each in first.exercise.evidence]
    return f"{reason[:1].upper()}{reason[1:]}. {'; '.join(evidence).capitalize()}{'.' if evidence else ''}"


def _bars(session: Session) -> tuple[TimelineBar, ...]:
    number = {item.candidate.exercise.id: str(index) for index, item in enumerate(session.items, start=1)}
    return tuple(
        TimelineBar(
            label=number.get(step.exercise or "", "start"),
            start_s=step.start_s,
            end_s=step.end_s,
            kind=_WORK.get(step.kind, "setting up"),
        )
        for step in session.timeline.steps
        if step.end_s > step.start_s
    )


def _sources(session: Session, prepared: Prepared, body: BodySize) -> tuple[str, ...]:
    """Return where the numbers of this sheet come from, read off the values that were used."""
    lengths = [body.upper_arm, body.forearm, body.hand, body.shoulder_height, body.shoulder_half_width]
    by_source: dict[str, list[str]] = {}
    for length in lengths:
        by_source.setdefault(
            f"{length.known}, {length.source}" if length.known != "measured" else "measured", []
        ).append(f"{length.name} {length.value:.2f} m")
    lines = [f"{', '.join(names).capitalize()}: {source}." for source, names in by_source.items()]
    lines.append("Masses of arm, head and trunk: de Leva 1996, read; holds for intact young adults.")
    laws = {s.band.band.name: s.band.law for s in prepared.setups.values() if s.band is not None}
    lines += [
        f"Band {name}: {law.source}"
        + (f", fit within {100 * law.fit_error:.1f} % of the largest pull." if law.fit_error is not None else ".")
        for name, law in laws.items()
    ]
    lines.append(
        "Ranges: nine of ten of 10,000 samples over angles, lengths, band and placement; their spreads are our choice."
    )
    lines.append("What trunk and chair hold, limits of joints, start loads: our choice, set on the careful side.")
    lines.append("Doses and times: common practice; no trial of warm-ups in wheelchair court athletes was found.")
    return tuple(lines)
