"""What is behind a figure: the movements of an item; the shopping list; the keys of a view."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding

from tracker.services.answers import BuyLine, MovementView, Shopping
from tracker.ui import ask, figures
from tracker.ui.forms.form import Panel
from tracker.ui.ink import Line, Sheet, fit, spans
from tracker.ui.view import own_bindings
from tracker.ui.widgets.foot import key_name
from tracker.ui.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from tracker.ui.view import View


class ListPanel(Panel):
    """A panel that shows rows."""

    AUTO_FOCUS = "RowList"

    def __init__(self, over: View) -> None:
        super().__init__(over)
        self.head = Sheet(id="list-head")
        self.rows = RowList(id="list-rows", empty=spans(("  Nothing.", "muted")))
        self.foot = Sheet(id="list-foot")

    def content(self) -> ComposeResult:
        yield self.head
        yield self.rows
        yield self.foot

    def show(self, rows: list[Row]) -> None:
        """Shows the rows; the panel is as high as they need, and not higher than the screen."""
        self.rows.show(rows)
        self.rows.styles.height = max(1, min(len(rows), self.app.size.height - 8))

    def on_row_list_chosen(self) -> None:
        self.action_leave()


class MovementsPanel(ListPanel):
    """The movements of the item under the cursor, newest first."""

    @property
    def heading(self) -> str:
        return f"Movements of {self.over.item}"

    def on_mount(self) -> None:
        self.begin()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the movements."""
        unit = await self.app.db(ask.site_unit)
        found = await self.app.db(ask.movements, self.over.item or "")
        self.show([Row(str(move.id), lambda width, move=move: _movement(move, unit, width)) for move in found])


def _movement(move: MovementView, unit: str, width: int) -> Line:
    quantity = figures.quantity(abs(move.quantity), move.unit, unit)
    mark = "=" if move.kind == "count" else "-" if move.quantity < 0 else "~" if move.kind == "order" else "+"
    role = {"+": "ready", "-": "plain", "~": "order", "=": "accent"}[mark]
    entry = f"entry {move.entry} " if move.entry else ""
    return spans((fit(figures.day(move.date, year=True), 17), "muted"), (fit(move.kind, 10), "plain"),
                 (fit(f"{mark} {quantity}", 16), "short" if move.kind == "spoil" else role), (entry, "muted"),
                 (move.note, "plain"))


class BuyPanel(ListPanel):
    """The shopping list for all that remains."""

    TITLE_TEXT = "To buy: what is short and not on order"

    def on_mount(self) -> None:
        self.begin()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the shopping list."""
        self._show_list(await self.app.db(ask.shopping))

    def _show_list(self, found: Shopping) -> None:
        def head(width: int) -> list[Line]:
            return [spans((fit(" ", width - 46), "plain"), *((fit(word, cell, right=True), "title") for word, cell in
                          (("short", 8), ("packs", 8), ("makes", 8), ("lead", 9), ("cost", 12))))]

        def row(line: BuyLine, width: int) -> Line:
            cost = f"{line.cost:.2f}" if line.cost is not None else "?"
            return spans((fit(line.item, width - 45), "strong"),
                         (fit(figures.number(line.need), 8, right=True), "short"),
                         (fit(figures.number(line.packs), 8, right=True), "strong"),
                         (fit(figures.number(line.quantity), 8, right=True), "plain"),
                         (fit(f"{line.lead_days} days", 9, right=True), "muted"), (fit(cost, 11, right=True), "plain"))

        self.head.show(head)
        self.show([Row(line.item, lambda width, line=line: row(line, width)) for line in found.items])
        total = f"{found.total_cost:.2f} {found.currency}"
        self.foot.show(lambda width: [spans((fit(f"in all {total} ", width, right=True), "strong"))])


class KeysPanel(ListPanel):
    """The keys of the view beneath, then those that work everywhere."""

    @property
    def heading(self) -> str:
        return "Keys"

    def on_mount(self) -> None:
        here, everywhere = own_bindings(type(self.over)), own_bindings(type(self.app))
        self.show([*_keys("in this view", here), *_keys("everywhere", everywhere),
                   Row("palette", lambda width: _key("ctrl+p", "Every action by its name")),
                   Row("click", lambda width: _key("mouse", "Opens a row, a view on the tape, a key at the foot"))])


def _keys(title: str, bindings: list[Binding]) -> list[Row]:
    rows = [Row(binding.id or binding.key, lambda width, binding=binding: _key(key_name(binding.key), binding.tooltip))
            for binding in bindings]
    return [Row("", lambda width: spans((f" {title}", "title"))), *rows] if rows else []


def _key(key: str, what: str) -> Line:
    return spans((fit(key, 10, right=True), "accent"), "  ", (what, "plain"))


FORMS = {"movements": MovementsPanel, "buy": BuyPanel, "keys": KeysPanel}
