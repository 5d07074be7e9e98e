"""What plans ask of one item: its pieces, what cutting them leaves, and what a piece cut again is cut from."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from tracker.domain.buying.measuring import INFILL_GAP_M, TRACK_GAP_M, chance_too_short
from tracker.domain.cutting.plans import Size
from tracker.domain.site import Item
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.planning import WorkPlan

_BREADTH_M = 1.0
"""Sticks are counted as panels of this width, so that one rule serves boards, rolls and sticks."""
_SAME_M = 1e-6


@dataclass(frozen=True, slots=True)
class Lot:
    """Pieces cut as one, and the offcuts they leave: sizes m (along, across) as they lie."""

    pieces: tuple[Size, ...]
    leaves: tuple[Size, ...] = ()


@dataclass(frozen=True, slots=True)
class Demand:
    """What plans ask of one item, over and above offcuts used, in its unit."""

    item: str
    need: float
    lots: tuple[Lot, ...] = ()
    """In the order of work: a piece is cut again from what its own lot and earlier ones leave."""
    fresh_m: Size = (0.0, 0.0)
    """A new board or stick; of a roll only its width counts."""
    by_length: bool = False
    """Counted in metres off the roll, not in boards or sticks."""
    kerf_m: float = 0.0
    turnable: bool = False
    waste_below_m: float = 0.0
    loose: float = 0.0
    """Part of `need` that is not cut: fixings, and what tasks take."""
    gap_m: float | None = None
    """A piece shorter than its place by more is cut again; None: its edges are hidden."""

    def chance_too_short(self, piece: Size, error_m: float | None) -> float:
        """Chance (0 to 1) that measuring makes a piece, m, too short; a side that is not cut can't be.

        `error_m` is the standard deviation of a measured length, m; None: a class II tape.
        Source: `chance_too_short` of the buying part's measuring.
        """
        if self.gap_m is None:
            return 0.0
        cut = tuple(side for side, whole in zip(piece, self.fresh_m, strict=True) if side < whole - _SAME_M)
        return chance_too_short(cut, self.gap_m, error_m)


def demand_of(item: Item, plans: Sequence[WorkPlan], rack: Iterable[Offcut] = (),
              cut: Collection[str] = ()) -> Demand:
    """What plans that follow one another ask of an item.

    `rack` holds the offcuts in stock none of them uses, `cut` the names of pieces that are cut already and can't be
    spoiled any more. Sizes m, quantities in the item's unit. Source: definition.
    """
    need = sum(plan.needs.get(item.name, 0.0) for plan in plans)
    lots, cut_need = [], 0.0
    for plan in plans:
        lot, of_lot = _lot(item, plan, cut)
        if lot is not None:
            lots.append(lot)
            cut_need += of_lot
    if lots:
        kept = tuple(_size(one.length_m, one.width_m) for one in rack if one.item == item.name)
        lots[0] = Lot(lots[0].pieces, kept + lots[0].leaves)
    return Demand(
        item=item.name, need=round(need, 6), lots=tuple(lots), fresh_m=_size(item.length_m or 0.0, item.width_m),
        by_length=item.form == "roll", kerf_m=item.kerf_m, turnable=item.turnable and item.form != "stick",
        waste_below_m=item.waste_below_m, loose=max(0.0, round(need - cut_need, 6)),
        gap_m={"board": INFILL_GAP_M, "stick": TRACK_GAP_M}.get(item.form))


def _size(length_m: float, width_m: float | None) -> Size:
    return length_m, _BREADTH_M if width_m is None else width_m


def _lot(item: Item, plan: WorkPlan, cut: Collection[str]) -> tuple[Lot | None, float]:
    """The pieces a plan cuts from the item, with what they leave, and what they take, in the item's unit."""
    for boards in plan.boards:
        if boards.item == item.name:
            return Lot(tuple(one.size_m for board in boards.boards for one in board.cuts
                             if one.piece not in cut and not _waiting(board.source, board.size_m, one.size_m)),
                       tuple(one.size_m for board in boards.boards for one in board.offcuts)), boards.need
    for sticks in plan.sticks:
        if sticks.item == item.name:
            return Lot(tuple(_size(one.length_m, None) for stick in sticks.sticks for one in stick.cuts
                             if one.piece not in cut and not _waiting(stick.source, stick.length_m, one.length_m)),
                       tuple(_size(stick.left_m, None) for stick in sticks.sticks if stick.keeps)), sticks.need
    for roll in plan.rolls:
        if roll.item == item.name:
            return Lot(tuple(strip.size_m for strip in roll.strips),
                       tuple(one.size_m for one in roll.offcuts)), roll.length_m
    return None, 0.0


def _waiting(source: str, whole: Size | float, piece: Size | float) -> bool:
    """Is it a piece that was cut and is kept on the rack as such?"""
    return source != "new" and whole == piece
