"""Hours of work left: the person's own rates from the diary, on what the diary says is still to be done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tracker.domain.site import STEPS, Bay, Step, Task
from tracker.domain.work.allotment import Allotment
from tracker.domain.work.effort import FIRST_TASK_H, Worked, rates_h_per_m2
from tracker.services.desk import Standing

Rates = Mapping[Step, float]
"""Hours a square metre, by step."""


def rates_of(now: Standing, shared: Allotment) -> Rates:
    """Hours a square metre of each step, as the diary shows them."""
    return rates_h_per_m2(_worked(now, shared))


def hours_left(now: Standing, shared: Allotment, unit: Bay | Task, rates: Rates) -> float:
    """Hours that a bay or task still takes."""
    if isinstance(unit, Task):
        return (FIRST_TASK_H if unit.hours_h is None else unit.hours_h) * (1 - now.progress.so_far(unit, None))
    area = shared.shapes.area_m2(unit)
    return sum(area * rates[step] * (1 - now.progress.of(unit, step)) for step in STEPS)


def _worked(now: Standing, shared: Allotment) -> Iterator[Worked]:
    before: dict[tuple[str, str], float] = {}
    for entry in now.diary:
        if entry.step is None:
            continue
        share = entry.done - before.get((entry.key, entry.step), 0.0)
        before[entry.key, entry.step] = max(entry.done, before.get((entry.key, entry.step), 0.0))
        if entry.hours_h and share > 0:
            area = shared.shapes.area_m2(now.site.bays[entry.key])
            yield Worked(entry.step, entry.hours_h, area * share)
