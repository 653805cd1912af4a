"""What could come in the place of one exercise: a row each, and what all of them cost told once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from firstpush.core.notices import LEVELS, SUPPORT_ADDED, Level, Notice
from firstpush.core.session.candidate import Candidate, Chosen
from firstpush.core.session.consequences import Consequence, ExchangeOption, time_in_words
from firstpush.core.told_once import told_alone
from firstpush.core.words import listed
from firstpush.sheets.words import dose_large, graver, names_no_arm

MOST_SHOWN = 3
"""Exchanges that stand open; the others are folded."""
MOST_LOADED = 6
"""Exchanges shown with their loads, which take time to reckon; the others are shown without."""
SEVERAL = 2
"""Rows of which something is told together."""


Told = tuple[tuple[Level, str], ...]
"""Cautions in short by their level, the gravest first."""


@dataclass(frozen=True, kw_only=True)
class ExchangeRow:
    """One exercise that could come in place of another, as it is shown."""

    option: ExchangeOption
    dose: str
    time: str
    load: str
    sides: str
    loses: str
    """What it loses that is not told above the table; empty where it loses what is told there."""
    short: Told
    """Cautions told neither above the table nor of the exercise that is there now."""
    cautions: tuple[Notice, ...]
    """All that are not told of the exercise that is there now, in full."""


@dataclass(frozen=True, kw_only=True)
class ExchangeTable:
    """Some of what could come in the place of one exercise, with what is told once of them together."""

    loses: str
    """What more than half of the rows lose; empty where there is no such thing."""
    by_all: bool
    short: Told
    """Cautions that every row has, where there are several."""
    rows: tuple[ExchangeRow, ...]

    @property
    def says_above(self) -> bool:
        """Whether something is told of the rows together."""
        return bool(self.loses or self.short)

    @property
    def has_loads(self) -> bool:
        """Whether a load is told of any row."""
        return any(row.load for row in self.rows)


def exchange_tables(
    options: Sequence[ExchangeOption],
    *,
    now: Sequence[Notice],
    load_of: Callable[[str], str],
    dose_of: Callable[[Chosen], str] = lambda each: dose_large(each.dose, each.candidate.exercise),
) -> tuple[ExchangeTable, ...]:
    """Return the table that stands open and the one that is folded; those that would be empty are left out.

    Parameters
    ----------
    options : sequence of ExchangeOption
    now : sequence of Notice
        Those of the exercise that is there now.
    load_of : callable
        From the id of an exercise to its load in words.
    dose_of : callable
        From what would come in to its dose in large, as the sheet would have it.
    """
    loads = [load_of(each.into.candidate.id) for each in options[:MOST_LOADED]]
    loads += [""] * (len(options) - len(loads))
    rows = list(zip(options, loads, strict=True))
    told = {_about(each) for each in now}
    return tuple(_table(each, told, dose_of) for each in (rows[:MOST_SHOWN], rows[MOST_SHOWN:]) if each)


def _table(
    rows: Sequence[tuple[ExchangeOption, str]], told: Collection[tuple[str, str]], dose_of: Callable[[Chosen], str]
) -> ExchangeTable:
    # Where the rest moves, what is lost is not what comes of it: that is looked up for the row.
    losses = Counter(option.consequence.loses for option, _ in rows if not option.consequence.moves_others)
    common, count = losses.most_common(1)[0] if losses else ("", 0)
    if len(rows) < SEVERAL or count <= len(rows) / 2:
        common = ""
    # The same caution, even where something else is to be done about it, is not new.
    new = [tuple(each for each in graver(option.notices) if _about(each) not in told) for option, _ in rows]
    by_all = set.intersection(*({_about(each) for each in notices} for notices in new))
    if len(rows) < SEVERAL:
        by_all = set()
    return ExchangeTable(
        loses=common,
        by_all=count == len(rows),
        short=_in_short([each for each in new[0] if _about(each) in by_all]),
        rows=tuple(
            ExchangeRow(
                option=option,
                dose=dose_of(option.into),
                time=time_in_words(option.consequence),
                load=load,
                sides=_sides(option.into.candidate),
                loses=_loses(option.consequence, common),
                short=_in_short([each for each in notices if _about(each) not in by_all]),
                cautions=told_alone(notices),
            )
            for (option, load), notices in zip(rows, new, strict=True)
        ),
    )


def _loses(what: Consequence, common: str) -> str:
    """Return what a row says that it loses; empty where it is told otherwise, or nothing is lost."""
    if what.moves_others:
        return ""
    if what.loses:
        return "" if what.loses == common else what.loses
    if what.gains:
        return f"nothing; without the change, {what.gains}"
    return "nothing" if common else ""


def _about(notice: Notice) -> tuple[str, str]:
    """Return what tells a caution from another; the same strap is no new one, whichever way the trunk would give."""
    return (notice.id, notice.subject if notice.id == SUPPORT_ADDED else notice.what)


def _in_short(notices: Sequence[Notice]) -> Told:
    """Return cautions without what to do about them, and supports by their names alone."""
    supports = [each for each in notices if each.id == SUPPORT_ADDED and each.subject]
    names = list(dict.fromkeys(each.subject for each in supports))
    others = told_alone(each for each in notices if each not in supports)
    found = []
    for level in reversed(LEVELS):
        words = [f"with {listed(names)}"] if names and level == "caution" else []
        words += [each.what for each in others if each.level == level]
        if words:
            found.append((level, "; ".join(words)))
    return tuple(found)


def _sides(candidate: Candidate) -> str:
    """Return which arms work, shorter than on the sheet: here it is not told which begins."""
    if names_no_arm(candidate.exercise):
        return ""
    if candidate.together:
        return "both arms"
    return f"{candidate.sides[0]} side only" if len(candidate.sides) == 1 else "each side"
