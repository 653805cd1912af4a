"""What the page after a session shows of each proposal: before and after side by side, made from the plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.forms import BoundField

from firstpush.web.after.forms import WordsForm
from firstpush.web.after.models import Said, Word

_CHOICE_WORDS = {"as done": "Keep", "harder": "Harder", "easier": "Easier", "leave out": "Leave out"}
_COUNT_WORDS = {"harder": "harder", "easier": "easier", "leave out": "left out", "as done": "kept"}
_STEP_OF = {"progress": "harder", "regress": "easier"}


@dataclass(frozen=True, kw_only=True)
class FactRow:
    """One fact of a set-up before and after; `after` is empty where it stays."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, kw_only=True)
class ChoiceRow:
    """One choice as it is shown."""

    value: str
    title: str
    words: str
    change: str
    facts: tuple[FactRow, ...]
    proposed: bool
    checked: bool
    drawn: bool


@dataclass(frozen=True, kw_only=True)
class ProposalRow:
    """One exercise as it is shown.

    Parameters
    ----------
    logged : tuple of str
        What was said of it on court, as clauses.
    what : str
        What the rule says; `proposed` differs from it where the kit has no such step, and `sentence` says so.
    sentences : tuple of str
        What the levers say where no step is offered.
    """

    exercise: str
    title: str
    part: str
    what: str
    because: str
    ask: str
    logged: tuple[str, ...]
    choices: tuple[ChoiceRow, ...]
    proposed: ChoiceRow
    sentence: str
    sentences: tuple[str, ...]
    word: Word | None
    field: BoundField
    reason: BoundField

    @property
    def stands(self) -> tuple[FactRow, ...]:
        """How it is laid and dosed, where nothing of that is proposed to change; empty where before and after stand."""
        return () if self.proposed.drawn and self.proposed.value != "0" else self.choices[0].facts

    @property
    def stays(self) -> bool:
        """Whether it is done again as it was: proposed so, and nothing else chosen."""
        return self.proposed.value == "0" and self.proposed.checked

    @property
    def otherwise(self) -> bool:
        """Whether another choice than the proposed one stands, or waits for its reason."""
        return bool(self.reason.errors or self.field.errors) or not self.proposed.checked


def rows_of(
    form: WordsForm, rows: list[dict[str, Any]], *, logged: Mapping[str, list[str]], words: Mapping[str, Word]
) -> list[ProposalRow]:
    """Return the rows of the page, each with its fields of `form`."""
    return [_row(form, row, tuple(logged.get(row["exercise"], ())), words.get(row["exercise"])) for row in rows]


def counted(rows: list[dict[str, Any]]) -> str:
    """Return how many exercises are proposed to be harder, easier, left out and kept, in words."""
    names = [row["choices"][row["proposed"]]["name"] for row in rows]
    said = [f"{names.count(name)} {words}" for name, words in _COUNT_WORDS.items() if name in names]
    return ", ".join(said)


def _no_step(row: dict[str, Any]) -> bool:
    wanted = _STEP_OF.get(row["what"])
    return wanted is not None and row["choices"][row["proposed"]]["name"] != wanted


def _row(form: WordsForm, row: dict[str, Any], logged: tuple[str, ...], word: Word | None) -> ProposalRow:
    id_ = row["exercise"]
    field = form[f"choice-{id_}"]
    offered = {choice["name"] for choice in row["choices"]}
    before = row["choices"][0]["facts"]
    choices = [
        _choice(str(index), choice, before, proposed=index == row["proposed"], chosen=str(field.value()))
        for index, choice in enumerate(row["choices"])
    ]
    nothing = ChoiceRow(
        value=Said.NOTHING.value,
        title="Nothing changes",
        words="what held before this session goes on",
        change="",
        facts=(),
        proposed=False,
        checked=field.value() == Said.NOTHING.value,
        drawn=False,
    )
    return ProposalRow(
        exercise=id_,
        title=row["title"],
        part=row["part"],
        what=row["what"],
        because=row["because"],
        ask=row["ask"],
        logged=logged,
        choices=(*choices, nothing),
        proposed=choices[row["proposed"]],
        # Where the rule asks for a step that the kit does not have, the kit's answer belongs beside the rule.
        sentence=row["sentences"].get(_STEP_OF.get(row["what"], ""), "") if _no_step(row) else "",
        sentences=tuple(words for direction, words in row["sentences"].items() if direction not in offered),
        word=word,
        field=field,
        reason=form[f"reason-{id_}"],
    )


def _choice(
    value: str, choice: dict[str, Any], before: list[tuple[str, str]], *, proposed: bool, chosen: str
) -> ChoiceRow:
    title = _CHOICE_WORDS[choice["name"]]
    words = choice["words"]
    if choice["name"] == "leave out":
        words = "until it is taken back or asked for by hand"
    return ChoiceRow(
        value=value,
        title=title,
        words=words,
        change=choice["change"],
        facts=_facts(before, choice["facts"]),
        proposed=proposed,
        checked=value == chosen,
        drawn=bool(choice["facts"]),
    )


def _facts(before: list[tuple[str, str]], after: list[tuple[str, str]]) -> tuple[FactRow, ...]:
    """Return the facts of a choice against those of how it was done, in the order of the latter."""
    if not after:
        return ()
    was, will = dict(before), dict(after)
    labels = [*was, *(label for label in will if label not in was)]
    return tuple(
        FactRow(
            label=label,
            before=was.get(label, "none"),
            after="" if was.get(label) == will.get(label) else will.get(label, "none"),
        )
        for label in labels
    )
