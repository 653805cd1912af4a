"""From a place in the grid to a whole exercise set-up: forces, moments, ranges, trunk, chair, notices."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from firstpush.core.body.rotations import Array
from firstpush.core.measured import Measured
from firstpush.core.notices import Notice, without_repeats
from firstpush.core.people.athlete import SIDES, Side, TrunkControl
from firstpush.core.setup.band_grid import BandGrid
from firstpush.core.setup.cautions import STRAPS
from firstpush.core.setup.chair_stability import chair_notices
from firstpush.core.setup.circumstances import Circumstances, whole_centre
from firstpush.core.setup.judge import Trial, chair, straps_at_hand, trunk
from firstpush.core.setup.loads import NamedLoad, all_moments, chain_load, named_load
from firstpush.core.setup.place_unknown import place_notices
from firstpush.core.setup.pull_points import Line, forces_on_arms
from firstpush.core.setup.rails import rail_place
from firstpush.core.setup.readiness import Readiness
from firstpush.core.setup.result import (
    BandSetup,
    Estimate,
    ExerciseSetup,
    LimitingLink,
    unranged,
)
from firstpush.core.setup.targets import Target, sore_arms, target_of_link
from firstpush.core.setup.trunk_hold import ASKED_FACTOR as TRUNK_FACTOR
from firstpush.core.setup.trunk_hold import DIRECTIONS, TOWARDS, TrunkHold

SLOW_ENOUGH = Measured(
    name="shortest phase for which quasi-static moments are printed without a word",
    value=1.5,
    unit="s",
    spread=0.0,
    source="error against full dynamics 0.3-2.1 N·m at 2 s a phase, 1-8 N·m at 1 s",
    known="read",
)


WISHED_FACTOR = Measured(
    name="factor between what holds the trunk and what pulls at it that is wished before nothing more is done",
    value=1.5,
    unit="1",
    spread=0.0,
    source="what holds has a spread of 0.3 between athletes, and the factor counts the predicted pull, not its range",
    known="our choice",
)
"""Below it a strap at hand is put on where nothing controls the trunk that way; else both sheets say so."""


def band_setup(grid: BandGrid, pull_lines: tuple[Line, ...], index: tuple[int, int, int], trial: Trial) -> BandSetup:
    """Return how the band is laid at one place of the grid.

    Parameters
    ----------
    grid : BandGrid
    pull_lines : tuple of Line
    index : (int, int, int)
        Piece, mark, anchor.
    trial : Trial
    """
    p, s, a = index
    piece, places = grid.pieces[p], grid.anchors
    stretch: dict[Side, Array] = {}
    length: dict[Side, Array] = {}
    tension: dict[Side, Array] = {}
    ends: dict[Side, Array] = {}
    on_post = trial.exercise.band is not None and trial.exercise.band.fixed_to == "post"
    for line, of_stretch, of_length in zip(pull_lines, grid.stretch, grid.length, strict=True):
        for side, share in line.shares.items():
            # Copies: a view would keep the whole grid as long as the set-up is kept.
            stretch[side], length[side] = of_stretch[s, a].copy(), of_length[a].copy()
            ends[side] = line.end if line.end is not None else np.broadcast_to(places.points[a], line.start.shape)
            if piece.law.c1 is not None:
                tension[side] = share * piece.law.tension(of_stretch[s, a], piece.strands)
    return BandSetup(
        band=piece.band,
        law=piece.law,
        strands=piece.strands,
        slack_length=float(grid.marks[s]),
        loop=piece.loop,
        post=places.post[a] if on_post else None,
        ends=ends,
        height=float(places.height[a]) if on_post else None,
        distance=float(places.distance[a]) if on_post else None,
        measured_from=places.measured_from,
        chair_words=places.chair_words,
        stretch=stretch,
        length=length,
        tension=tension or None,
    )


def finished(
    case: Circumstances,
    trial: Trial,
    band: BandSetup | None,
    pull_lines: tuple[Line, ...],
    load: NamedLoad | None,
    target: Target | None,
    ready: Readiness,
    support: tuple[str, ...],
) -> ExerciseSetup:
    """Return the whole exercise set-up for one way to lay the band (or a ball, or nothing); its ranges come later.

    Parameters
    ----------
    case, trial
    band : BandSetup or None
    pull_lines : tuple of Line
        Empty without a band.
    load : NamedLoad or None
        None where no moment is stated, or none can be.
    target : Target or None
    ready : Readiness
    support : tuple of str
    """
    bones = trial.movement.skeleton
    forces = _forces(trial, band, pull_lines)
    named = load.of(forces) if load is not None else None
    limiting = None if named is None else _limiting(case, trial, load, named, target)
    pulled = bool(forces) and band is not None
    hold = trunk(case, trial, forces)
    stability = chair(case, trial, forces) if pulled else None
    why = _why_supported(case, trial, ready, forces) if support else None
    return ExerciseSetup(
        exercise=trial.exercise,
        side=trial.side,
        body=case.body,
        chair=case.chair,
        movement=trial.movement,
        attach=ready.attach,
        band=band,
        ball=trial.ball,
        blocking=case.blocking if band is not None and band.post is not None else "free",
        strap=trial.strap,
        support=support,
        target=target if limiting is None else limiting.target,
        forces=forces,
        load=named,
        limiting=limiting,
        peak=_peak(load, named),
        pull=_pull(forces) if pulled else None,
        moments=all_moments(case.body, bones, forces, trial.attach),
        centre=whole_centre(case, bones, trial.held_ball),
        stability=stability,
        hold=hold,
        notices=_notices(case, trial, band, ready, support, why, hold, target, forces)
        + (chair_notices(stability, about=trial.exercise.title) if stability is not None else ()),
        strap_counts=_strap_counts(case, trial, ready, forces),
        hold_without=why.bare if why is not None else "",
        rail=rail_place(case.venue, bones) if trial.exercise.contact == "hands on rail" else None,
    )


def _strap_counts(case: Circumstances, trial: Trial, ready: Readiness, forces: dict[Side, Array]) -> bool:
    """Whether a dose, what holds the trunk, or a caution that is left away rests on the strap that is worn."""
    if trial.strap == "none":
        return False
    if ready.strap_counts:
        return True
    if not trial.exercise.static:
        return False
    bare = trunk(case, replace(trial, strap="none"), forces)
    return float(bare.smallest_factor.min()) < WISHED_FACTOR.value


def steadied(
    case: Circumstances,
    trial: Trial,
    band: BandSetup | None,
    pull_lines: tuple[Line, ...],
    load: NamedLoad | None,
    target: Target | None,
    ready: Readiness,
    support: tuple[str, ...],
) -> ExerciseSetup:
    """Return the whole set-up as `finished` does, with a strap at hand put on where the trunk holds a pull narrowly.

    The least strap with which it holds `WISHED_FACTOR` times the pull; where none does, the one that holds best.  Who
    has some control that way can answer when it begins to give, and reads a caution.
    """
    best = finished(case, trial, band, pull_lines, load, target, ready, support)
    others = tuple(words for words in support if not words.endswith("strap"))
    for strap in straps_at_hand(case):
        if not (best.forces and holds_narrowly(best) and _is_uncontrolled(case.athlete.trunk, best.hold)):
            break
        if STRAPS.index(strap) > STRAPS.index(best.strap):
            tighter = replace(trial, strap=strap)
            added = (*others, f"{strap} strap")
            more = finished(case, tighter, band, pull_lines, load, target, ready, added)
            best = more if smallest_hold(more) > smallest_hold(best) else best
    return best


def _is_uncontrolled(control: TrunkControl, hold: TrunkHold) -> bool:
    """Whether nothing is known to control the trunk the way in which it would give first."""
    way = str(hold.weakest_direction[int(hold.smallest_factor.argmin())])
    known = {
        "forward": control.forward,
        "back": control.forward,
        "left": control.lean_left,
        "right": control.lean_right,
        "turn": control.turn,
    }
    return known[way] in (None, "no")


def smallest_hold(setup: ExerciseSetup) -> float:
    """Return the smallest factor with which the trunk holds, over the movement and the directions."""
    return float(setup.hold.smallest_factor.min())


def holds_narrowly(setup: ExerciseSetup) -> bool:
    """Whether the trunk holds by less than `WISHED_FACTOR`, as far as statics say something."""
    return setup.exercise.static and smallest_hold(setup) < WISHED_FACTOR.value


def _forces(trial: Trial, band: BandSetup | None, pull_lines: tuple[Line, ...]) -> dict[Side, Array]:
    """Return force of band and ball on each arm (F, 3) [N]; none for a band whose pull is not known."""
    forces: dict[Side, Array] = {}
    if band is not None and band.tension is not None:
        whole = tuple(np.asarray(sum(band.tension[side] for side in line.shares), dtype=float) for line in pull_lines)
        forces = forces_on_arms(pull_lines, band.anchor, whole)
    if trial.ball is not None:
        forces[trial.side] = forces.get(trial.side, 0.0) + trial.ball_weight
    return forces


def load_of(case: Circumstances, trial: Trial, target: Target | None) -> NamedLoad | None:
    """Return the load that the exercise names; of a chain, its loaded links one after the other."""
    exercise, bones = trial.exercise, trial.movement.skeleton
    if not exercise.loaded_links:
        return named_load(exercise.loads, case.body, bones, side=trial.side, attach=trial.attach)
    assert target is not None, "the first loaded link has a target"
    parts = []
    for (index, link), wanted in zip(exercise.loaded_links, _targets_of_links(case, trial, target), strict=True):
        load = named_load(link.loads, case.body, bones, side=trial.side, attach=trial.attach)
        assert load is not None, "a loaded link names a load"
        where = slice(trial.movement.start_of_pose[index - 1], trial.movement.start_of_pose[index] + 1)
        parts.append((where, load, wanted.value))
    return chain_load(parts, frames=trial.movement.share.size)


def _limiting(
    case: Circumstances, trial: Trial, load: NamedLoad | None, named: Array, target: Target | None
) -> LimitingLink:
    """Return the axis and the frames whose load sets the band: of a chain, the link nearest to its wanted load."""
    exercise = trial.exercise
    whole = LimitingLink(loads=exercise.loads, frames=range(named.size), target=target)
    if load is None or target is None or not exercise.loaded_links:
        return whole
    frame, starts = load.limiting_frame(named), trial.movement.start_of_pose
    for (index, link), wanted in zip(exercise.loaded_links, _targets_of_links(case, trial, target), strict=True):
        if starts[index - 1] <= frame <= starts[index]:
            frames = range(starts[index - 1], starts[index] + 1)
            return LimitingLink(loads=link.loads, frames=frames, target=wanted)
    return whole


def _targets_of_links(case: Circumstances, trial: Trial, target: Target) -> list[Target]:
    """Return what is wanted of each loaded link; a load asked for by hand moves the whole chain in proportion."""
    exercise, athlete = trial.exercise, case.athlete
    arms = SIDES if exercise.sides == "together" else (trial.side,)
    sore = sore_arms(exercise, athlete, trial.side)
    own = [
        min(
            (
                target_of_link(link, exercise.poses[index], athlete, side=arm, today=case.today, sore=sore)
                for arm in arms
            ),
            key=lambda each: each.value,
        )
        for index, link in exercise.loaded_links
    ]
    share = target.value / own[0].value
    return [replace(each, value=each.value * share, kind=target.kind) if share != 1 else each for each in own]


def _peak(load: NamedLoad | None, named: Array | None) -> Estimate | None:
    if load is None or named is None:
        return None
    return unranged(float(named[load.limiting_frame(named)]), "N·m")


def _pull(forces: dict[Side, Array]) -> Estimate:
    return unranged(max(float(np.linalg.norm(force, axis=-1).max()) for force in forces.values()), "N")


def _support(support: tuple[str, ...]) -> str:
    """Return what to do about the support that was added."""
    strap = next((each.capitalize() for each in support if each.endswith("strap")), "")
    hand = any("frame" in each for each in support)
    if strap and hand:
        return f"{strap} on and the hand on the frame before the start; look at the skin under the strap afterwards"
    if strap:
        return f"{strap} on before the start; look at the skin under it afterwards"
    return "Hand on the frame before the start, and to the end of the set"


@dataclass(frozen=True, kw_only=True)
class _WhySupported:
    """Why something was added: in full, short where it is told for several exercises, and what holds without it."""

    words: str
    short: str
    bare: str = ""


def _why_supported(case: Circumstances, trial: Trial, ready: Readiness, forces: dict[Side, Array]) -> _WhySupported:
    """Return why something was added: what the trunk would not hold without it, or hold narrowly, or a caution."""
    as_now = "as the athlete sits now"
    if trial.exercise.static:
        bare = trunk(case, replace(trial, strap=case.chair.strap, free_hand=False), forces)
        weak = _ways_below(bare, TRUNK_FACTOR.value)
        if weak:
            return _WhySupported(
                words=f"the trunk would not hold {weak} {as_now}",
                short=f"the trunk would not hold {as_now}",
                bare=f"not {weak}",
            )
    if ready.strap_because:
        return _WhySupported(words=ready.strap_because, short=ready.strap_because)
    narrow = _ways_below(bare, WISHED_FACTOR.value) if trial.exercise.static else ""
    if narrow:
        least = f"{float(bare.smallest_factor.min()):.1f} times only"
        wished = f"{WISHED_FACTOR.value:.1f} times is wished"
        return _WhySupported(
            words=f"the trunk would hold {narrow} by {least} {as_now}, {wished}",
            short="the trunk would hold narrowly only",
            bare=f"{narrow} {least}",
        )
    words = f"the trunk would not hold with both hands {as_now}"
    return _WhySupported(words=words, short=words)


def _ways_below(hold: TrunkHold, factor: float) -> str:
    smallest = hold.factor.stacked().reshape(len(DIRECTIONS), -1).min(axis=1)
    return " and ".join(TOWARDS[way] for way, least in zip(DIRECTIONS, smallest, strict=True) if least < factor)


def _narrow_hold(hold: TrunkHold, forces: dict[Side, Array], *, about: str) -> list[Notice]:
    """Return the caution that the trunk holds, by less than is wished."""
    ways = _ways_below(hold, WISHED_FACTOR.value)
    least = float(hold.smallest_factor.min())
    if not ways or least < TRUNK_FACTOR.value:
        return []
    return [
        Notice(
            id="trunk-holds-narrowly",
            level="caution",
            what=f"the trunk holds {least:.1f} times what {'pulls' if forces else 'the movement asks'} {ways}; "
            f"{WISHED_FACTOR.value:.1f} times is wished",
            do="Stay beside the athlete, and stop when the trunk begins to give",
            about=about,
        )
    ]


def _beyond_what_was_pulled(band: BandSetup, largest: float) -> list[Notice]:
    """Return the caution that a band pulled at one length only is stretched farther than it was pulled."""
    pulled = max((pull.elongation for pull in band.band.pulls), default=None)
    if pulled is None or band.law.source == "measured points" or round(largest, 6) <= pulled:
        return []
    percent = f"{100 * largest:.0f} %"
    return [
        Notice(
            id="outside-measured-range",
            level="caution",
            what=f"it is stretched by {percent}, and its pull was measured at {100 * pulled:.0f} % only",
            do=f"Pull it once at {percent} with a hook scale and add the point",
            about=band.band.name,
        )
    ]


def _notices(
    case: Circumstances,
    trial: Trial,
    band: BandSetup | None,
    ready: Readiness,
    support: tuple[str, ...],
    why: _WhySupported | None,
    hold: TrunkHold,
    target: Target | None,
    forces: dict[Side, Array],
) -> tuple[Notice, ...]:
    title = trial.exercise.title
    found = [*ready.notices, *place_notices(trial.exercise, case.venue)]
    if trial.exercise.static:
        found += hold.notices
        found += _narrow_hold(hold, forces, about=title)
    if why is not None:
        found.append(
            Notice(
                id="support-added",
                level="caution",
                what=f"{why.words}; set up with {' and '.join(support)}",
                do=_support(support),
                about=title,
                subject=" and ".join(support),
                short=why.short,
            )
        )
    if band is not None:
        largest = max(float(stretch.max()) for stretch in band.stretch.values()) - 1
        found += band.law.notices_for(largest)
        found += _beyond_what_was_pulled(band, largest)
        found += case.floor.notices
    if target is not None and target.kind == "try-out":
        found.append(
            Notice(
                id="try-out-set",
                level="note",
                what=target.first_time,
                do="Ask after 5 to 8 slow repetitions how hard it was, and set the next set-up from the answer",
                about=title,
            )
        )
    shortest = min((min(dose.out_s, dose.back_s) for dose in trial.exercise.doses), default=SLOW_ENOUGH.value)
    if trial.exercise.static and len(trial.exercise.poses) > 1 and shortest < SLOW_ENOUGH.value:
        found.append(
            Notice(
                id="too-fast-for-statics",
                level="note",
                what=f"phases of {shortest:g} s are quick: the load is higher than printed",
                do="Move slower than 1.5 s a phase, or read the load as a lower bound",
                about=title,
            )
        )
    return tuple(without_repeats(found))
