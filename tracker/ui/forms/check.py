"""The check before a wall is begun: yes or no in letters one can read from a ladder, and why."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll

from tracker.domain.errors import Refused
from tracker.services.answers import Check, ItemNeed
from tracker.ui import ask, figures
from tracker.ui.forms.field import Field
from tracker.ui.forms.form import Panel
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.states import role_of, signed
from tracker.ui.widgets.bars import beside, big_width
from tracker.ui.widgets.heading import heading

ANSWERS = {"ready": "YES", "under way": "YES", "done": "DONE", "short": "NO", "on order": "NO", "waiting": "NO"}


class CheckForm(Panel):
    """One target at a time; up and down walk through all of them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "choose(-1)", "target", id="check.previous", show=False, tooltip="The target before"),
        Binding("down", "choose(1)", "target", id="check.next", show=False, tooltip="The next target"),
        Binding("enter", "leave", "leave", id="check.leave", show=False, tooltip="Leave"),
        Binding("pagedown", "scroll(1)", "more", id="check.more", show=False, tooltip="Further down"),
        Binding("pageup", "scroll(-1)", "back", id="check.back", show=False, tooltip="Back up"),
    ]
    TITLE_TEXT = "Can it be started?"

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self.answer = Sheet(id="answer-sheet")
        self._targets: tuple[str, ...] = ()
        self._unit = "mm"

    def content(self) -> ComposeResult:
        self.named = Field("target", "target", "a bay, a plane, a phase or a room", self.over.target or "")
        yield self.named
        with VerticalScroll(id="answer-scroll", can_focus=False):
            yield self.answer

    def keys(self) -> Line:
        return spans(*self._walk(), *super().keys())

    def _walk(self) -> Iterator[tuple[str, str]]:
        yield from ((" ↑↓", "accent"), (" bay by bay  ", "muted"))

    def on_mount(self) -> None:
        self.set_focus(self.named.input)
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the names of what can be checked, and checks the first."""
        site = await self.app.kept(ask.site_view)
        self._unit = site.unit
        bays = [bay for plane in site.planes for bay in plane.bays]
        self._targets = tuple(dict.fromkeys([*(bay.target for bay in bays), *(task.key for task in site.tasks)]))
        if not self.named.input.value and self._targets:
            self.named.input.value = self._targets[0]
        self.look()

    def action_choose(self, way: int) -> None:
        """Goes to another target."""
        if self._targets:
            value = self.named.input.value
            place = self._targets.index(value) + way if value in self._targets else 0
            self.named.input.value = self._targets[place % len(self._targets)]

    def action_scroll(self, way: int) -> None:
        """Scrolls the answer."""
        self.query_one("#answer-scroll", VerticalScroll).scroll_relative(y=way * 5, animate=False)

    def on_input_changed(self) -> None:
        self.look()

    def on_input_submitted(self) -> None:
        self.action_leave()

    @work(exclusive=True, group="check", exit_on_error=False)
    async def look(self) -> None:
        """Checks the target named."""
        target = self.named.input.value.strip()
        if not target:
            return
        try:
            found = await self.app.db(ask.check_start, target)
        except Refused as refusal:
            sentence = str(refusal)
            self.answer.show(lambda width: [(), *wrapped(sentence, "short", width - 2, spans((" ! ", "short")))])
            return
        unit = self._unit
        self.answer.show(lambda width: check_lines(found, unit, width))


def check_lines(check: Check, unit: str, width: int) -> list[Line]:
    """The answer in a big word, the reason, what it needs, what to look out for."""
    word = ANSWERS[check.verdict]
    room = width - big_width(word) - 1
    name = figures.named(check.target, check.step)
    said = [spans((name + "  ", "strong"), signed(check.verdict)), *wrapped(check.reason, "plain", room)]
    lines: list[Line] = [(), *beside(word, role_of(check.verdict), said)]
    lines += [spans("  ", " " * (big_width(word) - 2), *line) for line in said[3:]]
    if check.items:
        lines += [*heading("It needs", width), *_table(check.items, unit, width)]
    for warning in check.warnings:
        lines += wrapped(warning.text, "order", width - 2, spans((" ! ", "order")))
    for caution in check.cautions:
        lines += wrapped(caution, "note", width - 2, spans((" · ", "note")))
    return lines


def _table(items: tuple[ItemNeed, ...], unit: str, width: int) -> list[Line]:
    name, cell = max(12, width - 3 - 5 * 9), 9
    titles = ("need", "on hand", "offcuts", "held", "short")
    head = ((fit(word, cell, right=True), "title") for word in titles)
    lines: list[Line] = [spans((fit("", name + 3), "plain"), *head)]
    for need in items:
        amounts = (need.need, need.on_hand, need.offcuts_used, need.held, need.short)
        sign = ("+", "ready") if not need.short else ("~", "order") if need.on_order >= need.short else ("!", "short")
        cells = [(fit(figures.number(amount) if amount else "·", cell, right=True),
                  "short" if word == "short" and amount else "plain" if amount else "muted")
                 for word, amount in zip(titles, amounts, strict=True)]
        lines.append(spans(" ", sign, " ", (fit(need.item, name), "plain"), *cells))
        if need.on_order and need.due:
            words = f"{figures.quantity(need.on_order, need.unit, unit)} on order, here {figures.day(need.due)}"
            lines.append(spans(" " * (name + 3), (fit(words, 5 * cell, right=True), "order")))
    return lines


FORMS = {"check": CheckForm}
