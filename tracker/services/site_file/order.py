"""What waits on what: the names in `after` matched to bays and tasks, and circles refused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from graphlib import CycleError, TopologicalSorter
from typing import Any

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Phase, Site, Task
from tracker.services.site_file.faults import Gathered, Loc, Unjudged
from tracker.services.site_file.tables import UNREAD


@dataclass(frozen=True, slots=True)
class Unit:
    """A bay or a task with what it waits on, as written."""

    key: str
    where: str
    loc: Loc
    after: Any
    name: str
    phase: str | None = None
    """Of a task."""


@dataclass
class Order:
    """The bays and tasks of a file by key, and the bays of each plane."""

    bays: dict[str, Unit] = field(default_factory=dict)
    tasks: dict[str, Unit] = field(default_factory=dict)
    planes: dict[str, list[str]] = field(default_factory=dict)
    nameless: bool = False
    """Whether some name could not be read."""

    def add_bay(self, plane: str, unit: Unit) -> None:
        self.bays.setdefault(unit.key, unit)
        self.planes[plane].append(unit.key)

    def resolved(self, found: Gathered) -> dict[str, tuple[str, ...]]:
        """What each waits on, as keys; what fits nothing, and what waits on itself, is noted."""
        waits: dict[str, tuple[str, ...]] = {}
        units = {**self.bays, **self.tasks}
        for unit in units.values():
            keys: list[str] = []
            for name in () if unit.after is UNREAD else unit.after:
                with found.at(*unit.loc, "after"):
                    keys += self._keys(unit, name)
            waits[unit.key] = tuple(dict.fromkeys(keys))
        for circle in _circles(waits):
            with found.at(*units[circle[0]].loc, "after"):
                raise Refused(f"{units[circle[0]].where}: after: {' waits on '.join(circle)}; take one of them out")
        return waits

    def _keys(self, unit: Unit, name: str) -> list[str]:
        bays = [key for key in self.bays if name in (key, key.split("/", 1)[1])]
        planes = [key for key in self.planes if name in (key, key.split("/", 1)[1])]
        tasks = [key for key, task in self.tasks.items()
                 if name == key or (name == task.name and task.phase == unit.phase)]
        tasks = tasks or [key for key, task in self.tasks.items() if name == task.name]
        for fits in (bays, tasks, planes):
            if len(fits) > 1:
                raise Refused(f'{unit.where}: after = "{name}" fits {" and ".join(fits)}; write one of them in full')
        if bays or tasks:
            return bays or tasks
        if planes and self.planes[planes[0]]:
            return self.planes[planes[0]]
        if self.nameless:
            raise Unjudged
        raise Refused(f'{unit.where}: after = "{name}" matches nothing; name a bay as plane/bay, a plane or a task')


def _circles(waits: dict[str, tuple[str, ...]]) -> Iterator[list[str]]:
    """Each circle, every one before what it waits on; those that only part of another shows are left out."""
    left = {key: set(after) for key, after in waits.items()}
    while True:
        try:
            TopologicalSorter(left).prepare()
        except CycleError as error:
            circle = error.args[1][::-1]  # given with each before the one that waits on it
            yield circle
            for key in circle:
                left[key] -= set(circle)
            continue
        return


def in_order(site: Site, waits: dict[str, tuple[str, ...]]) -> Site:
    """The site with every `after` as keys."""
    def ordered(unit: Bay | Task) -> Bay | Task:
        return replace(unit, after=waits[unit.key])

    phases = tuple(Phase(phase.name, tuple(ordered(task) for task in phase.tasks)) for phase in site.phases)
    rooms = tuple(replace(room, planes=tuple(
        replace(plane, bays=tuple(ordered(bay) for bay in plane.bays)) for plane in room.planes))
        for room in site.rooms)
    return replace(site, phases=phases, rooms=rooms)
