"""What is behind a figure: the movements of an item; the shopping list; the keys of a view."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual import work
from textual.app import ComposeResult
from textual.binding import Binding

from tracker.services.stock_answers import BuyLine, MovementView, Shopping
from tracker.ui import ask, figures
from tracker.ui.forms.form import Panel
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
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
        self.rows = RowList(id="list-rows")
        self.foot = Sheet(id="list-foot")

    def content(self) -> ComposeResult:
        yield self.head
        yield self.rows
        yield self.foot

    def show(self, rows: list[Row]) -> None:
        """Shows the rows; the panel is as high as they need, and not higher than the screen."""
        self.rows.empty = spans(("  Nothing.", "muted"))
        self.rows.show(rows)
        self.rows.styles.height = max(1, min(len(rows), self.app.size.height - 11))

    def on_row_list_chosen(self) -> None:
        self.action_leave()
        self.left(self.rows.key or "")

    def left(self, key: str) -> None:
        """What follows once the panel was left by opening a row."""


class MovementsPanel(ListPanel):
    """The movements of the item under the cursor, newest first."""

    @property
    def heading(self) -> str:
        return f"Movements of {self.over.item}"

    def on_mount(self) -> None:
        self.follow()

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

    def __init__(self, over: View) -> None:
        super().__init__(over)
        self._found: Shopping | None = None

    def on_mount(self) -> None:
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the shopping list."""
        self._show_list(await self.app.kept(ask.shopping))

    def _show_list(self, found: Shopping) -> None:
        self._found = found
        self.head.show(_buy_head)
        self.show([Row(line.item, lambda width, line=line: _buy_row(line, width)) for line in found.items])
        self.key_row.show(lambda width: [self.keys()])
        self._show_foot()

    def on_row_list_pointed(self) -> None:
        self._show_foot()

    def left(self, key: str) -> None:
        self.app.order(key)

    def keys(self) -> Line:
        order = spans((f" {self.app.enter_name}", "accent"), (" order it  ", "muted"))
        return spans(*(order if self._found and self._found.items else ()), *super().keys())

    def _show_foot(self) -> None:
        found = self._found
        if found is None:
            return
        line = next((one for one in found.items if one.item == self.rows.key), None)
        total = f"in all {found.total_cost:.2f} {found.currency} "
        first = "" if found.plan_kept or not found.items else " p in 7 Saw plans the cuts, and may need less"
        said = _why(line) if line else "What is here and on order is enough."
        self.foot.show(lambda width: [spans((first, "order"),
                                            (fit(total, width - cell_len(first), right=True), "strong")), (),
                                      *_two(wrapped(said, "plain", width - 1, spans(" ")))])


def _two(lines: list[Line]) -> list[Line]:
    """Two rows, whatever is said, so that nothing jumps from line to line."""
    return [*lines[:2], *((),) * (2 - len(lines))]


def _buy_widths(width: int) -> tuple[int, int, int, int]:
    """Cells of the name, of a figure, of the date and of the cost."""
    figure, day, cost = (8, 13, 10) if width >= 66 else (7, 11, 8)
    return width - 3 * figure - day - cost - 1, figure, day, cost


def _buy_head(width: int) -> list[Line]:
    name, figure, day, cost = _buy_widths(width)
    cells = (("", name), ("short", figure), ("packs", figure), ("makes", figure), ("order by", day), ("cost", cost))
    return [spans(*((fit(word, cell, right=True), "title") for word, cell in cells))]


def _buy_row(line: BuyLine, width: int) -> Line:
    name, figure, day, cost = _buy_widths(width + 1)
    late = line.late_days > 0
    when = "today !" if late else figures.day(line.order_by) if line.order_by else f"{line.lead_days} days"
    return spans((fit(line.item, name - 1), "strong"),
                 (fit(figures.number(line.need), figure, right=True), "short" if line.need else "muted"),
                 (fit(figures.number(line.packs), figure, right=True), "strong"),
                 (fit(figures.number(line.quantity), figure, right=True), "plain"),
                 (fit(when, day, right=True), "short" if late else "order"),
                 (fit(f"{line.cost:.2f}" if line.cost is not None else "?", cost, right=True), "plain"))


def _why(line: BuyLine) -> str:
    """When to order an item and for what, in a sentence."""
    lead = f"{line.lead_days} day{'s' if line.lead_days != 1 else ''} to come"
    if line.needed_for is None or line.order_by is None:
        return f"{line.item}: {lead}; no hours are planned, so the last day to order is not known."
    if line.late_days:
        return (f"{line.item}: {lead}, so it should have been ordered by {figures.day(line.order_by)} for "
                f"{line.needed_for}. Order it today.")
    return f"{line.item}: {lead}; order it by {figures.day(line.order_by)}, so that it is here for {line.needed_for}."


class KeysPanel(ListPanel):
    """The keys of the view beneath, then those that work everywhere."""

    @property
    def heading(self) -> str:
        return "Keys"

    def on_mount(self) -> None:
        here, everywhere = own_bindings(type(self.over)), own_bindings(type(self.app))
        more = (("ctrl+p", "As : and over a form too"), ("mouse", "Opens a row, a view on the tape, a key at the foot"))
        self.show([*self._keys("in this view", here, self.over.LIST_KEYS), *self._keys("everywhere", everywhere),
                   *(row for key, what in more for row in self._key(key, what))])

    def _keys(self, title: str, bindings: list[Binding], more: Iterable[tuple[str, str]] = ()) -> list[Row]:
        named = [(key_name(binding.key), binding.tooltip) for binding in bindings]
        rows = [row for key, what in (*more, *named)
                for row in self._key(self.app.enter_name if key == "↵" else key, what)]
        return [Row("", lambda width: spans((f" {title}", "title"))), *rows] if rows else []

    def _key(self, key: str, what: str) -> list[Row]:
        """A key and what it does, in as many rows as that takes."""
        room = min(PANEL, self.app.size.width) - 18
        lines = wrapped(what, "plain", room + 14, spans((fit(key, 12, right=True), "accent"), "  "))
        first, *more = (Row(f"{key} {what}" if not at else "", lambda width, line=line: line)
                        for at, line in enumerate(lines))
        return [first, *(Row("", lambda width, row=row: spans(" ", *row.draw(width))) for row in more)]


PANEL = 76
"""Cells of a panel, as in the style sheet."""


FORMS = {"movements": MovementsPanel, "buy": BuyPanel, "keys": KeysPanel}
