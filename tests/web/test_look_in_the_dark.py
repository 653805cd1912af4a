"""Drawings in the dark scheme: the dimmed paper keeps the contrast of the lines on it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from firstpush.core.figure import palette

CSS = Path(palette.__file__).parents[2] / "web" / "static" / "firstpush.css"


def luminance(colour: str, dimmed: float) -> float:
    """Return relative luminance after WCAG 2.2, of a colour whose channels a CSS brightness() multiplies."""
    channels = [int(colour[at : at + 2], 16) / 255 * dimmed for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("colour", [palette.INK, palette.ACCENT, palette.COURT])
def test_lines_keep_their_contrast(colour: str) -> None:
    """4.5 to 1 or more between each line colour and the paper, both dimmed alike; forced colours are left alone."""
    rule = re.search(
        r"@media \(prefers-color-scheme: dark\) and \(forced-colors: none\) \{\s*main img.*brightness\(([\d.]+)\)",
        CSS.read_text(encoding="utf-8"),
    )
    assert rule
    dimmed = float(rule[1])
    assert dimmed < 0.9, "the paper is no white tile any more"
    paper, line = luminance(palette.PAPER, dimmed), luminance(colour, dimmed)
    assert (paper + 0.05) / (line + 0.05) >= 4.5
