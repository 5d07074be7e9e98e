"""Phases: the steps of every bay as a grid, and the reason for the one under the cursor."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.domain.site import STEPS
from tracker.services.site_answers import BayView, SiteView, StepCell, TaskView
from tracker.ui import ask, figures
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.states import SHORT, SIGNS, role_of, signed
from tracker.ui.view import WALK, View
from tracker.ui.widgets.heading import heading
from tracker.ui.widgets.row_list import Row, RowList

WORDS_FIT = 12
"""Cells from which on a step has room for every word."""


class Grid(RowList):
    """Rows of steps: a click goes to the step it falls on, and only a second one on that step opens it."""

    column = 0
    """The step under the cursor."""

    def on_click(self, event: events.Click) -> None:
        name, cell, _ = _widths(self.scrollable_size.width)
        column = min((event.x - 1 - name) // cell, len(STEPS) - 1)
        place = event.y + round(self.scroll_offset.y)
        if column < 0 or column == self.column or not (place < len(self.rows) and self.rows[place].key):
            return
        self.column = column
        self.refresh()
        if self.rows[place].key == self.key:
            event.prevent_default()
            self.post_message(self.Pointed(self, self.key))


class PhasesView(View):
    """Rows are bays, columns their steps; the cursor is one cell."""

    NAME = "phases"
    LIST_KEYS = WALK
    AUTO_FOCUS = "RowList"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "column(-1)", "step", id="phases.left", show=False, tooltip="One step to the left"),
        Binding("right", "column(1)", "step", id="phases.right", show=False, tooltip="One step to the right"),
        Binding("enter", "log", "log this", id="phases.log", show=False, tooltip="Log the step under the cursor"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.head = Sheet(id="grid-head")
        self.grid = Grid(id="grid")
        self.reason = Sheet(id="reason")
        self._rows: dict[str, BayView | TaskView] = {}

    def body(self) -> ComposeResult:
        yield self.head
        yield self.grid
        yield self.reason

    async def read(self) -> SiteView:
        return await self.app.kept(ask.site_view)

    def show(self, answer: SiteView) -> None:
        first = not self._rows
        bays = [bay for plane in answer.planes for bay in plane.bays]
        self._rows = {**{bay.target: bay for bay in bays}, **{task.key: task for task in answer.tasks}}
        self.grid.show([row for phase in answer.phases for row in self._phase(phase)],
                       self._first_open() if first else None)
        if first:
            self.grid.column = self._open_column()
        self._said_of_cell()

    def _phase(self, phase: str) -> Iterator[Row]:
        found = {key: row for key, row in self._rows.items() if row.phase == phase}
        done = sum(_done(row) for row in found.values())
        end = spans((f"{done} of {len(found)} done", "muted"))
        yield Row("", lambda width: heading(phase, width, end, space=False)[0])
        for key, row in found.items():
            yield Row(key, lambda width, key=key, row=row: self._draw(key, row, width))

    def _draw(self, key: str, row: BayView | TaskView, width: int) -> Line:
        name, cell, _ = _widths(width + 1)
        if isinstance(row, TaskView):
            hours = f"  {figures.hours(row.hours_h)} h" if row.hours_h else ""
            return spans((fit(row.name, name), "plain"), " ", signed(row.verdict), (hours, "muted"))
        cells: list[tuple[str, str]] = []
        for place, step in enumerate(row.steps):
            here = key == self.grid.key and place == self.grid.column
            text, role = _cell(step, cell < WORDS_FIT)
            # A narrow cell has no room for the blank as well as the brackets.
            marked = f"[{text if cell >= WORDS_FIT else text.replace(' ', '', 1)}]" if here else f" {text}"
            cells.append((fit(marked, cell), role))
        return spans((fit(row.target, name), "plain"), *cells)

    def _first_open(self) -> str | None:
        return next((key for key, row in self._rows.items() if not _done(row)), None)

    def _open_column(self) -> int:
        row = self._rows.get(self.grid.key or "")
        if not isinstance(row, BayView):
            return 0
        return next((place for place, step in enumerate(row.steps) if step.verdict != "done"), 0)

    @property
    def target(self) -> str | None:
        return self.grid.key

    @property
    def step(self) -> str | None:
        row = self._rows.get(self.grid.key or "")
        return row.steps[self.grid.column].step if isinstance(row, BayView) else None

    def action_column(self, way: int) -> None:
        """Moves the cursor to another step."""
        self.grid.column = min(max(0, self.grid.column + way), len(STEPS) - 1)
        self.grid.refresh()
        self._said_of_cell()

    def action_log(self) -> None:
        """Logs the step under the cursor."""
        self.app.action_form("log")

    def on_row_list_pointed(self) -> None:
        self._said_of_cell()

    def on_row_list_chosen(self) -> None:
        self.action_log()

    def _said_of_cell(self) -> None:
        row = self._rows.get(self.grid.key or "")
        self.head.show(lambda width: [_titles(width, self.grid.column)])
        self.reason.show(lambda width: _reason(row, self.grid.column, width))


def _widths(width: int) -> tuple[int, int, int]:
    """Cells of the name, of a step, and of the title of the last step."""
    cell = 15 if width >= 100 else 12 if width >= 80 else 8
    last = max(cell - 1, len(STEPS[-1]))
    return width - 2 - cell * (len(STEPS) - 1) - last, cell, last


def _titles(width: int, column: int) -> Line:
    name, cell, last = _widths(width)
    return ((fit("", name + 2), "plain"),
            *((fit(step, last if step == STEPS[-1] else cell), "strong" if place == column else "title")
              for place, step in enumerate(STEPS)))


def _cell(step: StepCell, short: bool) -> tuple[str, str]:
    word = SHORT.get(step.verdict, step.verdict) if short else step.verdict
    words = figures.percent(step.progress) if 0 < step.progress < 1 else word
    return f"{SIGNS[step.verdict]} {words}", role_of(step.verdict)


def _done(row: BayView | TaskView) -> bool:
    if isinstance(row, TaskView):
        return row.verdict == "done"
    return all(step.verdict == "done" for step in row.steps)


def _reason(row: BayView | TaskView | None, column: int, width: int) -> list[Line]:
    if row is None:
        return []
    if isinstance(row, TaskView):
        name, verdict, reason = row.key, row.verdict, row.reason
    else:
        cell = row.steps[column]
        name, verdict, reason = figures.named(row.target, cell.step), cell.verdict, cell.reason
    lines = [*heading(name, width, spans(signed(verdict)), space=False),
             *wrapped(reason, "plain", width - 2, (("  ", "plain"),))[:2]]
    return [*lines, *((),) * (3 - len(lines))]


SCREEN = PhasesView
