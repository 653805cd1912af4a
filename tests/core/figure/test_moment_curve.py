"""The curve of a load shows the load, and its range holds what is not known."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from firstpush.core.exercises.loader import library
from firstpush.core.figure.moment_curve import curve_words, draw_moment_curve, moment_curve
from firstpush.core.session.prepare import prepare, ranged
from firstpush.core.setup import band_grid, uncertainty
from firstpush.core.setup.result import ExerciseSetup
from firstpush.sheets.catalogue import reference_case


def set_up(name: str) -> ExerciseSetup:
    """Return an exercise set up for the reference body, with its ranges."""
    exercise = library()[name]
    prepared = ranged(prepare(reference_case(), [exercise], keep=[name]), [name])
    return next(iter(prepared.setups.values()))


@pytest.mark.parametrize("name", ["seated_row", "external_rotation_side", "row_rotation_press", "scaption"])
def test_the_range_holds_the_load_and_the_peak_is_the_one_printed(name: str) -> None:
    """In every frame the prediction lies in its range, or beside it by less than the range is wide."""
    setup = set_up(name)
    curve = moment_curve(setup)
    assert curve is not None and setup.peak is not None
    assert curve.peak == setup.peak
    for part in curve.parts:
        at = np.interp(part.range_share, part.share, part.load)
        wide = part.high - part.low
        assert np.all(wide > 0)
        assert np.all(at > part.low - wide)
        assert np.all(at < part.high + wide)
    limiting = next(part for part in curve.parts if part.loads == (setup.limiting and setup.limiting.loads))
    assert np.interp(curve.peak_share, limiting.share, limiting.load) == pytest.approx(setup.peak.value)


def test_when_everything_is_known_the_range_is_the_load(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without spread in angles, lengths, band and placement every sample is the prediction: a limit that must hold."""
    setup = set_up("external_rotation_side")
    for module, name in (
        (uncertainty, "ANGLE_SPREAD"),
        (uncertainty, "LEAN_SPREAD"),
        (uncertainty, "SHOULDER_SPREAD"),
        (uncertainty, "PLACE_SPREAD"),
        (uncertainty, "MARK_SPREAD"),
    ):
        # An angle of nothing has no axis to turn about: as good as nothing instead.
        monkeypatch.setattr(module, name, replace(getattr(module, name), spread=1e-9))
    assert band_grid.PLACE_SPREAD is not uncertainty.PLACE_SPREAD
    assert setup.band is not None
    known = replace(
        setup,
        body=replace(
            setup.body,
            upper_arm=replace(setup.body.upper_arm, spread=0.0),
            forearm=replace(setup.body.forearm, spread=0.0),
        ),
        band=replace(setup.band, law=replace(setup.band.law, relative_spread=0.0)),
    )
    curve = moment_curve(known)
    assert curve is not None
    (part,) = curve.parts
    at = np.interp(part.range_share, part.share, part.load)
    np.testing.assert_allclose(part.low, at, rtol=1e-5)
    np.testing.assert_allclose(part.high, at, rtol=1e-5)


def test_a_chain_has_a_part_for_every_loaded_link() -> None:
    """Each with its own axis, one after the other."""
    curve = moment_curve(set_up("row_rotation_press"))
    assert curve is not None
    assert [part.loads for part in curve.parts] == ["retraction", "external rotation", "flexion"]
    for before, after in zip(curve.parts, curve.parts[1:], strict=False):
        assert before.share[-1] < after.share[0]
    assert [name for _, name in curve.poses] == ["start", "rowed", "turned out", "pressed"]


@pytest.mark.parametrize("name", ["chest_stretch_post", "easy_rolling"])
def test_where_no_load_is_stated_there_is_no_curve(name: str) -> None:
    """A stretch and rolling state none."""
    assert moment_curve(set_up(name)) is None


def test_the_drawing_is_to_scale() -> None:
    """The dot of the peak lies where the numbers beside the lines say: straight between two of them."""
    setup = set_up("external_rotation_side")
    curve = moment_curve(setup)
    assert curve is not None
    svg = draw_moment_curve(curve, title="Load & movement")
    ticks = [
        (float(y), float(words))
        for y, words in re.findall(r'<text x="11" y="([\d.]+)"[^>]*text-anchor="end"[^>]*>(-?[\d.]+)</text>', svg)
    ]
    assert len(ticks) >= 3
    dot = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="1"', svg)
    assert dot is not None
    ys, loads = zip(*sorted(ticks), strict=True)
    # Numbers stand 1.1 mm under their lines; the file has two decimals.
    assert np.interp(float(dot[2]) + 1.1, ys, loads) == pytest.approx(curve.peak.value, abs=0.02)
    assert "Load &amp; movement" in svg
    assert str(curve.peak) in svg


def test_the_words_say_what_the_curve_shows() -> None:
    """Start, end and peak with their ranges, and what is wanted."""
    setup = set_up("external_rotation_side")
    curve = moment_curve(setup)
    assert curve is not None
    words = curve_words(curve)
    assert words.startswith("External rotation goes from ")
    assert str(curve.peak) in words
    assert words.endswith("N·m wanted.")
