"""Over the Sound view: two measurements over one another."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll

from tracker.services.sweep_answers import SweepComparison
from tracker.ui import ask
from tracker.ui.forms.form import Panel
from tracker.ui.ink import Line, Sheet, spans, wrapped
from tracker.ui.widgets.drawing import Drawing, Margin
from tracker.ui.widgets.sweep_overlay import decay_overlay, overlay_caption, response_overlay, verdict_lines

if TYPE_CHECKING:

    pass

NARROW = 80
"""Columns under which the two charts have no room for every band's name."""


class OverlayPanel(Panel):
    """Two measurements over one another; left and right change the first, up and down the other."""

    TITLE_TEXT = "Before and after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "first(-1)", "before", id="overlay.previous-before", show=False, tooltip="Another before"),
        Binding("right", "first(1)", "before", id="overlay.next-before", show=False, tooltip="Another before"),
        Binding("up", "second(-1)", "after", id="overlay.previous-after", show=False, tooltip="Another after"),
        Binding("down", "second(1)", "after", id="overlay.next-after", show=False, tooltip="Another after"),
        Binding("pagedown", "scroll(1)", "more", id="overlay.more", show=False, tooltip="Further down"),
        Binding("pageup", "scroll(-1)", "back", id="overlay.back", show=False, tooltip="Back up"),
    ]

    def __init__(self, over: object) -> None:
        super().__init__(over)
        margin = Margin(left=5, right=2, bottom=1)
        self.top = Sheet(id="overlay-title")
        self.decay = Drawing(true=False, margin=margin, id="overlay-decay")
        self.response = Drawing(true=False, margin=margin, id="overlay-response")
        self.verdicts = Sheet(id="overlay-verdicts")
        self._names: tuple[str, ...] = ()
        self._pair = (0, 0)

    def content(self) -> ComposeResult:
        yield self.top
        with Horizontal(id="overlay-charts"):
            yield self.decay
            yield self.response
        with VerticalScroll(id="overlay-figures", can_focus=False):
            yield self.verdicts

    def keys(self) -> Line:
        return spans((" ←→", "accent"), (" before ", "muted"), (" ↑↓", "accent"), (" after ", "muted"), *super().keys())

    def on_mount(self) -> None:
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads which measurements there are; the barest state and the one with most up stand over one another."""
        room, pair = self.over.room, [self._names[at] for at in self._pair] if self._names else ["", ""]
        found = await self.app.db(ask.sweep_list)
        barest_first = sorted(found.measurements, key=lambda one: one.up_m2)
        self._names = tuple(one.name for one in barest_first if room is not None and one.room == room.name)
        if len(self._names) < 2:
            text = ("Two measurements of this room read from recordings are needed; r in the Sound view reads one, and "
                    "`sabinry sweep write FILE.wav` writes the sweep.")
            self.query_one("#overlay-charts").display = False
            self.verdicts.show(lambda width: wrapped(text, "plain", width - 2, spans(" ")))
            return
        first, second = (self._names.index(name) if name in self._names else at
                         for name, at in zip(pair, (0, len(self._names) - 1), strict=True))
        self._pair = first, second
        await self._compare()

    async def _compare(self) -> None:
        room = self.over.room
        if room is None or len(self._names) < 2:
            return
        first, second = (self._names[at] for at in self._pair)
        self._show(await self.app.db(ask.compare_sweeps, first, second, room.name))

    def _show(self, found: SweepComparison) -> None:
        self.top.show(lambda width: overlay_caption(found, width))
        narrow = self.app.size.width < NARROW
        self.decay.show(*decay_overlay(found, narrow))
        self.response.show(*response_overlay(found, narrow))
        self.verdicts.show(lambda width: verdict_lines(found, width))

    def action_first(self, way: int) -> None:
        """Takes another measurement as the one before."""
        self._turn(0, way)

    def action_second(self, way: int) -> None:
        """Takes another measurement as the one after."""
        self._turn(1, way)

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def _turn(self, at: int, way: int) -> None:
        count, pair = len(self._names), [*self._pair]
        if count < 3:
            return
        pair[at] = (pair[at] + way) % count
        if pair[0] == pair[1]:
            pair[at] = (pair[at] + way) % count
        self._pair = (pair[0], pair[1])
        await self._compare()

    def action_scroll(self, way: int) -> None:
        """Scrolls the figures."""
        pane = self.query_one("#overlay-figures", VerticalScroll)
        pane.scroll_relative(y=way * max(1, pane.size.height - 2), animate=False)


FORMS = {"before-after": OverlayPanel}
