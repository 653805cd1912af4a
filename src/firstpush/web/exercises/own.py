"""The club's own exercises: copied, taken in, changed, taken back; what the checks say decides about their use."""

from __future__ import annotations

import re
from importlib.resources import files

from firstpush.core.exercises.loader import library
from firstpush.web.club.models import Account, Club
from firstpush.web.exercises.checking import Checked, checked
from firstpush.web.exercises.library import club_library
from firstpush.web.exercises.models import OwnExercise

LONGEST_SLUG = 60
_TITLE = re.compile(r"^title\s*=\s*(\"[^\"\n]*\"|'[^'\n]*')", re.MULTILINE)


def text_of_library(slug: str) -> str:
    """Return the file of an exercise of the library, with its comments."""
    folder = files("firstpush.core.exercises") / "library"
    return (folder / f"{slug}.toml").read_text(encoding="utf-8")


def copied(text: str, *, title: str, slug: str, club: Club) -> OwnExercise:
    """Return a copy of the exercise whose file is `text`, not saved yet: another title, everything else alike."""
    quoted = _quoted(f"{title} (own)")
    own = OwnExercise(club=club, slug=free_slug(f"own_{slug}", club=club))
    own.text = _TITLE.sub(lambda _: f"title = {quoted}", text, count=1)
    return own


def _quoted(words: str) -> str:
    escaped = words.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def free_slug(wanted: str, *, club: Club) -> str:
    """Return `wanted`, or it with a number, that neither the library nor the club uses."""
    stem = re.sub(r"[^a-z0-9]+", "_", wanted.casefold()).strip("_")[: LONGEST_SLUG - 4] or "own"
    taken = set(OwnExercise.objects.filter(club=club).values_list("slug", flat=True)) | set(library())
    return next(slug for slug in (stem, *(f"{stem}_{n}" for n in range(2, 1000))) if slug not in taken)


def check_own(own: OwnExercise, text: str) -> Checked:
    """Return what the checks say of `text` as the file of `own`."""
    return checked(text, id_=own.slug, known_ids=club_library(own.club))


def save_checked(own: OwnExercise, text: str, *, by: Account, why: str = "", based_on: int | None = None) -> Checked:
    """Check `text` and keep it as the newest version of `own`; a text that cannot be read is not kept.

    Raises
    ------
    ChangedMeanwhileError
        When somebody else saved another version since `based_on`.
    """
    found = check_own(own, text)
    if found.exercise is not None:
        own.save_text(text, accepted=found.accepted, by=by, why=why, based_on=based_on)
    return found
