"""Printing: tables for people, JSON for machines, remarks to stderr."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import click


def print_json(document: Any) -> None:
    """Print `document` as JSON."""
    click.echo(json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False))


def print_table(rows: Sequence[Sequence[str]], *, heading: Sequence[str]) -> None:
    """Print rows under a heading, columns as wide as they need to be."""
    widths = [max(len(row[i]) for row in (heading, *rows)) for i in range(len(heading))]
    rule = "─" * (sum(widths) + 2 * (len(widths) - 1))
    click.echo(rule)
    for row in (heading, *rows):
        click.echo("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
        if row is heading:
            click.echo(rule)
    click.echo(rule)


def remark(words: str) -> None:
    """Print a remark to stderr."""
    click.echo(words, err=True)
