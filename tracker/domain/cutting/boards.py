"""The cutting plan of a board item: all bays together, offcuts first, then the fewest new boards."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import replace

from tracker.domain.cutting.bounds import least_boards
from tracker.domain.cutting.corners import corner_joints, inner_corners
from tracker.domain.cutting.layout import lay_out, likely_layouts
from tracker.domain.cutting.mend import mend
from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.packing import Filled, Saw, best_fill
from tracker.domain.cutting.pairs import UM, blocks_of, shape_of
from tracker.domain.cutting.plans import BoardPlan, BoardStock, Need2, Piece
from tracker.domain.cutting.sawing import board_cut

Progress = Callable[[float, int], bool | None]
PIECE_COST = 0.14
"""Boards that one more piece to cut and fit is worth: some minutes against the price of a board. Common practice, no
source."""
PROOFS = 20
"""Rounds of bounding to begin with, and for each second of search."""
MENDS = 300
"""Rounds of mending for each second of search."""


def saw_of(stock: BoardStock) -> Saw:
    """The item's board, saw and offcuts in um, the smallest offcut first."""
    offcuts = sorted((one.length_m * one.width_m, one.id, one) for one in stock.offcuts)
    sizes = tuple((one.id, round(one.length_m * UM), round(one.width_m * UM)) for _, _, one in offcuts)
    return Saw(
        round(stock.length_m * UM), round(stock.width_m * UM), round(stock.kerf_m * UM), stock.turnable, sizes
    )  # fmt: skip


def plan_boards(
    needs: Sequence[Need2], stock: BoardStock, *, seconds: float = 0.0, seed: int = 0, progress: Progress | None = None,
    proof: bool = True,
) -> BoardPlan:
    """Which board each piece of the bays comes from, sizes m.

    `seconds` is the search worth spending, in seconds of an ordinary machine; 0 answers at once. The same input and
    seed give the same plan. `progress(share done, new boards so far)` may return True to stop with the best so far.
    Without `proof` it is not looked into whether fewer boards could do.
    """
    if len(needs) == 1:
        quick = min((pack_boards(pieces, stock) for pieces in likely_layouts(needs[0], stock)), key=_rank)
    else:
        quick = pack_boards([piece for need in needs for piece in lay_out(need, stock)], stock)
    quick = _told_corners(quick, needs)
    if seconds <= 0 or not quick.pieces:
        return quick
    from tracker.domain.cutting.together import searched_layouts

    rounds = int(MENDS * seconds)
    plans = [quick]
    for layout in searched_layouts(
        needs, stock, saw_of(stock), piece_cost=PIECE_COST, seconds=seconds, seed=seed, progress=progress
    ):
        plans.append(_told_corners(pack_boards(layout, stock, mends=rounds, seed=seed), needs))
    # Fewer pieces are worth some boards among the layouts found, never more boards than the plan made at once.
    best = min((plan for plan in plans if plan.need <= quick.need), key=lambda plan: _cost(plan, stock))
    if not proof:
        return best
    proved = pack_boards(best.pieces, stock, mends=rounds, seed=seed, prove=proofs(seconds))
    return replace(proved if proved.need <= best.need else best, corner_joints=best.corner_joints)


def proofs(seconds: float) -> int:
    """Rounds of bounding that a search of so many seconds is worth; none where it answers at once."""
    return PROOFS + int(PROOFS * seconds) if seconds > 0 else 0


def _cost(plan: BoardPlan, stock: BoardStock) -> tuple[float, int]:
    cost = plan.need + PIECE_COST * len(plan.pieces) + stock.corner_cost * plan.corner_joints
    return cost, plan.need


def _told_corners(plan: BoardPlan, needs: Sequence[Need2]) -> BoardPlan:
    """The plan with its joints over the corners of openings counted."""
    outlines = defaultdict(list)
    for piece in plan.pieces:
        outlines[piece.bay].append(piece.outline_m)
    return replace(
        plan, corner_joints=sum(corner_joints(inner_corners(need.infill), outlines[need.bay]) for need in needs)
    )


def _rank(plan: BoardPlan) -> tuple[int, int]:
    return plan.need, len(plan.pieces)


def pack_boards(
    pieces: Sequence[Piece], stock: BoardStock, *, mends: int = 0, seed: int = 0, prove: int = 0,
    lot_of: Sequence[int] = (),
) -> BoardPlan:
    """The plan for pieces already laid out, made better in `mends` rounds; with `prove` rounds of a lower bound.

    A plan that is still above that bound is mended for as many rounds again. Where `lot_of` gives each piece a lot,
    those of the earlier lots wait for as few boards as is found.
    """
    saw = saw_of(stock)
    shapes = [shape_of(piece.outline_m) for piece in pieces]
    net = sum(area_m2(piece.outline_m) for piece in pieces)
    area_bound = bound_by_area(net, stock)
    bound = max(area_bound, least_boards(shapes, saw))
    blocks = blocks_of(shapes, saw.length, saw.width, saw.kerf, stock.turnable, stock.flippable)
    seen: list[Filled] = []
    boards = mend(best_fill(blocks, saw), saw, mends, seed, bound, seen)
    need = _new(boards)
    if prove and need > bound:
        from tracker.domain.cutting.columns import bound_by_sawing

        bound = bound_by_sawing(shapes, saw, stock.flippable, [*seen, *boards], need, bound, prove)
        boards = mend(boards, saw, mends, seed + 1, bound)
        need = _new(boards)
    if lot_of:
        from tracker.domain.cutting.earlier import earlier_boards

        boards = earlier_boards(boards, saw, lot_of, mends, seed)
    return BoardPlan(
        item=stock.item,
        boards=tuple(board_cut(board, pieces, stock) for board in boards),
        pieces=tuple(pieces),
        net_m2=net,
        need=need,
        lower_bound=bound,
        proved_least=need == bound,
        area_bound=area_bound,
    )


def _new(boards: Sequence[Filled]) -> int:
    return sum(board.source == "new" for board in boards)


def bound_by_area(net_m2: float, stock: BoardStock) -> int:
    """New boards that a net area, m2, needs at the least with all offcuts used up.

    Source: definition.
    """
    left = net_m2 - sum(one.length_m * one.width_m for one in stock.offcuts)
    return max(0, math.ceil(left / (stock.length_m * stock.width_m) - 1e-6))
