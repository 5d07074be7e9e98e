"""A board or stick that loses some of its pieces, and what is then left over of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from tracker.domain.cutting.plans import BoardCut, OffcutMade, PieceCut, SawCut, StickCut, StickPart
from tracker.domain.site import Item
from tracker.domain.work.cut_list import Cut

Box = tuple[float, float, float, float]


def freed(board: BoardCut, cuts: tuple[PieceCut, ...], item: Item) -> BoardCut:
    """A board of an item that keeps only these pieces; the places of the others are left over, sizes m.

    Where something else lies in such a place it is not. Source: definition.
    """
    taken = [_box(cut) for cut in cuts]
    made: list[OffcutMade] = []
    lines = set()
    for cut in board.cuts:
        if cut in cuts or any(_overlap(_box(cut), other) for other in taken):
            continue
        taken.append(_box(cut))
        lines |= {saw for saw in board.saw if saw.kind == "line" and _overlap(_panel(saw), _box(cut))}
        if min(cut.size_m) >= max(item.waste_below_m, 1e-6):
            made.append(OffcutMade(cut.at_m, cut.size_m))
    saw = tuple(one for one in board.saw if one not in lines)
    return replace(board, cuts=cuts, offcuts=(*board.offcuts, *made), saw=saw)


def _box(cut: PieceCut) -> Box:
    return (*cut.at_m, cut.at_m[0] + cut.size_m[0], cut.at_m[1] + cut.size_m[1])


def _panel(saw: SawCut) -> Box:
    (x, y), (width, height) = saw.panel_at_m, saw.panel_size_m
    return (x, y, x + width, y + height)


def _overlap(one: Box, other: Box) -> bool:
    return all(one[axis] + 1e-6 < other[axis + 2] and other[axis] + 1e-6 < one[axis + 2] for axis in (0, 1))


def freed_stick(stick: StickCut, cuts: tuple[StickPart, ...], item: Item) -> StickCut:
    """A stick of an item that keeps only these parts; the lengths of the others, m, are left over. Definition."""
    left = stick.left_m + sum(part.length_m for part in stick.cuts if part not in cuts)
    return replace(stick, cuts=cuts, left_m=left, keeps=left >= max(item.waste_below_m, 1e-6))


def without(parts: Iterable[Cut], piece: str) -> list[Cut]:
    """Boards or sticks without a piece, whose place is lost; one with nothing else on it goes."""
    left = []
    for part in parts:
        cuts = tuple(cut for cut in part.cuts if cut.piece != piece)
        if cuts:
            left.append(part if len(cuts) == len(part.cuts) else replace(part, cuts=cuts, begun=True))
    return left


def left_of(part: BoardCut | StickCut) -> tuple[tuple[float, float | None], ...]:
    """What is left for certain of a board or stick whose only piece was cut wrong: lengths and widths, m.

    The remainders that through cuts part from the piece, and of a stick what lies beyond the piece and its kerf, where
    they are no waste. Source: definition.
    """
    if isinstance(part, StickCut):
        return ((part.left_m, None),) if part.keeps else ()
    return tuple((max(one.size_m), min(one.size_m)) for one in part.offcuts)
