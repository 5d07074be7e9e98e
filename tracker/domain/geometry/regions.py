"""Regions with holes as plain values, and what is left of them when others are cut out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tracker.domain.geometry.outline import area_m2, cross, direction, sides, signed_area_m2, tidy
from tracker.domain.site import Outline, Point

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

GRID_M = 1e-7
"""Cuts are worked out on this grid, m, so that sides meant to coincide do."""
_LEAST_M2 = 1e-6  # one square millimetre: less is rounding, not material


@dataclass(frozen=True, slots=True)
class Part:
    """One connected region, m: its outside turning anticlockwise, its holes clockwise."""

    exterior: Outline
    holes: tuple[Outline, ...] = ()

    @property
    def rings(self) -> tuple[Outline, ...]:
        return (self.exterior, *self.holes)

    @property
    def area_m2(self) -> float:
        return area_m2(self.exterior) - sum(area_m2(hole) for hole in self.holes)


def total_m2(parts: Iterable[Part]) -> float:
    """Area of several parts together, m2.

    Source: definition.
    """
    return sum(part.area_m2 for part in parts)


def whole(outline: Outline) -> Part:
    """An outline (m) as a part without holes, turned anticlockwise."""
    return Part(tidy(outline))


def less(parts: Iterable[Part], taken: Iterable[Outline | Part]) -> tuple[Part, ...]:
    """What is left of the parts (m) when others are taken out of them.

    Source: definition (difference of point sets).
    """
    parts, taken = tuple(parts), tuple(taken)
    if not taken:
        return parts
    import shapely

    return _parts(shapely.difference(_union(parts), _union(taken), grid_size=GRID_M))


def common(parts: Iterable[Part], others: Iterable[Outline | Part]) -> tuple[Part, ...]:
    """What the parts (m) have in common with others.

    Source: definition (intersection of point sets).
    """
    import shapely

    return _parts(shapely.intersection(_union(parts), _union(others), grid_size=GRID_M))


def thicker_than(parts: Iterable[Part], thickness_m: float) -> bool:
    """Whether some place in the parts (m) is wider than this.

    Source: definition (a region shrunk by half its width vanishes).
    """
    return not _union(parts).buffer(-thickness_m / 2, join_style="mitre").is_empty


def without_strips(parts: Iterable[Part], narrower_than_m: float) -> tuple[Part, ...]:
    """The parts (m) without strips narrower than this, those along a wider part's side too.

    Source: definition (opening: shrunk by half the width and grown again).
    """
    parts = tuple(parts)
    if not parts:
        return ()
    half = narrower_than_m / 2
    opened = _union(parts).buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
    return common(parts, _parts(opened)) if not opened.is_empty else ()


def reaches_out(outline: Outline, of: Outline, by_m: float) -> bool:
    """Whether an outline goes beyond another by more than this, all in m.

    Source: definition.
    """
    import shapely

    return not shapely.covers(_shape(of).buffer(by_m + GRID_M, join_style="mitre"), _shape(outline))


def snapped(outline: Outline, onto: Outline, within_m: float) -> Outline:
    """The outline (m) with corners that all but lie on another's side moved onto it, so that no sliver is left.

    Source: definition (foot of the perpendicular).
    """
    corners = [_nearest(corner, onto, within_m) for corner in outline]
    kept = tuple(corner for n, corner in enumerate(corners) if corner != corners[n - 1])
    return kept if len(kept) > 2 and abs(signed_area_m2(kept)) > _LEAST_M2 else outline


def _nearest(point: Point, onto: Outline, within_m: float) -> Point:
    best, nearest = point, within_m
    for start, end in sides(onto):
        ux, uy = direction(start, end)
        along = (point[0] - start[0]) * ux + (point[1] - start[1]) * uy
        length = (end[0] - start[0]) * ux + (end[1] - start[1]) * uy
        if along <= within_m:
            foot = start
        elif along >= length - within_m:
            foot = end
        else:
            foot = (start[0] + along * ux, start[1] + along * uy)
        off = ((point[0] - foot[0]) ** 2 + (point[1] - foot[1]) ** 2) ** 0.5
        if off <= nearest:
            best, nearest = foot, off
    return best


def lies_on(point: Point, outline: Outline, within_m: float) -> bool:
    """Whether a point is on a side of an outline, give or take `within_m`; all in m.

    Source: definition.
    """
    for start, end in sides(outline):
        u = direction(start, end)
        to = (point[0] - start[0], point[1] - start[1])
        along = to[0] * u[0] + to[1] * u[1]
        length = (end[0] - start[0]) * u[0] + (end[1] - start[1]) * u[1]
        if -within_m <= along <= length + within_m and abs(cross(u, to)) <= within_m:
            return True
    return False


def _shape(region: Outline | Part) -> BaseGeometry:
    import shapely

    if isinstance(region, Part):
        return shapely.Polygon(region.exterior, region.holes)
    return shapely.Polygon(region)


def _union(regions: Iterable[Outline | Part]) -> BaseGeometry:
    import shapely

    shapes = [_shape(region) for region in regions]
    return shapes[0] if len(shapes) == 1 else shapely.union_all(shapes, grid_size=GRID_M)


def _parts(shape: Any) -> tuple[Part, ...]:
    """Plain parts, the lowest first, then the leftmost; lines, points and specks are left out."""
    polygons = [piece for piece in getattr(shape, "geoms", [shape]) if piece.geom_type == "Polygon"]
    parts = [Part(tidy(tuple(polygon.exterior.coords)[:-1]),
                  tuple(sorted(tidy(tuple(hole.coords)[:-1], clockwise=True) for hole in polygon.interiors)))
             for polygon in polygons if polygon.area > _LEAST_M2]
    return tuple(sorted(parts, key=lambda part: (part.exterior[0][1], part.exterior[0][0])))
