"""Pieces that need a place once the rest of a plan stands: in what it leaves over, on offcuts, then on new material."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tracker.domain.cutting.boards import pack_boards
from tracker.domain.cutting.plans import (
    BoardCut,
    BoardStock,
    Offcut1,
    Offcut2,
    OffcutMade,
    Piece,
    PieceCut,
    Point,
    SawCut,
    StickCut,
    StickPart,
    StickStock,
)
from tracker.domain.cutting.sticks import cut_of, fitted

_PLAN = "plan:"
"""Marks a remainder that a board or stick of the plan will leave, not one on the rack."""


def place_pieces(pieces: Sequence[Piece], boards: Sequence[BoardCut], stock: BoardStock) -> list[BoardCut]:
    """The boards with the pieces placed too, m; nothing that stands on a board moves.

    What the boards leave and the offcuts of `stock` are filled before a new board is begun.
    """
    if not pieces:
        return list(boards)
    plan = pack_boards(pieces, replace(stock, offcuts=(*left_of_boards(boards), *stock.offcuts)))
    return filled_up(boards, plan.boards)


def left_of_boards(boards: Sequence[BoardCut]) -> tuple[Offcut2, ...]:
    """What the boards of a plan will leave, m, as offcuts that more may be cut from."""
    return tuple(Offcut2(f"{_PLAN}{at}:{number}", *one.size_m)
                 for at, board in enumerate(boards) for number, one in enumerate(board.offcuts))


def filled_up(boards: Sequence[BoardCut], more: Iterable[BoardCut]) -> list[BoardCut]:
    """The boards with what `more` cuts from their remainders in its place, and the others of `more`, m."""
    placed = list(boards)
    filled: dict[int, list[tuple[int, BoardCut]]] = {}
    for board in more:
        if board.source.startswith(_PLAN):
            at, number = (int(part) for part in board.source.removeprefix(_PLAN).split(":"))
            filled.setdefault(at, []).append((number, board))
        else:
            placed.append(board)
    for at, panels in filled.items():
        placed[at] = _with_panels(placed[at], panels)
    return placed


def _with_panels(board: BoardCut, panels: list[tuple[int, BoardCut]]) -> BoardCut:
    """A board with some of its remainders cut further."""
    used = {number for number, _ in panels}
    offcuts = [one for number, one in enumerate(board.offcuts) if number not in used]
    cuts, saw = list(board.cuts), list(board.saw)
    for number, panel in panels:
        by = board.offcuts[number].at_m
        cuts += [_moved_cut(cut, by) for cut in panel.cuts]
        saw += [_moved_saw(cut, by) for cut in panel.saw]
        offcuts += [OffcutMade(_moved(one.at_m, by), one.size_m) for one in panel.offcuts]
    return replace(board, cuts=tuple(cuts), offcuts=tuple(offcuts), saw=tuple(saw))


def _moved(point: Point, by: Point) -> Point:
    return round(point[0] + by[0], 7), round(point[1] + by[1], 7)


def _moved_cut(cut: PieceCut, by: Point) -> PieceCut:
    return replace(cut, at_m=_moved(cut.at_m, by), outline_m=tuple(_moved(point, by) for point in cut.outline_m))


def _moved_saw(cut: SawCut, by: Point) -> SawCut:
    return replace(cut, panel_at_m=_moved(cut.panel_at_m, by), start_m=_moved(cut.start_m, by),
                   end_m=_moved(cut.end_m, by))


def place_parts(parts: Iterable[StickPart], sticks: Sequence[StickCut], stock: StickStock) -> list[StickCut]:
    """The sticks with the parts placed too, m; nothing that stands on a stick moves."""
    found = fitted(parts, replace(stock, offcuts=(*left_of_sticks(sticks), *stock.offcuts)))
    return filled_up_sticks(sticks, (cut_of(stick, stock) for stick in found))


def left_of_sticks(sticks: Sequence[StickCut]) -> tuple[Offcut1, ...]:
    """What the sticks of a plan will leave, m, as offcuts that more may be cut from."""
    return tuple(Offcut1(f"{_PLAN}{at}", one.left_m) for at, one in enumerate(sticks) if one.keeps)


def filled_up_sticks(sticks: Sequence[StickCut], more: Iterable[StickCut]) -> list[StickCut]:
    """The sticks with what `more` cuts from their remainders in its place, and the others of `more`, m."""
    placed = list(sticks)
    for cut in more:
        if not cut.source.startswith(_PLAN):
            placed.append(cut)
            continue
        at = int(cut.source.removeprefix(_PLAN))
        placed[at] = replace(placed[at], cuts=(*placed[at].cuts, *cut.cuts), left_m=cut.left_m, keeps=cut.keeps)
    return placed
