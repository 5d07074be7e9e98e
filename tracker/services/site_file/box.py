"""Whether a room is a plain box, and its volume then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isclose

from tracker.domain.geometry.outline import area_m2, extent_m, tidy
from tracker.domain.site import Plane

BOX_WITHIN_M = 0.02
"""How far opposite surfaces of a box may differ and still be taken for one, m. Common practice, no source."""


def box_volume_m3(planes: tuple[Plane, ...]) -> float | None:
    """Volume in m3 of a plain box; None for any other room."""
    sides = box_sides_m(planes)
    return None if sides is None else sides[0] * sides[1] * sides[2]


def box_sides_m(planes: tuple[Plane, ...]) -> tuple[float, float, float] | None:
    """Sides and height in m of a plain box, floor and ceiling alike and two pairs of equal walls; None for another."""
    bounding = [plane for plane in planes if plane.kind != "cloud"]
    sizes = {kind: list(_rectangles(bounding, kind)) for kind in ("floor", "ceiling", "wall")}
    if [len(sizes["floor"]), len(sizes["ceiling"]), len(sizes["wall"]), len(bounding)] != [1, 1, 4, 6]:
        return None
    length, width = sorted(sizes["floor"][0])
    if not _same(sorted(sizes["ceiling"][0]), [length, width]):
        return None
    height = sizes["wall"][0][1]
    walls = sorted(sizes["wall"])
    wanted = sorted([(length, height)] * 2 + [(width, height)] * 2)
    if not all(_same(wall, other) for wall, other in zip(walls, wanted, strict=True)):
        return None
    return length, width, height


def _rectangles(planes: list[Plane], kind: str) -> Iterator[tuple[float, float]]:
    for plane in planes:
        corners = tidy(plane.outline)
        (x0, y0), (x1, y1) = extent_m(corners)
        if plane.kind == kind and len(corners) == 4 and isclose(
                area_m2(corners), (x1 - x0) * (y1 - y0), rel_tol=0.02):
            yield x1 - x0, y1 - y0


def _same(one: Sequence[float], other: Sequence[float]) -> bool:
    return all(abs(a - b) <= BOX_WITHIN_M for a, b in zip(one, other, strict=True))
