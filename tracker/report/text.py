"""Text for a terminal or a pipe: tables without boxes, colour only where there is a terminal."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

SIGNS = {"ready": "+", "under way": ">", "short": "!", "on order": "~", "waiting": ".", "done": "x"}
"""A sign for each state, so that no meaning rests on colour."""

STYLES = {"ready": "green", "under way": "cyan", "short": "bold red", "on order": "yellow", "waiting": "dim",
          "done": "dim"}


def state(word: str) -> Text:
    """A state as sign and word."""
    return Text(f"{SIGNS[word]} {word}", style=STYLES[word])


def heading(words: str) -> Text:
    return Text(words, style="bold")


def table(columns: Sequence[str], rows: Iterable[Sequence[Any]], *, right: Iterable[int] = ()) -> Table:
    """A plain table; columns in `right` are aligned right. Cells that are text stay as written."""
    made = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    to_right = set(right)
    for number, name in enumerate(columns):
        made.add_column(Text(name), justify="right" if number in to_right else "left",
                        overflow="fold", no_wrap=number in to_right)
    for row in rows:
        made.add_row(*(cell if isinstance(cell, Text) else Text(str(cell)) for cell in row))
    return made


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
