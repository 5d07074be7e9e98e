"""A board or stick of the cut list: drawn to scale with its pieces, and its cuts in order, to be read from the saw."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tracker.services.cut_answers import BoardView, StickView
from tracker.ui import figures
from tracker.ui.ink import Line, spans, wrapped
from tracker.ui.widgets.shapes import Label, Point, Polygon, Shape

Part = BoardView | StickView
STICK_HIGH = 0.06
"""How high a stick is drawn, as a share of its length."""


def name_of(part: Part) -> str:
    """The part's short name on the list, e.g. `board 3`."""
    return f"{'board' if isinstance(part, BoardView) else 'stick'} {part.number}"


def short(piece: str) -> str:
    """What stands on the piece in a drawing: the last word of its name."""
    return piece.rsplit(" ", 1)[-1]


def all_cut(part: Part) -> bool:
    """Is every piece of it ticked off?"""
    return len(part.cut) == len(part.cuts)


def shapes_of(part: Part, pointed: str | None) -> list[Shape]:
    """The part with its pieces; the one pointed at is drawn heavy, what is left over hatched."""
    return _board(part, pointed) if isinstance(part, BoardView) else _stick(part, pointed)


def _board(board: BoardView, pointed: str | None) -> list[Shape]:
    shapes: list[Shape] = [Polygon(_box((0.0, 0.0), board.size_m), edge="muted")]
    shapes += [Polygon(_box(left.at_m, left.size_m), role="infill", hatch="sparse", edge="muted")
               for left in board.offcuts]
    for cut in board.cuts:
        here = cut.piece == pointed
        shapes.append(Polygon(cut.outline_m, role="infill", hatch="slant" if cut.piece in board.cut else None,
                              edge="accent" if here else "edge", heavy=here))
    shapes += [Label(_middle(cut.outline_m), f" {short(cut.piece)} ", "strong") for cut in board.cuts]
    return shapes


def _stick(stick: StickView, pointed: str | None) -> list[Shape]:
    high = stick.length_m * STICK_HIGH
    shapes: list[Shape] = [Polygon(_box((0.0, 0.0), (stick.length_m, high)), role="track", hatch="sparse",
                                   edge="muted")]
    at, labels = 0.0, []
    for cut in stick.cuts:
        box = _box((at, 0.0), (cut.length_m, high))
        here = cut.piece == pointed
        shapes.append(Polygon(box, role="track", hatch="slant" if cut.piece in stick.cut else "blank",
                              edge="accent" if here else "edge", heavy=here))
        labels.append(Label(_middle(box), f" {short(cut.piece)} ", "strong"))
        at += cut.length_m
    return [*shapes, *labels]


def _box(at: Point, size: tuple[float, float]) -> tuple[Point, ...]:
    (x, y), (width, height) = at, size
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def _middle(outline: Sequence[Point]) -> Point:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def steps_of(part: Part, pointed: str | None, unit: str, width: int,
             warned: Iterable[tuple[str, str]] = ()) -> list[Line]:
    """Its cuts in order, each with the pieces that come free; the piece pointed at carries the sign.

    What is to be known of its bays before it is cut stands beneath: (bay, warning).
    """
    bays = {cut.bay for cut in part.cuts}
    lines = [line for line, _ in _steps(part, pointed, unit, width)]
    for bay, text in warned:
        if bay in bays:
            lines += wrapped(f"{bay}: {text}", "order", width - 1, spans((" ! ", "order")))
    return lines


def rows_of(part: Part, piece: str, unit: str, width: int) -> range:
    """The rows of the steps that free a piece, down to its own; the first piece has those above it too."""
    first = 0
    for row, (_, freed) in enumerate(_steps(part, piece, unit, width)):
        if freed == piece:
            return range(first, row + 1)
        if freed:
            first = row + 1
    return range(0)


Step = tuple[Line, str]
"""A row, and the piece it is of; empty for another."""


def _steps(part: Part, pointed: str | None, unit: str, width: int) -> Iterator[Step]:
    source = "" if part.from_ == "new" else f", offcut {part.from_}"
    size = (_size(part.size_m, unit) if isinstance(part, BoardView) else figures.length(part.length_m, unit))
    yield spans((f" {name_of(part)}", "title"), (f"  {part.item}{source}, {size}", "muted")), ""
    yield (() if part.here else spans(("    ~ not here yet", "order"))), ""
    if isinstance(part, BoardView):
        yield from _board_steps(part, pointed, unit, width)
    else:
        yield from _stick_steps(part, pointed, unit)


def _board_steps(board: BoardView, pointed: str | None, unit: str, width: int) -> Iterator[Step]:
    sizes = {cut.piece: _size(cut.size_m, unit) + (", face down" if cut.flipped else "") for cut in board.cuts}
    freed = {piece for step in board.saw for piece in step.frees}
    for cut in board.cuts:
        if cut.piece not in freed:
            yield spans("    whole, no cut"), ""
            yield _piece(cut.piece, sizes[cut.piece], board.cut, pointed), cut.piece
    for number, step in enumerate(board.saw, 1):
        for line in wrapped(step.text, "strong", width, spans((f" {number:>2} ", "muted"))):
            yield line, ""
        for piece in step.frees:
            yield _piece(piece, sizes[piece], board.cut, pointed), piece
    if board.offcuts:
        left = ", ".join(_size(one.size_m, unit) for one in board.offcuts)
        for line in wrapped(f"keep {left}", "muted", width, spans("    ")):
            yield line, ""


def _stick_steps(stick: StickView, pointed: str | None, unit: str) -> Iterator[Step]:
    for number, cut in enumerate(stick.cuts, 1):
        ends = cut.ends[0] if cut.ends[0] == cut.ends[1] else " / ".join(cut.ends)
        yield spans((f" {number:>2} ", "muted"), (figures.length(cut.length_m, unit), "strong"),
                    (f"  {ends}", "plain")), ""
        yield _piece(cut.piece, "", stick.cut, pointed), cut.piece
    if stick.left_m > 0:
        yield spans((f"    left {figures.length(stick.left_m, unit)}", "muted")), ""


def _piece(piece: str, size: str, cut: Sequence[str], pointed: str | None) -> Line:
    here = piece == pointed
    return spans(("   ▸ " if here else "     ", "accent"), ("x " if piece in cut else "· ", "done"),
                 (piece, "accent" if here else "plain"), (f"  {size}", "muted"))


def _size(size_m: tuple[float, float], unit: str) -> str:
    return " × ".join(figures.length(side, unit) for side in size_m)
