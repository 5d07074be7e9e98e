"""Dots on a grid of braille cells, and text over them: what every drawing is made of.

A cell row is a run of bytes, so that hatches, blanks and upright or level lines are set by whole runs and not by dots.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

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
_COLUMN = [[[sum(bits[side] for bits in _BITS[top:end]) for end in range(5)] for top in range(5)] for side in range(2)]
"""The dots of a cell's left or right half from one row within it to before another."""
_SIGNS = {bits: chr(0x2800 + bits) if bits else " " for bits in range(256)}


def whole(place: float) -> int:
    """The dot a place falls on. Halves all go up: to the nearest even, two lines a dot apart could fall on one."""
    return math.floor(place + 0.5)


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

    def line(self, start: Dot, end: Dot, role: str, dash: int = 0, aside: tuple[int, int] = (0, 0)) -> None:
        """A line between two dots; `dash` is the run of dots set and then left out, 0 for none left out.

        `aside` moves it by whole dots, so that it lies along the one that was not moved.
        """
        (x0, y0), (x1, y1), (right_by, down_by) = start, end, aside
        left, right = sorted((whole(x0) + right_by, whole(x1) + right_by))
        top, bottom = sorted((whole(y0) + down_by, whole(y1) + down_by))
        if not dash and top == bottom:
            if 0 <= top < self.height * 4:
                self._set(top, max(0, left), min(self.width * 2, right + 1), role)
        elif not dash and left == right:
            self._upright(left, max(0, top), min(self.height * 4, bottom + 1), role)
        else:
            steps = max(1, whole(max(abs(x1 - x0), abs(y1 - y0))))
            for step in range(steps + 1):
                if not dash or step // dash % 2 == 0:
                    part = step / steps
                    self.dot(whole(x0 + (x1 - x0) * part) + right_by, whole(y0 + (y1 - y0) * part) + down_by, role)

    def outline(self, ring: Sequence[Dot], role: str, heavy: bool = False, hole: bool = False) -> None:
        """A closed line through dots; a heavy one has a second line a dot further in, round a hole further out."""
        sides = [*zip(ring, [*ring[1:], ring[0]], strict=True)]
        for start, end in sides:
            self.line(start, end, role)
        if not heavy:
            return
        turn = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in sides) * (-1 if hole else 1)
        asides = [_aside(start, end, turn) for start, end in sides]
        for (start, end), before, aside in zip(sides, [asides[-1], *asides], asides, strict=False):
            self.line(start, end, role, aside=aside)
            if (before[0] == 0) != (aside[0] == 0):
                # Where the outline turns outwards, the two moved lines do not meet.
                self.dot(whole(start[0]) + before[0] + aside[0], whole(start[1]) + before[1] + aside[1], role)

    def text(self, column: int, row: int, text: str, role: str) -> None:
        """Text over the dots, from a cell on; cut at the edges."""
        if not 0 <= row < self.height:
            return
        wide = cell_len(text) != len(text)
        for char in text:
            size = cell_len(char) if wide else 1
            if column >= 0 and column + size <= self.width:
                self._texts[row][column] = (char, role)
                for more in range(1, size):
                    self._texts[row][column + more] = ("", role)
            column += max(1, size)

    def free(self, column: int, row: int, width: int) -> bool:
        """Whether no text stands in these cells."""
        return 0 <= row < self.height and not any(place in self._texts[row] for place in range(column, column + width))

    def sign(self, column: int, row: int) -> str:
        """The sign of the text in a cell; empty where there is none."""
        return self._texts[row].get(column, ("", ""))[0] if 0 <= row < self.height else ""

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
            self._bits[row][column] |= _COLUMN[side][max(0, top - row * 4)][min(4, end - row * 4)]
            self._roles[row][column] = role

    def _inside(self, rings: Sequence[Sequence[Dot]]) -> Iterator[tuple[int, int, int]]:
        """Runs of dots inside an odd number of the rings, within the grid: row, first column, column after the last."""
        sides = [(*start, *end) for ring in rings for start, end in zip(ring, [*ring[1:], ring[0]], strict=True)]
        most = self.width * 2
        # Between two corners the same sides are crossed in every row.
        for low, high in pairwise(sorted({y for _, y, _, _ in sides})):
            rows = range(max(0, whole(low)), min(self.height * 4, whole(high)))
            leans = [(x0, y0, (x1 - x0) / (y1 - y0)) for x0, y0, x1, y1 in sides
                     if min(y0, y1) <= low and high <= max(y0, y1) and y0 != y1] if rows else []
            upright = not any(lean for _, _, lean in leans)
            runs: list[tuple[int, int]] = []
            for row in rows:
                if not runs or not upright:
                    xs = [whole(x) for x in sorted([x0 + (row + 0.5 - y0) * lean for x0, y0, lean in leans])]
                    runs = [(max(0, first), min(most, last)) for first, last in zip(xs[::2], xs[1::2], strict=False)]
                for first, last in runs:
                    yield row, first, last

    def _line(self, row: int) -> Line:
        bits, texts = self._bits[row], self._texts[row]
        if not texts and not any(bits):
            return ((" " * self.width, "plain"),) if self.width else ()
        # Blanks stand apart: a font may draw them narrower than the cells between them.
        signs = [*bits.decode("latin-1").translate(_SIGNS)]
        roles = [role if dots else "plain" for role, dots in zip(self._roles[row], bits, strict=True)]
        for column, (sign, role) in texts.items():
            signs[column], roles[column] = sign, role
        merged: list[Span] = []
        start = 0
        for role, cells in groupby(roles):
            end = start + len([*cells])
            merged.append(("".join(signs[start:end]), role))
            start = end
        return tuple(merged)


def _aside(start: Dot, end: Dot, turn: float) -> tuple[int, int]:
    """A dot across a side of an outline, towards the inside where the outline turns this way."""
    across, down = end[0] - start[0], end[1] - start[1]
    if abs(across) >= abs(down):
        return 0, 1 if across * turn > 0 else -1
    return -1 if down * turn > 0 else 1, 0


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
