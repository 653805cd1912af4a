"""A kit file becomes a kit in SI units, or all its faults at once."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstpush.core.errors import Fault, InputFileError
from firstpush.core.kit.bands import fit_band
from firstpush.core.kit.kit import Cuff, Kit, Pull
from firstpush.core.kit.kit_file import load_kit
from firstpush.demo import demo_file


def written(folder: Path, text: str) -> Path:
    """Write `text` into a file in `folder`."""
    path = folder / "kit.toml"
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(folder: Path, text: str) -> list[Fault]:
    """Return the faults of a kit file with `text`."""
    with pytest.raises(InputFileError) as caught:
        load_kit(written(folder, text))
    return list(caught.value.faults)


def band(lines: str) -> str:
    """Return a kit with one band and `lines` in its table."""
    return f'name = "shelf"\n[[bands]]\nname = "flat"\nlength_m = 2.0\n{lines}\n'


def test_demo_kit_is_read_in_si_units() -> None:
    """Percent become fractions; what lies in the cupboard is counted."""
    kit = load_kit(demo_file("kit"))
    assert kit.bands[1].pulls[2] == Pull(elongation=1.0, force=14.8)
    assert [each.limit_elongation for each in kit.bands] == [2.0, 2.0, 2.0, 2.0, 1.5]
    assert kit.balls[0].mass == 0.6
    assert kit.cuffs[0] == Cuff(name="wrist cuff", attach="wrist_cuff", count=2, material="latex-free")
    assert (kit.cones, kit.chest_straps, kit.waist_straps, kit.chocks, kit.chock_height) == (10, 1, 2, 4, 0.08)


def test_demo_bands_are_like_real_ones() -> None:
    """Every demo band follows the band law within 2 % and pulls harder than the one before it."""
    laws = [fit_band(each) for each in load_kit(demo_file("kit")).bands]
    assert all(law.fit_error is not None and law.fit_error < 0.02 for law in laws)
    assert not any(law.notices_for(1.5) for law in laws)
    at_double_length = [float(law.tension(2.0)) for law in laws]
    assert at_double_length == sorted(at_double_length)


def test_empty_cupboard_is_a_kit(tmp_path) -> None:
    """A name alone is a kit in which nothing lies."""
    assert load_kit(written(tmp_path, 'name = "bag"')) == Kit(name="bag")


def test_what_is_left_out_of_a_band_is_careful(tmp_path) -> None:
    """A band by name and length counts as latex, once, up to three times its length, without newtons."""
    (only,) = load_kit(written(tmp_path, band(""))).bands
    assert (only.material, only.count, only.limit_elongation, only.pulls) == ("latex", 1, 2.0, ())


@pytest.mark.parametrize("pulls", ["pulls = []", 'pulls = "none"', 'pulls = "unknown"', ""])
def test_band_without_pulls_is_allowed(tmp_path, pulls: str) -> None:
    """No pull is no fault, however it is said."""
    assert load_kit(written(tmp_path, band(pulls))).bands[0].pulls == ()


def test_balls_and_cuffs_of_unknown_material_count_as_latex(tmp_path) -> None:
    """What is left out is not taken for harmless."""
    kit = load_kit(
        written(
            tmp_path,
            'name = "s"\n[[balls]]\nname = "b"\nmass_kg = 1\ndiameter_m = 0.2\n'
            '[[cuffs]]\nname = "c"\nattach = "wrist_cuff"\nmaterial = "unknown"',
        )
    )
    assert kit.balls[0].material == "latex"
    assert kit.cuffs[0].material == "latex"
    assert kit.balls[0].bounces is None


PULL = "{{ elongation_percent = {}, force_n = {} }}"


def pulls(*points: tuple[float, float]) -> str:
    """Return pulls of (percent, newtons), one a line; the first stands on line 6 of `band`."""
    return "pulls = [\n" + ",\n".join(PULL.format(*point) for point in points) + "\n]"


@given(st.permutations([(25, 7.0), (50, 11.4), (100, 17.6), (150, 22.9)]))
def test_pulls_are_sorted_by_length(tmp_path_factory, points: list[tuple[float, float]]) -> None:
    """In whatever order they were written, pulls come by rising elongation."""
    kit = load_kit(written(tmp_path_factory.mktemp("kit"), band(pulls(*points))))
    assert [pull.force for pull in kit.bands[0].pulls] == [7.0, 11.4, 17.6, 22.9]


def test_band_that_weakens_with_length_is_refused(tmp_path) -> None:
    """A pull that falls while the band gets longer is a fault on its own line, with both points."""
    (fault,) = faults_of(tmp_path, band(pulls((50, 11.4), (100, 17.6), (150, 12.9))))
    assert (fault.key, fault.line) == ("bands[0].pulls[2].force_n", 8)
    assert fault.wrong.startswith("12.9 N at 150 % is less than 17.6 N at 100 %")


def test_pull_beyond_the_limit_is_refused(tmp_path) -> None:
    """Pulled to 300 % with a limit of 200 %: the trap of length against elongation is named; 300 % passes."""
    text = band(pulls((100, 17.6), (300, 38.0)))
    (fault,) = faults_of(tmp_path, text)
    assert (fault.key, fault.line) == ("bands[0].pulls[1].elongation_percent", 7)
    assert "three times its length is 200 %" in fault.next_step
    raised = load_kit(written(tmp_path, text + "limit_elongation_percent = 300"))
    assert raised.bands[0].limit_elongation == 3.0


@pytest.mark.parametrize(
    ("lines", "key", "line", "says"),
    [
        ("length_m = 200", "file", 5, "overwrite"),
        ("count = 0", "bands[0].count", 5, "0 pieces is out of range"),
        ("limit_elongation_percent = 2", "bands[0].limit_elongation_percent", 5, "It looks like a fraction"),
        ('material = "latexfree"', "bands[0].material", 5, 'did you mean "latex-free"?'),
        ("pulls = [ { elongation = 100, force_n = 9 } ]", "bands[0].pulls[0].elongation", 5, "elongation_percent?"),
        (
            "pulls = [ { elongation_percent = 100, force_n = 0 } ]",
            "bands[0].pulls[0].force_n",
            5,
            "0 N is out",
        ),
        ("pulls = [ { elongation_percent = 100 } ]", "bands[0].pulls[0].force_n", None, "it is missing"),
        ("pulls = 24", "bands[0].pulls", 5, "24 is not a list of tables"),
        ('[[bands]]\nname = "Flat"\nlength_m = 1', "bands[1].name", 6, "is taken by bands[0] (line 3)"),
        ('[[bands]]\nname = "b"\nlength_m = 200', "bands[1].length_m", 7, "did you mean 2? It looks like cent"),
        (
            '[[balls]]\nname = "b"\nmass_kg = 600\ndiameter_m = 0.2',
            "balls[0].mass_kg",
            7,
            "did you mean 0.6? It looks like grams",
        ),
        ('[[cuffs]]\nname = "c"\nattach = "wrist"', "cuffs[0].attach", 7, 'did you mean "wrist_cuff"?'),
        ("[cones]\ncount = -1", "cones.count", 6, "-1 pieces is out of range"),
        (
            "[blocking]\nchocks = 4",
            "blocking.chock_height_m",
            None,
            "from the table that starts at line 5",
        ),
        ("[blocking]\nchock_height_m = 0.08", "blocking.chocks", None, "it is missing"),
        ("[blocking]\nchocks = 4\nchock_height_m = 8", "blocking.chock_height_m", 7, "did you mean 0.08"),
        ("[straps]\nwaste = 1", "straps.waste", 6, "did you mean waist?"),
    ],
)
def test_one_slip_makes_one_fault_on_its_line(tmp_path, lines: str, key: str, line: int | None, says: str) -> None:
    """A band with one slip beside it is refused for that slip and nothing else."""
    text = band(lines)
    (fault,) = faults_of(tmp_path, text)
    assert says in fault.wrong
    assert fault.line == line
    if key != "file":
        assert fault.key == key


def test_no_chocks_have_no_height(tmp_path) -> None:
    """Where there are no chocks their height is None, whatever was written."""
    kit = load_kit(written(tmp_path, 'name = "s"\n[blocking]\nchocks = 0\nchock_height_m = 0.08'))
    assert (kit.chocks, kit.chock_height) == (0, None)
