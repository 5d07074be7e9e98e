"""Saw: the cut list board by board and stick by stick, ticked off as it is cut; a miscut is one key."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from dataclasses import replace
from typing import ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical, VerticalScroll
from textual.geometry import Region

from tracker.services.answers import Outcome
from tracker.services.cut_answers import TakeOff
from tracker.ui import ask, figures
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.view import WALK, View
from tracker.ui.widgets.board_sheet import Part, all_cut, name_of, rows_of, shapes_of, short, steps_of
from tracker.ui.widgets.drawing import Drawing, Margin
from tracker.ui.widgets.foot import NOTE, TROUBLE
from tracker.ui.widgets.row_list import Row, RowList

SHOW_EVERY_S = 0.2
"""How often the share of a search that is done is drawn."""
ALL = "all that remains"


class SawView(View):
    """Up and down walk the boards and sticks, left and right the pieces of one."""

    NAME = "saw"
    LIST_KEYS = (*WALK, ("↵", "Tick the board or stick off, as space does"))
    PARTS = frozenset({"diary", "stock", "plan", "measure"})
    AUTO_FOCUS = "RowList"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "tick", "cut", id="saw.tick", tooltip="Tick the board or stick off as cut, or take that back"),
        Binding("x", "miscut", "miscut", id="saw.miscut", tooltip="The piece was cut wrong: it is planned again"),
        Binding("p", "plan", "plan", id="saw.plan", tooltip="Plan all these bays together and keep the plan"),
        Binding("f", "next_target", "next phase", id="saw.next-target", tooltip="The cut list of the next phase"),
        Binding("left", "piece(-1)", "piece", id="saw.previous-piece", show=False, tooltip="The piece before"),
        Binding("right", "piece(1)", "piece", id="saw.next-piece", show=False, tooltip="The next piece"),
        Binding("escape", "stop", "stop", id="saw.stop", show=False, tooltip="Stop planning; the best so far is kept"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.top = Sheet(id="saw-title")
        self.parts = RowList(id="parts", empty=spans(("  Nothing left to cut.", "muted")))
        self.drawing = Drawing(margin=Margin(left=1, right=1), id="board")
        self.steps = Sheet(id="steps")
        self._plan: TakeOff | None = None
        self._listed: dict[str, Part] = {}
        self._targets: tuple[str, ...] = ()
        self._target: str | None = None
        self._unit = "mm"
        self._piece = 0
        self._search: ask.Searching | None = None
        self._told = False
        """A piece was marked cut wrong, and none pointed at since."""
        self._went_on = False
        """The cursor went on by itself, and no arrow key was pressed since."""
        self._planning = False

    def body(self) -> ComposeResult:
        yield self.top
        with Container(id="bench"):
            yield self.parts
            with Vertical(id="one"):
                yield self.drawing
                with VerticalScroll(id="steps-scroll", can_focus=False):
                    yield self.steps

    async def read(self) -> TakeOff:
        self._unit = await self.app.db(ask.site_unit)
        self._targets = await self.app.kept(ask.phases_to_cut)
        if self._target not in self._targets:
            self._target = None
        return await self.app.kept(ask.take_off, self._target)

    def show(self, answer: TakeOff) -> None:
        self._plan = answer
        self._listed = {_key(part): part for part in (*answer.boards, *answer.sticks)}
        self.top.show(self._head)
        self.parts.show(list(self._rows()))
        self._detail()

    def _head(self, width: int) -> list[Line]:
        plan = self._plan
        if plan is None:
            return [(), ()]
        done = sum(all_cut(part) for part in self._listed.values())
        left = spans((f" {self._target or ALL}", "title"), (f"  {done} of {len(self._listed)} cut", "plain"))
        if self._search is not None and not self._search.ended:
            told = f"{self._search.done:.0%}, {self._search.boards} boards; esc keeps this"
        elif not self._listed:
            told = ""
        else:
            told = "kept: log takes what it says" if plan.kept else "not kept yet: p plans these bays together"
        lines = wrapped(told, "order" if self._search else "muted", width - 1, spans(*left, "  "))
        whole = [line for line in plan.items if line.form in ("board", "stick") and line.need]
        fewest = " (the fewest)" if not all(line.proved_least for line in whole) else ""
        words = figures.listed([f"{figures.number(line.need)} × {line.item}{fewest if line.proved_least else ''}"
                                for line in whole])
        told = ": the fewest possible" if whole and not fewest else ""
        return [*lines, *wrapped(words + told, "muted", width - 1, spans(" "))]

    def _rows(self) -> Iterable[Row]:
        item = ""
        for key, part in self._listed.items():
            if part.item != item:
                item = part.item
                yield Row("", lambda width, item=item: spans((fit(f" {item}", width), "title")))
            yield Row(key, lambda width, part=part: _row(part))

    @property
    def part(self) -> Part | None:
        """The board or stick under the cursor."""
        return self._listed.get(self.parts.key or "")

    @property
    def piece(self) -> str | None:
        """The piece under the cursor."""
        part = self.part
        return part.cuts[min(self._piece, len(part.cuts) - 1)].piece if part and part.cuts else None

    @property
    def target(self) -> str | None:
        part = self.part
        return part.cuts[min(self._piece, len(part.cuts) - 1)].bay if part and part.cuts else None

    @property
    def item(self) -> str | None:
        return self.part.item if self.part else None

    def _detail(self) -> None:
        part, piece, unit = self.part, self.piece, self._unit
        self.drawing.show(shapes_of(part, piece) if part else [])
        warned = [(one.bay, one.text) for one in self._plan.warnings] if self._plan else []
        self.steps.show(lambda width: steps_of(part, piece, unit, width, warned) if part else [])
        self.call_after_refresh(self._to_piece)

    def _to_piece(self) -> None:
        """Brings the cuts that free the piece pointed at into sight."""
        if self.part is not None and self.piece is not None:
            rows = rows_of(self.part, self.piece, self._unit, self.steps.size.width)
            self.query_one("#steps-scroll", VerticalScroll).scroll_to_region(
                Region(0, rows.start, 1, len(rows)), animate=False)

    def on_row_list_pointed(self) -> None:
        self._piece = 0
        self._detail()

    def on_row_list_chosen(self) -> None:
        self.action_tick()

    def action_piece(self, way: int) -> None:
        """Points at another piece of the board or stick."""
        if self.part and self.part.cuts:
            self._piece = (min(self._piece, len(self.part.cuts) - 1) + way) % len(self.part.cuts)
            self._detail()

    def action_tick(self) -> None:
        """Ticks the board or stick off and goes on to the next, or takes its ticks away."""
        part, key = self.part, self.parts.key
        if part is None or key is None:
            return
        if self._plan is not None and not self._plan.kept:
            self.app.say("Keep the plan first: p plans these bays together.", TROUBLE)
            return
        if self._told:
            self._told = False
            self.app.say(f"The piece is marked cut wrong. Once more ticks {name_of(part)} off; u takes the mark back.",
                         NOTE)
            return
        cut = not all_cut(part)
        names = tuple(one.piece for one in part.cuts)
        # Shown at once: what else follows from a tick is nothing.
        self._listed[key] = replace(part, cut=names if cut else ())
        self.parts.show(list(self._rows()))
        self.top.show(self._head)
        if cut:
            self.parts.move(1)
            self._told, self._went_on = False, self.parts.key != key
        self._detail()
        self._keep_ticks(names, cut)

    @work(group="tick", exit_on_error=False)
    async def _keep_ticks(self, names: tuple[str, ...], cut: bool) -> None:
        try:
            await self.app.on_show(ask.tick, names, cut)
        except Exception:
            # It is not so: the list is read again.
            self.reload()
            raise

    def action_miscut(self) -> None:
        """Books the piece under the cursor as cut wrong."""
        if self.piece is None:
            return
        if self._plan is not None and not self._plan.kept:
            self.app.say("Keep the plan first: p plans these bays together.", TROUBLE)
            return
        if self._told:
            # The list is laid anew after each, so that another press would hit a piece that nobody chose.
            self.app.say("One piece is marked cut wrong. Point at another with the arrow keys first; u takes the last "
                         "one back.", TROUBLE)
            return
        if self._went_on:
            self._went_on = False
            self.app.say(f"Was {self.piece} cut wrong? Then x once more; ↑ goes back to what was ticked last.", NOTE)
            return
        self._told = True
        self._mark(self.piece)

    @work(group="miscut", exit_on_error=False)
    async def _mark(self, piece: str) -> None:
        try:
            outcome = await self.app.db(ask.miscut, piece)
        except Exception:
            self._told = False
            raise
        self.app.tell(replace(outcome, sentence=f"{outcome.sentence} Not so: u takes it back."), NOTE)

    def on_key(self, event: events.Key) -> None:
        """An arrow key chooses a piece anew."""
        if event.key in ("up", "down", "left", "right", "pageup", "pagedown", "home", "end"):
            self._told = self._went_on = False

    def on_click(self) -> None:
        """So does the mouse."""
        self._told = self._went_on = False

    def action_next_target(self) -> None:
        """Shows the cut list of the next phase, and after the last all that remains."""
        choices = (None, *self._targets)
        self._target = choices[(choices.index(self._target) + 1) % len(choices)]
        self.reload()

    def action_plan(self) -> None:
        """Plans the bays together on a thread of its own; the screens stay at hand."""
        if not self._planning:
            self._planning = True
            self._plan_together()

    @work(group="plan", exit_on_error=False)
    async def _plan_together(self) -> None:
        try:
            self.app.tell(await self._planned())
        finally:
            self._planning = False

    async def _planned(self) -> Outcome:
        self._search = search = await self.app.db(ask.searching, self._target)
        shown = self.set_interval(SHOW_EVERY_S, lambda: self.top.show(self._head))
        try:
            return await asyncio.to_thread(search.run)
        finally:
            shown.stop()
            self._search = None
            self.top.show(self._head)

    def action_stop(self) -> None:
        """Ends the search with the best plan so far."""
        if self._search is not None:
            self._search.stop()


def _key(part: Part) -> str:
    return f"{part.item}/{name_of(part)}"


def _row(part: Part) -> Line:
    done = all_cut(part)
    source = "" if part.from_ == "new" else f"{part.from_}: "
    mark, role = ("x ", "done") if done else ("· ", "plain") if part.here else ("~ ", "order")
    return spans((mark, role), (fit(name_of(part), 9), "muted" if done else "strong"), (source, "infill"),
                 (_pieces(part), "muted"))


def _pieces(part: Part) -> str:
    """Its pieces, the bay named once where several are of one bay."""
    words, bay = [], ""
    for cut in part.cuts:
        words.append(short(cut.piece) if cut.bay == bay else cut.piece)
        bay = cut.bay
    return ", ".join(words)


SCREEN = SawView
