"""What is known of a bay, in lines: sizes, steps, warnings and its cut list with the pieces numbered as drawn."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

from tracker.services.cut_answers import TakeOff
from tracker.services.site_answers import BayView, PlaneView, StepCell
from tracker.ui import figures
from tracker.ui.ink import Line, Span, fit, spans, width_of, wrapped
from tracker.ui.states import SHORT, sign
from tracker.ui.widgets.board_sheet import short
from tracker.ui.widgets.heading import heading

STEP = 16
"""Cells of a step where several stand in a row."""


def next_step(bay: BayView) -> StepCell | None:
    """The first step that is not done; None where all are."""
    return next((cell for cell in bay.steps if cell.verdict != "done"), None)


def track_up(bay: BayView) -> bool:
    """Whether all the track of a bay is fixed."""
    return any(cell.step == "track" and cell.progress >= 1 for cell in bay.steps)


def plane_lines(plane: PlaneView, unit: str, width: int) -> list[Line]:
    """A plane that has no bay."""
    return [*heading(plane.name, width, space=False), spans((f" {plane.surface}", "plain")),
            spans((" No bay on this plane.", "muted"))]


def bay_lines(bay: BayView, cuts: TakeOff | None, unit: str, width: int, tight: bool = False) -> list[Line]:
    """The bay under the cursor; the cut list follows once it is worked out. `tight` saves rows."""
    lines = heading(bay.target, width, spans((bay.phase, "muted")), space=False)
    lines += _tight(bay, unit, width) if tight else _roomy(bay, unit, width)
    following = next_step(bay)
    if following is not None:
        lines += wrapped(following.reason, "plain", width - 1, spans(" "))
    for warning in bay.warnings:
        lines += (wrapped(warning.text, "order", width, spans(("! ", "order"))) if tight else
                  wrapped(warning.text, "order", width - 1, spans((" ! ", "order"))))
    return [*lines, *(_cut_list(bay, cuts, unit, width) if cuts is not None else ())]


def _roomy(bay: BayView, unit: str, width: int) -> list[Line]:
    """What is known of a bay, a row to each figure and each step."""
    pairs = (("area", figures.area(bay.area_m2, unit)), ("net infill", figures.area(bay.infill_m2, unit)),
             ("gain, mean", f"{bay.gain_m2:.2f} m2"))
    return [*wrapped(bay.build_up + (", measured inside the track" if bay.fitted else ""), "muted", width - 1,
                     spans(" ")),
            *(spans((f" {word:<11}", "muted"), (figure, "strong")) for word, figure in pairs),
            *(spans(f" {cell.step:<11}", _state(cell, cell.verdict)) for cell in bay.steps)]


def _tight(bay: BayView, unit: str, width: int) -> list[Line]:
    """The same in few rows: figures one after another, the steps side by side."""
    pairs = (("area", figures.area(bay.area_m2, unit)), ("net infill", figures.area(bay.infill_m2, unit)),
             ("gain", f"{bay.gain_m2:.2f} m2"))
    parts = [spans((bay.build_up, "muted")), *(spans((f"{word} ", "muted"), (figure, "strong"))
                                               for word, figure in pairs)]
    if bay.fitted:
        parts.append(spans(("measured inside the track", "muted")))
    cells = [spans(f"{cell.step:<7} ", _state(cell, SHORT.get(cell.verdict, cell.verdict))) for cell in bay.steps]
    padded = [(*cell, (" " * (STEP - width_of(cell)), "plain")) for cell in cells]
    row = max(2, (width - 1) // STEP)
    return [*_flowed(parts, width), *((*spans(" "), *chain.from_iterable(padded[first:first + row]))
                                      for first in range(0, len(padded), row))]


def _state(cell: StepCell, word: str) -> Span:
    mark, role = sign(cell.verdict)
    return f"{mark} {figures.percent(cell.progress) if 0 < cell.progress < 1 else word}", role


def _flowed(parts: Iterable[Line], width: int) -> list[Line]:
    """Parts one after another, each whole."""
    rows: list[Line] = []
    for part in parts:
        if rows and width_of(rows[-1]) + 2 + width_of(part) <= width:
            rows[-1] = (*rows[-1], *spans("  "), *part)
        else:
            rows.append((*spans(" "), *part))
    return rows


def _cut_list(bay: BayView, cuts: TakeOff, unit: str, width: int) -> list[Line]:
    """Board by board, then stick by stick and strip by strip; numbers are those on the drawing."""
    if not (cuts.boards or cuts.sticks or cuts.rolls):
        return []
    lines = heading("Cut list", width, space=False)
    for board in cuts.boards:
        lines += wrapped(_source(board.from_, board.item), "plain", width, spans((" ▸ ", "infill")))
        for cut in board.cuts:
            size = " × ".join(figures.length(side, unit) for side in cut.size_m)
            number = fit(short(cut.piece), 5, right=True), "strong" if cut.bay == bay.target else "muted"
            shaped = ["shaped"] if len(cut.outline_m) > 4 else []
            lines += _cut(spans(number, f" {size}"), [*shaped, *_for(cut.bay, bay)], width)
    for stick in cuts.sticks:
        lines += wrapped(_source(stick.from_, stick.item), "plain", width, spans((" ▸ ", "track")))
        for length in stick.cuts:
            ends = length.ends[0] if length.ends[0] == length.ends[1] else " / ".join(length.ends)
            lines += _cut(spans("      ", (figures.length(length.length_m, unit), "strong")),
                          [ends, *_for(length.bay, bay)], width)
    for roll in cuts.rolls:
        lines.append(spans((" ▸ ", "fabric"), f"{roll.item}"))
        for strip in roll.strips:
            size = " × ".join(figures.length(side, unit) for side in strip.size_m)
            lines.append(spans("      ", (size, "strong"), (" turned" if strip.turned else "", "muted")))
    return lines


def _cut(lead: Line, said: Iterable[str], width: int) -> list[Line]:
    """A piece, and behind it or beneath it what is said of it."""
    rows = [lead]
    for words in said:
        if width_of(rows[-1]) + 1 + len(words) > width:
            rows.append(spans("     "))
        rows[-1] = (*rows[-1], (f" {words}", "muted"))
    return rows


def _for(target: str, bay: BayView) -> list[str]:
    """The bay that a piece is for, where it is another one."""
    return [] if target == bay.target else [f"for {target}"]


def _source(origin: str, item: str) -> str:
    return item if origin == "new" else f"{item}, offcut {origin}"
