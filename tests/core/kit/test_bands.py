"""The band law: from pulls of a hook scale to the pull at any length."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from firstpush.core.errors import OutOfRangeError
from firstpush.core.kit.bands import (
    FORCE_SPREAD,
    ONE_PULL_SPREAD,
    BandLaw,
    describe_pull,
    fit_band,
    slack_needed,
)
from firstpush.core.kit.kit import Band, Pull

constants = st.floats(0.0, 200.0)


def band(*pulls: tuple[float, float], limit: float = 2.0) -> Band:
    """Return a band with `pulls` of (elongation, force)."""
    return Band(
        name="flat",
        material="latex-free",
        length=2.0,
        count=1,
        limit_elongation=limit,
        pulls=tuple(Pull(elongation=e, force=f) for e, f in pulls),
    )


def law(*, c1: float, c2: float, **changes: object) -> BandLaw:
    """Return a law with the constants given."""
    parts: dict[str, object] = {
        "name": "flat",
        "fit_error": 0.01,
        "fitted_range": (0.25, 2.0),
        "limit_elongation": 2.0,
        "source": "measured points",
        "relative_spread": 0.08,
    }
    return BandLaw(c1=c1, c2=c2, **{**parts, **changes})


@given(constants, constants, st.lists(st.floats(0.0, 5.0), min_size=1, max_size=20))
def test_band_never_pushes(c1: float, c2: float, stretch: list[float]) -> None:
    """The pull is never negative, and nothing up to the slack length."""
    pull = law(c1=c1, c2=c2).tension(stretch)
    assert np.all(pull >= 0.0)
    assert np.all(pull[np.array(stretch) <= 1.0] == 0.0)


@given(constants, constants, st.floats(1.0, 5.0), st.floats(1e-3, 1.0))
def test_longer_pulls_harder(c1: float, c2: float, stretch: float, more: float) -> None:
    """The pull rises with the length."""
    assume(c1 + c2 > 0.01)
    low, high = law(c1=c1, c2=c2).tension([stretch, stretch + more])
    assert high > low


@given(st.lists(st.tuples(st.floats(0.1, 3.0), st.floats(0.5, 100.0)), min_size=0, max_size=8))
def test_any_fit_never_pushes_nor_slackens(points: list[tuple[float, float]]) -> None:
    """Whatever was pulled, sense or nonsense, the law fitted to it neither pushes nor falls."""
    fitted = fit_band(band(*points, limit=3.0))
    if fitted.c1 is None:
        assert not points
        return
    assert fitted.c1 >= 0.0
    assert fitted.c2 >= 0.0
    assert np.all(np.diff(fitted.tension(np.linspace(1.0, 4.0, 61))) >= 0.0)


@given(constants, constants, st.lists(st.floats(0.1, 2.5), min_size=2, max_size=8, unique=True))
def test_fit_gives_back_what_made_the_points(c1: float, c2: float, elongations: list[float]) -> None:
    """Points computed by hand from two constants are met by the law fitted to them."""
    assume(max(elongations) - min(elongations) > 0.2)
    assume(c1 + c2 > 1.0)
    points = [(e, (c1 + c2 / (1 + e)) * ((1 + e) - 1 / (1 + e) ** 2)) for e in elongations]
    fitted = fit_band(band(*points))
    expected = np.array([force for _, force in points])
    assert fitted.tension(1.0 + np.array(elongations)) == pytest.approx(expected, rel=1e-6)
    assert fitted.fit_error == pytest.approx(0.0, abs=1e-6)


@given(constants, constants, st.floats(0.5, 4.0), st.floats(0.1, 3.0), st.integers(1, 4))
def test_stored_energy_is_the_integral_of_the_pull(
    c1: float, c2: float, stretch: float, slack: float, strands: int
) -> None:
    """Work over the length by quadrature equals the closed form.

    anchor o======================> pull T(L / L0)
           |--- L0 ---|-- dL ... --|        E = ∫ T dL from L0 to L
    """
    one = law(c1=c1, c2=c2)
    top = max(stretch, 1.0) * slack
    expected, _ = quad(lambda length: float(one.tension(length / slack, strands)), slack, top)
    energy = float(one.stored_energy(stretch, slack_length=slack, strands=strands))
    assert energy == pytest.approx(expected, rel=1e-7, abs=1e-7)


@given(st.floats(0.5, 50.0), st.floats(0.5, 50.0), st.floats(1.01, 3.0), st.floats(0.3, 3.0))
def test_folding_doubles_the_pull_at_equal_stretch_and_keeps_the_energy(
    c1: float, c2: float, stretch: float, length: float
) -> None:
    """Folded once, the same rubber at the same stretch holds the same energy and pulls twice as hard over half the way.

    open     o---------------- L ----------------> T
    folded   o======== L/2 ========>  2 T
    """
    one = law(c1=c1, c2=c2)
    assert float(one.tension(stretch, 2)) == pytest.approx(2 * float(one.tension(stretch)))
    assert float(one.stored_energy(stretch, slack_length=length / 2, strands=2)) == pytest.approx(
        float(one.stored_energy(stretch, slack_length=length, strands=1))
    )


@given(st.floats(0.5, 50.0), st.floats(0.5, 50.0), st.floats(0.001, 1.0))
def test_folding_makes_two_to_four_times_the_pull_on_the_same_hand_path(c1: float, c2: float, path: float) -> None:
    """On the same hand path from slack the pull of a folded band is between twice and four times that of the open one.

    Rising: T(1 + 2x) > T(1 + x), so more than 2. Concave with T(1) = 0: T(1 + 2x) < 2 T(1 + x), so less than 4.
    """
    one = law(c1=c1, c2=c2)
    ratio = float(one.tension(1 + 2 * path, 2) / one.tension(1 + path))
    assert 2.0 < ratio < 4.0


@given(st.floats(0.5, 50.0), st.floats(0.5, 50.0))
def test_folding_makes_four_times_the_stiffness_from_slack(c1: float, c2: float) -> None:
    """Twice the strands, each of half the length: 2 / (1/2) times the stiffness, which is 3 (c1 + c2) / L0 for one."""
    one, path = law(c1=c1, c2=c2), 1e-5
    assert float(one.tension(1 + path)) / path == pytest.approx(3 * (c1 + c2), rel=1e-3)
    assert float(one.tension(1 + 2 * path, 2) / one.tension(1 + path)) == pytest.approx(4.0, rel=1e-3)


def test_pull_depends_on_stretch_and_not_on_length() -> None:
    """A strip from 0.3 to 0.6 m pulls as one from 0.6 to 1.2 m (Page 2000, as cited on a clinic's page; read)."""
    one = law(c1=9.0, c2=4.0)
    assert float(one.tension(0.6 / 0.3)) == float(one.tension(1.2 / 0.6))


def test_strands_add_up() -> None:
    """Twice 9.2 kgf make 18.4 and three times 27.6 (one level at 300 %, a clinic's page; read)."""
    one = law(c1=9.2 / (4 - 1 / 16), c2=0.0)
    assert one.tension(4.0, [1, 2, 3]) == pytest.approx([9.2, 18.4, 27.6])


def test_one_pull_is_met_and_carries_a_wide_spread() -> None:
    """With one point the law goes through it, wherever it was pulled, and says that it is a guess elsewhere."""
    fitted = fit_band(band((0.5, 12.0)))
    assert float(fitted.tension(1.5)) == pytest.approx(12.0)
    assert fitted.source == "one pull and the published shape"
    assert fitted.relative_spread == ONE_PULL_SPREAD.value
    assert "one-pull-only" in [notice.id for notice in fitted.notices_for(1.0)]


def test_repeated_pulls_at_one_length_count_as_one_point() -> None:
    """Three readings at double length give their mean there and the published shape elsewhere."""
    fitted = fit_band(band((1.0, 17.0), (1.0, 18.0), (1.0, 19.0)))
    assert float(fitted.tension(2.0)) == pytest.approx((17 + 18 + 19) / 3)
    assert fitted.source == "one pull and the published shape"


def test_band_without_pulls_has_no_newtons() -> None:
    """Without a pull there is no force: the error says to pull once, and a notice says so too."""
    fitted = fit_band(band())
    with pytest.raises(OutOfRangeError, match="Pull it once to double length"):
        fitted.tension(1.5)
    with pytest.raises(OutOfRangeError, match="Pull it once to double length"):
        fitted.stored_energy(1.5, slack_length=1.0)
    assert [notice.id for notice in fitted.notices_for(1.0)] == ["no-pull-measured"]
    assert describe_pull(fitted) == "pull not measured"


def test_scatter_widens_the_spread() -> None:
    """Points off the law add their error to the spread of every band: the squares add up."""
    clean, scattered = (
        fit_band(band((0.5, 11.4), (1.0, 17.8), (2.0, 27.8))),
        fit_band(band((0.5, 13.0), (1.0, 15.0), (2.0, 29.0))),
    )
    assert clean.relative_spread is not None
    assert scattered.relative_spread is not None
    assert scattered.fit_error is not None
    assert clean.relative_spread < scattered.relative_spread
    assert scattered.relative_spread**2 == pytest.approx(FORCE_SPREAD.value**2 + scattered.fit_error**2)


@pytest.mark.parametrize(
    ("elongation", "ids"),
    [
        (0.20, ["outside-measured-range"]),
        (0.25, []),
        (1.50, []),
        (1.51, ["outside-measured-range"]),
        (2.10, ["band-over-usual-limit", "outside-measured-range"]),
        (2.51, ["band-over-limit", "outside-measured-range"]),
    ],
)
def test_notices_follow_the_range_and_the_limits(elongation: float, ids: list[str]) -> None:
    """Measured from 25 to 150 %, allowed up to 250 %: what lies outside is told."""
    one = law(c1=9.0, c2=4.0, fitted_range=(0.25, 1.5), limit_elongation=2.5)
    assert [notice.id for notice in one.notices_for(elongation)] == ids


@pytest.mark.parametrize(("exponent", "told"), [(0.45, True), (0.67, False), (0.95, True)])
def test_pulls_that_grow_unlike_rubber_are_to_be_pulled_again(exponent: float, told: bool) -> None:
    """Points on a power law of an unusual exponent bring a note, those of the usual one do not."""
    fitted = fit_band(band(*((e, 20 * e**exponent) for e in (0.25, 0.5, 1.0, 2.0))))
    assert fitted.exponent == pytest.approx(exponent)
    assert ("measure-band-again" in [notice.id for notice in fitted.notices_for(1.0)]) is told


@pytest.mark.parametrize(
    ("pull", "limit", "words"),
    [
        (27.5, 2.0, "24-31 N at double length"),  # 27.5 (1 ± 1.645 × 0.08) = 23.9-31.1
        (200.0, 2.0, "170-230 N at double length"),  # 173.7-226.3, 53 wide: in tens
        (100.0, 2.0, "85-115 N at double length"),  # 86.8-113.2, 26 wide: in fives
        (1.0, 2.0, "about 1 N at double length"),
        (0.3, 2.0, "under 1 N at double length"),
    ],
)
def test_pull_is_described_as_a_range_without_decimals(pull: float, limit: float, words: str) -> None:
    """The range is wide enough for nine pulls of ten and shows no digit that it does not allow."""
    c1 = pull / (2 - 1 / 4)
    assert describe_pull(law(c1=c1, c2=0.0, limit_elongation=limit)) == words


def test_band_that_may_not_double_is_described_at_its_limit() -> None:
    """A limit of 50 % is where the pull is stated."""
    assert describe_pull(law(c1=9.0, c2=4.0, limit_elongation=0.5)).endswith("N at 50 % longer")


def test_material_needed_is_every_strand_and_every_wrap() -> None:
    """A band of 2 m folded once reaches 0.85 m: half of what the wraps leave."""
    assert slack_needed(slack_length=0.85, strands=2, hands=1) == pytest.approx(2.0)
    assert slack_needed(slack_length=0.85, strands=1, hands=2) == pytest.approx(2 * 0.85 + 2 * 0.30)


@pytest.mark.parametrize("wrong", [-0.1, float("nan")])
def test_stretch_that_is_no_length_is_refused(wrong: float) -> None:
    """A negative stretch is an error; zero is a hand at the anchor and pulls nothing."""
    one = law(c1=9.0, c2=4.0)
    assert float(one.tension(0.0)) == 0.0
    with pytest.raises(OutOfRangeError, match="must be 0 or more"):
        one.tension([1.5, wrong])


def test_less_than_one_strand_is_refused() -> None:
    """No strand cannot pull, and no slack length cannot be stretched."""
    one = law(c1=9.0, c2=4.0)
    with pytest.raises(OutOfRangeError, match="1 or more"):
        one.tension(1.5, 0)
    with pytest.raises(OutOfRangeError, match="above 0 m"):
        one.stored_energy(1.5, slack_length=0.0)
    with pytest.raises(OutOfRangeError, match="cannot be laid"):
        slack_needed(slack_length=1.0, strands=0, hands=1)
