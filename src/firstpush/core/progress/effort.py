"""Perceived exertion on the 6-20 scale: what a number is called."""

from __future__ import annotations

from firstpush.core.errors import OutOfRangeError
from firstpush.core.tables import read_table


def effort_zone(effort_6_20: int) -> str:
    """Return the zone that an effort on the 6-20 scale lies in.

    Parameters
    ----------
    effort_6_20 : int
        Perceived exertion, a whole number from 6 (none) to 20 (maximal) [1].

    Returns
    -------
    str
        "very light", "light", "moderate", "vigorous" or "near-maximal to maximal".

    Raises
    ------
    OutOfRangeError
        For anything but a whole number from 6 to 20: a number of the 0-10 scale is never converted.

    Holds for
    ---------
    The edition of 2011; an older one draws the zones otherwise (see the note of the table).
    With tetraplegia a zone stands for another intensity than without.

    Source
    ------
    Table ``effort_zones``: Garber 2011.

    Examples
    --------
    >>> [effort_zone(number) for number in (11, 12, 17)]
    ['light', 'moderate', 'vigorous']
    """
    whole = isinstance(effort_6_20, int) and not isinstance(effort_6_20, bool)
    table = read_table("effort_zones")
    if whole:
        for zone in table.rows:
            if table.number(zone, "lowest") <= effort_6_20 <= table.number(zone, "highest"):
                return zone
    raise OutOfRangeError(
        f"{effort_6_20} is not a number of the 6-20 scale; allowed are the whole numbers 6 to 20. "
        "Ask again with the 6-20 scale in view; the 0-10 scale is another one and is not converted."
    )
