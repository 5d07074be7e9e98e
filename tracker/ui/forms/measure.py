"""Measuring a bay or a plane again, before or inside the fixed track."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from tracker.domain.errors import Refused
from tracker.services.answers import Outcome
from tracker.ui import ask, figures
from tracker.ui.forms.field import Field
from tracker.ui.forms.form import Form
from tracker.ui.ink import Line, Sheet, spans
from tracker.ui.widgets.bay_sheet import track_up

READINGS = ("bottom", "top", "left", "right", "diagonal", "check", "middle", "centre")
HINTS = {"diagonal": "bottom left to top right", "check": "the other diagonal", "middle": "width halfway up",
         "centre": "height halfway along"}
"""What a reading is, where its name does not say it."""


class MeasureForm(Form):
    """The tape set of what is under the cursor; readings left out stay as they were."""

    NAME = "measure"
    ACCEPT = "take these"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "side(-1)", "where", id="measure.surface", show=False, tooltip="On the bare surface"),
        Binding("down", "side(1)", "where", id="measure.fitted", show=False, tooltip="Inside the fixed track"),
    ]
    TITLE_TEXT = "Measure again"

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self.where = Sheet(self._where, id="where")
        # Once the track is up, the tape is held inside it.
        self.fitted = over.bay is not None and track_up(over.bay)

    @property
    def draft_name(self) -> str:
        return f"measure {self.over.target}"

    def content(self) -> ComposeResult:
        self.named = Field("target", "target", "a bay or a plane", self.over.target or "")
        yield self.named
        yield self.where
        for name in READINGS:
            yield self.field(name, name, HINTS.get(name, ""))
        yield self.trouble

    def on_mount(self) -> None:
        self.set_focus(self.fields["bottom"])
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads what was measured before, and says it in the fields that nothing is typed into."""
        unit = await self.app.db(ask.site_unit)
        try:
            before = await self.app.db(ask.readings_before, self.named.input.value.strip(), self.fitted)
        except Refused:
            # Half a name; the form says so when it is accepted.
            before = {}
        for name, field in self.fields.items():
            field.placeholder = _hint(name, *before[name], unit) if name in before else HINTS.get(name, "")

    def on_input_changed(self, event: Input.Changed) -> None:
        super().on_input_changed(event)
        if event.input is self.named.input:
            self.begin()

    def _where(self, width: int) -> list[Line]:
        marks = ("( )", "(x)")
        return [spans(("           ", "plain"), (f"{marks[not self.fitted]} on the surface", "plain@screen.side(-1)"),
                      (f"   {marks[self.fitted]} inside the fixed track", "plain@screen.side(1)"), ("   ↑↓", "accent"))]

    def action_side(self, way: int) -> None:
        """Says where the tape was held."""
        self.fitted = way > 0
        self.where.show(self._where)
        self.begin()

    async def save(self) -> Outcome:
        readings = {name: self.text(name) for name in READINGS if self.text(name)}
        target = self.named.input.value.strip()
        if not target or not readings:
            raise Refused("bottom: give the readings that were taken, e.g. 1480")
        return await self.app.db(ask.measure_again, target, readings, self.fitted)


def _hint(name: str, length_m: float | None, taped: bool, unit: str) -> str:
    """What a reading was, so that only what changed need be typed."""
    more = f"; {HINTS[name]}" if name in HINTS else ""
    if length_m is None:
        return HINTS.get(name, "not taped yet")
    length = figures.length(length_m, unit)
    return (f"{length} unless said, e.g. +8" if taped else f"not taped yet; {length} by the plan") + more


FORMS = {"measure": MeasureForm}
