"""A plane seen from inside the room as shapes: bays shaded by what is on them, openings, pieces, sizes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tracker.services.cut_answers import PieceView
from tracker.services.site_answers import BayView, PlaneView
from tracker.ui import figures
from tracker.ui.ink import Line, spans, width_of
from tracker.ui.states import SIGNS, sign
from tracker.ui.widgets.bay_shapes import along, layers
from tracker.ui.widgets.bay_sheet import next_step
from tracker.ui.widgets.board_sheet import short
from tracker.ui.widgets.drawing import Label, Point, Polygon, Shape


def elevation(plane: PlaneView, bay: BayView | None, unit: str, pieces: Sequence[PieceView],
              zoomed: bool) -> list[Shape]:
    """The shapes of one plane; `bay` is the one under the cursor, whose pieces are drawn and numbered."""
    own = [piece for piece in pieces if bay is not None and piece.bay == bay.target]
    shapes: list[Shape] = [Polygon(plane.outline, edge="muted")]
    shapes += _bays(plane)
    shapes += [Polygon(opening.outline, hatch="blank", edge="edge") for opening in plane.openings]
    if bay is not None:
        shapes += [Polygon(piece.outline_m, edge="way") for piece in own if zoomed]
        shapes += [Polygon(part, holes, edge="accent", heavy=True) for part, holes in bay.outlines]
    if zoomed:
        shapes += [Label(_middle(piece.outline_m), f" {short(piece.piece)} ", "strong") for piece in own]
    else:
        shapes += [label for one in plane.bays for label in bay_labels(one, one is bay)]
        shapes += [Label(_middle(opening.outline), f" {opening.name} ", "muted") for opening in plane.openings]
    if zoomed and bay and bay.outlines:
        return [*shapes, *_bay_sizes(bay, unit)]
    return [*shapes, *_bay_widths(plane, unit), *_sizes(plane.outline, unit, row=1 if plane.bays else 0)]


def unfolded(planes: Sequence[PlaneView], plane_key: str, bay_key: str | None, aspect: float = 2.0) -> list[Shape]:
    """All planes to one scale: ceilings and slopes above the walls and floors beneath, or these beside one another.

    Of the two the one that comes out larger, where `aspect` is the width of the paper over its height.
    """
    above = [plane for plane in planes if plane.kind in ("ceiling", "slope")]
    walls = [plane for plane in planes if plane.kind == "wall"]
    beneath = [plane for plane in planes if plane.kind in ("floor", "cloud")]
    ways = [[row for row in rows if row] for rows in ([above, walls, beneath], [walls, [*above, *beneath]])]
    rows = min(ways, key=lambda way: _paper(way, aspect))
    shapes: list[Shape] = []
    above_all: list[Shape] = []
    gap = _gap(planes)
    base = 0.0
    for row in reversed(rows):
        at = 0.0
        for plane in row:
            shift = (at - min(x for x, _ in plane.outline), base - min(y for _, y in plane.outline))
            shapes += _small(plane, shift, plane.key == plane_key)
            above_all += _cursor(plane, shift, plane.key == plane_key, bay_key)
            at += _size(plane.outline)[0] + gap
        base += _high(row) + BETWEEN_ROWS * gap
    return [*shapes, *above_all]


BETWEEN_ROWS = 3
"""Gaps between two rows: there the names stand."""


def _gap(planes: Sequence[PlaneView]) -> float:
    return 0.12 * max((_size(plane.outline)[1] for plane in planes), default=1.0)


def _high(row: Sequence[PlaneView]) -> float:
    return max(_size(plane.outline)[1] for plane in row)


def _paper(rows: Sequence[Sequence[PlaneView]], aspect: float) -> float:
    """How high a paper of this aspect must be to hold the rows, m."""
    gap = _gap([plane for row in rows for plane in row])
    wide = max((sum(_size(plane.outline)[0] + gap for plane in row) for row in rows), default=1.0)
    high = sum(_high(row) + BETWEEN_ROWS * gap for row in rows)
    return max(high, wide / aspect)


def _cursor(plane: PlaneView, shift: Point, here: bool, bay_key: str | None) -> Iterable[Shape]:
    """The outlines of the plane and the bay under the cursor."""
    if here:
        yield Polygon(_shift(plane.outline, shift), edge="accent")
    for bay in plane.bays:
        for part, holes in bay.outlines if bay.key == bay_key else ():
            yield Polygon(_shift(part, shift), tuple(_shift(hole, shift) for hole in holes), edge="accent")


def _small(plane: PlaneView, shift: Point, here: bool) -> Iterable[Shape]:
    outline = _shift(plane.outline, shift)
    yield Polygon(outline, edge="muted")
    for bay in plane.bays:
        for one in layers(bay):
            yield replace(one, outline=_shift(one.outline, shift), edge=None if one.hatch else one.edge,
                          holes=tuple(_shift(hole, shift) for hole in one.holes))
    for opening in plane.openings:
        yield Polygon(_shift(opening.outline, shift), hatch="blank", edge="edge")
    for bay in plane.bays:
        cell = next_step(bay)
        mark, role = sign(cell.verdict if cell else "done")
        for part, holes in bay.outlines[:1]:
            x, y = _clear_middle(part, holes)
            yield Label((x + shift[0], y + shift[1]), mark, role)
    low = min(y for _, y in outline)
    middle = (min(x for x, _ in outline) + max(x for x, _ in outline)) / 2
    yield Label((middle, low), f"▸{plane.name}◂" if here else plane.name, "strong" if here else "muted", "below")


def _bays(plane: PlaneView) -> Iterable[Shape]:
    for one in plane.bays:
        drawn = [*layers(one)]
        yield from drawn
        # The hatches were laid over the edges.
        yield from (replace(shape, hatch=None) for shape in drawn if shape.edge)


def bay_labels(bay: BayView, here: bool) -> list[Label]:
    """The name of a bay and what is next on it, in its middle."""
    part, holes = max(bay.outlines, key=lambda one: _area(one[0]), default=((), ()))
    if not part:
        return []
    at = _clear_middle(part, holes)
    cell = next_step(bay)
    state = " x done " if cell is None else f" {sign(cell.verdict)[0]} {cell.step} "
    role = "done" if cell is None else sign(cell.verdict)[1]
    name = bay.target.rsplit("/", 1)[-1]
    return [Label(at, f"▸{name}◂" if here else f" {name} ", "strong"), Label(at, state, role, row=1)]


def _clear_middle(part: Sequence[Point], holes: Sequence[Sequence[Point]]) -> Point:
    """The middle of a bay, moved below a hole that lies there."""
    x, y = _middle(part)
    for hole in holes:
        low, high = min(b for _, b in hole), max(b for _, b in hole)
        if low < y < high:
            floor = min(b for _, b in part)
            return x, floor + (low - floor) * 0.6
    return x, y


def _bay_widths(plane: PlaneView, unit: str) -> Iterable[Shape]:
    """The width of each bay along its bottom, as a tape reads it, beneath it."""
    low = min(y for _, y in plane.outline)
    for bay in plane.bays:
        (left, _), (right, _) = frame_of(bay)
        wide = along(_points_of(bay), 1)
        yield Label(((left + right) / 2, low), f"├{figures.length(wide, unit)}┤", "muted", "below")


def _bay_sizes(bay: BayView, unit: str) -> list[Shape]:
    """A bay's bottom and its left side."""
    (left, low), (right, high) = frame_of(bay)
    bottom, side = along(_points_of(bay), 1), along(_points_of(bay), 0)
    return [Label(((left + right) / 2, low), f"├ {figures.length(bottom, unit)} ┤", "muted", "below"),
            Label((left, (low + high) / 2), figures.length(side, unit) + " ", "muted", "left")]


def _points_of(bay: BayView) -> list[Point]:
    return [point for part, _ in bay.outlines for point in part]


def _sizes(outline: Sequence[Point], unit: str, row: int = 0) -> list[Shape]:
    """Width so many rows below and height at the left of an outline."""
    left, low = min(x for x, _ in outline), min(y for _, y in outline)
    wide, high = _size(outline)
    return [Label((left + wide / 2, low), f"├ {figures.length(wide, unit)} ┤", "muted", "below", row),
            Label((left, low + high / 2), figures.length(high, unit) + " ", "muted", "left")]


def frame_of(bay: BayView) -> tuple[Point, Point]:
    """The corners of a bay."""
    return _corners(_points_of(bay))


def title(plane: PlaneView, number: int, count: int, unit: str, width: int) -> Line:
    """The plane's name, kind, size and place among the planes."""
    wide, high = _size(plane.outline)
    size = f"{figures.length(wide, unit)} × {figures.length(high, unit)}"
    name = plane.key if width >= 72 else plane.name
    start = spans((" ← ", "accent@screen.plane(-1)"), (name, "strong"), (" →  ", "accent@screen.plane(1)"),
                  (f"{plane.kind} {number} of {count}", "muted"))
    end = spans((f"{size}  {figures.area(plane.area_m2, unit)} ", "muted"))
    space = width - width_of(start) - width_of(end)
    return (*start, (" " * space, "plain"), *end) if space > 0 else start


def sign_line(bay: BayView | None) -> Line:
    """The bay under the cursor and what the signs in the bays mean."""
    named = spans((f" ▸{bay.target}◂  " if bay else " ", "strong"))
    return spans(*named, *(span for state in SIGNS for span in (sign(state), (f" {state}  ", "muted"))))


def key_line() -> Line:
    """What the shades mean."""
    return spans((" ⠂⠂", "muted"), (" bare  ", "muted"), ("⡏⢹", "track"), (" track  ", "muted"), ("⢁⠔⢁", "infill"),
                 (" infill  ", "muted"), ("⢕⢕⢕", "fabric"), (" fabric", "muted"))


def _size(outline: Sequence[Point]) -> Point:
    (left, low), (right, high) = _corners(outline)
    return right - left, high - low


def _corners(points: Sequence[Point]) -> tuple[Point, Point]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _shift(outline: Sequence[Point], by: Point) -> tuple[Point, ...]:
    return tuple((x + by[0], y + by[1]) for x, y in outline)


def _area(outline: Sequence[Point]) -> float:
    around = zip(outline, [*outline[1:], outline[0]], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in around)) / 2


def _middle(outline: Sequence[Point]) -> Point:
    """The centroid of an outline, which may be of any shape."""
    twice, x, y = 0.0, 0.0, 0.0
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        cross = x0 * y1 - x1 * y0
        twice, x, y = twice + cross, x + (x0 + x1) * cross, y + (y0 + y1) * cross
    return (x / (3 * twice), y / (3 * twice)) if twice else outline[0]
