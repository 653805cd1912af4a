"""What a physiotherapist expects to change when one thing about bands, posts, chair or time changes.

Each docstring was written before the program was run; the assertions hold it to that, on what is really computed and
on the words that are really printed on the practitioner's copy.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from changed_sessions import (
    CUPBOARD,
    HALL,
    RUNA,
    WITH_BAND,
    Made,
    least,
    made,
)

from firstpush.core.people.athlete import Chair


@pytest.fixture(scope="module")
def preset_chairs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Chair]:
    """Return a chair of each preset, nothing measured."""
    folder = tmp_path_factory.mktemp("presets")
    return {kind: least(folder, kind).chair for kind in ("court", "daily")}


@pytest.fixture(scope="module")
def base() -> Made:
    """Return the session of the demo athlete."""
    return made()


class TestOnlyOneLightBand:
    """One thin band, one piece: it is folded or stretched farther, shared by both hands, or gives less and says so."""

    ONE = replace(CUPBOARD, bands=(replace(CUPBOARD.bands[0], count=1),))
    VERY_LIGHT = replace(
        CUPBOARD,
        bands=(
            replace(
                CUPBOARD.bands[0],
                count=1,
                length=1.2,
                pulls=tuple(replace(pull, force=pull.force / 3) for pull in CUPBOARD.bands[0].pulls),
            ),
        ),
    )

    def test_every_band_exercise_uses_it_within_its_limit(self) -> None:
        """Only that band appears, never beyond 200 %; both hands share one piece round the post in the row."""
        session = made(RUNA, self.ONE)
        for name in WITH_BAND:
            band = session.setup(name).band
            assert band is not None
            assert band.band.name == "flat thin"
            assert max(float(each.max()) for each in band.stretch.values()) <= 3.0
        row = session.setup("seated_row").band
        assert row is not None and row.loop
        assert "an end in each hand" in session.printed

    def test_load_is_met_by_folding_or_the_shortfall_is_printed(self) -> None:
        """Where the wish is reached the band is doubled; where it is not, "gives a of b N·m wanted" is printed."""
        for kit in (self.ONE, self.VERY_LIGHT):
            session = made(RUNA, kit)
            for setup in session.setups():
                if setup.band is None or setup.peak is None or setup.target is None:
                    continue
                short = setup.peak.value < setup.target.value / 1.25
                ids = {notice.id for notice in setup.notices}
                assert short == ("lighter-than-wanted" in ids), setup.exercise.title

    def test_a_light_band_is_no_reason_for_a_strap_or_one_arm(self) -> None:
        """A third of the thin band is too light, but the trunk holds: a strap or the one-arm variant must not be put
        on, least of all with the words that the trunk would not hold.
        """
        session = made(RUNA, self.VERY_LIGHT)
        for name in WITH_BAND:
            setup = session.setup(name)
            assert setup.support == (), setup.exercise.title
            assert not any(notice.id == "support-added" for notice in setup.notices)


class TestNoPost:
    """An open court without anything fixed: no anchored band, no leaning."""

    OPEN = replace(HALL, posts=())

    def test_what_needs_a_post_is_out_with_what_would_do(self) -> None:
        """Row, rotation, press and stretch are left out; each says that there is no post and what would serve."""
        session = made(RUNA, CUPBOARD, self.OPEN)
        assert session.ids == {"ball_circles", "graded_push_lengths"}
        for name in (*WITH_BAND, "chest_stretch_post"):
            assert "no post" in session.reason(name)
            assert "would do" in session.reason(name)
            assert session.reason(name) in session.printed

    def test_the_empty_parts_are_named(self) -> None:
        """The session says that mobility and strength stay empty, so that nobody takes it for a whole session."""
        session = made(RUNA, CUPBOARD, self.OPEN)
        assert {notice.about for notice in session.notices() if notice.id == "part-missing"} == {"mobility", "strength"}


class TestChairPresets:
    """The same athlete in a court chair and in a daily chair, nothing measured."""

    NO_CHOCKS = replace(CUPBOARD, chocks=0, chock_height=None)

    def test_a_court_chair_is_chocked_and_a_daily_chair_braked(self, preset_chairs: dict[str, Chair]) -> None:
        """A court chair has no brakes by the rules: chocks before and behind both wheels. A daily chair is braked, and
        chocked too where chocks lie there.
        """
        court, daily = (made(replace(RUNA, chairs=(preset_chairs[kind],))) for kind in ("court", "daily"))
        assert court.setup("seated_row").blocking == "chocks"
        assert daily.setup("seated_row").blocking == "brakes and chocks"
        assert "chocked both ways" in court.printed
        assert "brakes on" in daily.printed or "braked" in daily.printed
        assert "brake" not in court.setup("seated_row").blocking

    def test_without_chocks_only_the_daily_chair_takes_a_band(self, preset_chairs: dict[str, Chair]) -> None:
        """No chocks: the court chair would roll, all band exercises are out with that reason; the daily chair holds on
        its brakes, with a smaller reserve than with chocks.
        """
        court, daily = (
            made(replace(RUNA, chairs=(preset_chairs[kind],)), self.NO_CHOCKS) for kind in ("court", "daily")
        )
        assert not court.ids & set(WITH_BAND)
        for name in WITH_BAND:
            assert "would roll" in court.reason(name)
            assert "chocks" in court.reason(name)
        assert set(WITH_BAND) <= {name for name, _ in daily.prepared.setups}
        assert daily.setup("seated_row").blocking == "brakes"

    def test_every_band_set_up_keeps_the_chair_factor(self, preset_chairs: dict[str, Chair]) -> None:
        """1.5 in both chairs, with and without chocks."""
        for kind in ("court", "daily"):
            for kit in (CUPBOARD, self.NO_CHOCKS):
                for setup in made(replace(RUNA, chairs=(preset_chairs[kind],)), kit).setups():
                    if setup.band is not None:
                        assert setup.stability is not None
                        assert setup.stability.factor.min() >= 1.5

    def test_no_strap_is_assumed_in_a_preset(self, preset_chairs: dict[str, Chair]) -> None:
        """A preset lends no strap: an athlete with part trunk control presses lighter than with the strap of her own
        chair, or with a strap from the cupboard, and that is then printed.
        """
        for kind in ("court", "daily"):
            session = made(replace(RUNA, chairs=(preset_chairs[kind],)))
            for setup in session.setups():
                assert (setup.strap == "none") == (not any("strap" in word for word in setup.support))
            press = session.setup("anti_rotation_press")
            own = made().setup("anti_rotation_press")
            assert press.peak is not None and own.peak is not None
            assert session.says("support-added") if press.support else press.peak.value < own.peak.value


class TestTenMinutes:
    """Ten minutes before training instead of eighteen."""

    def test_it_fits_and_keeps_the_back_of_the_shoulder(self) -> None:
        """Within 10:00 to the second; movement first; some pulling back is kept, and no pressing without twice as much
        of it.
        """
        session = made(minutes=10.0)
        assert session.session.total_s <= 600
        assert session.ids & {"seated_row", "external_rotation_90"}
        assert not session.says("front-outweighs-back")
        assert session.session.items[0].candidate.exercise.part == "mobility"

    def test_what_was_dropped_says_how_much_time_is_missing(self, base: Made) -> None:
        """Each exercise that was in the long session and is not in the short one says how many minutes more it would
        need and what it would push out.
        """
        session = made(minutes=10.0)
        dropped = base.ids - session.ids
        assert dropped
        for name in dropped:
            assert re.search(r"needs \d+:\d\d more", session.reason(name))
            assert session.reason(name) in session.printed

    def test_set_ups_do_not_depend_on_the_minutes(self, base: Made) -> None:
        """Less time takes exercises or sets away; it makes no band lighter."""
        for key, setup in made(minutes=10.0).prepared.setups.items():
            assert setup.peak == base.prepared.setups[key].peak
