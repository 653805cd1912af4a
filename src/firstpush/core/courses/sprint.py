"""A sprint: maximal speed and time constant fitted to splits, with ranges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.optimize import least_squares

from firstpush.core.courses.course import Array
from firstpush.core.courses.lanes import time_to
from firstpush.core.courses.limits import FASTEST, MAXIMAL_SPEED, TIME_CONSTANT, Limits
from firstpush.core.errors import OutOfRangeError, UnknownNameError
from firstpush.core.measured import Known, Measured

TimedBy = Literal["gates", "stopwatch"]
RANGE = 1.645
"""A range holds 90 %: this many standard deviations to each side."""

GATE_ERROR = Measured(
    name="error of a split by light gates",
    value=0.0,
    unit="s",
    spread=0.03,
    source="arms before the gate, speed within a push",
    known="our choice",
)
HAND_ERROR = Measured(
    name="error of each split by stopwatch", value=0.0, unit="s", spread=0.10, source="reaction", known="our choice"
)
HAND_START_ERROR = Measured(
    name="error of the start by stopwatch, common to all splits",
    value=0.0,
    unit="s",
    spread=0.10,
    source="reaction",
    known="our choice",
)
PRIOR_SPREAD = (0.25, 0.45)
"""Relative spread of maximal speed and time constant between athletes, where splits do not decide (our choice)."""


@dataclass(frozen=True, kw_only=True)
class Ranged:
    """A positive number with its relative spread: `low` to `high` holds 90 %, on the scale of ratios."""

    value: float
    spread: float
    unit: str
    known: Known
    source: str

    @property
    def low(self) -> float:
        """Lower end of the range."""
        return self.value * math.exp(-RANGE * self.spread)

    @property
    def high(self) -> float:
        """Upper end of the range."""
        return self.value * math.exp(RANGE * self.spread)

    def aside(self, spreads: float) -> float:
        """Return the value some standard deviations above it, or below for a negative number."""
        return self.value * math.exp(spreads * self.spread)


@dataclass(frozen=True, kw_only=True)
class Split:
    """Time at which a distance from the start line was reached [m, s]."""

    distance: float
    time: float


@dataclass(frozen=True, kw_only=True)
class SprintFit:
    """Maximal speed [m/s] and time constant [s] from splits, with ranges.

    `misses` is by how much each split is later than the fit [s]; `with_prior` whether athletes in general had a say.
    """

    maximal_speed: Ranged
    time_constant: Ranged
    splits: tuple[Split, ...]
    misses: tuple[float, ...]
    start_offset: float
    timed_by: TimedBy
    with_prior: bool


def splits_from_text(text: str) -> tuple[Split, ...]:
    """Return splits written as distance in m and time in s: "5:2.12,10:3.32,20:5.65".

    Raises
    ------
    OutOfRangeError
        Where a part is no such pair.

    Examples
    --------
    >>> splits_from_text("5:2.12, 10:3.32")[1]
    Split(distance=10.0, time=3.32)
    """
    found = []
    for part in text.split(","):
        try:
            distance, time = (float(each) for each in part.split(":"))
        except ValueError:
            raise OutOfRangeError(
                f"{part.strip()!r} is no split; allowed is metres, a colon and seconds, for example 5:2.12; write them"
                " so, with commas between."
            ) from None
        found.append(Split(distance=distance, time=time))
    return tuple(found)


def fit_sprint(splits: Sequence[Split], *, start_offset: float = 0.0, timed_by: TimedBy = "gates") -> SprintFit:
    """Return maximal speed v and time constant τ of x = v (t − τ (1 − e^(−t/τ))), fitted to times.

    Parameters
    ----------
    splits : sequence of Split
        From one standing start; distances from the start line.
    start_offset : float
        How far behind the start line, where the clock starts, the chair stood [m].  Left out, it makes the athlete
        start far too well: 0.5 m takes τ from 1.2 s to 0.6 s.
    timed_by : str
        "gates", or "stopwatch": then what is known of athletes in general holds the fit.

    Returns
    -------
    SprintFit

    Raises
    ------
    OutOfRangeError
        For splits that cannot be, or a fit no court athlete reaches.

    Notes
    -----
    Logarithms of v and τ are fitted by least squares with the covariance of the times; ranges from the curvature at the
    optimum.  One split alone, or a stopwatch, brings in the spread between athletes (`PRIOR_SPREAD`).
    """
    if timed_by not in ("gates", "stopwatch"):
        raise UnknownNameError(kind="way of timing", given=timed_by, known=("gates", "stopwatch"))
    splits = tuple(sorted(splits, key=lambda each: each.distance))
    _refuse_splits(splits, start_offset)
    distances = np.array([each.distance for each in splits]) + start_offset
    times = np.array([each.time for each in splits])
    by_hand = timed_by == "stopwatch"
    each_error = HAND_ERROR.spread if by_hand else GATE_ERROR.spread
    covariance = each_error**2 * np.eye(len(splits)) + (HAND_START_ERROR.spread**2 if by_hand else 0.0)
    whiten = np.linalg.inv(np.linalg.cholesky(covariance))
    with_prior = by_hand or len(splits) < 2
    expected = np.log([MAXIMAL_SPEED.value, TIME_CONSTANT.value])
    spread = np.array(PRIOR_SPREAD)

    def missing(logs: Array) -> Array:
        miss = whiten @ (_clock(distances, start_offset, logs) - times)
        return np.concatenate([miss, (logs - expected) / spread]) if with_prior else np.asarray(miss)

    found = least_squares(
        missing, expected, bounds=(np.log([0.1, 0.02]), np.log([30.0, 30.0])), xtol=1e-12, ftol=1e-12, gtol=1e-12
    )
    logs = found.x
    _refuse_fit(math.exp(logs[0]), math.exp(logs[1]))
    slopes: Array = np.asarray(found.jac)
    curvature = np.linalg.inv(slopes.T @ slopes)
    freedom = len(found.fun) - 2
    worse = max(1.0, float(found.fun @ found.fun) / freedom) if freedom > 0 else 1.0
    spreads = np.sqrt(np.diag(curvature) * worse)
    source = f"{len(splits)} splits by {timed_by}"
    return SprintFit(
        maximal_speed=_fitted(logs[0], spreads[0], "m/s", source),
        time_constant=_fitted(logs[1], spreads[1], "s", source),
        splits=splits,
        misses=tuple(float(each) for each in times - _clock(distances, start_offset, logs)),
        start_offset=start_offset,
        timed_by=timed_by,
        with_prior=with_prior,
    )


def _fitted(log: float, spread: float, unit: str, source: str) -> Ranged:
    return Ranged(value=math.exp(log), spread=float(spread), unit=unit, known="measured", source=source)


def _clock(distances: Array, start_offset: float, logs: Array) -> Array:
    """Return what the clock shows at distances from where the chair stood: it starts when the start line is passed."""
    # The search may ask for speeds that `Limits` refuses: in units of speed and time constant all sprints are one.
    speed, constant = np.exp(logs)
    unit = Limits(maximal_speed=1.0, time_constant=1.0)
    scaled = np.append(distances, start_offset) / (speed * constant)
    times = constant * time_to(scaled, unit)
    return np.asarray(times[:-1] - times[-1])


def _refuse_splits(splits: Sequence[Split], start_offset: float) -> None:
    if not splits:
        raise OutOfRangeError("there is no split; allowed is one or more, for example 5 m in 2.12 s; time a sprint.")
    if not 0.0 <= start_offset <= 3.0:
        raise OutOfRangeError(
            f"a start {start_offset:g} m behind the line cannot be used; allowed is 0 m to 3 m; measure it again."
        )
    before = Split(distance=0.0, time=0.0)
    for each in splits:
        if not (each.distance > before.distance and each.time > before.time):
            raise OutOfRangeError(
                f"{each.distance:g} m in {each.time:g} s after {before.distance:g} m in {before.time:g} s cannot be;"
                " distances and times both rise; check for two figures exchanged."
            )
        mean = (each.distance - before.distance) / (each.time - before.time)
        if mean > FASTEST:
            raise OutOfRangeError(
                f"from {before.distance:g} m to {each.distance:g} m makes {mean:.1f} m/s; allowed is up to"
                f" {FASTEST:g} m/s in a court chair; check distance and time."
            )
        if each.distance > 100.0:
            raise OutOfRangeError(
                f"a split at {each.distance:g} m cannot be used; allowed is up to 100 m; check the unit."
            )
        before = each


def _refuse_fit(speed: float, constant: float) -> None:
    if not 0.3 <= speed <= FASTEST or not 0.05 <= constant <= 6.0:
        raise OutOfRangeError(
            f"these splits would make a maximal speed of {speed:.1f} m/s with a time constant of {constant:.2f} s;"
            f" allowed are 0.3 to {FASTEST:g} m/s and 0.05 to 6 s; check the splits and how far behind the line the"
            " chair stood, or add a split at 20 m."
        )
