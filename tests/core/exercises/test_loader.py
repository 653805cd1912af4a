"""An exercise file becomes an exercise in radians, or all its faults at once with their lines."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from firstpush.core.errors import Fault, InputFileError, UnknownNameError
from firstpush.core.exercises.definition import AIMS, LOADS, PARTS, SCAPULAR_LOADS, Exercise
from firstpush.core.exercises.loader import exercise_named, library, load_exercise

WHOLE = """title = "Arm lift"
part = "strength"
aims = ["shoulder control"]
loads = "flexion"
axes = "humerus"
sides = "each"
summary = "Lift the arm."
cue = "Slowly."

[[poses]]
name = "start"
working = { shoulder = { flexion_deg = 10, rotation_deg = 5 }, elbow_deg = 20 }
other = { hand = { at = "thigh", elbow_points = ["out", "back"] } }

[[poses]]
name = "end"
trunk_forward_deg = 3
working = { shoulder = { plane_deg = 60, elevation_deg = 80 } }
other = { hand = { at = "thigh", elbow_points = ["out", "back"] } }

[band]
fixed_to = "post"
anchor_side = "behind"
grip = "working"
attach = "hand"
height_from = "hips"
height_window_m = [-0.5, 0.1]
distance_window_m = [0.2, 1.0]

[[doses]]
name = "two sets of ten"
sets = 2
repetitions = 10
per_side = true

[needs]
elevation_deg = 80
grip = "full"
hands = 1
post = true

[start_load]
first_nm = 4.0
largest_nm = 12.0

[[evidence]]
says = "lifts the arm"
source = "trade"
known = "common practice"
"""


def written(folder: Path, text: str) -> Path:
    """Write `text` as an exercise file."""
    path = folder / "arm_lift.toml"
    path.write_text(text, encoding="utf-8")
    return path


def loaded(folder: Path, *changes: tuple[str, str]) -> Exercise:
    """Return the exercise with parts of its text replaced."""
    return load_exercise(written(folder, changed(*changes)))


def changed(*changes: tuple[str, str]) -> str:
    """Return the text of the file with parts replaced; each part must be there."""
    text = WHOLE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


def faults(folder: Path, *changes: tuple[str, str]) -> list[Fault]:
    """Return the faults of the changed file."""
    with pytest.raises(InputFileError) as caught:
        loaded(folder, *changes)
    return list(caught.value.faults)


def line_of(part: str, *changes: tuple[str, str]) -> int:
    """Return the line, counted from 1, in which `part` first stands."""
    lines = changed(*changes).splitlines()
    return next(number for number, line in enumerate(lines, start=1) if part in line)


def test_a_whole_file_is_read_in_radians(tmp_path: Path) -> None:
    """Degrees become radians, the id is the file name, what is left out has its plain default."""
    exercise = loaded(tmp_path)
    assert exercise.id == "arm_lift"
    start, end = exercise.poses
    assert start.working.plane == pytest.approx(math.pi / 2)
    assert start.working.elevation == pytest.approx(math.radians(10))
    assert start.working.rotation == pytest.approx(math.radians(5))
    assert start.working.elbow == pytest.approx(math.radians(20))
    assert (end.working.plane, end.working.elevation) == (
        pytest.approx(math.radians(60)),
        pytest.approx(math.radians(80)),
    )
    assert end.trunk_forward == pytest.approx(math.radians(3))
    assert start.other.target is not None and start.other.target.at == "thigh"
    assert exercise.band is not None
    assert exercise.band.height_window == (-0.5, 0.1)
    assert exercise.needs.elevation == pytest.approx(math.radians(80))
    assert exercise.start_load is not None
    assert (exercise.start_load.first.value, exercise.start_load.first.known) == (4.0, "our choice")
    assert exercise.static and not exercise.one_arm_variant and exercise.circle is None


@pytest.mark.parametrize(
    ("shoulder", "plane", "elevation"),
    [
        ("flexion_deg = 30", 90, 30),
        ("flexion_deg = -20", -90, 20),
        ("abduction_deg = 45", 0, 45),
        ("abduction_deg = -10", 180, 10),
        ("plane_deg = 30, elevation_deg = 70", 30, 70),
        ("elevation_deg = 70", 0, 70),
        ("rotation_deg = 15", 0, 0),
    ],
)
def test_clinical_words_become_plane_and_elevation(
    tmp_path: Path, shoulder: str, plane: float, elevation: float
) -> None:
    """Forward is plane 90, backward -90, to the side 0, across the body 180; nothing said is the hanging arm."""
    arm = loaded(tmp_path, ("flexion_deg = 10, rotation_deg = 5", shoulder)).poses[0].working
    assert math.degrees(arm.plane) == pytest.approx(plane)
    assert math.degrees(arm.elevation) == pytest.approx(elevation)


@pytest.mark.parametrize(
    "shoulder",
    [
        "flexion_deg = 30, abduction_deg = 20",
        "flexion_deg = 30, plane_deg = 20",
        "abduction_deg = 30, elevation_deg = 20",
        "flexion_deg = 0, abduction_deg = 0",
    ],
)
def test_two_ways_to_say_one_thing_are_refused(tmp_path: Path, shoulder: str) -> None:
    """Flexion together with abduction has no one meaning; the fault names the line and the way out."""
    change = ("flexion_deg = 10, rotation_deg = 5", shoulder)
    (fault,) = faults(tmp_path, change)
    assert fault.line == line_of(shoulder, change)
    assert "three ways to say one thing" in fault.wrong
    assert "plane_deg and elevation_deg" in fault.next_step


def test_a_hand_target_and_angles_are_refused_together(tmp_path: Path) -> None:
    """One arm is posed by angles or by where its hand is, not both."""
    change = ("elbow_deg = 20 }", 'elbow_deg = 20, hand = { at = "thigh" } }')
    (fault,) = faults(tmp_path, change)
    assert fault.line == line_of("elbow_deg = 20", change)
    assert "both a hand target and shoulder angles" in fault.wrong


@pytest.mark.parametrize("arm", ["working", "other"])
def test_the_first_pose_cannot_stay(tmp_path: Path, arm: str) -> None:
    """To stay means where the hand was in the pose before; before the first there is none, for either arm."""
    old = {
        "working": "working = { shoulder = { flexion_deg = 10, rotation_deg = 5 }, elbow_deg = 20 }",
        "other": 'other = { hand = { at = "thigh", elbow_points = ["out", "back"] } }\n\n[[poses]]',
    }[arm]
    new = f'{arm} = {{ hand = {{ at = "stay" }} }}' + ("\n\n[[poses]]" if arm == "other" else "")
    (fault,) = faults(tmp_path, (old, new))
    assert "cannot stay" in fault.wrong


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        ('part = "strength"', 'part = "strenght"', "part", "strength"),
        ('loads = "flexion"', 'loads = "lifting"', "loads", "flexion"),
        ('axes = "humerus"', 'axes = "arm"', "axes", "thorax"),
        ('sides = "each"', 'sides = "both"', "sides", "together"),
        ('"shoulder control"', '"strong arms"', "aims", "shoulder control"),
        ('grip = "working"', 'grip = "one"', "grip", "working"),
        ('attach = "hand"', 'attach = "elbow"', "attach", "wrist_cuff"),
        ("first_nm = 4.0", "first_nm = 4000.0", "first_nm", "200"),
        ("elbow_deg = 20", "elbow_deg = 200", "elbow_deg", "180"),
        ("sets = 2", "sets = 0", "sets", "1"),
        ("[-0.5, 0.1]", "[0.1, -0.5]", "height_window_m", "lowest, highest"),
        ('grip = "full"', 'grip = "fully"', "grip", "full"),
    ],
)
def test_each_fault_names_line_key_and_what_is_allowed(tmp_path: Path, old: str, new: str, key: str, says: str) -> None:
    """One thing wrong gives one fault, at its line, with the words that would work."""
    (fault,) = faults(tmp_path, (old, new))
    assert key in fault.key
    assert fault.line == line_of(new, (old, new))
    assert says in fault.allowed
    assert fault.next_step


def test_an_unknown_key_is_a_fault(tmp_path: Path) -> None:
    """A key that nothing reads is not passed over."""
    change = ("hands = 1", 'hands = 1\nstrongth = "some"')
    (fault,) = faults(tmp_path, change)
    assert fault.line == line_of("strongth", change)


def test_a_direction_is_one_of_six(tmp_path: Path) -> None:
    """The elbow points out, in, up, down, forward or back."""
    change = (
        '{ hand = { at = "thigh", elbow_points = ["out", "back"] } }',
        '{ hand = { at = "thigh", elbow_points = ["away"] } }',
    )
    found = faults(tmp_path, change)
    assert len(found) == 2  # both poses have it
    assert all("'away' is not a direction" in fault.wrong and "forward" in fault.allowed for fault in found)


@pytest.mark.parametrize("key", ["title", "part", "loads", "axes", "sides", "summary", "cue"])
def test_what_is_missing_is_named(tmp_path: Path, key: str) -> None:
    """A missing key has no line, and a line to write."""
    line = next(each for each in WHOLE.splitlines() if each.startswith(f"{key} = "))
    (fault,) = faults(tmp_path, (line + "\n", ""))
    assert fault.key == key
    assert fault.line is None
    assert f"{key} = " in fault.next_step


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    """Three things wrong in three tables are three faults."""
    found = faults(tmp_path, ('part = "strength"', 'part = "legs"'), ("sets = 2", "sets = 99"), ("first_nm = 4.0", ""))
    assert len(found) == 3
    assert len({fault.key for fault in found}) == 3


def test_neither_repetitions_nor_seconds_is_refused(tmp_path: Path) -> None:
    """A dose says one of them, and not both."""
    for change in (("repetitions = 10\n", ""), ("repetitions = 10", "repetitions = 10\nseconds = 30")):
        (fault,) = faults(tmp_path, change)
        assert "either repetitions or seconds" in fault.allowed


def test_per_side_goes_with_each_side(tmp_path: Path) -> None:
    """A dose per side of an exercise of both arms together has no meaning."""
    (fault,) = faults(tmp_path, ('sides = "each"', 'sides = "together"'))
    assert "per_side" in fault.wrong


def test_a_band_exercise_states_where_its_first_load_comes_from(tmp_path: Path) -> None:
    """Without a start load the search of a band exercise that names an axis would have nothing to aim at: it is a
    fault of the file, not a crash on court.
    """
    start = WHOLE[WHOLE.index("[start_load]") : WHOLE.index("[[evidence]]")]
    (fault,) = faults(tmp_path, (start, ""))
    assert "start_load" in fault.key


def test_the_first_load_is_not_above_the_largest(tmp_path: Path) -> None:
    """First 4, largest 2 is a slip of the hand."""
    (fault,) = faults(tmp_path, ("largest_nm = 12.0", "largest_nm = 2.0"))
    assert "largest" in fault.key


class TestLibrary:
    """The exercises that ship."""

    def test_every_exercise_loads(self) -> None:
        """All of them, in the order of the parts, ids as file names."""
        order = [PARTS.index(exercise.part) for exercise in library().values()]
        assert order == sorted(order)
        assert all(name == exercise.id for name, exercise in library().items())
        assert {
            "chest_stretch_post",
            "seated_row",
            "external_rotation_90",
            "anti_rotation_press",
            "ball_circles",
            "graded_push_lengths",
        } <= set(library())

    def test_words_are_from_the_fixed_lists(self) -> None:
        """Aims and loads by the words of the definition; at least one aim each."""
        for exercise in library().values():
            assert exercise.aims and set(exercise.aims) <= set(AIMS), exercise.id
            assert exercise.loads in LOADS, exercise.id

    def test_scapular_aims_are_not_stated_as_a_shoulder_moment_of_another_name(self) -> None:
        """What aims at retraction alone states retraction, or nothing."""
        for exercise in library().values():
            if exercise.aims == ("scapular retraction",):
                assert exercise.loads in (*SCAPULAR_LOADS, "none", "horizontal abduction"), exercise.id

    def test_every_exercise_with_a_band_has_a_start_load_and_a_slow_tempo(self) -> None:
        """Phases of at least 1.5 s where moments are printed; a first load to try."""
        for exercise in library().values():
            if exercise.band is None or not exercise.static:
                continue
            links = [link for _, link in exercise.loaded_links]
            assert exercise.start_load is not None or all(link.start_load for link in links), exercise.id
            for dose in exercise.doses:
                if dose.repetitions is not None:
                    assert min(dose.out_s, dose.back_s) >= 1.5, exercise.id

    def test_a_healing_shoulder_is_left_alone(self) -> None:
        """Every exercise excludes a recent shoulder operation: none of them is for a shoulder just operated."""
        loose = [
            name
            for name, exercise in library().items()
            if not any(
                each.condition == "recent shoulder operation" and each.effect == "exclude" for each in exercise.cautions
            )
        ]
        assert loose == []

    def test_lifting_over_what_is_needed_is_declared(self) -> None:
        """The elevation an exercise really reaches in its posed angles is not above what it says it needs."""
        for exercise in library().values():
            posed = [pose.working.elevation for pose in exercise.poses if pose.working.target is None]
            assert max(posed, default=0.0) <= exercise.needs.elevation + math.radians(5.0) + 1e-9 or max(
                posed
            ) < math.radians(60), exercise.id

    def test_an_unknown_name_hears_the_nearest(self) -> None:
        """A slip of the finger is answered with the name meant."""
        with pytest.raises(UnknownNameError, match="did you mean 'seated_row'"):
            exercise_named("seated_rwo")


CARE = """
[[cautions]]
condition = "sore shoulder"
effect = "care"
why = "it is lifted"
do = "Slowly"
doses = ["one set of five"]

[[cautions]]
condition = "hemiplegia"
effect = "exclude"
why = "the arms differ"
do = "Each arm alone"
one_arm_instead = true
"""
FIVE = """
[[doses]]
name = "one set of five"
sets = 1
repetitions = 5
per_side = true
only_with_care = true
"""


class TestDosesOfACaution:
    """A caution may hold to doses that the exercise has; success and refusal differ in one line."""

    FILE = "one_arm_variant = true\n" + WHOLE + FIVE + CARE

    def exercise(self, folder: Path, text: str) -> Exercise:
        """Read `text` as a file."""
        path = folder / "arm_lift.toml"
        path.write_text(text, encoding="utf-8")
        return load_exercise(path)

    def test_what_is_written_is_read(self, tmp_path: Path) -> None:
        """The names of the doses, and what the one-arm variant lifts."""
        sore, hemiplegia = self.exercise(tmp_path, self.FILE).cautions[-2:]
        assert sore.doses == ("one set of five",)
        assert not sore.one_arm_instead
        assert hemiplegia.one_arm_instead

    @pytest.mark.parametrize(
        ("written", "instead", "wrong"),
        [
            ('doses = ["one set of five"]', 'doses = ["one set of six"]', "'one set of six' is no dose"),
            ('effect = "care"\n', 'effect = "exclude"\n', "a caution that excludes names doses"),
            ("one_arm_variant = true", "one_arm_variant = false", "one_arm_instead without what it needs"),
            ('doses = ["one set of five"]\n', "", "only_with_care and nobody is offered it"),
            ("repetitions = 10\n", "repetitions = 10\nonly_with_care = true\n", "only_with_care and nobody"),
        ],
    )
    def test_what_does_not_go_together_is_a_fault(self, written: str, instead: str, wrong: str, tmp_path: Path) -> None:
        """One fault, in words that name it."""
        assert written in self.FILE
        with pytest.raises(InputFileError) as told:
            self.exercise(tmp_path, self.FILE.replace(written, instead, 1))
        assert any(wrong in fault.wrong for fault in told.value.faults), told.value.faults

    def test_a_dose_by_hand_stands_apart(self, tmp_path: Path) -> None:
        """Marked so in its file it is none of the doses that are given; no caution may hold anybody to it."""
        three = FIVE.replace("five", "three").replace("repetitions = 5", "repetitions = 3")
        by_hand = three.replace("only_with_care", "by_hand")
        text = self.FILE.replace(CARE, by_hand + CARE)
        read = self.exercise(tmp_path, text)
        assert [dose.name for dose in read.by_hand] == ["one set of three"]
        assert "one set of three" not in {dose.name for dose in read.doses}
        for written, wrong in (
            (
                text.replace("by_hand = true", "by_hand = true\nonly_with_care = true"),
                "both only_with_care and by_hand",
            ),
            (
                text.replace('doses = ["one set of five"]', 'doses = ["one set of three"]'),
                "'one set of three' is no dose",
            ),
            (text.replace("per_side = true\nby_hand", "by_hand"), "per_side"),
        ):
            with pytest.raises(InputFileError) as told:
                self.exercise(tmp_path, written)
            assert any(wrong in f"{fault.wrong} {fault.allowed}" for fault in told.value.faults), told.value.faults

    @pytest.mark.parametrize("mark", ["by_hand", "only_with_care"])
    def test_one_dose_is_for_everybody(self, mark: str, tmp_path: Path) -> None:
        """With the usual one marked too, nobody would be given any unasked."""
        text = self.FILE.replace("repetitions = 10\n", f"repetitions = 10\n{mark} = true\n", 1)
        assert text != self.FILE
        if mark == "only_with_care":
            text = text.replace('doses = ["one set of five"]', 'doses = ["one set of five", "NAME"]')
            name = self.exercise(tmp_path, self.FILE).doses[0].name
            text = text.replace("NAME", name)
        with pytest.raises(InputFileError) as told:
            self.exercise(tmp_path, text)
        wrong = [fault.wrong for fault in told.value.faults]
        assert wrong == [f"every dose is {'only_with_care or by_hand' if mark == 'by_hand' else 'only_with_care'}"]

    def test_two_cautions_at_once_leave_a_dose(self, tmp_path: Path) -> None:
        """Two that name different doses would leave none to somebody with both."""
        other = CARE.split("[[cautions]]")[1].replace("sore shoulder", "weak grip").replace("set of five", "set of six")
        more = FIVE.replace("five", "six").replace("repetitions = 5", "repetitions = 6") + "\n[[cautions]]" + other
        with pytest.raises(InputFileError) as told:
            self.exercise(tmp_path, self.FILE + more)
        assert any("two cautions at once" in fault.wrong for fault in told.value.faults)
