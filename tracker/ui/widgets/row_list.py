"""A list that draws only the rows in sight, with a cursor told by a sign; rows may be headings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.actions import SkipAction
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tracker.ui.ink import Inked, Line
from tracker.ui.inks import inks_of
from tracker.ui.widgets.bars import COVERED, FREE, INSTALLED, LACK

FILLS = {INSTALLED, COVERED, LACK, FREE}
"""What bars are filled with."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its key (empty for a heading, which the cursor passes over) and how it is drawn for a width."""

    key: str
    draw: Callable[[int], Line]


class Rows:
    """Rows and the place of each key: made ready away from the screen where there are thousands of them."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self.all = tuple(rows)
        self.places = {row.key: place for place, row in reversed([*enumerate(self.all)]) if row.key}


class RowList(Inked, ScrollView, can_focus=True):
    """Rows of one line each, walked with the arrow keys or the mouse."""

    DEFAULT_CSS = """
    RowList { height: 1fr; overflow-x: hidden; overflow-y: auto; scrollbar-size-vertical: 1; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "up", id="list.up", show=False, tooltip="One row up"),
        Binding("down", "move(1)", "down", id="list.down", show=False, tooltip="One row down"),
        Binding("pageup", "page(-1)", "page up", id="list.page-up", show=False, tooltip="One page up"),
        Binding("pagedown", "page(1)", "page down", id="list.page-down", show=False, tooltip="One page down"),
        Binding("home", "end(-1)", "first", id="list.first", show=False, tooltip="To the first row"),
        Binding("end", "end(1)", "last", id="list.last", show=False, tooltip="To the last row"),
        Binding("enter", "choose", "open", id="list.open", show=False, tooltip="Opens the row under the cursor"),
    ]

    @dataclass
    class Pointed(Message):
        """The cursor came to a row."""

        list: RowList
        key: str

        @property
        def control(self) -> RowList:
            return self.list

    @dataclass
    class Chosen(Message):
        """A row was opened by Enter or by the mouse."""

        list: RowList
        key: str

        @property
        def control(self) -> RowList:
            return self.list

    def __init__(self, rows: Iterable[Row] = (), empty: Line = (), **kwargs: Any) -> None:
        super().__init__(**kwargs)
        first = Rows(rows)
        self.rows, self._places = first.all, first.places
        self.empty = empty
        """What stands in a list without rows."""
        self._at = self._next(0, 1)

    @property
    def key(self) -> str | None:
        """Key of the row under the cursor; None where the list has none."""
        return self.rows[self._at].key if 0 <= self._at < len(self.rows) and self.rows[self._at].key else None

    def show(self, rows: Sequence[Row] | Rows, key: str | None = None) -> None:
        """Shows other rows; the cursor stays on its key, or goes to `key`."""
        wanted = key if key is not None else self.key
        before = self._at
        ready = rows if isinstance(rows, Rows) else Rows(rows)
        resized = len(ready.all) != len(self.rows)
        self.rows, self._places = ready.all, ready.places
        place = self._places.get(wanted or "")
        self._at = self._next(min(before, len(self.rows) - 1), 1) if place is None else place
        self.virtual_size = Size(self.size.width, max(1, len(self.rows)))
        self.refresh(layout=resized)
        self._reveal()
        if self.key is not None:
            self.post_message(self.Pointed(self, self.key))

    def point(self, key: str) -> None:
        """Puts the cursor on a row."""
        if key in self._places:
            self._go(self._places[key])

    def move(self, way: int) -> None:
        """Moves the cursor one row; at the end it stays."""
        if 0 <= self._at + way < len(self.rows):
            self._go(self._next(self._at + way, way))

    def _next(self, start: int, way: int) -> int:
        """The nearest row from `start` on that is no heading, else the nearest the other way, else -1."""
        for places in (range(max(0, start), len(self.rows)), range(min(start, len(self.rows) - 1), -1, -1))[::way]:
            for place in places:
                if self.rows[place].key:
                    return place
        return -1

    def _go(self, place: int) -> None:
        if place == self._at or not self.rows:
            return
        left, self._at = self._at, place
        # Two rows look different; a list that scrolls is drawn anew in any case.
        self.refresh_lines(left, 1)
        self.refresh_lines(place, 1)
        self._reveal()
        if self.key is not None:
            self.post_message(self.Pointed(self, self.key))

    def _reveal(self) -> None:
        top, height = round(self.scroll_offset.y), self.size.height
        if not height or self._at < 0:
            return
        # A heading right above the row comes into sight with it.
        above = self._at - 1 if self._at and not self.rows[self._at - 1].key else self._at
        if above < top:
            self.scroll_to(y=above, animate=False)
        elif self._at >= top + height:
            self.scroll_to(y=self._at - height + 1, animate=False)

    def action_move(self, way: int) -> None:
        place = self._next(self._at + way, way) if 0 <= self._at + way < len(self.rows) else self._at
        if place == self._at:
            raise SkipAction  # At the end of the list the page around it may scroll.
        self._go(place)

    def action_page(self, way: int) -> None:
        far = self._at + way * max(1, self.size.height - 1)
        place = self._next(min(max(far, 0), len(self.rows) - 1), way)
        if place == self._at:
            raise SkipAction
        self._go(place)

    def action_end(self, way: int) -> None:
        self._go(self._next(0, 1) if way < 0 else self._next(len(self.rows) - 1, -1))

    def action_choose(self) -> None:
        if self.key is not None:
            self.post_message(self.Chosen(self, self.key))

    def on_click(self, event: events.Click) -> None:
        place = event.y + round(self.scroll_offset.y)
        if 0 <= place < len(self.rows) and self.rows[place].key:
            again = place == self._at
            self._go(place)
            if again or event.chain > 1:
                self.action_choose()

    def on_resize(self) -> None:
        self.virtual_size = Size(self.size.width, max(1, len(self.rows)))
        self._reveal()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return max(1, len(self.rows))

    def render_line(self, y: int) -> Strip:
        place, width = y + round(self.scroll_offset.y), self.scrollable_size.width
        if not self.rows:
            return self.paint(self.empty if y == 0 else (), width)
        if place >= len(self.rows):
            return self.paint((), width)
        row = self.rows[place]
        if not row.key:
            return self.paint(row.draw(width), width)
        here = place == self._at
        mark = ("▸", "accent") if here else (" ", "plain")
        if here and self.has_focus and self.app.native_ansi_color:
            return self._reversed(self.paint((mark, *row.draw(width - 1)), width))
        return self.paint((mark, *row.draw(width - 1)), width, self._under() if here else None)

    @staticmethod
    def _reversed(strip: Strip) -> Strip:
        """The cursor in 16 colours, where its ground may be the very colour of the words; bars stay as they are."""
        turned = Style(reverse=True, bold=True)
        return Strip([Segment(text, style if FILLS & {*text} else (style or Style()) + turned, control)
                      for text, style, control in strip], strip.cell_length)

    def _under(self) -> Style:
        under = inks_of(self.app)["cursor"]
        return Style(bgcolor=under.bgcolor, bold=True) if self.has_focus else Style(bold=True)
