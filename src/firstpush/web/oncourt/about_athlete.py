"""What a page must know of an athlete to answer by itself: questions, pain, first aid."""

from __future__ import annotations

from typing import Any

from firstpush.core.people.athlete import PAIN_PLACES, SIDES, Athlete, Pain
from firstpush.core.people.athlete_file import MIDLINE_PLACES
from firstpush.core.people.before_start import KnownPain, effect_of_pain, known_pains, questions_before
from firstpush.core.people.first_aid import cards_for
from firstpush.core.people.pain import FEELINGS, LATER, OUTCOMES, PainAnswer, pain_table
from firstpush.core.progress.effort import effort_zone
from firstpush.core.progress.entries import EFFORTS
from firstpush.web.athletes.models import AthleteRecord


def about_athlete(athlete: Athlete) -> dict[str, Any]:
    """Return the parts ``before``, ``pain``, ``efforts`` and ``cards`` of the package of `athlete`."""
    efforts = [{"effort_6_20": number, "zone": effort_zone(number)} for number in EFFORTS]
    return {"before": _before(athlete), "pain": _pain(athlete), "efforts": efforts, "cards": _cards(athlete)}


def has_weak_grip(athlete: Athlete) -> bool:
    """Whether a hand may press twice where it means once: the page rests longer after each change of the screen."""
    return any(athlete.arm(side).grip in ("weak", "none") for side in SIDES)


def asks_in_words(record: AthleteRecord) -> bool:
    """Whether the athlete is asked how it felt (easy, right, hard), and no number."""
    newest = record.rule_numbers.last()
    return newest is not None and newest.numbers.get("asked_in") == "words"


def place_words(place: str, side: str | None) -> str:
    """Return a place of the body in words: "left shoulder top"."""
    return place if side is None else f"{side} {place}"


def _before(athlete: Athlete) -> dict[str, Any]:
    known = known_pains(athlete)
    return {
        "questions": [
            {
                "id": question.id,
                "asks": question.asks,
                "answers": [
                    {
                        "says": each.says,
                        "effect": each.effect,
                        "level": each.level,
                        "what": each.what,
                        "do": each.do,
                        "effort_ceiling": each.effort_ceiling,
                        "one_set_less": each.takes_a_set,
                    }
                    for each in question.answers
                ],
            }
            for question in questions_before(athlete)
        ],
        "pains": [
            {
                "place": each.pain.place,
                "side": each.pain.side,
                "words": place_words(each.pain.place, each.pain.side),
                "usual": each.pain.usual,
                "now": each.pain.now,
                "plain": each.level,
            }
            for each in known
        ],
        "plain": all(each.is_plain for each in known),
        "plain_words": "; ".join(map(_plain_words, known)) or "no pain",
    }


def _plain_words(known: KnownPain) -> str:
    """Return what one plain answer says of a known pain: "left shoulder front 4 of 10 now, usual 2"."""
    pain = known.pain
    where = place_words(pain.place, pain.side)
    if pain.now is None:
        return f"{where}: as usual, {'not known' if pain.usual is None else f'{pain.usual} of 10'}"
    return f"{where}: {pain.now} of 10 now, usual {'not known' if pain.usual is None else pain.usual}"


def _pain(athlete: Athlete) -> dict[str, Any]:
    limit = athlete.health.pain_limit
    answers: dict[tuple[str, str], int] = {}

    def table(usual: int | None) -> dict[str, list[list[int]]]:
        found = pain_table(usual=usual, limit=limit)
        return {
            feeling: [
                [answers.setdefault((each.outcome, each.because), len(answers)) for each in row]
                for row in found[feeling]
            ]
            for feeling in FEELINGS
        }

    tables = {"": table(None)} | {place_words(pain.place, pain.side): table(pain.usual) for pain in _known(athlete)}
    return {
        "places": [{"place": place, "sided": place not in MIDLINE_PLACES} for place in PAIN_PLACES],
        "feelings": list(FEELINGS),
        "answers": [list(each) for each in answers],
        "tables": tables,
        "effects": {each: effect_of_pain(PainAnswer(outcome=each, because="")) for each in OUTCOMES},
        "later": {
            outcome: {"offer": each.offer, "level": each.level, "what": each.what, "do": each.do}
            for outcome, each in LATER.items()
        },
    }


def _known(athlete: Athlete) -> tuple[Pain, ...]:
    return athlete.health.pain or ()


def _cards(athlete: Athlete) -> list[dict[str, Any]]:
    return [
        {
            "id": card.id,
            "title": card.title,
            "signs": list(card.signs),
            "do": list(card.do),
            "calls_for_help": card.calls_for_help,
            "ends": card.ends,
            "may_go_on": card.may_go_on,
        }
        for card in cards_for(athlete)
    ]
