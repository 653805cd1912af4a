"""The chairs of an athlete file: what was measured is kept, the rest comes from the preset of the chair's kind."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass

from firstpush.core.people.athlete import Chair, Strap
from firstpush.core.people.chair_presets import CHAIR_KINDS, CHAIR_PRESETS, ChairKind, filled_chair, track_at_floor
from firstpush.core.toml_reader import Allowed, Reader, one_of_text

STRAPS: tuple[Strap, ...] = ("none", "waist", "chest")

# Plausible ranges, our choice: wide enough for every chair, narrow enough to catch a slipped point or unit.
MASS = Allowed(low=4, high=60, unit="kg")
SEAT_HEIGHT = Allowed(low=0.25, high=0.75, unit="m")
BACKREST_HEIGHT = Allowed(low=0.05, high=0.80, unit="m")
HIP_TO_AXLE = Allowed(low=-0.15, high=0.40, unit="m")
ANTI_TIP = Allowed(low=0.02, high=0.60, unit="m")
CASTER_SHARE = Allowed(low=2, high=80, unit="%")
FOOTPLATE_REACH = Allowed(low=0.15, high=1.20, unit="m")
WHEEL_DIAMETER = Allowed(low=0.40, high=0.75, unit="m")
CAMBER = Allowed(low=0, high=30, unit="degrees")
HUB_WIDTH = Allowed(low=0.25, high=0.80, unit="m")
WHEELBASE = Allowed(low=0.20, high=0.80, unit="m")
OVERALL_WIDTH = Allowed(low=0.40, high=1.30, unit="m")
OVERALL_LENGTH = Allowed(low=0.45, high=1.60, unit="m")

TAPE_SLACK = 0.02
"""By how much two lengths laid with a tape may contradict each other before it is a fault [m] (our choice)."""

WRITE_CHAIR = 'Write [[chairs]] and below it name = "court chair" and kind = "court"'


@dataclass(frozen=True, kw_only=True)
class _Sizes:
    """What the table gives, in m and rad; None where it is left out."""

    footplate_reach: float | None
    wheel_diameter: float | None
    camber: float | None
    hub_width: float | None
    overall_width: float | None
    overall_length: float | None


def read_chairs(top: Reader) -> tuple[Chair, ...]:
    """Read the chairs of the athlete file under `top`; faults stay with the reader until it finishes."""
    if not top.given("chairs"):
        top.missing("chairs", allowed="at least one chair with its kind", write=WRITE_CHAIR)
    tables = top.tables("chairs")
    if top.given("chairs") and top.is_list("chairs") and not tables:
        top.fault("chairs", wrong="there is no chair in it", allowed="at least one chair", next_step=WRITE_CHAIR)
    top.refuse_same_names(tables)
    return tuple(_read_chair(table) for table in tables)


def _read_chair(table: Reader) -> Chair:
    given_kind = table.one_of("kind", CHAIR_KINDS)
    if not table.given("kind"):
        table.missing("kind", allowed=one_of_text(CHAIR_KINDS), write='Write kind = "court" or kind = "daily"')
    # Where the kind is a fault, any preset will do: nothing read gets out, and no size is compared with it.
    kind = given_kind or CHAIR_KINDS[0]
    brakes = table.boolean("brakes")
    anti_tip = table.number_or_word("anti_tip_m", ANTI_TIP, "none")
    caster_percent = table.number("caster_share_percent", CASTER_SHARE)
    camber_deg = table.number("camber_deg", CAMBER)
    sizes = _Sizes(
        footplate_reach=table.number("footplate_reach_m", FOOTPLATE_REACH),
        wheel_diameter=table.number("wheel_diameter_m", WHEEL_DIAMETER),
        camber=None if camber_deg is None else math.radians(camber_deg),
        hub_width=table.number("hub_width_m", HUB_WIDTH),
        overall_width=table.number("overall_width_m", OVERALL_WIDTH),
        overall_length=table.number("overall_length_m", OVERALL_LENGTH),
    )
    if given_kind:
        _refuse_impossible_sizes(table, sizes, given_kind)
    given = {
        "brakes": brakes,
        "anti_tip": anti_tip if isinstance(anti_tip, float) else None,
        "mass": table.number("mass_kg", MASS),
        "seat_height": table.number("seat_height_m", SEAT_HEIGHT),
        "backrest_height": table.number("backrest_height_m", BACKREST_HEIGHT),
        "strap": table.one_of("strap", STRAPS),
        "hip_to_axle": table.number("hip_to_axle_m", HIP_TO_AXLE),
        "caster_share": None if caster_percent is None else caster_percent / 100.0,
        "wheelbase": table.number("wheelbase_m", WHEELBASE),
        **asdict(sizes),
    }
    name = table.text("name") or f"{kind} chair"
    return filled_chair(kind, name=name, measured=_measured_fields(table), given=given)


def _measured_fields(table: Reader) -> frozenset[str]:
    """Return the fields of `Chair` that the table gives: the keys without their unit."""
    keys = {
        "brakes": "brakes",
        "anti_tip_m": "anti_tip",
        "mass_kg": "mass",
        "seat_height_m": "seat_height",
        "backrest_height_m": "backrest_height",
        "strap": "strap",
        "hip_to_axle_m": "hip_to_axle",
        "caster_share_percent": "caster_share",
        "footplate_reach_m": "footplate_reach",
        "wheel_diameter_m": "wheel_diameter",
        "camber_deg": "camber",
        "hub_width_m": "hub_width",
        "wheelbase_m": "wheelbase",
        "overall_width_m": "overall_width",
        "overall_length_m": "overall_length",
    }
    return frozenset(field for key, field in keys.items() if table.given(key))


def _first(given: float | None, preset: float) -> float:
    return preset if given is None else given


def _refuse_impossible_sizes(table: Reader, sizes: _Sizes, kind: ChairKind) -> None:
    preset = CHAIR_PRESETS[kind]
    if sizes.overall_width is not None:
        track = track_at_floor(
            hub_width=_first(sizes.hub_width, preset.hub_width.value),
            wheel_diameter=_first(sizes.wheel_diameter, preset.wheel_diameter.value),
            camber=_first(sizes.camber, preset.camber.value),
        )
        guessed = [
            key
            for key, value in (
                ("hub_width_m", sizes.hub_width),
                ("wheel_diameter_m", sizes.wheel_diameter),
                ("camber_deg", sizes.camber),
            )
            if value is None
        ]
        if sizes.overall_width < track - TAPE_SLACK:
            table.fault(
                "overall_width_m",
                wrong=f"{sizes.overall_width:.2f} m is less than the wheels need at the floor, {track:.2f} m"
                " (hub width + wheel diameter × sin camber)",
                allowed=f"{track - TAPE_SLACK:.2f} m or more for these wheels",
                next_step=f"Measure {', '.join(guessed)} too: the preset does not fit this chair"
                if guessed
                else "Measure at the floor, over the tyres, and check hub_width_m and camber_deg",
            )
    if sizes.overall_length and sizes.footplate_reach and sizes.wheel_diameter:
        needed = sizes.footplate_reach + sizes.wheel_diameter / 2.0
        if sizes.overall_length < needed - TAPE_SLACK:
            table.fault(
                "overall_length_m",
                wrong=f"{sizes.overall_length:.2f} m is less than from the footplate to the back of the wheel,"
                f" {needed:.2f} m (footplate reach + half the wheel diameter)",
                allowed=f"{needed - TAPE_SLACK:.2f} m or more for this chair",
                next_step="Measure it again, or footplate_reach_m from the axle",
            )
