"""From what is still needed to a plan that can be cut: boards, sticks and rolls, item by item."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from tracker.domain.cutting.boards import plan_boards
from tracker.domain.cutting.plans import (
    BoardPlan,
    BoardStock,
    Cloth,
    Need2,
    Offcut1,
    Offcut2,
    RollPlan,
    RollStock,
    StickPiece,
    StickPlan,
    StickStock,
)
from tracker.domain.cutting.rolls import plan_rolls
from tracker.domain.cutting.sticks import plan_sticks
from tracker.domain.site import Item, Site
from tracker.domain.stock.pieces import Offcut
from tracker.domain.work.material import Material


@dataclass(frozen=True, slots=True)
class ItemPlan:
    """What one item must supply: `net` of finished work (m2, m or pieces), `need` over and above offcuts used."""

    item: str
    net: float
    need: float
    offcuts: tuple[str, ...] = ()
    proved_least: bool = True


@dataclass(frozen=True)
class WorkPlan:
    """Where everything is cut from."""

    items: Mapping[str, ItemPlan]
    boards: tuple[BoardPlan, ...] = ()
    sticks: tuple[StickPlan, ...] = ()
    rolls: tuple[RollPlan, ...] = ()

    @property
    def needs(self) -> dict[str, float]:
        """Item to what must come from stock, in its unit."""
        return {item: plan.need for item, plan in self.items.items()}

    @property
    def offcuts(self) -> frozenset[str]:
        return frozenset(offcut for plan in self.items.values() for offcut in plan.offcuts)


def plan_work(site: Site, materials: Iterable[Material], offcuts: tuple[Offcut, ...]) -> WorkPlan:
    """A plan for all the material together: offcuts first, then new boards, sticks and roll.

    Quantities in each item's unit.
    Source: definition (each piece from one board, stick or roll; the parts of `cutting` say how).
    """
    infill, sticks, cloths = defaultdict(list), defaultdict(list), defaultdict(list)
    nets: dict[str, float] = defaultdict(float)
    counts: dict[str, float] = defaultdict(float)
    for material in materials:
        for item, need in material.infill:
            infill[item].append(need)
        for item, piece, net_m in material.sticks:
            sticks[item].append(piece)
            nets[item] += net_m
        for item, cloth, net_m2 in material.cloths:
            cloths[item].append(cloth)
            nets[item] += net_m2
        for item, count in material.counts:
            counts[item] += count
    rack = defaultdict(list)
    for offcut in offcuts:
        rack[offcut.item].append(offcut)
    board_plans = [_boards(site.item[item], tuple(needs), tuple(rack[item]))
                   for item, needs in infill.items()]
    stick_plans = [_sticks(site.item[item], tuple(pieces), tuple(rack[item]))
                   for item, pieces in sticks.items()]
    roll_plans = [_rolls(site.item[item], tuple(found), tuple(rack[item])) for item, found in cloths.items()]
    items = {plan.item: ItemPlan(plan.item, plan.net_m2, plan.need, _used(board.source for board in plan.boards),
                                 plan.proved_least) for plan in board_plans}
    items |= {plan.item: ItemPlan(plan.item, nets[plan.item], plan.need, _used(stick.source for stick in plan.sticks),
                                  plan.proved_least) for plan in stick_plans}
    items |= {plan.item: ItemPlan(plan.item, nets[plan.item], plan.length_m, _used(strip.source for strip in
                                                                                   plan.strips), plan.proved_least)
              for plan in roll_plans}
    for item, count in counts.items():
        before = items.get(item)
        items[item] = (ItemPlan(item, count, count) if before is None
                       else replace(before, net=before.net + count, need=before.need + count))
    ordered = {item.name: items[item.name] for item in site.items if item.name in items}
    return WorkPlan(ordered, tuple(board_plans), tuple(stick_plans), tuple(roll_plans))


def _used(sources: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(source for source in sources if source != "new"))


@lru_cache(maxsize=4096)
def _boards(item: Item, needs: tuple[Need2, ...], rack: tuple[Offcut, ...]) -> BoardPlan:
    stock = BoardStock(
        item=item.name, length_m=item.length_m or 0, width_m=item.width_m or 0, kerf_m=item.kerf_m,
        turnable=item.turnable, waste_below_m=item.waste_below_m,
        offcuts=tuple(Offcut2(one.id, one.length_m, one.width_m) for one in rack if one.width_m))
    return plan_boards(needs, stock)


@lru_cache(maxsize=4096)
def _sticks(item: Item, pieces: tuple[StickPiece, ...], rack: tuple[Offcut, ...]) -> StickPlan:
    stock = StickStock(item=item.name, length_m=item.length_m or 0, kerf_m=item.kerf_m,
                       waste_below_m=item.waste_below_m,
                       offcuts=tuple(Offcut1(one.id, one.length_m) for one in rack))
    return plan_sticks(pieces, stock)


@lru_cache(maxsize=4096)
def _rolls(item: Item, cloths: tuple[Cloth, ...], rack: tuple[Offcut, ...]) -> RollPlan:
    stock = RollStock(item=item.name, width_m=item.width_m or 0, tuck_m=item.tuck_m, turnable=item.turnable,
                      waste_below_m=item.waste_below_m,
                      offcuts=tuple(Offcut2(one.id, one.length_m, one.width_m) for one in rack if one.width_m))
    return plan_rolls(cloths, stock)
