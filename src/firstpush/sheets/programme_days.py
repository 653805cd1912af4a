"""The pages of a programme that the athlete trains from: every different day with its exercises, as finished words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from firstpush.core.notices import Notice, sides_together
from firstpush.core.people.athlete import Athlete
from firstpush.core.programme.days import DAY_NAMES
from firstpush.core.programme.plan import has_load
from firstpush.core.programme.programme import EASY, MATCH, MATCH_EASY, PlanName, Programme
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.timeline import clock
from firstpush.core.setup.place_unknown import BEFORE_START
from firstpush.sheets.content import BAND_CHECK, Fact
from firstpush.sheets.from_session import before_we_start, stop_rules, told_of, told_of_all, used_by
from firstpush.sheets.words import Setups, dose_large, dose_small, facts, figure_words, first_time_words, side_words

SINGLE_DAYS = {EASY: "Day before a match", MATCH: "Before a match", MATCH_EASY: "Before a match, with another tomorrow"}
"""Titles of the days that are no training days."""
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
"""Written here, because the computer's own names depend on where it stands."""


@dataclass(frozen=True, kw_only=True)
class DayItem:
    """One exercise on the page of a day; `notices` are what is told of it alone, the practitioner's among them."""

    number: int
    title: str
    part: str
    side_words: str
    rhythm: str
    dose_large: str
    dose_small: str
    facts: tuple[Fact, ...]
    cue: str
    notices: tuple[Notice, ...]
    figure_svg: str
    figure_alt: str


@dataclass(frozen=True, kw_only=True)
class DayPage:
    """All exercises of one different day.

    Parameters
    ----------
    title, when, minutes : str
        "Day A", "Monday and Friday", "17:58".
    band_check : str
        Empty where no band is used.
    before_we_start, stop_rules : tuple of str
        As on the sheet of a session.
    notices : tuple of Notice
        About the athlete and about several of the exercises, the practitioner's among them.
    items : tuple of DayItem
    """

    title: str
    when: str
    minutes: str
    band_check: str
    before_we_start: tuple[str, ...]
    stop_rules: tuple[str, ...]
    notices: tuple[Notice, ...]
    items: tuple[DayItem, ...]


def day_pages(
    programme: Programme,
    *,
    athlete: Athlete,
    setups: Mapping[PlanName, Mapping[str, Setups]],
    figures: Mapping[str, str],
    notices: Sequence[Notice],
) -> Iterable[DayPage]:
    """Yield the pages of the training days, then those of matches and the days before them.

    Parameters
    ----------
    programme : Programme
    athlete : Athlete
    setups : mapping of plan name to mapping of exercise to Setups
        Set-ups for training days under "", for single days under their name.
    figures : mapping of exercise to str
        Small drawings (SVG).
    notices : sequence of Notice
        About the athlete.
    """

    def page(
        title: str,
        when: str,
        seconds: int,
        items: Sequence[Chosen],
        here: Mapping[str, Setups],
        about: Sequence[Notice] = (),
        rhythm: Callable[[str], str] = lambda _: "",
    ) -> DayPage:
        candidates = [each.candidate for each in items]
        told, not_known = told_of(candidates)
        used = used_by(setup for each in candidates for setup in here[each.id].values())
        return DayPage(
            title=title,
            when=when,
            minutes=clock(seconds),
            band_check=BAND_CHECK if "band" in used else "",
            before_we_start=before_we_start(used, athlete, not_known),
            stop_rules=stop_rules(used, athlete),
            notices=told_of_all([*notices, *about], told),
            items=tuple(
                _item(number, each, here[each.candidate.id], figures[each.candidate.id], rhythm, told.each[number - 1])
                for number, each in enumerate(items, start=1)
            ),
        )

    by_plan: dict[PlanName, list[int]] = {}
    for weekday in programme.calendar.ordered_weekdays:
        by_plan.setdefault(programme.plan_of(weekday), []).append(weekday)
    for plan, weekdays in by_plan.items():
        day = next(each for each in programme.week.days if each.weekday == weekdays[0])
        when = " and ".join(DAY_NAMES[each] for each in weekdays)
        yield page(f"Day {plan}", when, day.timeline.total_s, day.items, setups[""], rhythm=programme.rhythm_of)
    for name, session in programme.plans.items():
        when = ", ".join(short_day(each.on) for each in programme.sessions if each.plan == name)
        items = [Chosen(candidate=each.candidate, dose=each.dose) for each in session.items]
        yield page(SINGLE_DAYS[name], when, session.total_s, items, setups[name], session.notices)


def practitioners_notices(candidates: Iterable[Candidate], *, of_athlete: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return what the exercises tell the practitioner and no page of a day says, once for all exercises it is true of.

    Parameters
    ----------
    candidates : iterable of Candidate
    of_athlete : iterable of Notice
        What the pages of the days say.
    """
    said = {(each.id, each.what) for each in of_athlete}
    where: dict[Notice, list[str]] = {}
    for candidate in candidates:
        for each in sides_together(each for each in candidate.notices if each.id not in BEFORE_START):
            if (each.id, each.what) not in said and each.level != "note":
                bare = Notice(id=each.id, level=each.level, what=each.what, do=each.do)
                where.setdefault(bare, []).append(candidate.exercise.title)
    return tuple(
        Notice(id=each.id, level=each.level, what=each.what, do=each.do, about=", ".join(dict.fromkeys(titles)))
        for each, titles in where.items()
    )


def short_day(day: date) -> str:
    """Return a day as "7 Dec"."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def long_day(day: date) -> str:
    """Return a day as "7 December 2026"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _item(
    number: int, each: Chosen, setups: Setups, figure: str, rhythm: Callable[[str], str], notices: tuple[Notice, ...]
) -> DayItem:
    exercise = each.candidate.exercise
    # The page stands for weeks of which one is the first, so the dose stays large and the first time stands beside it.
    tried = first_time_words(each.dose, setups) if has_load(exercise) else ""
    return DayItem(
        number=number,
        title=exercise.title,
        part=exercise.part,
        side_words=side_words(exercise, each.candidate.sides, together=each.candidate.together),
        rhythm=rhythm(exercise.id),
        dose_large=dose_large(each.dose, exercise),
        dose_small=" · ".join(filter(None, (tried, dose_small(each.dose, exercise)))),
        facts=facts(setups),
        cue=exercise.cue,
        notices=notices,
        figure_svg=figure,
        figure_alt=figure_words(next(iter(setups.values()))),
    )
