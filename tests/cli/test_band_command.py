"""`firstpush band`: the whole printed output, and the fit against another method."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest
from command_line import run, run_json

from firstpush.demo import demo_file

# The ranges by hand: the fitted pull at double length lies within 1 % of the one measured there, and nine of ten pulls
# within 1.645 × 8 % of it, so 9.1 N → 8-10, 14.8 N → 13-17, 23.6 N → 21-27, 37.5 N → 33-43, 55.2 N → 48-63.
PRINTED = """\
─────────────────────────────────────────────────────────────────────────────────
band        material    count  length  pull of one strand        limit  fit error
─────────────────────────────────────────────────────────────────────────────────
flat thin   latex-free  3      2.50 m  8-10 N at double length   200 %  0.7 %
flat 15     latex-free  3      2.50 m  13-17 N at double length  200 %  1.0 %
flat 24     latex-free  2      2.50 m  21-27 N at double length  200 %  0.4 %
flat thick  latex-free  2      2.00 m  33-43 N at double length  200 %  1.0 %
tube        latex       1      1.40 m  48-63 N at double length  150 %  0.2 %
─────────────────────────────────────────────────────────────────────────────────
"""


def test_the_cupboard_is_printed_with_pulls_as_ranges() -> None:
    """Each band has one line with its own name, and no newton without a range."""
    done = run("band", "--kit", str(demo_file("kit")))
    assert done.returncode == 0
    assert done.stdout == PRINTED
    assert done.stderr == ""


def test_constants_solve_the_normal_equations_of_the_measured_pulls() -> None:
    """c1 and c2 are those of the least squares line through the pulls, by the 2 × 2 normal equations."""
    written = tomllib.loads(demo_file("kit").read_text(encoding="utf-8"))["bands"]
    found = run_json("band", "--kit", str(demo_file("kit")))["bands"]
    assert [each["name"] for each in found] == [each["name"] for each in written]
    for band, fitted in zip(written, found, strict=True):
        elongation = np.array([pull["elongation_percent"] for pull in band["pulls"]]) / 100
        force = np.array([pull["force_n"] for pull in band["pulls"]])
        first = (1 + elongation) - (1 + elongation) ** -2
        second = first / (1 + elongation)
        a, b, c = np.sum(first * first), np.sum(first * second), np.sum(second * second)
        d, e = np.sum(first * force), np.sum(second * force)
        c1, c2 = (d * c - b * e) / (a * c - b * b), (a * e - b * d) / (a * c - b * b)
        assert min(c1, c2) > 0, "the demo bands keep away from the bounds, where this comparison would not hold"
        assert fitted["c1_n"] == pytest.approx(c1, rel=1e-9)
        assert fitted["c2_n"] == pytest.approx(c2, rel=1e-9)
        off = np.abs(c1 * first + c2 * second - force).max() / force.max()
        assert fitted["fit_error_percent"] == pytest.approx(100 * off, abs=1e-9)
        assert [point["measured_n"] for point in fitted["points"]] == list(force)
        assert [point["fitted_n"] for point in fitted["points"]] == pytest.approx(list(c1 * first + c2 * second))


def test_a_band_without_pulls_has_no_newtons(tmp_path: Path) -> None:
    """Unknown stays unknown: the constants are null, and the table says that the pull was not measured."""
    kit = tmp_path / "kit.toml"
    kit.write_text('name = "shed"\n[[bands]]\nname = "grey"\nlength_m = 2.0\n', encoding="utf-8")
    (band,) = run_json("band", "--kit", str(kit))["bands"]
    assert (band["c1_n"], band["c2_n"], band["fit_error_percent"], band["points"]) == (None, None, None, [])
    assert "pull not measured" in run("band", "--kit", str(kit)).stdout
