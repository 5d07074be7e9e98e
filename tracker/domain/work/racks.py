"""An item with its offcuts on the rack, as a cutting plan takes them."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.domain.cutting.plans import (
    HAIRLINE_M,
    MIN_SLIVER_M,
    BoardStock,
    Offcut1,
    Offcut2,
    RollStock,
    StickStock,
)
from tracker.domain.site import Item
from tracker.domain.stock.pieces import Offcut


def board_stock(item: Item, rack: Iterable[Offcut] = ()) -> BoardStock:
    """A board item; sizes m."""
    return BoardStock(
        item=item.name, length_m=item.length_m or 0, width_m=item.width_m or 0, kerf_m=item.kerf_m,
        turnable=item.turnable, waste_below_m=item.waste_below_m, flippable=item.face_down,
        sliver_m=MIN_SLIVER_M if item.sliver_m is None else item.sliver_m,
        hairline_m=HAIRLINE_M if item.hairline_m is None else item.hairline_m,
        offcuts=tuple(Offcut2(one.id, one.length_m, one.width_m) for one in rack if one.width_m))


def stick_stock(item: Item, rack: Iterable[Offcut] = ()) -> StickStock:
    """A stick item; sizes m."""
    return StickStock(item=item.name, length_m=item.length_m or 0, kerf_m=item.kerf_m,
                      waste_below_m=item.waste_below_m,
                      offcuts=tuple(Offcut1(one.id, one.length_m) for one in rack))


def roll_stock(item: Item, rack: Iterable[Offcut] = ()) -> RollStock:
    """A roll item; sizes m."""
    return RollStock(item=item.name, width_m=item.width_m or 0, tuck_m=item.tuck_m, turnable=item.turnable,
                     waste_below_m=item.waste_below_m,
                     offcuts=tuple(Offcut2(one.id, one.length_m, one.width_m) for one in rack if one.width_m))
