"""Mooney-Rivlin stress in simple extension: 2 (λ − λ⁻²)(C1 + C2/λ), formula from memory.

The values for C1 = 0.16 MPa and C2 = 0.02 MPa were worked out apart from this code, to four decimals: hence 1e-4 MPa.
"""

import pytest

from firstpush.core.kit.bands import BandLaw

AREA_M2 = 10e-6
"""Cross-section of the strip; the stress must not depend on it."""


def strip(*, first_pa: float, second_pa: float) -> BandLaw:
    """Return the law of a strip of that rubber: c = 2 · C · area."""
    return BandLaw(
        name="strip",
        c1=2 * first_pa * AREA_M2,
        c2=2 * second_pa * AREA_M2,
        fit_error=0.0,
        fitted_range=(0.0, 3.0),
        limit_elongation=3.0,
        source="measured points",
        relative_spread=0.0,
    )


@pytest.mark.parametrize(("stretch", "stress_mpa"), [(1.25, 0.2147), (1.5, 0.3659), (2.0, 0.5950), (3.0, 0.9630)])
def test_stress_of_a_strip(stretch: float, stress_mpa: float) -> None:
    """The pull over the cross-section is the published stress."""
    pull = float(strip(first_pa=0.16e6, second_pa=0.02e6).tension(stretch))
    assert pull / AREA_M2 / 1e6 == pytest.approx(stress_mpa, abs=1e-4)


def test_stress_at_double_length_by_hand() -> None:
    """At double length 2 − 1/4 = 1.75, so the stress is 1.75 × 2 × (C1 + C2/2)."""
    pull = float(strip(first_pa=0.098e6, second_pa=0.114e6).tension(2.0))
    assert pull / AREA_M2 == pytest.approx(1.75 * 2 * (0.098e6 + 0.114e6 / 2))
