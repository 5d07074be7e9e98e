"""How openings and bays lie on their plane: which reach outside it and how far, which overlap and how much."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from tracker.domain.geometry.bays import DRAWN_WITHIN_M, TAPED_WITHIN_M, bay_area_m2
from tracker.domain.geometry.outline import SAME_POINT_M, cross, direction, extent_m, sides, tidy
from tracker.domain.geometry.regions import common, less, reaches_out, thicker_than, whole
from tracker.domain.site import Bay, Opening, Outline, Plane, Point

Side = tuple[Point, Point]
_STRAIGHT_M2 = 1e-9  # cross product of sides that run on in one line
_FACING = {(1, 0): "the right side", (-1, 0): "the left side", (0, 1): "the top", (0, -1): "the bottom"}


@dataclass(frozen=True, slots=True)
class Past:
    """How far something goes beyond one side of its plane, m; the side turns anticlockwise around the plane."""

    side: Side
    facing: str | None
    """`the right side`, `the top` ...; None where the plane has not just one side facing so."""
    by_m: float


@dataclass(frozen=True, slots=True)
class PlaneFault:
    """What is wrong with how an opening or a bay lies."""

    code: Literal["outside", "overlap", "nothing-left"]
    kind: Literal["bay", "opening"]
    number: int
    """Of the bay or opening on its plane, as written, from 0 on; of an overlap, the later of the two."""
    name: str
    past: tuple[Past, ...] = ()
    """Outside: the sides it goes beyond, the farthest first."""
    other: str | None = None
    """Overlap: the earlier of the two."""
    common_m: tuple[float, float] | None = None
    """Overlap: width and height of the largest piece they have in common."""


def plane_faults(plane: Plane, *, bounded: bool = True) -> tuple[PlaneFault, ...]:
    """What is wrong with how openings and bays lie on a plane (m); empty is good. With `bounded=False` the plane's
    own outline is left out of it.

    Source: definition; DRAWN_WITHIN_M and TAPED_WITHIN_M pass.
    """
    around = plane.outline if bounded else None
    return (*_openings_at_fault(plane, around), *_bays_at_fault(plane, around))


def say(fault: PlaneFault, show_length: Callable[[float], str]) -> str:
    """The fault as a sentence about the bay or opening, its subject; `show_length` writes a length in m."""
    if fault.code == "nothing-left":
        return f"nothing is left of {fault.kind} {fault.name} beside the openings: move it or leave it out"
    if fault.code == "overlap" and fault.common_m is not None:
        wide, high = (show_length(size) for size in fault.common_m)
        return (f"{fault.kind}s {fault.other} and {fault.name} overlap by {wide} x {high}: "
                "move one or make it smaller")
    by = " and ".join(f"{show_length(one.by_m)} past {_side(one, show_length)}" for one in fault.past)
    return f"{fault.kind} {fault.name} reaches outside its plane, {by}: move it or make it smaller"


def _side(one: Past, show_length: Callable[[float], str]) -> str:
    if one.facing is not None:
        return one.facing
    start, end = (f"({show_length(x)}, {show_length(y)})" for x, y in one.side)
    return f"the side from {start} to {end}"


def _openings_at_fault(plane: Plane, around: Outline | None) -> Iterator[PlaneFault]:
    within = TAPED_WITHIN_M if plane.tape else DRAWN_WITHIN_M
    for number, opening in enumerate(plane.openings):
        if around is not None and reaches_out(opening.outline, around, within):
            yield PlaneFault("outside", "opening", number, opening.name, past_m(opening.outline, around, within))
    yield from _overlaps("opening", plane.openings, lambda one, other: DRAWN_WITHIN_M)


def _bays_at_fault(plane: Plane, around: Outline | None) -> Iterator[PlaneFault]:
    for number, bay in enumerate(plane.bays):
        within = TAPED_WITHIN_M if bay.tape or plane.tape else DRAWN_WITHIN_M
        if around is not None and reaches_out(bay.outline, around, within):
            yield PlaneFault("outside", "bay", number, bay.name, past_m(bay.outline, around, within))
        if bay_area_m2(bay.outline, plane.openings) == 0:
            yield PlaneFault("nothing-left", "bay", number, bay.name)
    yield from _overlaps("bay", plane.bays,
                         lambda one, other: TAPED_WITHIN_M if one.tape or other.tape else DRAWN_WITHIN_M)


def _overlaps(kind: Literal["bay", "opening"], parts: Sequence[Bay] | Sequence[Opening],
              within_m: Callable[..., float]) -> Iterator[PlaneFault]:
    for (_, one), (number, other) in combinations(enumerate(parts), 2):
        shared = common([whole(one.outline)], [other.outline])
        if shared and thicker_than(shared, within_m(one, other)):
            (left, bottom), (right, top) = extent_m(max(shared, key=lambda part: part.area_m2).exterior)
            yield PlaneFault("overlap", kind, number, other.name, (), one.name, (right - left, top - bottom))


def past_m(outline: Outline, of: Outline, within_m: float) -> tuple[Past, ...]:
    """The sides of a plane that an outline (both in m) goes beyond by more than `within_m`, the farthest first; where
    it does so by none, the one it goes beyond the most.

    Source: definition (distance of a corner from a line). On a plane with a corner turning inwards each piece outside
    it counts for the sides that it grows out of; one apart from the plane, for the side nearest to each corner.
    """
    around = tidy(of)
    beyond = {side: max(_off(side, corner) for corner in outline) for side in sides(around)}
    if any(_turn(around, n) < -_STRAIGHT_M2 for n in range(len(around))):
        beyond = _past_near(outline, around) or beyond
    found = sorted((Past(side, _facing(around, side), by_m) for side, by_m in beyond.items()),
                   key=lambda one: -one.by_m)
    return tuple(one for one in found if one.by_m > within_m) or (found[0],)


def _past_near(outline: Outline, around: Outline) -> dict[Side, float]:
    found: dict[Side, float] = {}
    for part in less([whole(outline)], [around]):
        middles = [((ax + bx) / 2, (ay + by) / 2) for ring in part.rings for (ax, ay), (bx, by) in sides(ring)]
        out_of = [side for side in sides(around) if any(
            abs(_off(side, middle)) <= SAME_POINT_M and _beside(side, middle) for middle in middles)]
        for corner in part.exterior:
            across = out_of or [side for side in sides(around) if _beside(side, corner) and _off(side, corner) > 0]
            for side in across if out_of else sorted(across, key=lambda one: _off(one, corner))[:1]:
                found[side] = max(_off(side, corner), found.get(side, 0.0))
    return found


def _turn(around: Outline, n: int) -> float:
    (ax, ay), (bx, by), (cx, cy) = around[n - 1], around[n], around[(n + 1) % len(around)]
    return cross((bx - ax, by - ay), (cx - bx, cy - by))


def _off(side: Side, point: Point) -> float:
    """How far a point is to the right of a side, outside a plane that turns anticlockwise, m."""
    (x, y), along = side[0], direction(*side)
    return -cross(along, (point[0] - x, point[1] - y))


def _beside(side: Side, point: Point) -> bool:
    (x, y), (ux, uy) = side[0], direction(*side)
    length = (side[1][0] - x) * ux + (side[1][1] - y) * uy
    return -SAME_POINT_M <= (point[0] - x) * ux + (point[1] - y) * uy <= length + SAME_POINT_M


def _facing(around: Outline, side: Side) -> str | None:
    facing = [_outwards(one) for one in sides(around)]
    mine = _outwards(side)
    return _FACING[mine] if facing.count(mine) == 1 and len(around) == 4 else None


def _outwards(side: Side) -> tuple[int, int]:
    """The way a side faces, to the nearest quarter turn."""
    ux, uy = direction(*side)
    return (0, -1 if ux > 0 else 1) if abs(ux) >= abs(uy) else (1 if uy > 0 else -1, 0)
