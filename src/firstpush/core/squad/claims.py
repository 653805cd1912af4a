"""What a session holds and for how long, read from its document; and how much of it there is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from firstpush.core.exercises.definition import Exercise
from firstpush.core.kit.kit import Kit
from firstpush.core.kit.venue import Venue
from firstpush.core.session.affected import bands_needed, done_setups
from firstpush.core.session.kinds import CLOSED_DOOR
from firstpush.core.setup.circumstances import CHOCKS_FOR_BOTH_WHEELS

ResourceKind = Literal["post", "band", "ball", "cuff", "strap", "chocks", "helper"]


@dataclass(frozen=True, kw_only=True, order=True)
class Resource:
    """Something of which there is a number: places at a post, bands of one name, chocks.

    `name` is that of venue and kit; for cuffs where they are worn ("wrist_cuff"), for straps "chest" or "waist".
    """

    kind: ResourceKind
    name: str


@dataclass(frozen=True, kw_only=True)
class Claim:
    """An athlete holds `count` of a resource for one exercise.

    Parameters
    ----------
    athlete : str
        What tells athletes apart.
    exercise : str
        Title.
    start_s, end_s : int
        From the start of the athlete's own session [s]: from going there to the chair being free again.
    """

    athlete: str
    exercise: str
    resource: Resource
    count: int
    start_s: int
    end_s: int


def claims_of(athlete: str, document: Mapping[str, Any], *, exercises: Mapping[str, Exercise]) -> tuple[Claim, ...]:
    """Return what a session holds, in the order of its exercises.

    Parameters
    ----------
    athlete : str
        What tells athletes apart.
    document : mapping
        A session document, see `firstpush.core.session.document`.
    exercises : mapping of exercise id to Exercise
        They say whether each hand has a band of its own, and whether a partner is needed.

    Returns
    -------
    tuple of Claim
        Of sides done one after the other each holds its set-up through the whole exercise; what both use is held once.

    Holds for
    ---------
    Straps and cuffs that lie in the cupboard: a strap the athlete wears anyway is their own.  Strands are one band
    folded, so two of them take one band.  Cones are not counted: a line of cones serves several, one after the other.
    """
    found = []
    for item in document.get("items", ()):
        exercise = exercises.get(str(item.get("exercise")))
        wanted: dict[Resource, int] = {}
        for setup in done_setups(item):
            for resource, count in _wanted(setup, exercise).items():
                wanted[resource] = max(wanted.get(resource, 0), count)
        found += [
            Claim(
                athlete=athlete,
                exercise=str(item["title"]),
                resource=resource,
                count=count,
                start_s=int(item["start_s"]),
                end_s=int(item["end_s"]),
            )
            for resource, count in sorted(wanted.items())
            if item["end_s"] > item["start_s"]
        ]
    return tuple(found)


def supply(kit: Kit, venue: Venue) -> dict[Resource, int]:
    """Return how much there is: what is not in it is not there.

    Helpers are in it only where their number is known, and balls never: a kit names them and does not count them.
    """
    found: Counter[Resource] = Counter()
    for post in venue.posts:
        found[Resource(kind="post", name=post.name)] += post.places
    found[Resource(kind="post", name=CLOSED_DOOR.name)] += kit.door_anchors
    for band in kit.bands:
        found[Resource(kind="band", name=band.name)] += band.count
    for cuff in kit.cuffs:
        found[Resource(kind="cuff", name=cuff.attach)] += cuff.count
    found[Resource(kind="strap", name="chest")] += kit.chest_straps
    found[Resource(kind="strap", name="waist")] += kit.waist_straps
    found[Resource(kind="chocks", name="chocks")] += kit.chocks
    if venue.helpers is not None:
        found[Resource(kind="helper", name="helpers")] += venue.helpers
    return dict(found)


def together_at_most(counts: Iterable[int], there: int) -> int:
    """Return how many who hold `counts` each can do so at the same time, where `there` is what there is.

    Examples
    --------
    >>> together_at_most([2, 2, 1, 2], 3)
    2
    >>> together_at_most([2], 1)
    0
    """
    number = 0
    for count in sorted(counts):
        if count > there:
            break
        there -= count
        number += 1
    return number


def _wanted(setup: Mapping[str, Any], exercise: Exercise | None) -> Counter[Resource]:
    return Counter(dict(_pairs(setup, exercise)))


def _pairs(setup: Mapping[str, Any], exercise: Exercise | None) -> Iterator[tuple[Resource, int]]:
    band = setup.get("band")
    if band is not None:
        yield Resource(kind="band", name=band["name"]), bands_needed(setup, exercise)
        if band.get("post"):
            yield Resource(kind="post", name=band["post"]), 1
        cuffs = Counter(setup.get("attach", {}).get(arm, "hand") for arm in setup.get("arms", ()))
        for attach, count in cuffs.items():
            if attach != "hand":
                yield Resource(kind="cuff", name=attach), count
    if setup.get("ball") is not None:
        yield Resource(kind="ball", name=setup["ball"]["name"]), 1
    if "chocks" in str(setup.get("blocking", "")):
        yield Resource(kind="chocks", name="chocks"), CHOCKS_FOR_BOTH_WHEELS
    for strap in ("chest", "waist"):
        if f"{strap} strap" in setup.get("support", ()):
            yield Resource(kind="strap", name=strap), 1
    if exercise is not None and exercise.contact == "partner":
        yield Resource(kind="helper", name="helpers"), 1
