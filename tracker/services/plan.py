"""The take-off with its cutting plan, and the shopping list that follows from what is short."""

from __future__ import annotations

from math import ceil

from tracker.domain.cutting.plans import BoardCut
from tracker.domain.site import STEPS, Item
from tracker.domain.work.allotment import Allotment
from tracker.domain.work.material import all_material
from tracker.domain.work.order import order_of_work
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import Progress
from tracker.domain.work.targets import Target, find_target, whole_site
from tracker.measures import factor
from tracker.services.allotment import allot
from tracker.services.answers import (
    BoardView,
    BuyLine,
    CutView,
    LeftView,
    NeedLine,
    PieceView,
    RollView,
    Shopping,
    StickCutView,
    StickView,
    StripView,
    TakeOff,
)
from tracker.services.desk import Desk, Standing


def take_off(desk: Desk, target: str | None = None, everything: bool = False) -> TakeOff:
    """What remains of the target, or all of it as if nothing were done, planned as one."""
    now = desk.standing()
    found = whole_site(now.site) if target is None else find_target(now.site, target)
    plan = _plan(now, found, everything)
    return TakeOff(
        site=now.site.name, target=None if target is None else found.name, items=_lines(now, plan),
        boards=tuple(_board(board) for boards in plan.boards for board in boards.boards),
        pieces=tuple(PieceView(piece.name, piece.bay, piece.outline_m) for boards in plan.boards
                     for piece in boards.pieces),
        sticks=tuple(StickView(stick.item, stick.source, stick.length_m,
                               tuple(StickCutView(cut.piece, cut.bay, cut.length_m, cut.ends) for cut in stick.cuts),
                               stick.left_m)
                     for sticks in plan.sticks for stick in sticks.sticks),
        rolls=tuple(RollView(roll.item, roll.width_m, roll.length_m,
                             tuple(StripView(strip.bay, strip.source, strip.at_m, strip.size_m, strip.turned)
                                   for strip in roll.strips)) for roll in plan.rolls))


def _plan(now: Standing, target: Target, everything: bool) -> WorkPlan:
    shared = allot(now)
    if everything:
        materials = all_material(now.site, shared.shapes, target.units, Progress(), STEPS)
        return plan_work(now.site, materials, ())
    return shared.share_of(target.units).plan


def _lines(now: Standing, plan: WorkPlan) -> tuple[NeedLine, ...]:
    return tuple(NeedLine(item=one.item, form=now.site.item[one.item].form, unit=now.site.item[one.item].unit,
                          net=round(one.net, 6), need=one.need, offcuts_used=len(one.offcuts),
                          proved_least=one.proved_least) for one in plan.items.values())


def _board(board: BoardCut) -> BoardView:
    return BoardView(
        item=board.item, from_=board.source, size_m=board.size_m,
        cuts=tuple(CutView(cut.piece, cut.bay, cut.at_m, cut.size_m, cut.turned, cut.outline_m) for cut in board.cuts),
        offcuts=tuple(LeftView(one.at_m, one.size_m) for one in board.offcuts))


def shopping(desk: Desk, target: str | None = None) -> Shopping:
    """What to order, in packs: what is short and not yet on order, for the target or for all that remains."""
    now = desk.standing()
    shared = allot(now)
    short = _short_of(now, shared, target)
    lines = tuple(_buy_line(now, shared, item, short[item.name], target) for item in now.site.items
                  if short.get(item.name, 0.0) > 0)
    return Shopping(site=now.site.name, target=target, currency=now.site.currency, items=lines,
                    total_cost=round(sum(line.cost or 0.0 for line in lines), 2))


def _short_of(now: Standing, shared: Allotment, target: str | None) -> dict[str, float]:
    if target is None:
        found = {}
        for item, need in shared.needed.items():
            balance = now.pool.balance(item)
            found[item] = max(0.0, round(need - balance.on_hand - balance.on_order, 6))
        return found
    share = shared.share_of(find_target(now.site, target).units)
    return {item: max(0.0, round(share.short(item) - share.pool.coming(item), 6)) for item in share.plan.items}


def _buy_line(now: Standing, shared: Allotment, item: Item, short: float, target: str | None) -> BuyLine:
    packs = short if item.form == "roll" else float(ceil(short / item.pack - 1e-9))
    quantity = short if item.form == "roll" else packs * item.pack
    priced_m = float(factor("yard", "m")) if now.site.unit == "in" else 1.0
    cost = None
    if item.price is not None:
        cost = round(item.price * (quantity / priced_m if item.form == "roll" else packs), 2)
    return BuyLine(item=item.name, unit=item.unit, need=short, packs=packs, pack=item.pack, quantity=quantity,
                   cost=cost, lead_days=item.lead_days, floor_area_packs=_by_area(now, shared, item, target))


def _by_area(now: Standing, shared: Allotment, item: Item, target: str | None) -> float | None:
    """Packs that the area alone would ask for, for all that remains of the target."""
    if item.form != "board" or not item.length_m or not item.width_m:
        return None
    units = tuple(order_of_work(now.site)) if target is None else find_target(now.site, target).units
    plan = shared.share_of(units).plan.items.get(item.name)
    if plan is None:
        return None
    boards = ceil(plan.net / (item.length_m * item.width_m))
    return float(ceil(max(0.0, boards - now.pool.balance(item.name).on_hand) / item.pack))
