"""The notices of a session as they are read: what several exercises share is told once, with their numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from firstpush.core.notices import (
    FUNCTION_UNKNOWN,
    NOT_LOOKED_AT,
    SUPPORT_ADDED,
    USUALLY_FULL,
    Notice,
    sides_together,
    without_repeats,
)
from firstpush.core.words import listed

ASK_FIRST = "exercise-ask-first"
_TOGETHER = (*NOT_LOOKED_AT, SUPPORT_ADDED, ASK_FIRST)


@dataclass(frozen=True, kw_only=True)
class ToldOnce:
    """What is told of a whole session, what stays with each of its exercises, and all of each where it stands alone."""

    whole: tuple[Notice, ...]
    each: tuple[tuple[Notice, ...], ...]
    alone: tuple[tuple[Notice, ...], ...] = ()


def told_once(exercises: Sequence[tuple[str, Iterable[Notice]]]) -> ToldOnce:
    """Return the notices of a session's exercises with what is alike in several of them told once, for all of those.

    Parameters
    ----------
    exercises : sequence of (title, iterable of Notice)
        Those of each exercise, in the order of the session.

    Returns
    -------
    ToldOnce
        What several exercises share names them by their numbers in `about`, unless all of them share it, or it is
        about a thing of its own such as a band.  Function that nobody has looked at is one caution for all of them;
        so is each support that was added to more than one, and what was not asked.  A stop stays with its exercise.
    """
    given = [tuple(_without_title(each, title) for each in notices) for title, notices in exercises]
    mine = [tuple(each for each in notices if not _is_told_together(each)) for notices in given]
    where: dict[Notice, list[int]] = {}
    for number, notices in enumerate(mine, start=1):
        for notice in dict.fromkeys(notices):
            where.setdefault(notice, []).append(number)
    shared = {notice: tuple(at) for notice, at in where.items() if len(at) > 1 and notice.level != "stop"}
    alike = [
        told
        for at in dict.fromkeys(shared.values())
        for told in sides_together(_of_several(notice, at, len(mine)) for notice in shared if shared[notice] == at)
    ]
    numbered = list(enumerate(given, start=1))
    together = [*_not_asked(numbered, of=len(given)), *_supports(numbered, of=len(given))]
    whole = [*_not_looked_at(numbered, of=len(given)), *(told for at, told in together if len(at) > 1), *alike]
    rest = (sides_together(notice for notice in notices if notice not in shared) for notices in mine)
    each = tuple(
        tuple(without_repeats([*(replace(told, about="") for at, told in together if at == (number,)), *notices]))
        for number, notices in enumerate(rest, start=1)
    )
    return ToldOnce(whole=tuple(without_repeats(whole)), each=each, alone=tuple(map(_alone, given)))


def told_alone(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Return the notices of one exercise as they are told where it stands alone: on a card, or on court."""
    return _alone(tuple(replace(each, about="") for each in notices))


def _alone(notices: tuple[Notice, ...]) -> tuple[Notice, ...]:
    one = [(1, notices)]
    together = [told for _, told in (*_not_asked(one, of=1), *_supports(one, of=1))]
    rest = sides_together(each for each in notices if not _is_told_together(each))
    return tuple(without_repeats([*_not_looked_at(one, of=1), *(replace(each, about="") for each in together), *rest]))


def numbers_in_words(numbers: Iterable[int]) -> str:
    """Return numbers of exercises as they are read, three and more in a row as one.

    Examples
    --------
    >>> numbers_in_words([2, 3, 4, 6, 7])
    '2 to 4, 6 and 7'
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return listed([words for run in runs for words in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))])


_Numbered = Sequence[tuple[int, tuple[Notice, ...]]]


def _is_told_together(notice: Notice) -> bool:
    return bool(notice.subject) and notice.level == "caution" and notice.id in _TOGETHER


def _not_looked_at(exercises: _Numbered, *, of: int) -> list[Notice]:
    """Return the one caution of what nobody has looked at: what, in which exercises, and how to look at it."""
    where: dict[str, list[int]] = {}
    ways: dict[str, int] = {}
    usual: dict[tuple[tuple[str, str], ...], dict[str, list[int]]] = {}
    for number, notices in exercises:
        found = [each for each in notices if _is_told_together(each) and each.id in NOT_LOOKED_AT]
        for parts in dict.fromkeys(each.parts for each in found):
            into = usual.setdefault(parts, {}) if parts else where
            for subject in _of_arms([each.subject for each in found if each.parts == parts]):
                into.setdefault(subject, []).append(number)
        for each in found:
            ways.setdefault(each.short, NOT_LOOKED_AT.index(each.id))
    for parts, things in usual.items():
        # What is usually full at this level is one thing to look at: which exercise rests on which is not told.
        levels = listed([level for what, level in parts if what == USUALLY_FULL])
        where[f"{listed(things)}, {USUALLY_FULL} at {levels}"] = sorted({n for at in things.values() for n in at})
    if not where:
        return []
    said = _with_numbers(where, of=of)
    # An earlier exercise may have a caution of its own about the same thing: all is looked at before any of them.
    before = "First" if of == 1 else "Before the first exercise"
    # What is only shown comes before what is squeezed, and reaching last.
    looked = listed(sorted(ways, key=lambda way: ways[way]))
    return [
        Notice(
            id=FUNCTION_UNKNOWN,
            level="caution",
            what=f"not known: {'; '.join(said)}",
            do=f"{before} let the athlete {looked}; write down what you see",
        )
    ]


def _with_numbers(where: Mapping[str, Sequence[int]], *, of: int) -> list[str]:
    """Return each thing with the exercises it is true of; without them where there is one exercise only."""
    said, named = [], of == 1
    for thing, at in where.items():
        numbers = "all" if len(at) == of else numbers_in_words(at)
        # The numbers behind the first say of what they are.
        of_what = "" if named or numbers == "all" else f"exercise{'s' if len(at) > 1 else ''} "
        named = named or bool(of_what)
        said.append(thing if of == 1 else f"{thing} ({of_what}{numbers})")
    return said


def _not_asked(exercises: _Numbered, *, of: int) -> list[tuple[tuple[int, ...], Notice]]:
    """Return the one caution of what was not asked: with which answer which exercise is left out, or done with care."""
    found = [(number, each) for number, notices in exercises for each in notices if each.id == ASK_FIRST]
    found = [(number, each) for number, each in found if _is_told_together(each)]
    if not found:
        return []
    at = tuple(dict.fromkeys(number for number, _ in found))
    effects: dict[str, dict[str, list[int]]] = {}
    for number, each in found:
        for effect, condition in each.parts:
            of_condition = effects.setdefault(effect, {}).setdefault(condition, [])
            if number not in of_condition:
                of_condition.append(number)
    of_one = of if len(at) > 1 else 1
    told = [f"{effect} {', '.join(_with_numbers(where, of=of_one))}" for effect, where in effects.items()]
    asked = dict.fromkeys(part for _, each in found for part in each.subject.split(" and "))
    what = f"{listed(asked)} not known: {'; '.join(told)}"
    return [(at, replace(found[0][1], what=what, about="", subject="", short="", parts=()))]


def _of_arms(subjects: Sequence[str]) -> list[str]:
    """Return what is said of the left and of the right arm without its side, each once."""
    told = []
    for subject in subjects:
        side, _, of_arm = subject.partition(" ")
        both = side in ("left", "right") and {f"left {of_arm}", f"right {of_arm}"} <= set(subjects)
        told.append(of_arm if both else subject)
    return list(dict.fromkeys(told))


def _supports(exercises: _Numbered, *, of: int) -> list[tuple[tuple[int, ...], Notice]]:
    """Return one caution for each support that was added, with the exercises that have it."""
    found: dict[str, list[tuple[int, Notice]]] = {}
    for number, notices in exercises:
        for each in notices:
            if _is_told_together(each) and each.id == SUPPORT_ADDED:
                found.setdefault(each.subject, []).append((number, each))
    told = []
    for support, added in found.items():
        at = tuple(dict.fromkeys(number for number, _ in added))
        why: dict[str, list[int]] = {}
        for number, each in added:
            if number not in why.setdefault(each.short, []):
                why[each.short].append(number)
        reasons = [
            f"{words} ({numbers_in_words(those)})" if len(why) > 1 and of > 1 else words for words, those in why.items()
        ]
        of_all = "all exercises" if len(at) == of else f"exercise{'s' if len(at) > 1 else ''} {numbers_in_words(at)}"
        told.append(
            (
                at,
                replace(
                    added[0][1], what=f"with {support}, because {listed(reasons)}", about=of_all, subject="", short=""
                ),
            )
        )
    return told


def _without_title(notice: Notice, title: str) -> Notice:
    """Return `notice` without the name of its exercise, which stands above it; a variant has a longer title."""
    of_exercise = title.startswith(notice.about) or notice.about.startswith(title)
    return replace(notice, about="") if of_exercise else notice


def _of_several(notice: Notice, at: Sequence[int], all_: int) -> Notice:
    if notice.about or len(at) == all_:
        return notice
    return replace(notice, about=f"exercises {numbers_in_words(at)}")
