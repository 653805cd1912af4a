"""What a physiotherapist counts in a session by the name of the exercise, and the demo club's sessions to count in.

The lists are written from the trade, not from the aims in the exercise files: they are the second opinion.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from itertools import pairwise

from firstpush.core.exercises.definition import AIMS, PARTS, DoseOption
from firstpush.core.exercises.loader import library
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue import Venue
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.notices import Notice
from firstpush.core.people.age import age_notices
from firstpush.core.people.athlete import SIDES, Athlete, Side
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.people.health import health_notices
from firstpush.core.session.asked import Asked
from firstpush.core.session.kinds import KindName
from firstpush.core.session.plan import plan_session
from firstpush.core.session.prepare import Prepared
from firstpush.core.session.session import Session, SessionItem
from firstpush.core.setup.circumstances import circumstances
from firstpush.core.setup.result import ExerciseSetup
from firstpush.demo.club import club_files
from firstpush.sheets.from_session import sheet_contents

CLUB: dict[str, Athlete] = {path.stem: load_athlete(path) for path in club_files()["athletes"]}
CUPBOARD: Kit = load_kit(club_files()["kits"][0])
VENUES: dict[str, Venue] = {path.stem: load_venue(path) for path in club_files()["venues"]}
HALL: Venue = VENUES["slipway_hall"]

BACK = {
    "arm_out",
    "external_rotation_90",
    "external_rotation_both",
    "external_rotation_side",
    "high_row",
    "low_row",
    "pull_apart",
    "seated_row",
    "straight_arm_pull_back",
}
"""Strength for blade retractors, external rotators and back of the deltoid."""
FRONT = {
    "anti_rotation_press",
    "elbow_extension",
    "forward_punch",
    "hugging_press",
    "internal_rotation_90",
    "overhead_press",
    "scaption",
}
"""Strength for pressing, lifting and turning in: what pushing and passing train already."""
CHAINS = {"row_abduct_rotation_press", "row_rotation_press"}
"""Begin at the back and end in a press: a set of them is one for the back and one for the front."""
OVERHEAD = {"diagonal_lift", "overhead_press", *CHAINS}
"""A band is taken above the head."""
AT_SHOULDER_HEIGHT = {
    "arm_out",
    "ball_circles",
    "ball_circles_against_band",
    "diagonal_pull_down",
    "external_rotation_90",
    "forward_punch",
    "high_row",
    "internal_rotation_90",
    "partner_hold",
    "pull_apart",
    "scaption",
    *OVERHEAD,
}
"""The arm is loaded at shoulder height or above."""
ROTATION = {"external_rotation_90", "external_rotation_both", "external_rotation_side", "internal_rotation_90", *CHAINS}
"""The rotator cuff works as a rotator against a band."""
NEED_ELBOW_EXTENSORS = {
    "anti_rotation_press",
    "anti_rotation_turn_away",
    "ball_circles",
    "ball_circles_against_band",
    "elbow_extension",
    "forward_punch",
    "hugging_press",
    "partner_hold",
    "scaption",
    "straight_arm_pull_back",
    "wall_dribble",
    *OVERHEAD,
}
"""Something is pressed, or the elbow is held straight against gravity or a band."""
TRUNK = {"anti_rotation_circles", "anti_rotation_press", "anti_rotation_turn_away", "trunk_turn_band"}
STRETCHED = {
    "chest_stretch_post": "chest",
    "open_book_turn": "chest",
    "overhead_reach_side_bend": "side of the trunk",
    "posterior_shoulder_stretch": "back of the shoulder",
    "upper_trapezius_stretch": "upper trapezius",
}
"""What is held long in each stretch."""
STATIC_HOLD_S = 8.0
"""From here on a hold is a static stretch and not a movement with a short stop."""


@dataclass(frozen=True, kw_only=True)
class Made:
    """A session of one athlete, with all that it was chosen from."""

    athlete: Athlete
    on: date | None
    prepared: Prepared
    session: Session

    @property
    def ids(self) -> list[str]:
        """Exercises in the order in which they are done."""
        return [item.candidate.id for item in self.session.items]

    @property
    def parts(self) -> list[str]:
        """Parts in the order in which they are done."""
        return [item.candidate.exercise.part for item in self.session.items]

    @property
    def strength(self) -> list[SessionItem]:
        """Strength exercises in their order."""
        return [item for item in self.session.items if item.candidate.exercise.part == "strength"]

    def setups(self, item: SessionItem) -> dict[Side, ExerciseSetup]:
        """Return the set-ups of an exercise by side; both arms together stand under one."""
        id_ = item.candidate.id
        return {side: self.prepared.setups[id_, side] for side in SIDES if (id_, side) in self.prepared.setups}

    def sets(self, ids: set[str], side: Side) -> int:
        """Return how many sets of these exercises one side does."""
        return sum(item.dose.sets for item in self.session.items if item.candidate.id in ids and side in item.sides)

    def back(self, side: Side) -> int:
        """Return the sets for the back of the shoulder on one side."""
        return self.sets(BACK | CHAINS, side)

    def front(self, side: Side) -> int:
        """Return the sets for the front of the shoulder on one side."""
        return self.sets(FRONT | CHAINS, side)

    def holds(self) -> dict[str, float]:
        """Return how long each muscle is held long in all, on one side [s]."""
        held: dict[str, float] = {}
        for item in self.session.items:
            if item.candidate.id in STRETCHED:
                muscle = STRETCHED[item.candidate.id]
                held[muscle] = held.get(muscle, 0.0) + held_seconds(item.dose)
        return held

    def notices(self) -> list[Notice]:
        """Return the notices about health, the session, and the exercises in it."""
        of_items = [notice for item in self.session.items for notice in item.candidate.notices]
        about = (*health_notices(self.athlete), *age_notices(self.athlete, on=self.on))
        return [*about, *self.session.notices, *of_items]

    def told(self) -> set[str]:
        """Return the ids of all notices."""
        return {notice.id for notice in self.notices()}

    def printed(self, exercise: str) -> str:
        """Return what the athlete's sheet says of an exercise, as one text."""
        sheet, _ = sheet_contents(
            self.session,
            self.prepared,
            athlete=self.athlete,
            venue_name="",
            notices=(),
            program_version="",
            checksum="",
            figures=dict.fromkeys(self.ids, "<svg/>"),
        )
        return repr(sheet.items[self.ids.index(exercise)])

    def why_not(self, exercise: str) -> str:
        """Return why an exercise is left out, or ""."""
        return next((out.reason for out in self.session.left_out if out.exercise.id == exercise), "")


def held_seconds(dose: DoseOption) -> float:
    """Return how long one side is held at the end of the movement in a dose [s]."""
    each = dose.out_s + dose.hold_s + dose.back_s
    repetitions = dose.seconds / each if dose.seconds is not None else float(dose.repetitions or 0)
    return dose.sets * repetitions * dose.hold_s


@cache
def made(
    athlete: Athlete,
    *,
    kit: Kit = CUPBOARD,
    venue: Venue = HALL,
    minutes: float = 18.0,
    kind: KindName = "before training",
    asked: Asked | None = None,
    on: date | None = None,
) -> Made:
    """Return a session from the whole library, made once for all tests that ask for the same."""
    day = on or (asked.on if asked else None)
    case = circumstances(athlete, kit, venue, on=day)
    planned = plan_session(case, library().values(), minutes=minutes, kind=kind, asked=asked)
    return Made(athlete=athlete, on=day, prepared=planned.prepared, session=planned.session)


def in_chair(athlete: Athlete, kind: str) -> Athlete:
    """Return the athlete in the chair of that kind, which the file knows beside the first."""
    return replace(athlete, chairs=tuple(chair for chair in athlete.chairs if chair.kind == kind))


def mirrored(athlete: Athlete) -> Athlete:
    """Return the athlete with left and right swapped in function, strength and pain."""
    other: dict[Side | None, Side | None] = {"left": "right", "right": "left", None: None}
    trunk = replace(athlete.trunk, lean_left=athlete.trunk.lean_right, lean_right=athlete.trunk.lean_left)
    strength = tuple(replace(test, side="left" if test.side == "right" else "right") for test in athlete.strength)
    pain = tuple(replace(each, side=other[each.side]) for each in athlete.health.pain or ())
    sided: frozenset[tuple[str, Side]] = frozenset(
        (condition, "left" if side == "right" else "right") for condition, side in athlete.health.condition_sides
    )
    health = replace(athlete.health, pain=pain if athlete.health.pain is not None else None, condition_sides=sided)
    return replace(athlete, left=athlete.right, right=athlete.left, trunk=trunk, strength=strength, health=health)


def assert_adds_up(each: Made) -> None:
    """Check that the steps follow each other without a gap and end inside the minutes that there are."""
    steps = each.session.timeline.steps
    assert steps, "there is a session"
    assert steps[0].start_s == 0
    for one, two in pairwise(steps):
        assert one.end_s == two.start_s, f"a gap before {two.words}"
    assert steps[-1].end_s == each.session.total_s <= each.session.minutes * 60


def assert_nobody_stops_it(each: Made) -> None:
    """Nothing is done against a notice that says stop."""
    for item in each.session.items:
        assert not [notice for notice in item.candidate.notices if notice.level == "stop"], item.candidate.id


def assert_in_order(each: Made) -> None:
    """Mobility, strength, control, court; inside strength nothing for the front stands before the back."""
    places = [PARTS.index(part) for part in each.parts]
    assert places == sorted(places), each.ids
    strength = [item.candidate.id for item in each.strength]
    front = [index for index, id_ in enumerate(strength) if id_ in FRONT]
    back = [index for index, id_ in enumerate(strength) if id_ in BACK]
    assert not front or not back or max(back) < min(front), f"front before back: {strength}"


def assert_back_outweighs_front(each: Made) -> None:
    """Two sets at the back of each shoulder for each one at its front (common practice)."""
    for side in SIDES:
        back, front = each.back(side), each.front(side)
        assert back >= 2 * front, f"{side}: {back} sets at the back, {front} at the front, of {each.ids}"


def assert_same_on_both_sides(each: Made) -> None:
    """Every exercise of one arm is done with both."""
    for item in each.session.items:
        assert set(item.sides) == set(SIDES), f"{item.candidate.id} on {item.sides} only"


def assert_reasons_hold(each: Made) -> None:
    """Every exercise has its own reason, and what a reason says of an aim is true of the exercise.

    "Next best: Y, with no X" is accepted only of an exercise that trains X, and an exercise may not be there
    because "an equally good session without it exists": then it is not needed.
    """
    for item in each.session.items:
        reason = item.reason
        assert reason, item.candidate.id
        assert "equally good" not in reason, f"{item.candidate.id}: {reason}"
        own = set(item.candidate.exercise.aims)
        lost = reason.partition("; next best: ")[2].partition(", with no ")[2]
        if lost and not lost.endswith(" part"):
            named = {aim for aim in AIMS if re.search(rf"\b{re.escape(aim)}\b", lost)}
            assert named & own, f"{item.candidate.id} trains {sorted(own)}, its reason says: {reason}"
        if "wanted load" in reason or "loads" in reason:
            title = reason.partition("; next best: ")[2].partition(", with ")[0]
            ids = {item.candidate.id, *(id_ for id_, exercise in library().items() if exercise.title == title)}
            targets = [setup.target for (id_, _), setup in each.prepared.setups.items() if id_ in ids]
            assert any(target is not None for target in targets), f"nothing of {sorted(ids)} has a load: {reason}"


RUNA, SIGNE, MIKA, BREN = (CLUB[stem] for stem in ("runa_velde", "signe_marhaven", "mika_trosse", "bren_kollhaug"))
TOVI, NILO, EDDA = (CLUB[stem] for stem in ("tovi_ankerlund", "nilo_fyrvang", "edda_klipstrand"))
MATCH_DAY = date(2026, 11, 28)
FLAT = Venue(name="Flat on the quay", surface="low carpet", floor_length=4.0, floor_width=3.0, helpers=0)
HOME_BAG = Kit(
    name="Bag at home",
    bands=tuple(replace(band, count=1) for band in CUPBOARD.bands if band.name in ("flat thin", "flat 15")),
)
SIGNE_AT_HOME = in_chair(SIGNE, "daily")
ONE_BAND = Kit(
    name="Bag",
    bands=tuple(replace(band, count=1) for band in CUPBOARD.bands if band.name == "flat thin"),
    chocks=4,
    chock_height=0.08,
    waist_straps=1,
)


def match_of(athlete: Athlete) -> Made:
    """Return the ten minutes before a match."""
    return made(athlete, minutes=10.0, kind="before a match")


def at_home(kit: Kit = HOME_BAG) -> Made:
    """Return the session at home."""
    return made(SIGNE_AT_HOME, kit=kit, venue=FLAT, minutes=20.0, kind="home")


def one_band() -> Made:
    """Return the session with one light band."""
    return made(BREN, kit=ONE_BAND)


def ten() -> Made:
    """Return the ten minutes."""
    return made(MIKA, minutes=10.0)
