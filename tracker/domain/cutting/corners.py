"""Joints over the corners of openings: where two pieces of infill meet at a corner that points into the infill."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tracker.domain.cutting.outlines import EPS_M, polygons_of, reflex_corners, tidy, turn
from tracker.domain.cutting.plans import Point, Region, Ring

NEAR_M = 0.001
"""A piece that comes this near to a corner touches it."""


def inner_corners(region: Region) -> tuple[Point, ...]:
    """Corners of openings and notches, m: those of a region that point into it, each once."""
    points: set[Point] = set()
    for polygon in polygons_of(region):
        points.update(reflex_corners(tidy(tuple(polygon.exterior.coords[:-1]))))
        for hole in polygon.interiors:
            points.update(hole.coords[:-1])
    return tuple(sorted(points))


def corner_joints(corners: Sequence[Point], outlines: Iterable[Ring]) -> int:
    """At how many of the corners (m) two outlines or more meet.

    Source: definition.
    """
    if not corners:
        return 0
    rings = list(outlines)
    return sum(sum(_touches(corner, ring) for ring in rings) > 1 for corner in corners)


def _touches(point: Point, ring: Ring) -> bool:
    """Does the rim of an outline pass within NEAR_M of a point?"""
    x, y = point
    if not (min(a for a, _ in ring) - NEAR_M <= x <= max(a for a, _ in ring) + NEAR_M):
        return False
    if not (min(b for _, b in ring) - NEAR_M <= y <= max(b for _, b in ring) + NEAR_M):
        return False
    return any(_near(point, a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True))


def _near(point: Point, a: Point, b: Point) -> bool:
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = (dx * dx + dy * dy) ** 0.5
    if size <= EPS_M:
        return False
    along = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / size
    return -NEAR_M <= along <= size + NEAR_M and abs(turn(a, b, point)) / size <= NEAR_M
