"""Diary: what was done, newest first; search as you type, lessons on their own, Enter corrects an entry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from tracker.services.diary_answers import EntryView
from tracker.ui import ask, figures
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.view import WALK, View
from tracker.ui.widgets.foot import NOTE
from tracker.ui.widgets.heading import heading
from tracker.ui.widgets.row_list import Row, RowList, Rows

if TYPE_CHECKING:
    from tracker.services.desk import Desk

EMPTY = spans(("  Nothing here. l writes an entry; esc shows all.", "muted"))


@dataclass(frozen=True, slots=True)
class Listed:
    """What the list shows."""

    site: str
    rows: Rows
    entries: dict[str, EntryView]
    """By the keys of their rows."""


class DiaryView(View):
    """One row an entry under its day; the whole of the entry under the cursor below."""

    NAME = "diary"
    LIST_KEYS = WALK
    AUTO_FOCUS = "RowList"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "search", "search", id="diary.search", tooltip="Search the diary as you type"),
        Binding("t", "lessons", "lessons", id="diary.lessons", tooltip="Lessons only, or all entries again"),
        Binding("enter", "correct", "correct", id="diary.correct", tooltip="Correct the entry under the cursor"),
        Binding("escape", "leave_search", "leave search", id="diary.leave-search", show=False,
                tooltip="Back to the list; again: all entries"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.words = Input(placeholder="/ to search", id="words")
        self.entries = RowList(id="entries", empty=EMPTY)
        self.whole = Sheet(id="whole")
        self.only_lessons = False
        self._entries: dict[str, EntryView] = {}

    def body(self) -> ComposeResult:
        yield self.words
        yield self.entries
        yield self.whole

    async def read(self) -> Listed:
        words = self.words.value
        # What is found for words is not kept: every letter would add to it.
        return await (self.app.db if words else self.app.kept)(_listed, words, self.only_lessons)

    def show(self, answer: Listed) -> None:
        # A cursor on the newest entry stays on the newest: what was logged just now is what is corrected next.
        key = self.entries.key
        if key == next(iter(self._entries), None):
            key = next(iter(answer.entries), None)
        elif key in answer.entries and self._entries[key].corrected_by is None and answer.entries[key].corrected_by:
            key = str(answer.entries[key].corrected_by)
        self._entries = answer.entries
        self.entries.show(answer.rows, key)
        self._show_whole()

    @property
    def entry(self) -> EntryView | None:
        """The entry under the cursor."""
        return self._entries.get(self.entries.key or "")

    @property
    def target(self) -> str | None:
        return self.entry.target if self.entry else None

    def _show_whole(self) -> None:
        entry, rows = self.entry, 12 if self.size.height >= 30 else 6
        self.whole.show(lambda width: _whole(entry, width, rows) if entry else [])

    def on_resize(self) -> None:
        self._show_whole()

    def on_row_list_pointed(self) -> None:
        self._show_whole()

    def on_row_list_chosen(self) -> None:
        self.action_correct()

    def on_input_changed(self) -> None:
        self.reload()

    def on_input_submitted(self) -> None:
        # Enter ends the search; the next one opens what it found.
        self.entries.focus()

    def on_key(self, event: events.Key) -> None:
        """While words are typed, up and down walk through what is found."""
        if self.words.has_focus and event.key in ("up", "down"):
            self.entries.move(1 if event.key == "down" else -1)

    def action_search(self) -> None:
        """Goes to the search words."""
        self.words.focus()

    def action_leave_search(self) -> None:
        """Back to the list; from the list, back to all entries."""
        if self.words.has_focus:
            self.entries.focus()
            return
        self.words.value = ""
        if self.only_lessons:
            self.action_lessons()

    def action_lessons(self) -> None:
        """Shows lessons only, or all again."""
        self.only_lessons = not self.only_lessons
        self.words.placeholder = "/ to search the lessons; t shows all entries" if self.only_lessons else "/ to search"
        self.reload()

    def action_correct(self) -> None:
        """Opens the entry under the cursor to be corrected; one that is replaced leads to the one in its place."""
        if self.entry is None:
            return
        if self.entry.corrected_by is not None:
            other = self.entry.corrected_by
            self.app.say(f"Entry {self.entry.id} is replaced by entry {other}: correct that one.", NOTE)
            self.entries.point(str(other))
        else:
            self.app.action_form("correct")


def _listed(desk: Desk, words: str, lessons: bool) -> Listed:
    """The entries as rows under their days, made on the store's thread: ten years have ten thousand."""
    answer = ask.read_diary(desk, words, lessons)
    rows: list[Row] = []
    day = None
    for entry in answer.entries:
        if entry.date != day:
            day = entry.date
            rows.append(Row("", lambda width, day=day: heading(figures.day(day, year=True), width, space=False)[0]))
        rows.append(Row(str(entry.id), lambda width, entry=entry: _row(entry, width, lessons)))
    return Listed(answer.site, Rows(rows), {str(entry.id): entry for entry in answer.entries})


def _row(entry: EntryView, width: int, lesson: bool) -> Line:
    name = min(32, width * 2 // 5 if width >= 76 else width // 2)
    old = entry.corrected_by is not None
    sign = ("x" if entry.done >= 1 else ">", "muted" if old else "done" if entry.done >= 1 else "way")
    part = "" if entry.done >= 1 else f" {figures.percent(entry.done)}"
    words = f"replaced by entry {entry.corrected_by}" if old else entry.lesson if lesson else entry.note or entry.lesson
    mark = ("* ", "accent") if entry.lesson and not lesson else ("  ", "plain")
    return spans(sign, " ", (fit(figures.named(entry.target, entry.step) + part, name), "muted" if old else "strong"),
                 (fit(figures.hours(entry.hours_h), 6, right=True), "muted"), "  ", mark,
                 (words, "muted" if old else "note" if lesson else "plain"))


def _whole(entry: EntryView, width: int, rows: int) -> list[Line]:
    lines = heading(f"#{entry.id}  {figures.named(entry.target, entry.step)}  {figures.percent(entry.done)}", width,
                    spans((figures.hours(entry.hours_h) + " h" if entry.hours_h else "no hours", "muted")), space=False)
    if entry.corrected_by is not None:
        lines.append(spans(("  replaced by entry ", "muted"), (str(entry.corrected_by), "strong")))
    if entry.corrects is not None:
        lines.append(spans(("  corrects entry ", "muted"), (str(entry.corrects), "strong")))
    for word, text, role in (("note", entry.note, "plain"), ("lesson", entry.lesson, "note"),
                             ("used", _list(entry.used), "plain"), ("spoiled", _list(entry.spoiled), "short"),
                             ("photos", ", ".join(entry.photos), "plain")):
        if text:
            lines += wrapped(text, role, width - 1, spans((f"  {word:<8}", "muted")))
    return [*lines[:rows], *((),) * (rows - len(lines))]


def _list(pairs: tuple[tuple[str, float, str], ...]) -> str:
    return ", ".join(f"{figures.quantity(amount, unit)} of {item}" for item, amount, unit in pairs)


SCREEN = DiaryView
