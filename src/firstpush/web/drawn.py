"""Drawings for the light and the dark page: one file that looks right on both."""

from __future__ import annotations

import hashlib
import re
from functools import cache
from pathlib import Path

RULES = Path(__file__).parent / "static" / "drawn.css"
SPREAD_MM = 0.3
"""How far the paper round what is dark is spread; what is left of it is about 0.4 mm wide, round at every corner."""
# A colour counts as dark when its luma (Rec. 709, of the sRGB values) lies below 0.2: ink does, the floor in the dark
# (0.22) and everything with a colour does not.  5 A - 25 L is 1 for ink, and 0 for what is lighter or not drawn.
_CUT_OUT = (
    '<defs><filter id="cut-out" x="-2%" y="-2%" width="104%" height="104%" color-interpolation-filters="sRGB">'
    '<feColorMatrix values="0 0 0 0 .9 0 0 0 0 .88 0 0 0 0 .83 -5.32 -17.88 -1.8 5 0"/>'
    f'<feGaussianBlur stdDeviation="{SPREAD_MM}"/>'
    '<feComponentTransfer result="paper"><feFuncA type="linear" slope="7" intercept="-.35"/></feComponentTransfer>'
    '<feMerge><feMergeNode in="paper"/><feMergeNode in="SourceGraphic"/></feMerge></filter></defs>'
)
_HEARD = re.compile(r"<svg [^>]*>(?:<title>[^<]*</title>)?(?:<desc>[^<]*</desc>)?")


def in_both_schemes(svg: str, *, alone: bool = True) -> str:
    """Return a drawing that follows the colour scheme of the page it is shown on.

    Parameters
    ----------
    svg : str
        As core draws it, for paper.
    alone : bool
        Whether it is sent as a file of its own, which no style sheet of a page reaches; one that stands in a page
        takes the rules from ``drawn.css``.
    """
    style = f"<style>{_rules()}</style>" if alone else ""
    marked = svg.replace("<svg ", '<svg class="drawn" ', 1)
    # After title and description: they are what is heard, and stay first.
    begins = _HEARD.match(marked)
    at = 0 if begins is None else begins.end()
    return f"{marked[:at]}{_CUT_OUT}{style}{marked[at:]}" if at else svg


@cache
def _rules() -> str:
    """Return the rules without what is written for people."""
    return re.sub(r"\s+", " ", re.sub(r"/\*.*?\*/", "", RULES.read_text(encoding="utf-8"), flags=re.DOTALL)).strip()


@cache
def rules_key() -> str:
    """Return a key of what is added to a drawing; part of what browsers ask a newer one by."""
    return hashlib.sha256(f"{_rules()} {_CUT_OUT}".encode()).hexdigest()[:8]
