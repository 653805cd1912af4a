"""How a band is used, as fields: with a post, and where there is none."""

from __future__ import annotations

from typing import get_args

from firstpush.core.exercises.definition import AnchorSide, Attach, BodyPart, ChairPoint, FixedTo
from firstpush.web.exercises.form_parts import Document, Field, Group, Section

WITHOUT_POST = "band_without_post"
BANDS = ("band", WITHOUT_POST)
"""Where the use of a band stands in the file."""


def band_section(document: Document) -> Section:
    """Return the section that says how a band is used; without a post only where one is asked for."""
    band = document.get("band")
    groups = [Group(fields=_fields_of("band", "Band", band, fixed=get_args(FixedTo)))]
    if (band or {}).get("fixed_to") == "post" or WITHOUT_POST in document:
        elsewhere = tuple(each for each in get_args(FixedTo) if each != "post")
        fields = _fields_of(WITHOUT_POST, "Band, where there is no post", document.get(WITHOUT_POST), fixed=elsewhere)
        groups.append(Group(title="In a venue without a post", fields=fields))
    return Section(id="band", title="Band and anchor", groups=tuple(groups))


def _fields_of(at: str, label: str, band: Document | None, *, fixed: tuple[str, ...]) -> tuple[Field, ...]:
    """Return the fields of the use of a band that stands at `at`, for the way it is fixed."""
    fixed_to = None if band is None else band.get("fixed_to")
    fields = [
        Field(
            key=f"{at}:used",
            label=label,
            takes="choice",
            choices=("none", *(f"fixed to: {each}" for each in fixed)),
            may_be_empty=False,
            redraws=True,
        )
    ]
    if band is not None:
        fields += [
            Field(
                key=f"{at}.grip",
                label="Pulled by",
                takes="choice",
                choices=("each", "working", "joined"),
                help="each: both hands, a line each; working: one hand; joined: both hands on one band.",
            ),
            Field(key=f"{at}.attach", label="Pulls at", takes="choice", choices=get_args(Attach)),
        ]
    if fixed_to == "post":
        fields += [
            Field(key=f"{at}.anchor_side", label="Post stands", takes="choice", choices=get_args(AnchorSide)),
            Field(
                key=f"{at}.height_from",
                label="Its height is counted from",
                takes="choice",
                choices=("shoulder", "sternum", "elbow", "hips", "floor"),
            ),
            Field(key=f"{at}.height_window_m[0]", label="Lowest, from there", unit="m", slider=(-1.2, 2.4, 0.05)),
            Field(key=f"{at}.height_window_m[1]", label="Highest, from there", unit="m", slider=(-1.2, 2.4, 0.05)),
            Field(key=f"{at}.distance_window_m[0]", label="Nearest to the post", unit="m", slider=(0, 4, 0.05)),
            Field(key=f"{at}.distance_window_m[1]", label="Farthest from the post", unit="m", slider=(0, 4, 0.05)),
            Field(key=f"{at}.sideways_m", label="Post aside, to the working side", unit="m", slider=(-2, 2, 0.05)),
        ]
    if fixed_to == "chair":
        fields += [
            Field(key=f"{at}.chair_point", label="Tied to", takes="choice", choices=get_args(ChairPoint)),
            Field(key=f"{at}.chair_point_opposite", label="On the side away from the pulling hand", takes="yes"),
        ]
    if band is not None:
        fields.append(Field(key=f"{at}.may_lie_on", label="May lie on", takes="many", choices=get_args(BodyPart)))
    return tuple(fields)
