"""From a kit file to a `Kit`: units converted once, every fault told at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal

from firstpush.core.kit.bands import USUAL_LIMIT_ELONGATION
from firstpush.core.kit.kit import Ball, Band, Cuff, Kit, Material, Pull
from firstpush.core.toml_file import TomlFile, as_toml_file, parse_toml, read_toml
from firstpush.core.toml_reader import Allowed, Reader

Attach = Literal["wrist_cuff", "forearm_cuff", "upper_arm_cuff"]
MATERIALS: tuple[Material, ...] = ("latex", "latex-free")
ATTACHMENTS: tuple[Attach, ...] = ("wrist_cuff", "forearm_cuff", "upper_arm_cuff")

# Plausible ranges, our choice: wide enough for every cupboard, narrow enough to catch a slipped point or unit.
BAND_LENGTH = Allowed(low=0.15, high=50, unit="m")
LIMIT = Allowed(low=30, high=700, unit="%")
ELONGATION = Allowed(low=5, high=700, unit="%")
FORCE = Allowed(low=0.2, high=1000, unit="N")
BALL_MASS = Allowed(low=0.02, high=15, unit="kg")
BALL_DIAMETER = Allowed(low=0.03, high=1.2, unit="m")
CHOCK_HEIGHT = Allowed(low=0.02, high=0.30, unit="m")
COUNT = Allowed(low=1, high=500, unit="pieces")
COUNT_OR_NONE = Allowed(low=0, high=500, unit="pieces")


def load_kit(path: str | Path) -> Kit:
    """Read the kit file at `path`.

    A band needs a name and its length.  What is left out: `material` counts as latex, `count` as 1,
    `limit_elongation_percent` as 200; a band without pulls is allowed and is then used without newtons.

    Parameters
    ----------
    path : str or Path
        TOML file in UTF-8; every key that measures something carries its unit.

    Returns
    -------
    Kit
        Lengths in m, masses in kg, forces in N, elongation as a fraction of slack length.

    Raises
    ------
    InputFileError
        With every fault at once: values out of range, words and keys not known, keys missing, pulls that cannot be.
    """
    return _read_kit(read_toml(path))


def kit_from(document: Mapping[str, Any], *, where: str) -> Kit:
    """Read a kit from a document that is parsed already, with the keys of the file.

    Parameters
    ----------
    document : mapping
        The structure of the file.
    where : str
        What faults name in place of a file.

    Returns
    -------
    Kit
        The same as `load_kit` gives for a file with this content.

    Raises
    ------
    InputFileError
        With every fault at once, as `load_kit` tells them; without lines.
    """
    return _read_kit(as_toml_file(document, where=where))


def kit_from_text(text: str, *, where: str) -> Kit:
    """Read a kit from the text of a file; `where` is the name that faults give, with their lines, as `load_kit`."""
    return _read_kit(parse_toml(text, name=where))


def _read_kit(file: TomlFile) -> Kit:
    top = Reader(file)
    bands, balls, cuffs = top.tables("bands"), top.tables("balls"), top.tables("cuffs")
    for tables in (bands, balls, cuffs):
        top.refuse_same_names(tables)
    straps = top.table("straps")
    blocking = top.table("blocking")
    chocks = blocking.integer("chocks", COUNT_OR_NONE)
    chock_height = blocking.number("chock_height_m", CHOCK_HEIGHT)
    if chocks and not blocking.given("chock_height_m"):
        blocking.missing(
            "chock_height_m", allowed=str(CHOCK_HEIGHT), write="Write chock_height_m, from the floor to the top"
        )
    if chocks is None and chock_height is not None:
        blocking.missing("chocks", allowed=str(COUNT_OR_NONE), write="Write chocks = 4, or how many there are")
    kit = Kit(
        name=top.needed_text("name", write='Write name = "Hall cupboard"'),
        bands=tuple(_read_band(table) for table in bands),
        balls=tuple(_read_ball(table) for table in balls),
        cuffs=tuple(_read_cuff(table) for table in cuffs),
        cones=top.table("cones").integer("count", COUNT_OR_NONE) or 0,
        door_anchors=top.integer("door_anchors", COUNT_OR_NONE) or 0,
        chest_straps=straps.integer("chest", COUNT_OR_NONE) or 0,
        waist_straps=straps.integer("waist", COUNT_OR_NONE) or 0,
        chocks=chocks or 0,
        chock_height=chock_height if chocks else None,
    )
    top.finish()
    return kit


def _read_band(table: Reader) -> Band:
    limit = table.number("limit_elongation_percent", LIMIT)
    limit_elongation = USUAL_LIMIT_ELONGATION.value if limit is None else limit / 100.0
    return Band(
        name=table.needed_text("name", write='Write name = "flat 10", or what is written on it'),
        material=table.one_of("material", MATERIALS, also="unknown") or "latex",
        length=table.needed_number("length_m", BAND_LENGTH, write="Write length_m: the whole band, laid slack"),
        count=table.integer("count", COUNT) or 1,
        limit_elongation=limit_elongation,
        pulls=_read_pulls(table, limit_elongation),
    )


def _read_pulls(band: Reader, limit_elongation: float) -> tuple[Pull, ...]:
    """Return the pulls by rising elongation; those that cannot be are faults of the reader."""
    read: list[tuple[Pull, Reader]] = []
    for table in band.tables_or_none("pulls", word="none") or []:
        elongation = table.needed_number(
            "elongation_percent", ELONGATION, write="Write elongation_percent: 100 is double length"
        )
        force = table.needed_number("force_n", FORCE, write="Write force_n: the hook scale in newtons (kg × 9.81)")
        if not (math.isnan(elongation) or math.isnan(force)):
            read.append((Pull(elongation=elongation / 100.0, force=force), table))
    read.sort(key=lambda each: (each[0].elongation, each[0].force))
    for pull, table in read:
        if pull.elongation > limit_elongation * (1.0 + 1e-9):
            table.fault(
                "elongation_percent",
                wrong=f"pulled to {100 * pull.elongation:g} %, beyond the band's limit of {100 * limit_elongation:g} %",
                allowed=f"{ELONGATION.low:g} to {100 * limit_elongation:g} %",
                next_step="Correct the pull (double length is 100 %, three times its length is 200 %), or raise"
                " limit_elongation_percent if the band's own instructions allow it",
            )
    for (shorter, _), (longer, table) in pairwise(read):
        if longer.elongation > shorter.elongation and longer.force < shorter.force:
            table.fault(
                "force_n",
                wrong=f"{longer.force:g} N at {100 * longer.elongation:g} % is less than {shorter.force:g} N"
                f" at {100 * shorter.elongation:g} %: a band pulls harder the longer it gets",
                allowed=f"{shorter.force:g} N or more",
                next_step="Pull this point again and check the order of the numbers",
            )
    return tuple(pull for pull, _ in read)


def _read_ball(table: Reader) -> Ball:
    return Ball(
        name=table.needed_text("name", write='Write name = "small ball"'),
        mass=table.needed_number("mass_kg", BALL_MASS, write="Write mass_kg, from a kitchen scale"),
        diameter=table.needed_number("diameter_m", BALL_DIAMETER, write="Write diameter_m"),
        bounces=table.boolean("bounces"),
        material=table.one_of("material", MATERIALS, also="unknown") or "latex",
    )


def _read_cuff(table: Reader) -> Cuff:
    return Cuff(
        name=table.needed_text("name", write='Write name = "wrist cuff"'),
        attach=table.needed_one_of("attach", ATTACHMENTS, write='Write attach = "wrist_cuff"'),
        count=table.integer("count", COUNT) or 1,
        material=table.one_of("material", MATERIALS, also="unknown") or "latex",
    )
