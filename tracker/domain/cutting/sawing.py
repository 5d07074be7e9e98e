"""A filled board as a person cuts it: pieces and offcuts in metres, and the saw cuts in order."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.domain.cutting.packing import Filled, Placed
from tracker.domain.cutting.pairs import UM, Member
from tracker.domain.cutting.plans import BoardCut, BoardStock, OffcutMade, Piece, PieceCut, Point, SawCut


def board_cut(board: Filled, pieces: Sequence[Piece], stock: BoardStock) -> BoardCut:
    """A filled board, um, as a board of the plan, m; panels left are offcuts where neither side is waste."""
    low = max(stock.waste_below_m, 1e-6)
    offcuts = tuple(
        OffcutMade((x / UM, y / UM), (w / UM, h / UM))
        for x, y, w, h in sorted(board.left)
        if min(w, h) / UM >= low - 1e-9
    )
    saw: list[SawCut] = []
    for placed in board.placed:
        saw += _through(placed, stock.kerf_m) + _slanted(placed)
    cuts = tuple(_piece_cut(placed, member, pieces) for placed in board.placed for member in placed.block.members)
    return BoardCut(
        stock.item, board.source, (board.width / UM, board.height / UM), cuts, offcuts, tuple(saw)
    )  # fmt: skip


def _spot(placed: Placed, point: Point) -> Point:
    """A point of a block, m, on its board; a turned block is turned a quarter anticlockwise."""
    x, y = (placed.block.height / UM - point[1], point[0]) if placed.turned else point
    return round(placed.x / UM + x, 7), round(placed.y / UM + y, 7)


def _piece_cut(placed: Placed, member: Member, pieces: Sequence[Piece]) -> PieceCut:
    ring = tuple(_spot(placed, point) for point in member.ring)
    low = min(x for x, _ in ring), min(y for _, y in ring)
    size = member.size[::-1] if placed.turned else member.size
    piece = pieces[member.index]
    return PieceCut(piece.name, piece.bay, low, size, placed.turned, ring, member.flipped)


def _through(placed: Placed, kerf: float) -> list[SawCut]:
    """The through cuts that free a block from its panel, in order."""
    x, y, width, height = (value / UM for value in placed.panel)
    wide, high = (value / UM for value in placed.size)
    cuts = []
    if placed.upright:
        if wide < width:
            cuts.append(SawCut("cross", wide, "left", (x, y), (width, height), (x + wide, y), (x + wide, y + height)))
        if high < height:
            cuts.append(SawCut("rip", high, "lower", (x, y), (wide, height), (x, y + high), (x + wide, y + high)))
        return cuts
    if high < height:
        cuts.append(SawCut("rip", high, "lower", (x, y), (width, height), (x, y + high), (x + width, y + high)))
    if wide < width:
        cuts.append(SawCut("cross", wide, "left", (x, y), (width, high), (x + wide, y), (x + wide, y + high)))
    return cuts


def _slanted(placed: Placed) -> list[SawCut]:
    """The cut that parts two nested pieces, then those that shape each piece out of its rectangle."""
    panel = (placed.x / UM, placed.y / UM), (placed.size[0] / UM, placed.size[1] / UM)
    lines = [placed.block.parting] if placed.block.parting else []
    width, height = placed.block.width / UM, placed.block.height / UM
    for member in placed.block.members:
        for a, b in zip(member.ring, member.ring[1:] + member.ring[:1], strict=True):
            rim = any(
                abs(a[k] - side) < 2e-6 and abs(b[k] - side) < 2e-6 for k, size in ((0, width), (1, height))
                for side in (0.0, size)
            )  # fmt: skip
            if not rim and not any(_along(a, b, line) for line in lines):
                lines.append((a, b))
    return [
        SawCut("line", 0.0, "piece", *panel, _spot(placed, start), _spot(placed, end)) for start, end in lines
    ]  # fmt: skip


def _along(a: Point, b: Point, line: tuple[Point, Point]) -> bool:
    """Does the edge a-b lie on the line, within 5 mm (a kerf)?"""
    (x0, y0), (x1, y1) = line
    size = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 or 1.0
    return all(abs((x1 - x0) * (p[1] - y0) - (y1 - y0) * (p[0] - x0)) / size < 0.005 for p in (a, b))
