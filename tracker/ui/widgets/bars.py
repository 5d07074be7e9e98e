"""Bars of parts told apart by fill as well as colour, and words big enough to read from a ladder."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.ui.ink import Line, Span

INSTALLED, COVERED, LACK, FREE = "█", "▒", "░", "▓"


def bar(parts: Sequence[tuple[float, str, str]], whole: float, width: int) -> Line:
    """Parts (amount, fill, role) side by side; `whole` fills the width; a part that is there has one cell at least."""
    if whole <= 0 or width <= 0:
        return ((" " * max(0, width), "plain"),)
    cells = [max(round(amount / whole * width), 1 if amount > 1e-9 else 0) for amount, _, _ in parts]
    while sum(cells) > width:
        cells[cells.index(max(cells))] -= 1
    drawn = [(fill * count, role) for count, (_, fill, role) in zip(cells, parts, strict=True) if count]
    return (*drawn, (" " * (width - sum(cells)), "plain"))


_LETTERS = {
    "A": ("█▀█", "█▀█", "▀ ▀"), "D": ("█▀▄", "█ █", "▀▀ "), "E": ("█▀▀", "█▀▀", "▀▀▀"), "I": ("█", "█", "▀"),
    "N": ("█▄ █", "█ ▀█", "▀  ▀"), "O": ("█▀█", "█ █", "▀▀▀"), "S": ("█▀▀", "▀▀█", "▀▀▀"), "T": ("▀█▀", " █ ", " ▀ "),
    "W": ("█ █ █", "█ █ █", " ▀ ▀ "), "Y": ("█ █", "▀█▀", " ▀ "),
}
BIG_ROWS = 3


def big(word: str, role: str) -> list[Span]:
    """A word in letters three rows high: one span a row, all equally wide."""
    rows = [" ".join(_LETTERS[letter][row] for letter in word) for row in range(BIG_ROWS)]
    return [(row, role) for row in rows]


def beside(word: str, role: str, lines: Sequence[Line]) -> list[Line]:
    """A big word with up to three lines beside it."""
    said = [*lines[:BIG_ROWS], *((),) * (BIG_ROWS - len(lines))]
    return [(("  ", "plain"), row, ("   ", "plain"), *line) for row, line in zip(big(word, role), said, strict=True)]


def big_width(word: str) -> int:
    """Cells that a big word takes with the space around it."""
    return len(big(word, "plain")[0][0]) + 5
