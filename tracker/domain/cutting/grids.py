"""Rows of boards over a region: where rows begin, where boards end, and the parts that come of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from shapely.geometry import Polygon

from tracker.domain.cutting.corners import inner_corners
from tracker.domain.cutting.outlines import (
    EPS_M,
    Part,
    as_region,
    box_part,
    clip,
    part_of,
    parts_of,
    polygons_of,
    swapped,
)
from tracker.domain.cutting.plans import Point, Region

Lead = float | str
"""How long the first board of a row (or the first row) is: m, or `low`, `high`, `mid`, `half`."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Rows of boards: along x, or upright along y; the first row's height; the first board of each row in turn."""

    upright: bool = False
    rows: Lead = "low"
    ends: tuple[Lead, ...] = ("low",)


@dataclass(frozen=True, slots=True)
class Split:
    """Two grids either side of a straight line across the bay: at `at_m` on the axis (0 for x, 1 for y)."""

    axis: int
    at_m: float
    low: Grid
    high: Grid


@dataclass(frozen=True, slots=True)
class Board:
    """What the layout needs of a board, m: size, least width of a piece, and the gap closed by trimming."""

    length: float
    width: float
    sliver: float = 0.075
    hairline: float = 0.005

    @property
    def area(self) -> float:
        return self.length * self.width


class Row:
    """A connected stretch of a row: its box, m, its polygon unless it fills the box, and its parts as they are cut."""

    def __init__(self, box: tuple[float, float, float, float], polygon: Polygon | None = None) -> None:
        self.box = box
        self.polygon = polygon
        if polygon is not None and not polygon.interiors and part_of(tuple(polygon.exterior.coords[:-1])).square:
            self.polygon = None
        self._parts: dict[tuple[float, float], list[Part]] = {}

    def parts(self, left: float, right: float, board_m2: float) -> list[Part]:
        """The parts between two places along the row, m."""
        if (left, right) not in self._parts:
            low, high = self.box[1], self.box[3]
            if self.polygon is None:
                found = [box_part(left, low, right, high)]
            else:
                pieces = clip(self.polygon, left, low, right, high)
                found = [part for piece in pieces for part in parts_of(piece, board_m2)]
            self._parts[left, right] = found
        return self._parts[left, right]


@dataclass
class Ground:
    """A region made ready to be laid out many times; remembers its rows."""

    region: Region
    anchor: Point | None = None
    _frames: dict[bool, list[Polygon]] = field(default_factory=dict)
    _rows: dict[tuple[bool, float, float], list[Row]] = field(default_factory=dict)
    _halves: dict[tuple[int, float], tuple[Ground, Ground]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        polygons = polygons_of(self.region)
        self._frames[False] = polygons
        self.net_m2 = sum(polygon.area for polygon in polygons)
        self.rectangle = None
        if len(polygons) == 1 and not polygons[0].interiors:
            part = part_of(tuple(polygons[0].exterior.coords[:-1]))
            if part.square:
                self.rectangle = part.box
        bounds = [polygon.bounds for polygon in polygons] or [(0.0, 0.0, 0.0, 0.0)]
        self.box = (
            min(b[0] for b in bounds), min(b[1] for b in bounds), max(b[2] for b in bounds), max(b[3] for b in bounds),
        )  # fmt: skip

    def frame(self, upright: bool) -> list[Polygon]:
        """The polygons with rows running along the first axis."""
        if upright not in self._frames:
            self._frames[upright] = [swapped(polygon) for polygon in self._frames[False]]
        return self._frames[upright]

    def span(self, upright: bool) -> tuple[float, float]:
        """From where to where rows stack, m."""
        low, high = (self.box[0], self.box[2]) if upright else (self.box[1], self.box[3])
        return (min(low, self.anchor[0 if upright else 1]) if self.anchor else low), high

    def rows(self, upright: bool, low: float, high: float) -> list[Row]:
        """The region between two row lines, as connected stretches in row order."""
        key = (upright, low, high)
        if key not in self._rows:
            if self.rectangle is not None:
                x0, y0, x1, y1 = self.rectangle
                if upright:
                    x0, y0, x1, y1 = y0, x0, y1, x1
                within = low < y1 - EPS_M and high > y0 + EPS_M
                found = [Row((x0, max(low, y0), x1, min(high, y1)))] if within else []
            else:
                strips = [one for p in self.frame(upright) for one in clip(p, p.bounds[0], low, p.bounds[2], high)]
                found = [Row(one.bounds, one) for one in sorted(strips, key=lambda p: p.bounds[0])]
            self._rows[key] = found
        return self._rows[key]

    def halves(self, axis: int, at: float) -> tuple[Ground, Ground]:
        """The region either side of a line, each ready to be laid out."""
        if (axis, at) not in self._halves:
            x0, y0, x1, y1 = self.box
            boxes = ((x0, y0, at, y1), (at, y0, x1, y1)) if axis == 0 else ((x0, y0, x1, at), (x0, at, x1, y1))
            low, high = ([one for p in self._frames[False] for one in clip(p, *box)] for box in boxes)
            self._halves[axis, at] = Ground(as_region(low)), Ground(as_region(high))
        return self._halves[axis, at]

    def corners(self, upright: bool) -> list[Point]:
        """Corners of openings and notches in row order, each once."""
        points = inner_corners(self.region)
        return sorted((y, x) for x, y in points) if upright else list(points)


def stops(low: float, high: float, length: float, lead: Lead, sliver: float) -> list[float]:
    """Places between `low` and `high`, m, where boards of `length` meet when the first is `lead` long.

    The first board is shortened where the last would be narrower than `sliver`.
    """
    total = high - low
    if total <= length + EPS_M:
        return []
    rest = total - length * math.floor(total / length + EPS_M)
    first = _first(lead, length, max(rest, 0.0))
    last = (total - first) - length * math.floor((total - first) / length + EPS_M)
    if EPS_M < last < sliver - EPS_M:
        first = first - (sliver - last) if first - (sliver - last) >= sliver - EPS_M else first + last
    if first < sliver - EPS_M:
        first = sliver
    places = []
    while first < total - EPS_M:
        places.append(low + first)
        first += length
    return places


def _first(lead: Lead, length: float, rest: float) -> float:
    if isinstance(lead, float):
        return min(lead, length)
    if rest <= EPS_M or lead == "low":
        return length / 2 if lead == "half" else length
    return {"high": rest, "mid": (length + rest) / 2, "half": length / 2}[lead]


def lay(ground: Ground, grid: Grid | Split, board: Board) -> list[Part]:
    """The parts of a region, in rows of boards as the grid says."""
    if isinstance(grid, Split):
        low, high = ground.halves(grid.axis, grid.at_m)
        return lay(low, grid.low, board) + lay(high, grid.high, board)
    low, high = ground.span(grid.upright)
    lines = [low, *stops(low, high, board.width, grid.rows, board.sliver), high]
    parts: list[Part] = []
    turn = 0
    for y0, y1 in zip(lines, lines[1:], strict=False):
        for row in ground.rows(grid.upright, y0, y1):
            left, right = row.box[0], row.box[2]
            ends = [left, *stops(left, right, board.length, grid.ends[turn % len(grid.ends)], board.sliver), right]
            turn += 1
            for start, end in zip(ends, ends[1:], strict=False):
                parts += row.parts(start, end, board.area)
    return [_upright(part) for part in parts] if grid.upright else parts


def _upright(part: Part) -> Part:
    x0, y0, x1, y1 = part.box
    if part.square:
        return box_part(y0, x0, y1, x1)
    return Part(tuple((y, x) for x, y in reversed(part.outline)), (y0, x0, y1, x1), False)
