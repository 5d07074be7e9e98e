"""Regions and pieces as the layout handles them: clipped, split at notches, told rectangle from shape."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import MultiPolygon, Polygon

from tracker.domain.cutting.plans import Point, Region, Ring

EPS_M = 1e-6
"""Lengths closer than a micrometre are the same."""
NOTCH_SHARE = 0.25
"""A notch above this share of a board is not cut out of a piece: the piece is split. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Part:
    """A piece without a name: its outline and bounding box, m, and whether it fills that box."""

    outline: Ring
    box: tuple[float, float, float, float]
    square: bool

    @property
    def size(self) -> tuple[float, float]:
        return self.box[2] - self.box[0], self.box[3] - self.box[1]

    @property
    def least(self) -> float:
        """The shorter side of the bounding box, m."""
        return min(self.size)


def area_m2(ring: Ring) -> float:
    """Area inside a ring given in m, in m2, whichever way it turns.

    Source: definition (shoelace formula).
    """
    doubled = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True))
    return abs(doubled) / 2


def polygons_of(region: Region) -> list[Polygon]:
    """The region's polygons, without any below 1 mm2."""
    return [polygon for outside, holes in region if (polygon := Polygon(outside, holes)).area > 1e-6]


def box_part(x0: float, y0: float, x1: float, y1: float) -> Part:
    """A rectangular part with corners (x0, y0) and (x1, y1), m."""
    return Part(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), (x0, y0, x1, y1), True)


def part_of(ring: Ring) -> Part:
    """The part inside a ring, m, its straight-through corners taken out."""
    ring = tidy(ring)
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    box = (min(xs), min(ys), max(xs), max(ys))
    square = len(ring) == 4 and all(
        min(x - box[0], box[2] - x) < EPS_M and min(y - box[1], box[3] - y) < EPS_M for x, y in ring
    )
    return box_part(*box) if square else Part(ring, box, False)


def tidy(ring: Ring) -> Ring:
    """A ring, m, turning anticlockwise, without repeated corners and corners on a straight line (within 1 um)."""
    points: list[Point] = []
    for point in ring:
        if not points or abs(point[0] - points[-1][0]) + abs(point[1] - points[-1][1]) > EPS_M:
            points.append(point)
    while len(points) > 1 and abs(points[0][0] - points[-1][0]) + abs(points[0][1] - points[-1][1]) <= EPS_M:
        points.pop()
    kept = [
        b
        for a, b, c in zip(points[-1:] + points[:-1], points, points[1:] + points[:1], strict=True)
        if abs(turn(a, b, c)) > EPS_M * (abs(c[0] - a[0]) + abs(c[1] - a[1]))
    ]
    signed = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(kept, kept[1:] + kept[:1], strict=True))
    return tuple(kept if signed >= 0 else reversed(kept))


def turn(a: Point, b: Point, c: Point) -> float:
    """Twice the signed area of the triangle a, b, c; positive where the path turns left.

    Source: definition.
    """
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def clip(polygon: Polygon, x0: float, y0: float, x1: float, y1: float) -> list[Polygon]:
    """What of a polygon lies in a box, m, as polygons above 1 mm2."""
    return list(_flat(shapely.clip_by_rect(polygon, x0, y0, x1, y1)))


def _flat(geometry: object) -> Iterator[Polygon]:
    if isinstance(geometry, Polygon):
        if geometry.area > 1e-6:
            yield geometry
    elif hasattr(geometry, "geoms"):
        for one in geometry.geoms:
            yield from _flat(one)


def parts_of(polygon: Polygon, board_m2: float) -> list[Part]:
    """A polygon as parts that can be cut: holes opened, large notches split at a reflex corner."""
    if polygon.interiors:
        x0, y0, x1, y1 = polygon.bounds
        at = polygon.interiors[0].bounds[0]
        halves = clip(polygon, x0, y0, at, y1) + clip(polygon, at, y0, x1, y1)
        return [part for half in halves for part in parts_of(half, board_m2)]
    part = part_of(tuple(polygon.exterior.coords[:-1]))
    if part.square:
        return [part]
    reflex = reflex_corners(part.outline)
    lines = _lines(part, reflex)
    if not lines or 2 * (polygon.convex_hull.area - polygon.area) <= NOTCH_SHARE * board_m2:
        return [part]
    return min((_split(polygon, line, board_m2) for line in lines), key=_awkward)


def reflex_corners(ring: Ring) -> list[Point]:
    """Corners of an anticlockwise ring that point into the shape."""
    around = zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True)
    return [b for a, b, c in around if turn(a, b, c) < 0]


def _lines(part: Part, reflex: list[Point]) -> list[tuple[int, float]]:
    lines = {(axis, round(point[axis], 7)) for point in reflex for axis in (0, 1)}
    return sorted((a, at) for a, at in lines if part.box[a] + EPS_M < at < part.box[a + 2] - EPS_M)


def _split(polygon: Polygon, line: tuple[int, float], board_m2: float) -> list[Part]:
    axis, at = line
    x0, y0, x1, y1 = polygon.bounds
    if axis == 0:
        halves = clip(polygon, x0, y0, at, y1) + clip(polygon, at, y0, x1, y1)
    else:
        halves = clip(polygon, x0, y0, x1, at) + clip(polygon, x0, at, x1, y1)
    return [part for half in halves for part in parts_of(half, board_m2)]


def _awkward(parts: list[Part]) -> tuple[int, float]:
    return len(parts), -min(part.least for part in parts)


def swapped(polygon: Polygon) -> Polygon:
    """A polygon with x and y exchanged."""
    return shapely.transform(polygon, lambda points: points[:, ::-1])


def as_region(polygons: list[Polygon]) -> Region:
    """Polygons as plain tuples."""
    return tuple(
        (tuple(p.exterior.coords[:-1]), tuple(tuple(ring.coords[:-1]) for ring in p.interiors)) for p in polygons
    )


def union_area_m2(region: Region) -> float:
    """Net area of a region, m2.

    Source: definition.
    """
    return MultiPolygon(polygons_of(region)).area
