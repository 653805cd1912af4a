"""From a venue file to a `Venue`: units converted once, every fault told at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from firstpush.core.kit.venue import Post, Venue
from firstpush.core.toml_file import TomlFile, as_toml_file, parse_toml, read_toml
from firstpush.core.toml_reader import Allowed, Reader

CONTINUOUS_STEP = 0.05
"""Where a band can be tied at any height, heights are tried this far apart [m] (our choice: a hand's breadth less)."""

# Plausible ranges, our choice: wide enough for every hall and court, narrow enough to catch a slipped point or unit.
FLOOR = Allowed(low=2, high=150, unit="m")
HEIGHT = Allowed(low=0, high=4, unit="m")
STEP = Allowed(low=0.01, high=2, unit="m")
ROOM = Allowed(low=0.3, high=60, unit="m")
PLACES = Allowed(low=1, high=50, unit="athletes")
HELPERS = Allowed(low=0, high=50, unit="people")


def load_venue(path: str | Path) -> Venue:
    """Read the venue file at `path`.

    A post needs a name, its heights and the room in front of it; `places` left out counts as 1.

    Parameters
    ----------
    path : str or Path
        TOML file in UTF-8; every key that measures something carries its unit.

    Returns
    -------
    Venue
        Lengths in m; heights of each post rising.

    Raises
    ------
    InputFileError
        With every fault at once: values out of range, keys not known, keys missing, posts that cannot be.
    """
    return _read_venue(read_toml(path))


def venue_from(document: Mapping[str, Any], *, where: str) -> Venue:
    """Read a venue from a document that is parsed already, with the keys of the file.

    Parameters
    ----------
    document : mapping
        The structure of the file.
    where : str
        What faults name in place of a file.

    Returns
    -------
    Venue
        The same as `load_venue` gives for a file with this content.

    Raises
    ------
    InputFileError
        With every fault at once, as `load_venue` tells them; without lines.
    """
    return _read_venue(as_toml_file(document, where=where))


def venue_from_text(text: str, *, where: str) -> Venue:
    """Read a venue from the text of a file; `where` is the name that faults give, with their lines, as `load_venue`."""
    return _read_venue(parse_toml(text, name=where))


def _read_venue(file: TomlFile) -> Venue:
    top = Reader(file)
    length, width = top.number("floor_length_m", FLOOR), top.number("floor_width_m", FLOOR)
    tables = top.tables("posts")
    top.refuse_same_names(tables)
    venue = Venue(
        name=top.needed_text("name", write='Write name = "Harbour hall"'),
        sport=top.text("sport"),
        surface=top.text("surface"),
        floor_length=length,
        floor_width=width,
        helpers=top.integer("helpers", HELPERS),
        posts=tuple(_read_post(table, length=length, width=width) for table in tables),
    )
    top.finish()
    return venue


def _read_post(table: Reader, *, length: float | None, width: float | None) -> Post:
    room = table.needed_number("room_in_front_m", ROOM, write="Write room_in_front_m: the free floor before it")
    if length is not None and width is not None and room > math.hypot(length, width):
        table.fault(
            "room_in_front_m",
            wrong=f"{room:g} m is more than the floor of {length:g} × {width:g} m has",
            allowed=f"{ROOM.low:g} to {max(length, width):g} m",
            next_step="Correct it, or floor_length_m and floor_width_m",
        )
    return Post(
        name=table.needed_text("name", write='Write name = "wall bars"'),
        heights=_read_heights(table),
        room_in_front=room,
        places=table.integer("places", PLACES) or 1,
    )


def _read_heights(post: Reader) -> tuple[float, ...]:
    """Return the heights where a band can be tied [m], rising."""
    write = "Write heights_m = { from = 0.15, to = 2.30, step = 0.15 }, or without step, or [0.5, 1.0]"
    if post.is_list("heights_m"):
        heights = post.numbers("heights_m", HEIGHT) or []
        if not heights:
            post.fault(
                "heights_m", wrong="there is no height in it", allowed=f"one or more, each {HEIGHT}", next_step=write
            )
        return tuple(sorted(set(heights)))
    if not post.given("heights_m"):
        post.missing("heights_m", allowed="a range { from, to, step } or a list of heights", write=write)
    table = post.table("heights_m")
    if not post.is_table("heights_m"):
        return ()
    low = table.needed_number("from", HEIGHT, write=write)
    high = table.needed_number("to", HEIGHT, write=write)
    step = table.number("step", STEP)
    if math.isnan(low) or math.isnan(high):
        return ()
    if low > high:
        table.fault(
            "from",
            wrong=f"from {low:g} m is above to {high:g} m",
            allowed=f"{HEIGHT.low:g} to {high:g} m",
            next_step="Swap the two, or correct the one that is wrong",
        )
        return ()
    return heights_between(low=low, high=high, step=step)


def heights_between(*, low: float, high: float, step: float | None) -> tuple[float, ...]:
    """Return heights from `low` up by `step`, none above `high`; without a step also `high` itself [m].

    Examples
    --------
    >>> heights_between(low=0.15, high=0.70, step=0.15)
    (0.15, 0.3, 0.45, 0.6)
    >>> heights_between(low=0.10, high=0.22, step=None)
    (0.1, 0.15, 0.2, 0.22)
    """
    spacing = CONTINUOUS_STEP if step is None else step
    # The half millimetre keeps the last rung, which binary fractions would otherwise lose.
    count = math.floor((high - low + 0.0005) / spacing) + 1
    heights = [round(low + i * spacing, 4) for i in range(count)]
    if step is None and high - heights[-1] > 0.0005:
        heights.append(high)
    return tuple(heights)
