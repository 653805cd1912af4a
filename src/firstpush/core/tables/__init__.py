"""Published and chosen numbers: NAME.csv, with NAME.source.toml saying where they come from.

`read_table` is the only way to them; a table without its source file is refused.
"""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from firstpush.core.errors import FirstpushError, UnknownNameError
from firstpush.core.measured import Known


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of a table, by the value of its first column, with its source.

    Parameters
    ----------
    rows : dict of str to dict of str to str
        Cells as written in the file; `number` converts one.
    title, source, note : str
        What it is, where it comes from, what to mind.
    known : str
        As in `firstpush.core.measured.Measured`.
    """

    name: str
    title: str
    source: str
    known: Known
    note: str
    rows: dict[str, dict[str, str]]

    def number(self, row: str, column: str) -> float:
        """Return one cell as a number; UnknownNameError names the rows that exist."""
        if row not in self.rows:
            raise UnknownNameError(kind=f"row in table {self.name}", given=row, known=self.rows)
        return float(self.rows[row][column])


@cache
def read_table(name: str) -> Table:
    """Return the table `name` that ships with the package.

    Parameters
    ----------
    name : str
        File name without its ending.

    Returns
    -------
    Table

    Raises
    ------
    FirstpushError
        When there is no such table, or no source file beside it.
    """
    folder = files(__package__)
    data, source = folder / f"{name}.csv", folder / f"{name}.source.toml"
    if not (data.is_file() and source.is_file()):
        raise FirstpushError(f"table {name!r} needs both {name}.csv and {name}.source.toml; add what is missing")
    about = tomllib.loads(source.read_text(encoding="utf-8"))
    lines = csv.DictReader(data.read_text(encoding="utf-8").splitlines())
    first = (lines.fieldnames or [""])[0]
    return Table(
        name=name,
        title=about["title"],
        source=about["source"],
        known=about["known"],
        note=about.get("note", ""),
        rows={row[first]: row for row in lines},
    )
