"""Who holds what: stock shared out down the order of work, so that held and short follow from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tracker.domain.site import STEPS, Bay, Site, Step, Task
from tracker.domain.stock.pool import Pool
from tracker.domain.work.material import Shapes, all_material, run_name, runs_left
from tracker.domain.work.order import order_of_work
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import Progress

Unit = Bay | Task


@dataclass(frozen=True)
class Share:
    """A part of the work, its plan, and the stock as it finds it: what earlier work holds is marked in the pool."""

    plan: WorkPlan
    pool: Pool

    def short(self, item: str) -> float:
        """Needed and not on hand beside what earlier work holds, in the item's unit."""
        return self.pool.short_of(item, self.plan.needs.get(item, 0.0))

    @property
    def missing(self) -> tuple[str, ...]:
        return tuple(item for item in self.plan.items if self.short(item) > 0)


@dataclass(frozen=True)
class Allotment:
    """Stock shared out over all remaining work.

    A phase is planned as one, its bays cut together; a single bay is planned alone, from stock and from offcuts that
    exist, since those of a bay not yet cut can't be counted on.
    """

    site: Site
    shapes: Shapes
    progress: Progress
    stock: Pool
    phases: Mapping[str, Share] = field(default_factory=dict)
    units: Mapping[str, Share] = field(default_factory=dict)
    """Bay or task key to its share; work that is done has none."""

    @property
    def needed(self) -> dict[str, float]:
        """Item to what all remaining work needs, in its unit."""
        found: dict[str, float] = {}
        for share in self.phases.values():
            for item, need in share.plan.needs.items():
                found[item] = round(found.get(item, 0.0) + need, 6)
        return found

    def covered(self, unit: Unit) -> bool:
        """Can stock on hand that earlier work does not hold do all that remains of the bay or task?"""
        phase = self.phases[unit.phase]
        return not phase.missing or not self.units[unit.key].missing

    def share_of(self, units: tuple[Unit, ...], steps: tuple[Step, ...] = STEPS) -> Share:
        """The share of any part of the work, planned as one; earlier work that is not part of it holds its stock."""
        left = tuple(unit for unit in units if not self.progress.done(self.site, unit.key))
        pool = self.pool_before(left)
        materials = all_material(self.site, self.shapes, left, self.progress, steps)
        return Share(plan_work(self.site, materials, pool.free_offcuts()), pool)

    def pool_before(self, units: tuple[Unit, ...]) -> Pool:
        """Stock as these bays and tasks find it: earlier work that is not among them holds its own."""
        if not units:
            return self.stock
        if len(units) == 1:
            return self.units[units[0].key].pool
        keys = {unit.key for unit in units}
        left = tuple(unit for unit in order_of_work(self.site) if unit.key in self.units)
        last = max(number for number, unit in enumerate(left) if unit.key in keys)
        earlier = tuple(unit for unit in left[:last] if unit.key not in keys)
        own = _runs_named(self.site, self.shapes, units, self.progress)
        pool = self.stock
        for phase in self.site.phases:
            within = tuple(unit for unit in earlier if unit.phase == phase.name)
            plan = _plan(self.site, self.shapes, within, self.progress, pool, own)
            pool = pool.holding(plan.needs, plan.offcuts)
        return pool


def share_out(site: Site, progress: Progress, stock: Pool) -> Allotment:
    """Shares stock out down the order of work. Quantities in each item's unit. Source: definition (held, short)."""
    shapes = Shapes(site)
    phases: dict[str, Share] = {}
    units: dict[str, Share] = {}
    pool = stock
    for phase in site.phases:
        left = tuple(unit for unit in (*site.bays_of(phase.name), *phase.tasks) if not progress.done(site, unit.key))
        plan = _plan(site, shapes, left, progress, pool)
        phases[phase.name] = Share(plan, pool)
        for number, unit in enumerate(left):
            units[unit.key] = _share_alone(site, shapes, unit, left[:number], progress, pool, plan)
        pool = pool.holding(plan.needs, plan.offcuts)
    return Allotment(site, shapes, progress, stock, phases, units)


def _share_alone(site: Site, shapes: Shapes, unit: Unit, earlier: tuple[Unit, ...], progress: Progress, before: Pool,
                 together: WorkPlan) -> Share:
    """A unit's share when planned alone, after those before it in its phase.

    What those hold is never counted as more than the whole phase needs when cut together; a joint the unit shares with
    one of them is the unit's own here.
    """
    own = _runs_named(site, shapes, (unit,), progress)
    held: dict[str, float] = {}
    used: frozenset[str] = frozenset()
    pool = before
    for other in earlier:
        plan = _plan(site, shapes, (other,), progress, pool, own)
        for item, need in plan.needs.items():
            held[item] = min(held.get(item, 0.0) + need, together.needs.get(item, 0.0))
        used |= plan.offcuts
        pool = before.holding(held, used)
    return Share(_plan(site, shapes, (unit,), progress, pool), pool)


def _plan(site: Site, shapes: Shapes, units: tuple[Unit, ...], progress: Progress, pool: Pool,
          but_not: frozenset[str] = frozenset()) -> WorkPlan:
    return plan_work(site, all_material(site, shapes, units, progress, but_not=but_not), pool.free_offcuts())


def _runs_named(site: Site, shapes: Shapes, units: tuple[Unit, ...], progress: Progress) -> frozenset[str]:
    return frozenset(run_name(site, unit, run) for unit in units if isinstance(unit, Bay)
                     for run in runs_left(site, shapes, unit, progress))
