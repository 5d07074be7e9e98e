"""A drawing to scale from a list of shapes: elevations, cutting plans, curves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from rich.cells import cell_len
from textual.geometry import Size
from textual.strip import Strip

from tracker.ui.ink import Inked, Line
from tracker.ui.widgets.raster import Dot, Raster

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline with holes, in the drawing's own measure, y up."""

    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    role: str = "edge"
    edge: str | None = "edge"
    """Role of its outline; None for none."""
    hatch: str | None = None
    """One of `raster.HATCHES`, `blank` to wipe what is beneath, None to leave it."""
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class Stroke:
    """An open line through points."""

    points: tuple[Point, ...]
    role: str = "edge"
    dash: int = 0


@dataclass(frozen=True, slots=True)
class Label:
    """Text at a point: centred on it, below it, or ending left of it. One that would cover another is left out."""

    at: Point
    text: str
    role: str = "plain"
    place: Literal["centre", "below", "left"] = "centre"
    row: int = 0
    """Rows to shift down."""


Shape = Polygon | Stroke | Label


@dataclass(frozen=True, slots=True)
class Margin:
    """Cells kept free for labels."""

    left: int = 0
    right: int = 0
    bottom: int = 0


class Drawing(Inked):
    """Draws shapes as large as its space allows; `true` keeps the proportions."""

    DEFAULT_CSS = "Drawing { width: 1fr; height: 1fr; }"

    def __init__(self, true: bool = True, margin: Margin | None = None, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._true, self._margin = true, margin or Margin()
        self._shapes: tuple[Shape, ...] = ()
        self._frame: tuple[Point, Point] | None = None
        self._ready: tuple[Size, list[Line]] = (Size(0, 0), [])

    def show(self, shapes: Sequence[Shape], frame: tuple[Point, Point] | None = None) -> None:
        """Draws these shapes; `frame` gives the corners of what is to be seen where that is not all of them."""
        if (tuple(shapes), frame) == (self._shapes, self._frame):
            return
        self._shapes, self._frame = tuple(shapes), frame
        self._ready = (Size(0, 0), [])
        self.refresh()

    def render_line(self, y: int) -> Strip:
        size = self.size
        if self._ready[0] != size:
            self._ready = (size, draw(self._shapes, size, self._true, self._margin, self._frame))
        lines = self._ready[1]
        return self.paint(lines[y] if y < len(lines) else (), size.width)


def draw(shapes: Sequence[Shape], size: Size, true: bool = True, margin: Margin | None = None,
         frame: tuple[Point, Point] | None = None) -> list[Line]:
    """The shapes as lines of spans, `size` cells large."""
    raster, keep = Raster(size.width, size.height), margin or Margin()
    points = list(frame or ()) or [point for shape in shapes for point in _points(shape)]
    width, height = (size.width - keep.left - keep.right) * 2 - 1, (size.height - keep.bottom) * 4 - 1
    if not points or width < 2 or height < 2:
        return raster.lines()
    x0, y0 = min(x for x, _ in points), min(y for _, y in points)
    wide, high = max(x for x, _ in points) - x0 or 1.0, max(y for _, y in points) - y0 or 1.0
    across, up = width / wide, height / high
    if true:
        across = up = min(across, up)
    left = keep.left * 2 + (width - wide * across) / 2
    top = height - (height - high * up) / 2

    def dot(point: Point) -> Dot:
        return left + (point[0] - x0) * across, top - (point[1] - y0) * up

    for shape in shapes:
        if isinstance(shape, Polygon):
            _polygon(raster, shape, dot)
        elif isinstance(shape, Stroke):
            for start, end in zip(shape.points, shape.points[1:], strict=False):
                raster.line(dot(start), dot(end), shape.role, shape.dash)
    for shape in shapes:
        if isinstance(shape, Label):
            _label(raster, shape, dot(shape.at))
    return raster.lines()


def _points(shape: Shape) -> tuple[Point, ...]:
    if isinstance(shape, Polygon):
        return shape.outline
    return shape.points if isinstance(shape, Stroke) else ()


def _polygon(raster: Raster, shape: Polygon, dot: Any) -> None:
    rings = [[dot(point) for point in ring] for ring in (shape.outline, *shape.holes)]
    if shape.hatch == "blank":
        raster.clear(rings)
    elif shape.hatch:
        raster.fill(rings, shape.role, shape.hatch)
    if shape.edge:
        for ring in rings:
            middle = sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring)
            for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
                raster.line(start, end, shape.edge)
                if shape.heavy:
                    raster.line(_towards(start, middle), _towards(end, middle), shape.edge)


def _towards(point: Dot, middle: Dot) -> Dot:
    return point[0] + (1 if middle[0] > point[0] else -1), point[1] + (1 if middle[1] > point[1] else -1)


def _label(raster: Raster, label: Label, at: Dot) -> None:
    width = cell_len(label.text)
    column, row = round(at[0]) // 2, round(at[1]) // 4 + label.row
    if label.place == "left":
        column -= width
    else:
        column -= width // 2
        row += label.place == "below"
    column = min(max(0, column), max(0, raster.width - width))
    if raster.free(column, row, width):
        raster.text(column, row, label.text, label.role)
