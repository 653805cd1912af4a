"""From exercise set-ups to words: dose, sides, set-up facts, numbers; shared by session sheets, cards and catalogue."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from firstpush.core.exercises.definition import DoseOption, Exercise
from firstpush.core.figure.from_setup import contact_post, scene_of
from firstpush.core.notices import Notice
from firstpush.core.people.athlete import SIDES, Side
from firstpush.core.people.limbs import for_limbs
from firstpush.core.progress.try_out import is_tried_out
from firstpush.core.session.first_set import FEW, FIRST_REPETITIONS, first_set_words
from firstpush.core.setup.cautions import EXERCISE_CARE
from firstpush.core.setup.result import BandSetup, ExerciseSetup
from firstpush.sheets.content import Fact

Setups = Mapping[Side | None, ExerciseSetup]
"""The set-ups of one exercise by side; under None for both arms together."""

_LEVERS = {
    "distance": {"more": "chair farther from the post", "less": "chair nearer to the post"},
    "slack mark": {"more": "shorter mark", "less": "longer mark"},
    "strands": {"more": "band folded double", "less": "single band"},
    "band": {"more": "next heavier band", "less": "next lighter band"},
    "hold time": {"more": "hold longer", "less": "hold shorter"},
    "repetitions": {"more": "more repetitions", "less": "fewer repetitions"},
    "ball mass": {"more": "heavier ball", "less": "no ball"},
    "added turn": {"more": "turn farther", "less": "turn less"},
}


def figure_words(setup: ExerciseSetup) -> str:
    """Return what the drawing shows, for those who do not see it."""
    band = setup.band
    where = ""
    if band is not None and band.post is not None:
        where = (
            f" The band runs from {band.post}, {band.height:.2f} m high, "
            f"{band.distance:.2f} m from {band.measured_from}."
        )
    elif band is not None:
        where = f" The band is {_fixed_without_post(setup)}."
    return f"{_shown(setup)}. {setup.exercise.summary}{where}"


def _shown(setup: ExerciseSetup) -> str:
    """Return which poses have a picture: those of a chain all, of a movement its start and end."""
    poses = scene_of(setup).poses
    return f"Pose by pose: {', '.join(pose.name for pose in poses)}" if poses else "Start and end"


def graver(notices: Sequence[Notice]) -> tuple[Notice, ...]:
    """Return what the athlete reads too: cautions and stops, no notes."""
    return tuple(notice for notice in notices if notice.level != "note")


def dose_large(dose: DoseOption, exercise: Exercise) -> str:
    """Return the dose in large: "2 × 10", "2 × 30 s", "1 × 60 s"."""
    if dose.rounds is not None:
        time, _ = _round_in_time(dose)
        return f"{dose.sets * dose.rounds} × {time}" if time else f"{dose.sets} × {dose.rounds}"
    amount = f"{dose.repetitions}" if dose.repetitions is not None else f"{dose.seconds:.0f} s"
    return f"{dose.sets} × {amount}"


def dose_small(dose: DoseOption, exercise: Exercise) -> str:
    """Return tempo, pause and sides in small."""
    words = []
    if exercise.circle is not None:
        words.append("one set each direction" if dose.sets == 2 else "change direction half-way")
    elif dose.rounds is not None:
        words.append(_round_in_time(dose)[1])
    elif dose.rhythm:
        words.append(dose.rhythm)
    elif dose.seconds is None or len(exercise.poses) > 1:
        # A hold has no way out and back.
        phases = [("out", dose.out_s), ("hold", dose.hold_s), ("back", dose.back_s)]
        words += [f"{seconds:g} s {name}" for name, seconds in phases if seconds > 0]
    if dose.pause_s > 0 and dose.sets > 1:
        words.append(f"{dose.pause_s:g} s pause")
    return " · ".join(words)


FIRST_TIME = FIRST_REPETITIONS
"""What is printed in large of a first time."""


def dose_in_large(dose: DoseOption, setups: Setups | Mapping[Side, ExerciseSetup]) -> str:
    """Return the one dose in large: of a first time the try-out set alone, "5 to 8"."""
    if not is_tried_out(dose, setups):
        return dose_large(dose, next(iter(setups.values())).exercise)
    most = min(FIRST_TIME[-1], dose.repetitions or 0)
    return f"{FIRST_TIME[0]} to {most}" if most > FIRST_TIME[0] else f"{most}"


_TIMES = (("easy half minutes", "30 s"), ("easy minutes", "60 s"))
"""Rounds that are a time, as the library calls them."""


def _round_in_time(dose: DoseOption) -> tuple[str, str]:
    """Return how long a round of a dose is, empty where it is no time, and what else is said of it."""
    for words, time in _TIMES:
        if dose.rounds_words.startswith(words):
            return time, f"easy{dose.rounds_words.removeprefix(words)}"
    return "", dose.rounds_words


def first_time_words(dose: DoseOption, setups: Setups) -> str:
    """Return what is asked of a try-out set, as a clause without a full stop; empty when it is none."""
    return f"first time: {FEW}, then say how hard" if is_tried_out(dose, setups) else ""


def dose_words(dose: DoseOption, setups: Setups) -> str:
    """Return the small dose line that stands beside `dose_in_large`; after a first set the answer gives the next."""
    rest = dose_small(dose, next(iter(setups.values())).exercise)
    return " · ".join(filter(None, (try_out_words(dose, setups), rest)))


def try_out_words(dose: DoseOption, setups: Setups) -> str:
    """Return what is asked beside the "5 to 8" of a first time, as a clause without a full stop; empty otherwise."""
    return f"first time: {first_set_words(dose.sets)}" if is_tried_out(dose, setups) else ""


def names_no_arm(exercise: Exercise) -> bool:
    """Whether "both arms together" would tell nothing: of a nod of the head, or of rolling."""
    return exercise.loads == "none" and exercise.sides == "together"


def side_words(exercise: Exercise, sides: Sequence[Side], *, together: bool) -> str:
    """Return which arms work, in their order; empty where no arm works as such.

    Examples
    --------
    >>> from firstpush.core.exercises.loader import library
    >>> side_words(library()["chest_stretch_post"], ("right", "left"), together=False)
    'Right side, then left'
    >>> side_words(library()["chin_tuck"], ("left", "right"), together=True)
    ''
    """
    if names_no_arm(exercise):
        return ""
    if together:
        return "Both arms together"
    if len(sides) == 1:
        return f"{sides[0].capitalize()} side only"
    return f"{sides[0].capitalize()} side, then {sides[1]}"


def facts(setups: Setups, *, between: str = "; ") -> tuple[Fact, ...]:
    """Return the large set-up facts: one value where the sides agree, else each side's, with `between` them."""
    both = len(setups) > 1
    found = {
        fact.label: fact for fact in _by_label({s: _facts_of(each, both=both) for s, each in setups.items()}, between)
    }
    # Together only now: a strap for one of the sides does not make the chair stand otherwise on each.
    if "Chair" in found and "Support" in found:
        found["Chair"] = Fact(label="Chair", value=f"{found['Chair'].value}; {found.pop('Support').value}")
    return tuple(found.values())


def numbers(setups: Setups, *, between: str = "; ") -> tuple[Fact, ...]:
    """Return the practitioner's numbers: one where the sides agree, else each side's, with `between` them."""
    return _by_label({side: _numbers_of(setup) for side, setup in setups.items()}, between)


def easier(exercise: Exercise) -> str:
    """Return the first steps down, as a clause without a full stop; empty without any."""
    steps = _levers(exercise.easier, exercise, "less")
    # How firmly a partner pushes is no lever that could be logged; it is what becomes lighter first.
    return ", then ".join(filter(None, ("lighter pushes", steps))) if exercise.contact == "partner" else steps


def harder(exercise: Exercise) -> str:
    """Return the first steps up, as a clause without a full stop; empty without any."""
    return _levers(exercise.harder, exercise, "more")


def evidence_words(exercise: Exercise) -> str:
    """Return what speaks for an exercise, a sentence, or empty; where it stands is told by `evidence_sources`."""
    said = "; ".join(each.says for each in exercise.evidence)
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def evidence_sources(exercise: Exercise) -> tuple[str, ...]:
    """Return where what speaks for an exercise stands, each with how it is known."""
    return tuple(dict.fromkeys(f"{each.source}, {each.known}" for each in exercise.evidence))


def _by_label(each: Mapping[Side | None, dict[str, str]], between: str) -> tuple[Fact, ...]:
    """Return one fact a label: the value both sides share, else the right's and the left's."""
    labels = dict.fromkeys(label for facts in each.values() for label in facts)
    found = []
    for label in labels:
        values = {side: facts[label] for side, facts in each.items() if label in facts}
        alike = len(set(values.values())) == 1 and len(values) == len(each)
        told = (f"{side} {words}" for side, words in values.items())
        value = next(iter(values.values())) if alike else between.join(told)
        found.append(Fact(label=label, value=value))
    return tuple(found)


def _facts_of(setup: ExerciseSetup, *, both: bool) -> dict[str, str]:
    """Return the facts of one side; of a chair at a post also how it stands for the other, where `both` are done."""
    facts: dict[str, str] = {}
    if setup.band is not None:
        facts |= _band_facts(setup, setup.band, both=both)
    if setup.ball is not None:
        facts["Ball"] = f"{setup.ball.name}, {setup.ball.mass:g} kg"
    elif setup.exercise.ball is not None:
        facts["Ball"] = "none, the empty hand"
    if setup.exercise.ball is not None and _is_long_at_shoulder_height(setup):
        facts["Arm"] = "straight, at shoulder height"
    if setup.exercise.contact == "ball on wall" and setup.ball is not None:
        facts |= _wall_facts(setup)
    post = contact_post(setup)
    if post is not None:
        beside = max(abs(float(post[1])) - setup.chair.overall_width / 2, 0.0)
        height = float(setup.movement.skeleton.arms[setup.side].elbow[0, 2])
        facts["Post"] = "upright, beside the working arm"
        facts["Distance"] = f"{_to_5_cm(beside):.2f} m from the tyre"
        facts["Elbow"] = f"{_to_5_cm(height):.2f} m high on the post"
    rail = scene_of(setup).rail if setup.exercise.contact == "hands on rail" else None
    if rail is not None:
        facts |= _rail_facts(setup, height=float(rail.left[2]), ahead=float(rail.left[0] + rail.right[0]) / 2)
    if setup.exercise.floor_facts:
        facts |= dict(setup.exercise.floor_facts)
    elif setup.exercise.on_the_floor:
        facts["Floor"] = setup.exercise.on_the_floor
    support = [*setup.support, *([f"{setup.strap_worn} strap, worn"] if setup.strap_worn != "none" else [])]
    if support:
        facts["Support"] = ", ".join(support)
    return facts


STRAIGHT_ELBOW, OFF_SHOULDER_HEIGHT = math.radians(10.0), math.radians(10.0)
"""Up to which bend an elbow is called straight, and how far from level an arm is called at shoulder height
(our choice)."""


def _is_long_at_shoulder_height(setup: ExerciseSetup) -> bool:
    """Whether the working arm is straight and level in every pose."""
    return all(
        pose.working.elbow <= STRAIGHT_ELBOW and abs(pose.working.elevation - math.pi / 2) <= OFF_SHOULDER_HEIGHT
        for pose in setup.exercise.poses
    )


def _wall_facts(setup: ExerciseSetup) -> dict[str, str]:
    """Return how far the chair stands from the wall that is drawn, and how it is held where it is."""
    wall = scene_of(setup).wall
    assert wall is not None, "only asked where a ball is bounced against a wall"
    ahead, aside = abs(float(wall.point[0])), abs(float(wall.point[1]))
    faces = abs(float(wall.normal[0])) > abs(float(wall.normal[1]))
    far = ahead - setup.chair.footplate_reach if faces else aside - setup.chair.overall_width / 2
    measured_from = "footplate" if faces else "tyre"
    length = _to_5_cm(far)
    # Short arms and a long footplate: the footplate is what keeps the chair from standing nearer.
    facts = {"Distance": f"{length:.2f} m, {measured_from} to wall" if length > 0 else f"{measured_from} at the wall"}
    if setup.blocking != "free":
        facts["Chair"] = _blocked(setup)
    return facts


def _rail_facts(setup: ExerciseSetup, *, height: float, ahead: float) -> dict[str, str]:
    """Return which rail, how high, and how far the footplate goes under it; `ahead` of the axle [m]."""
    name, high = "any that does not give", _to_5_cm(height)
    if setup.rail is not None:
        name, high = setup.rail.name, setup.rail.height
    under = _to_5_cm(setup.chair.footplate_reach - ahead)
    where = "footplate level with it"
    if under > 0:
        where = for_limbs(f"feet under it, footplate {under:.2f} m past it", setup.body.missing)
    elif under < 0:
        where = f"footplate {-under:.2f} m before it"
    return {"Rail": f"{name}, {high:.2f} m high", "Chair": f"facing the rail; {where}"}


def _band_facts(setup: ExerciseSetup, band: BandSetup, *, both: bool) -> dict[str, str]:
    strands = "" if band.strands == 1 else "folded double"
    use = setup.exercise.band
    hands = "round the post, an end in each hand" if band.loop and band.post is not None else ""
    if use is not None and use.grip == "each" and not band.loop:
        hands = "one for each hand"
    ends = SIDES if use is not None and use.fixed_to == "other hand" else tuple(band.stretch)
    in_cuff = [side for side in SIDES if setup.attach.get(side) == "wrist_cuff" and side in ends]
    cuffs = ["both wrists in cuffs"] if len(in_cuff) == len(SIDES) else [f"{side} wrist in a cuff" for side in in_cuff]
    # What asks for no grip is not held: the band lies over the hand.
    if setup.exercise.needs.grip == "none" and not cuffs:
        cuffs = ["a loop over the hand"]
    words = {
        "Band": ", ".join(filter(None, (band.band.name, strands, f"mark {band.slack_length:.2f} m", hands, *cuffs)))
    }
    if band.post is None:
        return words | {"Band end": _fixed_without_post(setup)}
    return words | {
        "Post": f"{band.post}, {band.height:.2f} m high",
        "Distance": f"{band.distance:.2f} m, {band.measured_from.removeprefix('the ')} to post",
        "Chair": f"{_chair_stands(setup, band, both=both)}; {_blocked(setup)}",
    }


def _chair_stands(setup: ExerciseSetup, band: BandSetup, *, both: bool) -> str:
    """Return how the chair stands; beside a post, which of its sides is to it."""
    use = setup.exercise.band
    if use is None or use.anchor_side not in ("working side", "other side"):
        return band.chair_words
    at_working = use.anchor_side == "working side"
    if both:
        turned = "to the post" if at_working else "away from the post"
        return f"working side {turned}, then turned round; front casters level with it"
    toward = setup.side if at_working else _other(setup.side)
    return f"{toward} side to the post, front casters level with it"


def _fixed_without_post(setup: ExerciseSetup) -> str:
    use = setup.exercise.band
    assert use is not None, "only asked where a band is used"
    if use.fixed_to == "other hand":
        cuffed = setup.attach.get(_other(setup.side)) == "wrist_cuff"
        return "tied to the cuff of the other wrist" if cuffed else "held in the other hand"
    return f"tied to the {use.chair_point}{' of the other side' if use.chair_point_opposite else ''}"


def _other(side: Side) -> Side:
    return "left" if side == "right" else "right"


def _blocked(setup: ExerciseSetup) -> str:
    return {
        "chocks": "chocked both ways",
        "brakes": "brakes on",
        "brakes and chocks": "brakes on, chocked both ways",
        "free": "not blocked",
    }[setup.blocking]


def _to_5_cm(length: float) -> float:
    return round(length / 0.05) * 0.05


def _levers(levers: Sequence[str], exercise: Exercise, more_or_less: str) -> str:
    found = []
    for lever in levers[:2]:
        if lever == "distance" and exercise.band is None:
            found.append("longer way" if more_or_less == "more" else "shorter way")
        else:
            found.append(_LEVERS.get(lever, {}).get(more_or_less, f"{more_or_less} {lever}"))
    return ", then ".join(found)


def _numbers_of(setup: ExerciseSetup) -> dict[str, str]:
    found: dict[str, str] = {}
    if setup.peak is not None:
        found["Load"] = f"{setup.exercise.loads if setup.limiting is None else setup.limiting.loads} {setup.peak}"
    elif setup.exercise.ball is not None and setup.exercise.loads == "none":
        found["Load"] = MOVING_BALL
    known = setup.band is None or setup.band.tension is not None
    if setup.target is not None and known:
        found["Wanted"] = f"{setup.target.value:.0f} N·m: {setup.target.words}"
    if setup.band is not None:
        stretch = [100 * (float(s) - 1) for each in setup.band.stretch.values() for s in (each.min(), each.max())]
        pull = f"{setup.pull.range_words} on a hand" if setup.pull else "not measured"
        found["Pull"] = f"{pull}, band {min(stretch):.0f} to {max(stretch):.0f} % longer"
    if setup.exercise.static and known and not _trunk_is_cautioned(setup):
        found["Trunk"] = _trunk_words(setup)
    if setup.stability is not None:
        frame = setup.worst_frame_of_chair
        mode, factor = setup.stability.governing_mode[frame], float(setup.stability.factor[frame])
        found["Chair holds"] = f"{mode} at {times_words(factor)} this pull"
    return found


MOVING_BALL = "none computed: the ball moves, and moments are those of an arm held still"
"""Why an exercise with a ball has no load of its own."""
SAID_UP_TO = 10.0
"""Above it a factor of what holds is told no nearer: what holds is known by a third (our choice)."""


def times_words(factor: float) -> str:
    """Return by how many times something holds, no nearer than is known.

    Examples
    --------
    >>> times_words(2.34), times_words(88.7)
    ('2.3 times', 'more than 10 times')
    """
    return f"{factor:.1f} times" if factor <= SAID_UP_TO else f"more than {SAID_UP_TO:.0f} times"


_GIVES = {
    "forward": "to the front",
    "back": "to the back",
    "left": "to the left",
    "right": "to the right",
    "turn": "in turning",
}


def _trunk_is_cautioned(setup: ExerciseSetup) -> bool:
    """Whether nothing pulls, and a caution says that the trunk does not hold: a number beside it would say it does."""
    cautioned = any(notice.id == EXERCISE_CARE and "trunk control" in notice.what for notice in setup.notices)
    return cautioned and not setup.forces


def _trunk_words(setup: ExerciseSetup) -> str:
    worst = int(setup.hold.smallest_factor.argmin())
    factor = float(setup.hold.smallest_factor[worst])
    if math.isinf(factor):
        return "nothing pulls at it"
    direction = str(setup.hold.weakest_direction[worst])
    what = "what the movement asks"
    if _pulls_cancel(setup):
        what = "what the moving arms ask (the band's two pulls cancel)"
    elif setup.forces:
        # Which end of the range is counted is asked where the factor is small: the predicted one, not its upper end.
        what = "this pull" if setup.pull is None else f"the predicted {setup.pull.value:.0f} N"
    bare = f"; without {_added(setup)} {setup.hold_without}" if setup.hold_without else ""
    return f"holds {times_words(factor)} {what}; gives way {_GIVES[direction]} first{bare}"


def _pulls_cancel(setup: ExerciseSetup) -> bool:
    """Whether a band runs from hand to hand, so that its pulls are equal and opposite in every frame."""
    if len(setup.forces) < len(SIDES):
        return False
    left, right = (setup.forces[side] for side in SIDES)
    return bool(abs(left + right).max() <= CANCELLED_N)


CANCELLED_N = 0.01
"""Sum of two pulls that is nothing but rounding [N]."""


def _added(setup: ExerciseSetup) -> str:
    """Return what was added, in few words."""
    return " and ".join("the hand on the frame" if "frame" in each else f"the {each}" for each in setup.support)
