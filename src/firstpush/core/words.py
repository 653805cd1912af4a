"""Lists in words."""

from __future__ import annotations

from collections.abc import Iterable


def listed(words: Iterable[str], *, last: str = "and") -> str:
    """Return words as "a, b and c", and no word as no text.

    Parameters
    ----------
    words : iterable of str
    last : str
        What stands before the last of several: "and" or "or".

    Returns
    -------
    str

    Examples
    --------
    >>> listed(["pushing", "throwing", "reaching"])
    'pushing, throwing and reaching'
    >>> listed(["left", "right"], last="or")
    'left or right'
    """
    *before, end = list(words) or [""]
    return f"{', '.join(before)} {last} {end}" if before else end
