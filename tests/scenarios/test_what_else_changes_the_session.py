"""More that a physiotherapist expects: pain, hands that do not close, missing legs, bands that nobody measured.

As in the other file, each docstring was written before the program was run.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from changed_sessions import (
    BOTH_ARMS,
    CUPBOARD,
    FIRST_SIX,
    HALL,
    RUNA,
    WITH_BAND,
    Made,
    largest_pull,
    made,
    with_arms,
    with_chair,
    with_health,
)

from firstpush.core.exercises.loader import exercise_named
from firstpush.core.people.athlete import SIDES, Pain
from firstpush.core.people.health import health_notices
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.search import search_setup
from firstpush.sheets.from_session import sheet_contents


@pytest.fixture(scope="module")
def base() -> Made:
    """Return the session of the demo athlete."""
    return made()


class TestShoulderPain7OnTheRight:
    """Pain 7 of 10 now in the right shoulder: more than 5 stops (common practice)."""

    HURTS = with_health(pain=(Pain(place="shoulder front", side="right", usual=1, now=7),))

    def test_the_right_arm_rests(self) -> None:
        """No set-up pulls at the right arm; two-handed exercises are out and say "pain 7 of 10 now"."""
        session = made(self.HURTS)
        for (name, side), setup in session.prepared.setups.items():
            assert side == "left", name
            assert "right" not in setup.forces
        for name in BOTH_ARMS:
            if name not in session.ids:
                assert "pain 7 of 10 now" in session.reason(name)

    def test_stop_is_printed_with_what_to_do(self) -> None:
        """The stop stands on the sheet as a stop, and says when to refer."""
        session = made(self.HURTS)
        stop = session.notice("pain-stops")
        assert stop.level == "stop"
        assert "refer" in stop.do
        assert stop.what in session.printed

    def test_the_left_arm_may_go_on(self) -> None:
        """The left shoulder is well: rotation on the left stays."""
        assert made(self.HURTS).sides("external_rotation_90") == ("left",)

    def test_five_is_not_stopped_but_gets_the_lightest_set_up(self) -> None:
        """Pain 5 with a usual 1: a caution that says "lightest set-ups only on that side"; nothing is turned at the
        height of the shoulder there, and with the elbow low the right arm is really set up at the start load and not at
        45 % of a strength tested on a better day.
        """
        athlete = with_health(pain=(Pain(place="shoulder front", side="right", usual=1, now=5),))
        session = made(athlete)
        assert session.notice("pain-too-much").level == "caution"
        assert ("external_rotation_90", "right") not in session.prepared.setups
        assert ("external_rotation_90", "left") in session.prepared.setups
        low = exercise_named("external_rotation_side")
        right = search_setup(low, circumstances(athlete, CUPBOARD, HALL), side="right").best
        assert right is not None and right.peak is not None
        assert low.start_load is not None
        assert right.peak.value <= low.start_load.first.value * 1.25

    @pytest.mark.parametrize("place", ["neck", "upper back"])
    def test_pain_in_the_middle_stops_both_arms(self, place: str) -> None:
        """Neck or upper back at 8 of 10: every band on either arm pulls at it; a stop is printed, and then no arm may
        be loaded in the same session.
        """
        session = made(with_health(pain=(Pain(place=place, side=None, usual=1, now=8),)))
        assert session.notice("pain-stops").level == "stop"
        assert not session.ids & set(WITH_BAND)

    def test_pain_in_the_middle_is_not_called_an_arm(self) -> None:
        """The advice for a painful neck does not speak of "that arm"."""
        athlete = with_health(pain=(Pain(place="neck", side=None, usual=1, now=8),))
        stop = next(notice for notice in health_notices(athlete) if notice.id == "pain-stops")
        assert "that arm" not in stop.do


class TestNoGripOnBothHands:
    """Neither hand closes: a cuff at the wrist takes the band; nothing else is held."""

    NO_GRIP = with_arms(grip="none")

    def test_with_cuffs_the_band_goes_to_the_wrist(self) -> None:
        """Row, rotation and press are done with wrist cuffs on both arms, which the sheet says; the ball is out."""
        session = made(self.NO_GRIP)
        for name in WITH_BAND:
            setup = session.setup(name)
            assert {setup.attach[arm] for arm in setup.forces} == {"wrist_cuff"}, name
        assert "both wrists in cuffs" in session.printed
        assert "ball_circles" not in session.ids
        assert "grip is none" in session.reason("ball_circles")

    def test_the_shorter_lever_pulls_harder_for_the_same_load(self, base: Made) -> None:
        """Rotation: the cuff sits at 0.95 of the forearm (0.241 m), the hand at 0.241 + 0.076: for the same moment the
        pull grows in that ratio, 0.317 to 0.229, for the part that is square to the forearm.
        """
        hand, cuff = base.setup("external_rotation_90"), made(self.NO_GRIP).setup("external_rotation_90")
        assert hand.peak is not None and cuff.peak is not None
        per_newton = [setup.peak.value / largest_pull(setup) for setup in (hand, cuff) if setup.peak]
        assert per_newton[0] / per_newton[1] == pytest.approx((0.241 + 0.076) / (0.95 * 0.241), rel=0.12)

    def test_without_cuffs_band_exercises_are_out(self) -> None:
        """No cuffs: row, rotation and press are out and say what is missing; stretch and pushing stay."""
        session = made(self.NO_GRIP, replace(CUPBOARD, cuffs=()))
        assert session.ids == {"chest_stretch_post", "graded_push_lengths"}
        for name in WITH_BAND:
            assert "no wrist cuff" in session.reason(name)

    def test_one_cuff_serves_one_hand(self) -> None:
        """One wrist cuff in the cupboard: rotation one side after the other goes, a two-handed row with two cuffs does
        not; it is one-armed or left out.
        """
        kit = replace(CUPBOARD, cuffs=(replace(CUPBOARD.cuffs[0], count=1),))
        session = made(self.NO_GRIP, kit)
        assert ("external_rotation_90", "right") in session.prepared.setups
        for name in ("seated_row", "anti_rotation_press"):
            for side in SIDES:
                setup = session.prepared.setups.get((name, side))
                if setup is not None:
                    assert sum(setup.attach[arm] == "wrist_cuff" for arm in setup.forces) <= 1, name

    def test_a_cuff_over_numb_skin_is_a_caution(self) -> None:
        """Feeling reduced or unknown under the cuff: pad, loosen in pauses, look at the skin."""
        for feeling in ("reduced", None):
            session = made(with_arms(self.NO_GRIP, feeling=feeling))
            notice = session.notice("cuff-over-skin-without-feeling")
            assert "look at the skin" in notice.do


class TestDoubleAboveKneeAmputee:
    """Both legs above the knee: weight moves up and back, the thighs are short, the tables fit less well."""

    AMPUTEE = replace(RUNA, missing_limbs=frozenset({"left above knee", "right above knee"}))

    def test_the_whole_body_mass_is_still_there(self) -> None:
        """58 kg were weighed without the legs: the parts that are there add up to 58 kg, so the arms are heavier than
        in an athlete of 58 kg with legs, by the share of the legs that are gone.
        """
        body = made(self.AMPUTEE).setup("ball_circles").body
        assert sum(body.segment_mass.values()) == pytest.approx(58.0)
        gone = 2 * (0.5 * 0.1478 + 0.0481 + 0.0129)  # half a thigh, shank and foot, de Leva 1996 female
        total = 0.9999  # the female column as printed
        assert body.arm_mass("upper arm", "right") == pytest.approx(58.0 * 0.0255 / (total - gone), rel=1e-3)

    def test_nothing_is_left_out_for_missing_legs(self) -> None:
        """All six exercises are for the arms: all can be set up."""
        assert {name for name, _ in made(self.AMPUTEE).prepared.setups} == set(FIRST_SIX)

    def test_without_a_scale_the_weight_sits_farther_back(self) -> None:
        """No caster reading: without shanks and feet the common centre of mass is nearer to the axle and higher."""
        with_legs, without = (
            made(with_chair(athlete, caster_share=None)).setup("seated_row").centre.position[0]
            for athlete in (RUNA, self.AMPUTEE)
        )
        assert without[0] < with_legs[0] - 0.02
        assert without[2] > with_legs[2]

    def test_wider_ranges_are_said(self) -> None:
        """The sheet says that the mass tables are of people with all limbs and that ranges are to be read as wider."""
        assert "limb masses come from tables of people with all limbs" in made(self.AMPUTEE).printed


class TestNoPullMeasured:
    """Nobody ever pulled the bands with a scale: set-ups by length and distance, without newtons."""

    UNPULLED = replace(CUPBOARD, bands=tuple(replace(band, pulls=()) for band in CUPBOARD.bands))

    def test_set_ups_without_any_newton(self) -> None:
        """Band, mark, distance and height are given; neither pull nor load; the sheet says so as a caution, and what
        one pull would give.
        """
        session = made(RUNA, self.UNPULLED)
        assert set(WITH_BAND) <= session.ids
        for name in WITH_BAND:
            setup = session.setup(name)
            assert setup.band is not None
            assert setup.band.tension is None
            assert setup.peak is None and setup.pull is None and setup.load is None
            assert any(notice.id == "set-up-without-newtons" for notice in setup.notices)
        assert "Pull each band once to double length" in session.printed

    def test_no_margin_is_printed_that_was_not_computed(self) -> None:
        """Without newtons nothing is known of what pulls at trunk and chair: no "holds 4.6 times what pulls", no
        wanted N·m that the set-up is not made for.
        """
        session = made(RUNA, self.UNPULLED)
        contents = sheet_contents(
            session.session,
            session.prepared,
            athlete=RUNA,
            venue_name=HALL.name,
            notices=(),
            program_version="test",
            checksum="test",
            figures=dict.fromkeys(session.ids, "<svg/>"),
        )[1]
        for item in contents.items:
            if any(notice.id == "set-up-without-newtons" for notice in item.notices):
                labels = {fact.label.split()[0] for fact in item.numbers}
                assert not labels & {"Trunk", "Chair", "Load", "Wanted"}, item.title

    def test_stretch_is_moderate(self) -> None:
        """A band of unknown strength is stretched by no more than about its own length."""
        for name in WITH_BAND:
            band = made(RUNA, self.UNPULLED).setup(name).band
            assert band is not None
            assert max(float(each.max()) for each in band.stretch.values()) <= 2.0


class TestOnePullOnly:
    """One reading at double length per band: the published shape gives the rest, less surely."""

    ONE = replace(
        CUPBOARD,
        bands=tuple(
            replace(band, pulls=tuple(pull for pull in band.pulls if pull.elongation == 1.0)) for band in CUPBOARD.bands
        ),
    )

    def test_newtons_with_a_wider_range(self, base: Made) -> None:
        """Same load aimed at; its range is clearly wider than with five pulls, and the sheet says "one pull"."""
        session = made(RUNA, self.ONE)
        for name in WITH_BAND:
            one, many = session.setup(name).pull, base.setup(name).pull
            assert one is not None and many is not None
            assert (one.high - one.low) / one.value > 1.3 * (many.high - many.low) / many.value
        assert "one pull is known of it" in session.printed

    def test_the_predicted_pull_is_near_the_measured_one(self, base: Made) -> None:
        """The shape is within 10 % over 50-200 % (Page 2000, Simoneau 2001,
        from memory): the same band laid the same way gives nearly the same
        pull from one point as from five.
        """
        session = made(RUNA, self.ONE)
        for name in WITH_BAND:
            law = session.setup(name).band
            assert law is not None
            full = next(each for each in CUPBOARD.bands if each.name == law.band.name)
            for pull in full.pulls:
                if pull.elongation >= 0.5:
                    assert float(law.law.tension(1 + pull.elongation)) == pytest.approx(pull.force, rel=0.10)
