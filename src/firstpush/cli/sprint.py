"""`firstpush sprint`: maximal speed and time constant from the splits of one sprint."""

from __future__ import annotations

import click

from firstpush.cli.options import as_json
from firstpush.cli.output import print_json, print_table


@click.command()
@click.option("--splits", required=True, help='Metres and seconds from the start line: "5:2.12,10:3.32,20:5.65".')
@click.option(
    "--start-offset-m",
    type=click.FloatRange(min=0, max=3),
    default=0.0,
    show_default=True,
    help="How far behind the start line the chair stood.",
)
@click.option("--stopwatch", is_flag=True, help="Timed by hand and not by light gates: wider ranges.")
@as_json
def sprint(splits: str, start_offset_m: float, stopwatch: bool, json_: bool) -> None:
    """Find how fast an athlete is from the splits of a sprint.

    Ranges hold nine of ten.  The start offset has to be told: half a metre left out halves the time constant.

    Example: firstpush sprint --splits "5:2.12,10:3.32,20:5.65"
    """
    from firstpush.core.courses import fit_sprint, splits_from_text

    fit = fit_sprint(
        splits_from_text(splits), start_offset=start_offset_m, timed_by="stopwatch" if stopwatch else "gates"
    )
    speed, constant = fit.maximal_speed, fit.time_constant
    if json_:
        print_json(
            {
                "vmax_m_s": round(speed.value, 4),
                "vmax_low_m_s": round(speed.low, 4),
                "vmax_high_m_s": round(speed.high, 4),
                "tau_s": round(constant.value, 4),
                "tau_low_s": round(constant.low, 4),
                "tau_high_s": round(constant.high, 4),
                "start_offset_m": fit.start_offset,
                "timed_by": fit.timed_by,
                "with_athletes_in_general": fit.with_prior,
                "splits": [
                    {"distance_m": split.distance, "time_s": split.time, "later_than_fit_s": round(miss, 3)}
                    for split, miss in zip(fit.splits, fit.misses, strict=True)
                ],
            }
        )
        return
    rows = [
        ("maximal speed", f"{speed.value:.2f} m/s", f"{speed.low:.2f}-{speed.high:.2f} m/s"),
        ("time constant", f"{constant.value:.2f} s", f"{constant.low:.2f}-{constant.high:.2f} s"),
        ("push from standstill", f"{speed.value / constant.value:.1f} m/s²", ""),
    ]
    print_table(rows, heading=("what", "value", "nine of ten"))
    if fit.with_prior:
        click.echo("These splits alone do not decide it: what is known of athletes in general has a say.")
    if not fit.start_offset:
        click.echo("Start offset 0 m: measure how far behind the line the chair stood, and give it.")
