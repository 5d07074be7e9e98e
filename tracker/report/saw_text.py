"""The cut list for the saw, big and plain: one cut a line, in order."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import show_length
from tracker.report.text import heading, stacked
from tracker.services.cut_answers import BoardView, StickView, TakeOff

CAUTION = ("Mask, glasses and extraction where fibre is cut; the saw's own guard and your local rules hold.")


def saw_text(plan: TakeOff, unit: str) -> RenderableType:
    """Board by board and stick by stick, each cut with what it frees."""
    name = f"{plan.site}: {plan.target}" if plan.target else plan.site
    if not plan.boards and not plan.sticks:
        return stacked(heading(f"{name}: nothing left to cut"))
    blocks: list[Text] = []
    for item, boards in groupby(plan.boards, lambda one: one.item):
        blocks += [Text(""), heading(item), *(Text(line) for one in boards for line in board_lines(one, unit))]
    for item, sticks in groupby(plan.sticks, lambda one: one.item):
        blocks += [Text(""), heading(item), *(Text(line) for one in sticks for line in stick_lines(one, unit))]
    said = [Text(f"Note: {one.bay}: {one.text}") for one in plan.warnings]
    return stacked(heading(f"{name}: cut list"), Text(CAUTION), *blocks, *([Text("")] if said else []), *said)


def board_lines(board: BoardView, unit: str) -> Iterator[str]:
    """A board's cuts in order, pieces named where they come free."""
    yield f"BOARD {board.number}  {_from(board.from_)} {board.item}, {_size(board.size_m, unit)}{_here(board)}"
    free = {piece for cut in board.saw for piece in cut.frees}
    for cut in board.cuts:
        if cut.piece not in free:
            yield f"  {_mark(cut.piece, board.cut)} {cut.piece}: the whole of it, no cut"
    sizes = {cut.piece: _size(cut.size_m, unit) + (", face down" if cut.flipped else "") for cut in board.cuts}
    for number, step in enumerate(board.saw, 1):
        pieces = ", ".join(f"{_mark(piece, board.cut)} {piece} ({sizes[piece]})" for piece in step.frees)
        yield f"  {number}. {step.text}" + (f"  = {pieces}" if pieces else "")
    if board.offcuts:
        yield f"  keep on the rack: {', '.join(_size(one.size_m, unit) for one in board.offcuts)}"


def stick_lines(stick: StickView, unit: str) -> Iterator[str]:
    """A stick's parts in order, from its square end."""
    yield f"STICK {stick.number}  {_from(stick.from_)} {stick.item}, {show_length(stick.length_m, unit)}{_here(stick)}"
    for number, cut in enumerate(stick.cuts, 1):
        yield (f"  {number}. {show_length(cut.length_m, unit)}, {cut.ends[0]} and {cut.ends[1]}"
               f"  = {_mark(cut.piece, stick.cut)} {cut.piece}")
    if stick.left_m > 0:
        yield f"  left: {show_length(stick.left_m, unit)}"


def _from(source: str) -> str:
    return "new" if source == "new" else f"offcut {source} of"


def _here(part: BoardView | StickView) -> str:
    return "" if part.here else "  (not here yet)"


def _mark(piece: str, cut: tuple[str, ...]) -> str:
    return "[x]" if piece in cut else "[ ]"


def _size(size_m: tuple[float, float], unit: str) -> str:
    return f"{show_length(size_m[0], unit)} x {show_length(size_m[1], unit)}"
