"""Dots on a grid of braille cells, and text over them: what every drawing is made of."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len

from tracker.ui.ink import Line, Span

Dot = tuple[float, float]
Hatch = Callable[[int, int], bool]
"""Whether the dot at (column, row) is set inside a filled shape."""

HATCHES: dict[str, Hatch] = {
    "sparse": lambda x, y: x % 6 == 0 and y % 4 == 0,
    "slant": lambda x, y: (x + y) % 4 == 0,
    "weave": lambda x, y: (x + y) % 2 == 0,
    "solid": lambda x, y: True,
    "rain": lambda x, y: x % 2 == 0 and (y + x) % 4 == 0,
}
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Braille dot bits by row and column within a cell (Unicode block 2800)."""


class Raster:
    """A grid of width x height cells, two dots wide and four high each; row 0 is at the top."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._bits = [[0] * width for _ in range(height)]
        self._roles = [["plain"] * width for _ in range(height)]
        self._texts: list[dict[int, Span]] = [{} for _ in range(height)]

    def dot(self, x: int, y: int, role: str) -> None:
        """Sets one dot; the cell takes the role of the dot set last."""
        column, row = x // 2, y // 4
        if 0 <= column < self.width and 0 <= row < self.height:
            self._bits[row][column] |= _BITS[y % 4][x % 2]
            self._roles[row][column] = role

    def fill(self, rings: Sequence[Sequence[Dot]], role: str, hatch: str) -> None:
        """Fills what lies inside an odd number of the rings (dots) with a hatch."""
        on = HATCHES[hatch]
        ys = [y for ring in rings for _, y in ring]
        for row in range(max(0, int(min(ys))), min(self.height * 4, int(max(ys)) + 1)):
            crossings = sorted(cross for ring in rings for cross in _crossings(ring, row + 0.5))
            for start, end in zip(crossings[::2], crossings[1::2], strict=False):
                for x in range(round(start), round(end)):
                    if on(x, row):
                        self.dot(x, row, role)

    def clear(self, rings: Sequence[Sequence[Dot]]) -> None:
        """Wipes what lies inside the rings."""
        ys = [y for ring in rings for _, y in ring]
        for row in range(max(0, int(min(ys))), min(self.height * 4, int(max(ys)) + 1)):
            crossings = sorted(cross for ring in rings for cross in _crossings(ring, row + 0.5))
            for start, end in zip(crossings[::2], crossings[1::2], strict=False):
                for x in range(max(0, round(start)), min(self.width * 2, round(end))):
                    self._bits[row // 4][x // 2] &= ~_BITS[row % 4][x % 2]

    def line(self, start: Dot, end: Dot, role: str, dash: int = 0) -> None:
        """A line between two dots; `dash` is the run of dots set and then left out, 0 for none left out."""
        (x0, y0), (x1, y1) = start, end
        steps = max(1, round(max(abs(x1 - x0), abs(y1 - y0))))
        for step in range(steps + 1):
            if not dash or step // dash % 2 == 0:
                part = step / steps
                self.dot(round(x0 + (x1 - x0) * part), round(y0 + (y1 - y0) * part), role)

    def text(self, column: int, row: int, text: str, role: str) -> None:
        """Text over the dots, from a cell on; cut at the edges."""
        if not 0 <= row < self.height:
            return
        for char in text:
            size = cell_len(char)
            if column >= 0 and column + size <= self.width:
                self._texts[row][column] = (char, role)
                for more in range(1, size):
                    self._texts[row][column + more] = ("", role)
            column += max(1, size)

    def free(self, column: int, row: int, width: int) -> bool:
        """Whether no text stands in these cells."""
        return 0 <= row < self.height and not any(place in self._texts[row] for place in range(column, column + width))

    def lines(self) -> list[Line]:
        """The grid as lines of spans."""
        return [self._line(row) for row in range(self.height)]

    def _line(self, row: int) -> Line:
        merged: list[Span] = []
        for column in range(self.width):
            text, role = self._texts[row].get(column) or self._cell(row, column)
            if merged and merged[-1][1] == role:
                merged[-1] = (merged[-1][0] + text, role)
            else:
                merged.append((text, role))
        return tuple(merged)

    def _cell(self, row: int, column: int) -> Span:
        bits = self._bits[row][column]
        return (chr(0x2800 + bits), self._roles[row][column]) if bits else (" ", "plain")


def _crossings(ring: Sequence[Dot], y: float) -> list[float]:
    found = []
    for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True):
        if (y0 <= y) != (y1 <= y):
            found.append(x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    return found
