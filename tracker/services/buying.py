"""What to order, in packs: for the plan alone or for a chance of running short, with cost and the last day to order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from math import ceil

from tracker.domain.buying.demand import demand_of
from tracker.domain.buying.first_short import first_short
from tracker.domain.buying.risk import NeedSpread, need_spread, refuse_risk
from tracker.domain.buying.spoil import Spoiled, spoil_rates
from tracker.domain.errors import Refused
from tracker.domain.site import Form, Item
from tracker.domain.stock.pieces import Offcut
from tracker.domain.stock.pool import Pool
from tracker.domain.work.allotment import Allotment, Share, Unit
from tracker.domain.work.calendar import days_reached
from tracker.domain.work.order import remaining
from tracker.domain.work.planning import WorkPlan
from tracker.domain.work.targets import find_target
from tracker.measures import MeasureError, factor, read_length, show_length
from tracker.services.allotment import allot, planned_together
from tracker.services.cut_list import ticked
from tracker.services.desk import Desk, Standing
from tracker.services.hours import hours_left, rates_of
from tracker.services.reasons import target_name
from tracker.services.stock_answers import BuyLine, EnoughLine, Shopping

MOST_ERROR_M = 0.005
"""A measured length that may be wrong by more than this is one to measure again, not to buy for. Common practice, no
source."""
_SLACK = 1e-9


def shopping(desk: Desk, target: str | None = None, risk: float | None = None, error: str | None = None) -> Shopping:
    """What to order, in packs, for the target or for all that remains, less what is on hand, not held and on order.

    `risk`: the least packs whose chance of running short is at most that; None: what the plan needs, nothing spoiled.
    `error`: standard deviation of a measured length, as a person writes it; None: that of a class II tape.
    """
    if risk is not None:
        refuse_risk(risk)
    now = desk.standing()
    error_m = None if error is None else _read_error(now, error)
    wanted = _wanted(now, allot(now), target)
    cut = ticked(now, wanted.shared)
    rates = spoil_rates(_spoiled(now))
    starts = _starts(wanted, desk.today())
    lines, enough = [], []
    for item in now.site.items:
        if wanted.need(item) <= 0:
            continue
        spread = need_spread(demand_of(item, wanted.plans, wanted.rack, cut), rates[item.form], error_m)
        packs = wanted.packs(item, spread, risk)
        chance = spread.chance_of_running_short(packs, item.pack, wanted.there(item))
        if packs > 0:
            lines.append(_line(wanted, item, packs, chance, rates, spread, starts, desk.today()))
        elif chance > 0:
            enough.append(EnoughLine(item.name, item.unit, round(chance, 6)))
    return Shopping(site=now.site.name, target=target, currency=now.site.currency, items=tuple(lines),
                    total_cost=round(sum(line.cost or 0.0 for line in lines), 2), risk=risk, error_m=error_m,
                    enough=tuple(enough), plan_kept=planned_together(now, wanted.shared, wanted.units))


def still_to_buy(now: Standing, shared: Allotment, share: Share,
                 area_share: float = 1.0) -> Iterator[tuple[Item, float, float | None]]:
    """Items a part of the work is short of, with the packs to order (roll: its length) and what they cost.

    `area_share`: how much of its area is wanted; what it needs goes by that.
    """
    wanted = _Wanted(now, shared, (), (share.plan,), share.pool)
    for item in now.site.items:
        short = max(0.0, round(wanted.need(item) * area_share - wanted.there(item), 6))
        if short > 0:
            packs = short if item.form == "roll" else _packs(short, item)
            yield item, packs, _cost(wanted, item, packs)


@dataclass(frozen=True)
class _Wanted:
    """What is bought for: bays and tasks in the order of work, their plans one after the other, and the stock."""

    now: Standing
    shared: Allotment
    units: tuple[Unit, ...]
    plans: tuple[WorkPlan, ...]
    pool: Pool

    @cached_property
    def rack(self) -> tuple[Offcut, ...]:
        """Offcuts no plan uses, from which a spoiled piece can be cut again."""
        used = frozenset(offcut for plan in self.plans for offcut in plan.offcuts)
        return tuple(one for one in self.pool.free_offcuts() if one.id not in used and not one.piece)

    def need(self, item: Item) -> float:
        return round(sum(plan.needs.get(item.name, 0.0) for plan in self.plans), 6)

    def there(self, item: Item) -> float:
        """On hand and on order, less what earlier work has of it."""
        on_hand = self.pool.balance(item.name).on_hand - self.pool.held_of(item.name)
        return round(on_hand + self.pool.coming(item.name), 6)

    def short(self, item: Item) -> float:
        return max(0.0, round(self.need(item) - self.there(item), 6))

    def packs(self, item: Item, spread: NeedSpread, risk: float | None) -> float:
        """Packs to order; of a roll, its length."""
        if risk is None:
            return self.short(item) if item.form == "roll" else _packs(self.short(item), item)
        return spread.least_packs(risk, item.pack, self.there(item), whole=item.form != "roll")[0]


def _wanted(now: Standing, shared: Allotment, target: str | None) -> _Wanted:
    if target is None:
        plans = tuple(shared.phases[phase.name].plan for phase in now.site.phases)
        return _Wanted(now, shared, remaining(now.site, now.progress), plans, shared.stock)
    units = find_target(now.site, target).units
    share = shared.share_of(units)
    return _Wanted(now, shared, units, (share.plan,), share.pool)


def _packs(quantity: float, item: Item) -> float:
    return float(ceil(quantity / item.pack - _SLACK))


def _line(wanted: _Wanted, item: Item, packs: float, chance: float, rates: dict[Form, float], spread: NeedSpread,
          starts: dict[str, date], today: date) -> BuyLine:
    key = first_short(wanted.shared, wanted.units, item.name)
    start = None if key is None else starts.get(key)
    order_by = None if start is None else start - timedelta(days=item.lead_days)
    by_area = _by_area(wanted, item)
    area_cost = None if by_area is None else _cost(wanted, item, by_area)
    left = None if by_area is None else round(wanted.there(item) + by_area * item.pack - wanted.need(item), 6)
    area_risk = None if by_area is None else spread.chance_of_running_short(by_area, item.pack, wanted.there(item))
    return BuyLine(
        item=item.name, unit=item.unit, need=wanted.short(item), packs=packs, pack=item.pack,
        quantity=packs if item.form == "roll" else packs * item.pack, cost=_cost(wanted, item, packs),
        lead_days=item.lead_days, floor_area_packs=by_area, spoil_rate=round(rates[item.form], 6),
        risk=round(chance, 6), order_by=order_by,
        late_days=0 if order_by is None else max(0, (today - order_by).days),
        needed_for=None if key is None else target_name(wanted.now.site, key), floor_area_cost=area_cost,
        floor_area_left=left, floor_area_risk=area_risk)


def _cost(wanted: _Wanted, item: Item, packs: float) -> float | None:
    if item.price is None:
        return None
    priced_m = float(factor("yard", "m")) if wanted.now.site.unit == "in" and item.form == "roll" else 1.0
    return round(item.price * packs / priced_m, 2)


def _by_area(wanted: _Wanted, item: Item) -> float | None:
    """Packs that the area alone would ask for, for all that remains of the target."""
    if item.form != "board" or not item.length_m or not item.width_m:
        return None
    net_m2 = sum(plan.items[item.name].net for plan in wanted.plans if item.name in plan.items)
    boards = ceil(net_m2 / (item.length_m * item.width_m) - _SLACK)
    return _packs(max(0.0, boards - wanted.there(item)), item)


def _starts(wanted: _Wanted, today: date) -> dict[str, date]:
    """The day each bay and task left is begun, one after the other in the hours planned a week."""
    now, shared = wanted.now, wanted.shared
    rates = rates_of(now, shared)
    work = ((unit.key, hours_left(now, shared, unit, rates)) for unit in remaining(now.site, now.progress))
    return days_reached(max(today, now.site.start), now.site.hours, work)


def _spoiled(now: Standing) -> Iterator[Spoiled]:
    """What the diary and the book say went up and was spoiled, item by item in its unit."""
    for item in now.site.items:
        lines = now.book.get(item.name, ())
        spoiled = sum(-line.movement.quantity for line in lines if line.movement.kind == "spoil")
        used = sum(-line.movement.quantity for line in lines if line.movement.kind == "use")
        # A piece cut wrong came out of a board or stick that counts as used; where it was the only one cut from it,
        # the book has that as spoiled, by itself, and it is not counted twice.
        alone = sum(line.movement.kind == "spoil" and line.entry is None and line.movement.quantity == -1
                    for line in lines)
        sizes = sorted((one.size for one in now.miscuts if one.item == item.name), reverse=True)
        wrong = min(sum(sizes[alone:]) / _size_of_one(item), used)
        yield Spoiled(item.form, spoiled + wrong, used - wrong)


def _size_of_one(item: Item) -> float:
    """Of a board in m2, of a stick in m: what the size of a piece cut wrong is a share of."""
    if item.form == "board":
        return (item.length_m or 1.0) * (item.width_m or 1.0)
    return item.length_m or 1.0


def _read_error(now: Standing, text: str) -> float:
    try:
        error_m = read_length(text, now.site.unit, what="error", position=True)
    except MeasureError as error:
        raise Refused(str(error)) from error
    if error_m > MOST_ERROR_M:
        raise Refused(f"error {text}: lengths that uncertain are to be measured again before buying; write one up to "
                      f"{show_length(MOST_ERROR_M, now.site.unit)}")
    return error_m
