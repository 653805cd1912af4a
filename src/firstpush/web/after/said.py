"""Keeping what the practitioner said: one row for each exercise, added and never changed."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils import timezone

from firstpush.core.exercises.definition import Exercise
from firstpush.web.after.forms import WordsForm
from firstpush.web.after.models import Said, Word
from firstpush.web.after.proposals import Behind
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.club.models import Account


def keep_words(form: WordsForm, about: Behind, *, by: Account) -> list[Word]:
    """Keep what a valid form says about a run, but for exercises about which just this was said before."""
    record = about.version.plan.athlete
    before = last_words(about)
    with transaction.atomic():
        return [
            Word.objects.create(
                athlete=record,
                version=about.version,
                run=about.run.id,
                exercise=row["exercise"],
                title=row["title"],
                on=about.run.on,
                said=said,
                proposed=row["choices"][row["proposed"]]["name"],
                because=row["because"],
                reason=reason,
                agreed=agreed,
                made_by=by,
                made_at=timezone.now(),
            )
            for row, said, agreed, reason in form.words()
            if not _same(before.get(row["exercise"]), said, agreed, reason)
        ]


def last_words(about: Behind) -> dict[str, Word]:
    """Return of each exercise the last word about a run."""
    return {word.exercise: word for word in Word.objects.filter(run=about.run.id, athlete=about.version.plan.athlete)}


def chosen_before(rows: list[dict[str, Any]], words: dict[str, Word]) -> dict[str, str]:
    """Return of each exercise about which something was said the choice that it was, as the form names it."""
    found = {}
    for row in rows:
        word = words.get(row["exercise"])
        if word is None:
            continue
        named = [index for index, choice in enumerate(row["choices"]) if choice["name"] == word.said]
        # Reckoned anew by a newer program, the same choice may be another in its last digits.
        named.sort(key=lambda index: row["choices"][index]["agreed"] != word.agreed)
        same = [str(index) for index in named[:1]]
        found[row["exercise"]] = same[0] if same else Said.NOTHING.value
    return found


def take_back(record: AthleteRecord, exercise: Exercise, *, by: Account, reason: str) -> Word:
    """Take back what is agreed about an exercise: it is set up anew, as if nothing were known."""
    now = timezone.now()
    return Word.objects.create(
        athlete=record,
        exercise=exercise.id,
        title=exercise.title,
        on=timezone.localdate(),
        said=Said.TAKEN_BACK,
        reason=reason,
        made_by=by,
        made_at=now,
    )


def _same(word: Word | None, said: str, agreed: list[dict[str, Any]], reason: str) -> bool:
    return word is not None and (word.said, word.agreed, word.reason) == (said, agreed, reason)
