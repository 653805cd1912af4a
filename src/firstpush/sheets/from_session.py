"""From a composed session to the words on its sheets: the athlete's version and the practitioner's."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.palette import Look, look_for
from firstpush.core.figure.still import draw_still
from firstpush.core.notices import Notice, for_athlete, for_court, sides_together, without_repeats
from firstpush.core.people.athlete import Athlete, Side
from firstpush.core.people.before_start import questions_before
from firstpush.core.people.body_size import BodySize
from firstpush.core.people.first_aid import LOWEST_LEVEL_WITH_IT
from firstpush.core.people.health import health_notices, held_upright, highest_pain, is_too_much_today, place_of
from firstpush.core.people.limbs import for_limbs_of
from firstpush.core.progress.try_out import first_time_rule, is_tried_out
from firstpush.core.session.candidate import Candidate
from firstpush.core.session.kinds import kind_named
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.setup.place_unknown import BEFORE_START, place_notices_together
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.told_once import ToldOnce, numbers_in_words, told_once
from firstpush.sheets.content import (
    BAND_CHECK,
    MARK_WORDS,
    BarKind,
    CourseOnSheet,
    CoursePlanImage,
    LeftOut,
    SheetContent,
    SheetItem,
    TimelineBar,
    Version,
    clock,
)
from firstpush.sheets.drill_words import course_numbers, course_on_sheet, laid_of
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import (
    dose_in_large,
    dose_words,
    evidence_sources,
    evidence_words,
    facts,
    figure_words,
    harder,
    numbers,
    side_words,
)

ASKS_FOR_SOMEBODY = re.compile(r"\bsomebody (beside|behind)\b")
"""What a caution asks a second person for, in the words of the library."""
FIGURE_MM = (118.0, 64.0)
PAIN_STOPS = "Stop the exercise at new or sharp pain, at pain over {above}, or when pain rises from set to set."
ALL_STOPS = "Stop everything at {signs}, or when {happens}."
SIGNS = "dizziness, chest pain, new numbness or weakness"
DYSREFLEXIA_SIGNS = (
    "faintness (tilt back, legs up), sudden headache, flushing or sweating above the injury "
    "(sit upright{held}, loosen straps, call medical help), chest pain, new numbness or weakness"
)
"""Where autonomic dysreflexia can be: the two ask for the opposite of each other."""
PAIN_AND_ILLNESS = "Pain now, by place, 0 to 10; ill, feverish or unusually tired today?"
BLADDER = "Bladder emptied, bag tube free"
STRAPS_AND_SKIN = "straps and shoes neither loose nor tight; skin under straps looked at."
SEAT = "seat relieved every 30 minutes."
"""Where feeling may be missing: the note that says more is the practitioner's."""
BLOCKED = "Chair blocked both ways before a band is stretched"

Used = frozenset[str]
PUT_ON = " put on"
"""What a session uses of "band" and "post", the strap of the chair that is closed for it: "chest strap", and one that
it puts on: "chest strap put on"."""


def used_in(session: Session, prepared: Prepared) -> Used:
    """Return whether the exercises of a session use a band, a post, and the strap that is worn."""
    return used_by(setup for item in session.items for setup in setups_of(item, prepared).values())


def used_by(setups: Iterable[ExerciseSetup]) -> Used:
    """Return what of "band" and "post" these set-ups use, the strap of the chair that is closed, and one put on."""
    setups = tuple(setups)
    bands = [setup.band for setup in setups if setup.band is not None]
    posts = [band.post for band in bands if band.post is not None]
    straps = {f"{setup.strap_closed} strap" for setup in setups if setup.strap_closed != "none"}
    straps |= {f"{strap}{PUT_ON}" for setup in setups for strap in setup.straps_put_on}
    return frozenset((("band",) if bands else ()) + (("post",) if posts else ())) | straps


def before_we_start(used: Used, athlete: Athlete, not_known: Iterable[Notice] = ()) -> tuple[str, ...]:
    """Return what is looked at before the start, as far as it is about what is used and about the athlete.

    Parameters
    ----------
    used : frozenset of str
    athlete : Athlete
        Who is asked about the bladder on court reads of it here.  An anti-tip wheel that the chair has is let down, one
        that is not known is asked for; a strap that the chair has is closed, one that is put on may stay on between the
        exercises that ask for it.
    not_known : iterable of Notice
        What is not known of the place: look, or ask.
    """
    asked = [f"{_capital(each.what)}: {each.do[:1].lower()}{each.do[1:]}." for each in not_known]
    chair = athlete.chair
    bladder = any(question.id == "bladder" for question in questions_before(athlete))
    skin = for_limbs_of(STRAPS_AND_SKIN, athlete)
    if any(each.id == "skin-relief" for each in health_notices(athlete)):
        skin = f"{skin.removesuffix('.')}; {SEAT}"
    straps = f"{BLADDER}; {skin}" if bladder else _capital(skin)
    of_chair = [BLOCKED] if "post" in used else []
    of_chair += [f"{each} closed" for each in sorted(used) if each.endswith("strap")]
    put_on = [each.removesuffix(PUT_ON) for each in sorted(used) if each.endswith(PUT_ON)]
    of_chair += [f"{each} on, and it may stay on; without one leave out what asks for it" for each in put_on]
    if chair.anti_tip is not None:
        of_chair.append("anti-tip down")
    elif "anti_tip" not in chair.measured:
        of_chair.append("anti-tip: is there one? Down")
    return (PAIN_AND_ILLNESS, straps, *([f"{_capital('; '.join(of_chair))}."] if of_chair else []), *asked)


def stop_rules(used: Used, athlete: Athlete) -> tuple[str, ...]:
    """Return when to stop, as far as it is about what is used and about the athlete.

    Parameters
    ----------
    used : frozenset of str
    athlete : Athlete
        Whose own numbers of pain are printed, and whose level of injury asks for more signs.
    """
    happens = "a band tears or the chair moves" if "band" in used else "the chair moves"
    health = athlete.health
    high = health.level_at_or_above(LOWEST_LEVEL_WITH_IT) or (
        health.spinal_level is None and not health.no_spinal_injury
    )
    held = held_upright(athlete, strapped=any("strap" in each for each in used))
    signs = DYSREFLEXIA_SIGNS.format(held=held) if high else SIGNS
    return (
        PAIN_STOPS.format(above=_pain_above(athlete)),
        ALL_STOPS.format(signs=for_limbs_of(signs, athlete), happens=happens),
    )


def _pain_above(athlete: Athlete) -> str:
    """Return the pain above which an exercise stops: everywhere, and where it is another: "2 of 10 (wrist: over 1)".

    Where it hurts too much already before the start, the level there is that of now, which is said.
    """
    health = athlete.health
    usual = highest_pain(health)
    told = []
    for each in health.pain or ():
        level = highest_pain(health, each)
        if level != usual:
            today = ", its level today" if is_too_much_today(each, health) else ""
            told.append(f"{place_of(each)}: over {level}{today}")
    return f"{usual} of 10" + (f" ({'; '.join(told)})" if told else "")


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


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
    course_plans: dict[str, tuple[CoursePlanImage, ...]] | None = None,
    club: str = "",
    too_hard: Mapping[str, str] = MappingProxyType({}),
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
    course_plans : dict of exercise id to tuple of CoursePlanImage, optional
        Plans of drills already drawn; one that is not among them has none. All are drawn here when left out.
    club : str, optional
        Beside the line to sign.
    too_hard : mapping of exercise id to str, optional
        What to do where an exercise is too hard, from `too_hard_words`; nothing is said of one that is not among them.
    """
    look = look_for(athlete.name, sex=athlete.sex)
    drawn = figures if figures is not None else session_figures(session, prepared, look=look)
    small = small_figures if small_figures is not None else small_session_figures(session, prepared, look=look)
    told, not_known = told_of([item.candidate for item in session.items])
    items = [
        replace(
            _item(
                number, item, session, prepared, drawn[item.candidate.exercise.id], small[item.candidate.exercise.id]
            ),
            course=_course(item, prepared, course_plans),
            easier=too_hard.get(item.candidate.id, ""),
            notices=told.each[number - 1],
            alone=told.alone[number - 1],
        )
        for number, item in enumerate(session.items, start=1)
    ]
    items_of_athlete = [replace(item, notices=for_athlete(item.notices), alone=for_court(item.alone)) for item in items]
    used = used_in(session, prepared)
    tries_out = any(is_tried_out(each.dose, setups_of(each, prepared)) for each in session.items)
    body = next(iter(prepared.setups.values())).body if prepared.setups else None

    def version(which: Version) -> SheetContent:
        about_all = told_of_all([*notices, *session.notices], told)
        mine = which == "athlete"
        return SheetContent(
            version=which,
            athlete_name=athlete.name,
            venue=venue_name,
            kind=f"session {kind_named(session.kind).spoken}",
            date=date,
            total_time=clock(session.total_s),
            timeline=_bars(session),
            before_we_start=(*before_we_start(used, athlete, not_known), *_helped(items)),
            stop_rules=stop_rules(used, athlete),
            band_check=BAND_CHECK if "band" in used else "",
            mark_words=MARK_WORDS if "band" in used else "",
            first_time_words=first_time_rule() if tries_out else "",
            notices=for_athlete(about_all) if mine else tuple(about_all),
            items=tuple(items_of_athlete if mine else items),
            left_out=tuple(LeftOut(title=out.exercise.title, reason=out.reason) for out in session.left_out),
            sources=_sources(session, prepared, body) if body is not None else (),
            club=club,
            program_version=program_version,
            input_checksum=checksum,
        )

    return version("athlete"), version("practitioner")


def _helped(items: Sequence[SheetItem]) -> tuple[str, ...]:
    """Return that somebody must be there, with the exercises whose cautions ask for it; nothing where none does."""
    asking = [item.number for item in items if any(ASKS_FOR_SOMEBODY.search(each.do) for each in item.notices)]
    if not asking:
        return ()
    plural = "s" if len(asking) > 1 else ""
    return (f"Somebody beside or behind the chair: exercise{plural} {numbers_in_words(asking)}.",)


def told_of(candidates: Sequence[Candidate]) -> tuple[ToldOnce, tuple[Notice, ...]]:
    """Return what is told of exercises that are done after each other, and what is not known of their place."""
    told = told_once(
        [
            (candidate.exercise.title, (each for each in candidate.notices if each.id not in BEFORE_START))
            for candidate in candidates
        ]
    )
    return told, place_notices_together((candidate.exercise, candidate.notices) for candidate in candidates)


def told_of_all(notices: Iterable[Notice], told: ToldOnce) -> tuple[Notice, ...]:
    """Return what stands above all exercises: `notices` about athlete and session, and what several of them share."""
    return tuple(without_repeats([*sides_together(notices), *told.whole]))


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


def _course(
    item: SessionItem, prepared: Prepared, plans: dict[str, tuple[CoursePlanImage, ...]] | None
) -> CourseOnSheet | None:
    laid = laid_of(item, prepared)
    if laid is None:
        return None
    drawn = None if plans is None else plans.get(item.candidate.id, ())
    return course_on_sheet(laid, item.dose, plans=drawn)


def _item(number: int, item: SessionItem, session: Session, prepared: Prepared, svg: str, small: str) -> SheetItem:
    exercise, dose = item.candidate.exercise, item.dose
    setups = setups_of(item, prepared)
    first = next(iter(setups.values()))
    steps = session.steps_of(item)
    return SheetItem(
        number=number,
        title=exercise.title,
        part=exercise.part,
        side_words=side_words(exercise, item.sides, together=item.candidate.together),
        figure_svg=svg,
        small_figure_svg=small,
        figure_alt=figure_words(first),
        dose_large=dose_in_large(dose, setups),
        dose_small=dose_words(dose, setups),
        minutes=clock(steps[-1].end_s - steps[0].start_s),
        start_clock=clock(steps[0].start_s),
        facts=facts(setups),
        cue=exercise.cue,
        # The rules that count for every exercise stand above them all, once.
        stop_rule="",
        watch_for=exercise.watch_for,
        harder=harder(exercise),
        numbers=(*numbers(setups), *(() if (laid := laid_of(item, prepared)) is None else course_numbers(laid))),
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
    alike: dict[tuple[str, bool], list[str]] = {}
    for name, law in laws.items():
        alike.setdefault((law.source, law.fit_error is not None), []).append(name)
    for (source, fitted), names in alike.items():
        worst = max((laws[name].fit_error or 0.0 for name in names), default=0.0)
        fit = f", fit within {100 * worst:.1f} % of the largest pull" if fitted else ""
        lines.append(f"Band{'' if len(names) == 1 else 's'} {', '.join(names)}: {source}{fit}.")
    lines.append(
        "Ranges: nine of ten of 10,000 samples over angles, lengths, band and placement; their spreads are our choice."
    )
    lines.append("What trunk and chair hold, limits of joints, start loads: our choice, set on the careful side.")
    lines.append("Doses and times: common practice; no trial of warm-ups in wheelchair court athletes was found.")
    speak: dict[str, list[str]] = {}
    for number, item in enumerate(session.items, start=1):
        for source in evidence_sources(item.candidate.exercise):
            speak.setdefault(source, []).append(str(number))
    if speak:
        told = "; ".join(f"{source}: {', '.join(numbers)}" for source, numbers in speak.items())
        lines.append(f"What speaks for the exercises, by their numbers: {told}.")
    return tuple(lines)
