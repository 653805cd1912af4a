"""`firstpush band`: what the bands in the cupboard pull."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from firstpush.cli.options import FILE, as_json
from firstpush.cli.output import print_json, print_table


@click.command()
@click.option("--kit", required=True, type=FILE, help="TOML file of the cupboard.")
@as_json
def band(kit: Path, json_: bool) -> None:
    """Fit the pull of every band in a cupboard.

    Example: firstpush band --kit kit.toml
    """
    from firstpush.core.kit.bands import describe_pull, fit_band
    from firstpush.core.kit.kit_file import load_kit

    cupboard = load_kit(kit)
    laws = [fit_band(each) for each in cupboard.bands]
    if json_:
        pairs = zip(cupboard.bands, laws, strict=True)
        print_json({"kit": cupboard.name, "bands": [_document(each, law) for each, law in pairs]})
        return
    rows = []
    for each, law in zip(cupboard.bands, laws, strict=True):
        error = "–" if law.fit_error is None else f"{100 * law.fit_error:.1f} %"
        limit = f"{100 * law.limit_elongation:.0f} %"
        rows.append(
            (each.name, each.material, f"{each.count}", f"{each.length:.2f} m", describe_pull(law), limit, error)
        )
    heading = ("band", "material", "count", "length", "pull of one strand", "limit", "fit error")
    print_table(rows, heading=heading)


def _document(band: Any, law: Any) -> dict[str, Any]:
    points = []
    for pull in band.pulls:
        fitted = None if law.c1 is None else float(law.tension(1 + pull.elongation))
        points.append({"elongation_percent": 100 * pull.elongation, "measured_n": pull.force, "fitted_n": fitted})
    return {
        "name": band.name,
        "material": band.material,
        "count": band.count,
        "length_m": band.length,
        "limit_elongation_percent": 100 * band.limit_elongation,
        "c1_n": law.c1,
        "c2_n": law.c2,
        "fit_error_percent": None if law.fit_error is None else 100 * law.fit_error,
        "spread_percent": None if law.relative_spread is None else 100 * law.relative_spread,
        "source": law.source,
        "points": points,
    }
