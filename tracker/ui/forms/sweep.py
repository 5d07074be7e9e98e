"""Over the Sound view: reading a recording of the sweep."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual.app import ComposeResult

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.ui import ask
from tracker.ui.forms.form import Form
from tracker.ui.ink import Line, spans

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
    HOLDS_KEYS = False
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

    def refuse(self, sentence: str, to_field: bool = True) -> None:
        if sentence == STOPPED:
            self.trouble.show(lambda width: [spans((f" {sentence}", "plain"))])
        else:
            super().refuse(sentence, to_field)


FORMS = {"sweep": SweepForm}
