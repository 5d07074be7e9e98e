"""Lots of work cut one after the other: what the earlier ones leave over is there for the later, never the other way.

Cut all together, a lot that comes first may wait for more than it would alone: that is worth it only where it saves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from tracker.domain.cutting.boards import (
    MENDS,
    Progress,
    bound_by_area,
    pack_boards,
    plan_boards,
    proofs,
    saw_of,
)
from tracker.domain.cutting.bounds import least_boards
from tracker.domain.cutting.earlier import earlier_sticks
from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.pairs import shape_of
from tracker.domain.cutting.placing import filled_up, filled_up_sticks, left_of_boards, left_of_sticks
from tracker.domain.cutting.plans import (
    BoardCut,
    BoardPlan,
    BoardStock,
    Need2,
    Piece,
    StickCut,
    StickPiece,
    StickPlan,
    StickStock,
)
from tracker.domain.cutting.sticks import begun_of, cut_of, plan_sticks, spliced

Plan = TypeVar("Plan", BoardPlan, StickPlan)
Part = TypeVar("Part", BoardCut, StickCut)
APART = 0.25
"""Share of the search that goes into planning the lots one after the other. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Weighed(Generic[Plan]):
    """The plan of several lots, and what each lot waits for in it and where they are cut one after the other."""

    plan: Plan
    needs: tuple[int, ...]
    """New boards or sticks that each lot is the first to need."""
    apart: tuple[int, ...]
    """The same where the lots are cut one after the other."""


def first_needed(parts: Sequence[BoardCut | StickCut], lot_of: Mapping[str, int], lots: int) -> tuple[int, ...]:
    """How many new boards or sticks each lot is the first to need; `lot_of` gives the lot of each piece by its name."""
    found = [0] * lots
    for part in parts:
        if part.source == "new":
            found[min(lot_of[cut.piece] for cut in part.cuts)] += 1
    return tuple(found)


def weigh_boards(lots: Sequence[Sequence[Need2]], stock: BoardStock, *, seconds: float = 0.0, seed: int = 0,
                 progress: Progress | None = None) -> Weighed[BoardPlan]:
    """The plan of the lots, sizes m: cut one after the other, or all together where that saves new boards.

    Where it does, the earlier lots wait for as few as is found. Lots share `seconds` of search by their area.
    Source: definition (fewest new boards; of as many, those that the earlier lots wait for the least).
    """
    needs = [need for lot in lots for need in lot]
    lot_of_bay = {need.bay: at for at, lot in enumerate(lots) for need in lot}

    def counts(plan: BoardPlan) -> tuple[int, ...]:
        lot_of = {piece.name: lot_of_bay[piece.bay] for piece in plan.pieces}
        return first_needed(plan.boards, lot_of, len(lots))

    def weighed(plan: BoardPlan, apart: BoardPlan) -> Weighed[BoardPlan]:
        return Weighed(plan, counts(plan), counts(apart))

    if len(lots) < 2:
        plan = plan_boards(needs, stock, seconds=seconds, seed=seed, progress=progress)
        return weighed(plan, plan)
    rounds = int(MENDS * seconds)
    apart = _boards_apart(lots, stock, seconds * APART, seed, _part(progress, 0.0, APART))
    apart = min((apart, _packed_apart(apart, lot_of_bay, stock, rounds, seed)),
                key=lambda plan: (plan.need, counts(plan)))
    if apart.proved_least:
        return weighed(apart, apart)
    joint = plan_boards(needs, stock, seconds=seconds * (1 - APART), seed=seed, progress=_part(progress, APART, 1.0))

    def packed(pieces: Sequence[Piece], corner_joints: int, prove: int = 0) -> BoardPlan:
        plan = pack_boards(pieces, stock, mends=rounds, seed=seed, prove=prove,
                           lot_of=[lot_of_bay[piece.bay] for piece in pieces])
        return replace(plan, corner_joints=corner_joints)

    others = [packed(apart.pieces, apart.corner_joints), packed(joint.pieces, joint.corner_joints), joint]
    if joint.need < apart.need:
        others.append(_packed_apart(joint, lot_of_bay, stock, rounds, seed))
    if min(apart.need, others[0].need) <= joint.need:
        # The layout of the lots one by one may be the one to take: fewer boards still, or is it proved?
        others[0] = proved = packed(apart.pieces, apart.corner_joints, proofs(seconds))
        apart = replace(apart, lower_bound=min(apart.need, proved.lower_bound),
                        proved_least=apart.need <= proved.lower_bound)
    if apart.need <= min(plan.need for plan in others):
        return weighed(apart, apart)
    best = min(others, key=lambda plan: (plan.need, counts(plan), len(plan.pieces)))
    if best.pieces == joint.pieces:
        best = replace(best, lower_bound=joint.lower_bound, proved_least=best.need == joint.lower_bound)
    lot_of = {piece.name: lot_of_bay[piece.bay] for piece in best.pieces}
    return weighed(replace(best, boards=_first_lots_first(best.boards, lot_of)), apart)


def _boards_apart(lots: Sequence[Sequence[Need2]], stock: BoardStock, seconds: float, seed: int,
                  progress: Progress | None) -> BoardPlan:
    areas = [sum(area_m2(ring) for need in lot for ring, _ in need.infill) for lot in lots]
    whole = sum(areas) or 1.0
    done = 0.0

    def plan(lot: int, own: BoardStock, begun: int) -> BoardPlan:
        nonlocal done
        share = areas[lot] / whole
        told = None if progress is None else _counting(_part(progress, done, done + share), begun)
        done += share
        return plan_boards(lots[lot], own, seconds=seconds * share, seed=seed, progress=told, proof=False)

    return _one_by_one(len(lots), stock, plan)


def _packed_apart(plan: BoardPlan, lot_of_bay: Mapping[str, int], stock: BoardStock, rounds: int,
                  seed: int) -> BoardPlan:
    """The same pieces, those of each lot packed after those before it."""
    lots: list[list[Piece]] = [[] for _ in range(max(lot_of_bay.values()) + 1)]
    for piece in plan.pieces:
        lots[lot_of_bay[piece.bay]].append(piece)
    again = _one_by_one(len(lots), stock,
                        lambda lot, own, _begun: pack_boards(lots[lot], own, mends=rounds, seed=seed))
    return replace(again, corner_joints=plan.corner_joints)


def _one_by_one(lots: int, stock: BoardStock, plan_of: Callable[[int, BoardStock, int], BoardPlan]) -> BoardPlan:
    """The lots planned in turn, each from what is left on the rack and of the boards of those before it."""
    boards: list[BoardCut] = []
    pieces: list[Piece] = []
    corners = 0
    for lot in range(lots):
        taken = {board.source for board in boards}
        rack = tuple(one for one in stock.offcuts if one.id not in taken)
        plan = plan_of(lot, replace(stock, offcuts=(*left_of_boards(boards), *rack)), _new(boards))
        boards = filled_up(boards, plan.boards)
        pieces += plan.pieces
        corners += plan.corner_joints
    net = sum(area_m2(piece.outline_m) for piece in pieces)
    area_bound = bound_by_area(net, stock)
    need = _new(boards)
    bound = min(need, max(area_bound, least_boards([shape_of(piece.outline_m) for piece in pieces], saw_of(stock))))
    return BoardPlan(stock.item, tuple(boards), tuple(pieces), net, need, bound, need == bound, area_bound, corners)


def _first_lots_first(parts: Sequence[Part], lot_of: Mapping[str, int]) -> tuple[Part, ...]:
    """In the order of cutting: what an earlier lot needs comes first."""
    return tuple(sorted(parts, key=lambda part: min(lot_of[cut.piece] for cut in part.cuts)))


def _new(parts: Sequence[BoardCut | StickCut]) -> int:
    return sum(part.source == "new" for part in parts)


def _part(progress: Progress | None, first: float, last: float) -> Progress | None:
    if progress is None:
        return None
    return lambda done, boards: progress(first + (last - first) * done, boards)


def _counting(progress: Progress | None, begun: int) -> Progress | None:
    """Told with the boards of the lots before counted too."""
    return None if progress is None else lambda done, boards: progress(done, begun + boards)


def weigh_sticks(lots: Sequence[Sequence[StickPiece]], stock: StickStock) -> Weighed[StickPlan]:
    """As `weigh_boards` of runs of track, lengths m: exact. Source: definition."""
    joint = plan_sticks([piece for lot in lots for piece in lot], stock, exact=True)
    lot_of = {part.piece: at for at, lot in enumerate(lots) for piece in lot
              for part in spliced(piece, stock.length_m)}

    def counts(plan: StickPlan) -> tuple[int, ...]:
        return first_needed(plan.sticks, lot_of, len(lots))

    if len(lots) < 2:
        return Weighed(joint, counts(joint), counts(joint))
    sticks: list[StickCut] = []
    splices = 0
    for lot in lots:
        taken = {stick.source for stick in sticks}
        rack = tuple(one for one in stock.offcuts if one.id not in taken)
        plan = plan_sticks(lot, replace(stock, offcuts=(*left_of_sticks(sticks), *rack)), exact=True)
        sticks = filled_up_sticks(sticks, plan.sticks)
        splices += plan.splices
    need = _new(sticks)
    apart = replace(joint, sticks=tuple(sticks), need=need, proved_least=need == joint.lower_bound, splices=splices)
    if need <= joint.need:
        return Weighed(apart, counts(apart), counts(apart))
    better = earlier_sticks([begun_of(stick, stock) for stick in joint.sticks], stock, lambda part: lot_of[part.piece])
    sticks = _first_lots_first([cut_of(stick, stock) for stick in better], lot_of)
    plan = replace(joint, sticks=tuple(sticks), need=_new(sticks))
    return Weighed(plan, counts(plan), counts(apart))
