"""Which bay or task is the first that what is there does not do for."""

from __future__ import annotations

from collections.abc import Iterable

from tracker.domain.site import Bay, Task
from tracker.domain.work.allotment import Allotment, Share

_SLACK = 1e-6


def first_short(allotment: Allotment, units: Iterable[Bay | Task], item: str) -> str | None:
    """Key of the first of the units, in the order of work, that is short of the item beyond what is on order.

    Where none is, the last that takes it: with spoiled pieces, it is there that the item runs out. None where none
    takes it. A unit is not short where its phase, cut together, is not.
    """
    last = None
    for unit in units:
        share = allotment.units.get(unit.key)
        if share is None or not share.plan.needs.get(item):
            continue
        last = unit.key
        if _short(share, item) and _short(allotment.phases[unit.phase], item):
            return unit.key
    return last


def _short(share: Share, item: str) -> bool:
    return share.short(item) - share.pool.coming(item) > _SLACK
