"""Outlines as a drawing needs them: how large, where their middle is, and whether a point lies in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from tracker.domain.geometry.outline import area_m2, extent_m
from tracker.domain.site import Outline, Point

Parts = Sequence[tuple[Outline, Sequence[Outline]]]
"""Parts of one area, each with its holes."""


def size(outline: Outline) -> Point:
    """How wide and high it is."""
    (left, low), (right, high) = extent_m(outline)
    return right - left, high - low


def moved(outline: Outline, by: Point) -> Outline:
    """The outline elsewhere."""
    return tuple((x + by[0], y + by[1]) for x, y in outline)


def points_of(parts: Parts) -> Outline:
    """The corners of all parts, without their holes."""
    return tuple(chain.from_iterable(part for part, _ in parts))


def middle(outline: Outline) -> Point:
    """The centroid of an outline, which may be of any shape."""
    twice, x, y = 0.0, 0.0, 0.0
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        cross = x0 * y1 - x1 * y0
        twice, x, y = twice + cross, x + (x0 + x1) * cross, y + (y0 + y1) * cross
    return (x / (3 * twice), y / (3 * twice)) if twice else outline[0]


def clear_middle(parts: Parts) -> Point | None:
    """The middle of the largest part, moved below a hole that lies there; None where there is none."""
    part, holes = max(parts, key=lambda one: area_m2(one[0]), default=((), ()))
    if not part:
        return None
    x, y = middle(part)
    for hole in holes:
        (_, low), (_, high) = extent_m(hole)
        if low < y < high:
            floor = min(b for _, b in part)
            return x, floor + (low - floor) * 0.6
    return x, y


def holds(rings: Iterable[Outline], at: Point) -> bool:
    """Whether a point lies inside an odd number of the rings."""
    x, y = at
    return sum((y0 < y) != (y1 < y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)
               for ring in rings for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True)) % 2 == 1


def part_holds(parts: Parts, at: Point) -> bool:
    """Whether a point lies in one of the parts and in none of its holes."""
    return any(holds((part, *holes), at) for part, holes in parts)
