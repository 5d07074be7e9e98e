"""Outlines: what makes one usable, its area, and where it sits on its plane."""

from __future__ import annotations

from math import dist

from tracker.domain.errors import Refused
from tracker.domain.site import Outline, Point

SAME_POINT_M = 1e-6
"""Corners nearer than this are the same corner, m; a thousandth of the finest tape mark."""

STRAIGHT_SINE = 1e-3
"""Sine of the angle under which two stretches run on in one line: 1 mm in 1 m."""


def check_outline(outline: Outline, what: str) -> None:
    """Refuses an outline (corners in m) that no surface can have; `what` names it in the sentence.

    Errors: Refused for fewer than three corners, a corner given twice, sides that cross, or no area.
    Source: definition of a simple polygon.
    """
    if len(outline) < 3:
        raise Refused(f"{what}: an outline needs at least 3 corners, this one has {len(outline)}")
    if dist(outline[0], outline[-1]) < SAME_POINT_M:
        raise Refused(f"{what}: corner {len(outline)} is corner 1 again: leave it out, an outline closes itself")
    for number, corner in enumerate(outline):
        for other in range(number):
            if dist(corner, outline[other]) < SAME_POINT_M:
                raise Refused(f"{what}: corner {number + 1} is corner {other + 1} again: take one of them out")
    if area_m2(outline) < SAME_POINT_M and _all_in_line(outline):
        raise Refused(f"{what}: its corners lie in one line, so it has no area: check their figures")
    from shapely import Polygon  # late: only reading a site needs it here

    if not Polygon(outline).is_valid:
        raise Refused(f"{what}: its sides cross: give the corners in order around it")


def area_m2(outline: Outline) -> float:
    """Area inside an outline, m2, from corners in m in either turning sense.

    Source: definition (half the sum of the cross products of neighbouring corners).
    """
    return abs(signed_area_m2(outline))


def signed_area_m2(outline: Outline) -> float:
    """Area inside an outline, m2, from corners in m: positive where they turn anticlockwise.

    Source: definition (half the sum of the cross products of neighbouring corners).
    """
    x0, y0 = outline[0]
    shifted = [(x - x0, y - y0) for x, y in outline]  # from a corner, so that far-off outlines keep their figures
    return 0.5 * sum(cross(a, b) for a, b in zip(shifted, shifted[1:] + shifted[:1], strict=True))


def place(outline: Outline, at: Point) -> Outline:
    """The outline (m) shifted so that the lower left of its bounding box is at `at` (m).

    Source: definition.
    """
    shift_x = at[0] - min(x for x, _ in outline)
    shift_y = at[1] - min(y for _, y in outline)
    return tuple((x + shift_x, y + shift_y) for x, y in outline)


def rectangle(width_m: float, height_m: float) -> Outline:
    """The outline of a rectangle, m, lower left corner at (0, 0), turning anticlockwise; both sizes over 0.

    Source: definition.
    """
    return ((0.0, 0.0), (width_m, 0.0), (width_m, height_m), (0.0, height_m))


def extent_m(outline: Outline) -> tuple[Point, Point]:
    """Lower left and upper right of the bounding box of an outline, m.

    Source: definition.
    """
    xs, ys = zip(*outline, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def sides(outline: Outline) -> list[tuple[Point, Point]]:
    """The sides of an outline, each from its start to its end, in order; same unit as the corners."""
    return list(zip(outline, outline[1:] + outline[:1], strict=True))


def cross(a: Point, b: Point) -> float:
    """Cross product of two vectors, in the square of their unit.

    Source: definition.
    """
    return a[0] * b[1] - a[1] * b[0]


def direction(start: Point, end: Point) -> Point:
    """Unit vector from start to end; they must not be the same point.

    Source: definition.
    """
    length = dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def tidy(outline: Outline, *, clockwise: bool = False) -> Outline:
    """The same outline (m) without corners that lie on a straight side, from its lowest, then leftmost corner on.

    Source: definition.
    """
    corners = list(outline)
    at = 0
    while at < len(corners) and len(corners) > 3:
        if _needless(corners[at - 1], corners[at], corners[(at + 1) % len(corners)]):
            del corners[at]
            at = max(at - 1, 0)  # what lies before it has a new neighbour
        else:
            at += 1
    if (signed_area_m2(tuple(corners)) < 0) != clockwise:
        corners.reverse()
    first = min(range(len(corners)), key=lambda n: (round(corners[n][1], 6), round(corners[n][0], 6)))
    return tuple(corners[first:] + corners[:first])


def _needless(a: Point, b: Point, c: Point) -> bool:
    """Whether b is a again, or lies on the way from a to c, to a thousandth of a millimetre."""
    if dist(a, b) < SAME_POINT_M:
        return True
    span = dist(a, c)
    if span < SAME_POINT_M:
        return False
    off = abs(cross((c[0] - a[0], c[1] - a[1]), (b[0] - a[0], b[1] - a[1]))) / span
    return off < SAME_POINT_M and dist(a, b) < span and dist(b, c) < span


def _all_in_line(outline: Outline) -> bool:
    far = max(outline, key=lambda corner: dist(corner, outline[0]))
    along = direction(outline[0], far)
    return all(abs(cross(along, (x - outline[0][0], y - outline[0][1]))) < SAME_POINT_M for x, y in outline)
