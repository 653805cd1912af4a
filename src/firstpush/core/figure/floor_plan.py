"""A venue from above, to scale: the floor, the posts along its edges, and the room that is free in front of them.

Where along a wall a post stands is not part of a venue: posts stand in the order of the list, first along the far long
side, then along the near one, then at the ends.  Shapes carry a class beside their paper colours, as in `band_curve`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from firstpush.core.figure.palette import COURT, INK, PAPER, SAND
from firstpush.core.figure.svg import MM_PER_POINT, document, number, text_at
from firstpush.core.kit.venue import Post, Venue
from firstpush.core.measured import Measured
from firstpush.core.people.chair_presets import filled_chair

WIDTH_MM = 120.0
TALLEST_MM = 84.0
EDGE_MM = 9.0
LETTERS_PT = 10.0
DISC_MM = 2.9
PLACE_WIDTH = Measured(
    name="width of a place before a post, in a drawing",
    value=1.6,
    unit="m",
    spread=0.3,
    source="a court chair and an arm to each side of it",
    known="our choice",
)
GAP_M = 0.8
"""Between two posts of a drawing [m]."""

Side = Literal["far", "near", "left", "right"]
SIDES: tuple[Side, ...] = ("far", "near", "left", "right")


@dataclass(frozen=True, kw_only=True)
class Stand:
    """A post on the plan: beside which edge, and from where to where along it [m]."""

    post: Post
    number: int
    side: Side
    start: float
    end: float


@dataclass(frozen=True, kw_only=True)
class FloorPlan:
    """What is drawn: `length` by `width` of the floor [m], and the posts with their stands.

    `measured` is whether that is the floor, or only as much of it as the posts need.
    """

    length: float
    width: float
    measured: bool
    stands: tuple[Stand, ...]


def plan_floor(venue: Venue) -> FloorPlan:
    """Return the places of the posts of `venue` along the edges of its floor.

    A post stands at the first edge with room for its places beside each other and for its room in front; where no edge
    has that, at the edge with the most left, its places closer together.

    Examples
    --------
    >>> bars = Post(name="wall bars", heights=(0.5, 1.0), room_in_front=3.0, places=3)
    >>> plan_floor(Venue(name="hall", floor_length=32.0, floor_width=19.0, posts=(bars,))).stands[0].side
    'far'
    """
    wide = sum(_needed(post) + GAP_M for post in venue.posts) + GAP_M
    if venue.floor_length is None or venue.floor_width is None:
        deep = max((post.room_in_front for post in venue.posts), default=2.0)
        return FloorPlan(
            length=max(wide, deep),
            width=deep + 1.0,
            measured=False,
            stands=_stands(venue.posts, along={"far": wide + GAP_M}, deep={"far": deep}),
        )
    length = max(venue.floor_length, venue.floor_width)
    width = min(venue.floor_length, venue.floor_width)
    along: dict[Side, float] = {"far": length, "near": length, "left": width, "right": width}
    deep_of: dict[Side, float] = {"far": width, "near": width, "left": length, "right": length}
    return FloorPlan(length=length, width=width, measured=True, stands=_stands(venue.posts, along=along, deep=deep_of))


def _needed(post: Post) -> float:
    return PLACE_WIDTH.value * post.places


def _stands(posts: Iterable[Post], *, along: dict[Side, float], deep: dict[Side, float]) -> tuple[Stand, ...]:
    chosen: dict[Side, list[tuple[int, Post]]] = {side: [] for side in along}
    left = {side: room - GAP_M for side, room in along.items()}
    for index, post in enumerate(posts, start=1):
        fits = [side for side in along if post.room_in_front <= deep[side] and _needed(post) + GAP_M <= left[side]]
        # Where nothing fits, the room in front counts more than the width: it is what keeps people apart.
        best = max(along, key=lambda side, post=post: (post.room_in_front <= deep[side], left[side]))  # type: ignore[misc]
        side = fits[0] if fits else best
        chosen[side].append((index, post))
        left[side] -= _needed(post) + GAP_M
    stands = [stand for side, posts_of in chosen.items() for stand in _spread(side, posts_of, along=along[side])]
    return tuple(sorted(stands, key=lambda stand: stand.number))


def _spread(side: Side, posts: list[tuple[int, Post]], *, along: float) -> Iterable[Stand]:
    """Yield the posts of one side, spread evenly over its length."""
    if not posts:
        return
    full = sum(_needed(post) for _, post in posts)
    share = (
        min(1.0, (along - GAP_M * (len(posts) + 1)) / full) if along > GAP_M * (len(posts) + 1) else 0.5 * along / full
    )
    gap = (along - share * full) / (len(posts) + 1)
    at = gap
    for index, post in posts:
        end = at + share * _needed(post)
        yield Stand(post=post, number=index, side=side, start=at, end=end)
        at = end + gap


def draw_floor_plan(venue: Venue) -> str:
    """Return an SVG of `venue` from above; floor, room in front of the posts and chairs are to one scale.

    Posts bear their number in the list.  A chair of usual size stands in each place, for comparison.

    Parameters
    ----------
    venue : Venue
        The venue; where length or width is not known, only the room before the posts is drawn.

    Returns
    -------
    str
        SVG, in millimetres on paper, with title and description.
    """
    plan = plan_floor(venue)
    scale = min((WIDTH_MM - 2 * EDGE_MM) / plan.length, TALLEST_MM / plan.width)
    drawing = _Drawing(plan, scale)
    height = plan.width * scale + 2 * EDGE_MM + 4.0
    body = drawing.rooms() + drawing.floor() + "".join(drawing.stand(stand) for stand in plan.stands)
    body += drawing.scale_bar()
    return document(
        f'<g class="floor-plan"><rect class="ground" width="{number(WIDTH_MM)}" height="{number(height)}"'
        f' fill="{PAPER}"/>{body}</g>',
        width_mm=WIDTH_MM,
        height_mm=height,
        title=f"Floor plan of {venue.name}",
        description=in_words(venue),
        ground=None,
    )


def in_words(venue: Venue) -> str:
    """Return what the plan shows, for those who do not see it."""
    plan = plan_floor(venue)
    size = f"A floor of {plan.length:g} by {plan.width:g} m." if plan.measured else "The floor was not measured."
    posts = [
        f"{stand.number}: {stand.post.name}, {stand.post.places} {'place' if stand.post.places == 1 else 'places'}, "
        f"{stand.post.room_in_front:g} m free in front"
        for stand in plan.stands
    ]
    return f"{size} {'; '.join(posts)}." if posts else f"{size} There is no post."


class _Drawing:
    """The plan on paper: metres along and across the floor to millimetres."""

    def __init__(self, plan: FloorPlan, scale: float) -> None:
        self._plan, self._scale = plan, scale
        self._left = (WIDTH_MM - plan.length * scale) / 2.0

    def _box(self, side: Side, *, along: tuple[float, float], deep: tuple[float, float]) -> tuple[float, ...]:
        """Return x, y, width and height [mm] of what reaches `along` an edge and from it `deep` into the floor [m]."""
        (a0, a1), (d0, d1) = along, deep
        length, width = self._plan.length, self._plan.width
        x0, x1, y0, y1 = {
            "far": (a0, a1, d0, d1),
            "near": (a0, a1, width - d1, width - d0),
            "left": (d0, d1, a0, a1),
            "right": (length - d1, length - d0, a0, a1),
        }[side]
        s = self._scale
        return self._left + x0 * s, EDGE_MM + y0 * s, (x1 - x0) * s, (y1 - y0) * s

    def floor(self) -> str:
        x, y, wide, high = self._box("far", along=(0.0, self._plan.length), deep=(0.0, self._plan.width))
        if not self._plan.measured:
            line = f"M{number(x)} {number(y)}h{number(wide)}"
            return f'<path class="edge" d="{line}" stroke="{COURT}" stroke-width=".9" fill="none"/>'
        drop = 0.72 * LETTERS_PT * MM_PER_POINT
        return (
            f'<rect class="edge" x="{number(x)}" y="{number(y)}" width="{number(wide)}" height="{number(high)}"'
            f' stroke="{COURT}" stroke-width=".9" fill="none"/>'
            + _text(f"{self._plan.length:g} m", x=x + wide, y=self._below(), anchor="end")
            + self._upright(f"{self._plan.width:g} m", x=x + wide + 1.8 + drop, y=y + high - 2 * DISC_MM)
        )

    def _below(self) -> float:
        """Return the height of the line below the plan, clear of the numbers of posts along the near edge [mm]."""
        return EDGE_MM + self._plan.width * self._scale + DISC_MM * 2 + 4.4

    def _upright(self, words: str, *, x: float, y: float) -> str:
        return f'<g transform="rotate(-90 {number(x)} {number(y)})">{_text(words, x=x, y=y)}</g>'

    def _room(self, stand: Stand) -> float:
        return min(stand.post.room_in_front, self._plan.width if stand.side in ("far", "near") else self._plan.length)

    def rooms(self) -> str:
        """Return the room in front of every post; where two of them overlap, both edges stay visible."""
        return "".join(
            _rect(
                "room",
                self._box(stand.side, along=(stand.start, stand.end), deep=(0.0, self._room(stand))),
                fill=SAND,
                more=f' fill-opacity=".75" stroke="{COURT}" stroke-width=".2" stroke-dasharray="1 .8"',
            )
            for stand in self._plan.stands
        )

    def stand(self, stand: Stand) -> str:
        """Return the places of a post, the post itself, and its number outside the floor."""
        width = (stand.end - stand.start) / stand.post.places
        chairs = "".join(
            self._chair(stand.side, middle=stand.start + (place + 0.5) * width, room=self._room(stand), width=width)
            for place in range(stand.post.places)
        )
        thick = 1.1 / self._scale
        bar = _rect("post", self._box(stand.side, along=(stand.start, stand.end), deep=(-thick, 0.0)), fill=INK)
        out = (DISC_MM + 1.6) / self._scale
        x, y, wide, high = self._box(stand.side, along=(stand.start, stand.end), deep=(-out, -out))
        return chairs + bar + _disc(str(stand.number), x=x + wide / 2, y=y + high / 2)

    def _chair(self, side: Side, *, middle: float, room: float, width: float) -> str:
        """Return a chair from above that faces the post, in the middle of the room; left out where it does not fit."""
        chair = filled_chair("court", name="", measured=frozenset(), given={})
        half, long, wheel = chair.overall_width / 2, chair.overall_length, chair.wheel_diameter
        if width < chair.overall_width or room < long:
            return ""
        front = (room - long) / 2
        back = front + long
        seat = (middle - 0.6 * half, middle + 0.6 * half)
        line = f' stroke="{INK}" stroke-width=".2"'
        parts = [_rect("seat", self._box(side, along=seat, deep=(back - wheel, back - 0.1)), fill=PAPER, more=line)]
        feet = (middle - 0.35 * half, middle + 0.35 * half)
        parts.append(_rect("seat", self._box(side, along=feet, deep=(front, back - wheel)), fill=PAPER, more=line))
        for edge in ((middle - half, middle - 0.75 * half), (middle + 0.75 * half, middle + half)):
            parts.append(_rect("wheel", self._box(side, along=edge, deep=(back - wheel, back)), fill=INK))
        return "".join(parts)

    def scale_bar(self) -> str:
        """Return a bar of a round length below the plan."""
        length = next(each for each in (10.0, 5.0, 2.0, 1.0, 0.5) if each * self._scale <= 40.0)
        x, y = self._left, self._below()
        end = x + length * self._scale
        bar = f"M{number(x)} {number(y - 1.2)}v1.2H{number(end)}v-1.2"
        return f'<path class="edge" d="{bar}" fill="none" stroke="{COURT}" stroke-width=".4"/>' + _text(
            f"{length:g} m", x=end + 1.5, y=y
        )


def _rect(name: str, box: tuple[float, ...], *, fill: str, more: str = "") -> str:
    x, y, wide, high = (number(value) for value in box)
    return f'<rect class="{name}" x="{x}" y="{y}" width="{wide}" height="{high}" fill="{fill}"{more}/>'


def _disc(words: str, *, x: float, y: float) -> str:
    letters = text_at(
        words,
        x=x,
        y=y + 0.36 * LETTERS_PT * MM_PER_POINT,
        size_pt=LETTERS_PT,
        colour=PAPER,
        anchor="middle",
        bold=True,
    )
    circle = f'<circle class="disc" cx="{number(x)}" cy="{number(y)}" r="{number(DISC_MM)}" fill="{INK}"/>'
    return f'{circle}<g class="on-disc">{letters}</g>'


def _text(words: str, *, x: float, y: float, anchor: str = "start") -> str:
    return text_at(words, x=x, y=y, size_pt=LETTERS_PT, colour=INK, anchor=anchor)
