"""The package: all that a device needs to do one session without signal, as one JSON text."""

from __future__ import annotations

import json
import logging
import queue
import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict
from types import MappingProxyType
from typing import Any

from django.conf import settings
from django.db import connections

from firstpush.core.errors import FirstpushError, InputFileError
from firstpush.core.exercises.definition import DoseOption
from firstpush.core.figure.from_setup import scene_of
from firstpush.core.figure.moving import draw_moving
from firstpush.core.figure.palette import Look, look_for
from firstpush.core.notices import for_court, in_one_line
from firstpush.core.people.athlete import Athlete
from firstpush.core.people.athlete_file import athlete_from
from firstpush.core.progress.arms_loaded import arms_loaded
from firstpush.core.progress.try_out import REPETITIONS
from firstpush.core.session.plan import Planned
from firstpush.core.session.session import SessionItem
from firstpush.core.setup.document import setup_document
from firstpush.core.setup.result import ExerciseSetup
from firstpush.core.told_once import told_alone
from firstpush.sheets.small_figures import small_figure
from firstpush.sheets.words import dose_in_large, dose_words, facts, figure_words, names_no_arm, side_words
from firstpush.web.exercises.library import club_library
from firstpush.web.figures import content_key, kept
from firstpush.web.oncourt.about_athlete import about_athlete, asks_in_words, has_weak_grip
from firstpush.web.oncourt.about_session import FIRST_TIME_ASKS, about_session, first_time_rows
from firstpush.web.oncourt.course_items import with_courses
from firstpush.web.oncourt.variants import Variant, first_time, setups_planned, variants_of
from firstpush.web.sessions.drawings import setup_drawn
from firstpush.web.sessions.making import case_of, planned_of
from firstpush.web.sessions.models import PlanVersion
from firstpush.web.sessions.request import read_request
from firstpush.web.sessions.sheet_words import words_of

FORMAT = "firstpush court 1"
CHECKSUM_LETTERS = 16

log = logging.getLogger(__name__)


def can_be_packed(version: PlanVersion) -> bool:
    """Whether a version was kept with the words and set-ups that a device needs."""
    return words_of(version.document, "athlete") is not None and bool(version.request.get("inputs"))


def checksum(version: PlanVersion) -> str:
    """Return what names the content of a package: session, athlete as known now, and program."""
    return _key(version)[:CHECKSUM_LETTERS]


def package_text(version: PlanVersion) -> str:
    """Return the package of a version as JSON; built the first time, which takes seconds, and kept after that.

    Parameters
    ----------
    version : PlanVersion
        One that can be packed.
    """
    key, of = _key(version), version.plan.athlete
    try:
        return kept(key, _not_there, of=of)
    except _NotBuiltError:
        # Drawings are kept each by itself: what is kept may not be drawn from within another that is being made.
        text = json.dumps(_package(version), ensure_ascii=False, separators=(",", ":"))
        return kept(key, lambda: text, of=of)


def current_athlete(version: PlanVersion) -> Athlete:
    """Return the athlete as known now: what is asked and watched for must not be of the day the session was made."""
    try:
        return version.plan.athlete.athlete()
    except InputFileError:
        return athlete_from(version.request["inputs"]["athlete"], where="athlete")


# In the background

_WAITING: queue.Queue[int] = queue.Queue()
_GUARD = threading.Lock()
_ASKED: set[int] = set()
_WORKER: threading.Thread | None = None


def build_ahead(versions: Iterable[PlanVersion]) -> None:
    """Build the packages of sessions that nobody looks at yet, one after the other, here: call it in the background.

    What is looked at meanwhile is built beside it (`build_soon`) and need not wait; what was made again meanwhile is
    left out.  Without a data folder nothing is built.
    """
    for version in versions if settings.FOLDER is not None else ():
        if can_be_packed(version) and version.plan.newest == version:
            try:
                package_text(version)
            except Exception:
                log.exception("the package of version %s could not be built ahead", version.pk)


def build_soon(version: PlanVersion) -> None:
    """Build the package in the background, one after the other; without a data folder it is built when asked for."""
    global _WORKER
    if settings.FOLDER is None or not can_be_packed(version):
        return
    with _GUARD:
        if version.pk in _ASKED:
            return
        _ASKED.add(version.pk)
        _WAITING.put(version.pk)
        if _WORKER is None or not _WORKER.is_alive():
            _WORKER = threading.Thread(target=_work_off, name="packages for on court", daemon=True)
            _WORKER.start()


def _work_off() -> None:
    while True:
        pk = _WAITING.get()
        try:
            version = PlanVersion.objects.select_related("plan__athlete__club").filter(pk=pk).first()
            if version is not None:
                package_text(version)
        except Exception:
            log.exception("the package of version %s could not be built ahead", pk)
        finally:
            with _GUARD:
                _ASKED.discard(pk)
            connections.close_all()


# What is in it


class _NotBuiltError(Exception):
    """The package is not kept yet."""


def _not_there() -> str:
    raise _NotBuiltError


def _key(version: PlanVersion) -> str:
    inputs = json.dumps([version.request, version.document, version.plan.athlete.document], sort_keys=True)
    athlete = version.plan.athlete
    return content_key("court package", version.plan_id, version.number, athlete.number, asks_in_words(athlete), inputs)


def _package(version: PlanVersion) -> dict[str, Any]:
    document, words = version.document, words_of(version.document, "athlete")
    assert words is not None, "asked by `can_be_packed`"
    athlete, record = current_athlete(version), version.plan.athlete
    return {
        "format": FORMAT,
        "plan": version.plan_id,
        "version": version.number,
        "checksum": checksum(version),
        "athlete": {
            "id": record.pk,
            "name": record.name,
            "number": record.number,
            "weak_grip": has_weak_grip(athlete),
        },
        "title": words["kind"][:1].upper() + words["kind"][1:],
        "kind": document["kind"],
        "minutes": document["minutes"],
        "total_s": document["total_s"],
        "made_at": version.made_at.isoformat(),
        **about_session(version, words, athlete.chair),
        **about_athlete(athlete),
        "effort_in_words": asks_in_words(record),
        "notices": [_notice(each) for each in words["notices"]],
        "items": list(_items(version, words["items"])),
    }


def _items(version: PlanVersion, rows: list[dict[str, Any]]) -> Iterable[dict[str, Any]]:
    planned = _planned(version)
    by_id = {} if planned is None else {each.candidate.id: each for each in planned.session.items}
    for item, row in zip(version.document["items"], rows, strict=True):
        again = by_id.get(item["exercise"])
        tried = _is_first_time(item) if planned is None or again is None else first_time(again, planned)
        found = {"planned": _as_planned(version, item, row, again, tried=tried)}
        found["planned"]["arms"] = list(item["sides"])
        doses: dict[str, DoseOption] = {}
        if planned is not None and again is not None:
            doses["planned"] = again.dose
            found["planned"]["arms"] = list(arms_loaded(setups_planned(planned, again).values()))
            case, exercises = case_of(read_request(version.request)), club_library(version.plan.athlete.club)
            for name, variant in variants_of(planned, case, again, exercises).items():
                found[name] = _other(version, row, variant)
                # Another exercise in its place has a course of its own, or none.
                if variant.exercise.id == item["exercise"]:
                    doses[name] = variant.dose
        if planned is not None and again is not None and (drill := planned.prepared.courses.get(item["exercise"])):
            laid = {name: drill.of(dose) for name, dose in doses.items()}
            with_courses(version, item, laid=laid, doses=doses, found=found)
        if again is not None and names_no_arm(again.candidate.exercise):
            found = {name: each | {"side_words": ""} for name, each in found.items()}
        yield {
            "exercise": item["exercise"],
            "title": row["title"],
            "part": item["part"],
            "number": row["number"],
            "first_time": tried,
            "first_time_asks": FIRST_TIME_ASKS if tried else "",
            "first_time_answers": first_time_rows() if tried else [],
            "variants": found,
        }


def _planned(version: PlanVersion) -> Planned | None:
    try:
        return planned_of(version)
    except FirstpushError:
        return None


def _as_planned(
    version: PlanVersion, item: dict[str, Any], row: dict[str, Any], again: SessionItem | None, *, tried: bool
) -> dict[str, Any]:
    dose = None if again is None else again.dose
    # One set of a first time is what is printed, and no more of it.
    most = {"repetitions": min(REPETITIONS[-1], item["dose"]["repetitions"])} if tried else {}
    steps = [each for each in version.document["timeline"] if each["exercise"] == item["exercise"]]
    return {
        **{name: row[name] for name in ("title", "dose_large", "dose_small", "side_words", "facts", "cue")},
        "watch_for": list(row["watch_for"]),
        "bands": sorted({each["band"]["name"] for each in item["setups"] if each["band"] is not None}),
        "notices": [_notice(each) for each in row.get("alone") or row["notices"]],
        "figure": _figure_as_planned(version, item, dose),
        "figure_alt": row["figure_alt"],
        "steps": [
            _step(each["kind"], each["end_s"] - each["start_s"], each["side"], each["words"], item["dose"], dose, most)
            for each in steps
        ],
        "change": "",
    }


def _other(version: PlanVersion, row: dict[str, Any], variant: Variant) -> dict[str, Any]:
    exercise, dose = variant.exercise, variant.dose
    first = next(iter(variant.setups.values()))
    found: dict[str, Any] = {
        "title": exercise.title,
        "dose_large": dose_in_large(dose, variant.tried),
        "dose_small": dose_words(dose, variant.tried),
        "side_words": side_words(exercise, variant.candidate.sides, together=variant.candidate.together),
        "arms": list(arms_loaded(variant.setups.values())),
        "facts": [{"label": each.label, "value": each.value} for each in facts(variant.setups)],
        "cue": exercise.cue,
        "watch_for": list(exercise.watch_for),
        "bands": sorted({each.band.band.name for each in variant.setups.values() if each.band is not None}),
        "notices": [_notice(asdict(each)) for each in for_court(told_alone(variant.candidate.notices))],
        "figure_alt": row["figure_alt"] if variant.same_picture else figure_words(first),
        "steps": [_step(each.kind, each.seconds, each.side, each.words, {}, dose) for each in variant.steps],
        "change": variant.change,
    }
    if not variant.same_picture:
        found["figure"] = _still(version, first)
    return found


def _step(
    kind: str,
    seconds: int,
    side: str | None,
    words: str,
    told: dict[str, Any],
    dose: DoseOption | None,
    instead: Mapping[str, Any] = MappingProxyType({}),
) -> dict[str, Any]:
    step: dict[str, Any] = {"kind": kind, "seconds": seconds, "side": side, "words": words}
    if kind == "set":
        names = ("repetitions", "out_s", "hold_s", "back_s", "rounds", "rounds_words")
        step |= {name: told.get(name) if dose is None else getattr(dose, name) for name in names} | dict(instead)
    return step


def _is_first_time(item: dict[str, Any]) -> bool:
    """Whether an item is a first time by its kept document, where a newer program cannot make it again."""
    targets = [setup["target"] for setup in item["setups"] if setup["target"] is not None]
    return bool(item["dose"]["repetitions"]) and any(target["kind"] == "try-out" for target in targets)


def _notice(notice: dict[str, Any]) -> dict[str, Any]:
    """Return a notice; with ``short``, its one line, where neither what nor what to do can be cut to one."""
    told = {"level": notice["level"], "what": notice["what"], "do": notice["do"]}
    short = in_one_line(notice["what"], notice["do"])
    return told | ({"short": short} if short else {})


def _figure_as_planned(version: PlanVersion, item: dict[str, Any], dose: DoseOption | None) -> str:
    """Return the moving drawing; none where a newer program would draw something else than the words tell."""
    try:
        setup = setup_drawn(version, item)
    except FirstpushError:
        return ""
    first = setup.exercise.doses[0]
    told = dose if dose is not None else first

    def draw(setup: ExerciseSetup, look: Look) -> str:
        return draw_moving(
            scene_of(setup, look=look),
            title=setup.exercise.title,
            description=figure_words(setup),
            out_s=told.out_s or first.out_s,
            hold_s=told.hold_s,
            back_s=told.back_s or first.back_s,
            loop=setup.exercise.circle is not None,
        )

    return _figure(version, setup, draw, "moving", told.out_s, told.hold_s, told.back_s)


def _still(version: PlanVersion, setup: ExerciseSetup) -> str:
    """Return the drawing of a variant: the movement is known by then, what counts is where it is laid."""
    return _figure(version, setup, small_figure, "small")


def _figure(
    version: PlanVersion, setup: ExerciseSetup, draw: Callable[[ExerciseSetup, Look], str], *how: object
) -> str:
    inputs = version.request["inputs"]
    look = look_for(inputs["athlete"]["name"], sex=inputs["athlete"].get("sex"))
    told = json.dumps([inputs, setup_document(setup)], sort_keys=True)
    key = content_key("court figure", setup.exercise.id, told, *how)
    try:
        return kept(key, lambda: draw(setup, look), of=version.plan.athlete)
    except FirstpushError:
        return ""
