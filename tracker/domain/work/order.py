"""The order of work: phases as written, in each its bays as written and then its tasks."""

from __future__ import annotations

from collections.abc import Iterator

from tracker.domain.site import Bay, Site, Task
from tracker.domain.work.progress import Progress


def order_of_work(site: Site) -> Iterator[Bay | Task]:
    """Every bay and free task, in the order they hold stock."""
    for phase in site.phases:
        yield from site.bays_of(phase.name)
        yield from phase.tasks


def remaining(site: Site, progress: Progress) -> tuple[Bay | Task, ...]:
    """What is not done yet, in the order of work."""
    return tuple(unit for unit in order_of_work(site) if not progress.done(site, unit.key))


def waits_on(unit: Bay | Task, site: Site, progress: Progress) -> tuple[str, ...]:
    """Keys of what must be done before the bay or task and isn't."""
    return tuple(key for key in unit.after if not progress.done(site, key))
