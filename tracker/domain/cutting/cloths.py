"""Cloths with their tuck: drops that follow a shaped bay, and two shaped ones nested side by side on the roll."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon, box

from tracker.domain.cutting.outlines import area_m2, clip, part_of
from tracker.domain.cutting.pairs import UM, Shape, nest_of, shape_of
from tracker.domain.cutting.plans import Cloth, Point, Ring, Size


@dataclass(frozen=True, slots=True)
class Drop:
    """A cloth or a part of one, m with tuck: its width and height, and its outline from the origin where shaped."""

    bay: str
    wide: float
    high: float
    outline_m: Ring = ()

    @property
    def area_m2(self) -> float:
        """What of the roll it covers.

        Source: definition.
        """
        return area_m2(self.outline_m) if self.outline_m else self.wide * self.high


@dataclass(frozen=True, slots=True)
class Placed:
    """A shaped drop in the rectangle it shares, (along the roll, across it), m."""

    bay: str
    at_m: Point
    size_m: Size
    outline_m: Ring


def drop_of(cloth: Cloth, left: float, right: float, tuck_m: float) -> Drop:
    """The part of a cloth between two places from its left edge, m, with tuck all round.

    Source: definition (tuck added square to every edge, never past the tuck of the part's own rectangle).
    """
    plain = Drop(cloth.bay, right - left + 2 * tuck_m, cloth.height_m + 2 * tuck_m)
    if not cloth.outline_m or part_of(cloth.outline_m).square:
        return plain
    x0, low = (min(point[axis] for point in cloth.outline_m) for axis in (0, 1))
    parts = clip(Polygon(cloth.outline_m), x0 + left, low, x0 + right, low + cloth.height_m)
    if len(parts) != 1:
        return plain
    bounds = parts[0].bounds
    rim = box(bounds[0] - tuck_m, bounds[1] - tuck_m, bounds[2] + tuck_m, bounds[3] + tuck_m)
    shape = shape_of(part_of(tuple(parts[0].buffer(tuck_m, join_style="mitre").intersection(rim).exterior.coords[:-1]))
                     .outline)  # fmt: skip
    return Drop(cloth.bay, shape.width / UM, shape.height / UM, () if shape.square else shape.ring)


def nested(drops: Sequence[Drop], width_m: float) -> tuple[list[tuple[Size, tuple[Placed, ...]]], list[Drop]]:
    """Shaped drops in twos, those that save most first, one of them turned half round; and the drops left single.

    Each two come with the rectangle they take, (along the roll, across it), m. Cloth has a face, so none is mirrored.
    """
    shapes = {
        at: Shape(drop.outline_m, round(drop.wide * UM), round(drop.high * UM), False)
        for at, drop in enumerate(drops)
        if drop.outline_m
    }
    found = []
    for i, first in shapes.items():
        for j, second in shapes.items():
            if i < j:
                long = max(first.height, second.height) * 2
                nest = nest_of(first, second, round(width_m * UM), long, 0, False, False)
                if nest is not None:
                    found.append((-nest.saved, i, j, nest))
    pairs, used = [], set()
    for _, i, j, nest in sorted(found, key=lambda one: one[:3]):
        if i in used or j in used:
            continue
        used |= {i, j}
        members = ((i, nest.first_at, shapes[i].ring), (j, nest.second_at, nest.second))
        placed = tuple(
            Placed(
                drops[at].bay, (y, x), (drops[at].high, drops[at].wide), tuple((y + b, x + a) for a, b in ring)
            )
            for at, (x, y), ring in members
        )  # fmt: skip
        pairs.append(((nest.height / UM, nest.width / UM), placed))
    return pairs, [drop for at, drop in enumerate(drops) if at not in used]
