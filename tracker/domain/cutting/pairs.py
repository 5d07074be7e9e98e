"""Blocks to be sawn out of boards: a piece by itself, or two slanted pieces nested in one rectangle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tracker.domain.cutting.outlines import area_m2, reflex_corners
from tracker.domain.cutting.plans import Point, Ring

UM = 1_000_000
"""Sizes on boards are counted in whole micrometres."""
WORTH = 0.02
"""Two pieces are nested where that saves more than this share of a board. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A piece's outline from the lower left of its bounding box, m, and the box in um."""

    ring: Ring
    width: int
    height: int
    square: bool


@dataclass(frozen=True, slots=True)
class Member:
    """Where a piece lies in its block, m; `ring` is its outline there, mirrored where `flipped`."""

    index: int
    at: Point
    size: tuple[float, float]
    ring: Ring
    flipped: bool


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle to be sawn out, um, with what is in it and the slanted cut that parts it."""

    width: int
    height: int
    members: tuple[Member, ...]
    parting: tuple[Point, Point] | None = None


def shape_of(outline: Ring) -> Shape:
    """An outline on a plane, m, moved to the origin and rounded to um."""
    x0, y0 = min(x for x, _ in outline), min(y for _, y in outline)
    ring = tuple((round(x - x0, 6), round(y - y0, 6)) for x, y in outline)
    width, height = max(x for x, _ in ring), max(y for _, y in ring)
    square = len(ring) == 4 and all(x in (0.0, width) and y in (0.0, height) for x, y in ring)
    return Shape(ring, round(width * UM), round(height * UM), square)


def single(index: int, shape: Shape) -> Block:
    """A piece by itself as a block."""
    size = (shape.width / UM, shape.height / UM)
    return Block(shape.width, shape.height, (Member(index, (0.0, 0.0), size, shape.ring, False),))


@dataclass(frozen=True, slots=True)
class Nest:
    """Two shapes in one rectangle: where each lies, m, how the second is moved, the parting cut, um2 saved."""

    width: int
    height: int
    first_at: Point
    second_at: Point
    second: Ring
    flipped: bool
    parting: tuple[Point, Point]
    saved: int


def blocks_of(
    shapes: Sequence[Shape], length: int, width: int, kerf: int, turnable: bool, flippable: bool
) -> list[Block]:
    """The shapes as blocks for boards of length x width, um, slanted ones nested in twos where that saves most."""
    blocks = [single(i, shape) for i, shape in enumerate(shapes)]
    slanted = [i for i, shape in enumerate(shapes) if not shape.square]
    found = []
    for at, i in enumerate(slanted):
        for j in slanted[at + 1 :]:
            nest = nest_of(shapes[i], shapes[j], length, width, kerf, turnable, flippable)
            if nest is not None:
                found.append((-nest.saved, nest.flipped, i, j, nest))
    used: set[int] = set()
    for _, _, i, j, nest in sorted(found, key=lambda one: one[:4]):
        if i not in used and j not in used:
            used |= {i, j}
            blocks.append(_nested(i, j, shapes[i], shapes[j], nest))
    return [block for i, block in enumerate(blocks) if i not in used]


def _nested(i: int, j: int, first: Shape, second: Shape, nest: Nest) -> Block:
    members = tuple(
        Member(index, at, (s.width / UM, s.height / UM), tuple((x + at[0], y + at[1]) for x, y in ring), flipped)
        for index, s, at, ring, flipped in (
            (i, first, nest.first_at, first.ring, False),
            (j, second, nest.second_at, nest.second, nest.flipped),
        )
    )
    return Block(nest.width, nest.height, members, nest.parting)


@lru_cache(maxsize=65536)
def nest_of(
    first: Shape, second: Shape, length: int, width: int, kerf: int, turnable: bool, flippable: bool
) -> Nest | None:
    """The best nesting of two slanted shapes by one straight cut, or None where it saves too little; sizes um."""
    one, two = bevel_of(first), bevel_of(second)
    if one is None or two is None or spare_of(first) + spare_of(second) <= WORTH * length * width:
        return None
    mirror_x, mirror_y = one[0] == two[0], one[1] == two[1]
    flipped = mirror_x != mirror_y
    if flipped and not flippable:
        return None
    w, h = second.width / UM, second.height / UM
    ring = tuple((w - x if mirror_x else x, h - y if mirror_y else y) for x, y in second.ring)
    best = None
    for axis in (0, 1):
        for low in (True, False):
            nest = _slide(first, second, ring, one, axis, low, kerf / UM, flipped)
            if nest is not None and _fits(nest, length, width, turnable) and (best is None or nest.saved > best.saved):
                best = nest
    return best if best is not None and best.saved > WORTH * length * width else None


def _fits(nest: Nest, length: int, width: int, turnable: bool) -> bool:
    along = nest.width <= length and nest.height <= width
    return along or (turnable and nest.height <= length and nest.width <= width)


@lru_cache(maxsize=4096)
def spare_of(shape: Shape) -> float:
    """What of its bounding box a shape leaves open, um2: two nested never save more than both leave.

    Source: definition.
    """
    return shape.width * shape.height - area_m2(shape.ring) * UM * UM


@lru_cache(maxsize=4096)
def bevel_of(shape: Shape) -> tuple[int, int, Point] | None:
    """The corner (sign of x, sign of y) that a convex shape's longest slanted edge cuts off, and that edge's normal."""
    if shape.square or reflex_corners(shape.ring):
        return None
    best = None
    for (x0, y0), (x1, y1) in zip(shape.ring, shape.ring[1:] + shape.ring[:1], strict=True):
        dx, dy = x1 - x0, y1 - y0
        size = math.hypot(dx, dy)
        if min(abs(dx), abs(dy)) > 1e-5 and (best is None or abs(dx * dy) > best[0]):
            best = (abs(dx * dy), (1 if dy > 0 else -1, 1 if dx < 0 else -1, (dy / size, -dx / size)))
    return best[1] if best else None


def _slide(
    first: Shape,
    second: Shape,
    ring: Ring,
    bevel: tuple[int, int, Point],
    axis: int,
    low: bool,
    kerf: float,
    flipped: bool,
) -> Nest | None:
    """The second shape slid along an axis against the first one's bevel, flush at the low or the high side."""
    signs, normal = bevel[:2], bevel[2]
    sizes = (first.width / UM, first.height / UM), (second.width / UM, second.height / UM)
    across = 0.0 if low else sizes[0][1 - axis] - sizes[1][1 - axis]
    other = bevel_of(Shape(ring, second.width, second.height, False))
    options = []
    for n in (normal, (-other[2][0], -other[2][1])) if other else (normal,):
        if abs(n[axis]) > 1e-9:
            reach = max(n[0] * x + n[1] * y for x, y in first.ring)
            near = min(n[0] * x + n[1] * y for x, y in ring)
            options.append(((reach + kerf - near - n[1 - axis] * across) / n[axis], n, reach + kerf / 2))
    if not options:
        return None
    offset, n, level = min(options, key=lambda o: o[0] * signs[axis])
    offset = math.ceil(offset * UM - 1e-3) / UM if signs[axis] > 0 else math.floor(offset * UM + 1e-3) / UM
    at = (offset, across) if axis == 0 else (across, offset)
    lows = tuple(min(0.0, at[k]) for k in (0, 1))
    box = [round((max(sizes[0][k], at[k] + sizes[1][k]) - lows[k]) * UM) for k in (0, 1)]
    saved = first.width * first.height + second.width * second.height - box[0] * box[1]
    if saved <= 0:
        return None
    level -= n[0] * lows[0] + n[1] * lows[1]
    parting = _chord(n, level, box[0] / UM, box[1] / UM)
    if parting is None:
        return None
    first_at, second_at = (-lows[0], -lows[1]), (at[0] - lows[0], at[1] - lows[1])
    return Nest(box[0], box[1], first_at, second_at, ring, flipped, parting, saved)


def _chord(n: Point, level: float, width: float, height: float) -> tuple[Point, Point] | None:
    """Where the line n . p = level crosses a box."""
    ends: list[Point] = []
    for x in (0.0, width):
        y = (level - n[0] * x) / n[1]
        if -1e-7 <= y <= height + 1e-7:
            ends.append((x, min(max(y, 0.0), height)))
    for y in (0.0, height):
        x = (level - n[1] * y) / n[0]
        if 1e-7 < x < width - 1e-7:
            ends.append((x, y))
    return (ends[0], ends[-1]) if len(ends) >= 2 else None
