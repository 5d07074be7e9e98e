"""Text for a terminal or a pipe: tables without boxes, colour only where there is a terminal."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.table import Table
from rich.text import Text

from tracker.measures import SiteUnit, show_quantity

SIGNS = {"ready": "+", "under way": ">", "short": "!", "on order": "~", "waiting": ".", "done": "x"}
"""A sign for each state, so that no meaning rests on colour."""

STYLES = {"ready": "green", "under way": "cyan", "short": "bold red", "on order": "yellow", "waiting": "dim",
          "done": "dim"}

GAP = 2
"""Empty characters between two columns."""
NAMES_WIDE, WORDS_WIDE = 12, 24
"""A first column, and another of words, are not made narrower than this; figures are never broken."""


def state(word: str) -> Text:
    """A state as sign and word."""
    return Text(f"{SIGNS[word]} {word}", style=STYLES[word])


def heading(words: str) -> Text:
    return Text(words, style="bold")


@dataclass(frozen=True)
class Columns:
    """A plain table. Where a terminal is too narrow for it, the columns go on below, each part with the first one."""

    names: Sequence[str]
    rows: Sequence[Sequence[Text]]
    right: frozenset[int]

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """The parts, one below the other."""
        for part in self._parts(options.max_width):
            yield self._table(part, options.max_width)

    def _parts(self, width: int) -> list[list[int]]:
        parts: list[list[int]] = []
        for column in range(len(self.names)):
            if not parts or sum(self._least(one) + GAP for one in (*parts[-1], column)) - GAP > width:
                parts.append([0] if column and parts else [])
            parts[-1].append(column)
        return parts

    def _table(self, part: Sequence[int], width: int) -> Table:
        made = Table(box=None, pad_edge=False, padding=(0, GAP, 0, 0), header_style="dim")
        widths = self._widths(part, width)
        for column in part:
            made.add_column(Text(self.names[column]), justify="right" if column in self.right else "left",
                            overflow="fold", width=widths[column])
        for row in self.rows:
            made.add_row(*(row[column] for column in part))
        return made

    def _widths(self, part: Sequence[int], width: int) -> dict[int, int]:
        """As wide as the column's text, the widest narrowed first."""
        widths = {column: max(cell_len(self.names[column]), self._widest(column)) for column in part}
        least = {column: self._least(column) for column in part}
        for _ in range(sum(widths.values()) + GAP * (len(part) - 1) - width):
            widest = max((column for column in part if widths[column] > least[column]), key=widths.__getitem__,
                         default=None)
            if widest is None:
                break
            widths[widest] -= 1
        return widths

    def _widest(self, column: int) -> int:
        return max((cell_len(row[column].plain) for row in self.rows), default=0)

    def _least(self, column: int) -> int:
        """Figures are never broken; names and sentences between words."""
        texts = [self.names[column], *(row[column].plain for row in self.rows)]
        word = max((cell_len(word) for text in texts for word in text.split()), default=0)
        if column in self.right:
            return max(self._widest(column), max(map(cell_len, self.names[column].split()), default=0))
        return max(min(word, WORDS_WIDE), min(self._widest(column), WORDS_WIDE if column else NAMES_WIDE))


def table(columns: Sequence[str], rows: Iterable[Sequence[Any]], *, right: Iterable[int] = ()) -> Columns:
    """A plain table; columns in `right` are aligned right. Cells that are text stay as written."""
    return Columns(columns, [[cell if isinstance(cell, Text) else Text(str(cell)) for cell in row] for row in rows],
                   frozenset(right))


def bare_quantity(quantity: float, item_unit: str, site_unit: SiteUnit) -> str:
    """A quantity without its unit, for a row that says the unit once."""
    return show_quantity(quantity, item_unit, site_unit).partition(" ")[0]


def show(what: RenderableType) -> None:
    """Prints to standard output: wrapped to a terminal's width, whole lines where it is no terminal."""
    width = None if sys.stdout.isatty() else int(os.environ.get("COLUMNS", "160"))
    Console(width=width, highlight=False, emoji=False, markup=False).print(what)


def stacked(*parts: RenderableType | None) -> Group:
    """Parts beneath one another, those that are None left out."""
    return Group(*(part for part in parts if part is not None))


def figures(values: Iterable[float | None], decimals: int = 2) -> list[str]:
    """Figures to so many decimals; a dash where there is none."""
    return ["-" if value is None else f"{value:.{decimals}f}" for value in values]
