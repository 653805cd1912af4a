"""Write docs/reference/catalogue.md from the exercises of the library.

python scripts/make_catalogue_reference.py            writes it
python scripts/make_catalogue_reference.py --check    writes nothing; exit code 1 when it is stale
"""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping
from math import degrees
from pathlib import Path

from firstpush.core.exercises.definition import PARTS, BandUse, Caution, DoseOption, Exercise, Needs, StartLoad
from firstpush.core.exercises.loader import library

PAGE = Path(__file__).resolve().parent.parent / "docs" / "reference" / "catalogue.md"

_FIXED_TO = {"post": "tied to a post", "chair": "tied to the chair", "other hand": "held in the other hand"}
_GRIPS = {"each": "one line to each hand", "working": "to the working hand", "joined": "to both hands together"}
_SIDES = {
    "front": "in front",
    "behind": "behind",
    "working side": "at the working side",
    "other side": "at the other side",
}
_EFFECTS = {"exclude": "left out", "care": "with care"}


def page(exercises: Mapping[str, Exercise]) -> str:
    """Return the page of all exercises, by part."""
    lines = [
        "# Catalogue",
        "",
        "Made from `src/firstpush/core/exercises/library` by `scripts/make_catalogue_reference.py`; "
        "change the exercise, not this page.",
        "",
        f"{len(exercises)} exercises.",
        "To see them drawn, or to have a card for each:",
        "",
        "```text",
        "firstpush catalogue --out catalogue.pdf",
        "firstpush cards --athlete athlete.toml --kit kit.toml --venue venue.toml --out cards",
        "```",
        "",
        "How a thing is known: *read* (in the source named), *from memory*, *common practice*, or *our choice*.",
        "Doses are proposals; licensed practice and local rules come first.",
        "",
        "| exercise | part | loads | aims |",
        "| --- | --- | --- | --- |",
    ]
    for each in exercises.values():
        lines.append(f"| {_link(each)} | {each.part} | {_loads(each)} | {', '.join(each.aims)} |")
    for part in PARTS:
        of_part = [each for each in exercises.values() if each.part == part]
        if of_part:
            lines += ["", f"## {part.capitalize()}"]
        for each in of_part:
            lines += ["", *_exercise(each, exercises)]
    return "\n".join(lines) + "\n"


def _exercise(each: Exercise, known: Mapping[str, Exercise]) -> list[str]:
    lines = [
        f"### {each.title}",
        "",
        each.summary,
        f"Cue: “{each.cue}”",
        "",
        f"- Id: `{each.id}`.",
        f"- Sides: {'both arms together' if each.sides == 'together' else 'one side after the other'}"
        + ("; a one-arm variant with the other hand on the chair." if each.one_arm_variant else "."),
        f"- Aims: {', '.join(each.aims)}.",
        f"- Loads: {_loads(each)}.",
    ]
    lines += [
        f"  - Link to *{each.poses[at].name}*: {link.loads}{_start(link.start_load)}." for at, link in each.loaded_links
    ]
    if each.start_load is not None:
        lines.append(f"- First try-out{_start(each.start_load)}.")
    lines += [f"- {name}: {words}." for name, words in _used(each)]
    lines.append(f"- Needs: {_needs(each.needs)}.")
    if each.watch_for:
        lines.append(f"- Watch for: {'; '.join(each.watch_for)}.")
    lines += [f"- {name}: {words}." for name, words in _steps(each, known)]
    lines += [f"- Order: {words}." for words in _order(each, known)]
    lines += ["", "Doses, best first:", "", *(f"- {_dose(dose)}" for dose in each.doses)]
    lines += [f"- {_dose(dose).removesuffix('.')}; only by hand." for dose in each.by_hand]
    lines += ["", *_cautions(each), "", *_evidence(each)]
    return lines


def _order(each: Exercise, known: Mapping[str, Exercise]) -> list[str]:
    found = ["comes first in its part"] if each.opens_part else []
    if each.after_any:
        earlier = [_link(known[id_]) if id_ in known else f"`{id_}`" for id_ in each.after_any]
        found.append(f"only in a session that has {' or '.join(earlier)} before it")
    if each.advanced:
        found.append("not for a first time")
    return found


def _loads(each: Exercise) -> str:
    chain = [link.loads for _, link in each.loaded_links]
    if chain:
        return "a chain: " + ", then ".join(chain)
    return "no moment is stated" if each.loads == "none" else each.loads


def _start(load: StartLoad | None) -> str:
    if load is None:
        return ""
    return f" {load.first.value:g} N·m, never above {load.largest.value:g} N·m (*{load.first.known}*)"


def _used(each: Exercise) -> list[tuple[str, str]]:
    found = []
    if each.band is not None:
        found.append(("Band", _band(each.band)))
    if each.band_without_post is not None:
        found.append(("Band where there is no post", _band(each.band_without_post)))
    if each.ball is not None:
        ball = each.ball
        found.append(("Ball", f"up to {ball.largest_mass:g} kg and {ball.largest_diameter:g} m across"))
    if each.contact is not None:
        found.append(("Contact", each.contact))
    return found


def _band(use: BandUse) -> str:
    words = f"{_FIXED_TO[use.fixed_to]}, {_GRIPS[use.grip]}"
    if use.attach != "hand":
        words += f", by a {use.attach.replace('_', ' ')}"
    if use.fixed_to == "post":
        low, high = use.height_window
        words += f"; post {_SIDES[use.anchor_side]}, {_window(low, high)} m from {use.height_from} height"
    return words


def _window(low: float, high: float) -> str:
    return f"{low:+g} to {high:+g}".replace("-", "−").replace("+0 ", "0 ")


def _needs(needs: Needs) -> str:
    found = []
    if needs.elevation > 0:
        found.append(f"arm lifted to {round(degrees(needs.elevation))}°")
    if needs.external_rotation > 0:
        found.append(f"external rotation to {round(degrees(needs.external_rotation))}°")
    if needs.elbow_extension > 0:
        found.append(f"elbow extension grade {needs.elbow_extension}")
    if needs.wrist_extension > 0:
        found.append(f"wrist extension grade {needs.wrist_extension}")
    if needs.grip != "none":
        found.append(f"{needs.grip} grip, or a cuff")
    found.append("one hand" if needs.hands == 1 else "two hands")
    if needs.post:
        found.append("a post")
    if needs.floor_length > 0 or needs.floor_width > 0:
        found.append(f"{needs.floor_length:g} m × {needs.floor_width:g} m of floor")
    if needs.cones > 0:
        found.append(f"{needs.cones} cones")
    return ", ".join(found)


def _steps(each: Exercise, known: Mapping[str, Exercise]) -> list[tuple[str, str]]:
    found = []
    for name, levers, other in (
        ("Easier", each.easier, each.easier_exercise),
        ("Harder", each.harder, each.harder_exercise),
    ):
        words = ", then ".join(levers)
        if other is not None:
            step = _link(known[other]) if other in known else f"`{other}`"
            words = f"{words}; {step}" if words else step
        if words:
            found.append((name, words))
    return found


def _dose(dose: DoseOption) -> str:
    amount = f"{dose.repetitions} repetitions" if dose.repetitions is not None else f"{dose.seconds:g} s"
    sets = "1 set" if dose.sets == 1 else f"{dose.sets} sets"
    phases = [("out", dose.out_s), ("hold", dose.hold_s), ("back", dose.back_s)]
    tempo = ", ".join(f"{seconds:g} s {name}" for name, seconds in phases if seconds > 0)
    words = f"{dose.name}: {sets} of {amount}{' a side' if dose.per_side else ''}"
    if dose.rhythm or dose.repetitions is not None:
        words += f"; {dose.rhythm or tempo}"
    words += f"; {dose.pause_s:g} s pause" if dose.pause_s > 0 else ""
    return words + ("; only where a caution names it, or by hand." if dose.only_with_care else ".")


def _cautions(each: Exercise) -> list[str]:
    if not each.cautions:
        return ["No caution of its own; the health rules for every exercise hold."]
    lines = ["| caution | effect | why | do |", "| --- | --- | --- | --- |"]
    lines += [f"| {one.condition} | {_effect(one)} | {one.why} | {one.do} |" for one in each.cautions]
    also = [line for one in each.cautions for line in _also(one)]
    return [*lines, "", *also] if also else lines


def _effect(one: Caution) -> str:
    if one.doses:
        return f"{_EFFECTS[one.effect]}, only {' or '.join(one.doses)}"
    return _EFFECTS[one.effect] + ("; one arm with care" if one.one_arm_instead else "")


def _also(one: Caution) -> list[str]:
    """Return what a caution changes beside its words: a strap that is put on, and its own cue."""
    found = []
    if one.strap != "none":
        gone = "; the caution is then not told" if one.gone_with_strap else ""
        found.append(f"- With {one.condition} a {one.strap} strap is put on where there is one{gone}.")
    if one.cue:
        found.append(f"- With {one.condition} the cue is “{one.cue}”")
    return found


def _evidence(each: Exercise) -> list[str]:
    if not each.evidence:
        return ["Evidence: none is named."]
    lines = ["Evidence:", ""]
    return lines + [f"- {one.says[:1].upper()}{one.says[1:]} ({one.source}; *{one.known}*)." for one in each.evidence]


def _link(each: Exercise) -> str:
    # The anchor that hosts of repositories make of a heading: lower case, no punctuation, hyphens for spaces.
    anchor = re.sub(r"[^\w\- ]", "", each.title.lower()).replace(" ", "-")
    return f"[{each.title}](#{anchor})"


def main() -> int:
    """Write the page, or tell that it is stale."""
    text = page(library())
    if "--check" not in sys.argv[1:]:
        PAGE.write_text(text, encoding="utf-8")
        return 0
    if PAGE.is_file() and PAGE.read_text(encoding="utf-8") == text:
        return 0
    print(
        "docs/reference/catalogue.md is stale; run python scripts/make_catalogue_reference.py",
        file=sys.stderr,
    )
    return 1


if __name__ == "__main__":
    sys.exit(main())
