"""Correcting a diary entry: the fields hold what it says; what is changed is written as an entry that replaces it."""

from __future__ import annotations

from textual import work
from textual.app import ComposeResult

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.services.diary_answers import EntryView
from tracker.ui import ask, figures
from tracker.ui.forms.form import Form
from tracker.ui.forms.photos import PhotoPaths, found_line, photo_paths
from tracker.ui.ink import Sheet, spans, wrapped

PAIRS = ("used", "spoiled")


class CorrectForm(Form):
    """An entry of the diary, to be corrected; the old one stays to be seen."""

    NAME = "correct"
    ACCEPT = "correct it"

    def __init__(self, over: object) -> None:
        super().__init__(over)
        entry: EntryView = over.entry
        self.entry = entry
        self._was = {
            "hours": figures.hours(entry.hours_h), "done": figures.percent(entry.done), "note": entry.note,
            "lesson": entry.lesson, "used": _written(entry.used), "spoiled": _written(entry.spoiled),
            "photos": "; ".join(entry.photos), "on": entry.date.isoformat()}

    @property
    def title_words(self) -> str:
        return f"Correct entry {self.entry.id}: {figures.named(self.entry.target, self.entry.step)}"

    @property
    def draft_name(self) -> str:
        return self._draft(self.entry.id)

    def _draft(self, number: int) -> str:
        """With the work in it: a number that was taken back may be given again, to an entry of other work."""
        return f"correct {number}\n{figures.named(self.entry.target, self.entry.step)}"

    def content(self) -> ComposeResult:
        for name, was in self._was.items():
            field = self.field(name, "day" if name == "on" else name, "item = quantity" if name in PAIRS else "", was)
            if name == "photos":
                field.input.suggester = PhotoPaths()
            yield field
        yield Sheet(lambda width: wrapped("The old entry stays in the diary, marked as replaced.", "muted", width - 1,
                                          spans(" ")))
        yield self.trouble

    def on_mount(self) -> None:
        self.set_focus(self.fields["hours"])
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Sees whether another program replaced the entry; what was typed then goes with the one in its place."""
        other = await self.app.db(ask.replaced_by, self.entry.id)
        if other is not None:
            self.take_up()
            self.app.drafts.move(self.draft_name, self._draft(other))
            self.refuse(f"entry {self.entry.id} is replaced by entry {other} by now: esc, and correct that one, with "
                        "what is typed here")

    def typed(self, name: str) -> None:
        if name == "photos":
            self.rows[name].say(found_line(self.text(name)))

    async def save(self) -> Outcome:
        said = {name: self.text(name) for name in self._was}
        changed: dict[str, object] = {name: text for name, text in said.items() if text != self._was[name]}
        if "used" in changed:
            changed["used_whole"] = True
        if "photos" in changed:
            changed["photos"] = photo_paths(self.text("photos"))
        if not changed:
            raise Refused("nothing is changed yet: change a field, or esc leaves the entry as it is")
        return await self.app.db(ask.correct_words, self.entry.id, changed)


def _written(pairs: tuple[tuple[str, float, str], ...]) -> str:
    return "; ".join(f"{item} = {figures.number(amount)}{' m' if unit == 'm' else ''}" for item, amount, unit in pairs)


FORMS = {"correct": CorrectForm}
