"""Neighbours of a layout made one piece where a board holds both: fewer pieces to cut and to fit."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon

from tracker.domain.cutting.outlines import EPS_M, Part, box_part, part_of

JOIN_M = 0.03
"""Neighbours that meet along less than this stay two pieces. Common practice, no source."""
Rank = tuple[float, float]
"""The notch that a merged part leaves in its hull, m2, and less the area around it, m2."""


def merged(parts: Sequence[Part], length: float, width: float, turnable: bool, notch_m2: float) -> tuple[Part, ...]:
    """The parts with neighbours made one, those that leave the least notch first, then the largest; sizes m.

    A merged part fits a board of `length` x `width`, m, and leaves at most `notch_m2` of its convex hull uncovered.
    Source: definition.
    """
    live = dict(enumerate(parts))
    sides = ((length, width), (width, length)) if turnable else ((length, width),)
    found: dict[tuple[int, int], tuple[Rank, Part]] = {}

    def look(i: int, j: int) -> None:
        both = _both(live[i], live[j], notch_m2)
        if both is not None:
            found[i, j] = both

    for i, j in _near(parts, parts, sides):
        if i < j:
            look(i, j)
    while found:
        i, j = min(found, key=lambda pair: (found[pair][0], pair))
        part, number = found[i, j][1], max(live) + 1
        for pair in [pair for pair in found if i in pair or j in pair]:
            del found[pair]
        del live[i], live[j]
        live[number] = part
        others = [other for other in sorted(live) if other != number]
        for at, _ in _near([live[other] for other in others], [part], sides):
            look(others[at], number)
    return tuple(live.values())


def _near(some: Sequence[Part], others: Sequence[Part], sides: Sequence[tuple[float, float]]) -> list[tuple[int, int]]:
    """Pairs whose boxes meet and that one board would hold."""
    if not some:
        return []
    a, b = (np.array([part.box for part in lot])[:, None] for lot in (some, others))
    b = b.transpose(1, 0, 2)
    w, h = (np.maximum(a[..., k + 2], b[..., k + 2]) - np.minimum(a[..., k], b[..., k]) - EPS_M for k in (0, 1))
    shared = [np.minimum(a[..., k + 2], b[..., k + 2]) - np.maximum(a[..., k], b[..., k]) for k in (0, 1)]
    fits = np.zeros(w.shape, dtype=bool)
    for long, wide in sides:
        fits |= (w <= long) & (h <= wide)
    fits &= (np.minimum(*shared) >= -EPS_M) & (np.maximum(*shared) >= JOIN_M)
    return [(int(i), int(j)) for i, j in np.argwhere(fits)]


def _both(first: Part, second: Part, notch_m2: float) -> tuple[Rank, Part] | None:
    """Two parts as one, or None where they do not meet along a line or the notch is too large."""
    a, b = first.box, second.box
    w, h = max(a[2], b[2]) - min(a[0], b[0]), max(a[3], b[3]) - min(a[1], b[1])
    if first.square and second.square:
        if abs(w * h - first.size[0] * first.size[1] - second.size[0] * second.size[1]) < EPS_M:
            box = min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])
            return (0.0, -w * h), box_part(*box)
        if notch_m2 <= 0:
            return None
    one, two = Polygon(first.outline), Polygon(second.outline)
    if shapely.intersection(one, two, grid_size=EPS_M).length < JOIN_M:
        return None
    whole = shapely.union(one, two, grid_size=EPS_M)
    if whole.geom_type != "Polygon" or whole.interiors:
        return None
    notch = whole.convex_hull.area - whole.area
    if notch > notch_m2 + EPS_M:
        return None
    return (round(notch, 5), -w * h), part_of(tuple(whole.exterior.coords[:-1]))
