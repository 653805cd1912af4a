"""From an athlete file to an `Athlete`: units converted once, presets filled in, every fault told at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from firstpush.core.people.athlete import (
    CONDITIONS,
    FULL_RANGE_DEG,
    PAIN_PLACES,
    SIDED_CONDITIONS,
    SIDES,
    SPINAL_LEVELS,
    ArmFunction,
    Athlete,
    Control,
    Feeling,
    Grip,
    Health,
    Latex,
    Pain,
    Side,
    StrengthTest,
    TrunkControl,
)
from firstpush.core.people.chair_file import read_chairs
from firstpush.core.people.limbs import WITHOUT_FOOT, WITHOUT_HAND, hand_lost_with
from firstpush.core.people.pain import LARGEST_LIMIT
from firstpush.core.toml_file import TomlFile, as_toml_file, read_toml
from firstpush.core.toml_reader import Allowed, Reader, one_of_text

MISSING_LIMBS = tuple(f"{side} {limb}" for side in SIDES for limb in (*WITHOUT_FOOT, *WITHOUT_HAND))
STRENGTH_MOVEMENTS = (
    "external rotation",
    "internal rotation",
    "elevation",
    "depression",
    "abduction",
    "adduction",
    "flexion",
    "extension",
    "horizontal adduction",
    "horizontal abduction",
    "elbow flexion",
    "elbow extension",
    "wrist extension",
    "trunk turn",
)
"""What a strength test may have measured: the axes an exercise can load with a moment, by the same names."""

SEXES: tuple[Literal["female", "male"], ...] = ("female", "male")
CONTROLS: tuple[Control, ...] = ("yes", "partly", "no")
GRIPS: tuple[Grip, ...] = ("full", "weak", "none")
FEELINGS: tuple[Feeling, ...] = ("full", "reduced", "none")
LATEX: tuple[Latex, ...] = ("avoid", "tolerated")
SPASTICITY: tuple[Literal["none", "some", "much"], ...] = ("none", "some", "much")
COMPLETENESS: tuple[Literal["A", "B", "C", "D"], ...] = ("A", "B", "C", "D")
TESTS: tuple[Literal["make", "break"], ...] = ("make", "break")

# Plausible ranges, our choice: wide enough for every athlete, narrow enough to catch a slipped point or unit.
MASS = Allowed(low=10, high=250, unit="kg")
STATURE = Allowed(low=0.5, high=2.4, unit="m")
ARM_SPAN = Allowed(low=0.5, high=2.6, unit="m")
UPPER_ARM = Allowed(low=0.10, high=0.50, unit="m")
FOREARM = Allowed(low=0.08, high=0.42, unit="m")
# To the knuckle of the middle finger: a hand measured to its finger tip falls outside.
HAND = Allowed(low=0.02, high=0.13, unit="m")
SHOULDER_HEIGHT = Allowed(low=0.20, high=0.85, unit="m")
SHOULDER_WIDTH = Allowed(low=0.15, high=0.60, unit="m")
BORN = Allowed(low=1900, high=2100, unit="")
GRADE = Allowed(low=0, high=5, unit="")
ELEVATION = Allowed(low=0, high=180, unit="degrees")
EXTERNAL_ROTATION = Allowed(low=-90, high=120, unit="degrees")
MOMENT = Allowed(low=0.2, high=200, unit="N·m")
SYSTOLIC = Allowed(low=50, high=220, unit="mmHg")
PAIN = Allowed(low=0, high=10, unit="")
PAIN_LIMITS = Allowed(low=0, high=LARGEST_LIMIT, unit="")

WRITE_SIZE = "Write arm_span_m = 1.72 (finger tip to finger tip), or stature_m, or upper_arm_m below [measured]"
MIDLINE_PLACES = ("neck", "upper back", "lower back")
"""Places of pain that need no side."""


def load_athlete(path: str | Path) -> Athlete:
    """Read the athlete file at `path`.

    Needed are a name, `mass_kg`, one size of the body and a chair with its kind; all else may be left out or "unknown"
    and is then None.  Sizes of the chair that were not measured come from its preset.

    Parameters
    ----------
    path : str or Path
        TOML file in UTF-8; every key that measures something carries its unit.

    Returns
    -------
    Athlete
        Lengths in m, masses in kg, angles in rad.

    Raises
    ------
    InputFileError
        With every fault at once: values out of range, words and keys not known, keys missing, contradictions.
    """
    return _read_athlete(read_toml(path))


def athlete_from(document: Mapping[str, Any], *, where: str) -> Athlete:
    """Read an athlete from a document that is parsed already, with the keys of the file.

    Parameters
    ----------
    document : mapping
        The structure of the file.
    where : str
        What faults name in place of a file.

    Returns
    -------
    Athlete
        The same as `load_athlete` gives for a file with this content.

    Raises
    ------
    InputFileError
        With every fault at once, as `load_athlete` tells them; without lines.
    """
    return _read_athlete(as_toml_file(document, where=where))


def _read_athlete(file: TomlFile) -> Athlete:
    top = Reader(file)
    sizes = top.table("measured")
    function = top.table("function")
    trunk = function.table("trunk")
    ranges = top.table("active_range_deg")
    missing_limbs = top.names("missing_limbs", MISSING_LIMBS)
    athlete = Athlete(
        name=top.needed_text("name", write='Write name = "..."'),
        sport=top.text("sport"),
        born=top.integer("born", BORN),
        sex=top.one_of("sex", SEXES, also="unknown"),
        mass=top.needed_number("mass_kg", MASS, write="Write mass_kg = 62.0, without the chair"),
        stature=top.number("stature_m", STATURE),
        arm_span=top.number("arm_span_m", ARM_SPAN),
        missing_limbs=missing_limbs,
        upper_arm=sizes.number("upper_arm_m", UPPER_ARM),
        forearm=sizes.number("forearm_m", FOREARM),
        hand=sizes.number("hand_m", HAND),
        sitting_shoulder_height=sizes.number("sitting_shoulder_height_m", SHOULDER_HEIGHT),
        shoulder_width=sizes.number("shoulder_width_m", SHOULDER_WIDTH),
        trunk=TrunkControl(
            forward=trunk.one_of("forward", CONTROLS, also="unknown"),
            turn=trunk.one_of("turn", CONTROLS, also="unknown"),
            lean_left=trunk.one_of("lean_left", CONTROLS, also="unknown"),
            lean_right=trunk.one_of("lean_right", CONTROLS, also="unknown"),
        ),
        left=_read_arm("left", function, ranges, missing_limbs),
        right=_read_arm("right", function, ranges, missing_limbs),
        spasticity=function.one_of("spasticity", SPASTICITY, also="unknown"),
        strength=tuple(_read_strength(table) for table in top.tables("strength")),
        health=_read_health(top.table("health")),
        chairs=read_chairs(top),
    )
    if not (top.given("arm_span_m") or top.given("stature_m") or sizes.given("upper_arm_m")):
        top.missing("arm_span_m", allowed="one of arm_span_m, stature_m, measured.upper_arm_m", write=WRITE_SIZE)
    _refuse_arms_longer_than_the_span(sizes, athlete)
    top.finish()
    return athlete


def _refuse_arms_longer_than_the_span(sizes: Reader, athlete: Athlete) -> None:
    if athlete.arm_span is None or athlete.upper_arm is None or athlete.forearm is None:
        return
    both = 2.0 * (athlete.upper_arm + athlete.forearm)
    if both >= athlete.arm_span:
        sizes.fault(
            "upper_arm_m",
            wrong=f"two arms of {athlete.upper_arm:.3f} m and {athlete.forearm:.3f} m make {both:.2f} m,"
            f" more than the arm span of {athlete.arm_span:.2f} m",
            allowed="arms that fit into the arm span, with the shoulders between them",
            next_step="Measure upper_arm_m, forearm_m and arm_span_m again",
        )


def _read_arm(side: Side, function: Reader, ranges: Reader, missing_limbs: frozenset[str] | None) -> ArmFunction:
    table = function.table(side)
    grip = table.one_of("grip", GRIPS, also="unknown")
    lost = hand_lost_with(missing_limbs or (), side)
    if lost and grip in ("full", "weak"):
        table.fault(
            "grip",
            wrong=f'"{grip}" contradicts missing_limbs, which has "{lost}"',
            allowed='"none", or left out',
            next_step='Write grip = "none", or correct missing_limbs',
        )
    range_table = ranges.table(side)
    return ArmFunction(
        grip=grip,
        feeling=table.one_of("feeling", FEELINGS, also="unknown"),
        elbow_extension=table.integer("elbow_extension", GRADE),
        wrist_extension=table.integer("wrist_extension", GRADE),
        elevation=_read_range(range_table, "elevation", ELEVATION),
        external_rotation=_read_range(range_table, "external_rotation", EXTERNAL_ROTATION),
    )


def _read_range(table: Reader, key: str, allowed: Allowed) -> float | None:
    """Return an active range [rad]."""
    degrees = table.number_or_word(key, allowed, "full")
    if isinstance(degrees, str):
        degrees = FULL_RANGE_DEG[key]
    return None if degrees is None else math.radians(degrees)


def _read_strength(table: Reader) -> StrengthTest:
    return StrengthTest(
        side=table.needed_one_of("side", SIDES, write='Write side = "left" or side = "right"'),
        movement=table.needed_one_of("movement", STRENGTH_MOVEMENTS, write='Write movement = "external rotation"'),
        moment=table.needed_number("moment_nm", MOMENT, write="Write moment_nm: force times lever, in N·m"),
        position=table.needed_text("position", write='Write position = "seated, arm at side", or how it was tested'),
        test=table.needed_one_of("test", TESTS, write='Write test = "make" (athlete pushes) or test = "break"'),
    )


def _read_health(table: Reader) -> Health:
    level = table.one_of("spinal_level", ("none", *SPINAL_LEVELS), also="unknown")
    completeness = table.one_of("completeness", COMPLETENESS, also="unknown")
    if level == "none" and completeness is not None:
        table.fault(
            "completeness",
            wrong=f'"{completeness}" contradicts spinal_level = "none"',
            allowed="completeness only with a level",
            next_step="Take completeness out, or write the level",
        )
    pain = table.tables_or_none("pain", word="none")
    conditions, condition_sides = _read_conditions(table)
    return Health(
        spinal_level=None if level == "none" else level,
        no_spinal_injury=level == "none",
        completeness=completeness,
        usual_systolic_mmhg=table.number("usual_systolic_mmhg", SYSTOLIC),
        conditions=conditions,
        condition_sides=condition_sides,
        latex=table.one_of("latex", LATEX, also="unknown"),
        pain=None if pain is None else tuple(_read_pain(each) for each in pain),
        pain_limit=table.integer("pain_limit", PAIN_LIMITS),
    )


def _read_conditions(table: Reader) -> tuple[frozenset[str] | None, frozenset[tuple[str, Side]]]:
    """Return all conditions, and of which side those are that `conditions_left` and `conditions_right` name alone."""
    conditions = table.names("conditions", CONDITIONS)
    of_side = {side: table.names(f"conditions_{side}", SIDED_CONDITIONS) or frozenset() for side in SIDES}
    sided = frozenset[str]().union(*of_side.values())
    if sided and conditions is None and not table.has_fault("conditions"):
        table.fault(
            next(f"conditions_{side}" for side in SIDES if of_side[side]),
            wrong="which other conditions there are is not said",
            allowed='conditions beside it, "none" where there are no others',
            next_step='Write conditions = "none", or list the others',
        )
    # What stands under both is of no one side: it counts for both.
    known = {(each, side) for side in SIDES for each in of_side[side] if each not in (conditions or ())}
    return None if conditions is None else conditions | sided, frozenset(known)


def _read_pain(table: Reader) -> Pain:
    place = table.one_of("place", PAIN_PLACES)
    side = table.one_of("side", SIDES)
    if not table.given("place"):
        table.missing("place", allowed=one_of_text(PAIN_PLACES), write='Write place = "shoulder front"')
    elif place is not None and place not in MIDLINE_PLACES and not table.given("side"):
        table.missing("side", allowed='"left", "right"', write='Write side = "left" or side = "right"')
    return Pain(place=place or "", side=side, usual=table.integer("usual", PAIN), now=table.integer("now", PAIN))
