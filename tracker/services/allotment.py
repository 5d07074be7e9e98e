"""Stock shared out for the site as it stands, worked out once for each state of the store."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from tracker.domain.site import Bay
from tracker.domain.work.allotment import Allotment, Unit, share_out
from tracker.services.desk import Standing


@lru_cache(maxsize=2)
def _shared(standing: _ById) -> Allotment:
    now = standing.value
    return share_out(now.site, now.progress, now.pool, now.kept, now.miscuts)


class _ById:
    """A standing compared by identity, so that the cache need not compare whole sites."""

    def __init__(self, value: Standing) -> None:
        self.value = value

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ById) and self.value is other.value

    def __hash__(self) -> int:
        return id(self.value)


def allot(standing: Standing) -> Allotment:
    """The allotment of the site as it stands."""
    return _shared(_ById(standing))


def planned_together(now: Standing, shared: Allotment, units: Iterable[Unit]) -> bool:
    """Has a kept cutting plan all that is still to be cut for these?"""
    planned = {name for group in (now.kept.groups if now.kept else ()) for name in group}
    # What it takes is asked last: that needs the shape of a bay.
    return not any(isinstance(unit, Bay) and not now.progress.done(now.site, unit.key)
                   and now.site.short(unit.key) not in planned
                   and any((shared.materials.of(unit).infill, shared.materials.of(unit).sticks)) for unit in units)
