"""Moving stock: a delivery, a count, an order, a spoil or a return of one item."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.services.stock_answers import Shopping, StockLine
from tracker.ui import ask, figures
from tracker.ui.forms.choosing import ChoosingForm
from tracker.ui.ink import Line, fit, spans
from tracker.ui.widgets.row_list import Row


class MovementForm(ChoosingForm):
    """An item, chosen with up and down, and how much of it."""

    KIND: ClassVar[str] = ""
    HINT: ClassVar[str] = "e.g. 2 packs, or 7"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "choose(-1)", "item", id="movement.previous", show=False, tooltip="The item before"),
        Binding("down", "choose(1)", "item", id="movement.next", show=False, tooltip="The next item"),
    ]

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self._lines: dict[str, StockLine] = {}
        self._shopping: Shopping | None = None
        self._unit = "mm"

    def first_subject(self) -> str:
        return self.over.item or ""

    def content(self) -> ComposeResult:
        yield self.choices
        yield self.field("quantity", "how much", self.HINT)
        yield from self.more_fields()
        yield self.trouble

    def more_fields(self) -> ComposeResult:
        """Fields of one kind of movement."""
        yield from ()

    def on_mount(self) -> None:
        self.set_focus(self.fields["quantity"])
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the items; the one chosen comes first, else the one under the view's cursor, else the likeliest."""
        self._unit = await self.app.db(ask.site_unit)
        found = await self.app.kept(ask.stock)
        self._shopping = await self.app.kept(ask.shopping) if self.KIND == "order" else None
        self._lines = {line.item: line for line in found.items}
        likeliest = next((line.item for line in found.items if self.likely(line)), None)
        typed = next((item for item in self.drafted() if item in self._lines), None)
        self.list_choices([Row(line.item, lambda width, line=line: self._row(line, width)) for line in found.items],
                          self.choices.key or self.over.item or typed or likeliest, min(8, self.app.size.height - 12))

    def likely(self, line: StockLine) -> bool:
        """Whether this is the item that is moved most likely."""
        return False

    def amount(self, line: StockLine) -> str:
        """The quantity to begin with; empty where none is likely."""
        return ""

    def given_for(self, subject: str) -> Mapping[str, str]:
        return {"quantity": self.amount(self._lines[subject])} if subject in self._lines else {}

    def chosen(self) -> None:
        line, field = self._lines.get(self.subject), self.fields["quantity"]
        if line is not None:
            hint = self.HINT if line.unit != "m" else f"e.g. {figures.quantity(14.5, 'm', self._unit)}"
            field.placeholder = f"the book says {figures.quantity(line.on_hand, line.unit, self._unit)}; {hint}"
        if self.draft_name not in self.app.drafts:
            field.action_select_all()

    def more_keys(self) -> Iterator[tuple[str, str]]:
        yield from ((" ↑↓", "accent"), (" item  ", "muted"))

    def _row(self, line: StockLine, width: int) -> Line:
        coming = f"{figures.number(line.on_order)} due {figures.day(line.due)}" if line.due else ""
        short = f"{figures.number(line.short)} short" if line.short else ""
        before = "typed before " if self.name_for(line.item) in self.app.drafts else ""
        unit = " m" if line.unit == "m" else ""
        return spans((f"{fit(line.item, max(14, width - 47))} ", "strong"),
                     (fit(f"{figures.number(line.on_hand)}{unit} here", 12), "plain"), (fit(short, 12), "short"),
                     (before, "accent"), (coming, "order"))

    async def save_chosen(self) -> Outcome:
        item, quantity = self.choices.key, self.text("quantity")
        if item is None:
            raise Refused("there is no item: a site file names them")
        if not quantity:
            raise Refused(f"quantity: say how much of {item}, {self.HINT}")
        return await self.move(item, quantity)

    async def move(self, item: str, quantity: str) -> Outcome:
        """Asks the service for the movement."""
        raise NotImplementedError


class DeliveryForm(MovementForm):
    """What came; begins with what is due first."""

    NAME = KIND = "delivery"
    TITLE_TEXT = "Take a delivery"
    ACCEPT = "it came"

    def more_fields(self) -> ComposeResult:
        yield self.field("lot", "dye lot", "cloth only: as printed on the roll")

    def likely(self, line: StockLine) -> bool:
        due = [other.due for other in self._lines.values() if other.due is not None]
        return line.due is not None and line.due == min(due)

    def amount(self, line: StockLine) -> str:
        return figures.typed(line.on_order, line.unit) if line.on_order else ""

    async def move(self, item: str, quantity: str) -> Outcome:
        return await self.app.db(ask.take_delivery, item, quantity, self.text("lot") or None)


class CountForm(MovementForm):
    """What was counted; the book is set right with it."""

    NAME = KIND = "count"
    TITLE_TEXT = "Count"
    ACCEPT = "set the book"

    async def move(self, item: str, quantity: str) -> Outcome:
        return await self.app.db(ask.count_stock, item, quantity)


class OrderForm(MovementForm):
    """What was ordered; begins with what is short."""

    NAME = KIND = "order"
    TITLE_TEXT = "Order"
    ACCEPT = "ordered"

    def more_fields(self) -> ComposeResult:
        yield self.field("due", "due", "e.g. fri, 4 dec or 2026-12-04; empty: after the lead time")

    def likely(self, line: StockLine) -> bool:
        return line.short > line.on_order

    def amount(self, line: StockLine) -> str:
        for buy in self._shopping.items if self._shopping else ():
            if buy.item == line.item:
                packs = "1 pack" if buy.packs == 1 else f"{figures.number(buy.packs)} packs"
                return packs if buy.pack != 1 else figures.typed(buy.quantity, buy.unit)
        return ""

    async def move(self, item: str, quantity: str) -> Outcome:
        return await self.app.db(ask.place_order, item, quantity, self.text("due"))


class SpoilForm(MovementForm):
    """What was spoiled and is written off."""

    NAME = KIND = "spoil"
    TITLE_TEXT = "Write off"
    ACCEPT = "write it off"

    async def move(self, item: str, quantity: str) -> Outcome:
        return await self.app.db(ask.spoil_stock, item, quantity)


class ReturnForm(MovementForm):
    """What goes back to where it was bought."""

    NAME = KIND = "return"
    TITLE_TEXT = "Send back"
    ACCEPT = "sent back"

    async def move(self, item: str, quantity: str) -> Outcome:
        return await self.app.db(ask.return_stock, item, quantity)


FORMS = {form.KIND: form for form in (DeliveryForm, CountForm, OrderForm, SpoilForm, ReturnForm)}
