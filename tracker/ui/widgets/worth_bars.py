"""What each phase adds, as bars: what is up, what it still brings, and what that costs in money and hours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.cells import cell_len

from tracker.services.sound_answers import PhaseSound, RoomSound, WorthRow
from tracker.ui import figures
from tracker.ui.ink import Line, fit, spans
from tracker.ui.widgets.bars import FREE, INSTALLED, bar
from tracker.ui.widgets.curves import band_name
from tracker.ui.widgets.heading import heading

NAME = 15


def worth_lines(room: RoomSound, rows: Sequence[WorthRow], currency: str, width: int) -> list[Line]:
    """One line for each phase: its bar, the mean gain still to come, its cost and hours, and the bands it brings in."""
    known = {row.target: row for row in rows if row.room == room.name and row.kind == "phase"}
    whole = max((_mean(phase.gain_planned_m2) for phase in room.phases), default=0.0)
    lines = heading("What each phase adds", width, spans(("█ up  ▓ to come, mean m2", "muted")), space=False)
    for phase in room.phases:
        lines.append(_phase(phase, known.get(phase.name), currency, whole, width))
    lines += _best(rows, room, currency, width)
    return lines


def _phase(phase: PhaseSound, row: WorthRow | None, currency: str, whole: float, width: int) -> Line:
    up = _mean(phase.gain_installed_m2)
    to_come = max(0.0, _mean(phase.gain_planned_m2) - up)
    cells = max(8, min(24, width - NAME - 56))
    drawn = bar([(up, INSTALLED, "installed"), (to_come, FREE, "way")], whole, cells)
    name = (fit(phase.name, NAME - 1), "plain")
    if row is None:
        return spans(" ", name, *drawn, (fit(f" {up:.1f} m2", 11, right=True), "installed"), ("  up", "done"))
    into = " ".join(band_name(hz) for hz in row.bands_into_target)
    said = [(fit(f"+{row.mean_gain_m2:.1f} m2", 11, right=True), "way"),
            (fit(_cost(row, currency), 16, right=True), "plain"),
            (fit(f"{figures.hours(row.hours_h)} h", 9, right=True), "plain")]
    if width >= 100 and row.per_cost is not None:
        said.append((fit(f"{row.per_cost * 100:.1f} m2/100 {currency}", 18, right=True), "muted"))
    if into:
        said.append((f"  into target: {into}", "aim"))
    return spans(" ", name, *drawn, *said)


def _best(rows: Sequence[WorthRow], room: RoomSound, currency: str, width: int) -> Iterator[Line]:
    """The bays that bring most for the money, where the pane is wide enough to read them."""
    bays = [row for row in rows if row.room == room.name and row.kind == "bay"][:3]
    if not bays:
        return
    named = [f"{row.target} (+{row.mean_gain_m2:.1f} m2, {_cost(row, currency)})" for row in bays]
    fitting = (f" Bays, most for the money first: {figures.listed(named[:most])}" for most in range(len(named), 0, -1))
    said = next((words for words in fitting if cell_len(words) <= width), f" First for the money: {named[0]}")
    yield spans((fit(said, width), "muted"))


def _cost(row: WorthRow, currency: str) -> str:
    if row.cost is None:
        return "cost unknown"
    return "nothing to buy" if row.cost == 0 else f"{row.cost:.0f} {currency}"


def _mean(by_band: Sequence[float]) -> float:
    return sum(by_band) / max(1, len(by_band))
