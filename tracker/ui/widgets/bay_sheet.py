"""What is known of a bay, in lines: sizes, steps, warnings and its cut list with the pieces numbered as drawn."""

from __future__ import annotations

from tracker.services.cut_answers import TakeOff
from tracker.services.site_answers import BayView, PlaneView, StepCell
from tracker.ui import figures
from tracker.ui.ink import Line, fit, spans, wrapped
from tracker.ui.states import sign
from tracker.ui.widgets.board_sheet import short
from tracker.ui.widgets.heading import heading


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


def bay_lines(bay: BayView, cuts: TakeOff | None, unit: str, width: int) -> list[Line]:
    """The bay under the cursor; the cut list follows once it is worked out."""
    lines = heading(bay.target, width, spans((bay.phase, "muted")), space=False)
    measured = ", measured inside the track" if bay.fitted else ""
    lines += wrapped(bay.build_up + measured, "muted", width - 1, spans(" "))
    lines += [_pair("area", figures.area(bay.area_m2, unit)), _pair("net infill", figures.area(bay.infill_m2, unit)),
              _pair("gain, mean", f"{bay.gain_m2:.2f} m2")]
    for cell in bay.steps:
        part = figures.percent(cell.progress) if 0 < cell.progress < 1 else cell.verdict
        mark, role = sign(cell.verdict)
        lines.append(spans(f" {cell.step:<11}", (f"{mark} {part}", role)))
    following = next_step(bay)
    if following is not None:
        lines += wrapped(following.reason, "plain", width - 1, spans(" "))
    for warning in bay.warnings:
        lines += wrapped(warning.text, "order", width - 1, spans((" ! ", "order")))
    return [*lines, *(_cut_list(bay, cuts, unit, width) if cuts is not None else ())]


def _pair(word: str, figure: str) -> Line:
    return spans((f" {word:<11}", "muted"), (figure, "strong"))


def _cut_list(bay: BayView, cuts: TakeOff, unit: str, width: int) -> list[Line]:
    """Board by board, then stick by stick and strip by strip; numbers are those on the drawing."""
    if not (cuts.boards or cuts.sticks or cuts.rolls):
        return []
    lines = heading("Cut list", width, space=False)
    for board in cuts.boards:
        lines.append(spans((" ▸ ", "infill"), (_source(board.from_, board.item), "plain")))
        for cut in board.cuts:
            size = " × ".join(figures.length(side, unit) for side in cut.size_m)
            shaped = "" if len(cut.outline_m) == 4 else " shaped"
            other = "" if cut.bay == bay.target else f" for {cut.bay}"
            lines.append(spans((fit(short(cut.piece), 5, right=True), "strong" if not other else "muted"), f" {size}",
                               (shaped + other, "muted")))
    for stick in cuts.sticks:
        lines.append(spans((" ▸ ", "track"), (_source(stick.from_, stick.item), "plain")))
        for length in stick.cuts:
            ends = length.ends[0] if length.ends[0] == length.ends[1] else " / ".join(length.ends)
            lines.append(spans("      ", (figures.length(length.length_m, unit), "strong"), (f" {ends}", "muted"),
                               ("" if length.bay == bay.target else f" for {length.bay}", "muted")))
    for roll in cuts.rolls:
        lines.append(spans((" ▸ ", "fabric"), f"{roll.item}"))
        for strip in roll.strips:
            size = " × ".join(figures.length(side, unit) for side in strip.size_m)
            lines.append(spans("      ", (size, "strong"), (" turned" if strip.turned else "", "muted")))
    return lines


def _source(origin: str, item: str) -> str:
    return item if origin == "new" else f"{item}, offcut {origin}"
