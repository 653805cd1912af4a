"""What an athlete file holds, for people: the label, unit and form of every key; what is allowed stands in core."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from firstpush.core.errors import Fault
from firstpush.core.people import athlete_file as athlete
from firstpush.core.people import chair_file as chair
from firstpush.core.people.athlete import CONDITIONS, PAIN_PLACES, SIDES, SPINAL_LEVELS
from firstpush.core.people.chair_presets import CHAIR_KINDS
from firstpush.core.toml_reader import UNKNOWN, Allowed
from firstpush.web import forms

Takes = Literal["text", "number", "whole", "number or word", "choice", "yes or no", "many"]
Document = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One key of the athlete file; `key` is dotted, from the table that it stands in.

    `choices` are the words it may hold; `word` is the one that may stand in place of a number; `brief` is what it is
    called in a list, where that is not its label.
    """

    key: str
    label: str
    takes: Takes
    unit: str = ""
    choices: tuple[str, ...] = ()
    word: str = ""
    allowed: Allowed | None = None
    help: str = ""
    example: str = ""
    needed: bool = False
    brief: str = ""

    @property
    def label_with_unit(self) -> str:
        """The label as a form shows it."""
        return f"{self.label}, {self.unit}" if self.unit else self.label

    @property
    def in_a_list(self) -> str:
        """What it is called in the middle of a sentence."""
        return self.brief or f"{self.label[:1].lower()}{self.label[1:]}"

    def shown(self, value: Any) -> str:
        """Return `value` in words; "unknown" for what is left out."""
        if value is None or value == UNKNOWN:
            return "unknown"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, list):
            return ", ".join(map(str, value)) or "none"
        if isinstance(value, float | int):
            return f"{value:.10g} {self.unit}".rstrip() if self.unit != "°" else f"{value:.10g}°"
        return str(value)


def _number(key: str, label: str, allowed: Allowed, **more: Any) -> Field:
    return Field(
        key=key,
        label=label,
        takes=more.pop("takes", "number"),
        unit=more.pop("unit", "°" if allowed.unit == "degrees" else allowed.unit),
        allowed=allowed,
        **more,
    )


def _choice(key: str, label: str, choices: tuple[str, ...], **more: Any) -> Field:
    return Field(key=key, label=label, takes="choice", choices=choices, **more)


NAME = Field(key="name", label="Name", takes="text", needed=True)
MASS = _number("mass_kg", "Mass", athlete.MASS, help="without the chair", example="64", needed=True)
ARM_SPAN = _number("arm_span_m", "Arm span", athlete.ARM_SPAN, help="finger tip to finger tip", example="1.71")
STATURE = _number("stature_m", "Stature", athlete.STATURE, help="where the arm span cannot be measured", example="1.82")
LIMBS = Field(key="missing_limbs", label="Missing limbs", takes="many", choices=athlete.MISSING_LIMBS)
BODY = (
    NAME,
    Field(key="sport", label="Sport", takes="text"),
    _number("born", "Year of birth", athlete.BORN, takes="whole"),
    _choice("sex", "Sex", athlete.SEXES, help="chooses the table of body segments, nothing else"),
    MASS,
    ARM_SPAN,
    STATURE,
    LIMBS,
    _number(
        "measured.upper_arm_m", "Upper arm", athlete.UPPER_ARM, help="tip of the shoulder to the point of the elbow"
    ),
    _number("measured.forearm_m", "Forearm", athlete.FOREARM, help="point of the elbow to the wrist crease"),
    _number("measured.hand_m", "Hand", athlete.HAND, help="wrist crease to the knuckle of the middle finger"),
    _number(
        "measured.sitting_shoulder_height_m",
        "Shoulder above the seat",
        athlete.SHOULDER_HEIGHT,
        help="tip of the shoulder, sitting",
        brief="shoulder height",
    ),
    _number("measured.shoulder_width_m", "Shoulder width", athlete.SHOULDER_WIDTH, help="between the two tips"),
)

_DIRECTIONS = {
    "forward": "Leans forward and comes back",
    "turn": "Turns to both sides",
    "lean_left": "Leans left and comes back",
    "lean_right": "Leans right and comes back",
}
TRUNK = tuple(_choice(f"function.trunk.{key}", label, athlete.CONTROLS) for key, label in _DIRECTIONS.items())
SPASTICITY = _choice("function.spasticity", "Spasticity", athlete.SPASTICITY)


def arm_fields(side: str) -> tuple[Field, ...]:
    """Return what is asked about the arm on `side`."""
    return (
        _choice(f"function.{side}.grip", "Grip", athlete.GRIPS),
        _number(f"function.{side}.elbow_extension", "Elbow extensors", athlete.GRADE, takes="whole"),
        _number(f"function.{side}.wrist_extension", "Wrist extensors", athlete.GRADE, takes="whole"),
        _number(
            f"active_range_deg.{side}.elevation",
            "Active elevation",
            athlete.ELEVATION,
            takes="number or word",
            word="full",
        ),
        _number(
            f"active_range_deg.{side}.external_rotation",
            "Active external rotation",
            athlete.EXTERNAL_ROTATION,
            takes="number or word",
            word="full",
        ),
        _choice(f"function.{side}.feeling", "Feeling in the arm", athlete.FEELINGS, brief="feeling"),
    )


FUNCTION = (*TRUNK, *arm_fields("left"), *arm_fields("right"), SPASTICITY)

LEVEL = _choice("health.spinal_level", "Level of the spinal cord injury", ("none", *SPINAL_LEVELS))
CONDITION = Field(key="health.conditions", label="Health conditions", takes="many", choices=CONDITIONS)
LATEX = _choice("health.latex", "Latex", athlete.LATEX, help="unknown counts as to be avoided")
PAIN_LIMIT_KEY = "health.pain_limit"
HEALTH = (
    LEVEL,
    _choice("health.completeness", "Completeness (AIS A to D)", athlete.COMPLETENESS, brief="completeness"),
    _number(
        "health.usual_systolic_mmhg",
        "Usual systolic blood pressure",
        athlete.SYSTOLIC,
        brief="usual blood pressure",
    ),
    _number(
        PAIN_LIMIT_KEY,
        "Familiar pain may go on up to, 0 to 5",
        athlete.PAIN_LIMITS,
        takes="whole",
        help="left out, up to 2 of 10",
    ),
    CONDITION,
    LATEX,
)
PAIN_KEY = "health.pain"
PAIN = (
    _choice("place", "Place", PAIN_PLACES),
    _choice("side", "Side", SIDES, help="not for neck and back"),
    _number("usual", "Usual, 0 to 10", athlete.PAIN, takes="whole"),
    _number("now", "Now, 0 to 10", athlete.PAIN, takes="whole"),
)

STRENGTH_KEY = "strength"
STRENGTH = (
    _choice("side", "Side", SIDES),
    _choice("movement", "Movement", athlete.STRENGTH_MOVEMENTS),
    _number("moment_nm", "Moment", athlete.MOMENT, help="force times lever"),
    Field(key="position", label="Position", takes="text", help="such as seated, arm at side; 90 says shoulder height"),
    _choice("test", "Test", athlete.TESTS, help="make: the athlete pushes; break: the tester overcomes"),
)

CHAIRS_KEY = "chairs"
CHAIR = (
    Field(key="name", label="Name", takes="text"),
    _choice("kind", "Kind", CHAIR_KINDS, help="a usual chair of this kind gives the sizes that stay empty"),
    Field(key="brakes", label="Brakes", takes="yes or no"),
    _choice("strap", "Strap that is worn", chair.STRAPS),
    _number(
        "anti_tip_m",
        "Anti-tip wheel behind the axle",
        chair.ANTI_TIP,
        takes="number or word",
        word="none",
        help="where it touches the floor; or none",
        brief="anti-tip wheel",
    ),
    _number("caster_share_percent", "Weight on the casters", chair.CASTER_SHARE, help="casters on a scale"),
    _number("footplate_reach_m", "Footplate before the axle", chair.FOOTPLATE_REACH, help="its front edge"),
    _number("seat_height_m", "Seat height", chair.SEAT_HEIGHT),
    _number("backrest_height_m", "Backrest above the seat", chair.BACKREST_HEIGHT),
    _number("hip_to_axle_m", "Hips before the axle", chair.HIP_TO_AXLE),
    _number("wheelbase_m", "Axle to caster", chair.WHEELBASE),
    _number("mass_kg", "Mass", chair.MASS),
    _number("wheel_diameter_m", "Wheel diameter", chair.WHEEL_DIAMETER),
    _number("camber_deg", "Camber of each wheel", chair.CAMBER),
    _number("hub_width_m", "Between the wheel centres", chair.HUB_WIDTH),
    _number("overall_width_m", "Width at the floor", chair.OVERALL_WIDTH),
    _number("overall_length_m", "Length", chair.OVERALL_LENGTH),
)

WHOLE = {field.key: field for field in (*BODY, *FUNCTION, *HEALTH)}
LISTS: dict[str, tuple[str, tuple[Field, ...]]] = {
    PAIN_KEY: ("Pain", PAIN),
    STRENGTH_KEY: ("Strength", STRENGTH),
    CHAIRS_KEY: ("Chair", CHAIR),
}
"""What stands several times: what one is called, and its fields."""


# Faults of core, in the words of a page

_MISSING = {
    "name": "A name is missing. Write one.",
    "mass_kg": "The mass is missing. Allowed: a mass in kg, without the chair. Weigh the athlete.",
    "arm_span_m": "A size is missing. Allowed: an arm span, a stature or an upper arm. Measure one of them.",
    "chairs": "There is no chair. Allowed: at least one chair. Describe the one that is used.",
}


LABELS = {
    field.key.rpartition(".")[2]: field.label
    for field in (*WHOLE.values(), *(f for _, fields in LISTS.values() for f in fields))
}
"""What a page calls a field, by the last part of its key."""


SIZES = ("arm_span_m", "stature_m", "measured.upper_arm_m")
"""One of them is needed: where core does not find any it says that the first is missing."""


def said_once(faults: Iterable[Fault], *, wrong: Iterable[str] = ()) -> list[Fault]:
    """Return what has to be corrected: a size is not missing where one was typed that cannot be right.

    Parameters
    ----------
    faults : iterable of Fault
        What the reader of core found.
    wrong : iterable of str
        Fields that could not be read at all.
    """
    found = list(faults)
    typed_wrong = {fault.key for fault in found if not fault.wrong.startswith("it is missing")} | set(wrong)
    if not typed_wrong & set(SIZES):
        return found
    return [each for each in found if each.key not in SIZES or not each.wrong.startswith("it is missing")]


def sentence_of(fault: Fault) -> str:
    """Return a fault as a page tells it; what most often is missing has a sentence of its own."""
    if fault.wrong.startswith("it is missing") and fault.key in _MISSING:
        return _MISSING[fault.key]
    return forms.sentence_of(fault, labels=LABELS)


# Reading and writing a document by dotted key


def value_at(document: Mapping[str, Any], key: str) -> Any:
    """Return what stands at `key`; None for what is left out or "unknown"."""
    value: Any = document
    for part in key.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return None if value == UNKNOWN else value


def put_at(document: Document, key: str, value: Any) -> None:
    """Put `value` at `key`; None takes the key out, and every table that nothing is left in."""
    table, _, last = key.rpartition(".")
    inner: Document = document
    for part in table.split(".") if table else ():
        inner = inner.setdefault(part, {})
    if value is not None:
        inner[last] = value
        return
    inner.pop(last, None)
    if table and not inner:
        put_at(document, table, None)


def flat(document: Mapping[str, Any], at: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every dotted key of a document with its value; lists of tables by place, such as ``chairs[0].kind``."""
    for key, value in document.items():
        path = f"{at}.{key}" if at else key
        if isinstance(value, Mapping):
            yield from flat(value, path)
        elif isinstance(value, list) and any(isinstance(each, Mapping) for each in value):
            for index, each in enumerate(value):
                yield from flat(each, f"{path}[{index}]")
        else:
            yield path, value


def label_of(key: str) -> tuple[str, Field | None]:
    """Return what `key` is called, with the field that shows its value; a key of no field stands as it is."""
    arm = next((side for side in SIDES if f".{side}." in key), "")
    side = next((side for side in SIDES if key == f"{CONDITION.key}_{side}"), "")
    if side:
        return f"{CONDITION.label}, {side} alone", CONDITION
    if key in WHOLE:
        label = WHOLE[key].label
        return (f"{label}, {arm}" if arm else label), WHOLE[key]
    found = re.fullmatch(r"(.+)\[(\d+)\]\.(.+)", key)
    if found and found[1] in LISTS:
        name, fields = LISTS[found[1]]
        for field in fields:
            if field.key == found[3]:
                return f"{name} {int(found[2]) + 1}, {field.label[:1].lower()}{field.label[1:]}", field
    return LISTS[key][0] if key in LISTS else key, None
