"""Which parts of an exercise file have a field: what each is called, what it takes, and how far its slider goes.

What is allowed is not said here: the reader of core says it. A slider covers what joints do, the field beside it takes
any number.
"""

from __future__ import annotations

from typing import get_args

from firstpush.core.exercises.definition import (
    AIMS,
    LOADS,
    PARTS,
    Contact,
    CourseLayout,
    Direction,
    Place,
)
from firstpush.core.measured import Known
from firstpush.core.people.athlete import CONDITIONS, Grip, Strap
from firstpush.core.people.traits import TRAITS
from firstpush.web.exercises.band_fields import band_section
from firstpush.web.exercises.form_parts import Document, Field, Group, Section, slider_of

SHARE_SLIDER = (-1.2, 1.2, 0.01)
ELEVATION = slider_of("shoulder elevation")
POSED: dict[str, str] = {
    "flexion": "forward or back",
    "abduction": "to the side",
    "plane": "in a plane",
    "hand": "hand held somewhere",
}
"""The ways to pose an arm, in words."""


def sections(document: Document, *, exercise_ids: tuple[str, ...] = ()) -> tuple[Section, ...]:
    """Return the form of `document`: the sections with the fields that its present form asks for."""
    return (
        _what(document),
        *_poses(document),
        band_section(document),
        _load(document),
        Section(
            id="doses",
            title="Doses",
            groups=tuple(_dose(i) for i in range(len(document.get("doses", ())))),
            rows="doses",
            add="Add a dose",
            help="Repetitions or seconds. The first dose is the one that is tried first.",
        ),
        _needs(),
        Section(
            id="cautions",
            title="Cautions",
            groups=tuple(_caution(i) for i in range(len(document.get("cautions", ())))),
            rows="cautions",
            add="Add a caution",
        ),
        _steps(exercise_ids),
        _order(exercise_ids),
        Section(
            id="evidence",
            title="Sources",
            groups=tuple(_evidence(i) for i in range(len(document.get("evidence", ())))),
            rows="evidence",
            add="Add a source",
        ),
    )


def _what(document: Document) -> Section:
    return Section(
        id="what",
        title="What it is",
        groups=(
            Group(
                fields=(
                    Field(key="title", label="Title", takes="text", may_be_empty=False),
                    Field(key="summary", label="What moves where, in a sentence", takes="long", may_be_empty=False),
                    Field(key="cue", label="Cue to the athlete", takes="long", may_be_empty=False),
                    Field(key="watch_for", label="Watch for", takes="lines", help="One fault a line."),
                    Field(key="part", label="Part", takes="choice", choices=PARTS, may_be_empty=False),
                    Field(key="aims", label="Aims", takes="many", choices=AIMS, may_be_empty=False),
                    Field(
                        key="sides",
                        label="Arms",
                        takes="choice",
                        choices=("together", "each"),
                        may_be_empty=False,
                        help="together: both at once; each: one side after the other.",
                    ),
                    Field(key="contact", label="Leans on", takes="choice", choices=get_args(Contact)),
                    Field(key="setting_up_s", label="Setting up takes", unit="s"),
                    Field(key="effort_6_20[0]", label="Effort asked for, from", help="Of 6 to 20; empty: of its part."),
                    Field(key="effort_6_20[1]", label="Effort asked for, up to"),
                    Field(key="static", label="Moves slowly, so that a load can be stated", takes="not no"),
                    Field(key="one_arm_variant", label="One arm may do it alone", takes="yes"),
                )
            ),
        ),
    )


def _poses(document: Document) -> tuple[Section, ...]:
    poses = document.get("poses", [])
    found = []
    for index, pose in enumerate(poses):
        at = f"poses[{index}]"
        arms: tuple[Group, ...]
        if "both" in pose:
            arms = (_arm(f"{at}.both", pose["both"], title="Both arms"),)
        else:
            arms = tuple(_arm(f"{at}.{arm}", pose.get(arm, {}), title=f"{arm.capitalize()} arm") for arm in ARMS)
        found.append(
            Section(
                id=f"pose-{index + 1}",
                title=f"Pose {index + 1}",
                groups=(_trunk(at, pose, index, count=len(poses)), *arms),
                rows="poses" if index == len(poses) - 1 else "",
                add="Add a pose after this one",
            )
        )
    return tuple(found)


ARMS = ("working", "other")


def _trunk(at: str, pose: Document, index: int, *, count: int) -> Group:
    fields = [
        Field(key=f"{at}.name", label="Name of the pose", takes="text", may_be_empty=False),
        Field(
            key=f"{at}:arms",
            label="Arms are posed",
            takes="choice",
            choices=("both alike", "one by one"),
            may_be_empty=False,
            redraws=True,
        ),
        _angle(f"{at}.trunk_forward_deg", "Trunk forward", "trunk flexion"),
        _angle(f"{at}.turn_to_working_side_deg", "Trunk turns to the working side", "trunk turn"),
        _angle(f"{at}.lean_to_working_side_deg", "Trunk leans to the working side", "trunk side bend"),
    ]
    if any(key.startswith("head") for key in pose):
        fields += [
            _angle(f"{at}.head_turn_to_working_side_deg", "Head turns to the working side", "head turn"),
            _angle(f"{at}.head_tilt_to_working_side_deg", "Head tilts to the working side", "head side bend"),
            _angle(f"{at}.head_nod_deg", "Head nods down", "head nod"),
            Field(key=f"{at}.head_forward", label="Head slides forward, share of stature", slider=(-0.1, 0.1, 0.005)),
        ]
    if "link" in pose:
        fields += [
            Field(key=f"{at}.link.loads", label="The way here loads", takes="choice", choices=LOADS),
            Field(key=f"{at}.link.aim", label="for", takes="choice", choices=AIMS),
            Field(key=f"{at}.link.first_nm", label="First load", unit="N·m"),
            Field(key=f"{at}.link.largest_nm", label="Largest load", unit="N·m"),
        ]
    return Group(fields=tuple(fields), rows="poses" if count > 1 else "", index=index)


def _angle(key: str, label: str, joint: str) -> Field:
    return Field(key=key, label=label, unit="degrees", slider=slider_of(joint))


def posed(arm: Document) -> str:
    """Return the way an arm is posed, a word of `POSED`."""
    if "hand" in arm:
        return "hand"
    shoulder = arm.get("shoulder", {})
    return next((each for each in ("flexion", "abduction") if f"{each}_deg" in shoulder), "plane")


def _arm(at: str, arm: Document, *, title: str) -> Group:
    how = posed(arm)
    choose = Field(
        key=f"{at}:posed",
        label="Shoulder",
        takes="choice",
        choices=tuple(POSED.values()),
        may_be_empty=False,
        redraws=True,
    )
    lowest, highest, step = ELEVATION
    shoulder = {
        "flexion": (("flexion_deg", "Forward (back is negative)", (-90.0, highest, step)),),
        "abduction": (("abduction_deg", "To the side", (-45.0, highest, step)),),
        "plane": (
            ("plane_deg", "Plane: 0 to the side, 90 forward", (-90.0, 180.0, 1.0)),
            ("elevation_deg", "Raised", (lowest, highest, step)),
        ),
    }
    fields: list[Field] = [choose]
    if how == "hand":
        fields += _hand(f"{at}.hand")
    else:
        fields += [
            Field(key=f"{at}.shoulder.{key}", label=label, unit="degrees", slider=slider)
            for key, label, slider in shoulder[how]
        ]
        fields.append(
            _angle(f"{at}.shoulder.rotation_deg", "Turned out (in is negative)", "shoulder external rotation")
        )
        fields.append(_angle(f"{at}.elbow_deg", "Elbow bent", "elbow flexion"))
    fields += [
        _angle(f"{at}.pronation_deg", "Palm turned down", "forearm pronation"),
        _angle(f"{at}.wrist_extension_deg", "Back of the hand lifted", "wrist extension"),
        _angle(f"{at}.protraction_deg", "Shoulder forward", "shoulder-blade protraction"),
        _angle(f"{at}.lift_deg", "Shoulder lifted", "shoulder-blade lift"),
    ]
    return Group(title=title, fields=tuple(fields))


def _hand(at: str) -> list[Field]:
    return [
        Field(key=f"{at}.at", label="Held at", takes="choice", choices=get_args(Place), may_be_empty=False),
        Field(key=f"{at}.forward", label="Forward of it, share of reach", slider=SHARE_SLIDER),
        Field(key=f"{at}.out", label="Out from it, share of reach", slider=SHARE_SLIDER),
        Field(key=f"{at}.up", label="Above it, share of reach", slider=SHARE_SLIDER),
        Field(key=f"{at}.clock_deg", label="On the rim: 0 top, forward positive", unit="degrees", slider=(-90, 90, 1)),
        Field(key=f"{at}.elbow_points", label="Elbow points", takes="many", choices=get_args(Direction)),
    ]


def _load(document: Document) -> Section:
    fields = [
        Field(
            key="loads",
            label="Loads",
            takes="choice",
            choices=LOADS,
            may_be_empty=False,
            help="Of the muscles that must work. The band is chosen for this load.",
        ),
        Field(
            key="axes",
            label="Axes of the shoulder",
            takes="choice",
            choices=("humerus", "thorax"),
            may_be_empty=False,
            help="thorax when the arm passes the side, as in a row.",
        ),
        Field(key="start_load.first_nm", label="First load", unit="N·m", slider=(0.5, 30, 0.5)),
        Field(key="start_load.largest_nm", label="Largest load", unit="N·m", slider=(0.5, 60, 0.5)),
        Field(key="circle_deg", label="The straight arm draws a circle of half angle", unit="degrees"),
        Field(key="ball.largest_mass_kg", label="Heaviest ball", unit="kg"),
        Field(key="ball.largest_diameter_m", label="Biggest ball", unit="m"),
        Field(key="ball.may_be_left_out", label="A first set may go without a ball", takes="yes"),
    ]
    return Section(id="load", title="Load", groups=(Group(fields=tuple(fields)),))


def _dose(index: int) -> Group:
    at = f"doses[{index}]"
    return Group(
        title=f"Dose {index + 1}",
        rows="doses",
        index=index,
        fields=(
            Field(key=f"{at}.name", label="Name", takes="text", may_be_empty=False),
            Field(key=f"{at}.sets", label="Sets", may_be_empty=False),
            Field(key=f"{at}.repetitions", label="Repetitions"),
            Field(key=f"{at}.seconds", label="or seconds", unit="s"),
            Field(key=f"{at}.rounds", label="Rounds in these seconds", help="Of a drill on the court."),
            Field(key=f"{at}.rounds_words", label="What a round is", takes="text", help="Such as: there and back."),
            Field(key=f"{at}.out_s", label="Out", unit="s"),
            Field(key=f"{at}.hold_s", label="Hold", unit="s"),
            Field(key=f"{at}.back_s", label="Back", unit="s"),
            Field(key=f"{at}.pause_s", label="Pause", unit="s"),
            Field(
                key=f"{at}.rhythm",
                label="Rhythm in words",
                takes="text",
                help="In place of the phases, where they are too quick to count.",
            ),
            Field(key=f"{at}.only_with_care", label="Only where a caution names it, or by hand", takes="yes"),
            Field(key=f"{at}.by_hand", label="Only by hand", takes="yes"),
        ),
    )


def _needs() -> Section:
    fields = (
        Field(key="needs.elevation_deg", label="Lifts the arm to", unit="degrees", slider=ELEVATION),
        Field(key="needs.external_rotation_deg", label="Turns the arm out to", unit="degrees", slider=(0, 110, 1)),
        Field(key="needs.elbow_extension", label="Elbow extensors, grade 0-5"),
        Field(key="needs.wrist_extension", label="Wrist extensors, grade 0-5"),
        Field(key="needs.grip", label="Grip", takes="choice", choices=get_args(Grip)),
        Field(key="needs.hands", label="Hands"),
        Field(key="needs.post", label="A post", takes="yes"),
        Field(
            key="needs.anti_tip_or_trunk",
            label="An anti-tip wheel, or trunk control",
            takes="yes",
            help="For what leans or brakes backwards.",
        ),
        Field(key="needs.cones", label="Cones"),
        Field(key="needs.floor_length_m", label="Floor, long", unit="m"),
        Field(key="needs.floor_width_m", label="Floor, wide", unit="m"),
        Field(key="on_the_floor", label="Laid out on the floor", takes="text"),
        Field(
            key="course",
            label="Course",
            takes="choice",
            choices=get_args(CourseLayout),
            help="Of a drill: its spacing and time are reckoned for chair and floor.",
        ),
    )
    return Section(id="needs", title="Needs", groups=(Group(fields=fields),))


def _caution(index: int) -> Group:
    at = f"cautions[{index}]"
    return Group(
        title=f"Caution {index + 1}",
        rows="cautions",
        index=index,
        fields=(
            Field(
                key=f"{at}.condition",
                label="When",
                takes="choice",
                choices=(*CONDITIONS, *TRAITS),
                may_be_empty=False,
            ),
            Field(
                key=f"{at}.effect",
                label="Then",
                takes="choice",
                choices=("exclude", "care"),
                may_be_empty=False,
                help="exclude leaves it out; care says how to do what is drawn.",
            ),
            Field(key=f"{at}.why", label="Why", takes="long", may_be_empty=False),
            Field(key=f"{at}.do", label="What to do", takes="long", may_be_empty=False),
            Field(key=f"{at}.doses", label="Only in these doses", takes="lines", help="With care: names, one a line."),
            Field(
                key=f"{at}.one_arm_instead",
                label="The one-arm variant may be done",
                takes="yes",
                help="With exclude: one arm, the other hand on the chair, with care.",
            ),
            Field(
                key=f"{at}.cue",
                label="Cue in place of the exercise's own",
                takes="long",
                help="Where that asks for what is not possible here.",
            ),
            Field(
                key=f"{at}.strap",
                label="Strap put on for it",
                takes="choice",
                choices=get_args(Strap),
                help="The least one; put on where there is one.",
            ),
            Field(
                key=f"{at}.gone_with_strap",
                label="The strap takes the reason away",
                takes="yes",
            ),
            Field(
                key=f"{at}.walking_pace",
                label="At walking pace",
                takes="yes",
                help="With care, of a drill on a course: it is timed so.",
            ),
        ),
    )


def _steps(exercise_ids: tuple[str, ...]) -> Section:
    fields = (
        Field(key="easier_exercise", label="Easier exercise", takes="choice", choices=exercise_ids),
        Field(key="harder_exercise", label="Harder exercise", takes="choice", choices=exercise_ids),
        Field(key="easier", label="Made easier by", takes="lines", help="One a line, first the one to use first."),
        Field(key="harder", label="Made harder by", takes="lines", help="One a line, first the one to use first."),
        Field(key="advanced", label="Not for a first time: the easier exercise comes before it", takes="yes"),
    )
    return Section(id="steps", title="Easier and harder", groups=(Group(fields=fields),))


def _order(exercise_ids: tuple[str, ...]) -> Section:
    fields = (
        Field(key="opens_part", label="Comes first in its part", takes="yes"),
        Field(key="after_any", label="Comes only after one of these", takes="many", choices=exercise_ids),
    )
    return Section(
        id="order",
        title="Place in the session",
        groups=(Group(fields=fields),),
        help="Such as easy rolling first, and hard stops only after easy pushing.",
    )


def _evidence(index: int) -> Group:
    at = f"evidence[{index}]"
    return Group(
        title=f"Source {index + 1}",
        rows="evidence",
        index=index,
        fields=(
            Field(key=f"{at}.says", label="What speaks for it", takes="long", may_be_empty=False),
            Field(key=f"{at}.source", label="Where it stands", takes="text", may_be_empty=False),
            Field(
                key=f"{at}.known", label="How it is known", takes="choice", choices=get_args(Known), may_be_empty=False
            ),
        ),
    )
