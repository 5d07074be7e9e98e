"""Stock: what is here, held, needed, on order and short; offcuts to scale; what is behind a figure."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.services.stock_answers import Stock, StockLine
from tracker.ui import ask, figures
from tracker.ui.ink import Line, Sheet, fit, spans, width_of
from tracker.ui.view import WALK, View
from tracker.ui.widgets.bars import COVERED, FREE, INSTALLED, LACK, bar
from tracker.ui.widgets.heading import heading
from tracker.ui.widgets.rack import rack_lines
from tracker.ui.widgets.row_list import Row, RowList

COLUMNS = ("on hand", "held", "needed", "on order", "short")


class StockView(View):
    """One row an item, with a bar of what is here and what is still to come."""

    NAME = "stock"
    LIST_KEYS = WALK
    AUTO_FOCUS = "RowList"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "movements", "movements", id="stock.movements", tooltip="The movements behind the figures"),
        Binding("b", "app.form('buy')", "buy", id="stock.buy", tooltip="The shopping list: packs, cost, lead time"),
        Binding("s", "app.form('spoil')", "spoil", id="stock.spoil", show=False, tooltip="Write off what was spoiled"),
        Binding("r", "app.form('return')", "return", id="stock.return", show=False, tooltip="Send stock back"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.head = Sheet(id="stock-head")
        self.lines = RowList(id="lines", empty=spans(("  No items yet.", "muted")))
        self.more = Sheet(id="more")
        self._stock: Stock | None = None
        self._unit = "mm"

    def body(self) -> ComposeResult:
        yield self.head
        yield self.lines
        yield self.more

    async def read(self) -> Stock:
        self._unit = await self.app.db(ask.site_unit)
        return await self.app.kept(ask.stock)

    def show(self, answer: Stock) -> None:
        self._stock = answer
        self.head.show(_head)
        self.lines.show([Row(line.item, lambda width, line=line: _row(line, width)) for line in answer.items])
        self._detail()

    def _line(self) -> StockLine | None:
        found = [line for line in self._stock.items if line.item == self.lines.key] if self._stock else []
        return found[0] if found else None

    @property
    def item(self) -> str | None:
        return self.lines.key

    def point(self, item: str) -> None:
        self.lines.point(item)

    def _detail(self) -> None:
        line = self._line()
        rows = 12 if self.size.height >= 30 else 8 if self.size.height >= 24 else 5
        self.more.show(lambda width: _more(line, self._unit, width, rows) if line else [])

    def on_resize(self) -> None:
        self._detail()

    def on_row_list_pointed(self) -> None:
        self._detail()

    def on_row_list_chosen(self) -> None:
        self.action_movements()

    def action_movements(self) -> None:
        """Shows the movements behind the item under the cursor."""
        if self.item is not None:
            self.app.action_form("movements")


def _widths(width: int) -> tuple[int, int, int]:
    """Cells of the name, of a figure, and of the bar; no bar where there is no room."""
    name = 17 if width < 100 else 24
    figure = 9 if width < 100 else 11
    room = width - name - 5 * figure - 3
    return (name, figure, room) if room >= 10 else (name, max(6, (width - name - 2) // 5), 0)


def _head(width: int) -> list[Line]:
    name, figure, room = _widths(width)
    words = COLUMNS if figure >= 9 else ("here", "held", "need", "order", "short")
    key = spans("  ", (INSTALLED, "fabric"), (" held ", "muted"), (FREE, "installed"), (" free ", "muted"),
                (COVERED, "order"), (" due ", "muted"), (LACK, "lack"), (" short", "muted"))
    titles: Line = ((fit("", name + 1), "plain"), *((fit(word, figure, right=True), "title") for word in words))
    if width_of(titles) + width_of(key) <= width:
        return [(*titles, *key)]
    return [key, titles] if room else [titles]


def _row(line: StockLine, width: int) -> Line:
    name, figure, room = _widths(width + 1)
    amounts = (line.on_hand, line.held, line.needed, line.on_order, line.short)
    roles = ("strong", "plain", "plain", "order", "short")
    sign = ("~", "order") if 0 < line.short <= line.on_order else ("!", "short") if line.short > 0 else ("+", "ready")
    cells = [(fit(figures.number(amount) if amount else "·", figure, right=True), role if amount else "muted")
             for amount, role in zip(amounts, roles, strict=True)]
    unit = ", m" if line.unit == "m" else ""
    named = fit(line.item, min(cell_len(line.item), name - 1 - len(unit))) + unit
    return spans(sign, (fit(named, name - 1), "plain"), *cells, "  ", *(_bar(line, room - 1) if room else ()))


def _bar(line: StockLine, room: int) -> Line:
    free = max(0.0, line.on_hand - line.held)
    lack = max(0.0, line.short - line.on_order)
    whole = max(line.on_hand + line.on_order + lack, line.needed)
    return bar(((line.held, INSTALLED, "fabric"), (free, FREE, "installed"), (line.on_order, COVERED, "order"),
                (lack, LACK, "lack")), whole, room)


def _more(line: StockLine, unit: str, width: int, rows: int) -> list[Line]:
    """What else is known of an item: due date, lots, and its offcuts drawn to scale."""
    facts = [f"pack of {figures.number(line.pack)}"] if line.pack != 1 else []
    if line.price is not None:
        facts.append(f"{line.price:.2f} a {'pack' if line.pack != 1 else line.unit}")
    if line.due:
        facts.append(f"{figures.number(line.on_order)} due {figures.day(line.due)}")
    if line.dye_lots:
        facts.append("dye lot " + figures.listed(line.dye_lots))
    lines = heading(line.item, width, spans((", ".join(facts), "muted")), space=False)
    return [*lines, *rack_lines(line.offcuts, unit, width, rows - 1)]


SCREEN = StockView
