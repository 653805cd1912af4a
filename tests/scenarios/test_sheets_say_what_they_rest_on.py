"""What a physiotherapist who read whole printed sheets could not make out, and the sheet as it must be instead.

A strap that carries a dose and is printed nowhere, a reason that names the wrong side, a figure nearer than anybody
knows it, two meanings under one label.  Each docstring says what was expected before the program was changed, and why;
the expectations are the trade's (common practice), or read off the athlete's file, not off the program.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import date

import pytest
from eight_cases import BREN, CLUB, CUPBOARD, EDDA, HALL, MIKA, NILO, RUNA, SIGNE, TOVI, Made, made
from test_sheets_with_fresh_eyes import BOTH_OUT, PUSHES, both_sheets, kit_with, sheet_of, strapped, with_exercise

from firstpush.core.exercises.loader import library
from firstpush.core.people.athlete import SIDES, Athlete, Control, Pain, Strap, TrunkControl
from firstpush.core.people.health import health_notices
from firstpush.core.session.asked import Asked
from firstpush.core.setup.cautions import SORE_ARM, sore_arm_notices
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.readiness import readiness
from firstpush.sheets.cards import make_cards
from firstpush.sheets.content import Fact, SheetContent, SheetItem
from firstpush.sheets.from_session import stop_rules, used_by
from firstpush.sheets.make import make
from firstpush.sheets.words import facts, numbers

YLVA = CLUB["ylva_rorgang"]
NOBODY_SORE = replace(SIGNE, health=replace(SIGNE.health, pain=()))


def item_of(sheet: SheetContent, title: str) -> SheetItem:
    """Return the one exercise of this title."""
    (item,) = [each for each in sheet.items if each.title == title]
    return item


def said_in(found: tuple[Fact, ...]) -> str:
    """Return facts as one text."""
    return "; ".join(f"{each.label}: {each.value}" for each in found)


class TestWhatIsSaidBeforeTheStart:
    """Somebody who must be there, and the seat, are read before the first exercise and not when it comes."""

    def test_somebody_beside_is_asked_for_with_the_exercises(self) -> None:
        """Signe (T4), no trunk control: the slalom asks for somebody who steadies the trunk; Nilo needs nobody."""
        sheet = sheet_of(with_exercise(NOBODY_SORE, "slalom_cones"))
        (line,) = (each for each in sheet.before_we_start if each.startswith("Somebody beside or behind"))
        numbers = {int(each) for each in re.findall(r"[0-9]+", line)}
        assert item_of(sheet, "Slalom round cones").number in numbers
        assert numbers <= {each.number for each in sheet.items if "somebody" in str(each.notices).lower()}
        alone = sheet_of(with_exercise(NILO, "slalom_cones"))
        assert not any("Somebody" in each for each in alone.before_we_start)

    def test_the_seat_is_relieved_where_feeling_may_be_missing(self) -> None:
        """An injury of the cord, against legs that were amputated: Bren feels where he sits."""
        assert "seat relieved" in " ".join(sheet_of(NOBODY_SORE).before_we_start)
        assert "seat relieved" not in " ".join(sheet_of(BREN).before_we_start)


class TestAWornStrap:
    """Tovi (C6) and Signe (T4) have no trunk control: they roll with the chest strap closed."""

    @pytest.mark.parametrize("athlete", [TOVI, NOBODY_SORE], ids=lambda each: each.name)
    def test_both_sheets_card_and_opening_name_it(self, athlete: Athlete) -> None:
        """The lengths rest on the chest strap that is worn: sheet, copy and card say so, and it is looked at first."""
        session = with_exercise(athlete, PUSHES, kit=kit_with())
        for sheet in both_sheets(session):
            words = said_in(item_of(sheet, "Graded push lengths").facts)
            assert "chest strap, worn" in words
            assert any("chest strap closed" in line.lower() for line in sheet.before_we_start), sheet.before_we_start
        case = circumstances(athlete, CUPBOARD, HALL)
        deck = make_cards(case, [library()[PUSHES]], program_version="", checksum="", workers=1)
        assert "chest strap, worn" in said_in(deck.cards[0].facts)

    def test_what_the_trunk_would_not_hold_without_it_names_it(self) -> None:
        """Tovi's low row: without the strap nothing holds him against the pull; a factor with it rests on it."""
        setup = with_exercise(TOVI, "low_row").prepared.setups["low_row", "right"]
        assert "chest strap, worn" in said_in(facts({None: setup}))

    @pytest.mark.parametrize("athlete", [BREN, NILO], ids=lambda each: each.name)
    def test_the_strap_of_the_chair_is_closed_where_the_chair_is_braked_and_named_nowhere_else(
        self, athlete: Athlete
    ) -> None:
        """Their trunks hold by themselves, and braking moves them all the same: waist strap closed on court.

        What stands still names none: it changes no dose and no caution there; easy rolling is looked at beforehand.
        """
        rolling = {"Graded push lengths", "Half circle of cones", "Slalom round cones", "Stop and turn"}
        sheet = sheet_of(made(athlete))
        assert {"Graded push lengths", "Stop and turn"} <= {each.title for each in sheet.items}
        for item in sheet.items:
            assert ("waist strap, worn" in said_in(item.facts)) == (item.title in rolling), item.title
        assert "waist strap closed" in " ".join(sheet.before_we_start)

    def test_where_nothing_rolls_a_strap_that_carries_nothing_is_not_named(self) -> None:
        """One exercise at the wall, without the court: nothing about a strap; none on the chair: nothing either."""
        setups = made(BREN).prepared.setups
        assert used_by([setups["wall_dribble", "right"]]) == frozenset()
        bare = made(strapped(BREN, "none")).prepared.setups
        assert used_by([bare[PUSHES, "right"]]) == frozenset()

    def test_one_that_is_put_on_is_asked_for_once(self) -> None:
        """From the cupboard, for a chair without one: several exercises have it, and one clause asks for it."""
        session = with_exercise(strapped(NOBODY_SORE, "none"), PUSHES, kit=kit_with(chest=1))
        lines = " ".join(sheet_of(session).before_we_start)
        assert lines.lower().count("chest strap") == 1
        assert "hest strap on, and it may stay on; without one leave out what asks for it" in lines
        assert "may stay on" not in " ".join(sheet_of(NOBODY_SORE).before_we_start)

    @pytest.mark.parametrize("forward", ["no", None])
    def test_one_does_for_every_exercise_of_somebody_who_does_not_come_back(self, forward: Control | None) -> None:
        """No control of the trunk, or none known, both straps in the cupboard: the chest strap alone is put on."""
        trunk = TrunkControl(forward=forward, turn=forward, lean_left=forward, lean_right=forward)
        athlete = replace(strapped(NOBODY_SORE, "none"), trunk=trunk)
        prepared = made(athlete, kit=kit_with(waist=1, chest=1)).prepared
        put_on = Counter(strap for setup in prepared.setups.values() for strap in setup.straps_put_on)
        assert set(put_on) == {"chest strap"}
        assert put_on["chest strap"] > 10

    def test_one_that_is_put_on_is_not_called_worn(self) -> None:
        """From the cupboard: it is support, named as before, once."""
        session = with_exercise(strapped(NOBODY_SORE, "none"), PUSHES, kit=kit_with(chest=1))
        words = said_in(item_of(sheet_of(session), "Graded push lengths").facts)
        assert words.count("chest strap") == 1
        assert "worn" not in words


class TestWhyThisOne:
    """A complaint on one side is a reason on that side, in the words of the athlete's file."""

    def test_edda_hurts_on_the_right_at_the_top(self) -> None:
        """Her file: shoulder top, right. No reason names the left, nor the front."""
        reasons = " ".join(item.reason for item in made(EDDA).session.items)
        assert "front of the shoulder" not in reasons
        assert not re.search(r"on the left \(pain", reasons)

    def test_ylva_hurts_on_the_left_in_front(self) -> None:
        """Her file: shoulder front, left: a reason for both sides or for the left may name it, none for the right."""
        reasons = " ".join(item.reason for item in made(YLVA).session.items)
        assert not re.search(r"on the right \(pain", reasons)
        for said in re.findall(r"\(pain[^)]*\)", reasons):
            assert "left shoulder front" in said


class TestAFirstTime:
    """Why a first set begins where it does is said as it is."""

    def told(self, session: Made) -> list[str]:
        """Return what is told of first times."""
        notices = [each for setup in session.prepared.setups.values() for each in setup.notices]
        return [each.what for each in notices if each.id == "try-out-set"]

    def test_who_was_tested_is_not_told_that_nothing_is_known(self) -> None:
        """Edda's right external rotation was tested at 8.5 N·m: it begins low because it hurts, not untested."""
        setup = made(EDDA).prepared.setups[BOTH_OUT, "right"]
        (what,) = [each.what for each in setup.notices if each.id == "try-out-set"]
        assert "right side hurts too much today" in what
        assert "known" not in what

    def test_a_junior_begins_low_for_being_a_junior(self) -> None:
        """Nilo is under 18."""
        told = self.told(made(NILO, on=date(2026, 11, 26)))
        assert told
        assert all("a junior begins at the lightest start" in each for each in told)
        tested = {test.movement for test in NILO.strength}
        assert any("whatever was tested" in each for each in told) == bool(tested)

    def test_a_test_of_another_movement_is_not_denied(self) -> None:
        """Bren's external rotation was tested: elsewhere no strength "in this movement" is known."""
        told = self.told(made(BREN))
        assert told
        assert all("no strength or earlier load known" in each for each in told)


class TestFiguresAsNearAsTheyAreKnown:
    """What holds the trunk is known by a third, a driven line by about two digits."""

    @pytest.mark.parametrize("athlete", [EDDA, TOVI, BREN], ids=lambda each: each.name)
    def test_no_hold_above_ten_is_told_to_a_tenth(self, athlete: Athlete) -> None:
        """Neither 88.7 times nor 16.3 times: more than 10 times."""
        found = [said_in(numbers({None: setup})) for setup in made(athlete).prepared.setups.values()]
        times = [float(each) for words in found for each in re.findall(r"(\d+(?:\.\d+)?) times", words)]
        assert times
        assert max(times) <= 10.0
        assert any("more than 10 times" in words for words in found)

    def test_turning_has_two_digits(self) -> None:
        """As 4800° a minute, not 4750°."""
        _, copy = both_sheets(with_exercise(RUNA, "slalom_cones"))
        (value,) = [each.value for each in item_of(copy, "Slalom round cones").numbers if each.label == "Turns"]
        for angle in re.findall(r"(\d+)°", value):
            assert len(angle.rstrip("0")) <= 2, value


class TestOneMeaningALabel:
    """The label says which: what is laid, or what it gives."""

    @pytest.mark.parametrize("athlete", [RUNA, SIGNE, TOVI], ids=lambda each: each.name)
    def test_no_label_stands_twice_at_an_exercise(self, athlete: Athlete) -> None:
        """Facts and numbers of an exercise stand beside each other on copy and page."""
        _, copy = both_sheets(made(athlete))
        for item in copy.items:
            labels = Counter(each.label for each in (*item.facts, *item.numbers))
            assert not {label for label, times in labels.items() if times > 1}, item.title

    def test_pull_and_what_the_chair_holds(self) -> None:
        """The row's pull in newtons stands under Pull, at how many times it the chair gives under its own label."""
        setup = with_exercise(RUNA, "low_row").prepared.setups["low_row", "right"]
        found = {each.label: each.value for each in numbers({None: setup})}
        assert "N on a hand" in found["Pull"]
        assert "times this pull" in found["Chair holds"]


class TestWhoseArms:
    """The words for both arms are for arms that work as such."""

    @pytest.mark.parametrize("id_", ["chin_tuck", "shoulder_blade_clock", "easy_rolling"])
    def test_a_nod_names_no_arm(self, id_: str) -> None:
        """Nothing is loaded, and no arm has its turn."""
        sheet = sheet_of(with_exercise(RUNA, id_))
        assert item_of(sheet, library()[id_].title).side_words == ""

    def test_a_row_names_both(self) -> None:
        """Two hands pull."""
        assert item_of(sheet_of(with_exercise(RUNA, "low_row")), "Low row").side_words == "Both arms together"


class TestPainIsSaidOnce:
    """Edda began at 4 of 10 in the right shoulder, limit 2."""

    def test_there_up_to_four_and_elsewhere_two(self) -> None:
        """One sentence for both numbers, with why."""
        (rule,) = [each for each in sheet_of(EDDA).stop_rules if "pain over" in each]
        assert "over 2 of 10 (right shoulder top: over 4, its level today)" in rule

    def test_the_notice_says_the_same(self) -> None:
        """It stops above 4 there, not above 2."""
        (notice,) = [each for each in made(EDDA).notices() if each.id == "pain-too-much"]
        assert "stop over 4 of 10 there" in notice.do


class TestAPainJustAboveTheUsual:
    """Usually 1 of 10, today 2 in the right shoulder: within the limit of 2, and more than usual."""

    PAIN = Pain(place="shoulder front", side="right", usual=1, now=2)
    ATHLETE = replace(RUNA, health=replace(RUNA.health, pain=(PAIN,), pain_limit=None))

    def test_the_stop_rule_names_the_number_once(self) -> None:
        """Over 2 stops everywhere, there too: nothing in brackets says it again."""
        (rule,) = [each for each in sheet_of(made(self.ATHLETE)).stop_rules if "pain over" in each]
        assert rule.count("over 2") == 1
        assert "(" not in rule

    def test_the_exercise_says_what_is_usual_what_is_today_and_where_it_stops(self) -> None:
        """With 2 it goes on, lightly; over 2 it stops, the number of the stop rule: no word that 2 may not be."""
        session = with_exercise(self.ATHLETE, "low_row")
        (item,) = [each for each in session.session.items if each.candidate.id == "low_row"]
        (notice,) = [each for each in item.candidate.notices if each.id == SORE_ARM]
        assert notice.what == "right shoulder front: usually 1 of 10, today 2; both arms work"
        assert notice.do == "Go on lightly and slowly; stop over 2 of 10"
        assert "may" not in notice.what

    def test_a_caution_of_the_exercise_names_the_same_number(self) -> None:
        """Rolling has a word of its own for a sore shoulder: it stops at the number of the stop rule too."""
        of = readiness(library()["easy_rolling"], self.ATHLETE, CUPBOARD, side="right").notices
        (told,) = [each for each in of if each.what.startswith("sore shoulder")]
        assert told.do == "Long and slow; stop over 2 of 10"
        two = (self.PAIN, Pain(place="shoulder top", side="right", usual=0, now=1))
        athlete = replace(self.ATHLETE, health=replace(self.ATHLETE.health, pain=two))
        of = readiness(library()["easy_rolling"], athlete, CUPBOARD, side="right").notices
        (told,) = [each for each in of if each.what.startswith("sore shoulder")]
        assert told.do == "Long and slow; stop when it rises", "two places with two numbers"

    @pytest.mark.parametrize(
        ("usual", "now", "limit"), [(0, 1, None), (1, 2, None), (3, 3, 2), (None, 4, None), (2, 5, 1)]
    )
    def test_every_place_that_names_a_number_names_the_same(
        self, usual: int | None, now: int, limit: int | None
    ) -> None:
        """What an exercise and the page say of the place, and the sheet's stop rule for it, are one threshold."""
        pain = Pain(place="shoulder front", side="right", usual=usual, now=now)
        athlete = replace(RUNA, health=replace(RUNA.health, pain=(pain,), pain_limit=limit))
        (above,) = [each for each in health_notices(athlete) if each.id == "pain-too-much"]
        assert f"stop over {now} of 10 there" in above.do
        (of_arm,) = sore_arm_notices(library()["low_row"], athlete, SIDES, ())
        assert of_arm.do.endswith(f"stop over {now} of 10")
        (rule, _) = stop_rules(frozenset(), athlete)
        elsewhere = 2 if limit is None else limit
        assert f"over {elsewhere} of 10" in rule
        assert (f"right shoulder front: over {now}" in rule) == (now != elsewhere)


class TestTheSignsOfDysreflexia:
    """T4: dysreflexia asks to sit upright and to loosen straps (clinical guideline texts)."""

    @pytest.mark.parametrize(
        ("control", "strap", "used", "held"),
        [
            ("no", "chest", frozenset(), True),
            ("no", "none", frozenset({"chest strap put on"}), True),
            ("no", "none", frozenset(), False),
            ("yes", "chest", frozenset(), False),
        ],
    )
    def test_a_trunk_that_a_strap_holds_is_held_when_it_is_loosened(
        self, control: Control, strap: Strap, used: frozenset[str], held: bool
    ) -> None:
        """Loosened, a strap holds nothing; help is called in any case, and the line stays one for a sheet."""
        athlete = replace(
            RUNA,
            health=replace(RUNA.health, spinal_level="T4"),
            trunk=TrunkControl(forward=control, turn=control),
            chairs=(replace(RUNA.chair, strap=strap),),
        )
        (_, rule) = stop_rules(used, athlete)
        assert f"(sit upright{' and held' if held else ''}, loosen straps, call medical help)" in rule
        assert len(rule) < 260

    def test_without_legs_none_are_put_up(self) -> None:
        """Faintness: tilt back; above-knee stumps are not put up."""
        athlete = replace(RUNA, health=replace(RUNA.health, spinal_level="T4"))
        for missing, words in ((BREN.missing_limbs, "(tilt back)"), (frozenset(), "(tilt back, legs up)")):
            (_, rule) = stop_rules(frozenset(), replace(athlete, missing_limbs=missing))
            assert words in rule


class TestTheCopyThatIsSigned:
    """What the practitioner answers with: running text without ids and brackets of sources, which stand below."""

    def test_sources_stand_below_and_not_in_the_sentence(self) -> None:
        """Every source of what speaks for an exercise is on the copy, in the list of sources."""
        session = with_exercise(RUNA, PUSHES)
        _, copy = both_sheets(session)
        for item in copy.items:
            assert not re.search(r", (read|from memory|common practice|our choice)\)", item.why), item.why
        listed = " ".join(copy.sources)
        for chosen in session.session.items:
            for evidence in chosen.candidate.exercise.evidence:
                assert f"{evidence.source}, {evidence.known}" in listed

    def test_what_leaves_both_sides_out_is_said_once(self) -> None:
        """Edda's painful arc speaks of both arms, her sore shoulder of the right: one entry, each said once."""
        reason = made(EDDA).why_not("forward_punch")
        assert reason.count("painful arc") == 1
        assert "(both sides)" in reason
        assert "right: sore shoulder" in reason

    def test_nothing_is_said_twice_of_anybody(self) -> None:
        """No clause that begins with a condition comes twice in one entry."""
        for athlete in (EDDA, TOVI, YLVA):
            for out in made(athlete).session.left_out:
                why = re.findall(r"(?:^|; )([a-z ]+): ", out.reason)
                named = [each for each in why if each not in ("instead", "right", "left")]
                assert len(named) == len(set(named)), out.reason


class TestALightFront:
    """Bren has no legs, and 16 % of the weight on the casters: what leans back or brakes can tip him backwards."""

    def test_stopping_asks_to_lean_forward(self) -> None:
        """A caution about tipping backwards with the anti-tip wheel, and a cue that does not lean back."""
        found = readiness(library()["stop_and_turn"], BREN, CUPBOARD, side="right")
        (told,) = [each for each in found.notices if "light front" in each.what]
        assert "backwards" in told.what
        assert "nti-tip wheel down" in told.do
        assert "lean forward, not back" in told.do
        assert "ean back" not in found.exercise.cue
        assert "forward" in found.exercise.cue

    def test_all_that_leans_back_or_brakes_asks_so(self) -> None:
        """Of the library: what is marked to lean or brake backwards, and what trains braking."""
        ids = {e.id for e in library().values() if e.needs.anti_tip_or_trunk or "braking" in e.aims}
        assert {"stop_and_turn", "half_circle_cones", PUSHES} <= ids
        for id_ in ids:
            told = readiness(library()[id_], BREN, CUPBOARD, side="right").notices
            assert any("light front" in each.what for each in told), id_

    def test_weight_on_the_casters_takes_it_away(self) -> None:
        """All limbs and 30 % on the casters: the exercise's own cue."""
        chairs = tuple(replace(chair, caster_share=0.30) for chair in BREN.chairs)
        steady = replace(BREN, missing_limbs=frozenset(), chairs=chairs)
        found = readiness(library()["stop_and_turn"], steady, CUPBOARD, side="right")
        assert not [each for each in found.notices if "light front" in each.what]
        assert found.exercise.cue == library()["stop_and_turn"].cue


class TestBladderAndSkin:
    """What is looked at is about the athlete."""

    @pytest.mark.parametrize(
        ("athlete", "asked"),
        [
            (BREN, False),  # amputations, no injury of the cord
            (TOVI, True),  # C6
            (EDDA, True),  # L1
            (replace(BREN, health=replace(BREN.health, no_spinal_injury=False, spinal_level=None)), True),
            (replace(BREN, health=replace(BREN.health, conditions=frozenset({"spina bifida"}))), True),
            (MIKA, MIKA.health.spinal_level is not None or "spina bifida" in (MIKA.health.conditions or ())),
        ],
        ids=["amputee", "C6", "L1", "unknown", "spina bifida", "Mika"],
    )
    def test_the_bladder_is_asked_for_where_it_is_concerned(self, athlete: Athlete, asked: bool) -> None:
        """An injury of the cord at any level, spina bifida, or not known; straps and skin for everybody."""
        lines = sheet_of(athlete).before_we_start
        assert ("ladder" in " ".join(lines)) == asked
        assert "kin under straps looked at" in lines[1]

    def test_a_loop_over_a_hand_without_feeling_is_told_as_a_cuff_is(self) -> None:
        """Tovi's feeling is reduced in both hands: the loop of the wrist extension presses as a cuff does."""
        notices = with_exercise(TOVI, "wrist_extension").prepared.setups["wrist_extension", "right"].notices
        (told,) = [each for each in notices if each.id == "band-on-hand-without-feeling"]
        assert "right hand with feeling reduced" in told.what
        assert "look at the skin afterwards" in told.do

    @pytest.mark.parametrize(("feeling", "loop", "held"), [("full", 0, 0), ("none", 1, 1), (None, 1, 0)])
    def test_what_is_held_is_told_where_feeling_is_known_to_lack(
        self, feeling: str | None, loop: int, held: int
    ) -> None:
        """A loop where nothing is known counts as the worst; a handle in a strong grip does not (our choice)."""
        arm = replace(RUNA.right, feeling=feeling)  # type: ignore[arg-type]
        for id_, expected in (("wrist_extension", loop), ("external_rotation_side", held)):
            found = readiness(library()[id_], replace(RUNA, right=arm), CUPBOARD, side="right").notices
            assert sum(each.id == "band-on-hand-without-feeling" and "right" in each.what for each in found) == expected

    def test_two_cuffs_are_both(self) -> None:
        """One clause for two wrists."""
        printed = with_exercise(TOVI, BOTH_OUT).printed(BOTH_OUT)
        assert "both wrists in cuffs" in printed
        assert "wrist in a cuff" not in printed


def test_files_print_the_day_as_everywhere() -> None:
    """The sheet made from files says the day as the pages do."""
    case = circumstances(BREN, CUPBOARD, HALL, on=date(2026, 11, 26))
    for sheet in make(case, minutes=5.0).contents:
        assert sheet.date == "26 November 2026"


def test_a_pain_of_which_the_usual_is_not_known_asks_first() -> None:
    """2 of 10 today, usual never asked: no "familiar", a caution on the copy, and the exercise asks too."""
    pain = (Pain(place="shoulder top", side="right", usual=None, now=2),)
    session = made(replace(BREN, health=replace(BREN.health, pain=pain)), asked=Asked(keep=(PUSHES,)))
    told = {each.id for each in session.notices()}
    assert "pain-familiar-unknown" in told
    assert "familiar-pain" not in told
    assert any("usual pain not known" in each.what for each in session.notices())
