"""Everything that stands on a printed session, as finished words; nothing is computed after this.

The words are English. Numbers arrive as text with unit and range ("24-31 N"), because the range decides their digits.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import groupby
from typing import Literal, get_args

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.definition import Part
from firstpush.core.notices import Notice
from firstpush.core.session.timeline import clock as whole_clock

Version = Literal["athlete", "practitioner"]
BarKind = Literal["setting up", "work", "pause"]
BAR_KINDS: tuple[BarKind, ...] = get_args(BarKind)

MOST_FACTS = 4
"""More set-up facts than this are not read at arm's length."""

BAND_CHECK = "Bands first: look for nicks, check the knot, pull the anchor once hard."
MARK_WORDS = (
    "Mark: tape on the band, so far from where it is tied or held, measured slack; the hand takes hold at the tape."
)
JUDGEMENT = (
    "Firstpush supports a professional's judgement and replaces none: doses are proposals; "
    "licensed practice and local rules come first."
)


@dataclass(frozen=True, kw_only=True)
class Fact:
    """A label and its value, both as they are printed: "Distance", "0.60 m from the footplate"."""

    label: str
    value: str


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """An exercise that is not in the session, and why, as a clause without a full stop."""

    title: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class TimelineBar:
    """One stretch of the session, drawn to scale.

    Parameters
    ----------
    label : str
        What it belongs to; neighbours with one label are marked as one. The exercise's number is short enough always.
    start_s, end_s : float
        From the start of the session [s].
    kind : str
        "setting up", "work" or "pause".
    """

    label: str
    start_s: float
    end_s: float
    kind: BarKind

    def __post_init__(self) -> None:
        if not 0 <= self.start_s < self.end_s:
            raise OutOfRangeError(
                f"the stretch {self.label!r} runs from {self.start_s:g} s to {self.end_s:g} s; "
                "it must end after it starts, and not start before 0 s; correct its times."
            )
        if self.kind not in BAR_KINDS:
            raise OutOfRangeError(
                f"the stretch {self.label!r} is of kind {self.kind!r}; "
                f"known kinds are {', '.join(BAR_KINDS)}; use one of these."
            )


@dataclass(frozen=True, kw_only=True)
class CoursePlanImage:
    """A plan of a drill at one scale: SVG, its true size on paper [mm], and what it shows in words."""

    svg: str
    width_mm: float
    height_mm: float
    scale: int
    alt: str


@dataclass(frozen=True, kw_only=True)
class CourseOnSheet:
    """A drill as it is laid on the floor.

    Parameters
    ----------
    set_out : tuple of str
        How the cones are set out with two tapes, one line each.
    rounds, time : str
        How often it is done, and between which times a set: "2 one way, 2 the other", "19-28 s a set".
    plans : tuple of CoursePlanImage
        To scale, from roomy to small; a sheet prints the one that it has room for, at its true size.
    """

    set_out: tuple[str, ...]
    rounds: str
    time: str
    plans: tuple[CoursePlanImage, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SheetItem:
    """One exercise on the sheet.

    Parameters
    ----------
    number : int
        Place in the session, from 1.
    title, part, side_words : str
        Title of the exercise, part of the session, "Right arm, then left arm".
    figure_svg, figure_alt : str
        The drawing (a whole SVG document) and what it shows, in words for those who do not see it.
    small_figure_svg : str
        The same drawn small and without lettering, for the page that holds the whole session; left out, `figure_svg`
        is shown in its place.
    dose_large, dose_small : str
        "2 × 10" and "2 s out · 1 s hold · 2 s back · 45 s pause".
    minutes, start_clock : str
        How long it takes and when it starts, "3:20" and "4:10" from the start of the session.
    facts : tuple of Fact
        Up to four large set-up facts, for both versions; no N·m here.
    cue, stop_rule : str
        One sentence each, with full stop.
    watch_for : tuple of str
        Faults to look for; practitioner's copy.
    easier, harder : str
        The next step down (both versions; the athlete's leaves it away where that saves a page) and up (practitioner's
        copy): a clause without a full stop, or empty.
    notices : tuple of Notice
        About this exercise; both versions.
    alone : tuple of Notice
        All that is told of it where it stands without the others, on a card or on court.
    numbers : tuple of Fact
        Loads, ranges, margins; practitioner's copy.
    why : str
        Why this exercise and this load; practitioner's copy.
    course : CourseOnSheet or None
        Of a court drill; both versions.
    """

    number: int
    title: str
    part: Part
    side_words: str
    figure_svg: str
    figure_alt: str
    dose_large: str
    dose_small: str
    minutes: str
    start_clock: str
    facts: tuple[Fact, ...]
    cue: str
    stop_rule: str
    watch_for: tuple[str, ...] = ()
    easier: str = ""
    harder: str = ""
    notices: tuple[Notice, ...] = ()
    numbers: tuple[Fact, ...] = ()
    why: str = ""
    small_figure_svg: str = ""
    course: CourseOnSheet | None = None
    alone: tuple[Notice, ...] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        if len(self.facts) > MOST_FACTS:
            raise OutOfRangeError(
                f"{self.title!r} has {len(self.facts)} large set-up facts; "
                f"at most {MOST_FACTS} are read at arm's length; move the others to its numbers."
            )
        if not self.figure_alt.strip():
            raise OutOfRangeError(
                f"the figure of {self.title!r} has no words; a sheet for everybody needs them; say what it shows."
            )


@dataclass(frozen=True, kw_only=True)
class SheetContent:
    """One version of a session's sheet.

    What both versions print (facts, cue, easier step, stop rules, notices) is said without N·m on the athlete's sheet;
    whoever fills it sees to that.

    Parameters
    ----------
    version : str
        "athlete" (band, mark, distance, dose, cue, stop rule) or "practitioner" (numbers, reasons and sources too).
    athlete_name, venue, kind : str
        Who, where, and the kind of session ("strength session").
    date : str or None
        As printed; None leaves a line to write on.
    total_time : str
        "17:30".
    start : str
        When it begins where several train together, "start 4 min after the first"; empty when all begin together.
    timeline : tuple of TimelineBar
        In order of time.
    before_we_start, stop_rules : tuple of str
        One sentence each, with full stop.
    notices : tuple of Notice
        About the whole session, in words that may stand on this version.
    items : tuple of SheetItem
        The exercises in order; may be empty.
    left_out : tuple of LeftOut
        What is not in it, and why; practitioner's copy.
    sources : tuple of str
        Where numbers come from, and which are from memory or our choice; practitioner's copy.
    program_version, input_checksum : str
        For the footer: the same two give the same sheet.
    """

    version: Version
    athlete_name: str
    venue: str
    kind: str
    date: str | None
    total_time: str
    timeline: tuple[TimelineBar, ...]
    before_we_start: tuple[str, ...]
    stop_rules: tuple[str, ...]
    items: tuple[SheetItem, ...]
    program_version: str
    input_checksum: str
    start: str = ""
    notices: tuple[Notice, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    sources: tuple[str, ...] = ()
    band_check: str = BAND_CHECK
    """Empty where no band is used."""
    mark_words: str = ""
    """What a tape mark is; empty where no band is used."""
    first_time_words: str = ""
    """What follows from the answer after a first set; empty where none is tried out."""
    edition: str = ""
    """Which of several versions of a session is printed, such as "session 1, version 2"; files have none."""
    judgement: str = JUDGEMENT
    club: str = ""
    """Beside the line to sign; files have none."""


def clock(seconds: float) -> str:
    """Return a time of the session as minutes and seconds.

    Parameters
    ----------
    seconds : float
        From the start of the session [s].

    Examples
    --------
    >>> clock(4 * 60 + 9.6)
    '4:10'
    """
    return whole_clock(round(seconds))


def timeline_words(timeline: tuple[TimelineBar, ...]) -> str:
    """Return the timeline in words, one clause for each run of bars with one label.

    Examples
    --------
    >>> timeline_words((
    ...     TimelineBar(label="1", start_s=0, end_s=30, kind="setting up"),
    ...     TimelineBar(label="1", start_s=30, end_s=90, kind="work"),
    ...     TimelineBar(label="2", start_s=90, end_s=150, kind="work"),
    ... ))
    'Timeline drawn to scale: 1 from 0:00 to 1:30 (0:30 setting up, 1:00 work); 2 from 1:30 to 2:30 (1:00 work).'
    """
    clauses = []
    for label, run in groupby(timeline, key=lambda bar: bar.label):
        bars = list(run)
        spent = {kind: sum(bar.end_s - bar.start_s for bar in bars if bar.kind == kind) for kind in BAR_KINDS}
        shares = ", ".join(f"{clock(seconds)} {kind}" for kind, seconds in spent.items() if seconds > 0)
        clauses.append(f"{label} from {clock(bars[0].start_s)} to {clock(bars[-1].end_s)} ({shares})")
    return f"Timeline drawn to scale: {'; '.join(clauses)}." if clauses else "Timeline without bars."
