"""What a physiotherapist expects to change when one thing about the athlete changes.

Each docstring was written before the program was run; the assertions hold it to that, on what is really computed and
on the words that are really printed on the practitioner's copy.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from changed_sessions import (
    AT_SHOULDER_HEIGHT,
    CUPBOARD,
    MINUTES,
    NEED_ELBOW_EXTENSORS,
    RUNA,
    WITH_BAND,
    Made,
    largest_pull,
    least,
    made,
    with_arms,
    with_chair,
    with_health,
)

from firstpush.core.people.athlete import SIDES, Health, TrunkControl


@pytest.fixture(scope="module")
def base() -> Made:
    """Return the session of the demo athlete."""
    return made()


def test_the_demo_session_itself_is_sound(base: Made) -> None:
    """For a basketball player with T10, part trunk control and a slightly stiff right shoulder one expects: all parts
    in 18 minutes, mobility first, back of the shoulder before pressing, both sides worked, nothing that stops.
    """
    parts = [item.candidate.exercise.part for item in base.session.items]
    assert parts == sorted(parts, key=["mobility", "strength", "control", "court"].index)
    assert set(parts) == {"mobility", "strength", "control", "court"}
    order = [item.candidate.id for item in base.session.items]
    assert order.index("seated_row") < order.index("anti_rotation_press")
    assert base.session.total_s <= MINUTES * 60
    assert not [notice for notice in base.notices() if notice.level == "stop"]
    assert set(base.sides("external_rotation_90")) == set(SIDES)


def test_a_side_that_cannot_is_named_with_its_reason() -> None:
    """A very stiff right shoulder (50° of external rotation) misses the stretch that the left one does: the sheet must
    say that the right side is left out and why, or a colleague will take it for a slip.
    """
    stiff = made(with_arms(sides=("right",), external_rotation=np.radians(50)))
    assert stiff.sides("chest_stretch_post") == ("left",)
    assert "external rotation is 50°" in stiff.printed


def test_the_stiff_shoulder_is_the_one_that_gets_the_stretch(base: Made) -> None:
    """A shoulder that turns out to 75° is tighter in front than one that reaches 90°: it needs the chest stretch more,
    and the forearm on the post is leaned, not lifted: it is done to the end that there is, not left out.
    """
    assert set(base.sides("chest_stretch_post")) == set(SIDES)


def test_a_stretch_does_not_turn_the_arm_farther_than_it_goes(base: Made) -> None:
    """Turning the breastbone away opens the chest; the arm may not be turned out beyond what the athlete can do
    (90° on the left side, 5° in reserve): that is where the front of the shoulder is hurt.
    """
    from firstpush.core.body.posture import external_rotation

    setup = base.setup("chest_stretch_post", "left")
    turned = np.degrees(external_rotation(setup.movement.posture.arms["left"].humerus, "left"))
    assert turned.max() <= 90.0 + 1e-6


class TestArmSpanLongerBy20Centimetres:
    """Longer arms, nothing else: the same moment needs less pull, the chair stands farther, the ball is heavier."""

    GUESSED = replace(RUNA, upper_arm=None, forearm=None, hand=None, sitting_shoulder_height=None)
    LONGER = replace(GUESSED, arm_span=1.86)

    def test_same_load_with_less_pull(self) -> None:
        """12 % more arm span makes the forearm 12 % longer: for the same rotation moment the hand pulls about a tenth
        less, on both sides.
        """
        short, long = made(self.GUESSED), made(self.LONGER)
        for side in SIDES:
            one, two = (each.setup("external_rotation_90", side) for each in (short, long))
            assert one.peak is not None and two.peak is not None
            assert two.peak.value == pytest.approx(one.peak.value, rel=0.06)
            per_newton = [setup.peak.value / largest_pull(setup) for setup in (one, two) if setup.peak]
            assert per_newton[1] / per_newton[0] == pytest.approx(1.86 / 1.66, rel=0.06)

    def test_the_floor_plan_moves(self) -> None:
        """The mark, the distance or the height of at least one band exercise is another: nobody lays the same floor
        for arms that are 12 % longer.
        """
        short, long = made(self.GUESSED), made(self.LONGER)

        def laid(each: Made) -> list[tuple[object, ...]]:
            bands = [each.setup(name).band for name in WITH_BAND]
            return [(b.band.name, b.strands, b.slack_length, b.distance, b.height) for b in bands if b]

        assert laid(short) != laid(long)

    def test_the_same_ball_loads_a_longer_arm_more(self) -> None:
        """The arm's own weight (same body mass) and the 0.6 kg ball hang on a lever 12 % longer."""
        loads = [made(each).setup("ball_circles").peak for each in (self.GUESSED, self.LONGER)]
        assert loads[0] is not None and loads[1] is not None
        assert loads[1].value / loads[0].value == pytest.approx(1.86 / 1.66, rel=0.02)

    def test_measured_arms_are_believed_before_the_span(self, base: Made) -> None:
        """Where upper arm, forearm and hand were measured, a longer span (a mistake of the tape, broad shoulders)
        changes no lever: the ball loads the same to the last digit.
        """
        longer = made(replace(RUNA, arm_span=1.86)).setup("ball_circles").peak
        measured = base.setup("ball_circles").peak
        assert longer is not None and measured is not None
        assert longer.value == pytest.approx(measured.value, rel=1e-9)

    def test_where_the_length_comes_from_is_printed(self) -> None:
        """The practitioner's copy says that lengths came from the span, and which number they rest on."""
        assert "Drillis" in made(self.GUESSED).printed
        assert "pper arm 0.31 m" in made(self.GUESSED).printed  # 0.186 * 1.66 = 0.309
        assert "pper arm 0.35 m" in made(self.LONGER).printed  # 0.186 * 1.86 = 0.346


class TestInjuryAtT6:
    """T6: dysreflexia and low pressure become possible; strength of the arms is as before, so loads stay."""

    T6 = with_health(spinal_level="T6")

    def test_both_dangers_with_opposite_first_aid_are_printed(self) -> None:
        """Dysreflexia: sit up, loosen straps. Faintness: tilt back, legs up. Both cards, not mixed, with the athlete's
        own usual pressure of 112, and what to do before the start (bladder, tube, straps, shoes).
        """
        t6 = made(self.T6)
        dysreflexia, faintness = t6.notice("dysreflexia-risk"), t6.notice("faintness-risk")
        assert dysreflexia.level == "caution"
        assert "112" in dysreflexia.what
        assert "sit upright" in dysreflexia.do
        assert "Bladder" in dysreflexia.do
        assert "tilt the chair back" in faintness.do
        for notice in (dysreflexia, faintness):
            assert notice.do in t6.printed

    def test_heat_is_mentioned(self) -> None:
        """Little sweating below T6: water spray and breaks in a warm hall."""
        assert "Water spray" in made(self.T6).printed

    def test_t7_has_neither_card(self, base: Made) -> None:
        """One level lower, and at the demo's T10, there is no dysreflexia card: too many warnings are not read."""
        t7 = made(with_health(spinal_level="T7"))
        for session in (base, t7):
            assert not session.says("dysreflexia-risk")
            assert not session.says("faintness-risk")

    def test_loads_are_not_changed_by_the_level_alone(self, base: Made) -> None:
        """What the arms can do was tested; the level changes what to watch, not the kilograms."""
        t6 = made(self.T6)
        for name in WITH_BAND:
            assert t6.setup(name).peak == base.setup(name).peak


class TestSpinaBifidaWithLatexTolerated:
    """Everybody with spina bifida avoids latex whatever the file says (spina bifida
    guidelines on latex, 2018).
    """

    SPINA_BIFIDA = with_health(conditions=frozenset({"spina bifida"}), latex="tolerated")

    def test_no_latex_and_the_reason_is_printed(self) -> None:
        """The latex tube stays in the cupboard; the sheet says that spina bifida decides, also for partners' kit."""
        session = made(self.SPINA_BIFIDA)
        for setup in session.setups():
            assert setup.band is None or setup.band.band.material == "latex-free"
            assert setup.ball is None or setup.ball.material == "latex-free"
        assert "spina bifida counts as high risk whatever the file says" in session.printed
        assert "a partner's too" in session.printed

    def test_a_cupboard_of_latex_gives_no_band_exercise(self) -> None:
        """With only latex bands and a latex ball no band or ball exercise is left; each says which things were left
        out for latex and that a latex-free one would do.
        """
        latex = replace(
            CUPBOARD,
            bands=tuple(replace(band, material="latex") for band in CUPBOARD.bands),
            balls=tuple(replace(ball, material="latex") for ball in CUPBOARD.balls),
        )
        session = made(self.SPINA_BIFIDA, latex)
        assert session.ids <= {"chest_stretch_post", "graded_push_lengths"}
        for name in WITH_BAND:
            assert "flat thin" in session.reason(name)
            assert "latex-free band would do" in session.reason(name)
        assert "latex" in session.reason("ball_circles")

    def test_a_latex_cuff_is_latex_too(self) -> None:
        """No grip, and the only wrist cuffs are latex: no band exercise, and the reason names the cuff."""
        kit = replace(CUPBOARD, cuffs=tuple(replace(cuff, material="latex") for cuff in CUPBOARD.cuffs))
        session = made(with_arms(self.SPINA_BIFIDA, grip="none"), kit)
        assert not session.ids & set(WITH_BAND)
        assert "no wrist cuff the athlete may use" in session.reason("seated_row")

    def test_tolerated_without_spina_bifida_may_use_latex(self) -> None:
        """The same cupboard of latex serves an athlete who tolerates it and has no such condition."""
        latex = replace(CUPBOARD, bands=tuple(replace(band, material="latex") for band in CUPBOARD.bands))
        assert set(WITH_BAND) <= {name for name, _ in made(RUNA, latex).prepared.setups}


class TestRightArmLiftsTo90Degrees:
    """Lifts to shoulder height and no farther: work at shoulder height would be done at the very end of range."""

    STIFF = with_arms(sides=("right",), elevation=math.radians(90))

    def test_nothing_at_shoulder_height_on_the_right(self) -> None:
        """Chest stretch, rotation at 90° and circles go on the left only; the sheet says 90°, and what is asked."""
        session = made(self.STIFF)
        for name in AT_SHOULDER_HEIGHT:
            assert (name, "right") not in session.prepared.setups, name
            assert (name, "left") in session.prepared.setups, name
        assert "right active elevation is 90°" in session.printed

    def test_what_stays_below_is_kept_for_both_arms(self) -> None:
        """Row and press stay under 75°: both arms go on working."""
        session = made(self.STIFF)
        for name in ("seated_row", "anti_rotation_press"):
            assert name in session.ids
            elevation = session.setup(name).movement.skeleton.arms["right"].elevation
            assert np.degrees(elevation.max()) < 80
        assert set(session.sides("anti_rotation_press")) == set(SIDES)


class TestNoTrunkControlToTheSides:
    """Cannot come back from leaning left or right without the hands, and sits in a chair without a strap."""

    LOOSE = with_chair(replace(RUNA, trunk=replace(RUNA.trunk, lean_left="no", lean_right="no")), strap="none")
    NO_STRAPS = replace(CUPBOARD, chest_straps=0, waist_straps=0)

    def test_the_side_press_gets_a_strap(self) -> None:
        """A pull from the side would topple the athlete: the press is set up with a strap (or on one arm), the sheet
        says so as a caution, with the direction that does not hold, and what to look at afterwards.
        """
        session = made(self.LOOSE)
        for side in SIDES:
            setup = session.setup("anti_rotation_press", side)
            assert any("strap" in word or "one arm" in word for word in setup.support), setup.support
            assert setup.hold.smallest_factor.min() >= 1.2
        added = session.notice("support-added")
        assert added.level == "caution"
        assert "strap" in added.what
        assert "skin" in added.do
        # Told once for both sides, with each side's own direction beside its numbers.
        assert session.printed.count("ith chest strap, because the trunk would not hold as the athlete sits now") == 1
        assert re.search(r"without the chest strap not [^;.]*to the right", session.printed)
        assert re.search(r"without the chest strap not [^;.]*to the left", session.printed)

    def test_without_straps_the_free_hand_holds_the_frame(self) -> None:
        """No strap in the cupboard: one-arm variant, the other hand on the frame, each side in turn."""
        session = made(self.LOOSE, self.NO_STRAPS)
        for side in SIDES:
            setup = session.setup("anti_rotation_press", side)
            assert any(word.startswith("one arm") for word in setup.support), setup.support
            assert set(setup.forces) == {side}
            assert setup.exercise.title.endswith("one arm")
        assert "one arm, the other hand on the frame" in session.printed

    def test_the_reason_names_the_direction(self) -> None:
        """That it "would not hold" is not enough for the one who ties the strap: to the side, or against turning?"""
        what = made(self.LOOSE).notice("support-added").what
        assert "to the left" in what or "to the right" in what or "turning" in what

    def test_a_waist_strap_alone_does_not_hold_a_trunk_that_cannot_turn(self) -> None:
        """The muscles that turn the trunk are those that bend it sideways: an athlete without control to either side
        does not turn against a pull either, even where "turn" was ticked as partly; in the demo's chair with its waist
        strap the press needs a chest strap or one arm.
        """
        athlete = replace(RUNA, trunk=replace(RUNA.trunk, lean_left="no", lean_right="no"))
        support = made(athlete).setup("anti_rotation_press").support
        assert "chest strap" in support or any(word.startswith("one arm") for word in support)

    def test_no_control_at_all_and_no_strap_still_holds_or_is_refused(self) -> None:
        """T2 complete without any strap: every band set-up that is printed holds with 1.2, or it is not there."""
        athlete = with_chair(
            replace(RUNA, trunk=TrunkControl(forward="no", turn="no", lean_left="no", lean_right="no")), strap="none"
        )
        session = made(athlete, self.NO_STRAPS)
        for setup in session.setups():
            if setup.exercise.static:
                assert setup.hold.smallest_factor.min() >= 1.2, setup.exercise.title

    def test_pushing_hard_without_trunk_control_is_not_passed_over(self) -> None:
        """All-out lengths with backward braking throw an athlete without trunk control and strap forward: at least a
        caution about strap or speed stands beside the exercise, or it is left out.
        """
        athlete = with_chair(
            replace(RUNA, trunk=TrunkControl(forward="no", turn="no", lean_left="no", lean_right="no")), strap="none"
        )
        session = made(athlete)
        if "graded_push_lengths" in session.ids:
            item = next(each for each in session.session.items if each.candidate.id == "graded_push_lengths")
            assert any("trunk" in notice.what or "strap" in notice.do for notice in item.candidate.notices)


class TestElbowExtensorsGrade2:
    """C6: the elbow is not straightened against gravity; a press would let hand and band fall towards the face."""

    WEAK = with_arms(elbow_extension=2)

    def test_press_and_circles_are_refused_with_the_grade(self) -> None:
        """The press and the straight-arm circles are out, with "grade 2" and what is asked; row and rotation stay."""
        session = made(self.WEAK)
        for name in NEED_ELBOW_EXTENSORS:
            assert name not in session.ids
            assert "elbow extensors grade 2 of 5 and this asks for 3" in session.reason(name)
            assert session.reason(name) in session.printed
        assert {"seated_row", "external_rotation_90"} <= session.ids

    def test_grade_3_is_enough(self) -> None:
        """Grade 3 straightens the elbow against gravity: nothing is refused for it."""
        assert set(NEED_ELBOW_EXTENSORS) <= {name for name, _ in made(with_arms(elbow_extension=3)).prepared.setups}

    def test_one_weak_arm_spares_the_other(self) -> None:
        """Right arm grade 2 only: circles go on with the left arm, and the press in its one-arm form alone."""
        session = made(with_arms(sides=("right",), elbow_extension=2))
        assert session.sides("ball_circles") == ("left",)
        if "anti_rotation_press" in session.ids:
            assert session.sides("anti_rotation_press") == ("left",)
            assert set(session.setup("anti_rotation_press", "left").forces) == {"left"}


class TestEverythingUnknown:
    """Only name, mass, arm span and the kind of chair are known: two minutes of typing."""

    @pytest.mark.parametrize("kind", ["court", "daily"])
    def test_careful_session_with_everything_to_be_asked(self, tmp_path: Path, kind: str) -> None:
        """A session comes out all the same. It takes no latex, counts trunk control as none (strap), starts with
        try-out loads, and asks before the start: pain, conditions, level, grip, range, trunk.
        """
        session = made(least(tmp_path, kind))
        assert session.ids
        for setup in session.setups():
            assert setup.band is None or setup.band.band.material == "latex-free"
            assert setup.target is None or setup.target.kind == "try-out"
        # What is alike on both sides, and in several exercises, is told once in words of its own.
        for id_ in ("pain-unknown", "conditions-unknown", "spinal-level-unknown", "function-unknown"):
            assert session.notice(id_).level == "caution"
            assert f"id='{id_}'" in session.printed
        for id_ in ("grip-unknown", "trunk-control-unknown"):
            assert session.notice(id_).level == "caution"
        (told,) = re.findall(r"what='not known: ([^']*)'", session.printed)
        named = [each.partition(" (")[0] for each in told.split("; ")]
        assert {"grip", "active elevation", "trunk control, counted as none"} <= set(named)
        assert "no latex: it is not known to be tolerated" in session.printed
        for name in WITH_BAND:
            assert session.setup(name).support, name

    def test_unknown_is_loaded_no_more_than_known(self, tmp_path: Path, base: Made) -> None:
        """Where the tested athlete gets 45 % of a measured strength, the unknown one gets the start load at most."""
        unknown = made(least(tmp_path, "court"))
        for side in SIDES:
            known, guessed = (each.setup("external_rotation_90", side).peak for each in (base, unknown))
            assert known is not None and guessed is not None
            assert guessed.value < known.value

    def test_unknown_pain_is_not_no_pain(self, tmp_path: Path) -> None:
        """Missing limbs, feeling and spasticity unknown as well: nothing of it is printed as "none"."""
        athlete = least(tmp_path, "court")
        assert athlete.health == Health()
        assert "pain: none" not in made(athlete).printed
