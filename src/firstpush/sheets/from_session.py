"""From a composed session to the words on its sheets: the athlete's version and the practitioner's."""

from __future__ import annotations

from dataclasses import replace

from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.palette import Look, look_for
from firstpush.core.figure.still import draw_still
from firstpush.core.notices import Notice, for_athlete, sides_together, told_once, without_repeats
from firstpush.core.people.athlete import Athlete, Side
from firstpush.core.people.body_size import BodySize
from firstpush.core.session.kinds import kind_named
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.content import (
    BAND_CHECK,
    MARK_WORDS,
    BarKind,
    LeftOut,
    SheetContent,
    SheetItem,
    TimelineBar,
    Version,
    clock,
)
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import (
    ITEM_STOP_RULE,
    dose_in_large,
    dose_words,
    easier,
    evidence_words,
    facts,
    figure_words,
    harder,
    numbers,
    side_words,
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

Used = frozenset[str]
"""What a session uses of "band" and "post"."""


def used_in(session: Session, prepared: Prepared) -> Used:
    """Return whether the exercises of a session use a band, and whether one of them is tied to a post."""
    bands = [
        setup.band for item in session.items for setup in setups_of(item, prepared).values() if setup.band is not None
    ]
    posts = [band.post for band in bands if band.post is not None]
    return frozenset((("band",) if bands else ()) + (("post",) if posts else ()))


def before_we_start(used: Used) -> tuple[str, ...]:
    """Return what is looked at before the start, as far as it is about what is used."""
    return BEFORE_WE_START if "post" in used else (*BEFORE_WE_START[:-1], "Anti-tip down.")


def stop_rules(used: Used) -> tuple[str, ...]:
    """Return when to stop, as far as it is about what is used."""
    return STOP_RULES if "band" in used else tuple(rule.replace("a band tears or ", "") for rule in STOP_RULES)


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
    small_figures: dict[str, str] | None = None,
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
        SVG already drawn; drawn here when left out.
    small_figures : dict of exercise id to str, optional
        The same, small and without lettering.
    """
    look = look_for(athlete.name, sex=athlete.sex)
    drawn = figures if figures is not None else session_figures(session, prepared, look=look)
    small = small_figures if small_figures is not None else small_session_figures(session, prepared, look=look)
    told = told_once([(item.candidate.exercise.title, item.candidate.notices) for item in session.items])
    items = [
        replace(
            _item(
                number, item, session, prepared, drawn[item.candidate.exercise.id], small[item.candidate.exercise.id]
            ),
            notices=told.each[number - 1],
        )
        for number, item in enumerate(session.items, start=1)
    ]
    items_of_athlete = [replace(item, notices=for_athlete(item.notices)) for item in items]
    used = used_in(session, prepared)
    body = next(iter(prepared.setups.values())).body if prepared.setups else None

    def version(which: Version) -> SheetContent:
        about_all = without_repeats([*sides_together([*notices, *session.notices]), *told.whole])
        mine = which == "athlete"
        return SheetContent(
            version=which,
            athlete_name=athlete.name,
            venue=venue_name,
            kind=f"session {kind_named(session.kind).spoken}",
            date=date,
            total_time=clock(session.total_s),
            timeline=_bars(session),
            before_we_start=before_we_start(used),
            stop_rules=stop_rules(used),
            band_check=BAND_CHECK if "band" in used else "",
            mark_words=MARK_WORDS if "band" in used else "",
            notices=for_athlete(about_all) if mine else tuple(about_all),
            items=tuple(items_of_athlete if mine else items),
            left_out=tuple(LeftOut(title=out.exercise.title, reason=out.reason) for out in session.left_out),
            sources=_sources(session, prepared, body) if body is not None else (),
            program_version=program_version,
            input_checksum=checksum,
        )

    return version("athlete"), version("practitioner")


def session_figures(session: Session, prepared: Prepared, *, look: Look) -> dict[str, str]:
    """Return the drawing (SVG) of every exercise of the session, by its id."""
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


def small_session_figures(session: Session, prepared: Prepared, *, look: Look) -> dict[str, str]:
    """Return the small drawing (SVG) of every exercise of the session, by its id."""
    return {
        item.candidate.exercise.id: small_figure(
            setups_of(item, prepared)[item.sides[0] if not item.candidate.together else None], look
        )
        for item in session.items
    }


def setups_of(item: SessionItem, prepared: Prepared) -> dict[Side | None, ExerciseSetup]:
    """Return the set-ups of an item by side; under None for both arms together."""
    id_ = item.candidate.exercise.id
    found = {side: setup for (each, side), setup in prepared.setups.items() if each == id_}
    if item.candidate.together:
        return {None: next(iter(found.values()))}
    return {side: found[side] for side in item.sides}


def _item(number: int, item: SessionItem, session: Session, prepared: Prepared, svg: str, small: str) -> SheetItem:
    exercise, dose = item.candidate.exercise, item.dose
    setups = setups_of(item, prepared)
    first = next(iter(setups.values()))
    steps = session.steps_of(item)
    return SheetItem(
        number=number,
        title=exercise.title,
        part=exercise.part,
        side_words=side_words(item.sides, together=item.candidate.together),
        figure_svg=svg,
        small_figure_svg=small,
        figure_alt=figure_words(first),
        dose_large=dose_in_large(dose, setups),
        dose_small=dose_words(dose, setups),
        minutes=clock(steps[-1].end_s - steps[0].start_s),
        start_clock=clock(steps[0].start_s),
        facts=facts(setups),
        cue=exercise.cue,
        stop_rule=ITEM_STOP_RULE,
        watch_for=exercise.watch_for,
        easier=easier(exercise),
        harder=harder(exercise),
        numbers=numbers(setups),
        why=_why(item, setups),
    )


def _why(item: SessionItem, setups: dict[Side | None, ExerciseSetup]) -> str:
    first = next(iter(setups.values()))
    reason = item.reason
    return f"{reason[:1].upper()}{reason[1:]}. {evidence_words(first.exercise)}".strip()


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
