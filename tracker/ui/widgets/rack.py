"""The offcuts of an item on the rack: boards drawn upright side by side to one scale, sticks as lines to one scale."""

from __future__ import annotations

from collections.abc import Sequence

from textual.geometry import Size

from tracker.services.stock_answers import OffcutView
from tracker.ui import figures
from tracker.ui.ink import Line, fit, spans, width_of
from tracker.ui.widgets.drawing import draw
from tracker.ui.widgets.shapes import Label, Polygon, Shape

SMALLEST_DRAWING = 4
"""Rows below which rectangles are too coarse to tell sizes by."""
GAP = 1.5
"""Cells between two boards."""
INDENT = 3


def rack_lines(offcuts: Sequence[OffcutView], unit: str, width: int, rows: int) -> list[Line]:
    """The offcuts, the largest first, in exactly so many rows."""
    ordered = sorted(offcuts, key=_area, reverse=True)
    if not ordered:
        return _padded([spans(("   no offcuts kept", "muted"))], rows)
    captions = 2 if rows < 10 else 3
    if ordered[0].width_m is None or rows - captions < SMALLEST_DRAWING:
        return _padded(_listed(ordered, unit, width, rows), rows)
    shapes, shown, extent = _standing(ordered, width - INDENT, rows - captions)
    drawn = draw(shapes, Size(width - INDENT, rows - captions), frame=((0.0, 0.0), extent))
    lines = [spans(" " * INDENT, *line) for line in drawn]
    return _padded([*lines, *_captions(ordered, shown, unit, width, captions)], rows)


def _area(offcut: OffcutView) -> float:
    return offcut.length_m * (offcut.width_m or 1.0)


def _standing(offcuts: Sequence[OffcutView], width: int, rows: int) -> tuple[list[Shape], int, tuple[float, float]]:
    """Rectangles on their short sides, as many as there is room for; the scale is that of the longest."""
    longest = max(max(one.length_m, one.width_m or 0.0) for one in offcuts)
    # A cell is two dots wide and four high, so a metre takes as many dots either way.
    dots_a_metre = (rows * 4 - 1) / longest
    room, gap = (width * 2 - 1) / dots_a_metre, GAP * 2 / dots_a_metre
    shapes: list[Shape] = []
    labels: list[Shape] = []
    at = 0.0
    for count, one in enumerate(offcuts):
        across, up = sorted((one.length_m, one.width_m or 0.0))
        if at + across > room:
            return [*shapes, *labels], count, (room, longest)
        shapes.append(Polygon(((at, 0.0), (at + across, 0.0), (at + across, up), (at, up)), role="infill",
                              hatch="sparse" if not one.piece else "slant", edge="infill"))
        labels.append(Label((at + across / 2, up / 2), one.id, "strong"))
        at += across + gap
    return [*shapes, *labels], len(offcuts), (room, longest)


def _captions(offcuts: Sequence[OffcutView], shown: int, unit: str, width: int, rows: int) -> list[Line]:
    """Name and size of what is drawn, as many as there is room for."""
    lines: list[Line] = [spans(" " * (INDENT - 1))]
    named = 0
    for one in offcuts[:shown]:
        text = spans(" ", (one.id, "strong"), f" {_size(one, unit)}",
                     (f" is {one.piece} " if one.piece else " ", "muted"))
        last = len(lines) == rows
        if width_of(lines[-1]) + width_of(text) + (14 if last else 0) > width:
            if last:
                break
            lines.append(spans(" " * (INDENT - 1)))
        lines[-1] = (*lines[-1], *text)
        named += 1
    left = len(offcuts) - named
    if left:
        lines[-1] = (*lines[-1], (f" and {left} smaller", "muted"))
    return lines


def _listed(offcuts: Sequence[OffcutView], unit: str, width: int, rows: int) -> list[Line]:
    """One row an offcut, its length to scale."""
    longest = offcuts[0].length_m if offcuts[0].width_m is None else max(one.length_m for one in offcuts)
    room = max(4, min(40, width - 48))
    lines = [_row(one, unit, longest, room) for one in offcuts[:rows]]
    if len(offcuts) > rows:
        lines[-1] = spans((f"   and {len(offcuts) - rows + 1} smaller", "muted"))
    return lines


def _row(offcut: OffcutView, unit: str, longest: float, room: int) -> Line:
    cells = max(1, round(offcut.length_m / longest * room))
    origin = f"is {offcut.piece}" if offcut.piece else offcut.made_by
    return spans(" " * INDENT, (fit(offcut.id, 5), "strong"),
                 ("▀" * cells if offcut.width_m else "─" * cells, "infill"), " " * (room - cells + 1),
                 (fit(_size(offcut, unit), 19), "plain"), (origin, "muted"))


def _size(offcut: OffcutView, unit: str) -> str:
    return " × ".join(figures.length(side, unit) for side in (offcut.length_m, offcut.width_m) if side)


def _padded(lines: list[Line], rows: int) -> list[Line]:
    return [*lines[:rows], *((),) * (rows - len(lines))]
