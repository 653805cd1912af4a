"""Drawings in the dark scheme: lines keep their contrast, on court on their dimmed paper, elsewhere on the page."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from firstpush.core.figure import palette
from firstpush.web.drawn import in_both_schemes

STATIC = Path(palette.__file__).parents[2] / "web" / "static"
DARK_PAGE = "#141e22"
NEEDED = 4.5
"""WCAG 2.2, 1.4.3: text of any size."""


def luminance(colour: str, dimmed: float = 1.0) -> float:
    """Return relative luminance after WCAG 2.2, of a colour whose channels a CSS brightness() multiplies."""
    channels = [int(colour[at : at + 2], 16) / 255 * dimmed for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Return the contrast of two colours after WCAG 2.2."""
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def rules() -> dict[str, dict[str, str]]:
    """Return what ``drawn.css`` says in the dark, by selector."""
    text = re.sub(r"/\*.*?\*/", "", (STATIC / "drawn.css").read_text(encoding="utf-8"), flags=re.DOTALL)
    inner = text[text.index("{") + 1 : text.rindex("}")]
    return {
        selector.strip(): dict(part.split(": ") for part in body.strip().rstrip(";").split("; "))
        for selectors, body in re.findall(r"([^{}]+)\{([^{}]+)\}", inner)
        for selector in selectors.split(", ")
    }


@pytest.mark.parametrize("colour", [palette.INK, palette.ACCENT, palette.COURT])
def test_lines_on_court_keep_their_contrast(colour: str) -> None:
    """4.5 to 1 or more between each line colour and the paper, both dimmed alike; forced colours are left alone."""
    rule = re.search(
        r"@media \(prefers-color-scheme: dark\) and \(forced-colors: none\) \{\s*img\.figure.*brightness\(([\d.]+)\)",
        (STATIC / "firstpush.css").read_text(encoding="utf-8"),
    )
    assert rule
    dimmed = float(rule[1])
    assert dimmed < 0.9, "the paper is no white tile any more"
    paper, line = luminance(palette.PAPER, dimmed), luminance(colour, dimmed)
    assert (paper + 0.05) / (line + 0.05) >= NEEDED


def test_lettering_keeps_its_contrast_to_the_dark_page() -> None:
    """Every colour that lettering and lines take in the dark stands out from the page, and from its halo."""
    found = rules()
    halo = found['.drawn text[stroke="#fbfaf6"]']["fill"]
    told = {
        selector: body.get("fill", body.get("stroke", ""))
        for selector, body in found.items()
        if "text[fill" in selector
        or "stroke-width" in selector
        or selector.startswith('.drawn > path[stroke="#1d2b31"]')
    }
    assert len(told) >= 4, "the rules were not found"
    for selector, colour in told.items():
        assert contrast(colour, DARK_PAGE) >= NEEDED, selector
        assert contrast(colour, halo) >= NEEDED, f"{selector}, on its halo"
    disc, number = found['.drawn circle[r="2.45"]']["fill"], found['.drawn circle[r="2.45"] + text']["fill"]
    assert contrast(disc, number) >= NEEDED


def test_the_contour_goes_round_ink_alone() -> None:
    """The filter's alpha is 1 for ink and 0 for what lies on the dark page itself: floor, halo, where the part was."""
    svg = ElementTree.fromstring(in_both_schemes('<svg xmlns="http://www.w3.org/2000/svg"><title>A</title></svg>'))
    matrix = svg.find(".//{*}feColorMatrix")
    assert matrix is not None
    red, green, blue, alpha, more = map(float, matrix.attrib["values"].split()[15:])

    def shown(colour: str) -> float:
        r, g, b = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
        return min(1.0, max(0.0, red * r + green * g + blue * b + alpha + more))

    assert shown(palette.INK) == 1.0
    found = rules()
    on_the_page = [found[f'.drawn path[fill="{each}"]']["fill"] for each in (palette.FLOOR, palette.GHOST)]
    for colour in (*on_the_page, found['.drawn text[stroke="#fbfaf6"]']["fill"], palette.ACCENT, palette.COURT):
        assert shown(colour) == 0.0, colour
    # Where nothing is drawn there is no contour either: all channels are nothing there.
    assert more == 0.0
    flood = [float(each) for each in matrix.attrib["values"].split()[4:15:5]]
    contour = "#" + "".join(f"{round(255 * each):02x}" for each in flood)
    assert contrast(contour, palette.INK) >= NEEDED, "ink keeps its contrast to what is round it"
    assert contrast(contour, palette.ACCENT) >= NEEDED - 0.5, "as on its own paper, give or take"


def test_a_drawing_says_first_what_it_is_and_brings_its_rules_when_it_is_alone() -> None:
    """The title stays the first child; in a page the rules come from the style sheet, which its policy asks for."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg" role="img"><title>Row</title><desc>Pulls.</desc><g/></svg>'
    for alone in (True, False):
        read = ElementTree.fromstring(in_both_schemes(svg, alone=alone))
        names = [child.tag.rpartition("}")[2] for child in read]
        assert names == ["title", "desc", "defs", *(["style"] if alone else []), "g"]
        assert read.get("class") == "drawn"
