"""Who holds what: stock shared out down the order of work, so that held and short follow from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from tracker.domain.site import STEPS, Bay, Site, Step, Task
from tracker.domain.stock.pool import Pool
from tracker.domain.work.cut_list import CutList, KeptPlan, Miscut
from tracker.domain.work.material import Materials, Shapes
from tracker.domain.work.order import order_of_work
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import Progress
from tracker.domain.work.standing import standing_cut_list

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

    Bays on the cut list take what it says: a board that several of them are cut from is needed by the first. Of the
    rest, a phase is planned as one, its bays cut together; a single bay is planned alone, from stock and from offcuts
    that exist, since those of a bay not yet cut can't be counted on.
    """

    site: Site
    shapes: Shapes
    progress: Progress
    stock: Pool
    phases: Mapping[str, Share] = field(default_factory=dict)
    units: Mapping[str, Share] = field(default_factory=dict)
    """Bay or task key to its share; work that is done has none."""
    cut_list: CutList = field(default_factory=CutList)

    @cached_property
    def materials(self) -> Materials:
        """What every bay and task still needs."""
        return Materials(self.site, self.shapes, self.progress)

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

    def share_of(self, units: tuple[Unit, ...], steps: tuple[Step, ...] = STEPS, proof: bool = False) -> Share:
        """The share of any part of the work, planned as one; earlier work that is not part of it holds its stock."""
        left = tuple(unit for unit in units if not self.progress.done(self.site, unit.key))
        pool = self.pool_before(left)
        materials = self.materials.together(left, steps)
        return Share(plan_work(self.site, materials, pool.free_offcuts(), self.cut_list, proof=proof), pool)

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
        planner = _Planner(self.site, self.materials, self.cut_list)
        own = frozenset(mark for unit in units for mark in planner.marks(unit))
        pool = self.stock
        for phase in self.site.phases:
            within = tuple(unit for unit in earlier if unit.phase == phase.name)
            plan = planner.plan(within, pool, own)
            own |= planner.sawn(within)
            pool = pool.holding(plan.needs, plan.offcuts)
        return pool


def share_out(site: Site, progress: Progress, stock: Pool, kept: KeptPlan | None = None,
              miscuts: Sequence[Miscut] = ()) -> Allotment:
    """Shares stock out down the order of work. Quantities in each item's unit. Source: definition (held, short)."""
    phases: dict[str, Share] = {}
    units: dict[str, Share] = {}
    shapes = Shapes(site)
    materials = Materials(site, shapes, progress)
    cut_list = CutList() if kept is None else standing_cut_list(site, kept, materials, progress, stock.offcuts, miscuts)
    # What the list is cut from is spoken for by it, whichever bay comes first.
    stock = stock.holding({}, cut_list.sources)
    found = Allotment(site, shapes, progress, stock, phases, units, cut_list)
    planner = _Planner(site, found.materials, cut_list)
    pool = stock
    sawn: frozenset[str] = frozenset()
    for phase in site.phases:
        left = tuple(unit for unit in (*site.bays_of(phase.name), *phase.tasks) if not progress.done(site, unit.key))
        plan = planner.plan(left, pool, sawn)
        phases[phase.name] = Share(plan, pool)
        units |= _shares_alone(_Alone(planner, pool, plan, sawn), left)
        sawn |= planner.sawn(left)
        pool = pool.holding(plan.needs, plan.offcuts)
    return found


class _Planner:
    """Plans parts of the work from the cut list and, for what is not on it, from the stock they find."""

    def __init__(self, site: Site, materials: Materials, cut_list: CutList) -> None:
        self._site, self._materials, self._list = site, materials, cut_list
        self._sawn: dict[str, frozenset[str]] = {}

    def plan(self, units: tuple[Unit, ...], pool: Pool, but_not: frozenset[str] = frozenset()) -> WorkPlan:
        """The plan of the units, runs of track and boards and sticks of the list marked `but_not` left out."""
        materials = self._materials.together(units, but_not=but_not)
        return plan_work(self._site, materials, pool.free_offcuts(), self._list, but_not)

    def sawn(self, units: tuple[Unit, ...]) -> frozenset[str]:
        """Marks of the boards and sticks of the list that the units are cut from."""
        for unit in units:
            if unit.key not in self._sawn:
                self._sawn[unit.key] = (self._list.marks((self._site.short(unit.key),), self._materials.runs(unit))
                                        if isinstance(unit, Bay) else frozenset())
        return frozenset(mark for unit in units for mark in self._sawn[unit.key])

    def marks(self, unit: Unit) -> frozenset[str]:
        """What the unit has in common with others where they name it too: runs of track, boards and sticks."""
        return self._materials.runs(unit) | self.sawn((unit,))


@dataclass(frozen=True)
class _Held:
    """What the bays and tasks before one hold: quantities in each item's unit, offcuts, and what of the list."""

    needs: Mapping[str, float] = field(default_factory=dict)
    offcuts: frozenset[str] = frozenset()
    sawn: frozenset[str] = frozenset()


class _Alone:
    """Bays and tasks of one phase, each planned alone from the stock the phase finds; no plan is made twice."""

    def __init__(self, planner: _Planner, before: Pool, together: WorkPlan, sawn: frozenset[str]) -> None:
        self._planner, self._before, self._together, self._sawn = planner, before, together, sawn
        self._plans: dict[tuple[str, frozenset[str], frozenset[str]], WorkPlan] = {}

    def marks(self, unit: Unit) -> frozenset[str]:
        """What it may have in common with others of the phase."""
        return self._planner.marks(unit)

    def share(self, unit: Unit, held: _Held) -> Share:
        """Its share when those before it hold so much."""
        return Share(self._plan(unit, held), self._pool(held))

    def after(self, unit: Unit, held: _Held, but_not: frozenset[str] = frozenset()) -> _Held:
        """What is held once this one holds its own too, runs, boards and sticks `but_not` left out.

        Never counted as more than the whole phase needs when cut together.
        """
        plan = self._plan(unit, held, but_not | held.sawn)
        needs = dict(held.needs)
        for item, need in plan.needs.items():
            needs[item] = min(needs.get(item, 0.0) + need, self._together.needs.get(item, 0.0))
        return _Held(needs, held.offcuts | plan.offcuts, held.sawn | (self._planner.sawn((unit,)) - but_not))

    def _plan(self, unit: Unit, held: _Held, but_not: frozenset[str] = frozenset()) -> WorkPlan:
        but_not = (but_not | self._sawn) & self.marks(unit)
        name = unit.key, held.offcuts, but_not
        if name not in self._plans:
            self._plans[name] = self._planner.plan((unit,), self._pool(held), but_not)
        return self._plans[name]

    def _pool(self, held: _Held) -> Pool:
        return self._before.holding(held.needs, held.offcuts)


def _shares_alone(alone: _Alone, units: tuple[Unit, ...]) -> Iterator[tuple[str, Share]]:
    """Each unit's share when planned alone, after those before it in its phase.

    A joint, board or stick the unit shares with one of those is the unit's own here, so what follows on that one is
    held anew; all before it hold what they hold for everyone.
    """
    held = [_Held()]
    for number, unit in enumerate(units):
        own = alone.marks(unit)
        first = next((place for place, other in enumerate(units[:number]) if own & alone.marks(other)), number)
        before = held[first]
        for other in units[first:number]:
            before = alone.after(other, before, own)
        yield unit.key, alone.share(unit, before)
        held.append(alone.after(unit, held[number]))
