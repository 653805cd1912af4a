"""From the pulls of a hook scale to the pull of a band at any length: the band law.

T(λ) = n (c1 + c2/λ)(λ − λ⁻²), with λ the stretched over the slack length and n strands side by side.  c1 and c2 [N] are
fitted to the user's own pulls and never negative, so that a band never pushes and always pulls harder when longer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstpush.core.errors import OutOfRangeError
from firstpush.core.kit.kit import Band
from firstpush.core.measured import Measured
from firstpush.core.notices import Notice

LawSource = Literal["measured points", "one pull and the published shape", "no pull"]

USUAL_LIMIT_ELONGATION = Measured(
    name="elongation up to which a band is used when its own limit is not known",
    value=2.0,
    unit="1",
    spread=0.0,
    source="texts of sellers: three times the slack length, some only twice",
    known="common practice",
)
WRAPS = Measured(
    name="length of band used up by knot and wraps, for each hand",
    value=0.30,
    unit="m",
    spread=0.04,
    source="one turn round the hand and a knot at the anchor",
    known="our choice",
)
FORCE_SPREAD = Measured(
    name="relative spread of the pull of a measured band",
    value=0.08,
    unit="1",
    spread=0.03,
    source="hook scale and placing, and a loss of 5-12 % over some 500 stretches (Simoneau 2001)",
    known="our choice",
)
ONE_PULL_SPREAD = Measured(
    name="relative spread of the pull of a band known by one point",
    value=0.20,
    unit="1",
    spread=0.05,
    source="the published shape is a mean over bands, and one reading is not repeated",
    known="our choice",
)
USUAL_EXPONENT = (
    Measured(
        name="smallest exponent of force against elongation that a rubber band shows",
        value=0.5,
        unit="1",
        spread=0.0,
        source="the published shape gives 0.64-0.71; wider, for a hook scale",
        known="our choice",
    ),
    Measured(
        name="largest exponent of force against elongation that a rubber band shows",
        value=0.9,
        unit="1",
        spread=0.0,
        source="the published shape gives 0.64-0.71; wider, for a hook scale",
        known="our choice",
    ),
)
RANGE_FACTOR = Measured(
    name="half width of a printed range, in standard deviations",
    value=1.645,
    unit="1",
    spread=0.0,
    source="nine of ten values of a normal distribution",
    known="our choice",
)

PUBLISHED_SHAPE: tuple[tuple[float, Measured], ...] = tuple(
    (
        elongation,
        Measured(
            name=f"pull at {100 * elongation:g} % elongation over the pull at 100 %",
            value=ratio,
            unit="1",
            # Read at 200 % as 1.51-1.66 over the bands: half of that range, in proportion.
            spread=ratio * (1.66 - 1.51) / 2.0 / 1.57,
            source="means of Page 2000 and Simoneau 2001, each over the pull at double length",
            known="from memory",
        ),
    )
    for elongation, ratio in (
        (0.25, 0.38),
        (0.50, 0.64),
        (0.75, 0.84),
        (1.25, 1.14),
        (1.50, 1.29),
        (1.75, 1.42),
        (2.00, 1.57),
        (2.50, 1.88),
    )
)
"""How the pull of elastic bands grows with elongation, as a fraction of the pull at double length."""


@dataclass(frozen=True, kw_only=True)
class BandLaw:
    """The pull of one strand of a band at any stretch.

    Parameters
    ----------
    name : str
        The band's name.
    c1, c2 : float or None
        Constants of the law [N], never negative; None when nothing was pulled.
    fit_error : float or None
        Largest distance between a measured pull and the law, as a fraction of the largest pull; None below two points.
    fitted_range : tuple of float or None
        Smallest and largest elongation the law rests on, fractions of slack length; None when nothing was pulled.
    limit_elongation : float
        Largest elongation allowed, fraction of slack length.
    source : str
        "measured points", "one pull and the published shape" or "no pull".
    relative_spread : float or None
        One standard deviation of the pull as a fraction of it: fit, hook scale, fatigue; None when nothing was pulled.
    exponent : float or None
        Slope of log pull against log elongation over the measured points; None below two points.
    """

    name: str
    c1: float | None
    c2: float | None
    fit_error: float | None
    fitted_range: tuple[float, float] | None
    limit_elongation: float
    source: LawSource
    relative_spread: float | None
    exponent: float | None = None

    def tension(self, stretch: ArrayLike, strands: ArrayLike = 1) -> NDArray[np.float64]:
        """Return the pull of `strands` strands side by side [N].

        Parameters
        ----------
        stretch : array_like
            Length over slack length λ; up to 1 the band hangs slack and pulls nothing [1].
        strands : array_like of int, optional
            How many strands lie side by side, each with the same slack length [1].

        Returns
        -------
        numpy.ndarray
            Pull, of the shape that both arguments make together; never negative [N].

        Raises
        ------
        OutOfRangeError
            When nothing was pulled, a stretch is below 0 or not a number, or there is less than one strand.

        Holds for
        ---------
        Slow stretching inside `fitted_range` (`notices_for` tells); the pull on the way back is a few per cent lower.

        Source
        ------
        Mooney-Rivlin nominal stress in simple extension (from memory), with the cross-section inside c1 and c2.

        Examples
        --------
        >>> law = BandLaw(name="flat", c1=6.0, c2=8.0, fit_error=0.01, fitted_range=(0.25, 2.0),
        ...               limit_elongation=2.0, source="measured points", relative_spread=0.08)
        >>> law.tension([0.9, 1.0, 2.0, 3.0], strands=2).tolist()
        [0.0, 0.0, 35.0, 50.07]
        """
        c1, c2 = self._constants()
        length, number = _checked(stretch, strands)
        # Below its slack length the law would push; a slack band does nothing.
        taut = np.maximum(length, 1.0)
        inverse = 1.0 / taut
        return np.asarray(number * (c1 + c2 * inverse) * (taut - inverse * inverse), dtype=np.float64)

    def stored_energy(
        self, stretch: ArrayLike, *, slack_length: ArrayLike, strands: ArrayLike = 1
    ) -> NDArray[np.float64]:
        """Return the work done on the band from slack to `stretch`, the integral of the pull over the length [J].

        Parameters
        ----------
        stretch : array_like
            Length over slack length λ [1].
        slack_length : array_like
            Slack length of each strand [m].
        strands : array_like of int, optional
            How many strands lie side by side [1].

        Returns
        -------
        numpy.ndarray
            n·L0·(c1 (λ²/2 + 1/λ − 3/2) + c2 (λ + 1/(2λ²) − 3/2)); 0 up to λ = 1 [J].

        Raises
        ------
        OutOfRangeError
            As `tension`, and for a slack length that is not above 0.

        Examples
        --------
        >>> law = BandLaw(name="flat", c1=6.0, c2=8.0, fit_error=0.01, fitted_range=(0.25, 2.0),
        ...               limit_elongation=2.0, source="measured points", relative_spread=0.08)
        >>> float(law.stored_energy(2.0, slack_length=0.5))
        5.5
        """
        c1, c2 = self._constants()
        length, number = _checked(stretch, strands)
        slack = np.asarray(slack_length, dtype=np.float64)
        if not np.all(slack > 0.0):
            raise OutOfRangeError(
                f"a slack length of {np.min(slack):g} m is not a length; it must be above 0 m. "
                "Measure the band from the anchor to the hand, laid slack."
            )
        taut = np.maximum(length, 1.0)
        first = taut**2 / 2.0 + 1.0 / taut - 1.5
        second = taut + 1.0 / (2.0 * taut**2) - 1.5
        return np.asarray(number * slack * (c1 * first + c2 * second), dtype=np.float64)

    def notices_for(self, largest_elongation: float) -> tuple[Notice, ...]:
        """Return what must be told when the band is stretched up to `largest_elongation` (fraction of slack length)."""
        notices = []
        # A set-up made to end at a limit must not pass it by a rounding error.
        largest = round(float(largest_elongation), 6)
        percent = f"{100 * largest:.0f} %"
        if largest > self.limit_elongation:
            notices.append(
                self._notice(
                    "band-over-limit",
                    "stop",
                    f"it is stretched by {percent}, more than the {100 * self.limit_elongation:.0f} % it may be",
                    "Use a longer piece or a heavier band",
                )
            )
        elif largest > USUAL_LIMIT_ELONGATION.value:
            notices.append(
                self._notice(
                    "band-over-usual-limit",
                    "caution",
                    f"it is stretched by {percent}, more than three times its length in all",
                    "Check that the band's own instructions allow it",
                )
            )
        if self.fitted_range is None:
            notices.append(
                self._notice(
                    "no-pull-measured",
                    "note",
                    "its pull was never measured, so the set-up is given without newtons",
                    "Pull it once to double length with a hook scale",
                )
            )
        elif not self.fitted_range[0] <= largest <= self.fitted_range[1]:
            low, high = (f"{100 * end:.0f} %" for end in self.fitted_range)
            notices.append(
                self._notice(
                    "outside-measured-range",
                    "caution",
                    f"it is stretched by {percent}, but its pull is known from {low} to {high} only",
                    f"Pull it once at {percent} with a hook scale and add the point",
                )
            )
        if self.source == "one pull and the published shape":
            notices.append(
                self._notice(
                    "one-pull-only",
                    "note",
                    "one pull is known of it, the rest follows the shape of other bands",
                    "Pull it at 50 % and at its limit too",
                )
            )
        low_exponent, high_exponent = (end.value for end in USUAL_EXPONENT)
        if self.exponent is not None and not low_exponent <= self.exponent <= high_exponent:
            notices.append(
                self._notice(
                    "measure-band-again",
                    "note",
                    "its pulls grow with length as rubber does not",
                    "Pull it again; elongation is how much longer it got, so double length is 100 %",
                )
            )
        return tuple(notices)

    def _notice(self, notice_id: str, level: Literal["note", "caution", "stop"], what: str, do: str) -> Notice:
        return Notice(id=notice_id, level=level, what=what, do=do, about=self.name)

    def _constants(self) -> tuple[float, float]:
        if self.c1 is None or self.c2 is None:
            raise OutOfRangeError(
                f"the pull of the band {self.name!r} was never measured, so it has no force in newtons; at least one "
                "pull is needed. Pull it once to double length with a hook scale and write "
                "pulls = [ { elongation_percent = 100, force_n = ... } ]."
            )
        return self.c1, self.c2


def _checked(stretch: ArrayLike, strands: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    length = np.asarray(stretch, dtype=np.float64)
    number = np.asarray(strands, dtype=np.float64)
    if not np.all(length >= 0.0):
        raise OutOfRangeError(
            f"a stretch of {np.min(length):g} is not a length over a slack length; it must be 0 or more. "
            "Check the distance and the slack length."
        )
    if not np.all(number >= 1.0):
        raise OutOfRangeError(
            f"{np.min(number):g} strands cannot pull; there must be 1 or more. Say how often the band is folded."
        )
    return length, number


def fit_band(band: Band) -> BandLaw:
    """Fit the band law to the pulls of `band`, each taken as the pull of one strand.

    Two points or more at different elongations are fitted by least squares with c1, c2 ≥ 0.  With pulls at one
    elongation only, the published shape is scaled to their mean; with none, the law has no newtons.

    Parameters
    ----------
    band : Band
        The band with its pulls.

    Returns
    -------
    BandLaw
        The law, with its error, range and spread.

    Holds for
    ---------
    Bands and tubes of rubber or a rubber-like material, pulled slowly.

    Examples
    --------
    >>> from firstpush.core.kit.kit import Pull
    >>> pulls = tuple(Pull(elongation=e, force=f) for e, f in [(0.25, 7.0), (0.5, 11.4), (1.0, 17.6), (2.0, 27.7)])
    >>> law = fit_band(Band(name="flat", material="latex-free", length=2.0, count=1, limit_elongation=2.0, pulls=pulls))
    >>> describe_pull(law)
    '15-20 N at double length'
    """
    elongations = np.array([pull.elongation for pull in band.pulls])
    forces = np.array([pull.force for pull in band.pulls])
    distinct = np.unique(elongations).size
    if distinct == 0:
        return BandLaw(
            name=band.name,
            c1=None,
            c2=None,
            fit_error=None,
            fitted_range=None,
            limit_elongation=band.limit_elongation,
            source="no pull",
            relative_spread=None,
        )
    if distinct == 1:
        shape = _published_constants()
        scale = float(forces.mean() / (_terms(1.0 + elongations[:1]) @ shape)[0])
        return BandLaw(
            name=band.name,
            c1=float(scale * shape[0]),
            c2=float(scale * shape[1]),
            fit_error=None,
            fitted_range=(PUBLISHED_SHAPE[0][0], PUBLISHED_SHAPE[-1][0]),
            limit_elongation=band.limit_elongation,
            source="one pull and the published shape",
            relative_spread=ONE_PULL_SPREAD.value,
        )
    constants = _fit(elongations, forces)
    fit_error = float(np.abs(_terms(1.0 + elongations) @ constants - forces).max() / forces.max())
    return BandLaw(
        name=band.name,
        c1=float(constants[0]),
        c2=float(constants[1]),
        fit_error=fit_error,
        fitted_range=(float(elongations.min()), float(elongations.max())),
        limit_elongation=band.limit_elongation,
        source="measured points",
        relative_spread=math.hypot(fit_error, FORCE_SPREAD.value),
        exponent=float(np.polyfit(np.log(elongations), np.log(forces), 1)[0]),
    )


def _terms(stretch: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what c1 and c2 are multiplied by, one row for each stretch."""
    first = stretch - stretch**-2
    return np.column_stack([first, first / stretch])


def _fit(elongations: NDArray[np.float64], forces: NDArray[np.float64]) -> NDArray[np.float64]:
    from scipy.optimize import nnls

    constants, _ = nnls(_terms(1.0 + elongations), forces)
    return np.asarray(constants, dtype=np.float64)


@cache
def _published_constants() -> NDArray[np.float64]:
    """Return c1 and c2 of the published shape, over the pull at double length."""
    return _fit(
        np.array([elongation for elongation, _ in PUBLISHED_SHAPE]),
        np.array([ratio.value for _, ratio in PUBLISHED_SHAPE]),
    )


def slack_needed(*, slack_length: float, strands: int, hands: int, wraps: Measured = WRAPS) -> float:
    """Return the length of material that a set-up uses up [m].

    A band folded once gives 2 strands, each of half its length: the pull doubles at the same elongation, and the same
    hand path stretches it twice as much.  Each hand that holds a run of its own needs all its strands.

    Parameters
    ----------
    slack_length : float
        Slack length from the anchor to the hand, the same for each strand [m].
    strands : int
        Strands side by side to each hand [1].
    hands : int
        Hands with a run of band of their own: 1 for one hand or joined hands, 2 for a band round a post with an end in
        each hand [1].
    wraps : Measured, optional
        What knot and wraps use up at each hand [m].

    Returns
    -------
    float
        hands × (strands × slack length + wraps) [m].

    Examples
    --------
    >>> slack_needed(slack_length=0.80, strands=2, hands=1)
    1.9
    """
    if not (slack_length > 0.0 and strands >= 1 and hands >= 1):
        raise OutOfRangeError(
            f"{hands} hands with {strands} strands of {slack_length:g} m cannot be laid; each must be above 0. "
            "Give whole numbers of hands and strands, and a slack length in metres."
        )
    return hands * (strands * slack_length + wraps.value)


def describe_pull(law: BandLaw) -> str:
    """Return the pull of one strand at double length as a range, or at the band's limit where that is less.

    The range holds nine of ten pulls, rounded to whole newtons, and to 5, 10 or 50 N where it is wider than that.

    Examples
    --------
    >>> law = BandLaw(name="flat", c1=9.43, c2=12.57, fit_error=0.01, fitted_range=(0.25, 2.0),
    ...               limit_elongation=2.0, source="measured points", relative_spread=0.08)
    >>> describe_pull(law)
    '24-31 N at double length'
    """
    if law.relative_spread is None:
        return "pull not measured"
    elongation = min(1.0, law.limit_elongation)
    where = "double length" if elongation == 1.0 else f"{100 * elongation:.0f} % longer"
    pull = float(law.tension(1.0 + elongation))
    half_width = pull * law.relative_spread * RANGE_FACTOR.value
    step = next((step for step in (50, 10, 5) if 2.0 * half_width >= 5 * step), 1)
    low, high = (step * round((pull + sign * half_width) / step) for sign in (-1, 1))
    if high == 0:
        return f"under 1 N at {where}"
    return f"about {low} N at {where}" if low == high else f"{low}-{high} N at {where}"
