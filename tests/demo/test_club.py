"""The eight invented athletes, the cupboard and the two venues of the demo club: they load, and they differ as said."""

from __future__ import annotations

import itertools
import math

import pytest

from firstpush.core.kit.bands import fit_band
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.people.athlete import SIDES, Athlete
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.chair_presets import track_at_floor
from firstpush.core.people.health import health_notices
from firstpush.demo import demo_file
from firstpush.demo.club import club_files

FILES = club_files()
ATHLETES: dict[str, Athlete] = {path.stem: load_athlete(path) for path in FILES["athletes"]}
KIT: Kit = load_kit(FILES["kits"][0])
VENUES: dict[str, Venue] = {path.stem: load_venue(path) for path in FILES["venues"]}
EVERY_ATHLETE = pytest.mark.parametrize("athlete", ATHLETES.values(), ids=list(ATHLETES))

SPREAD_OF_PROPORTIONS = 0.06
"""Measured segments of one person lie within a few per cent of the table's share of arm span (our choice)."""


def test_the_club_is_eight_athletes_one_cupboard_and_two_venues() -> None:
    """Every file loads without a fault; names of people, bands and places are told apart by eye."""
    assert (len(ATHLETES), len(FILES["kits"]), len(VENUES)) == (8, 1, 2)
    assert len({athlete.name for athlete in ATHLETES.values()}) == 8
    for stem, athlete in ATHLETES.items():
        assert stem == athlete.name.lower().replace(" ", "_"), "the file is found by the athlete's name"


def test_whoever_stands_in_the_demo_stands_in_the_club_unchanged() -> None:
    """The demo's athlete and hall are the club's: the same name may not mean two people or two halls."""
    assert ATHLETES["runa_velde"] == load_athlete(demo_file("athlete"))
    assert VENUES["slipway_hall"] == load_venue(demo_file("venue"))


class TestTheAthletesDiffer:
    """Each of the eight stands for a group that is prepared otherwise than the seven others."""

    def test_cervical(self) -> None:
        """C6: no elbow extensors, no grip, wrist extensors kept, no trunk control, low usual blood pressure."""
        tovi = ATHLETES["tovi_ankerlund"]
        assert tovi.health.spinal_level == "C6"
        for side in SIDES:
            arm = tovi.arm(side)
            assert arm.grip == "none"
            # Key muscles of the cord levels: C6 wrist extensors, C7 elbow extensors (common practice).
            assert arm.wrist_extension is not None
            assert arm.wrist_extension >= 3
            assert arm.elbow_extension is not None
            assert arm.elbow_extension < 3
        assert {tovi.trunk.forward, tovi.trunk.turn, tovi.trunk.lean_left, tovi.trunk.lean_right} == {"no"}
        assert tovi.health.usual_systolic_mmhg is not None
        assert 90 <= tovi.health.usual_systolic_mmhg <= 110  # usual after a high injury: 90-110

    def test_high_and_low_thoracic(self) -> None:
        """T4 has the card for dysreflexia and no trunk; T10 has neither the card nor an empty trunk; both have arms."""
        signe, runa = ATHLETES["signe_marhaven"], ATHLETES["runa_velde"]
        assert (signe.health.spinal_level, runa.health.spinal_level) == ("T4", "T10")
        told = [{notice.id for notice in health_notices(athlete)} for athlete in (signe, runa)]
        assert ["dysreflexia-risk" in ids for ids in told] == [True, False]
        assert (signe.trunk.forward, runa.trunk.forward) == ("no", "yes")
        assert {athlete.arm(side).grip for athlete in (signe, runa) for side in SIDES} == {"full"}

    def test_spina_bifida(self) -> None:
        """Latex is avoided, a shunt lies, and the arm span is more than the stature, as with short legs."""
        mika = ATHLETES["mika_trosse"]
        assert {"spina bifida", "shunt"} <= set(mika.health.conditions or ())
        assert mika.health.latex == "avoid"
        assert mika.stature is not None
        assert mika.arm_span is not None
        assert mika.arm_span > mika.stature

    def test_double_above_knee_amputation(self) -> None:
        """Both legs are gone, trunk and arms are whole, and the casters carry the least of the club."""
        bren = ATHLETES["bren_kollhaug"]
        assert bren.missing_limbs == frozenset({"left above knee", "right above knee"})
        assert bren.health.no_spinal_injury
        assert bren.trunk.forward == "yes"
        shares = {stem: athlete.chair.caster_share for stem, athlete in ATHLETES.items()}
        assert min(shares, key=lambda stem: shares[stem] or 1.0) == "bren_kollhaug"

    def test_hemiplegia(self) -> None:
        """The left arm grips weakly and lifts below shoulder height; the right one is whole."""
        ylva = ATHLETES["ylva_rorgang"]
        assert "hemiplegia" in (ylva.health.conditions or ())
        assert (ylva.left.grip, ylva.right.grip) == ("weak", "full")
        assert ylva.left.elevation is not None
        assert ylva.right.elevation is not None
        assert ylva.left.elevation < math.radians(90) < ylva.right.elevation

    def test_junior(self) -> None:
        """About thirteen, the lightest, with the shortest arms and the smallest chair, and never tested for strength.

        The club is drawn in 2026.
        """
        nilo = ATHLETES["nilo_fyrvang"]
        assert nilo.born is not None
        assert 12 <= 2026 - nilo.born <= 14
        assert all(nilo.mass < other.mass for other in ATHLETES.values() if other is not nilo)
        assert all(nilo.chair.overall_width < other.chair.overall_width for other in ATHLETES.values() if other != nilo)
        assert nilo.strength == ()

    def test_older_with_a_sore_right_shoulder(self) -> None:
        """The oldest by far; the right shoulder hurts more than usual but not enough to stop, and moves less."""
        edda = ATHLETES["edda_klipstrand"]
        births = sorted(athlete.born or 0 for athlete in ATHLETES.values())
        assert edda.born == births[0] < births[1] - 20
        (pain,) = edda.health.pain or ()
        assert (pain.side, pain.place) == ("right", "shoulder top")
        assert pain.usual is not None
        assert pain.now is not None
        assert pain.usual < pain.now < 6
        assert (edda.right.elevation or 0) < (edda.left.elevation or 0)
        assert (edda.right.external_rotation or 0) < (edda.left.external_rotation or 0)


class TestTheNumbersArePlausible:
    """What was invented lies where measured people and chairs lie."""

    @EVERY_ATHLETE
    def test_segments_fit_the_body(self, athlete: Athlete) -> None:
        """Upper arm 0.186 and forearm 0.146 of stature (Drillis and Contini 1966, from memory), stature by arm span."""
        long = athlete.arm_span or athlete.stature
        assert long is not None
        assert athlete.upper_arm == pytest.approx(0.186 * long, rel=SPREAD_OF_PROPORTIONS)
        assert athlete.forearm == pytest.approx(0.146 * long, rel=SPREAD_OF_PROPORTIONS)

    @EVERY_ATHLETE
    def test_sitting_shoulder_height(self, athlete: Athlete) -> None:
        """0.348 (men) to 0.339 (women) of stature (Huston 2009); up to a tenth less with a slumped or short trunk."""
        if athlete.sitting_shoulder_height is not None:
            assert athlete.arm_span is not None
            share = athlete.sitting_shoulder_height / athlete.arm_span
            assert 0.339 * 0.90 <= share <= 0.348 * 1.02

    @EVERY_ATHLETE
    def test_the_chair_is_one_for_the_court(self, athlete: Athlete) -> None:
        """No brakes (rules of the game); mass 8-15 kg, wheelbase 0.30-0.45 m, seat 0.45-0.60 m, wheels 0.61-0.66 m
        (24-26 in), all from memory; a junior's wheels are smaller. It stands as wide as its cambered wheels need.
        """
        chair = athlete.chair
        assert chair.kind == "court"
        assert not chair.brakes
        assert 8 <= chair.mass <= 15
        assert 0.30 <= chair.wheelbase <= 0.45
        assert 0.45 <= chair.seat_height <= 0.60
        junior = athlete.name == "Nilo Fyrvang"
        assert (0.54 if junior else 0.609) <= chair.wheel_diameter <= 0.661
        track = track_at_floor(hub_width=chair.hub_width, wheel_diameter=chair.wheel_diameter, camber=chair.camber)
        # What tyres and hand rims add at the floor: some centimetres on each side (our choice).
        assert 0.04 <= chair.overall_width - track <= 0.16

    def test_bands_pull_as_rubber_does(self) -> None:
        """Pull at 50 % and 200 % over the pull at double length: 0.64 and 1.57 (1.51-1.66), the published mean shape
        (Page 2000, Simoneau 2001, from memory), within a tenth.
        """
        several = 0
        for band in KIT.bands:
            forces = {pull.elongation: pull.force for pull in band.pulls}
            assert 1.0 in forces, f"{band.name}: double length is the pull that every band has"
            several += len(forces) > 1
            for elongation, share in ((0.5, 0.64), (2.0, 1.57)):
                if elongation in forces:
                    assert forces[elongation] / forces[1.0] == pytest.approx(share, rel=0.10), band.name
            assert fit_band(band).c1 is not None
        assert several >= 4

    def test_bands_rise_in_steps(self) -> None:
        """Neighbouring latex-free bands differ by a half or so at double length: one step is felt and not a leap."""
        pulls = sorted(
            next(pull.force for pull in band.pulls if pull.elongation == 1.0)
            for band in KIT.bands
            if band.material == "latex-free"
        )
        for lighter, heavier in itertools.pairwise(pulls):
            assert 1.3 <= heavier / lighter <= 1.8


def test_the_cupboard_serves_all_eight_at_once() -> None:
    """A choice of latex-free bands, balls and cuffs for those who avoid latex, latex for nobody alone, and chocks that
    come in fours.
    """
    for things in (KIT.bands, KIT.balls, KIT.cuffs):
        assert sum(thing.material == "latex-free" for thing in things) >= 2
    assert any(band.material == "latex" for band in KIT.bands), "the rule on latex has something to leave out"
    assert {cuff.attach for cuff in KIT.cuffs} == {"wrist_cuff", "forearm_cuff", "upper_arm_cuff"}
    assert KIT.cones >= 6
    assert KIT.chest_straps >= 1
    assert KIT.waist_straps >= 1
    assert KIT.chocks % 4 == 0
    assert KIT.chocks > 0


def test_the_venues_differ() -> None:
    """A hall with wood, long and wide, with somebody to help; a court in the open of concrete, short, with nobody."""
    hall, quay = VENUES["slipway_hall"], VENUES["quay_court"]
    assert hall.surface != quay.surface
    # A basketball court with its free lane is 32 × 19 m; a badminton court for doubles is 13.40 × 6.10 m.
    assert (hall.floor_length, hall.floor_width) == (32.0, 19.0)
    assert quay.floor_length is not None
    assert quay.floor_width is not None
    assert 13.40 + 2 <= quay.floor_length < 20
    assert 6.10 + 2 <= quay.floor_width < 12
    assert (hall.helpers, quay.helpers) == (1, 0)
    assert quay.posts
