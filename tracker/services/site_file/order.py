"""What waits on what: the names in `after` matched to bays and tasks, and circles refused."""

from __future__ import annotations

from dataclasses import replace
from graphlib import CycleError, TopologicalSorter

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Phase, Site, Task


def resolve_order(site: Site) -> Site:
    """The site with every `after` as keys; Refused where a name fits nothing or work waits on itself."""
    phases = tuple(Phase(phase.name, tuple(_resolved(site, task, f'[[phase]] "{phase.name}" task "{task.name}"')
                                           for task in phase.tasks)) for phase in site.phases)
    rooms = tuple(replace(room, planes=tuple(replace(plane, bays=tuple(
        _resolved(site, bay, f'[[room.plane.bay]] "{plane.name}/{bay.name}"') for bay in plane.bays))
        for plane in room.planes)) for room in site.rooms)
    ordered = replace(site, phases=phases, rooms=rooms)
    graph = {unit.key: unit.after for unit in (*ordered.bays.values(), *ordered.tasks.values())}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        raise Refused(f"after: {' waits on '.join(error.args[1])}; take one of them out") from error
    return ordered


def _resolved(site: Site, unit: Bay | Task, where: str) -> Bay | Task:
    keys = [key for name in unit.after for key in _keys(site, unit, name, where)]
    return replace(unit, after=tuple(dict.fromkeys(keys)))


def _keys(site: Site, unit: Bay | Task, name: str, where: str) -> list[str]:
    bays = [key for key in site.bays if name in (key, key.split("/", 1)[1])]
    planes = [key for key in site.planes if name in (key, key.split("/", 1)[1])]
    tasks = [key for key, task in site.tasks.items() if name == key or (name == task.name and task.phase == unit.phase)]
    tasks = tasks or [key for key, task in site.tasks.items() if name == task.name]
    for fits in (bays, tasks, planes):
        if len(fits) > 1:
            raise Refused(f'{where}: after = "{name}" fits {" and ".join(fits)}; write one of them in full')
    if bays or tasks:
        return bays or tasks
    if planes:
        return [bay.key for bay in site.planes[planes[0]].bays]
    raise Refused(f'{where}: after = "{name}" matches nothing; name a bay as plane/bay, a plane or a task')
