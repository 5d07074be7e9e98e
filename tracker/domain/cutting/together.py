"""All bays of a target laid out together: options for each, the search over them, and the best layouts as pieces."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np

from tracker.domain.cutting.layout import board_of, lay_out, named
from tracker.domain.cutting.options import Option, at_origin, corner_of, options_of, useful_leads
from tracker.domain.cutting.outlines import Part
from tracker.domain.cutting.packing import Saw
from tracker.domain.cutting.pairs import UM, blocks_of, shape_of
from tracker.domain.cutting.plans import BoardStock, Need2, Piece
from tracker.domain.cutting.search import Weigher, search

WEIGHED = 350
"""Layouts of single bays weighed beforehand for each second of search, shared out over bays that differ."""
LEAST_WEIGHED, MOST_WEIGHED = 6, 150
"""Fewest and most of them for one bay."""
WORK = 3600.0
"""Part boards weighed in a round, times rounds, for each second of search on an ordinary machine."""
STEADY = 30
"""Part boards' worth of work in a round whatever the bays."""
LAYOUTS = 2
"""Layouts handed on to be packed with care."""


def searched_layouts(
    needs: Sequence[Need2],
    stock: BoardStock,
    saw: Saw,
    *,
    piece_cost: float,
    seconds: float,
    seed: int,
    progress: Callable[[float, int], bool | None] | None,
) -> Iterator[tuple[Piece, ...]]:
    """The best layouts found of all bays together, m; bays whose layout is settled, or only part left, keep theirs."""
    board = board_of(stock)
    settled = {at: lay_out(need, stock) for at, need in enumerate(needs) if need.pieces is not None or need.anchor_m}
    open_needs = [need for at, need in enumerate(needs) if at not in settled and need.infill]
    if not open_needs:
        return
    leads = useful_leads([need.infill for need in open_needs], board)
    kinds = len({at_origin(need.infill) for need in open_needs})
    most = min(MOST_WEIGHED, max(LEAST_WEIGHED, int(seconds * WEIGHED / kinds)))
    options = [options_of(need.infill, board, stock.turnable, leads, most) for need in open_needs]
    fixed = [piece for pieces in settled.values() for piece in pieces]
    weigher = Weigher(options, saw, stock.flippable, _sizes(fixed, saw, stock.flippable), piece_cost,
                      stock.corner_cost)
    pieces = sum(len(some[0].square) + len(some[0].slanted) for some in options) + len(fixed)
    rounds = max(4, int(seconds * WORK / (pieces + STEADY)))

    def told(share: float, cost: float) -> bool | None:
        return progress(share, int(cost)) if progress is not None else None

    for choice in list(dict.fromkeys(search(weigher, rounds, seed, told)))[:LAYOUTS]:
        laid = {id(need): some[at] for need, some, at in zip(open_needs, options, choice, strict=True)}
        yield tuple(
            piece
            for at, need in enumerate(needs)
            for piece in (settled[at] if at in settled else _named(need, laid.get(id(need))))
        )


def _sizes(pieces: Iterable[Piece], saw: Saw, flippable: bool) -> np.ndarray:
    shapes = [shape_of(piece.outline_m) for piece in pieces]
    blocks = blocks_of(shapes, saw.length, saw.width, saw.kerf, saw.turnable, flippable)
    return np.array([(b.width + saw.kerf, b.height + saw.kerf) for b in blocks]).reshape(-1, 2) / UM


def _named(need: Need2, option: Option | None) -> tuple[Piece, ...]:
    if option is None:
        return ()
    dx, dy = corner_of(need.infill)
    return named(need.bay, (_moved(part, dx, dy) for part in option.parts))


def _moved(part: Part, dx: float, dy: float) -> Part:
    x0, y0, x1, y1 = part.box
    ring = tuple((x + dx, y + dy) for x, y in part.outline)
    return Part(ring, (x0 + dx, y0 + dy, x1 + dx, y1 + dy), part.square)
