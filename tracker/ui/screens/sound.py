"""Sound: absorption area and decay time over the bands, what was measured, and what each phase adds and costs."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll

from tracker.domain.bands import BANDS_HZ
from tracker.services.sound_answers import RoomSound
from tracker.ui import ask
from tracker.ui.ink import Sheet
from tracker.ui.view import View
from tracker.ui.widgets.curves import area_shapes, decay_shapes
from tracker.ui.widgets.drawing import Drawing, Margin
from tracker.ui.widgets.raster import whole
from tracker.ui.widgets.sound_table import caption, sound_lines

BANDS = len(BANDS_HZ)


class SoundView(View):
    """A chart over the six bands with a cursor on one, and the figures beneath it."""

    NAME = "sound"
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "other", "area or decay", id="sound.other", tooltip="Decay time or absorption area"),
        Binding("enter", "app.form('sum')", "the sum", id="sound.sum", tooltip="The sum behind the band under the "
                "cursor"),
        Binding("m", "app.form('measured')", "measured", id="sound.measured", tooltip="Type in measured decay times"),
        Binding("i", "app.form('what-if')", "what if", id="sound.what-if", tooltip="What if: another thickness, gap "
                "or area"),
        Binding("b", "app.form('build-ups')", "build-ups", id="sound.build-ups", tooltip="Build-ups: which figures are "
                "counted with, and what each source says"),
        Binding("r", "app.form('sweep')", "recording", id="sound.recording", tooltip="Read a recording of the sweep"),
        Binding("v", "app.form('before-after')", "before and after", id="sound.before-after",
                tooltip="Two measurements over one another, and what changed in each band"),
        Binding("left", "band(-1)", "band", id="sound.previous-band", show=False, tooltip="The band before"),
        Binding("right", "band(1)", "band", id="sound.next-band", show=False, tooltip="The next band"),
        Binding("n", "room(1)", "room", id="sound.next-room", show=False, tooltip="The next room"),
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
        self.page: ask.SoundPage | None = None
        self.band = BANDS_HZ.index(500)
        self._room = 0
        self._area = False

    @property
    def room(self) -> RoomSound | None:
        """The room on show."""
        rooms = self.page.rooms if self.page else ()
        return rooms[self._room] if rooms else None

    def body(self) -> ComposeResult:
        yield self.top
        with Container(id="charts"):
            yield self.decay
            yield self.area
        with VerticalScroll(id="figures", can_focus=False):
            yield self.table

    async def read(self) -> ask.SoundPage:
        return await self.app.kept(ask.sound_page)

    def show(self, answer: ask.SoundPage) -> None:
        self.page = answer
        self._room = min(self._room, max(0, len(answer.rooms) - 1))
        self._draw()

    def _draw(self) -> None:
        room, page = self.room, self.page
        if room is None or page is None:
            return
        count, area = len(page.rooms), self._area
        self.set_class(area, "-area")
        self.top.show(lambda width: caption(room, self._room + 1, count, area and not self.has_class("-wide"), width))
        self.decay.show(*decay_shapes(room, self.band))
        self.area.show(*area_shapes(room, self.band))
        self.table.show(lambda width: sound_lines(room, page.worth, page.currency, area, self.band, width))

    def on_drawing_clicked(self, event: Drawing.Clicked) -> None:
        """Goes to the band nearest to the mouse; again on the one under the cursor: the sum behind it."""
        band = min(max(whole(event.at[0]), 0), BANDS - 1)
        if band == self.band:
            self.app.action_form("sum")
        else:
            self.action_band(band - self.band)

    def action_other(self) -> None:
        """Changes between decay time and absorption area."""
        self._area = not self._area
        self._draw()

    def action_band(self, way: int) -> None:
        """Moves the cursor to another band."""
        self.band = min(max(self.band + way, 0), BANDS - 1)
        self._draw()

    def action_room(self, way: int) -> None:
        """Goes to another room."""
        if self.page and self.page.rooms:
            self._room = (self._room + way) % len(self.page.rooms)
            self._draw()

    def action_scroll(self, way: int) -> None:
        """Scrolls the figures."""
        pane = self.query_one("#figures", VerticalScroll)
        pane.scroll_relative(y=way * max(1, pane.size.height - 2), animate=False)


SCREEN = SoundView
