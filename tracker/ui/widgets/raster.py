"""Dots on a grid of braille cells, and text over them: what every drawing is made of.

A cell row is a run of bytes, so that hatches, blanks and upright or level lines are set by whole runs and not by dots.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from tracker.ui.ink import Line, Span

Dot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Hatch:
    """Dots `step` apart in every `rows`-th row, shifted left by `slant` for each row down; the step is even or 1."""

    step: int
    rows: int = 1
    slant: int = 0


HATCHES = {"sparse": Hatch(6, rows=4), "slant": Hatch(4, slant=1), "weave": Hatch(2, slant=1), "solid": Hatch(1),
           "rain": Hatch(4, rows=2, slant=1)}
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Braille dot bits by row and column within a cell (Unicode block 2800)."""
_BOTH = 2
_SET = [[bytes(byte | bit for byte in range(256)) for bit in (left, right, left | right)] for left, right in _BITS]
_CLEARED = [[bytes(byte & ~bit for byte in range(256)) for bit in (left, right, left | right)] for left, right in _BITS]
"""What becomes of a cell when its left dot, its right one or both are set or cleared, by row within the cell."""
_SIGNS = [chr(0x2800 + bits) if bits else " " for bits in range(256)]


class Raster:
    """A grid of width x height cells, two dots wide and four high each; row 0 is at the top."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._bits = [bytearray(width) for _ in range(height)]
        self._roles = [["plain"] * width for _ in range(height)]
        self._texts: list[dict[int, Span]] = [{} for _ in range(height)]

    def copy(self) -> Raster:
        """Another one with the same dots and texts, to be drawn on."""
        other = Raster(self.width, 0)
        other.height = self.height
        other._bits = [row[:] for row in self._bits]
        other._roles = [row[:] for row in self._roles]
        other._texts = [row.copy() for row in self._texts]
        return other

    def dot(self, x: int, y: int, role: str) -> None:
        """Sets one dot; the cell takes the role of the dot set last."""
        column, row = x // 2, y // 4
        if 0 <= column < self.width and 0 <= row < self.height:
            self._bits[row][column] |= _BITS[y % 4][x % 2]
            self._roles[row][column] = role

    def fill(self, rings: Sequence[Sequence[Dot]], role: str, hatch: str) -> None:
        """Fills what lies inside an odd number of the rings (dots) with a hatch."""
        pattern = HATCHES[hatch]
        for y, start, end in self._inside(rings):
            if y % pattern.rows == 0:
                first = start + (-pattern.slant * y - start) % pattern.step
                self._set(y, first, end, role, pattern.step)

    def clear(self, rings: Sequence[Sequence[Dot]]) -> None:
        """Wipes what lies inside the rings."""
        for y, start, end in self._inside(rings):
            for cells, which in _cells(start, end, 1):
                bits = self._bits[y // 4]
                bits[cells] = bits[cells].translate(_CLEARED[y % 4][which])

    def line(self, start: Dot, end: Dot, role: str, dash: int = 0) -> None:
        """A line between two dots; `dash` is the run of dots set and then left out, 0 for none left out."""
        (x0, y0), (x1, y1) = start, end
        left, right = sorted((round(x0), round(x1)))
        top, bottom = sorted((round(y0), round(y1)))
        if not dash and top == bottom:
            if 0 <= top < self.height * 4:
                self._set(top, max(0, left), min(self.width * 2, right + 1), role)
        elif not dash and left == right:
            self._upright(left, max(0, top), min(self.height * 4, bottom + 1), role)
        else:
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

    def _set(self, y: int, start: int, end: int, role: str, step: int = 1) -> None:
        """Sets every `step`-th dot of a row from `start` to before `end`, both within the grid."""
        bits, roles = self._bits[y // 4], self._roles[y // 4]
        for cells, which in _cells(start, end, step):
            changed = bits[cells].translate(_SET[y % 4][which])
            bits[cells] = changed
            roles[cells] = [role] * len(changed)

    def _upright(self, x: int, top: int, end: int, role: str) -> None:
        column, side = x // 2, x % 2
        if not 0 <= column < self.width:
            return
        for row in range(top // 4, (end + 3) // 4):
            for y in range(max(top, row * 4), min(end, row * 4 + 4)):
                self._bits[row][column] |= _BITS[y % 4][side]
            self._roles[row][column] = role

    def _inside(self, rings: Sequence[Sequence[Dot]]) -> Iterator[tuple[int, int, int]]:
        """Runs of dots inside an odd number of the rings, within the grid: row, first column, column after the last."""
        edges = [(*start, *end) for ring in rings for start, end in zip(ring, [*ring[1:], ring[0]], strict=True)]
        ys = [y for _, y, _, _ in edges]
        for row in range(max(0, int(min(ys))), min(self.height * 4, int(max(ys)) + 1)):
            y = row + 0.5
            crossings = sorted(x0 + (y - y0) / (y1 - y0) * (x1 - x0) for x0, y0, x1, y1 in edges
                               if (y0 <= y) != (y1 <= y))
            for first, last in zip(crossings[::2], crossings[1::2], strict=False):
                yield row, max(0, round(first)), min(self.width * 2, round(last))

    def _line(self, row: int) -> Line:
        bits, roles, texts = self._bits[row], self._roles[row], self._texts[row]
        merged: list[Span] = []
        run, current = "", roles[0] if roles else "plain"
        for column in range(self.width):
            if column in texts:
                sign, role = texts[column]
            else:
                # Blanks stand apart: a font may draw them narrower than the cells between them.
                sign = _SIGNS[bits[column]]
                role = roles[column] if bits[column] else "plain"
            if role != current:
                merged.append((run, current))
                run, current = sign, role
            else:
                run += sign
        merged.append((run, current))
        return tuple(span for span in merged if span[0])


def _cells(start: int, end: int, step: int) -> Iterator[tuple[slice, int]]:
    """The cells that have every `step`-th dot of a row from `start` to before `end`, and which of their dots it is."""
    if start >= end:
        return
    if step > 1:
        yield slice(start // 2, (end - start % 2 + 1) // 2, step // 2), start % 2
        return
    if start % 2:
        yield slice(start // 2, start // 2 + 1), 1
        start += 1
    if end % 2 and end > start:
        yield slice(end // 2, end // 2 + 1), 0
    yield slice(start // 2, end // 2), _BOTH
