"""Stock shared out with no plan made twice gives what sharing it out by the definition gives, bay by bay."""

from __future__ import annotations

import importlib.util
import random
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

from tracker.domain.site import STEPS, Bay, Site, Task
from tracker.domain.stock.ledger import Balance
from tracker.domain.stock.pieces import Offcut
from tracker.domain.stock.pool import Pool
from tracker.domain.work.allotment import Share, share_out
from tracker.domain.work.material import Materials, Shapes
from tracker.domain.work.planning import WorkPlan, plan_work
from tracker.domain.work.progress import CutPiece, Progress

Unit = Bay | Task


@cache
def ten_years() -> ModuleType:
    """The maker of the ten years' site."""
    path = Path(__file__).parents[1] / "bench" / "ten_years.py"
    spec = importlib.util.spec_from_file_location("ten_years_of_work", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def under_way(site: Site, chance: random.Random) -> Progress:
    """Some bays done, some begun, some with a part of their pieces up."""
    steps, cut = {}, {}
    for bay in site.bays.values():
        far = chance.choice((0, 0, 1, 2, 3, 5))
        steps |= {(bay.key, step): 1.0 for step in STEPS[:far]}
        if far == 1 and chance.random() < 0.5:
            steps[bay.key, "track"] = 0.5
            runs = Shapes(site).runs(bay)[:2]
            cut[bay.key] = tuple(CutPiece(f"{site.short(f'{bay.room}/{bay.plane}/{run.bay}')} {run.mark}", "track",
                                          length_m=run.length_m) for run in runs)
    tasks = {key: float(chance.random() < 0.4) for key in site.tasks}
    return Progress(steps, tasks, cut)


def some_stock(site: Site, chance: random.Random) -> Pool:
    balances = {item.name: Balance(float(chance.choice((0, 3, 12, 40)))) for item in site.items}
    sizes = {"board": (1.2, 0.6), "stick": (3.0, None), "roll": (2.0, 1.68)}
    offcuts = []
    for number in range(12):
        item = chance.choice([item for item in site.items if item.form in sizes])
        long, wide = sizes[item.form]
        offcuts.append(Offcut(f"O{number}", item.name, round(long * chance.uniform(0.2, 0.9), 3),
                              None if wide is None else round(wide * chance.uniform(0.3, 1.0), 3)))
    return Pool(balances, tuple(offcuts))


def planned(site: Site, progress: Progress, units: tuple[Unit, ...], pool: Pool,
            but_not: frozenset[str] = frozenset()) -> WorkPlan:
    materials = Materials(site, Shapes(site), progress).together(units, but_not=but_not)
    return plan_work(site, materials, pool.free_offcuts())


def alone(site: Site, progress: Progress, unit: Unit, earlier: tuple[Unit, ...], before: Pool,
          together: WorkPlan) -> Share:
    """The definition: all that come before the unit hold their own first, less the runs that are the unit's."""
    own = Materials(site, Shapes(site), progress).runs(unit)
    held: dict[str, float] = {}
    used: frozenset[str] = frozenset()
    pool = before
    for other in earlier:
        plan = planned(site, progress, (other,), pool, own)
        for item, need in plan.needs.items():
            held[item] = min(held.get(item, 0.0) + need, together.needs.get(item, 0.0))
        used |= plan.offcuts
        pool = before.holding(held, used)
    return Share(planned(site, progress, (unit,), pool), pool)


@pytest.mark.parametrize("seed", range(3))
def test_each_bay_holds_and_lacks_what_the_definition_says(seed):
    chance = random.Random(seed)
    site = ten_years().drawn_site(1)
    progress, pool = under_way(site, chance), some_stock(site, chance)
    found = share_out(site, progress, pool)
    compared = 0
    for phase in site.phases:
        left = tuple(unit for unit in (*site.bays_of(phase.name), *phase.tasks) if not progress.done(site, unit.key))
        plan = planned(site, progress, left, pool)
        assert found.phases[phase.name].plan == plan
        for number, unit in enumerate(left):
            if number % 4 == seed:  # a quarter of them, since the definition is slow
                assert found.units[unit.key] == alone(site, progress, unit, left[:number], pool, plan)
                compared += 1
        pool = pool.holding(plan.needs, plan.offcuts)
    assert compared > 5
