"""What every form has in common: a title, fields, the refusal where it arose, Enter to accept, escape to leave."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen
from textual.widgets import Input
from textual.worker import Worker, WorkerState

from tracker.domain.errors import Refused
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped

if TYPE_CHECKING:
    from tracker.services.answers import Outcome
    from tracker.ui.app import SabinryApp
    from tracker.ui.view import View


class Field(Horizontal):
    """A word and the input beside it."""

    DEFAULT_CSS = "Field { height: 1; width: 100%; }"

    def __init__(self, name: str, word: str, hint: str = "", value: str = "") -> None:
        super().__init__()
        self.word = word
        self.input = Input(value, placeholder=hint, id=f"field-{name}", compact=True, select_on_focus=True)

    def compose(self) -> ComposeResult:
        word = spans((fit(f" {self.word}", 11), "title"))
        sheet = Sheet(lambda width: [word])
        sheet.styles.width = 11
        yield sheet
        yield self.input


class Panel(ModalScreen["Outcome | None"]):
    """Something laid over a view; escape leaves it."""

    TITLE_TEXT: ClassVar[str] = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave", id="form.leave", tooltip="Leave; what was typed is kept"),
    ]
    AUTO_FOCUS = ""

    app: SabinryApp

    def __init__(self, over: View) -> None:
        super().__init__()
        self.over = over

    def compose(self) -> ComposeResult:
        with Vertical(id="panel"):
            yield Sheet(lambda width: [spans((fit(f" {self.heading}", width), "tape-name"))], id="panel-title")
            yield from self.content()
            yield Sheet(lambda width: [self.keys()], id="panel-keys")

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
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "accept", "accept", id="form.accept", tooltip="Accept what the form says"),
    ]

    def __init__(self, over: View) -> None:
        super().__init__(over)
        self.fields: dict[str, Input] = {}
        self.trouble = Sheet(id="trouble")

    def field(self, name: str, word: str, hint: str = "", value: str = "") -> Field:
        """A field; a draft of it left earlier comes back."""
        kept = self.app.drafts.get(self.draft_name, {}).get(name)
        made = Field(name, word, hint, value if kept is None else kept)
        self.fields[name] = made.input
        return made

    @property
    def draft_name(self) -> str:
        """Where the draft of this form is kept."""
        return self.NAME

    def text(self, name: str) -> str:
        """What stands in a field."""
        return self.fields[name].value.strip()

    def keys(self) -> Line:
        return spans((" ↵", "accent@screen.accept"), (f" {self.ACCEPT}  ", "muted@screen.accept"), *self.more_keys(),
                     (" tab", "accent"), (" next field  ", "muted"), *super().keys())

    def more_keys(self) -> Iterator[tuple[str, str]]:
        """Keys of one form."""
        yield from ()

    def on_input_changed(self, event: Input.Changed) -> None:
        name = (event.input.id or "").removeprefix("field-")
        if event.input.has_focus:
            self.app.drafts.setdefault(self.draft_name, {})[name] = event.value
        self.trouble.show(lambda width: [])
        self.typed(name)

    def typed(self, name: str) -> None:
        """A field changed."""

    def on_input_submitted(self) -> None:
        self.action_accept()

    def action_accept(self) -> None:
        """Asks the service; a refusal is shown in the form."""
        self._accept()

    @work(exclusive=True, group="accept", exit_on_error=False)
    async def _accept(self) -> None:
        try:
            outcome = await self.save()
        except Refused as refusal:
            self.refuse(str(refusal))
            return
        self.app.drafts.pop(self.draft_name, None)
        self.dismiss(outcome)

    async def save(self) -> Outcome:
        """Asks the service for the change."""
        raise NotImplementedError

    def refuse(self, sentence: str) -> None:
        """Shows a refusal, and puts the cursor in the field it names."""
        self.trouble.show(lambda width: wrapped(sentence, "short", width - 1, spans((" ! ", "short"))))
        for name, field in self.fields.items():
            if sentence.startswith(f"{name}:") or sentence.startswith(f"{name} "):
                field.focus()


