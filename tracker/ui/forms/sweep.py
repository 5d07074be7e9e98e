"""Over the Sound view: reading a recording of the sweep, and two measurements over one another."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.services.sweep_answers import SweepComparison
from tracker.ui import ask
from tracker.ui.forms.form import Form, Panel
from tracker.ui.ink import Line, Sheet, spans, wrapped
from tracker.ui.widgets.drawing import Drawing, Margin
from tracker.ui.widgets.sweep_overlay import decay_overlay, overlay_caption, response_overlay, verdict_lines

if TYPE_CHECKING:
    from textual.widget import Widget

    from tracker.services.sweeping import ReadingBySteps
    from tracker.ui.view import View

SHOW_EVERY_S = 0.2
"""How often the share of the reading that is done is drawn."""
STOPPED = "Stopped; nothing is stored."


class SweepForm(Form):
    """A recording of the sweep, kept as one position of a measurement of the room on show.

    It is read on a thread of its own; while that goes on the fields stand still, and escape stops it.
    """

    NAME = "sweep"
    TITLE_TEXT = "Read a recording of the sweep"
    ACCEPT = "read and keep"
    WORDS = (("recording", "file", "path of the WAV, FLAC or AIFF"),
             ("name", "name", "e.g. bare, or after one; positions of one name are averaged"),
             ("phase", "after", "bare, a phase's name; empty: what the diary says of the day"),
             ("position", "position", "1, 2 ...; empty: the next free one"),
             ("again", "replace", "yes: takes the place of that position's recording"),
             ("channel", "channel", "only where they differ, from 1"),
             ("date", "on", "today, or e.g. 2026-03-20"),
             ("temperature", "degC", "narrows what is uncertain"), ("humidity", "humidity %", "as the room's"),
             ("signal", "sweep", "its file, if it was not written from this store"))

    def __init__(self, over: View) -> None:
        super().__init__(over)
        self._reading: ReadingBySteps | None = None
        self._steps: asyncio.Task[Outcome] | None = None
        self._busy = self._stopped = False
        self._typing_in: Widget | None = None

    @property
    def title_words(self) -> str:
        room = self.over.room
        return f"{self.TITLE_TEXT}: {room.name}" if room is not None else self.TITLE_TEXT

    def content(self) -> ComposeResult:
        for name, word, hint in self.WORDS:
            yield self.field(name, word, hint)
        yield self.trouble

    def on_mount(self) -> None:
        self.set_focus(self.fields["recording"])

    def keys(self) -> Line:
        if self._busy:
            return spans((" esc", "accent@screen.leave"), (" stop", "muted@screen.leave"))
        return super().keys()

    def action_accept(self) -> None:
        if not self._busy:
            self._typing_in = self.focused
            self.set_focus(None)
            self._hold(True)
            super().action_accept()

    def action_clear(self) -> None:
        if not self._busy:
            super().action_clear()

    def action_leave(self) -> None:
        """Stops the reading where one goes on; else leaves, and what was typed is kept."""
        if not self._busy:
            super().action_leave()
        elif self._reading is None or self._reading.stop():
            self._stopped = True
            if self._steps is not None:
                self._steps.cancel()

    def on_unmount(self) -> None:
        if self._reading is not None:
            self._reading.stop()

    async def save(self) -> Outcome:
        shown = self.set_interval(SHOW_EVERY_S, self._show_step)
        try:
            if self._stopped:
                raise Refused(STOPPED)
            self._show_step()
            self._steps = asyncio.create_task(self._read_and_keep(self._words()))
            return await self._steps
        except asyncio.CancelledError:
            if self._stopped:
                raise Refused(STOPPED) from None
            raise
        finally:
            shown.stop()
            self._steps = self._reading = None
            self._hold(False)

    def _words(self) -> dict[str, object]:
        room = self.over.room
        if room is None:
            raise Refused("there is no room: a site file names them")
        words = {name: self.text(name) for name, _, _ in self.WORDS}
        if not words["recording"]:
            raise Refused("recording: type the path of the file the sweep was recorded to")
        again = words.pop("again").casefold()
        if again not in ("", "yes", "y", "no", "n"):
            raise Refused("again: type yes, or leave it empty")
        words["on"] = words.pop("date")
        return {**words, "room": room.name, "again": again in ("yes", "y")}

    async def _read_and_keep(self, words: dict[str, object]) -> Outcome:
        """Only looking up and keeping ask the store's thread, which stays free for others between."""
        self._reading = reading = await self.app.db(ask.reading_sweep, words)
        await asyncio.to_thread(reading.read)
        return await self.app.db(ask.keep_sweep, reading)

    def _hold(self, busy: bool) -> None:
        """Has the fields stand still while what they say is read, and the keys say what goes."""
        self._busy, self._stopped = busy, False
        for field in self.fields.values():
            field.disabled = busy
        if not busy:
            self.set_focus(self._typing_in)
        self.trouble.show(lambda width: [])
        self.key_row.show(lambda width: [self.keys()])

    def _show_step(self) -> None:
        step, done = (self._reading.step, self._reading.done) if self._reading else ("looking where it goes", 0.0)
        self.trouble.show(lambda width: [spans((" ~ ", "order"), (f"{done:4.0%}  {step}", "muted"))])

    def refuse(self, sentence: str) -> None:
        if sentence == STOPPED:
            self.trouble.show(lambda width: [spans((f" {sentence}", "plain"))])
        else:
            super().refuse(sentence)


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


FORMS = {"sweep": SweepForm, "before-after": OverlayPanel}
