"""Sound: absorption area and decay time over the bands: bare, now and planned, and what each phase adds."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll

from tracker.domain.bands import BANDS_HZ
from tracker.services.answers import RoomSound, SoundReport
from tracker.ui import ask
from tracker.ui.ink import Sheet
from tracker.ui.view import View
from tracker.ui.widgets.curves import area_shapes, decay_shapes
from tracker.ui.widgets.drawing import Drawing, Margin
from tracker.ui.widgets.sound_table import caption, sound_lines

BANDS = len(BANDS_HZ)


class SoundView(View):
    """A chart over the six bands and the figures beneath it."""

    NAME = "sound"
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "other", "area or decay", id="sound.other", tooltip="Decay time or absorption area"),
        Binding("left", "room(-1)", "room", id="sound.previous-room", show=False, tooltip="The room before"),
        Binding("right", "room(1)", "room", id="sound.next-room", show=False, tooltip="The next room"),
        Binding("pagedown,down", "scroll(1)", "more", id="sound.more", show=False, tooltip="Further down the figures"),
        Binding("pageup,up", "scroll(-1)", "back", id="sound.back", show=False, tooltip="Back up the figures"),
    ]

    def __init__(self) -> None:
        super().__init__()
        margin = Margin(left=5, right=3, bottom=1)
        self.top = Sheet(id="sound-title")
        self.decay = Drawing(true=False, margin=margin, id="decay")
        self.area = Drawing(true=False, margin=margin, id="area")
        self.table = Sheet(id="table")
        self._rooms: tuple[RoomSound, ...] = ()
        self._room = 0
        self._area = False

    def body(self) -> ComposeResult:
        yield self.top
        with Container(id="charts"):
            yield self.decay
            yield self.area
        with VerticalScroll(id="figures", can_focus=False):
            yield self.table

    async def read(self) -> SoundReport:
        return await self.app.db(ask.sound_report)

    def show(self, answer: SoundReport) -> None:
        self._rooms = answer.rooms
        self._room = min(self._room, max(0, len(answer.rooms) - 1))
        self._draw()

    def _draw(self) -> None:
        if not self._rooms:
            return
        room, count, area = self._rooms[self._room], len(self._rooms), self._area
        self.set_class(area, "-area")
        self.top.show(lambda width: caption(room, self._room + 1, count, area and not self.has_class("-wide"), width))
        self.decay.show(*decay_shapes(room))
        self.area.show(*area_shapes(room))
        self.table.show(lambda width: sound_lines(room, area, width))

    def action_other(self) -> None:
        """Changes between decay time and absorption area."""
        self._area = not self._area
        self._draw()

    def action_room(self, way: int) -> None:
        """Goes to another room."""
        if self._rooms:
            self._room = (self._room + way) % len(self._rooms)
            self._draw()

    def action_scroll(self, way: int) -> None:
        """Scrolls the figures."""
        pane = self.query_one("#figures", VerticalScroll)
        pane.scroll_relative(y=way * max(1, pane.size.height - 2), animate=False)


SCREEN = SoundView
