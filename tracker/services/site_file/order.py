"""What waits on what: the names in `after` matched to bays and tasks, and circles refused."""

from __future__ import annotations

from dataclasses import replace
from graphlib import CycleError, TopologicalSorter

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Phase, Site, Task


def resolve_order(site: Site) -> Site:
    """The site with every `after` as keys; Refused where a name fits nothing or work waits on itself."""
    phases = tuple(Phase(phase.name, tuple(_resolved(site, task) for task in phase.tasks)) for phase in site.phases)
    rooms = tuple(replace(room, planes=tuple(
        replace(plane, bays=tuple(_resolved(site, bay) for bay in plane.bays)) for plane in room.planes))
        for room in site.rooms)
    ordered = replace(site, phases=phases, rooms=rooms)
    units = {unit.key: unit for unit in (*ordered.bays.values(), *ordered.tasks.values())}
    graph = {key: unit.after for key, unit in units.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        circle = error.args[1][::-1]  # given with each before the one that waits on it
        raise Refused(f"{_place(site, units[circle[0]])}: after: {' waits on '.join(circle)}; "
                      "take one of them out") from error
    return ordered


def _place(site: Site, unit: Bay | Task) -> str:
    """The bay or task as the file heads it; a bay with its room where there are several."""
    if isinstance(unit, Task):
        return f'[[phase]] "{unit.phase}" task "{unit.name}"'
    return f'[[room.plane.bay]] "{unit.key if len(site.rooms) > 1 else unit.key.split("/", 1)[1]}"'


def _resolved(site: Site, unit: Bay | Task) -> Bay | Task:
    keys = [key for name in unit.after for key in _keys(site, unit, name, _place(site, unit))]
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
    if planes and site.planes[planes[0]].bays:
        return [bay.key for bay in site.planes[planes[0]].bays]
    raise Refused(f'{where}: after = "{name}" matches nothing; name a bay as plane/bay, a plane or a task')
