"""Taking back the last change: says which, Enter takes it back."""

from __future__ import annotations

from textual import work
from textual.app import ComposeResult

from tracker.services.answers import Outcome
from tracker.ui import ask
from tracker.ui.forms.form import Form, Panel
from tracker.ui.ink import Line, Sheet, spans, wrapped


class UndoForm(Form):
    """Shows the last change, whatever it was."""

    NAME = "undo"
    TITLE_TEXT = "Take back"
    ACCEPT = "take it back"

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self._last: str | None = ""

    def content(self) -> ComposeResult:
        self.sentence = Sheet(lambda width: [(), (), ()], id="sentence")
        yield self.sentence
        yield self.trouble

    def keys(self) -> Line:
        """Nothing to take back: nothing to accept."""
        return Panel.keys(self) if self._last is None else super().keys()

    def action_accept(self) -> None:
        """Takes it back; where there is nothing to, only leaves."""
        if self._last is None:
            self.action_leave()
        else:
            super().action_accept()

    def on_mount(self) -> None:
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads what would be taken back."""
        last = self._last = await self.app.db(ask.last_change)
        said, role = (last, "strong") if last else ("Nothing to take back.", "muted")
        self.key_row.show(lambda width: [self.keys()])
        self.sentence.show(lambda width: [(), *wrapped(said, role, width - 2, spans(" ")), ()])

    async def save(self) -> Outcome:
        # What stands in the form, and nothing that another program did since.
        return await self.app.db(ask.undo_last, self._last or await self.app.db(ask.last_change) or "")


FORMS = {"undo": UndoForm}
