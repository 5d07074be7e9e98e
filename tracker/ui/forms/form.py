"""What every form has in common: a title, fields, the refusal where it arose, Enter to accept, escape to leave."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from rich.console import RenderableType
from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.renderables.background_screen import BackgroundScreen
from textual.screen import ModalScreen
from textual.widgets import Input
from textual.worker import Worker, WorkerState

from tracker.domain.errors import Refused
from tracker.ui import figures
from tracker.ui.forms.field import Field
from tracker.ui.in_keys import in_keys
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.view import QuickScreen
from tracker.ui.widgets.dimmed import Dimmed

if TYPE_CHECKING:
    from tracker.services.answers import Outcome
    from tracker.ui.keys_in_turn import HeldKeys
    from tracker.ui.view import View


class Panel(QuickScreen["Outcome | None"], ModalScreen["Outcome | None"]):
    """Something laid over a view; escape leaves it."""

    TITLE_TEXT: ClassVar[str] = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave", id="form.leave", tooltip="Leave; what was typed is kept"),
    ]
    AUTO_FOCUS = ""

    def __init__(self, over: View) -> None:
        super().__init__()
        self.over = over
        self.title_row = Sheet(lambda width: [spans((fit(f" {self.heading}", width), "tape-name"))], id="panel-title")
        self.key_row = Sheet(lambda width: [self.keys()], id="panel-keys")

    def render(self) -> RenderableType:
        ground = super().render()
        return Dimmed(ground.screen, ground.color) if isinstance(ground, BackgroundScreen) else ground

    def compose(self) -> ComposeResult:
        with Vertical(id="panel"):
            yield self.title_row
            yield from self.content()
            yield self.key_row

    @property
    def heading(self) -> str:
        """The words on the tape along the top."""
        return self.TITLE_TEXT

    def content(self) -> ComposeResult:
        """What stands between title and keys."""
        yield from ()

    def keys(self) -> Line:
        """The row of keys."""
        return spans((" esc", "accent@screen.leave"), (" leave", "muted@screen.leave"))

    def follow(self) -> None:
        """Reads now, and again at each change of the store, another program's too."""
        self.app.changed.subscribe(self, lambda parts: self.begin())
        self.begin()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads what it shows; what was typed or chosen stays."""

    def action_leave(self) -> None:
        """Leaves without changing anything."""
        self.dismiss(None)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.app.trouble(event.worker.error)


class Form(Panel):
    """A panel with fields that asks a service to change something and leaves with its outcome."""

    NAME: ClassVar[str] = ""
    ACCEPT: ClassVar[str] = "accept"
    HOLDS_KEYS: ClassVar[bool] = True
    """Whether keys wait while the service is asked; not where that takes long and can be stopped."""
    PROSE: ClassVar[frozenset[str]] = frozenset({"note", "lesson"})
    """Fields of running text: typing adds to what stands there, and does not replace it."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "accept", "accept", id="form.accept", tooltip="Accept what the form says"),
        Binding("f8", "clear", "start over", id="form.clear", tooltip="Drop what was typed and start over"),
    ]

    def __init__(self, over: View) -> None:
        super().__init__(over)
        self.fields: dict[str, Input] = {}
        self.rows: dict[str, Field] = {}
        self.given: dict[str, str] = {}
        """What each field says before anything is typed; empty where left out."""
        self._accepting = False
        self._seen: dict[str, str] = {}
        """What each field was last known to say."""
        self.trouble = Sheet(id="trouble")

    def field(self, name: str, word: str, hint: str = "", value: str = "") -> Field:
        """A field; a draft of it left earlier comes back, and what is typed then goes on from its end."""
        self.given[name] = value
        made = Field(name, word, hint, self.app.drafts.of(self.draft_name).get(name, value), goes_on=name in self.PROSE)
        self.fields[name], self.rows[name] = made.input, made
        self._seen[name] = made.input.value
        return made

    @property
    def draft_name(self) -> str:
        """Where the draft of this form is kept."""
        return self.NAME

    @property
    def heading(self) -> str:
        if self.draft_name not in self.app.drafts:
            return self.title_words
        saved = self.app.drafts.saved(self.draft_name)
        when = f", on {figures.day(saved.astimezone())} at {saved.astimezone():%H:%M}" if saved else ""
        return f"{self.title_words}: typed before{when}"

    @property
    def title_words(self) -> str:
        """What the form is for."""
        return self.TITLE_TEXT

    def text(self, name: str) -> str:
        """What stands in a field."""
        return self.fields[name].value.strip()

    def keys(self) -> Line:
        more = spans(("  f8", "accent@screen.clear"), (" start over", "muted@screen.clear"))
        tab = spans((" tab", "accent"), (" next field  ", "muted")) if len(self.fields) > 1 else ()
        return spans((f" {self.app.enter_name}", "accent@screen.accept"),
                     (f" {self.ACCEPT}  ", "muted@screen.accept"), *self.more_keys(), *tab, *super().keys(),
                     *(more if self.draft_name in self.app.drafts else ()))

    def more_keys(self) -> Iterator[tuple[str, str]]:
        """Keys of one form."""
        yield from ()

    def fill_in(self) -> None:
        """Shows in every field what was typed into it, or what it says before anything is typed."""
        self.take_up()
        typed = self.app.drafts.of(self.draft_name)
        for name, field in self.fields.items():
            wanted = typed.get(name, self.given.get(name, ""))
            if field.value != wanted:
                self._seen[name] = wanted
                with self.prevent(Input.Changed):
                    field.value = wanted
                if field.has_focus and name not in self.PROSE:
                    field.action_select_all()
        self.key_row.show(lambda width: [self.keys()])

    def on_input_changed(self, event: Input.Changed) -> None:
        name = (event.input.id or "").removeprefix("field-")
        if name in self.fields:
            self.take_up()

    def take_up(self) -> None:
        """Keeps what was typed since the form last looked: a field changes before the form hears of it."""
        for name, field in self.fields.items():
            if field.value != self._seen[name]:
                self._seen[name] = field.value
                self._keep(name, field.value)

    def _keep(self, name: str, value: str) -> None:
        before = self.draft_name in self.app.drafts
        self.app.drafts.note(self.draft_name, name, None if value == self.given.get(name, "") else value)
        if before != (self.draft_name in self.app.drafts):
            self.key_row.show(lambda width: [self.keys()])
        self.trouble.show(lambda width: [])
        self.typed(name)

    def typed(self, name: str) -> None:
        """A field changed."""

    def on_input_submitted(self) -> None:
        self.action_accept()

    def action_leave(self) -> None:
        """Leaves without changing anything; what was typed is kept."""
        self.app.keep_drafts()
        super().action_leave()

    def action_clear(self) -> None:
        """Drops what was typed and shows the form as it began."""
        self.take_up()
        self.app.drafts.drop(self.draft_name)
        self.app.forget_said_of_drafts()
        self.fill_in()
        self.title_row.show(lambda width: [spans((fit(f" {self.heading}", width), "tape-name"))])
        self.trouble.show(lambda width: [])
        for field in list(self.fields.values())[:1]:
            self.set_focus(field)

    def action_accept(self) -> None:
        """Asks the service, once; a refusal is shown in the form. Keys that come meanwhile are for what follows."""
        if not self._accepting:
            self._accepting = True
            self._accept(self.app.hold_keys() if self.HOLDS_KEYS else None)

    @work(group="accept", exit_on_error=False)
    async def _accept(self, held: HeldKeys | None) -> None:
        try:
            await self._save()
        finally:
            self._accepting = False
            if held is not None:
                self.app.give_keys(held)

    async def _save(self) -> None:
        try:
            outcome = await self.save()
        except Refused as refusal:
            self.refuse(str(refusal))
            return
        self.take_up()
        self.app.drafts.drop(self.draft_name)
        self.app.keep_drafts()
        self.dismiss(outcome)

    async def save(self) -> Outcome:
        """Asks the service for the change."""
        raise NotImplementedError

    def refuse(self, sentence: str, to_field: bool = True) -> None:
        """Shows a refusal in the form's own words, and puts the cursor in the field it names."""
        said = in_keys(sentence)
        for name, row in self.rows.items():
            said = re.sub(rf" (?:with )?--{re.escape(name)}\b", f" (in the field {row.word})", said)
        for name, field in self.fields.items():
            if sentence.startswith(f"{name}:") or sentence.startswith(f"{name} "):
                if to_field:
                    self.set_focus(field)
                said = self.rows[name].word + said.removeprefix(name)
        self.trouble.show(lambda width: wrapped(said, "short", width - 1, spans((" ! ", "short"))))
