"""Logging a day's work: prefilled with the likeliest stretch of work and the clock's hours; Enter accepts."""

from __future__ import annotations

from asyncio import sleep
from collections.abc import Iterator, Mapping
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.services.diary_answers import LogChoice, LogPreview
from tracker.ui import ask, figures
from tracker.ui.forms.choosing import ChoosingForm
from tracker.ui.forms.photos import PhotoPaths, found_line, photo_paths
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.states import signed
from tracker.ui.widgets.row_list import Row

CLOCK_EVERY_S = 5.0
"""How often the clock is read while the form is open; it is written in whole minutes."""
WAIT_S = 0.15
"""How long typing must rest before the use is worked out again."""


class LogForm(ChoosingForm):
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
        self.preview = Sheet(lambda width: [()] * 3, id="preview")
        self._choices: dict[str, LogChoice] = {}
        self._unit = "mm"
        self._clock = ask.ClockReading("", "", "", "")
        self._opened_row, self.over.opened_row = self.over.opened_row, False

    def first_subject(self) -> str:
        return _named(self.over.target, self.over.step) if self.over.target else ""

    def given_for(self, subject: str) -> Mapping[str, str]:
        return {"hours": self._clock.hours if self._of_clock(subject) else ""}

    def _of_clock(self, subject: str) -> bool:
        """Does the clock run for this work, or for none in particular?"""
        return self._clock.target in ("", _parts(subject)[0])

    def content(self) -> ComposeResult:
        yield self.choices
        yield self.field("hours", "hours", "h:mm, 1.5, or clock")
        yield self.field("note", "note", "what to know next time")
        yield self.field("lesson", "lesson", "what to do better from now on")
        yield self.field("done", "done", "100 % unless said")
        yield self.field("spoiled", "spoiled", "an item = how many")
        yield self.field("used", "used", "as the cut list says, unless said")
        photos = self.field("photos", "photos", "e.g. ~/photos/wall.jpg, with ; between two; → completes")
        photos.input.suggester = PhotoPaths()
        yield photos
        yield self.field("on", "day", "today, unless said")
        yield self.preview
        yield self.trouble

    def on_mount(self) -> None:
        self.set_focus(self.fields["hours"])
        self.follow()
        self.set_interval(CLOCK_EVERY_S, self._look_at_clock)

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads what can be logged: the work under the cursor first, then what was typed before, then the likeliest."""
        self._unit = await self.app.db(ask.site_unit)
        board = await self.app.db(ask.site_board)
        if board:
            self.fields["spoiled"].placeholder = f"e.g. 1, or {board} = 1"
        self._clock = await self.app.db(ask.clock_reading)
        choices = {_key(choice): choice for choice in await self.app.kept(ask.log_choices)}
        likeliest = list(choices.values())
        chosen = self.choices.key
        asked = [(self.over.target, self.over.step), *(_parts(key) for key in (*self.drafted(), chosen or ""))]
        if self.over.NAME == "today" and not self._opened_row and self._clock.hours and self._clock.target:
            # The cursor is there by itself: what the clock runs for is what was done.
            asked.insert(0, (self._clock.target, self._clock.step or None))
        first: dict[str, LogChoice] = {}
        for target, step in asked:
            found = await self._choice(target, step, choices, likeliest)
            if found is not None:
                first.setdefault(_key(found), found)
        on_clock = choices.get(_named(self._clock.target, self._clock.step))
        rest = [*([on_clock] if on_clock else []), *likeliest]
        self._choices = first | {_key(choice): choice for choice in rest if _key(choice) not in first}
        self.list_choices([Row(key, lambda width, key=key: self._row(key, width)) for key in self._choices],
                          chosen or next(iter(self._choices), None), 5 if self.app.size.height >= 24 else 3)
        self._tell_clock()

    @work(exclusive=True, group="look-at-clock", exit_on_error=False)
    async def _look_at_clock(self) -> None:
        """The clock runs on while the form is open; hours typed by hand stay."""
        reading = await self.app.behind(ask.clock_reading)
        if reading != self._clock:
            self._clock = reading
            self.given.update(self.given_for(self.subject))
            self.fill_in()
            self._tell_clock()

    def _tell_clock(self) -> None:
        other = f"the clock is for {self._clock.target}"
        said = self._clock.remark if self._of_clock(self.subject) or not self._clock.remark else other
        self.rows["hours"].say(spans((said, "note")))

    async def _choice(self, target: str | None, step: str | None, choices: Mapping[str, LogChoice],
                      likeliest: list[LogChoice]) -> LogChoice | None:
        """The stretch of work named, though it be out of its turn or done by now."""
        if not target:
            return None
        if step is None:
            return next((choice for choice in likeliest if choice.target == target), None)
        if _named(target, step) in choices:
            return choices[_named(target, step)]
        try:
            found = await self.app.db(ask.check_start, target, step or None)
        except Refused:
            return None
        return LogChoice(target, step or None, 1.0 if found.verdict == "done" else 0.0, found.verdict)

    @property
    def choice(self) -> LogChoice | None:
        """The stretch of work under the cursor."""
        return self._choices.get(self.choices.key or "")

    def more_keys(self) -> Iterator[tuple[str, str]]:
        yield from ((" ↑↓", "accent"), (" work  ", "muted"))

    def chosen(self) -> None:
        self._tell_clock()
        self.trouble.show(lambda width: [])
        self.look_ahead()

    def typed(self, name: str) -> None:
        if name in ("done", "spoiled", "used"):
            self.look_ahead(WAIT_S)
        elif name == "photos":
            self.rows[name].say(found_line(self.text(name)))

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
            # The cursor stays where one types.
            self.refuse(str(refusal), to_field=False)
            self.preview.show(lambda width: [()] * 3)
            return
        unit = self._unit
        self.preview.show(lambda width: _preview(found, unit, width))

    def _words(self) -> dict[str, object]:
        """The form as words; what is empty is not said."""
        choice = self.choice
        if choice is None:
            raise Refused("there is nothing to log: every step is done")
        said: dict[str, object] = {"target": choice.target, "step": choice.step}
        for name in ("hours", "note", "lesson", "done", "on", "used", "spoiled"):
            if self.text(name):
                said[name] = self.text(name)
        if self.text("photos"):
            said["photos"] = photo_paths(self.text("photos"))
        return said

    async def save_chosen(self) -> Outcome:
        words = self._words()
        # Hours of the clock are taken from it, whatever work it ran for: no other entry is offered them again.
        return await self.app.db(ask.log_words, words, words.get("hours", "") == self._clock.hours != "")

    def _row(self, key: str, width: int) -> Line:
        choice = self._choices[key]
        part = f"{figures.percent(choice.progress)} done " if 0 < choice.progress < 1 else ""
        wide = width >= 68
        before = "typed before" if wide and self.name_for(key) in self.app.drafts else ""
        name = max(12, width - (36 if wide else 24))
        return spans((fit(figures.named(choice.target, choice.step), name), "strong"),
                     signed(choice.verdict, 12), (f" {part}", "muted"), (before, "accent"))


def _named(target: str, step: str | None) -> str:
    return f"{target}\n{step or ''}"


def _key(choice: LogChoice) -> str:
    return _named(choice.target, choice.step)


def _parts(key: str) -> tuple[str, str]:
    target, _, step = key.partition("\n")
    return target, step


def _preview(found: LogPreview, unit: str, width: int) -> list[Line]:
    uses = [f"{figures.quantity(amount, of, unit)} of {item}" for item, amount, of in found.uses]
    if found.offcuts_used:
        uses.append(f"offcut {figures.listed(found.offcuts_used)}")
    spoils = ", ".join(f"{figures.quantity(amount, of, unit)} of {item}" for item, amount, of in found.spoiled)
    said = "uses " + (", ".join(uses) or "nothing from stock") + (f"; spoils {spoils}" if spoils else "")
    lines = wrapped(said, "plain", width - 1, spans(" "))[:2]
    if found.offcuts_made:
        more = len(found.offcuts_made) - 3
        sizes = ", ".join(found.offcuts_made[:3]) + (f" and {more} more" if more > 0 else "")
        lines += wrapped(f"leaves {sizes}", "muted", width - 1, spans(" "))[:1]
    for need in found.short[:1]:
        lack = figures.quantity(need.short, need.unit, unit)
        lines.append(spans((f" ! the book is short of {lack} of {need.item}: c counts it", "short")))
    return [*lines[:3], *((),) * (3 - len(lines))]


FORMS = {"log": LogForm}
