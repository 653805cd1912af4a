"""What clashes and what removes it, against counting every second and against trying every start."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstpush.core.exercises.loader import exercise_named, library
from firstpush.core.kit.kit import Ball, Band, Cuff, Kit
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.squad import (
    Claim,
    Resource,
    claims_of,
    clashes,
    smallest_stagger,
    supply,
    together_at_most,
)

POST, BAND = Resource(kind="post", name="lamp post"), Resource(kind="band", name="flat 24")
ATHLETES = ("Mika", "Runa", "Tovi")


def claim(athlete: str, resource: Resource = POST, *, start: int, end: int, count: int = 1) -> Claim:
    """Return that somebody holds something."""
    return Claim(athlete=athlete, exercise="Row", resource=resource, count=count, start_s=start, end_s=end)


claims_drawn = st.lists(
    st.builds(
        lambda athlete, resource, start, length, count: claim(
            athlete, resource, start=start, end=start + length, count=count
        ),
        st.sampled_from(ATHLETES),
        st.sampled_from([POST, BAND]),
        st.integers(0, 150),
        st.integers(1, 100),
        st.integers(1, 3),
    ),
    max_size=8,
)
starts_drawn = st.dictionaries(st.sampled_from(ATHLETES), st.integers(0, 3))
there_drawn = st.fixed_dictionaries({POST: st.integers(0, 4), BAND: st.integers(0, 4)})


def wanted_at(claims: list[Claim], starts: dict[str, int], resource: Resource, second: int) -> int:
    """Count what is held in the second that begins at `second`."""
    found = 0
    for each in claims:
        shift = 60 * starts.get(each.athlete, 0)
        if each.resource == resource and each.start_s + shift <= second < each.end_s + shift:
            found += each.count
    return found


@given(claims=claims_drawn, starts=starts_drawn, there=there_drawn)
def test_a_clash_is_what_counting_every_second_finds(
    claims: list[Claim], starts: dict[str, int], there: dict[Resource, int]
) -> None:
    """Seconds, the most wanted, and who holds some then: all as counted one second after the other."""
    found = {each.resource: each for each in clashes(claims, there, starts_min=starts)}
    for resource in (POST, BAND):
        counted = [wanted_at(claims, starts, resource, second) for second in range(500)]
        too_many = {second for second, number in enumerate(counted) if number > there[resource]}
        clash = found.get(resource)
        if clash is None:
            assert not too_many, f"{resource} is missed"
            continue
        told = {second for part in clash.stretches for second in range(part.start_s, part.end_s)}
        assert told == too_many
        assert (clash.wanted, clash.there) == (max(counted), there[resource])
        for part in clash.stretches:
            assert part.wanted == max(counted[part.start_s : part.end_s])
        for one, next_ in zip(clash.stretches, clash.stretches[1:], strict=False):
            assert one.end_s < next_.start_s
        holders = {
            each.athlete
            for each in claims
            if each.resource == resource
            and too_many & set(range(*(time + 60 * starts.get(each.athlete, 0) for time in (each.start_s, each.end_s))))
        }
        assert set(clash.athletes) == holders


def free_of_clashes(claims: list[Claim], there: dict[Resource, int], starts: dict[str, int]) -> bool:
    """Say by counting every second whether what there is suffices."""
    return all(
        wanted_at(claims, starts, resource, second) <= number
        for resource, number in there.items()
        for second in range(500)
    )


@settings(max_examples=40, deadline=None)
@given(claims=claims_drawn, there=there_drawn)
def test_no_smaller_stagger_is_found_by_trying_all(claims: list[Claim], there: dict[Resource, int]) -> None:
    """Of all starts up to three minutes: none that suffices is smaller, and where none suffices something is left."""
    longest = 3
    found = smallest_stagger(claims, there, athletes=ATHLETES, longest_min=longest)
    assert found.proven
    tried = [dict(zip(ATHLETES, each, strict=True)) for each in product(range(longest + 1), repeat=len(ATHLETES))]
    enough = [starts for starts in tried if free_of_clashes(claims, there, starts)]
    if not enough:
        fewest = min(len(clashes(claims, there, starts_min=starts)) for starts in tried)
        assert len(found.left) == fewest > 0
        return
    assert not found.left
    assert free_of_clashes(claims, there, dict(found.starts_min))
    best = min((max(starts.values()), sum(starts.values())) for starts in enough)
    assert (found.last_min, sum(found.starts_min.values())) == best


def test_six_at_one_upright() -> None:
    """By hand: six at one place for 3 min each start at 0, 3, ... 15; within 14 there is no such."""
    names = tuple("ABCDEF")
    claims = [claim(name, start=356, end=356 + 180) for name in names]
    (clash,) = clashes(claims, {POST: 1})
    assert (clash.wanted, clash.there, clash.start_s, clash.end_s) == (6, 1, 356, 536)
    assert clash.athletes == names
    found = smallest_stagger(claims, {POST: 1}, athletes=names, longest_min=15)
    assert sorted(found.starts_min.values()) == [0, 3, 6, 9, 12, 15]
    assert not found.left
    short = smallest_stagger(claims, {POST: 1}, athletes=names, longest_min=14)
    assert [each.wanted for each in short.left] == [2]


def test_who_needs_more_than_there_is_gets_no_stagger() -> None:
    """Two bands for one pair of hands, one left: no start removes that."""
    found = smallest_stagger(
        [claim("Mika", BAND, start=0, end=60, count=2)], {BAND: 1}, athletes=["Mika"], longest_min=9
    )
    assert [each.resource for each in found.left] == [BAND]
    assert together_at_most([2], 1) == 0


def test_what_is_not_known_clashes_with_nothing() -> None:
    """Helpers whose number nobody has said are no question; a post that is gone has no place."""
    helper = Resource(kind="helper", name="helpers")
    claims = [claim(name, resource, start=0, end=60) for name in ("Mika", "Runa") for resource in (helper, POST)]
    other = Resource(kind="post", name="wall bars")
    assert [each.resource for each in clashes(claims, {other: 3})] == [POST]


def setup(**other: object) -> dict[str, object]:
    """Return a set-up of a document in which both arms pull a band."""
    band = {"name": "flat 24", "post": "wall bars", "strands": 1, "one_band_for_both_hands": False}
    plain = {"side": "right", "arms": ["left", "right"], "band": band, "ball": None, "blocking": "free", "support": []}
    return plain | {"attach": {"left": "hand", "right": "hand"}} | other


def counted(exercise: str, *setups: dict[str, object], sides: tuple[str, ...] = ("left", "right")) -> dict[str, int]:
    """Return how many of what one item of a document holds."""
    item = {"exercise": exercise, "title": exercise, "sides": sides, "setups": setups, "start_s": 5, "end_s": 9}
    found = claims_of("Mika", {"items": [item]}, exercises=library())
    assert {(each.start_s, each.end_s) for each in found} <= {(5, 9)}
    return {each.resource.name: each.count for each in found}


def test_pieces_are_read_from_the_set_up() -> None:
    """A row has a band in each hand; where one runs round the post for both, or both hold one between them, it
    is one; two strands are one band folded.
    """
    assert exercise_named("low_row").band.grip == "each"
    assert counted("low_row", setup()) == {"flat 24": 2, "wall bars": 1}
    round_it = {"name": "flat 24", "post": "wall bars", "strands": 2, "one_band_for_both_hands": True}
    assert counted("low_row", setup(band=round_it)) == {"flat 24": 1, "wall bars": 1}
    in_two = {"name": "flat 24", "post": None, "strands": 2, "one_band_for_both_hands": False}
    assert exercise_named("external_rotation_both").band.fixed_to == "other hand"
    assert counted("external_rotation_both", setup(band=in_two)) == {"flat 24": 1}


def test_sides_in_turn_share_what_both_use() -> None:
    """Left with one band, right with another, at one post: a band of each, one place; a side not done holds nothing."""
    thin, thick = ({"name": name, "post": "wall bars", "strands": 1} for name in ("flat thin", "flat thick"))
    both = (setup(side="left", arms=["left"], band=thin), setup(side="right", arms=["right"], band=thick))
    assert counted("anti_rotation_press", *both) == {"flat thin": 1, "flat thick": 1, "wall bars": 1}
    assert counted("anti_rotation_press", *both, sides=("left",)) == {"flat thin": 1, "wall bars": 1}


def test_chocks_cuffs_straps_and_balls_count() -> None:
    """Four chocks before and behind both wheels; a cuff for each hand; the strap that was added; the ball."""
    cuffs = {"left": "wrist_cuff", "right": "wrist_cuff"}
    held = setup(blocking="brakes and chocks", support=["chest strap", "one arm"], attach=cuffs)
    assert counted("low_row", held) == {"flat 24": 2, "wall bars": 1, "chocks": 4, "wrist_cuff": 2, "chest": 1}
    ball = setup(band=None, ball={"name": "small ball"}, strap="waist", attach=cuffs)
    assert counted("wall_dribble", ball) == {"small ball": 1}
    assert counted("partner_hold", setup(band=None)) == {"helpers": 1}


@pytest.mark.parametrize("helpers", [None, 2])
def test_what_there_is(helpers: int | None) -> None:
    """Places of posts, pieces of bands, cuffs by where they are worn; of balls nobody has said how many."""
    band = Band(name="flat 24", material="latex-free", length=2.5, count=3, limit_elongation=2.0, pulls=())
    ball = Ball(name="small ball", mass=0.6, diameter=0.19, bounces=True, material="latex")
    cuff = Cuff(name="soft cuff", attach="wrist_cuff", count=4, material="latex-free")
    kit = Kit(name="loft", bands=(band,), balls=(ball, ball), cuffs=(cuff,), chocks=8, chest_straps=1, waist_straps=2)
    post = Post(name="wall bars", heights=(1.0,), room_in_front=3.0, places=3)
    found = supply(kit, Venue(name="hall", posts=(post,), helpers=helpers))
    named = {resource.name: count for resource, count in found.items()}
    expected = {"wall bars": 3, "flat 24": 3, "wrist_cuff": 4, "chest": 1, "waist": 2, "chocks": 8}
    expected["closed door"] = 0
    assert named == expected | ({} if helpers is None else {"helpers": helpers})
