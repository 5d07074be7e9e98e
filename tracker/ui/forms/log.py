"""Logging a day's work: prefilled with the likeliest stretch of work; Enter accepts."""

from __future__ import annotations

from asyncio import sleep
from collections.abc import Iterator
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.domain.errors import Refused
from tracker.services.answers import LogChoice, LogPreview, Outcome
from tracker.ui import ask, figures
from tracker.ui.forms.form import Form
from tracker.ui.forms.pairs import read_pairs
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.states import signed
from tracker.ui.widgets.row_list import Row, RowList

WAIT_S = 0.15
"""How long typing must rest before the use is worked out again."""


class LogForm(Form):
    """What was done, how much of it, in how many hours."""

    NAME = "log"
    TITLE_TEXT = "Log work"
    ACCEPT = "log it"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "choose(-1)", "work", id="log.previous", show=False, tooltip="The stretch of work before"),
        Binding("down", "choose(1)", "work", id="log.next", show=False, tooltip="The next stretch of work"),
    ]

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self.works = RowList(id="form-works", empty=spans(("  Everything is done.", "muted")))
        self.works.can_focus = False
        self.preview = Sheet(lambda width: [()] * 3, id="preview")
        self._choices: dict[str, LogChoice] = {}
        self._unit = "mm"

    @property
    def draft_name(self) -> str:
        """A draft belongs to the work it was begun over; from a view without one, the newest comes back."""
        if self.over.target is None:
            return next((name for name in reversed(self.app.drafts) if name.startswith("log ")), "log ")
        return f"log {self.over.target} {self.over.step or ''}"

    @property
    def heading(self) -> str:
        return f"{self.TITLE_TEXT}: typed before" if self.draft_name in self.app.drafts else self.TITLE_TEXT

    def content(self) -> ComposeResult:
        yield self.works
        yield self.field("hours", "hours", "h:mm, or 1.5")
        yield self.field("note", "note", "what to know next time")
        yield self.field("lesson", "lesson", "what to do better from now on")
        yield self.field("done", "done", "100 % unless said")
        yield self.field("spoiled", "spoiled", "e.g. wool board 50 = 1")
        yield self.field("used", "used", "as the cut list says, unless said")
        yield self.field("on", "day", "today, unless said")
        yield self.preview
        yield self.trouble

    def on_mount(self) -> None:
        self.fields["hours"].focus()
        self.begin()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads what can be logged, the likeliest first; the work under the cursor of the view goes before."""
        self._unit = await self.app.db(ask.site_unit)
        choices = await self.app.db(ask.log_choices)
        wanted = (self.over.target, self.over.step)
        here = [choice for choice in choices if choice.target == wanted[0]]
        if here and wanted[1] not in (None, here[0].step):
            found = await self.app.db(ask.check_start, here[0].target, wanted[1])
            here = [LogChoice(here[0].target, found.step, 0.0, found.verdict)]
        first = here + [choice for choice in choices if choice.target != wanted[0]]
        self._choices = {_key(choice): choice for choice in first}
        self.works.styles.height = max(1, min(5 if self.app.size.height >= 24 else 3, len(first)))
        kept = self.app.drafts.get(self.draft_name, {}).get("work")
        self.works.show([Row(_key(choice), lambda width, choice=choice: _row(choice, width)) for choice in first], kept)
        self.look_ahead()

    @property
    def choice(self) -> LogChoice | None:
        """The stretch of work under the cursor."""
        return self._choices.get(self.works.key or "")

    def more_keys(self) -> Iterator[tuple[str, str]]:
        yield from ((" ↑↓", "accent"), (" work  ", "muted"))

    def action_choose(self, way: int) -> None:
        """Goes to another stretch of work."""
        self.works.move(way)
        if self.works.key is not None:
            self.app.drafts.setdefault(self.draft_name, {})["work"] = self.works.key
        self.look_ahead()

    def typed(self, name: str) -> None:
        if name in ("done", "spoiled", "used"):
            self.look_ahead(WAIT_S)

    @work(exclusive=True, group="preview", exit_on_error=False)
    async def look_ahead(self, wait_s: float = 0.0) -> None:
        """Works out what the entry would use and leave."""
        await sleep(wait_s)
        if self.choice is None:
            return
        try:
            words = self._words()
            found = await self.app.db(ask.preview_words, words)
        except Refused as refusal:
            self.refuse(str(refusal))
            return
        unit = self._unit
        self.preview.show(lambda width: _preview(found, unit, width))

    def _words(self) -> dict[str, object]:
        """The form as words; what is empty is not said."""
        choice = self.choice
        if choice is None:
            raise Refused("there is nothing to log: every step is done")
        said: dict[str, object] = {"target": choice.target, "step": choice.step}
        for name in ("hours", "note", "lesson", "done", "on"):
            if self.text(name):
                said[name] = self.text(name)
        for name in ("used", "spoiled"):
            if self.text(name):
                said[name] = read_pairs(name, self.text(name))
        return said

    async def save(self) -> Outcome:
        return await self.app.db(ask.log_words, self._words())


def _key(choice: LogChoice) -> str:
    return f"{choice.target}\n{choice.step or ''}"


def _row(choice: LogChoice, width: int) -> Line:
    part = f"{figures.percent(choice.progress)} done" if choice.progress else ""
    return spans((fit(figures.named(choice.target, choice.step), max(12, width - 28)), "strong"),
                 signed(choice.verdict, 12), (f" {part}", "muted"))


def _preview(found: LogPreview, unit: str, width: int) -> list[Line]:
    uses = [f"{figures.quantity(amount, of, unit)} of {item}" for item, amount, of in found.uses]
    if found.offcuts_used:
        uses.append(f"offcut {figures.listed(found.offcuts_used)}")
    lines = wrapped("uses " + (", ".join(uses) if uses else "nothing from stock"), "plain", width - 1, spans(" "))[:2]
    if found.offcuts_made:
        more = len(found.offcuts_made) - 3
        sizes = ", ".join(found.offcuts_made[:3]) + (f" and {more} more" if more > 0 else "")
        lines += wrapped(f"leaves {sizes}", "muted", width - 1, spans(" "))[:1]
    for need in found.short[:1]:
        lack = figures.quantity(need.short, need.unit, unit)
        lines.append(spans((f" ! the book is short of {lack} of {need.item}: c counts it", "short")))
    return [*lines[:3], *((),) * (3 - len(lines))]


FORMS = {"log": LogForm}
