"""The tape along the top: the site, the six views with their keys, and the day."""

from __future__ import annotations

from datetime import date
from typing import Any

from textual.reactive import reactive

from tracker.ui.ink import Inked, Line, fit, width_of
from tracker.ui.views import VIEWS


class Masthead(Inked):
    """One row drawn like the blade of a tape measure; the view on show stands out by a sign and by its ground."""

    DEFAULT_CSS = "Masthead { height: 1; }"

    site: reactive[str] = reactive("")
    today: reactive[date | None] = reactive(None)

    def __init__(self, current: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.current = current

    def render_line(self, y: int) -> Any:
        return self.paint(self.line(self.size.width), self.size.width)

    def line(self, width: int) -> Line:
        """The row for a width in cells."""
        day = f" {self.today:%a} {self.today.day} {self.today:%b} " if self.today and width >= 72 else ""
        tabs: list[Line] = []
        for key, view in enumerate(VIEWS, start=1):
            here = view.id == self.current
            text = f"▸{key} {view.title}◂" if here else f" {key} {view.title} "
            tabs.append(((text, f"{'tape-now' if here else 'tape'}@app.view('{view.id}')"),))
        spare = width - sum(width_of(tab) for tab in tabs) - len(day)
        name = f" {self.site} " if self.site else ""
        name = fit(name, min(len(name), spare)) if spare > 4 else ""
        ticks = max(0, spare - len(name))
        parts: list[tuple[str, str]] = [(name, "tape-name")]
        for place, tab in enumerate(tabs):
            share = ticks * (place + 1) // len(tabs) - ticks * place // len(tabs)
            parts += [("╵" * share, "tape"), *tab]
        return (*(part for part in parts if part[0]), (day, "tape"))
