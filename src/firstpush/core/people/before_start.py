"""What is asked before a session starts, and what each answer asks for: put right first, ease, shorten, or stop."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from firstpush.core.errors import UnknownNameError
from firstpush.core.measured import Known
from firstpush.core.notices import Level, Notice
from firstpush.core.people.athlete import Athlete, Chair, Pain
from firstpush.core.people.health import applies, may_be_new
from firstpush.core.people.limbs import for_limbs_of
from firstpush.core.people.pain import PainAnswer, pain_answer

Effect = Literal["none", "shorten", "ease", "first", "stop"]
EFFECTS: tuple[Effect, ...] = ("none", "shorten", "ease", "first", "stop")
"""From mildest to gravest: nothing, fewer sets and more breaks, easier variants, put right first, no session."""

When = tuple[dict[str, str | bool], ...]


@dataclass(frozen=True, kw_only=True)
class AnswerBefore:
    """One answer: the words to choose, its effect, and what it tells; a plain answer tells nothing.

    `effort_ceiling` is the effort (6-20) above which nothing is done today; None leaves it as it is.
    `one_set_less` says whether an exercise of two sets or more has one less today, as it is with "shorten" in any case.
    """

    says: str
    effect: Effect = "none"
    effort_ceiling: int | None = None
    one_set_less: bool = False
    notice: str = ""
    level: Level = "note"
    what: str = ""
    do: str = ""
    any_of: When = ()
    known: Known = "our choice"
    source: str = ""

    @property
    def takes_a_set(self) -> bool:
        """Whether an exercise of two sets or more has one less today."""
        return self.one_set_less or self.effect == "shorten"

    def told(self) -> Notice | None:
        """Return what the practitioner must know after this answer."""
        if not self.notice:
            return None
        return Notice(id=self.notice, level=self.level, what=self.what, do=self.do)


@dataclass(frozen=True, kw_only=True)
class QuestionBefore:
    """One question with its answers, the plain one first."""

    id: str
    asks: str
    answers: tuple[AnswerBefore, ...]
    any_of: When = field(default=())

    def answer(self, says: str) -> AnswerBefore:
        """Return the answer in these words.

        Raises
        ------
        UnknownNameError
            When the question has no such answer.
        """
        found = {each.says: each for each in self.answers}
        if says not in found:
            raise UnknownNameError(kind=f"answer to “{self.asks}”", given=says, known=found)
        return found[says]


@cache
def _every_question() -> tuple[QuestionBefore, ...]:
    text = (files(__package__) / "before_start.toml").read_text(encoding="utf-8")
    return tuple(
        QuestionBefore(
            id=each["id"],
            asks=each["asks"],
            any_of=tuple(each.get("any_of", ())),
            answers=tuple(_answer(answer) for answer in each["answers"]),
        )
        for each in tomllib.loads(text)["questions"]
    )


def _answer(row: dict[str, Any]) -> AnswerBefore:
    return AnswerBefore(**row | {"any_of": tuple(row.get("any_of", ()))})


def questions_before(athlete: Athlete) -> tuple[QuestionBefore, ...]:
    """Return what is asked of this athlete beside pain, each answer once, as it reads for them.

    Parameters
    ----------
    athlete : Athlete
        Whose level of injury is unknown is asked, and answered, as with a high one.
    """

    def fits(any_of: When) -> bool:
        return not any_of or any(applies(when, athlete) for when in any_of)

    asked = []
    for question in _every_question():
        if fits(question.any_of):
            answers: dict[str, AnswerBefore] = {}
            for answer in question.answers:
                if fits(answer.any_of):
                    what, do = (for_limbs_of(words, athlete) for words in (answer.what, answer.do))
                    answers.setdefault(answer.says, replace(answer, what=what, do=do))
            asks = for_limbs_of(question.asks, athlete)
            asked.append(QuestionBefore(id=question.id, asks=asks, answers=tuple(answers.values())))
    return tuple(asked)


def said_to_stop(answers: Mapping[str, str], *, effect: Effect = "stop") -> tuple[str, ...]:
    """Return what was answered that asks for an effect, as clauses, whoever was asked.

    Parameters
    ----------
    answers : mapping of question id to the words of an answer
    effect : str
    """
    found = []
    for question in _every_question():
        said = [each for each in question.answers if each.says == answers.get(question.id) and each.effect == effect]
        # The same answer may read otherwise for some: what was pressed is told, for whoever it was.
        found += [f"{question.asks.partition(' (')[0].rstrip('?').lower()}: {each.says}" for each in said[:1]]
    return tuple(found)


@dataclass(frozen=True, kw_only=True)
class BeforeStart:
    """What the answers ask for together: the gravest effect, every effect, and the notices, gravest first."""

    effects: frozenset[Effect]
    notices: tuple[Notice, ...]

    @property
    def effect(self) -> Effect:
        """The gravest of the effects."""
        return max(self.effects, key=EFFECTS.index, default="none")


def before_start(athlete: Athlete, answers: Mapping[str, str], *, pains: tuple[PainAnswer, ...] = ()) -> BeforeStart:
    """Return what the answers given before the start ask for.

    Parameters
    ----------
    athlete : Athlete
    answers : mapping of question id to the words of an answer
        A question left out was answered plainly.
    pains : tuple of PainAnswer
        What each pain of now means.

    Raises
    ------
    UnknownNameError
        For a question that this athlete is not asked, or words that are none of its answers.
    """
    questions = {question.id: question for question in questions_before(athlete)}
    for id_ in answers:
        if id_ not in questions:
            raise UnknownNameError(kind="question before the start", given=id_, known=questions)
    given = [questions[id_].answer(says) for id_, says in answers.items()]
    notices = [notice for each in given if (notice := each.told()) is not None]
    effects = {each.effect for each in given} | {effect_of_pain(each) for each in pains}
    order: tuple[Level, ...] = ("stop", "caution", "note")
    return BeforeStart(
        effects=frozenset(effects - {"none"}), notices=tuple(sorted(notices, key=lambda each: order.index(each.level)))
    )


def effect_of_pain(answer: PainAnswer) -> Effect:
    """Return what a pain before the start does to the session.

    A familiar pain above usual or limit takes the easier variants.  A new or sharp one, or more than 5 of 10, is looked
    at first: whether anything is done without that arm is for the practitioner to say.
    """
    if answer.outcome in ("stop the exercise", "stop the arm"):
        return "stop"
    return "ease" if answer.outcome == "easier" else "none"


@dataclass(frozen=True, kw_only=True)
class KnownPain:
    """A pain that the athlete is known to have, and what one plain answer says of it.

    Parameters
    ----------
    pain : Pain
    level : int or None
        0 to 10: as it is now where that was asked today, else as it usually is; None where neither is known.
    answer : PainAnswer or None
        What that level means; None where it is not known.
    is_familiar : bool
        Whether the athlete is known to have it; a pain of today whose usual level nobody asked may be new.
    """

    pain: Pain
    level: int | None
    answer: PainAnswer | None
    is_familiar: bool = True

    @property
    def is_plain(self) -> bool:
        """Whether it may be answered without being asked: its level is known, is familiar, and may go on."""
        return self.answer is not None and not self.answer.is_too_much and self.is_familiar


def known_pains(athlete: Athlete) -> tuple[KnownPain, ...]:
    """Return the pains that an athlete is known to have, each with the level that a plain answer takes.

    What was said today counts before what is usual: 4 of 10 now is not answered by a usual 2.
    """
    limit = athlete.health.pain_limit
    found = []
    for pain in athlete.health.pain or ():
        level = pain.usual if pain.now is None else pain.now
        answer = None if level is None else pain_answer(level, usual=pain.usual, limit=limit)
        familiar = not may_be_new(pain, athlete.health)
        found.append(KnownPain(pain=pain, level=level, answer=answer, is_familiar=familiar))
    return tuple(found)


def anti_tip_check(chair: Chair) -> str:
    """Return what is looked at of the anti-tip wheel, as a clause: asked where nobody said whether there is one."""
    if "anti_tip" not in chair.measured:
        return "is there an anti-tip wheel, and is it down?"
    return "no anti-tip wheel on this chair" if chair.anti_tip is None else "anti-tip down"
