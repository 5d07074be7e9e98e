"""Forms about one row of a list: up and down go to another, and what was typed comes along."""

from __future__ import annotations

from asyncio import Event
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual.worker import Worker

from tracker.ui.forms.form import Form
from tracker.ui.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from tracker.services.answers import Outcome


class ChoosingForm(Form):
    """A draft belongs to the row it was typed for, so that no other row is ever logged or counted with it."""

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self.choices = RowList(id="form-choices")
        self.choices.can_focus = False
        self.subject = self.first_subject()
        self._listed = Event()

    def first_subject(self) -> str:
        """The row that the cursor of the view points at, known before the list is read; empty where there is none."""
        raise NotImplementedError

    def given_for(self, subject: str) -> Mapping[str, str]:
        """What fields say for a row before anything is typed; empty where left out."""
        return {}

    def chosen(self) -> None:
        """The form is about another row now."""

    @property
    def draft_name(self) -> str:
        return self.name_for(self.subject)

    def name_for(self, subject: str) -> str:
        """Where the draft for a row is kept."""
        return f"{self.NAME} {subject}"

    def drafted(self) -> list[str]:
        """The rows that something was typed for, the newest first."""
        start = self.name_for("")
        return [name.removeprefix(start) for name in reversed(list(self.app.drafts)) if name.startswith(start)]

    def list_choices(self, rows: Sequence[Row], first: str | None, most: int) -> None:
        """Shows the rows and begins with `first`."""
        self.choices.styles.height = max(1, min(most, len(rows)))
        # Typed while the list was being read: it belongs to the row that turns out to be first.
        self.take_up()
        self.choices.show(rows, first)
        self._turn_to(self.choices.key or "", self._any_typed)

    @property
    def _any_typed(self) -> bool:
        return self.draft_name in self.app.drafts and self.app.drafts.saved(self.draft_name) is None

    def action_choose(self, way: int) -> None:
        """Goes to another row; one with a draft of its own shows that."""
        self.choices.move(way)
        if self.choices.key is not None:
            self._turn_to(self.choices.key, True)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        super().on_worker_state_changed(event)
        if event.worker.group == "begin" and event.worker.is_finished:
            self._listed.set()

    async def save(self) -> Outcome:
        # Enter may come before the list has been read.
        await self._listed.wait()
        return await self.save_chosen()

    async def save_chosen(self) -> Outcome:
        """Asks the service for the change to the row chosen."""
        raise NotImplementedError

    def action_clear(self) -> None:
        """Drops what was typed for this row."""
        super().action_clear()
        self.choices.refresh()

    def _turn_to(self, subject: str, along: bool) -> None:
        self.take_up()
        drafts, old, new = self.app.drafts, self.draft_name, self.name_for(subject)
        if along and new not in drafts:
            drafts.move(old, new)
        self.subject = subject
        self.given.update({name: "" for name in self.given} | dict(self.given_for(subject)))
        self.fill_in()
        self.chosen()
