"""Which exercises a club can use: the library, and its own that the checks accepted."""

from __future__ import annotations

from functools import lru_cache

from django.http import Http404

from firstpush.core.errors import InputFileError
from firstpush.core.exercises.definition import Exercise
from firstpush.core.exercises.loader import exercise_from, library
from firstpush.core.toml_file import parse_toml
from firstpush.web import access
from firstpush.web.access import User
from firstpush.web.club.models import Club
from firstpush.web.exercises.models import OwnExercise
from firstpush.web.figures import content_key

TEXTS_KEPT = 256


@lru_cache(maxsize=TEXTS_KEPT)
def read_exercise(text: str, *, id_: str) -> Exercise:
    """Return the exercise that the text of its file says.

    Raises
    ------
    InputFileError
        With every fault, and its line.
    """
    return exercise_from(parse_toml(text, name=f"{id_}.toml"), id_=id_)


def club_library(club: Club) -> dict[str, Exercise]:
    """Return what sessions of `club` are chosen from, by id: the library, and its own exercises in use.

    An own exercise is in use when the checks accepted it and it is not withdrawn.  One that no newer program can read
    is left out: its page says why.  A name that the library has taken meanwhile is the library's.
    """
    found: dict[str, Exercise] = {}
    for own in OwnExercise.objects.filter(club=club, accepted=True, withdrawn_at=None):
        try:
            found[own.slug] = read_exercise(own.text, id_=own.slug)
        except InputFileError:
            continue
    return dict(library()) | {id_: each for id_, each in found.items() if id_ not in library()}


def own_mark(club: Club) -> str:
    """Return a word for the own exercises that `club` uses, another one when any of them changes."""
    own = OwnExercise.objects.filter(club=club, accepted=True, withdrawn_at=None).order_by("slug")
    return content_key("own exercises", list(own.values_list("slug", "text")))


def exercise_for(user: User, slug: str) -> Exercise:
    """Return an exercise of the library, or one of the club's own, accepted or not; 404 for what cannot be read."""
    if slug in library():
        return library()[slug]
    try:
        return read_exercise(access.own_exercise_for(user, slug).text, id_=slug)
    except InputFileError as error:
        raise Http404 from error
