"""Today: can I start, and what; what is blocked, on what, until when; where it stopped; the phase meters."""

from __future__ import annotations

from itertools import accumulate

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import VerticalScroll

from tracker.services.answers import NextWork, PhaseStatus, Status
from tracker.ui import ask, figures
from tracker.ui.ink import Line, Sheet, fit, spans, width_of, wrapped
from tracker.ui.states import role_of, sign, signed
from tracker.ui.view import WALK, View
from tracker.ui.widgets.bars import COVERED, INSTALLED, LACK, bar, beside, big_width
from tracker.ui.widgets.heading import heading
from tracker.ui.widgets.row_list import Row, RowList

CAN_START = ("under way", "ready")
STATE = 12
"""Cells of what can be said of a piece of work before its name."""
AROUND = 9
"""Rows of the tape, the answer, what was said and the keys."""
BESIDE = 2
"""Cells of the cursor's sign before a row and of a scroll bar after it."""


class TodayView(View):
    """The answer at a glance, from a metre away."""

    NAME = "today"
    LIST_KEYS = (*WALK, ("↵", "Log the work under the cursor, or check it where it can't be started"))
    AUTO_FOCUS = "RowList"

    def __init__(self) -> None:
        super().__init__()
        self.answer = Sheet(id="answer")
        self.works = RowList(id="works")
        self.rest = Sheet(id="rest")
        self._status: Status | None = None

    def body(self) -> ComposeResult:
        with VerticalScroll(can_focus=False):
            yield self.answer
            yield self.works
            yield self.rest

    async def read(self) -> Status:
        return await self.app.kept(ask.status)

    def show(self, answer: Status) -> None:
        self._status = answer
        self.answer.show(lambda width: _verdict(answer, width))
        self._lay_out(answer)

    def _lay_out(self, answer: Status) -> None:
        tall = self.app.size.height >= 30
        longest = max((len(figures.named(work.target, work.step)) for work in answer.next), default=0)
        rows = [_rows(work, longest, self.app.size.width - BESIDE) for work in answer.next]
        self.works.show([row for of_one in rows for row in of_one])
        # What stands beneath has its rows first; the list scrolls in those that are left.
        left = self.app.size.height - (AROUND if tall else AROUND - 2) - len(_rest(answer, self.app.size.width, tall))
        most = max(5 if tall else 3, left)
        heights = accumulate(map(len, rows))
        self.works.styles.height = max((height for height in heights if height <= most), default=most if rows else 1)
        self.rest.show(lambda width: _rest(answer, width, tall))

    def on_resize(self) -> None:
        if self._status is not None:
            self._lay_out(self._status)

    def _work(self) -> NextWork | None:
        found = [work for work in self._status.next if _key(work) == self.works.key] if self._status else []
        return found[0] if found else None

    @property
    def target(self) -> str | None:
        work = self._work()
        return work.target if work else None

    @property
    def step(self) -> str | None:
        work = self._work()
        return work.step if work else None

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        work = self._work()
        self.opened_row = True
        self.app.action_form("log" if work and work.verdict in CAN_START else "check")


def _key(work: NextWork) -> str:
    return f"{work.target}\n{work.step or ''}"


def _rows(work: NextWork, longest: int, width: int) -> list[Row]:
    """A piece of work in one row; a reason that has no room in it stands in rows beneath it.

    Unless all of it is on hand: the state says so already.
    """
    start = spans(signed(work.verdict, STATE), (fit(figures.named(work.target, work.step), longest), "strong"), " ")
    reason = work.reason
    if work.verdict in CAN_START and width_of(start) + cell_len(reason) > width:
        # The state says already that it goes on.
        reason = reason.removeprefix("Go on: ").capitalize()
    fits = width_of(start) + cell_len(reason) <= width
    if fits or work.verdict in CAN_START:
        return [Row(_key(work), lambda width: (*start, (reason if fits else "", "plain")))]
    beneath = wrapped(reason, "plain", width, ((" " * STATE, "plain"),))
    return [Row(_key(work), lambda width: start), *(Row("", lambda width, line=line: spans(" ", *line))
                                                    for line in beneath)]


def _verdict(status: Status, width: int) -> list[Line]:
    """The big word, and beside it what can be started or what stops it."""
    first = next((work for work in status.next if work.verdict in CAN_START), None)
    if first is not None:
        word, role, named, reason = "YES", "ready", figures.named(first.target, first.step), first.reason
        lead = "Next  " if first.verdict == "under way" else "Start  "
    elif status.next:
        word, role, lead, named, reason = "NO", "short", "", "Nothing can be started.", status.next[0].reason
    elif status.stopped is not None:
        word, role, lead, named, reason = "DONE", "ready", "", "Every step of every bay is done.", ""
    else:
        word, role, lead, named, reason = "NO", "short", "", "Nothing is planned.", "The site has no bay and no task."
    room = width - big_width(word)
    others = sum(work.verdict in CAN_START for work in status.next) - 1
    more = [spans((f"{others} more can be started, below", "muted"))] if others > 0 else []
    said = [*wrapped(reason, "plain", room)[:2], *more][:2]
    return beside(word, role, [spans((lead, "muted"), (named, "strong")), *said])


def _rest(status: Status, width: int, tall: bool) -> list[Line]:
    return [*_blocked(status, width, tall), *_stopped(status, width, tall), *_meters(status, width, tall)]


def _blocked(status: Status, width: int, tall: bool) -> list[Line]:
    lines: list[Line] = []
    name = min(20, width // 4, max((len(phase.name) for phase in status.phases), default=0))
    # Cut phase by phase it may take more than cut together: first the plan, then the order.
    remedies = ("o orders it", "plan it in 7 Saw")
    for phase in status.phases:
        label = fit(phase.name, name)
        if not phase.blocked_by and phase.waits_on:
            waits = "waits on " + figures.listed(phase.waits_on)
            lines.append(spans(" ", sign("waiting"), f" {label} ", (waits, "muted")))
        for need in phase.blocked_by:
            ordered = need.on_order > 0 and need.due is not None
            lacking = figures.quantity(need.short, need.unit, status.unit)
            none = ("none on order: " if width >= 76 else "") + remedies[need.plan_first]
            until = f"here {figures.day(need.due)}" if ordered and need.due else none
            if ordered and need.on_order < need.short:
                until = f"only {figures.quantity(need.on_order, need.unit, status.unit)} ordered, {until}"
            lines.append(spans(" ", sign("on order" if ordered else "short"), f" {label} ",
                               (f"{lacking} of {need.item}", "strong"), "  ", (until, "order" if ordered else "short")))
            label = fit("", name)
    most = 12 if tall else 4
    more = (f"and {len(lines) - most + 1} more: 4 Phases", "muted@app.view('phases')")
    if len(lines) > most:
        lines = [*lines[:most - 1], spans("   ", more)]
    return [*heading("Blocked", width, space=tall), *lines] if lines else []


def _stopped(status: Status, width: int, tall: bool) -> list[Line]:
    last = status.stopped
    if last is None:
        return []
    # The last work, then what lies half done longer: its note is what one comes back for.
    shown = (last, *status.half_done[:3 if tall else 1])
    lines: list[Line] = []
    for one in shown:
        where = spans(" ", (figures.named(one.target, one.step), "strong"),
                      (f"  {figures.percent(one.done)} done", "plain"), (f"  {figures.day(one.date)}", "muted"))
        room = width - width_of(where) - 3
        if one is not shown[-1] and not tall and room > 8:
            # Two of them in the rows of one.
            lines.append((*where, ("  ", "plain"), (fit(one.note, room).rstrip(), "note")))
        else:
            note = wrapped(one.note, "note", width - 2, (("   ", "plain"),)) if one.note else []
            lines += [where, *_first(note, 4 if tall else 2 if len(shown) == 1 else 1)]
    return [*heading("Where it stopped", width, space=tall), *lines]


def _first(lines: list[Line], most: int) -> list[Line]:
    """The first so many; a mark tells that there is more."""
    if len(lines) <= most:
        return lines
    *start, (text, role) = lines[most - 1]
    return [*lines[:most - 1], (*start, (text + " …", role))]


def _meters(status: Status, width: int, tall: bool) -> list[Line]:
    if not status.phases:
        return []
    key = spans((INSTALLED, "installed"), (" installed  ", "muted"), (COVERED, "covered"), (" covered  ", "muted"),
                (LACK, "lack"), (" short", "muted"))
    name = min(20, width // 4)
    figure = 31 if width >= 76 else 12
    whole = max(phase.gain.planned_m2 for phase in status.phases)
    lines: list[Line] = []
    for phase in status.phases:
        lines.append(_meter(phase, name, width - name - figure - 5, figure, whole))
        if tall:
            lines += [_again(lines[-1], phase, name, figure), ()]
    return [*heading("Absorption area", width, key, space=tall), *lines]


def _meter(phase: PhaseStatus, name: int, room: int, figure: int, whole: float) -> Line:
    gain = phase.gain
    drawn = bar(((gain.installed_m2, INSTALLED, "installed"), (gain.covered_m2, COVERED, "covered"),
                 (gain.short_m2, LACK, "lack")), whole, room)
    figures_ = f"{gain.installed_m2:5.1f} of {gain.planned_m2:.1f} m2"
    more = ""
    if figure > 20:
        parts = [f"{amount:.1f} {word}" for amount, word in ((gain.short_m2, "short"),) if amount >= 0.05]
        more = "  " + ", ".join(parts) if parts else ""
    text = figures_ if figure > 20 else f"{gain.installed_m2:.1f}/{gain.planned_m2:.1f} m2"
    coming = bool(phase.blocked_by) and all(need.on_order >= need.short for need in phase.blocked_by)
    state = "on order" if phase.state == "short" and coming else phase.state
    return spans(" ", sign(state), " ", (fit(phase.name, name), role_of(state)), " ", *drawn, " ",
                 (text, "strong"), (more, "lack"))


def _again(meter: Line, phase: PhaseStatus, name: int, figure: int) -> Line:
    """The bar once more beneath itself, with the hours beside it."""
    spent, left = figures.hours(phase.hours.spent_h), figures.hours(phase.hours.left_h)
    fills = tuple((text, role) for text, role in meter[5:-3])
    return spans("   ", (fit("", name + 1), "plain"), *fills, " ", (f"{spent} h spent, {left} h left", "muted"))


SCREEN = TodayView
