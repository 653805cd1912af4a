"""An athlete file becomes an athlete in SI units, or all its faults at once."""

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import Fault, InputFileError, UnknownNameError
from firstpush.core.exercises.definition import LOADS, SCAPULAR_LOADS
from firstpush.core.people.athlete import SPINAL_LEVELS, Pain
from firstpush.core.people.athlete_file import STRENGTH_MOVEMENTS, load_athlete
from firstpush.core.people.chair_presets import CHAIR_PRESETS
from firstpush.demo import demo_file

LEAST = """name = "Runa"
mass_kg = 58
arm_span_m = 1.66
[[chairs]]
kind = "court"
"""


def written(folder: Path, text: str) -> Path:
    """Write `text` into a file in `folder`."""
    path = folder / "athlete.toml"
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(folder: Path, text: str) -> list[Fault]:
    """Return the faults of an athlete file with `text`."""
    with pytest.raises(InputFileError) as caught:
        load_athlete(written(folder, text))
    return list(caught.value.faults)


def replaced(key: str, line: str) -> str:
    """Return the demo file with the line that starts with `key` written as `line`."""
    lines = demo_file("athlete").read_text(encoding="utf-8").splitlines()
    at = next(i for i, each in enumerate(lines) if each.startswith(key))
    return "\n".join([*lines[:at], line, *lines[at + 1 :]])


def line_of(text: str, start: str) -> int:
    """Return the line of `text` that begins with `start`, counted from 1."""
    return next(i for i, each in enumerate(text.splitlines(), start=1) if each.startswith(start))


def test_demo_athlete_is_read_in_si_units() -> None:
    """Degrees become radians, percent fractions, "full" its textbook range; "none" said is not unknown."""
    athlete = load_athlete(demo_file("athlete"))
    assert athlete.mass == 58.0
    assert athlete.missing_limbs == frozenset()
    assert athlete.left.elevation == pytest.approx(math.pi)
    assert athlete.left.external_rotation == pytest.approx(math.pi / 2)
    assert athlete.right.elevation == pytest.approx(165 * math.pi / 180)
    assert athlete.chair.camber == pytest.approx(17 * math.pi / 180)
    assert athlete.chair.caster_share == pytest.approx(26 / 100)
    assert athlete.health.spinal_level == "T10"
    assert athlete.health.conditions == frozenset()
    assert athlete.health.pain == (Pain(place="shoulder front", side="right", usual=1, now=1),)
    assert athlete.strength[0].moment == 16.5
    assert athlete.hand == 0.076


def test_demo_chair_leaves_nothing_to_the_preset() -> None:
    """Every field of the demo chair but its name and kind was given."""
    chair = load_athlete(demo_file("athlete")).chair
    assert chair.measured == set(chair.__dataclass_fields__) - {"name", "kind", "measured"}


def test_two_minutes_of_typing_are_enough(tmp_path) -> None:
    """Name, mass, one size and the kind of chair make an athlete: what was not said is None, the chair a preset."""
    athlete = load_athlete(written(tmp_path, LEAST))
    assert athlete.stature is None
    assert athlete.missing_limbs is None
    assert athlete.trunk.turn is None
    assert athlete.left.grip is None
    assert athlete.left.elevation is None
    assert athlete.spasticity is None
    assert athlete.health.pain is None
    assert athlete.health.conditions is None
    assert athlete.health.must_avoid_latex
    assert not athlete.health.no_spinal_injury
    assert athlete.chair.name == "court chair"
    assert athlete.chair.measured == frozenset()
    assert athlete.chair.seat_height == CHAIR_PRESETS["court"].seat_height.value
    assert athlete.chair.caster_share is None


@pytest.mark.parametrize("kind", ["court", "daily"])
def test_preset_lends_no_hold_that_may_not_be_there(tmp_path, kind: str) -> None:
    """A chair known by its kind has no strap and no anti-tip wheel; only a daily chair has brakes."""
    chair = load_athlete(written(tmp_path, LEAST.replace("court", kind))).chair
    assert chair.strap == "none"
    assert chair.anti_tip is None
    assert chair.brakes is (kind == "daily")


@pytest.mark.parametrize("kind", ["court", "daily"])
def test_preset_sizes_fit_each_other(tmp_path, kind: str) -> None:
    """The preset chair is as wide as its wheels need, as long as it reaches, and its casters stand before its axle."""
    chair = load_athlete(written(tmp_path, LEAST.replace("court", kind))).chair
    assert chair.overall_width > chair.hub_width + 2 * (chair.wheel_diameter / 2) * math.sin(chair.camber)
    assert chair.overall_length > chair.footplate_reach + chair.wheel_diameter / 2
    assert 0 < chair.hip_to_axle < chair.wheelbase < chair.footplate_reach


def test_every_preset_size_is_marked_as_not_read() -> None:
    """No preset passes for a measurement: each has a spread and says that it is our choice or remembered."""
    for preset in CHAIR_PRESETS.values():
        sizes = [each for each in vars(preset).values() if not isinstance(each, str | bool)]
        assert len(sizes) == 11
        assert all(size.needs_a_word and size.spread > 0 for size in sizes)


@pytest.mark.parametrize("size", ["stature_m = 1.7", "[measured]\nupper_arm_m = 0.3"])
def test_any_one_size_of_the_body_will_do(tmp_path, size: str) -> None:
    """Stature or an upper arm serves in place of the arm span; without any of them the file is refused."""
    chair = '[[chairs]]\nkind = "court"'
    assert load_athlete(written(tmp_path, f'name = "R"\nmass_kg = 58\n{size}\n{chair}')).mass == 58
    (fault,) = faults_of(tmp_path, f'name = "R"\nmass_kg = 58\n{chair}')
    assert fault.key == "arm_span_m"
    assert "measured.upper_arm_m" in fault.allowed


def test_empty_file_names_all_that_is_needed(tmp_path) -> None:
    """All four things that are needed are asked for at once; a key that is not there has no line."""
    faults = faults_of(tmp_path, "")
    assert sorted(fault.key for fault in faults) == ["arm_span_m", "chairs", "mass_kg", "name"]
    assert {fault.line for fault in faults} == {None}
    assert "[[chairs]]" in next(fault.next_step for fault in faults if fault.key == "chairs")


@pytest.mark.parametrize(
    ("key", "line", "path", "says"),
    [
        ("arm_span_m", "arm_span_m = 17.2", "arm_span_m", "did you mean 1.72?"),
        ("arm_span_m", "arm_span_m = 166", "arm_span_m", "did you mean 1.66? It looks like centimetres"),
        ("mass_kg", "mass_kg = 580", "mass_kg", "did you mean 58?"),
        ("mass_kg", "mas_kg = 58", "mas_kg", "did you mean mass_kg?"),
        ("born", "born = 99", "born", "99 is out of range"),
        ("upper_arm_m", "upper_arm_m = 30.8", "measured.upper_arm_m", "did you mean 0.308? It looks like centimetres"),
        ("hand_m", "hand_m = 0.18", "measured.hand_m", "0.18 m is out of range"),
        ("missing_limbs", 'missing_limbs = "left hand"', "missing_limbs", '"left hand" is not a list'),
        ("missing_limbs", 'missing_limbs = ["left hand"]', "function.left.grip", "contradicts missing_limbs"),
        ("trunk =", 'trunk = { turn = "yse" }', "function.trunk.turn", 'did you mean "yes"?'),
        ("left = { grip", "left = { elbow_extension = 6 }", "function.left.elbow_extension", "6 is out of range"),
        ("left = { grip", 'left = { gripp = "full" }', "function.left.gripp", "did you mean grip?"),
        (
            "left = { elev",
            "left = { elevation = 190 }",
            "active_range_deg.left.elevation",
            "190 degrees is out",
        ),
        ("left = { elev", 'left = { elevation = "some" }', "active_range_deg.left.elevation", "is not a number"),
        ("spinal_level", 'spinal_level = "T13"', "health.spinal_level", '"T13" is not known'),
        ("spinal_level", 'spinal_level = "none"', "health.completeness", 'contradicts spinal_level = "none"'),
        ("conditions", 'conditions = ["spina bifda"]', "health.conditions[0]", 'did you mean "spina bifida"?'),
        ("latex", 'latex = "yes"', "health.latex", '"yes" is not known'),
        ("pain", 'pain = [ { place = "wrist", now = 1 } ]', "health.pain[0].side", "it is missing"),
        ("pain", 'pain = [ { place = "neck", now = 11 } ]', "health.pain[0].now", "11 is out of range"),
        ("pain", 'pain = "no"', "health.pain", '"no" is not a list of tables'),
        ("camber_deg", "camber_deg = 180", "chairs[0].camber_deg", "did you mean 18?"),
        ("caster_share", "caster_share_percent = 126", "chairs[0].caster_share_percent", "126 % is out of range"),
        ("caster_share", "caster_share_percent = 0.26", "chairs[0].caster_share_percent", "It looks like a fraction"),
        ("wheel_diameter", "wheel_diameter_m = 25", "chairs[0].wheel_diameter_m", "It looks like inches"),
        ("overall_width", "overall_width_m = 0.60", "chairs[0].overall_width_m", "less than the wheels need"),
        ("overall_length", "overall_length_m = 0.85", "chairs[0].overall_length_m", "from the footplate to the back"),
        ("kind", 'kind = "cort"', "chairs[0].kind", 'did you mean "court"?'),
        ("strap", 'strap = "hip"', "chairs[0].strap", '"hip" is not known'),
        ("seat_height_m", "seat_height = 0.5", "chairs[0].seat_height", "did you mean seat_height_m?"),
    ],
)
def test_one_slip_makes_one_fault_on_its_line(tmp_path, key: str, line: str, path: str, says: str) -> None:
    """The demo file with one line changed is refused for that line and nothing else."""
    text = replaced(key, line)
    (fault,) = faults_of(tmp_path, text)
    assert fault.key == path
    assert says in fault.wrong
    # What is missing, or contradicts the line from another table, stands elsewhere.
    if "missing" not in fault.wrong and "contradicts" not in fault.wrong:
        assert fault.line == line_of(text, line)


def test_arms_must_fit_into_the_span(tmp_path) -> None:
    """Two arms of 0.45 and 0.40 m are longer than a span of 1.66 m."""
    text = replaced("upper_arm_m", "upper_arm_m = 0.45").replace("forearm_m = 0.241", "forearm_m = 0.40")
    (fault,) = faults_of(tmp_path, text)
    assert fault.key == "measured.upper_arm_m"
    assert "1.70 m" in fault.wrong


def test_width_that_contradicts_the_preset_asks_for_the_missing_measures(tmp_path) -> None:
    """A narrow chair with an unknown hub width, wheel and camber is no slip: the three are asked for."""
    (fault,) = faults_of(tmp_path, LEAST + "overall_width_m = 0.55\n")
    assert fault.next_step.startswith("Measure hub_width_m, wheel_diameter_m, camber_deg too")


def test_width_may_fall_short_by_what_a_tape_allows(tmp_path) -> None:
    """Hub width 0.50 m, wheels 0.60 m, camber 30°: 0.80 m at the floor, and 0.79 m passes where 0.77 m does not."""
    sizes = "hub_width_m = 0.5\nwheel_diameter_m = 0.6\ncamber_deg = 30\noverall_width_m = "
    assert load_athlete(written(tmp_path, LEAST + sizes + "0.79")).chair.overall_width == 0.79
    assert faults_of(tmp_path, LEAST + sizes + "0.77")[0].key == "chairs[0].overall_width_m"


def test_chairs_have_names_of_their_own(tmp_path) -> None:
    """A second chair of the same name is refused; with another name it is read after the first."""
    second = '[[chairs]]\nname = "{}"\nkind = "daily"\n'
    named = LEAST + 'name = "mine"\n'
    athlete = load_athlete(written(tmp_path, named + second.format("other")))
    assert [chair.name for chair in athlete.chairs] == ["mine", "other"]
    (fault,) = faults_of(tmp_path, named + second.format("Mine "))
    assert (fault.key, fault.line) == ("chairs[1].name", 8)


def test_one_chair_in_single_brackets_is_told_to_double_them(tmp_path) -> None:
    """[chairs] in place of [[chairs]] makes one fault, not a missing chair too."""
    (fault,) = faults_of(tmp_path, LEAST.replace("[[chairs]]", "[chairs]"))
    assert fault.next_step == "Write [[chairs]] before each one"


def test_no_chair_at_all_is_told_what_to_write(tmp_path) -> None:
    """An empty list of chairs is no chair either."""
    (fault,) = faults_of(tmp_path, 'name = "R"\nmass_kg = 58\nstature_m = 1.6\nchairs = []\n')
    assert (fault.key, fault.line) == ("chairs", 4)
    assert 'kind = "court"' in fault.next_step


@pytest.mark.parametrize(
    "key",
    ["sex", "spasticity", "left = { elev", "spinal_level", "completeness", "conditions", "latex", "pain", "anti_tip_m"],
)
def test_unknown_reads_as_left_out(tmp_path, key: str) -> None:
    """The word "unknown" and a line taken out give the same athlete."""
    name = key.split(" ")[0]
    value = '{ elevation = "unknown" }' if "elev" in key else '"unknown"'
    said = load_athlete(written(tmp_path, replaced(key, f"{name} = {value}")))
    assert said == load_athlete(written(tmp_path, replaced(key, "")))
    assert said != load_athlete(demo_file("athlete"))


def test_no_spinal_injury_is_said_and_not_implied(tmp_path) -> None:
    """spinal_level = "none" is knowledge, leaving it out is not."""
    said = load_athlete(written(tmp_path, LEAST + '[health]\nspinal_level = "none"\npain = "none"\n'))
    assert said.health.no_spinal_injury
    assert said.health.spinal_level is None
    assert said.health.pain == ()


@pytest.mark.parametrize("level", SPINAL_LEVELS)
def test_every_spinal_level_can_be_written(tmp_path, level: str) -> None:
    """Each level from neck to sacrum is read as it stands."""
    athlete = load_athlete(written(tmp_path, LEAST + f'[health]\nspinal_level = "{level}"\n'))
    assert athlete.health.spinal_level == level


def test_anti_tip_none_is_a_measure_and_unknown_is_not(tmp_path) -> None:
    """What is "none" was looked at, "unknown" was not; both give no anti-tip wheel to rely on."""
    none = load_athlete(written(tmp_path, LEAST + 'anti_tip_m = "none"\n')).chair
    unknown = load_athlete(written(tmp_path, LEAST + 'anti_tip_m = "unknown"\n')).chair
    assert none.anti_tip is None
    assert unknown.anti_tip is None
    assert "anti_tip" in none.measured
    assert "anti_tip" not in unknown.measured


@given(st.data())
def test_order_of_keys_does_not_matter(tmp_path_factory, data: st.DataObject) -> None:
    """The demo athlete with the lines of each table and the tables themselves in any order is the same athlete."""
    tables: dict[str, list[list[str]]] = {"": [[]]}
    heading = ""
    for line in demo_file("athlete").read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            heading = line.split("#")[0].strip()
            tables.setdefault(heading, []).append([])
        elif line and not line.startswith("#"):
            tables[heading][-1].append(line)
    lines = data.draw(st.permutations(tables.pop("")[0]))
    for each in data.draw(st.permutations(sorted(tables))):
        # Tables of one list keep their order: the first chair is the one used.
        for body in tables[each]:
            lines = [*lines, each, *data.draw(st.permutations(body))]
    shuffled = written(tmp_path_factory.mktemp("order"), "\n".join(lines))
    assert load_athlete(shuffled) == load_athlete(demo_file("athlete"))


def test_faults_carry_file_line_and_cure_in_one_sentence(tmp_path) -> None:
    """The message of the error is one line a fault: file and line, key, what is wrong, what is allowed, what to do."""
    path = written(tmp_path, LEAST.replace("1.66", "16.6").replace('"court"', '"cort"'))
    with pytest.raises(InputFileError) as caught:
        load_athlete(path)
    assert str(caught.value).splitlines() == [
        f"{path}:3: arm_span_m: 16.6 m is out of range (did you mean 1.66?). Allowed: 0.5 to 2.6 m."
        " Correct the number, or measure again.",
        f'{path}:5: chairs[0].kind: "cort" is not known (did you mean "court"?). Allowed: "court", "daily".'
        " Write one of these.",
    ]


def test_demo_file_that_is_not_there_names_those_that_are() -> None:
    """A misspelt demo file is refused with the three that would work."""
    with pytest.raises(UnknownNameError, match="Known: athlete, kit, venue"):
        demo_file("athlet")


def test_strength_can_be_tested_for_every_moment_an_exercise_loads() -> None:
    """Strength and load find each other by name, so both lists say the same; the shoulder blade has no moment test."""
    assert set(STRENGTH_MOVEMENTS) == set(LOADS) - {*SCAPULAR_LOADS, "none"}
