"""A plane seen from inside the room as shapes: bays shaded by what is on them, openings, pieces, sizes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tracker.domain.geometry.outline import extent_m
from tracker.services.cut_answers import PieceView
from tracker.services.site_answers import BayView, PlaneView
from tracker.ui import figures
from tracker.ui.ink import Line, spans, width_of
from tracker.ui.states import sign
from tracker.ui.widgets.bay_shapes import along, layers
from tracker.ui.widgets.bay_sheet import next_step
from tracker.ui.widgets.board_sheet import short
from tracker.ui.widgets.outlines import clear_middle, middle, points_of, size
from tracker.ui.widgets.shapes import Dimension, Label, Point, Polygon, Shape, Tiles


def elevation(plane: PlaneView, bay: BayView | None, unit: str, pieces: Sequence[PieceView],
              zoomed: bool) -> list[Shape]:
    """The shapes of one plane; `bay` is the one under the cursor, whose pieces are drawn, and numbered where zoomed."""
    own = [piece for piece in pieces if bay is not None and piece.bay == bay.target]
    shapes: list[Shape] = [Polygon(plane.outline, edge="muted")]
    shapes += _bays(plane)
    shapes += [Polygon(opening.outline, hatch="blank", edge="edge") for opening in plane.openings]
    if bay is not None:
        if zoomed:
            shapes += [Polygon(piece.outline_m, edge="way") for piece in own]
        else:
            shapes.append(Tiles(tuple(piece.outline_m for piece in own), "way"))
        shapes += [Polygon(part, holes, edge="accent", heavy=True) for part, holes in bay.outlines]
    if zoomed:
        shapes += [Label(middle(piece.outline_m), f" {short(piece.piece)} ", "strong") for piece in own]
    else:
        shapes += [label for one in plane.bays for label in bay_labels(one, one is bay)]
        shapes += [Label(middle(opening.outline), f" {opening.name} ", "muted") for opening in plane.openings]
    if zoomed and bay and bay.outlines:
        return [*shapes, *_bay_sizes(bay, unit)]
    return [*shapes, *_bay_widths(plane, unit), *_sizes(plane.outline, unit, row=1 if plane.bays else 0)]


def _bays(plane: PlaneView) -> Iterable[Shape]:
    for one in plane.bays:
        drawn = [*layers(one)]
        yield from drawn
        # The hatches were laid over the edges.
        yield from (replace(shape, hatch=None) for shape in drawn if shape.edge)


def bay_labels(bay: BayView, here: bool) -> list[Label]:
    """The name of a bay and what is next on it, in its middle."""
    at = clear_middle(bay.outlines)
    if at is None:
        return []
    cell = next_step(bay)
    state = " x done " if cell is None else f" {sign(cell.verdict)[0]} {cell.step} "
    role = "done" if cell is None else sign(cell.verdict)[1]
    name = bay.target.rsplit("/", 1)[-1]
    return [Label(at, f"▸{name}◂" if here else f" {name} ", "strong"), Label(at, state, role, row=1)]


def _bay_widths(plane: PlaneView, unit: str) -> Iterable[Shape]:
    """The width of each bay along its bottom, as a tape reads it, beneath the plane."""
    low = min(y for _, y in plane.outline)
    for bay in plane.bays:
        (left, _), (right, _) = frame_of(bay)
        yield Dimension((left, low), (right, low), figures.length(along(points_of(bay.outlines), 1), unit))


def _bay_sizes(bay: BayView, unit: str) -> list[Shape]:
    """A bay's bottom and its left side."""
    (left, low), (right, high) = frame_of(bay)
    bottom, side = along(points_of(bay.outlines), 1), along(points_of(bay.outlines), 0)
    return [Dimension((left, low), (right, low), figures.length(bottom, unit)),
            Label((left, (low + high) / 2), figures.length(side, unit) + " ", "muted", "left")]


def _sizes(outline: Sequence[Point], unit: str, row: int = 0) -> list[Shape]:
    """Width so many rows below and height at the left of an outline."""
    (left, low), (right, high) = extent_m(tuple(outline))
    return [Dimension((left, low), (right, low), figures.length(right - left, unit), row=row),
            Label((left, (low + high) / 2), figures.length(high - low, unit) + " ", "muted", "left")]


def frame_of(bay: BayView) -> tuple[Point, Point]:
    """The corners of a bay."""
    return extent_m(points_of(bay.outlines))


def title(plane: PlaneView, number: int, count: int, unit: str, width: int) -> Line:
    """The plane's name, kind, size and place among the planes."""
    wide, high = size(plane.outline)
    measured = f"{figures.length(wide, unit)} × {figures.length(high, unit)}"
    name = plane.key if width >= 72 else plane.name
    start = spans((" ← ", "accent@screen.plane(-1)"), (name, "strong"), (" →  ", "accent@screen.plane(1)"),
                  (f"{plane.kind} {number} of {count}", "muted"))
    end = spans((f"{measured}  {figures.area(plane.area_m2, unit)} ", "muted"))
    space = width - width_of(start) - width_of(end)
    return (*start, (" " * space, "plain"), *end) if space > 0 else start


def key_line() -> Line:
    """What the shades mean."""
    return spans((" ⠂⠂", "muted"), (" bare  ", "muted"), ("⡏⢹", "track"), (" track  ", "muted"), ("⢁⠔⢁", "infill"),
                 (" infill  ", "muted"), ("⢕⢕⢕", "fabric"), (" fabric", "muted"))
