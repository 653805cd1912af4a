"""The words of a course sheet: lengths, times, turns, cues and cautions as finished text."""

from __future__ import annotations

import math
from collections.abc import Iterable

from firstpush.core.courses import Bracket, Cue, LaneTime, TimeUse, clock_words, facts_at, free_run_out
from firstpush.core.courses.cues import TICK_EVERY
from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.setup.court import run_out_words
from firstpush.sheets.content import Fact
from firstpush.sheets.course_care import pace_words, time_of, warm_up_words, why_pace
from firstpush.sheets.make_course import MadeCourse

USE_WORDS = {
    "speeding_up": "speeding up",
    "at_speed": "at speed",
    "braking": "braking",
    "held_back_by_the_turn": "held back by the turn",
    "turning_on_the_spot": "turning on the spot",
    "standing": "standing",
}
LEAST_USE_S = 0.05
TICKS_UP_TO = 6
"""Of more lengths than this the metres that tick by have no room on one page."""
FORWARD_OF_TOP = " and at ".join(clock_words(math.radians(30.0), seen_from=side) for side in reversed(SIDES))
"""Clock words change with the side the observer stands on, which is why it is always said."""
MEASURE_WORDS = {
    "maximal speed": "a sprint with splits at 5, 10 and 20 m",
    "time constant": "a sprint with splits at 5, 10 and 20 m",
    "lateral": "a timed circle",
    "backward share": "one backward pull of 5 m",
}


def spacing_words(made: MadeCourse) -> tuple[str, str]:
    """Return the spacing, large, and what the chair that decides needs."""
    course, least = made.course, made.on_floor.least
    outline = made.on_floor.line.outline
    width = f"{made.decides.name}'s chair, {outline.width:.2f} m wide,"
    if len(made.athletes) > 1:
        width = f"The chair of {made.decides.name}, {outline.width:.2f} m wide, decides among {len(made.athletes)}: it"
    if course.spacing is None or least is None:
        room = made.on_floor.line.nearest
        comes = f"comes {room:.2f} m near to a cone" if math.isfinite(room) else "meets no cone"
        return "", f"{width} {comes}; {made.on_floor.line.margin:.2f} m are asked."
    large = f"{course.spacing_word[:1].upper()}{course.spacing_word[1:]} {course.spacing:.2f} m"
    return large, f"{width} needs {least.needed:.2f} m, with {least.margin:.2f} m beside every cone."


def facts(made: MadeCourse) -> tuple[Fact, ...]:
    """Return the numbers of a course with units, the uncertain ones as ranges."""
    turning, pushes, line = made.turning, made.pushes, made.on_floor.line
    low, high = sorted((made.bracket.quick.distance, made.bracket.slow.distance))
    to_left, to_right = (two_digits(math.degrees(each)) for each in (turning.turned_left, turning.turned_right))
    found = [
        Fact(label="Distance", value=_range(low, high, "m")),
        Fact(label="Pushes", value=f"about {pushes.about} ({pushes.low}-{pushes.high})"),
        Fact(label="Turns", value=f"{turning.left} left, {turning.right} right"),
        Fact(label="Turned", value=f"{to_left}° left, {to_right}° right"),
    ]
    # What goes with a speed is not told of somebody who is not to do it.
    if not made.pace.is_out:
        found += [
            Fact(label="Turning load", value=f"about {two_digits(turning.load_deg_per_min)}° a minute"),
            Fact(label="Wheel speeds differ", value=f"up to {turning.wheel_difference:.1f} m/s"),
            Fact(label="Top speed", value=f"about {line.top_speed:.1f} m/s"),
        ]
    # Of lanes the marks stand beside the way: what is free beyond its end tells more.
    if math.isfinite(line.nearest) and not made.lanes:
        found.append(Fact(label="Nearest to a cone", value=f"{100 * line.nearest:.0f} cm"))
    if made.lanes:
        found.append(Fact(label="Run-out", value=run_out_words(_free(made))))
    if line.run_out > 0.01:
        found.append(Fact(label="To stop after the finish", value=f"{line.run_out:.1f} m"))
    if made.course.order:
        found.append(Fact(label="Order, hand of the cone", value=made.course.order))
    return tuple(found)


def _range(low: float, high: float, unit: str) -> str:
    first, last = round(low), round(high)
    return f"{first} {unit}" if first == last else f"{first}-{last} {unit}"


def two_digits(value: float) -> int:
    """Return an angle, or angle a minute, to two digits and no nearer than tens: a hand drives no line more exactly.

    Examples
    --------
    >>> two_digits(826.0), two_digits(4750.0), two_digits(43.0)
    (830, 4800, 40)
    """
    step: int = 10 ** max(1, len(str(round(abs(value)))) - 2)
    return math.floor(value / step + 0.5) * step


def use_rows(use: TimeUse) -> tuple[tuple[str, float, str], ...]:
    """Return where the time goes, most first, with seconds as number and as words."""
    rows = [
        (USE_WORDS[name], seconds, f"{seconds:.1f} s") for name, seconds in vars(use).items() if seconds >= LEAST_USE_S
    ]
    return tuple(sorted(rows, key=lambda row: -row[1]))


def measure_next(made: MadeCourse, bracket: Bracket) -> tuple[str, ...]:
    """Return what would make a bracket narrower, the most telling first, as far as this course asks for it.

    At walking pace nothing does: a sprint would tell of a speed that is not gone at.
    """
    pace = made.paces[next(number for number, each in enumerate(made.brackets) if each is bracket)]
    if pace.at_walking_pace:
        return ()
    asked = dict(MEASURE_WORDS)
    if not made.turning.passages:
        del asked["lateral"]
    if not any(roll.leg.backward for roll in made.on_floor.line.rolls):
        del asked["backward share"]
    return tuple(dict.fromkeys(asked[each] for each in bracket.guessed if each in asked))


def sure_words(made: MadeCourse) -> str:
    """Return what the bracket of the deciding athlete holds, and what would make it narrower."""
    bracket = made.bracket
    why = why_pace(made, made.deciding)
    if made.pace.is_out:
        return f"{why} No time is told."
    said = "Between an athlete quicker than likely on a free line and a slower one who hugs the cones."
    if bracket.by_line >= LEAST_USE_S:
        said += f" The choice of line alone makes {bracket.by_line:.1f} s."
    else:
        said = "Between an athlete quicker than likely and one slower."
    if wanted := measure_next(made, bracket):
        said += f" Measure next: {wanted[0]}."
    return f"{why} {said}" if why else said


def times_words(made: MadeCourse) -> tuple[str, ...]:
    """Return the times of everybody, where there are several."""
    if len(made.athletes) == 1:
        return ()
    found = []
    for athlete, bracket, pace in zip(made.athletes, made.brackets, made.paces, strict=True):
        words = " ".join(filter(None, (time_of(bracket, pace), pace_words(pace))))
        found.append(f"{athlete.name}: {f'not to do: {pace.out[0]}' if pace.is_out else words}")
    return tuple(found)


def cue_words(made: MadeCourse) -> str:
    """Return what is heard before the first length, and how the metres tick by; empty without lanes."""
    if not made.cues or not made.lanes:
        return ""
    counts = [cue for cue in made.cues if cue.kind == "count"]
    go = next((cue.time for cue in made.cues if cue.kind == "go"), 0.0)
    counted = f"{', '.join(cue.says for cue in counts)}, a second apart; go at {go:.0f} s"
    return f"{counted}; then a tick every {TICK_EVERY:g} m."


def cue_rows(made: MadeCourse) -> tuple[tuple[str, ...], ...]:
    """Return the cues of push lanes length by length, in seconds from the first count, under `cue_heads`.

    Each row is a length and what is heard on it: the go, the metres that tick by, brake and turn, the pull back with
    its own brake and turn.  What falls too near to another cue is not heard, and is a dash.
    """
    if not made.cues or not made.lanes:
        return ()
    forward = [lane for lane in made.lanes if not lane.backward]
    pulled = {lane.number: lane for lane in made.lanes if lane.backward}
    lead = next((cue.time for cue in made.cues if cue.kind == "go"), 0.0) - made.lanes[0].begins
    rows: list[tuple[str, ...]] = []
    for place, lane in enumerate(forward):
        first = lead + lane.begins - 0.05
        last = lead + forward[place + 1].begins - 0.05 if place + 1 < len(forward) else math.inf
        back = lead + pulled[lane.number].begins - 0.05 if lane.number in pulled else math.inf
        out = [cue for cue in made.cues if first <= cue.time < min(last, back)]
        home = [cue for cue in made.cues if back <= cue.time < last]
        ticks = ", ".join(f"{cue.time:.1f}" for cue in out if cue.kind == "tick")
        rows.append(
            (
                f"{lane.number} · {100 * lane.share:.0f} %",
                _when(out, "go"),
                ticks or "–",
                _when(out, "brake"),
                _when(out, "turn", "end"),
                _when(home, "back"),
                _when(home, "brake"),
                _when(home, "turn"),
            )
        )
    if not pulled:
        rows = [row[:5] for row in rows]
    # Of many lengths the metres that tick by have no room on one page.
    if len(forward) > TICKS_UP_TO:
        return tuple((row[0], row[1], *row[3:]) for row in rows)
    return tuple(rows)


def cue_heads(made: MadeCourse) -> tuple[str, ...]:
    """Return the heads of `cue_rows`."""
    forward = [lane for lane in made.lanes if not lane.backward]
    ticks = () if len(forward) > TICKS_UP_TO else (f"each {TICK_EVERY:g} m",)
    pulls = ("back", "brake", "turn") if len(forward) < len(made.lanes) else ()
    return ("", "go", *ticks, "brake", "turn", *pulls)


def _when(cues: Iterable[Cue], *kinds: str) -> str:
    """Return when the first cue of one of these kinds is heard, with the side of a turn; a dash for none."""
    cue = next((cue for cue in cues if cue.kind in kinds), None)
    if cue is None:
        return "–"
    side = f"{cue.says.removeprefix('turn ')} " if cue.kind in ("turn", "end") else ""
    return f"{side}{cue.time:.1f}"


def lane_facts(lanes: tuple[LaneTime, ...]) -> tuple[str, ...]:
    """Return what to look for on the lanes, slow ones first, each with how it is known."""
    forward = [lane for lane in lanes if not lane.backward]
    found: dict[str, tuple[str, list[float]]] = {}
    for lane in forward:
        for fact in facts_at(lane.share):
            found.setdefault(fact.says, (fact.known, []))[1].append(lane.share)
    said = []
    for says, (known, shares) in found.items():
        ends = f"{100 * min(shares):.0f}-{100 * max(shares):.0f} %" if len(shares) > 1 else f"{100 * shares[0]:.0f} %"
        said.append(f"{ends}: {says}{'' if known == 'read' else f' ({known})'}")
    if said:
        said.append(f"A hand forward of the top of the wheel is at {FORWARD_OF_TOP}.")
    return tuple(said)


def cautions(made: MadeCourse) -> tuple[str, ...]:
    """Return what is looked after before the first run, from the chairs, the floor and the course."""
    line = made.on_floor.line
    said = [
        warm_up_words(made),
        *_chairs(made.athletes),
        "Floor dry and swept; nobody and nothing on the swept floor.",
    ]
    if unmeasured := floor_words(made):
        said.append(unmeasured)
    if line.run_out > 0.01:
        said.append(f"Keep {line.run_out:.1f} m free after the finish to stop on.")
    if any(roll.leg.backward for roll in line.rolls):
        said.append("Backwards: look over the shoulder first; the way behind is free.")
    if not made.turning.is_even:
        said.append("More turns to one side: do it the other way round as often.")
    said.append("Stop at new, sharp or rising pain.")
    return tuple(said)


def _free(made: MadeCourse) -> float | None:
    """Return what is free straight on at the end of a lane [m]; None where no wall was measured."""
    placed = made.on_floor
    return free_run_out(placed.line, placed.areas, turned=placed.turned)


def floor_words(made: MadeCourse) -> str:
    """Return what is said where no wall was measured; empty where one was."""
    first = made.on_floor.areas[0]
    if first.edge == "wall":
        return ""
    return f"The floor of {made.venue.name} is not measured: see that the {first.name} is free."


def _chairs(athletes: tuple[Athlete, ...]) -> list[str]:
    bare = [each for each in athletes if each.chair.anti_tip is None]
    without = [each.name for each in bare if "anti_tip" in each.chair.measured]
    unknown = [each.name for each in bare if "anti_tip" not in each.chair.measured]
    said = []
    if len(bare) < len(athletes):
        said.append("Anti-tip wheel down and locked.")
    if without:
        said.append(f"No anti-tip wheel on the chair of {', '.join(without)}: no hard starts, no backward pulls.")
    if unknown:
        said.append(
            f"Is there an anti-tip wheel on the chair of {', '.join(unknown)}? Until that is known no hard starts, no"
            " backward pulls."
        )
    said.append(
        "Brakes off and clear of the tyres while pushing; on while waiting."
        if any(each.chair.brakes for each in athletes)
        else "No brakes on the chair: somebody holds it, or chocks, while waiting."
    )
    return said
