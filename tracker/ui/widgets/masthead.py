"""The tape along the top: the site, the views with their keys, the clock, and the day."""

from __future__ import annotations

from datetime import date
from typing import Any

from textual.reactive import reactive

from tracker.ui.ink import Inked, Line, fit, width_of
from tracker.ui.views import VIEWS, ViewName


class Masthead(Inked):
    """One row drawn like the blade of a tape measure; the view on show stands out by a sign and by its ground."""

    DEFAULT_CSS = "Masthead { height: 1; }"

    site: reactive[str] = reactive("")
    today: reactive[date | None] = reactive(None)
    clock: reactive[str] = reactive("")
    """What the clock reads; empty where it reads nothing."""

    def __init__(self, current: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.current = current

    def render_line(self, y: int) -> Any:
        return self.paint(self.line(self.size.width), self.size.width)

    def line(self, width: int) -> Line:
        """The row for a width in cells; where all does not fit, titles close up and the day gives way to the clock."""
        end = self._end(width)
        tabs = [self._tab(key, view, False) for key, view in enumerate(VIEWS, start=1)]
        if sum(width_of(tab) for tab in tabs) + len(end) > width:
            tabs = [self._tab(key, view, True) for key, view in enumerate(VIEWS, start=1)]
        spare = width - sum(width_of(tab) for tab in tabs) - len(end)
        name = f" {self.site} " if self.site else ""
        name = fit(name, min(len(name), spare)) if spare > 4 else ""
        ticks = max(0, spare - len(name))
        parts: list[tuple[str, str]] = [(name, "tape-name")]
        for place, tab in enumerate(tabs):
            share = ticks * (place + 1) // len(tabs) - ticks * place // len(tabs)
            parts += [("╵" * share, "tape"), *tab]
        return (*(part for part in parts if part[0]), (end, "tape-name@app.clock" if self.clock else "tape"))

    def _tab(self, key: int, view: ViewName, close: bool) -> Line:
        here = view.id == self.current
        text = f"{key} {view.title}" if here or not close else f"{key}{view.title}"
        return ((f"▸{text}◂" if here else f" {text}" if close else f" {text} ",
                 f"{'tape-now' if here else 'tape'}@app.view('{view.id}')"),)

    def _end(self, width: int) -> str:
        day = f" {self.today:%a} {self.today.day} {self.today:%b} " if self.today and width >= 72 else ""
        clock = f" {self.clock}" if self.clock else ""
        return clock + day if width >= 104 or not clock else clock.ljust(len(day))
