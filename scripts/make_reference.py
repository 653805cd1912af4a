"""Write the pages of docs/reference that are made from the code: commands and tables.

python scripts/make_reference.py            writes them
python scripts/make_reference.py --check    writes nothing; exit code 1 when one is stale
"""

from __future__ import annotations

import sys
from importlib.resources import files
from pathlib import Path

import click

from firstpush.cli import commands
from firstpush.core.tables import Table, read_table

REFERENCE = Path(__file__).resolve().parent.parent / "docs" / "reference"
WIDTH = 100
"""Columns of a help text: fixed, so that the page does not depend on who writes it."""


def pages() -> dict[str, str]:
    """Return every generated page by its file name."""
    return {"commands.md": commands_page(), "tables.md": tables_page()}


def commands_page() -> str:
    """Return the page of all commands: what `--help` prints."""
    lines = [
        "# Commands",
        "",
        "Made from `--help` by `scripts/make_reference.py`; change the command, not this page.",
        "",
        "Results go to the standard output, remarks and faults to the standard error.",
        "Exit code 0: done.",
        "1: the work failed, or no session is possible.",
        "2: the request is wrong; the message says what is allowed and what to do next.",
        "",
        "## firstpush",
        "",
        *_help([]),
    ]
    for name in sorted(commands.commands):
        lines += ["", f"## firstpush {name}", "", *_help([name])]
    return "\n".join(lines) + "\n"


def _help(names: list[str]) -> list[str]:
    command: click.Command = commands
    context = click.Context(commands, info_name="firstpush", terminal_width=WIDTH, **commands.context_settings)
    for name in names:
        command = commands.commands[name]
        context = click.Context(
            command, info_name=name, parent=context, terminal_width=WIDTH, **command.context_settings
        )
    return ["```text", *command.get_help(context).splitlines(), "```"]


def tables_page() -> str:
    """Return the page of all tables of numbers with their sources."""
    lines = [
        "# Tables",
        "",
        "Made from `src/firstpush/core/tables` by `scripts/make_reference.py`; change the table, not this page.",
        "",
        "How a number is known: *read* (in the source named), *from memory*, *common practice*, or *our choice*.",
        "The last three are shown as such wherever the number is explained.",
    ]
    folder = files("firstpush.core.tables")
    names = sorted(entry.name.removesuffix(".csv") for entry in folder.iterdir() if entry.name.endswith(".csv"))
    for name in names:
        lines += ["", *_table(read_table(name))]
    return "\n".join(lines) + "\n"


def _table(table: Table) -> list[str]:
    columns = list(next(iter(table.rows.values())))
    lines = [f"## {table.name}", "", f"{table.title}.", "", f"- Source: {table.source}.", f"- Known: *{table.known}*."]
    if table.note:
        lines.append(f"- Note: {table.note}")
    lines += ["", f"| {' | '.join(each.replace('_', ' ') for each in columns)} |", "|" + " --- |" * len(columns)]
    lines += [f"| {' | '.join(row[column] for column in columns)} |" for row in table.rows.values()]
    return lines


def main() -> int:
    """Write the pages, or tell which are stale."""
    check = "--check" in sys.argv[1:]
    stale = []
    for name, text in pages().items():
        path = REFERENCE / name
        if check and (not path.is_file() or path.read_text(encoding="utf-8") != text):
            stale.append(name)
        elif not check:
            path.write_text(text, encoding="utf-8")
    for name in stale:
        print(f"docs/reference/{name} is stale; run python scripts/make_reference.py", file=sys.stderr)
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
