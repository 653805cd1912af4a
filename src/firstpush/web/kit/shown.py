"""What the pages show of a cupboard and its bands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from django.http import Http404
from django.utils.safestring import SafeString, mark_safe

from firstpush.core.figure.band_curve import DOUBLE_LENGTH, draw_band_curve, largest_pull
from firstpush.core.figure.floor_plan import draw_floor_plan
from firstpush.core.figure.pull_line import draw_pull_line, pull_range
from firstpush.core.kit.bands import BandLaw, describe_pull, fit_band
from firstpush.core.kit.kit import Band, Kit
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.notices import Notice
from firstpush.web.kit.models import BandCheck, BandWithdrawal, KitRecord

# Bands are values: what was drawn of one is the same for every page that shows it.
_law = lru_cache(maxsize=1024)(fit_band)
_curve = lru_cache(maxsize=1024)(draw_band_curve)
_plan = lru_cache(maxsize=256)(draw_floor_plan)


@dataclass(frozen=True, kw_only=True)
class Scales:
    """Ends of the scales of drawings that stand beside each other; None where each has its own."""

    curve_top: float | None = None
    longest: float | None = None
    line_end: float = 1.0


@dataclass(frozen=True, kw_only=True)
class ShownBand:
    """A band with its drawing, and how many of it are in use."""

    band: Band
    number: int
    """Its place in the list, counted from 1."""
    material_known: bool
    scales: Scales
    withdrawals: tuple[BandWithdrawal, ...]
    checks: tuple[BandCheck, ...]

    @property
    def law(self) -> BandLaw:
        """What the pulls say of it."""
        return _law(self.band)

    @property
    def drawing(self) -> SafeString:
        """Its pull over its elongation."""
        return _svg(_curve(self.band, top=self.scales.curve_top, longest=self.scales.longest))

    @property
    def line(self) -> SafeString:
        """Its pull as a stroke on a line."""
        return _svg(draw_pull_line(self.law, top=self.scales.line_end))

    @property
    def pull(self) -> str:
        """Range of its pull, such as "15-20 N"."""
        return describe_pull(self.law).partition(" at ")[0]

    @property
    def pull_where(self) -> str:
        """Where it pulls so: at double length, or at its limit."""
        return describe_pull(self.law).partition(" at ")[2]

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What core says of it when it is used up to its limit."""
        return self.law.notices_for(self.band.limit_elongation)

    @property
    def out(self) -> int:
        """How many are withdrawn now."""
        return sum(each.count for each in self.withdrawals if each.brought_back_on is None)

    @property
    def in_use(self) -> int:
        """How many a session can take."""
        return max(0, self.band.count - self.out)

    @property
    def last_check(self) -> BandCheck | None:
        """The newest look at it."""
        return self.checks[-1] if self.checks else None

    @property
    def limit_percent(self) -> float:
        """Largest elongation, in percent of the slack length."""
        return 100.0 * self.band.limit_elongation

    @property
    def events(self) -> list[tuple[Literal["check", "withdrawal"], BandCheck | BandWithdrawal]]:
        """Checks and withdrawals, newest first."""
        found: list[tuple[Literal["check", "withdrawal"], BandCheck | BandWithdrawal]] = [
            *(("check", each) for each in self.checks),
            *(("withdrawal", each) for each in self.withdrawals),
        ]
        return sorted(found, key=lambda each: (each[1].day, each[1].made_at), reverse=True)


def shown_bands(record: KitRecord, kit: Kit) -> Iterator[ShownBand]:
    """Yield every band of `record`, drawn to one scale so that they can be compared."""
    ranges = [found for band in kit.bands if (found := pull_range(_law(band))) is not None]
    scales = Scales(
        curve_top=max((largest_pull(band) for band in kit.bands), default=None),
        longest=max([DOUBLE_LENGTH, *(band.limit_elongation for band in kit.bands)]),
        line_end=max((high for _, high in ranges), default=1.0),
    )
    withdrawals, checks = list(record.withdrawals.all()), list(record.checks.all())
    for number, band in enumerate(kit.bands, start=1):
        yield ShownBand(
            band=band,
            number=number,
            material_known=record.document["bands"][number - 1].get("material") in ("latex", "latex-free"),
            scales=scales,
            withdrawals=tuple(each for each in withdrawals if each.band == band.name),
            checks=tuple(each for each in checks if each.band == band.name),
        )


def shown_band(record: KitRecord, number: int) -> ShownBand:
    """Return one band of `record`, drawn to its own scale; 404 when there is none at this place."""
    kit = record.read()
    if not 1 <= number <= len(kit.bands):
        raise Http404
    band = kit.bands[number - 1]
    return ShownBand(
        band=band,
        number=number,
        material_known=record.document["bands"][number - 1].get("material") in ("latex", "latex-free"),
        scales=Scales(),
        withdrawals=tuple(record.withdrawals.filter(band=band.name).select_related("made_by", "brought_back_by")),
        checks=tuple(record.checks.filter(band=band.name)),
    )


def without_a_band(record: KitRecord, kit: Kit) -> list[BandWithdrawal]:
    """Return what is withdrawn of bands that no longer stand in the cupboard."""
    names = [band.name for band in kit.bands]
    return list(record.withdrawals.filter(brought_back_on=None).exclude(band__in=names))


@dataclass(frozen=True, kw_only=True)
class ShownPost:
    """A post with its number on the plan."""

    post: Post
    number: int
    listed: bool
    """Whether the venue lists its heights, or gives a lowest and a highest."""

    @property
    def step(self) -> float | None:
        """How far its places are apart [m]; None where they are listed, or where there is one."""
        heights = self.post.heights
        return None if self.listed or len(heights) < 2 else round(heights[1] - heights[0], 3)


def shown_posts(document: dict[str, object], venue: Venue) -> list[ShownPost]:
    """Return the posts of `venue` in the order of the list, which is that of the plan."""
    tables = document.get("posts") or []
    assert isinstance(tables, list)
    return [
        ShownPost(post=post, number=number, listed=isinstance(table.get("heights_m"), list))
        for number, (post, table) in enumerate(zip(venue.posts, tables, strict=True), start=1)
    ]


def plan_of(venue: Venue) -> SafeString:
    """Return the floor plan of `venue`."""
    return _svg(_plan(venue))


def _svg(drawing: str) -> SafeString:
    # Core escapes every word that somebody typed.
    return mark_safe(drawing)
