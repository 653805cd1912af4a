"""Where it happens: floor and posts, as values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Post:
    """Something a band can be tied to; heights and room in m, rising.

    `heights` are the heights where a band can be tied (a continuous post is sampled every 0.05 m);
    `room_in_front` is the free floor before it; `places` is how many athletes at a time.
    """

    name: str
    heights: tuple[float, ...]
    room_in_front: float
    places: int


@dataclass(frozen=True, kw_only=True)
class Venue:
    """A hall or court; floor lengths in m, None when unknown; `helpers` None is unknown."""

    name: str
    sport: str | None = None
    surface: str | None = None
    floor_length: float | None = None
    floor_width: float | None = None
    helpers: int | None = None
    posts: tuple[Post, ...] = ()
