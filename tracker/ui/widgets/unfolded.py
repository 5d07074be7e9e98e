"""All planes of a room to one scale, laid out beside and above one another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from tracker.domain.geometry.outline import extent_m
from tracker.services.site_answers import BayView, PlaneView
from tracker.ui.ink import Line, width_of
from tracker.ui.states import SHORT, SIGNS, sign
from tracker.ui.widgets.bay_shapes import layers
from tracker.ui.widgets.bay_sheet import next_step
from tracker.ui.widgets.outlines import clear_middle, holds, moved, size
from tracker.ui.widgets.shapes import Label, Point, Polygon, Shape

BETWEEN_ROWS = 3
"""Gaps between two rows: there the names stand."""


class Laid(NamedTuple):
    """A plane and how far it is moved from its own measure."""

    plane: PlaneView
    shift: Point


def unfolded(planes: Sequence[PlaneView], plane_key: str, bay_key: str | None, aspect: float = 2.0) -> list[Shape]:
    """The shapes of all planes, with the plane and the bay under the cursor outlined, as `laid_out` lays them."""
    laid = laid_out(planes, aspect)
    shapes = [shape for one in laid for shape in _small(one, one.plane.key == plane_key)]
    # What moves with the cursor comes last.
    return [*shapes, *(shape for one in laid for shape in _cursor(one, one.plane.key == plane_key, bay_key))]


def laid_out(planes: Sequence[PlaneView], aspect: float) -> list[Laid]:
    """Ceilings and slopes above the walls and floors beneath, or these beside one another, from the lowest row up.

    Of the two the one that comes out larger, where `aspect` is the width of the paper over its height.
    """
    above = [plane for plane in planes if plane.kind in ("ceiling", "slope")]
    walls = [plane for plane in planes if plane.kind == "wall"]
    beneath = [plane for plane in planes if plane.kind in ("floor", "cloud")]
    ways = [[row for row in rows if row] for rows in ([above, walls, beneath], [walls, [*above, *beneath]])]
    rows = min(ways, key=lambda way: _paper(way, aspect))
    found: list[Laid] = []
    gap, base = _gap(planes), 0.0
    for row in reversed(rows):
        at = 0.0
        for plane in row:
            (left, low), _ = extent_m(plane.outline)
            found.append(Laid(plane, (at - left, base - low)))
            at += size(plane.outline)[0] + gap
        base += _high(row) + BETWEEN_ROWS * gap
    return found


def plane_at(planes: Sequence[PlaneView], aspect: float, at: Point) -> tuple[PlaneView, Point] | None:
    """The plane at a point of the drawing, or the one whose name stands there, and the point in its own measure."""
    below = BETWEEN_ROWS * _gap(planes)
    for plane, shift in laid_out(planes, aspect):
        x, y = at[0] - shift[0], at[1] - shift[1]
        (left, low), (right, _) = extent_m(plane.outline)
        if holds([plane.outline], (x, y)) or (left <= x <= right and low - below < y < low):
            return plane, (x, y)
    return None


def _gap(planes: Sequence[PlaneView]) -> float:
    return 0.12 * max((size(plane.outline)[1] for plane in planes), default=1.0)


def _high(row: Sequence[PlaneView]) -> float:
    return max(size(plane.outline)[1] for plane in row)


def _paper(rows: Sequence[Sequence[PlaneView]], aspect: float) -> float:
    """How high a paper of this aspect must be to hold the rows, m."""
    gap = _gap([plane for row in rows for plane in row])
    wide = max((sum(size(plane.outline)[0] + gap for plane in row) for row in rows), default=1.0)
    high = sum(_high(row) + BETWEEN_ROWS * gap for row in rows)
    return max(high, wide / aspect)


def _cursor(one: Laid, here: bool, bay_key: str | None) -> Iterable[Shape]:
    """The outlines of the plane and the bay under the cursor."""
    if here:
        yield Polygon(moved(one.plane.outline, one.shift), edge="accent")
    for bay in one.plane.bays:
        for part, holes in bay.outlines if bay.key == bay_key else ():
            yield Polygon(moved(part, one.shift), tuple(moved(hole, one.shift) for hole in holes), edge="accent")


def _small(one: Laid, here: bool) -> Iterable[Shape]:
    plane, shift = one
    outline = moved(plane.outline, shift)
    yield Polygon(outline, edge="muted")
    for bay in plane.bays:
        for layer in layers(bay):
            yield replace(layer, outline=moved(layer.outline, shift), edge=None if layer.hatch else layer.edge,
                          holes=tuple(moved(hole, shift) for hole in layer.holes))
    for opening in plane.openings:
        yield Polygon(moved(opening.outline, shift), hatch="blank", edge="edge")
    for bay in plane.bays:
        cell, at = next_step(bay), clear_middle(bay.outlines)
        mark, role = sign(cell.verdict if cell else "done")
        if at:
            yield Label((at[0] + shift[0], at[1] + shift[1]), mark, role)
    (left, low), (right, _) = extent_m(outline)
    yield Label(((left + right) / 2, low), f"▸{plane.name}◂" if here else plane.name, "strong" if here else "muted",
                "below")


def sign_line(bay: BayView | None, width: int) -> Line:
    """The bay under the cursor and what the signs in the bays mean, in as many words as there is room for."""
    full = bay.target if bay else ""
    last = full.rsplit("/", 1)[-1]
    tries = ((full, False, "  "), (full, False, " "), (full, True, " "), (last, True, " "), ("", True, " "))
    lines = [_signs(*one) for one in tries]
    return next((line for line in lines if width_of(line) <= width), lines[-1])


def _signs(name: str, short: bool, gap: str) -> Line:
    line = [(f" ▸{name}◂", "strong")] if name else []
    for place, state in enumerate(SIGNS):
        before = " " if not name and place == 0 else gap
        line += [(before, "muted"), sign(state), (f" {SHORT.get(state, state) if short else state}", "muted")]
    return tuple(line)
