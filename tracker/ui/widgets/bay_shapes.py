"""A bay as shapes: what is on it, as high as it is up, and its edges as long as a tape reads them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from tracker.services.site_answers import BayView
from tracker.ui.widgets.shapes import Point, Polygon

ON_IT = (("infill", "slant", "infill"), ("fabric", "weave", "fabric"))
"""Step, hatch and role, from the surface outwards."""


def layers(bay: BayView) -> Iterable[Polygon]:
    """What is on a bay now: each layer up to the share of it that is done, from the bottom, over the one beneath it."""
    done = {cell.step: cell.progress for cell in bay.steps}
    up = [(hatch, role, done[step]) for step, hatch, role in ON_IT if done.get(step, 0.0) > 0]
    bare = not up and not done.get("track", 0.0)
    # What is wholly behind another layer is not seen.
    seen = [layer for place, layer in enumerate(up) if all(layer[2] > other[2] for other in up[place + 1:])]
    for part, holes in bay.outlines:
        yield Polygon(part, holes, role="muted", hatch="sparse" if bare else None, edge="muted" if bare else "track")
        low, high = min(y for _, y in part), max(y for _, y in part)
        for hatch, role, share in seen:
            top = low + share * (high - low)
            within = below(part, top)
            gaps = tuple(hole for hole in (below(hole, top) for hole in holes) if hole)
            yield Polygon(within, gaps, hatch="blank", edge=None)
            yield Polygon(within, gaps, role=role, hatch=hatch)


def below(outline: Sequence[Point], top: float) -> tuple[Point, ...]:
    """What of an outline lies at or below a height; empty where nothing does."""
    kept: list[Point] = []
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if y0 <= top:
            kept.append((x0, y0))
        if (y0 <= top) != (y1 <= top):
            kept.append((x0 + (top - y0) / (y1 - y0) * (x1 - x0), top))
    return tuple(kept) if len(kept) > 2 else ()


def along(points: Sequence[Point], axis: int) -> float:
    """Length along the bottom (axis 1) or the left side (axis 0); of the whole where that is only a corner."""
    ends = [point[axis] for point in points]
    near = min(ends) + EDGE_SHARE * (max(ends) - min(ends))
    there = sorted((point for point in points if point[axis] <= near), key=lambda point: point[1 - axis])
    others = [point[1 - axis] for point in points]
    whole = max(others) - min(others)
    length = math.dist(there[0], there[-1])
    return length if length > EDGE_SHARE * whole else whole


EDGE_SHARE = 0.1
"""How far from its outermost point an edge may lean, as a share of the whole. Common practice, no source."""
