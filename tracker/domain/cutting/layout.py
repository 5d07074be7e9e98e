"""Which boards and part boards cover a bay: the layout that is cut, chosen here for one bay by itself."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from tracker.domain.cutting.grids import Board, Grid, Ground, Lead, lay
from tracker.domain.cutting.outlines import EPS_M, Part, area_m2
from tracker.domain.cutting.plans import HAIRLINE_M as HAIRLINE_M
from tracker.domain.cutting.plans import MIN_SLIVER_M as MIN_SLIVER_M
from tracker.domain.cutting.plans import BoardStock, Need2, Piece, Point, Region

PIECE_COST = 0.06
"""Boards' worth of work that one more piece is reckoned at."""


def board_of(stock: BoardStock) -> Board:
    """What the layout needs of a board item, m."""
    return Board(stock.length_m, stock.width_m, max(stock.sliver_m, stock.hairline_m), stock.hairline_m)


def lay_out(
    need: Need2,
    stock: BoardStock,
    anchor: Point | None = None,
    grid: Grid | None = None,
) -> tuple[Piece, ...]:
    """The pieces that cover a bay's net infill exactly, largest boards practical, in reading order from the lower left.

    Lengths m. `anchor` is the lower left of the whole net infill where `need` is only what is left of it. `grid` lays
    the rows so; left out, the likely best of a few is taken.
    """
    if need.pieces is not None:
        return need.pieces
    board = board_of(stock)
    anchor = anchor or need.anchor_m
    if grid is not None:
        return named(need.bay, lay(Ground(need.infill, anchor), grid, board))
    return named(need.bay, _ranked(need.infill, anchor, board, stock.turnable)[0][2])


def likely_layouts(need: Need2, stock: BoardStock) -> list[tuple[Piece, ...]]:
    """The few layouts of one bay worth packing, m, the likely best first; those with needless slivers left out."""
    if need.pieces is not None:
        return [need.pieces]
    board = board_of(stock)
    ranked = _ranked(need.infill, need.anchor_m, board, stock.turnable)
    return [named(need.bay, parts) for faults, _, parts in ranked if faults == ranked[0][0]]


def named(bay: str, parts: Iterable[Part]) -> tuple[Piece, ...]:
    """Parts with short names, bay and number, bottom row first and left to right."""
    ordered = sorted(parts, key=lambda part: (round(part.box[1], 3), part.box[0]))
    return tuple(Piece(f"{bay} {number}", bay, part.outline) for number, part in enumerate(ordered, 1))


@lru_cache(maxsize=1024)
def _ranked(
    region: Region, anchor: Point | None, board: Board, turnable: bool
) -> list[tuple[tuple[int, int], float, tuple[Part, ...]]]:
    """The simple layouts with their faults and cost, best first."""
    ground = Ground(region, anchor)
    laid = [tuple(lay(ground, grid, board)) for grid in simple_grids(ground, board, turnable)]
    ranked = [(faults_of(parts, ground, board), cost_of(parts, board), parts) for parts in laid]
    return sorted(ranked, key=lambda one: one[:2])


def simple_grids(ground: Ground, board: Board, turnable: bool) -> list[Grid]:
    """The few layouts worth weighing for one bay by itself."""
    leads: tuple[Lead, ...] = ("low",) if ground.rectangle else ("low", "high")
    grids = [Grid(upright, rows) for upright in ((False, True) if turnable else (False,)) for rows in leads]
    return grids + [Grid(grid.upright, "mid", ("mid",)) for grid in grids[:: len(leads)]]


def faults_of(parts: Iterable[Part], ground: Ground, board: Board) -> tuple[int, int]:
    """How many parts are hairlines (or area is lost), and how many slivers narrower than the region makes needful."""
    parts = list(parts)
    lost = abs(sum(part_area(part) for part in parts) - ground.net_m2) > 1e-6 * max(1.0, ground.net_m2)
    hairlines = sum(part.least <= board.hairline for part in parts)
    return hairlines + 100 * lost, sum(part.least < board.sliver - EPS_M for part in parts)


def part_area(part: Part) -> float:
    """Net area of a part, m2.

    Source: definition.
    """
    return part.size[0] * part.size[1] if part.square else area_m2(part.outline)


def cost_of(parts: Iterable[Part], board: Board) -> float:
    """Boards a layout is likely to take: whole ones, and a part board between its area and its share of repeats.

    Source: a guess that steers the choice of layout, not a figure that is shown; common practice, no source.
    """
    return sum(_cost(*part.size, board) + PIECE_COST for part in parts)


def _cost(width: float, height: float, board: Board) -> float:
    shares = [
        1 / (int(board.length / w + EPS_M) * int(board.width / h + EPS_M))
        for w, h in ((width, height), (height, width))
        if w <= board.length + EPS_M and h <= board.width + EPS_M
    ]
    return (min(shares, default=9.0) + width * height / board.area) / 2
