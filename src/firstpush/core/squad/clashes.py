"""Where more is wanted at one time than there is: a sweep over all beginnings and ends, exact to the second."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from firstpush.core.squad.claims import Claim, Resource


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """A time in which too much is wanted [s], and how much at most."""

    start_s: int
    end_s: int
    wanted: int


@dataclass(frozen=True, kw_only=True)
class Clash:
    """More of one resource is wanted at one time than there is.

    Parameters
    ----------
    wanted, there : int
        The most at one time, and how many there are.
    stretches : tuple of Stretch
        When too much is wanted, in order; two of them never touch.
    claims : tuple of Claim
        Everything that holds some of it in one of the stretches, by its beginning; times are the day's.
    """

    resource: Resource
    wanted: int
    there: int
    stretches: tuple[Stretch, ...]
    claims: tuple[Claim, ...]

    @property
    def start_s(self) -> int:
        """When it begins [s]."""
        return self.stretches[0].start_s

    @property
    def end_s(self) -> int:
        """When it ends for the last time [s]."""
        return self.stretches[-1].end_s

    @property
    def athletes(self) -> tuple[str, ...]:
        """Who wants it, each once, by the beginning."""
        return tuple(dict.fromkeys(claim.athlete for claim in self.claims))


def clashes(
    claims: Iterable[Claim], there: Mapping[Resource, int], *, starts_min: Mapping[str, int] | None = None
) -> tuple[Clash, ...]:
    """Return every resource of which more is wanted at one time than there is.

    Parameters
    ----------
    claims : iterable of Claim
        Of all athletes.
    there : mapping of Resource to int
        How many there are.  A kind that is not known at all, such as helpers, is left out of the question; of a known
        kind what is missing counts as none.
    starts_min : mapping of athlete to int, optional
        When each starts [min]; left out, 0.

    Returns
    -------
    tuple of Clash
        By the time at which they begin.  What ends in the second in which another begins does not clash with it.

    Examples
    --------
    >>> wall = Resource(kind="post", name="wall")
    >>> def row(who, start):
    ...     return Claim(athlete=who, exercise="Row", resource=wall, count=1, start_s=start, end_s=start + 90)
    >>> (clash,) = clashes([row("Mika", 0), row("Runa", 30)], {wall: 1})
    >>> clash.wanted, clash.there, clash.start_s, clash.end_s
    (2, 1, 30, 90)
    >>> clashes([row("Mika", 0), row("Runa", 30)], {wall: 1}, starts_min={"Runa": 1})
    ()
    """
    starts = starts_min or {}
    kinds = {resource.kind for resource in there}
    by_resource: dict[Resource, list[Claim]] = defaultdict(list)
    for claim in claims:
        if claim.resource.kind in kinds:
            by_resource[claim.resource].append(_moved(claim, 60 * starts.get(claim.athlete, 0)))
    found = [_clash(resource, held, there.get(resource, 0)) for resource, held in by_resource.items()]
    return tuple(sorted((each for each in found if each is not None), key=lambda each: (each.start_s, each.resource)))


def _moved(claim: Claim, seconds: int) -> Claim:
    return Claim(
        athlete=claim.athlete,
        exercise=claim.exercise,
        resource=claim.resource,
        count=claim.count,
        start_s=claim.start_s + seconds,
        end_s=claim.end_s + seconds,
    )


def _clash(resource: Resource, held: list[Claim], there: int) -> Clash | None:
    change: dict[int, int] = defaultdict(int)
    for claim in held:
        change[claim.start_s] += claim.count
        change[claim.end_s] -= claim.count
    stretches: list[Stretch] = []
    level, begun, most = 0, None, 0
    for now in sorted(change):
        level += change[now]
        if level > there:
            begun, most = (now, level) if begun is None else (begun, max(most, level))
        elif begun is not None:
            stretches.append(Stretch(start_s=begun, end_s=now, wanted=most))
            begun = None
    if not stretches:
        return None
    inside = [
        claim for claim in held if any(claim.start_s < part.end_s and part.start_s < claim.end_s for part in stretches)
    ]
    return Clash(
        resource=resource,
        wanted=max(part.wanted for part in stretches),
        there=there,
        stretches=tuple(stretches),
        claims=tuple(sorted(inside, key=lambda claim: (claim.start_s, claim.athlete))),
    )
