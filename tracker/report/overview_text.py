"""The state of the work as text: status and check."""

from __future__ import annotations

from datetime import date

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_hours, show_quantity
from tracker.report.text import bare_quantity, heading, stacked, state, table
from tracker.services.answers import Blocked, Check, Gain, Status

MOST_NEXT = 8
METER_CELLS = 12


def status_text(status: Status) -> RenderableType:
    """Phases with their meters, what blocks each, what is next, and where the work stopped."""
    phases = table(
        ["phase", "state", "meter", "gain m2", "in", "covered", "short", "spent", "left"],
        [[phase.name, state(phase.state), meter(phase.gain), f"{phase.gain.planned_m2:.2f}",
          f"{phase.gain.installed_m2:.2f}", f"{phase.gain.covered_m2:.2f}", f"{phase.gain.short_m2:.2f}",
          show_hours(phase.hours.spent_h), show_hours(phase.hours.left_h)] for phase in status.phases],
        right=range(3, 9))
    signs = Text("Meter and m2: absorption area, # in, = covered, - short. Spent and left: hours.", style="dim")
    return stacked(heading(status.site), phases, signs, _blocked(status), _next(status), _stopped(status))


def meter(gain: Gain) -> Text:
    """The absorption-area meter in three parts, each with its own sign."""
    if gain.planned_m2 <= 0:
        return Text("")
    installed = round(METER_CELLS * gain.installed_m2 / gain.planned_m2)
    covered = round(METER_CELLS * (gain.installed_m2 + gain.covered_m2) / gain.planned_m2) - installed
    short = METER_CELLS - installed - covered
    return Text.assemble(("#" * installed, "green"), ("=" * covered, "cyan"), ("-" * short, "red"))


def _blocked(status: Status) -> RenderableType | None:
    rows = [[phase.name, *_blocked_cells(one, status.unit)] for phase in status.phases for one in phase.blocked_by]
    waits = [Text(f"{phase.name} waits on {', '.join(phase.waits_on)}") for phase in status.phases if phase.waits_on]
    if not rows and not waits:
        return None
    listed = table(["blocked", "on", "need", "short", "of it on order", "due"], rows, right=(2, 3, 4)) if rows else None
    may_need_less = any(one.plan_first and one.short > one.on_order
                        for phase in status.phases for one in phase.blocked_by)
    hint = [Text("No cutting plan is kept for all of it: `need` plans the cuts together, and may need less.",
                 style="dim")] if may_need_less else []
    return stacked(Text(""), listed, *waits, *hint)


def _blocked_cells(one: Blocked, unit: str) -> list[str]:
    # Of an order only what is short here: the rest of it is there for later phases, and would be read as more.
    coming = min(one.on_order, one.short)
    return [one.item, show_quantity(one.need, one.unit, unit), show_quantity(one.short, one.unit, unit),
            show_quantity(coming, one.unit, unit) if coming else "-", _day(one.due)]


def _day(when: date | None) -> str:
    return "-" if when is None else when.isoformat()


def _next(status: Status) -> RenderableType | None:
    if not status.next:
        return stacked(Text(""), Text("All work is done."))
    first = status.next[:MOST_NEXT]
    alone = sum(one.verdict in ("short", "on order") for one in first) > 1
    return stacked(Text(""), table(
        ["next", "step", "can it start?", "why"],
        [[one.target, one.step or "-", state(one.verdict), one.reason] for one in first]),
        Text("Each bay is counted alone, so these need not add up to what its phase is short of.", style="dim")
        if alone else None)


def _stopped(status: Status) -> RenderableType | None:
    if status.stopped is None:
        return None
    return stacked(Text(""), *(
        Text(f"{word} {one.date.isoformat()} at {one.target}, {one.step or 'task'} {one.done:.0%}"
             f"{f': {one.note}' if one.note else ''}")
        for word, one in (("Stopped", status.stopped), *(("Half done", one) for one in status.half_done))))


def check_text(check: Check, unit: str) -> RenderableType:
    """The verdict first, then the reason, the figures, what was noticed, and the cautions."""
    verdict = Text.assemble(state(check.verdict), f"  {check.title}")
    items = table(
        ["item", "need", "on hand", "held", "short", "on order", "due", "offcuts"],
        [[one.item, show_quantity(one.need, one.unit, unit),
          *(bare_quantity(amount, one.unit, unit) for amount in (one.on_hand, one.held, one.short, one.on_order)),
          _day(one.due), one.offcuts_used or "-"] for one in check.items],
        right=(1, 2, 3, 4, 5)) if check.items else None
    counted = Text(check.counted) if check.counted else None
    return stacked(verdict, Text(check.reason), items, counted, *(Text(f"Note: {one.text}") for one in check.warnings),
                   *(Text(f"Caution: {one}") for one in check.cautions))

