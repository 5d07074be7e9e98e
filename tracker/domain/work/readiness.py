"""Can it be started now? From the diary, from what must come before, and from stock earlier work does not hold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from tracker.domain.site import STEPS, Bay, Step, Task
from tracker.domain.work.allotment import Allotment, Share
from tracker.domain.work.order import waits_on

Verdict = Literal["ready", "short", "on order", "waiting", "under way", "done"]
Unit = Bay | Task


@dataclass(frozen=True, slots=True)
class ItemState:
    """One item of a piece of work, quantities in the item's unit."""

    item: str
    unit: str
    need: float
    on_hand: float
    offcuts_used: int
    held: float
    short: float
    on_order: float
    due: date | None


@dataclass(frozen=True)
class Readiness:
    """A verdict with what it rests on."""

    verdict: Verdict
    step: Step | None
    items: tuple[ItemState, ...]
    waits_on: tuple[str, ...]
    """Keys of bays and tasks, or a step of the same bay, that must be done first."""

    @property
    def missing(self) -> tuple[ItemState, ...]:
        return tuple(one for one in self.items if one.short > 0)


def item_states(allotment: Allotment, share: Share) -> tuple[ItemState, ...]:
    """Every item the share needs, as stock stands for it."""
    states = []
    for plan in share.plan.items.values():
        item = allotment.site.item[plan.item]
        balance = share.pool.balance(item.name)
        short = share.short(item.name)
        states.append(ItemState(
            item=item.name, unit=item.unit, need=plan.need, on_hand=balance.on_hand, offcuts_used=len(plan.offcuts),
            held=share.pool.held_of(item.name), short=short, on_order=share.pool.coming(item.name),
            due=balance.due_for(short + share.pool.owed(item.name)) if balance.orders else None))
    return tuple(states)


def unit_readiness(allotment: Allotment, unit: Unit, step: Step | None = None) -> Readiness:
    """The state of one bay or task; with a step, of that step alone, else of all that remains of it."""
    progress = allotment.progress
    if isinstance(unit, Task) or step is None:
        if progress.done(allotment.site, unit.key):
            return Readiness("done", None, (), ())
        following = None if isinstance(unit, Task) else progress.next_step(unit)
        share = allotment.units[unit.key]
        return _judged(allotment, share, following, waits_on(unit, allotment.site, progress), progress.begun(unit))
    if progress.of(unit, step) >= 1:
        return Readiness("done", step, (), ())
    before = STEPS[:STEPS.index(step)]
    waits = tuple(f"{unit.key}, {one}" for one in before if progress.of(unit, one) < 1)[:1]
    waits = waits or waits_on(unit, allotment.site, progress)
    return _judged(allotment, allotment.share_of((unit,), (step,)), step, waits, progress.of(unit, step) > 0)


def units_readiness(allotment: Allotment, units: tuple[Unit, ...], step: Step | None = None) -> Readiness:
    """The state of several bays and tasks together, planned as one."""
    if len(units) == 1:
        return unit_readiness(allotment, units[0], step)
    left = tuple(unit for unit in units if not _finished(allotment, unit, step))
    if not left:
        return Readiness("done", step, (), ())
    each = [unit_readiness(allotment, unit, step) for unit in left]
    waits = tuple(dict.fromkeys(key for one in each for key in one.waits_on)) if all(
        one.verdict == "waiting" for one in each) else ()
    begun = len(left) < len(units) or any(allotment.progress.begun(unit) for unit in left)
    share = allotment.share_of(left, STEPS if step is None else (step,))
    return _judged(allotment, share, step or each[0].step, waits, begun)


def _finished(allotment: Allotment, unit: Unit, step: Step | None) -> bool:
    if step is None or isinstance(unit, Task):
        return allotment.progress.done(allotment.site, unit.key)
    return allotment.progress.of(unit, step) >= 1


def _judged(allotment: Allotment, share: Share, step: Step | None, waits: tuple[str, ...], begun: bool) -> Readiness:
    items = item_states(allotment, share)
    missing = [one for one in items if one.short > 0]
    verdict: Verdict
    if waits:
        verdict = "waiting"
    elif missing:
        verdict = "on order" if all(one.on_order >= one.short for one in missing) else "short"
    else:
        verdict = "under way" if begun else "ready"
    return Readiness(verdict, step, items, waits)
