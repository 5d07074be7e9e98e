"""A drawing to scale from a list of shapes: elevations, cutting plans, curves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, takewhile
from typing import Any, NamedTuple

from rich.cells import cell_len
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from tracker.ui.ink import Inked, Line
from tracker.ui.widgets.raster import Dot, Raster, whole
from tracker.ui.widgets.shapes import Dimension, Label, Point, Polygon, Shape, Stroke, Tiles, Words

LEAST = 4
"""Dots that tiles are wide and high at least: two cells and one."""


@dataclass(frozen=True, slots=True)
class Margin:
    """Cells kept free for labels."""

    left: int = 0
    right: int = 0
    bottom: int = 0


class Scale(NamedTuple):
    """Where the drawing's own measure lies on the dots."""

    left: float
    x0: float
    across: float
    top: float
    y0: float
    up: float

    def dot(self, point: Point) -> Dot:
        """The dot of a point; y grows downwards there."""
        across, down = self.left + (point[0] - self.x0) * self.across, self.top - (point[1] - self.y0) * self.up
        # What differs by the computer's rounding only falls on one dot.
        return round(across, 6), round(down, 6)

    def point(self, dot: Dot) -> Point:
        """What lies on a dot."""
        return self.x0 + (dot[0] - self.left) / self.across, self.y0 + (self.top - dot[1]) / self.up


class Drawing(Inked):
    """Draws shapes as large as its space allows; `true` keeps the proportions.

    What several pictures begin with alike is drawn once: a cursor that moves costs its own outline and the labels.
    """

    DEFAULT_CSS = "Drawing { width: 1fr; height: 1fr; }"

    @dataclass
    class Clicked(Message):
        """The mouse was clicked on it."""

        drawing: Drawing
        at: Point
        """In the drawing's own measure."""

        @property
        def control(self) -> Drawing:
            return self.drawing

    def __init__(self, true: bool = True, margin: Margin | None = None, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._true, self._margin = true, margin or Margin()
        self._shapes: tuple[Shape, ...] = ()
        self._frame: tuple[Point, Point] | None = None
        self._ready: tuple[Size, list[Line]] = (Size(0, 0), [])
        self._drawn: tuple[Size, Scale | None, list[Shape]] = (Size(0, 0), None, [])
        """What the last picture was drawn of, without its labels."""
        self._ground: tuple[list[Shape], Raster] | None = None
        """What it began with that the picture before it began with too."""

    def show(self, shapes: Sequence[Shape], frame: tuple[Point, Point] | None = None) -> None:
        """Draws these shapes; `frame` gives the corners of what is to be seen where that is not all of them."""
        if (tuple(shapes), frame) == (self._shapes, self._frame):
            return
        self._shapes, self._frame = tuple(shapes), frame
        self._ready = (Size(0, 0), [])
        self.refresh()

    def point_at(self, column: int, row: int) -> Point | None:
        """What the middle of a cell shows, in the drawing's own measure; None where nothing is drawn."""
        scale = scale_of(self._shapes, self.size, self._true, self._margin, self._frame)
        return scale.point((column * 2 + 0.5, row * 4 + 1.5)) if scale else None

    def on_click(self, event: events.Click) -> None:
        at = self.point_at(event.x, event.y)
        if at is not None:
            self.post_message(self.Clicked(self, at))

    def render_line(self, y: int) -> Strip:
        size = self.size
        if self._ready[0] != size:
            self._ready = (size, self.lines(size))
        lines = self._ready[1]
        return self.paint(lines[y] if y < len(lines) else (), size.width)

    def lines(self, size: Size) -> list[Line]:
        """The shapes as lines of spans, `size` cells large."""
        scale = scale_of(self._shapes, size, self._true, self._margin, self._frame)
        lined = [shape for shape in self._shapes if not isinstance(shape, Words)]
        if self._drawn[:2] != (size, scale):
            self._ground = None
        elif self._ground is None or lined[:len(self._ground[0])] != self._ground[0]:
            alike = [one for one, other in takewhile(lambda pair: pair[0] == pair[1],
                                                     zip(lined, self._drawn[2], strict=False))]
            self._ground = alike, _lined(Raster(size.width, size.height), alike, scale)
        self._drawn = size, scale, lined
        if self._ground is None:
            raster = _lined(Raster(size.width, size.height), lined, scale)
        else:
            raster = _lined(self._ground[1].copy(), lined[len(self._ground[0]):], scale)
        return _labelled(raster, self._shapes, scale).lines()


def draw(shapes: Sequence[Shape], size: Size, true: bool = True, margin: Margin | None = None,
         frame: tuple[Point, Point] | None = None) -> list[Line]:
    """The shapes as lines of spans, `size` cells large."""
    scale = scale_of(shapes, size, true, margin or Margin(), frame)
    return _labelled(_lined(Raster(size.width, size.height), shapes, scale), shapes, scale).lines()


def scale_of(shapes: Sequence[Shape], size: Size, true: bool, keep: Margin,
             frame: tuple[Point, Point] | None) -> Scale | None:
    """The scale at which the shapes fill the paper; None where nothing is to be drawn or nothing can be."""
    points = list(frame or ()) or [point for shape in shapes for point in _points(shape)]
    width, height = (size.width - keep.left - keep.right) * 2 - 1, (size.height - keep.bottom) * 4 - 1
    if not points or width < 2 or height < 2:
        return None
    xs, ys = [x for x, _ in points], [y for _, y in points]
    x0, y0 = min(xs), min(ys)
    wide, high = max(xs) - x0 or 1.0, max(ys) - y0 or 1.0
    across, up = width / wide, height / high
    if true:
        across = up = min(across, up)
    return Scale(keep.left * 2 + (width - wide * across) / 2, x0, across, height - (height - high * up) / 2, y0, up)


def _lined(raster: Raster, shapes: Iterable[Shape], scale: Scale | None) -> Raster:
    """The raster with all that is not text drawn on it."""
    for shape in shapes if scale else ():
        if isinstance(shape, Polygon):
            _polygon(raster, shape, scale.dot)
        elif isinstance(shape, Stroke):
            for start, end in pairwise(shape.points):
                raster.line(scale.dot(start), scale.dot(end), shape.role, shape.dash)
        elif isinstance(shape, Tiles):
            _tiles(raster, shape, scale)
    return raster


def _labelled(raster: Raster, shapes: Iterable[Shape], scale: Scale | None) -> Raster:
    """The raster with the labels written on it."""
    for shape in shapes if scale else ():
        if isinstance(shape, Label):
            _label(raster, shape, scale.dot(shape.at))
        elif isinstance(shape, Dimension):
            _dimension(raster, shape, scale)
    return raster


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
    for place, ring in enumerate(rings if shape.edge else ()):
        raster.outline(ring, shape.edge or "", shape.heavy, hole=place > 0)


def _tiles(raster: Raster, tiles: Tiles, scale: Scale) -> None:
    boxes = [(max(xs) - min(xs), max(ys) - min(ys)) for xs, ys in (zip(*one, strict=True) for one in tiles.outlines)]
    wide, high = (sum(sides) / len(boxes) for sides in zip(*boxes, strict=True)) if boxes else (0.0, 0.0)
    if min(wide * scale.across, high * scale.up) >= LEAST:
        for outline in tiles.outlines:
            raster.outline([scale.dot(point) for point in outline], tiles.role)


def _label(raster: Raster, label: Label, at: Dot) -> None:
    width = cell_len(label.text)
    column, row = whole(at[0]) // 2, whole(at[1]) // 4 + label.row
    if label.place == "left":
        column -= width
    else:
        column -= width // 2
        row += label.place == "below"
    column = min(max(0, column), max(0, raster.width - width))
    if raster.free(column, row, width):
        raster.text(column, row, label.text, label.role)


def _dimension(raster: Raster, one: Dimension, scale: Scale) -> None:
    (start, low), (end, _) = sorted((scale.dot(one.start), scale.dot(one.end)))
    first, last = whole(start) // 2, whole(end) // 2
    row, room = whole(low) // 4 + 1 + one.row, last - first - 1
    words = next((words for words in (f" {one.text} ", one.text) if cell_len(words) <= room), None)
    if words is None:
        middle = (one.start[0] + one.end[0]) / 2, one.start[1]
        _label(raster, Label(middle, one.text, one.role, "below", one.row), scale.dot(middle))
    elif raster.free(first + 1, row, room):
        # Two that meet share a tick.
        ticks = (("├", first, "┤"), ("┤", last, "├"))
        signs = [(tick, column, raster.sign(column, row), other) for tick, column, other in ticks]
        if all(found in ("", other) for _, _, found, other in signs):
            for tick, column, found, _ in signs:
                raster.text(column, row, "┼" if found else tick, one.role)
            raster.text(first + 1, row, words.center(room, "─"), one.role)
