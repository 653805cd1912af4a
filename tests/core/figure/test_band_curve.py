"""The drawing of a band's pull: everything in it stands where the scales of the drawing itself say."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from firstpush.core.errors import OutOfRangeError
from firstpush.core.figure.band_curve import WIDTH_MM, draw_band_curve, largest_pull
from firstpush.core.figure.labels import text_width
from firstpush.core.figure.palette import ACCENT, every_colour
from firstpush.core.figure.pull_line import draw_pull_line, pull_range
from firstpush.core.figure.svg import MM_PER_POINT
from firstpush.core.kit.bands import fit_band
from firstpush.core.kit.kit import Band, Pull

SVG = "{http://www.w3.org/2000/svg}"


def law_of_the_test(stretch: float) -> float:
    """Return T = (6 + 8/λ)(λ − λ⁻²), so that at double length T = 10 × 1.75 = 17.5 N."""
    return (6 + 8 / stretch) * (stretch - stretch**-2)


def band(*elongations: float, limit: float = 2.0, name: str = "flat") -> Band:
    """Return a band whose pulls lie on `law_of_the_test`."""
    pulls = tuple(Pull(elongation=each, force=law_of_the_test(1 + each)) for each in elongations)
    return Band(name=name, material="latex-free", length=2.0, count=1, limit_elongation=limit, pulls=pulls)


class Read:
    """A drawing read back: elements by class, and the scales from its own lettering."""

    def __init__(self, svg: str) -> None:
        self.root = ET.fromstring(svg)
        texts = {each.text: each.attrib for each in self.root.iter(f"{SVG}text")}
        self.words = [each.text or "" for each in self.root.iter(f"{SVG}text")]
        lines = [self.points(each)[0] for each in self.having("grid")]
        numbers = [word for word in texts if word and re.fullmatch(r"[\d.]+", word)]
        up = sorted((float(texts[n]["y"]), float(n)) for n in numbers if texts[n].get("text-anchor") == "end")
        along = sorted((float(n), float(texts[n]["x"])) for n in numbers if texts[n].get("text-anchor") == "middle")
        # Letters stand a little below their line: the topmost number belongs to the topmost line.
        drop = up[0][0] - min(point[1] for point in lines)
        self._y = [y - drop for y, _ in up], [force for _, force in up]
        self._x = [x for _, x in along], [percent for percent, _ in along]

    def having(self, name: str) -> list[ET.Element]:
        return [each for each in self.root.iter() if name in each.get("class", "").split()]

    @staticmethod
    def points(element: ET.Element) -> np.ndarray:
        numbers = [float(n) for n in re.findall(r"-?\d*\.?\d+", element.attrib["d"])]
        return np.array(numbers).reshape(-1, 2)

    def force(self, y: float) -> float:
        return float(np.polyval(np.polyfit(*self._y, 1), y))

    def percent(self, x: float) -> float:
        return float(np.polyval(np.polyfit(*self._x, 1), x))


def test_each_pull_stands_at_its_elongation_and_force() -> None:
    """A dot lies where both scales of the drawing read what was measured."""
    read = Read(draw_band_curve(band(0.5, 1.0, 2.0)))
    dots = [(read.percent(float(e.get("cx", 0))), read.force(float(e.get("cy", 0)))) for e in read.having("measured")]
    expected = [(100 * e, law_of_the_test(1 + e)) for e in (0.5, 1.0, 2.0)]
    np.testing.assert_allclose(dots, expected, atol=0.15)


def test_the_curve_is_the_law() -> None:
    """Every point of the curve lies on the law that the pulls were taken from."""
    read = Read(draw_band_curve(band(0.5, 1.0, 2.0)))
    for curve in read.having("curve"):
        for x, y in read.points(curve):
            assert read.force(y) == pytest.approx(law_of_the_test(1 + read.percent(x) / 100), abs=0.15)


def test_the_range_holds_nine_of_ten_pulls() -> None:
    """An exact fit leaves 8 % of hook scale and fatigue: 17.5 × (1 ± 1.645 × 0.08) at double length.

    1.645 is the 95th percentile of the normal distribution (any table of it).
    """
    read = Read(draw_band_curve(band(0.5, 1.0, 2.0)))
    (area,) = read.having("range")
    points = read.points(area)
    at_double = [read.force(y) for x, y in points if abs(read.percent(x) - 100) < 0.5]
    np.testing.assert_allclose(sorted(at_double), [17.5 * (1 - 1.645 * 0.08), 17.5 * (1 + 1.645 * 0.08)], atol=0.2)


def test_the_curve_is_dashed_beyond_what_was_measured() -> None:
    """Whole from the first pull to the last, dashed from slack to the first and from the last to the limit."""
    read = Read(draw_band_curve(band(0.5, 1.0, limit=2.0)))
    spans = {
        (name, round(read.percent(float(points[0, 0]))), round(read.percent(float(points[-1, 0]))))
        for each in read.having("curve")
        for name in ["dashed" if each.get("stroke-dasharray") else "whole"]
        for points in [read.points(each)]
    }
    assert spans == {("dashed", 0, 50), ("whole", 50, 100), ("dashed", 100, 200)}


def test_one_pull_has_a_wider_range_than_several() -> None:
    """What is known by one reading is told with more doubt."""
    one, several = pull_range(fit_band(band(1.0))), pull_range(fit_band(band(0.5, 1.0, 2.0)))
    assert one is not None and several is not None
    assert one[1] - one[0] > 2 * (several[1] - several[0])
    assert "One pull is known" in draw_band_curve(band(1.0))


def test_a_band_that_was_never_pulled_has_no_curve() -> None:
    """Empty axes and the words for it, no guess."""
    read = Read(draw_band_curve(band()))
    assert not read.having("curve") + read.having("range") + read.having("measured")
    assert "not pulled yet" in read.words
    assert "N at" not in " ".join(read.words)


@pytest.mark.parametrize("limit", [0.3, 0.8, 1.0, 1.5, 2.0, 3.0, 7.0])
def test_nothing_is_lettered_beyond_the_drawing(limit: float) -> None:
    """Every word ends inside, whatever the limit is."""
    read = Read(draw_band_curve(band(0.25, 0.3, limit=limit)))
    for text in read.root.iter(f"{SVG}text"):
        width = text_width(text.text or "", float(text.attrib["font-size"]) / MM_PER_POINT)
        start = float(text.attrib["x"]) - width * {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor", ""), 0.0)
        # The width is an upper estimate: what is centred may seem to stand out by a hair.
        assert start > -1.0 and start + width < WIDTH_MM + 1.5, text.text


def test_the_accent_is_for_the_pull_alone() -> None:
    """Axes, limit and lettering of the scales have the other colours; none is outside the palette."""
    svg = draw_band_curve(band(0.5, 1.0))
    assert set(re.findall(r"#[0-9a-f]{6}", svg)) <= every_colour()
    in_accent = {
        (each.get("class") or "pull").split()[0]
        for each in ET.fromstring(svg).iter()
        if ACCENT in (each.get("fill"), each.get("stroke"))
    }
    assert in_accent == {"curve", "range", "measured", "pull"}


def test_what_somebody_typed_stays_text() -> None:
    """A name with signs of the markup makes no markup."""
    svg = draw_band_curve(band(1.0, name='<script>"&'))
    assert "<script>" not in svg
    assert ET.fromstring(svg).findtext(f"{SVG}title") == 'Pull of <script>"& over its elongation'


def test_bands_on_one_scale_can_be_compared() -> None:
    """On the scale of a stronger band the same pull stands lower; a scale that is too short is refused."""
    weak, strong = band(0.5, 1.0), band(0.5, 1.0, 2.0)
    top = 2 * largest_pull(strong)
    dots = Read(draw_band_curve(weak, top=top, longest=2.5)).having("measured")
    own = Read(draw_band_curve(weak)).having("measured")
    assert float(dots[1].get("cy", 0)) > float(own[1].get("cy", 0))
    with pytest.raises(OutOfRangeError, match="is allowed"):
        draw_band_curve(strong, top=5.0)
    with pytest.raises(OutOfRangeError, match="200 % or more is allowed"):
        draw_band_curve(strong, longest=1.5)


def test_the_stroke_of_the_line_is_the_range_to_scale() -> None:
    """From 17.5 × (1 − 0.1316) to 17.5 × (1 + 0.1316) on a line that ends at 40 N, read off the line itself."""
    root = ET.fromstring(draw_pull_line(fit_band(band(0.5, 1.0, 2.0)), top=40.0))
    (stroke,) = (each for each in root.iter() if each.get("class") == "stroke")
    (axis,) = (each for each in root.iter() if each.get("class") == "axis")
    start, end = re.findall(r"M([\d.]+) [\d.]+H([\d.]+)", axis.attrib["d"])[0]
    newtons = 40.0 / (float(end) - float(start))
    low = (float(stroke.attrib["x"]) - float(start)) * newtons
    assert low == pytest.approx(17.5 * (1 - 1.645 * 0.08), abs=0.05)
    assert float(stroke.attrib["width"]) * newtons == pytest.approx(2 * 17.5 * 1.645 * 0.08, abs=0.05)
    with pytest.raises(OutOfRangeError, match="largest pull"):
        draw_pull_line(fit_band(band(0.5, 1.0, 2.0)), top=10.0)
    assert "stroke" not in {e.get("class") for e in ET.fromstring(draw_pull_line(fit_band(band()), top=1.0)).iter()}
