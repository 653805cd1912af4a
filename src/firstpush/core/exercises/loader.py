"""From an exercise file to an `Exercise`; degrees become radians here and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import as_file, files
from math import radians
from pathlib import Path
from typing import Literal, get_args

from firstpush.core.errors import ExerciseError, Fault, InputFileError, UnknownNameError
from firstpush.core.exercises.definition import (
    AIMS,
    LOADS,
    PARTS,
    AnchorSide,
    ArmPose,
    Attach,
    BallUse,
    BandUse,
    BodyPart,
    Caution,
    ChairPoint,
    Contact,
    CourseLayout,
    Direction,
    DoseOption,
    Evidence,
    Exercise,
    FixedTo,
    HandTarget,
    Link,
    Needs,
    Place,
    Pose,
    StartLoad,
)
from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import CONDITIONS, Grip, Strap
from firstpush.core.people.traits import TRAITS
from firstpush.core.toml_file import TomlFile, read_toml
from firstpush.core.toml_reader import Allowed, Reader

_ANGLE = Allowed(low=-180, high=180, unit="degrees")
_SHARE = Allowed(low=-1.2, high=1.2, unit="")
_METRES = Allowed(low=-3, high=40, unit="m")
_SECONDS = Allowed(low=0, high=900, unit="s")
_COUNT = Allowed(low=0, high=100, unit="")
_SETS = Allowed(low=1, high=20, unit="")
_MOMENT = Allowed(low=0.1, high=200, unit="N·m")
_MASS = Allowed(low=0.01, high=10, unit="kg")
_GRADE = Allowed(low=0, high=5, unit="")
_EFFORT = Allowed(low=6, high=20, unit="of 6-20")
_KNOWN: tuple[Known, ...] = ("read", "from memory", "common practice", "our choice")
_HEIGHTS_FROM: tuple[Literal["shoulder", "sternum", "elbow", "hips", "floor"], ...] = (
    "shoulder",
    "sternum",
    "elbow",
    "hips",
    "floor",
)


@cache
def library() -> dict[str, Exercise]:
    """Return the exercises that ship with the package, by id (the file name), in the order of the parts.

    Raises
    ------
    ExerciseError
        With the faults of every file at once.
    """
    faults: list[Fault] = []
    found: dict[str, Exercise] = {}
    with as_file(files(__package__) / "library") as folder:
        for path in sorted(Path(folder).glob("*.toml")):
            try:
                found[path.stem] = load_exercise(path)
            except InputFileError as error:
                faults.extend(error.faults)
    if faults:
        raise ExerciseError(faults)
    return dict(sorted(found.items(), key=lambda item: (PARTS.index(item[1].part), item[0])))


def exercise_named(name: str) -> Exercise:
    """Return the exercise `name` of the library; UnknownNameError names the nearest one."""
    known = library()
    if name not in known:
        raise UnknownNameError(kind="exercise", given=name, known=known)
    return known[name]


def load_exercise(path: str | Path) -> Exercise:
    """Read one exercise file; its id is the file name.

    Raises
    ------
    InputFileError
        With every fault at once.
    """
    return exercise_from(read_toml(path), id_=Path(path).stem)


def exercise_from(file: TomlFile, *, id_: str) -> Exercise:
    """Return the exercise `id_` as `file` has it.

    Raises
    ------
    InputFileError
        With every fault at once.
    """
    top = Reader(file)
    poses = [_pose(each) for each in top.tables("poses")]
    doses = [(each.boolean("by_hand") is True, _dose(each)) for each in top.tables("doses")]
    if not poses:
        top.missing("poses", allowed="at least one pose", write="Write [[poses]] with name and arms")
    elif any(arm.target is not None and arm.target.at == "stay" for arm in (poses[0].working, poses[0].other)):
        top.fault("poses", wrong="the first pose cannot stay", allowed="angles or a place", next_step="Pose it")
    if not doses:
        top.missing("doses", allowed="at least one dose", write="Write [[doses]] with name, sets and repetitions")
    circle = top.number("circle_deg", _ANGLE)
    aims = top.names("aims", AIMS) or ()
    exercise = Exercise(
        id=id_,
        title=top.needed_text("title", write='Write title = "..."'),
        part=top.needed_one_of("part", PARTS, write='Write part = "strength"'),
        aims=tuple(each for each in AIMS if each in aims),
        loads=top.needed_one_of("loads", LOADS, write='Write loads = "none" when no moment is stated'),
        axes=top.needed_one_of("axes", ("humerus", "thorax"), write='Write axes = "humerus"'),
        sides=top.needed_one_of("sides", ("together", "each"), write='Write sides = "each"'),
        summary=top.needed_text("summary", write='Write summary = "..."'),
        cue=top.needed_text("cue", write='Write cue = "..."'),
        watch_for=_texts(top, "watch_for"),
        setting_up_s=_or(top.number("setting_up_s", _SECONDS), 30.0),
        harder=_texts(top, "harder"),
        easier=_texts(top, "easier"),
        harder_exercise=top.text("harder_exercise"),
        easier_exercise=top.text("easier_exercise"),
        advanced=top.boolean("advanced") is True,
        opens_part=top.boolean("opens_part") is True,
        after_any=_texts(top, "after_any"),
        evidence=tuple(_evidence(each) for each in top.tables("evidence")),
        static=top.boolean("static") is not False,
        contact=top.one_of("contact", get_args(Contact)),
        on_the_floor=top.text("on_the_floor") or "",
        course=top.one_of("course", get_args(CourseLayout)),
        effort=_effort(top),
        one_arm_variant=top.boolean("one_arm_variant") is True,
        circle=None if circle is None else radians(circle),
        poses=tuple(poses),
        band=_band(top.table("band")) if top.given("band") else None,
        band_without_post=_band(top.table("band_without_post")) if top.given("band_without_post") else None,
        ball=_ball(top.table("ball")) if top.given("ball") else None,
        doses=tuple(dose for by_hand, dose in doses if not by_hand),
        by_hand=tuple(dose for by_hand, dose in doses if by_hand),
        needs=_needs(top.table("needs")),
        start_load=_start_load(top.table("start_load")) if top.given("start_load") else None,
        cautions=tuple(_caution(each) for each in top.tables("cautions")),
    )
    if exercise.band is not None and exercise.loads == "none" and not exercise.loaded_links:
        top.fault(
            "loads",
            wrong="a band is used and nothing is loaded",
            allowed="the axis that the band loads",
            next_step="Name it, or leave the band out",
        )
    chained = any(pose.link is not None for pose in poses)
    if exercise.band is not None and exercise.loads != "none" and exercise.start_load is None and not chained:
        top.missing("start_load", allowed="first_nm and largest_nm", write="Write [start_load] with first_nm = 4.0")
    if not top.has_fault("sides") and any(dose.per_side != (exercise.sides == "each") for _, dose in doses):
        top.fault(
            "doses",
            wrong="per_side does not go with sides",
            allowed='per_side = true exactly with sides = "each"',
            next_step="Correct one of them",
        )
    _check_cautions(top, exercise)
    top.finish()
    return exercise


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def _texts(table: Reader, key: str) -> tuple[str, ...]:
    return tuple(table.texts(key) or ())


def _angle(table: Reader, key: str) -> float:
    return radians(_or(table.number(key, _ANGLE), 0.0))


def _pose(table: Reader) -> Pose:
    both = _arm(table.table("both")) if table.given("both") else None
    working = both or _arm(table.table("working"))
    return Pose(
        name=table.needed_text("name", write='Write name = "start"'),
        link=_link(table.table("link")) if table.given("link") else None,
        head_turn=_angle(table, "head_turn_to_working_side_deg"),
        head_tilt=_angle(table, "head_tilt_to_working_side_deg"),
        head_nod=_angle(table, "head_nod_deg"),
        head_forward=_or(table.number("head_forward", _SHARE), 0.0),
        trunk_forward=_angle(table, "trunk_forward_deg"),
        turn_to_working_side=_angle(table, "turn_to_working_side_deg"),
        lean_to_working_side=_angle(table, "lean_to_working_side_deg"),
        working=working,
        other=both or (_arm(table.table("other")) if table.given("other") else working),
    )


def _arm(table: Reader) -> ArmPose:
    pose = ArmPose(
        elbow=_angle(table, "elbow_deg"),
        pronation=_angle(table, "pronation_deg"),
        wrist=_angle(table, "wrist_extension_deg"),
        protraction=_angle(table, "protraction_deg"),
        lift=_angle(table, "lift_deg"),
    )
    if table.given("hand"):
        if table.given("shoulder"):
            table.table("shoulder").read_nothing()
            table.fault(
                "hand",
                wrong="both a hand target and shoulder angles are given",
                allowed="one of them",
                next_step="Take one away",
            )
        return replace(pose, target=_hand(table.table("hand")))
    shoulder = table.table("shoulder")
    rotation = _angle(shoulder, "rotation_deg")
    flexion, abduction = shoulder.number("flexion_deg", _ANGLE), shoulder.number("abduction_deg", _ANGLE)
    plane, elevation = shoulder.number("plane_deg", _ANGLE), shoulder.number("elevation_deg", _ANGLE)
    given = sum([flexion is not None, abduction is not None, plane is not None or elevation is not None])
    if given > 1:
        shoulder.fault(
            "flexion_deg" if flexion is not None else "abduction_deg",
            wrong="flexion, abduction and plane with elevation are three ways to say one thing",
            allowed="one of them",
            next_step="Keep one; a diagonal is written as plane_deg and elevation_deg",
        )
    if flexion is not None:
        plane, elevation = (90.0 if flexion >= 0 else -90.0), abs(flexion)
    elif abduction is not None:
        plane, elevation = (0.0 if abduction >= 0 else 180.0), abs(abduction)
    return replace(pose, plane=radians(_or(plane, 0.0)), elevation=radians(_or(elevation, 0.0)), rotation=rotation)


def _hand(table: Reader) -> HandTarget:
    places, directions = get_args(Place), get_args(Direction)
    words = _texts(table, "elbow_points")
    wrong = [word for word in words if word not in directions]
    for one, other in (("out", "in"), ("up", "down"), ("forward", "back")):
        if one in words and other in words:
            table.fault(
                "elbow_points",
                wrong=f"{one} and {other} cancel each other",
                allowed="directions that do not",
                next_step="Take one away",
            )
    if wrong:
        table.fault(
            "elbow_points",
            wrong=f"{wrong[0]!r} is not a direction",
            allowed=", ".join(directions),
            next_step="Write one or two of these",
        )
    return HandTarget(
        at=table.needed_one_of("at", places, write='Write at = "sternum"'),
        forward=_or(table.number("forward", _SHARE), 0.0),
        out=_or(table.number("out", _SHARE), 0.0),
        up=_or(table.number("up", _SHARE), 0.0),
        clock=_angle(table, "clock_deg"),
        elbow_points=tuple(word for word in directions if word in words) or ("out", "down"),
    )


def _dose(table: Reader) -> DoseOption:
    repetitions, seconds = table.integer("repetitions", _COUNT), table.number("seconds", _SECONDS)
    if (repetitions is None) == (seconds is None):
        table.missing("repetitions", allowed="either repetitions or seconds", write="Write repetitions = 10")
    return DoseOption(
        name=table.needed_text("name", write='Write name = "two sets of ten"'),
        sets=table.needed_integer("sets", _SETS, write="Write sets = 2"),
        repetitions=repetitions,
        seconds=seconds,
        out_s=_or(table.number("out_s", _SECONDS), 2.0),
        hold_s=_or(table.number("hold_s", _SECONDS), 0.0),
        back_s=_or(table.number("back_s", _SECONDS), 2.0),
        pause_s=_or(table.number("pause_s", _SECONDS), 45.0),
        per_side=table.boolean("per_side") is True,
        rounds=table.integer("rounds", _SETS),
        rounds_words=table.text("rounds_words") or "",
        only_with_care=table.boolean("only_with_care") is True,
        rhythm=table.text("rhythm") or "",
    )


def _window(table: Reader, key: str) -> tuple[float, float]:
    ends = table.numbers(key, _METRES) or []
    if len(ends) != 2 or ends[0] > ends[1]:
        table.fault(key, wrong=f"{ends} is not a window", allowed="[lowest, highest] in m", next_step="Write both ends")
        return (0.0, 0.0)
    return (ends[0], ends[1])


def _effort(table: Reader) -> tuple[int, int] | None:
    if not table.given("effort_6_20"):
        return None
    ends = table.numbers("effort_6_20", _EFFORT) or []
    if len(ends) != 2 or ends[0] > ends[1] or any(each != round(each) for each in ends):
        table.fault(
            "effort_6_20",
            wrong=f"{ends} is no range of effort",
            allowed="[lowest, highest], whole numbers from 6 to 20",
            next_step="Write both ends, for example effort_6_20 = [9, 11]",
        )
        return None
    return (round(ends[0]), round(ends[1]))


def _band(table: Reader) -> BandUse:
    fixed_to = table.needed_one_of("fixed_to", get_args(FixedTo), write='Write fixed_to = "post"')
    lying = table.names("may_lie_on", get_args(BodyPart))
    use = BandUse(
        fixed_to=fixed_to,
        grip=table.needed_one_of("grip", ("each", "working", "joined"), write='Write grip = "each"'),
        attach=table.needed_one_of("attach", get_args(Attach), write='Write attach = "hand"'),
        may_lie_on=tuple(part for part in get_args(BodyPart) if part in (lying or ())),
    )
    if fixed_to == "chair":
        return replace(
            use,
            chair_point=table.needed_one_of(
                "chair_point", get_args(ChairPoint), write='Write chair_point = "backrest"'
            ),
            chair_point_opposite=table.boolean("chair_point_opposite") is True,
        )
    if fixed_to == "other hand":
        return use
    return replace(
        use,
        anchor_side=table.needed_one_of("anchor_side", get_args(AnchorSide), write='Write anchor_side = "front"'),
        height_from=table.needed_one_of("height_from", _HEIGHTS_FROM, write='Write height_from = "sternum"'),
        height_window=_window(table, "height_window_m"),
        distance_window=_window(table, "distance_window_m"),
        sideways=_or(table.number("sideways_m", _METRES), 0.0),
    )


def _link(table: Reader) -> Link:
    loads = table.needed_one_of("loads", LOADS, write='Write loads = "external rotation", or "none" to pass through')
    return Link(
        loads=loads,
        aim=table.needed_one_of("aim", AIMS, write='Write aim = "external rotation"'),
        start_load=None if loads == "none" else _start_load(table),
    )


def _evidence(table: Reader) -> Evidence:
    return Evidence(
        says=table.needed_text("says", write='Write says = "..."'),
        source=table.needed_text("source", write='Write source = "..."'),
        known=table.needed_one_of("known", _KNOWN, write='Write known = "common practice"'),
    )


def _ball(table: Reader) -> BallUse:
    return BallUse(
        largest_mass=table.needed_number("largest_mass_kg", _MASS, write="Write largest_mass_kg = 1.0"),
        largest_diameter=table.needed_number("largest_diameter_m", _METRES, write="Write largest_diameter_m = 0.30"),
        may_be_left_out=table.boolean("may_be_left_out") is True,
    )


def _needs(table: Reader) -> Needs:
    return Needs(
        elevation=_angle(table, "elevation_deg"),
        external_rotation=_angle(table, "external_rotation_deg"),
        elbow_extension=int(_or(table.integer("elbow_extension", _GRADE), 0)),
        wrist_extension=int(_or(table.integer("wrist_extension", _GRADE), 0)),
        grip=table.one_of("grip", get_args(Grip)) or "none",
        floor_length=_or(table.number("floor_length_m", _METRES), 0.0),
        floor_width=_or(table.number("floor_width_m", _METRES), 0.0),
        cones=int(_or(table.integer("cones", _COUNT), 0)),
        post=table.boolean("post") is True,
        hands=int(_or(table.integer("hands", _COUNT), 1)),
        anti_tip_or_trunk=table.boolean("anti_tip_or_trunk") is True,
    )


def _start_load(table: Reader) -> StartLoad:
    values = {
        key: table.needed_number(f"{key}_nm", _MOMENT, write=f"Write {key}_nm = 4.0") for key in ("first", "largest")
    }
    if values["first"] > values["largest"]:
        table.fault(
            "largest_nm",
            wrong=f"{values['largest']:g} N·m is less than the first load of {values['first']:g} N·m",
            allowed="first_nm or more",
            next_step="Correct one of them",
        )
    first, largest = (
        Measured(name=f"{key} load", value=value, unit="N·m", spread=0.0, source="start table", known="our choice")
        for key, value in values.items()
    )
    return StartLoad(first=first, largest=largest)


def _caution(table: Reader) -> Caution:
    return Caution(
        condition=table.needed_one_of(
            "condition", (*CONDITIONS, *TRAITS), write='Write condition = "shoulder instability"'
        ),
        effect=table.needed_one_of("effect", ("exclude", "care"), write='Write effect = "care"'),
        why=table.needed_text("why", write='Write why = "..."'),
        do=table.needed_text("do", write='Write do = "..."'),
        doses=_texts(table, "doses"),
        one_arm_instead=table.boolean("one_arm_instead") is True,
        cue=table.text("cue") or "",
        strap=table.one_of("strap", get_args(Strap)) or "none",
        gone_with_strap=table.boolean("gone_with_strap") is True,
        walking_pace=table.boolean("walking_pace") is True,
    )


def _check_cautions(top: Reader, exercise: Exercise) -> None:
    """Tell what does not go together in the cautions, and doses that no caution gives to anybody."""
    names = [dose.name for dose in exercise.doses]
    named = [caution.doses for caution in exercise.cautions if caution.doses]

    def fault(wrong: str, allowed: str, next_step: str) -> None:
        top.fault("cautions", wrong=wrong, allowed=allowed, next_step=next_step)

    for caution in exercise.cautions:
        unknown = [name for name in caution.doses if name not in names]
        if unknown:
            fault(f"{unknown[0]!r} is no dose of this exercise", ", ".join(names), "Name one of its doses")
        if caution.doses and caution.effect == "exclude":
            fault("a caution that excludes names doses", 'doses only with effect = "care"', "Take one of them away")
        carried = caution.effect == "care" or caution.one_arm_instead
        if (caution.cue or caution.strap != "none") and not carried:
            fault(
                "a caution that excludes has a cue or a strap",
                'cue and strap with effect = "care", or with one_arm_instead',
                "Take one of them away",
            )
        if caution.gone_with_strap and caution.strap == "none":
            fault(
                "gone_with_strap without a strap", 'strap = "waist" or strap = "chest"', "Name the strap that does it"
            )
        if caution.one_arm_instead and not (caution.effect == "exclude" and exercise.one_arm_variant):
            fault(
                "one_arm_instead without what it needs",
                'effect = "exclude" and one_arm_variant = true',
                "Write both, or take it away",
            )
    if named and not set(names).intersection(*named):
        fault("two cautions at once would leave no dose", "one dose that all of them name", "Name it in each of them")
    idle = {dose.name for dose in exercise.doses if dose.only_with_care} - {name for each in named for name in each}
    both = [dose.name for dose in exercise.by_hand if dose.only_with_care]
    wrong = ""
    if both:
        wrong = f"{both[0]!r} is both only_with_care and by_hand"
    elif idle:
        wrong = f"{min(idle)!r} is only_with_care and nobody is offered it"
    elif (names or exercise.by_hand) and all(dose.only_with_care for dose in exercise.doses):
        flags = [("only_with_care", names), ("by_hand", exercise.by_hand)]
        wrong = f"every dose is {' or '.join(flag for flag, those in flags if those)}"
    if wrong:
        top.fault(
            "doses",
            wrong=wrong,
            allowed="only_with_care for doses that a caution names, by_hand for doses that none names, "
            "beside one dose or more that is neither",
            next_step="Name it in a caution, or take the mark away",
        )
