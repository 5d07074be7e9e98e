"""What a person names: a bay, a plane, a phase, a room or a task."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Site, Task
from tracker.domain.work.order import order_of_work


@dataclass(frozen=True, slots=True)
class Target:
    """A named part of the work, its bays and tasks in the order of work."""

    name: str
    """As it is shown: the shortest form that fits only it."""
    kind: Literal["bay", "plane", "phase", "room", "task", "site"]
    units: tuple[Bay | Task, ...]

    @property
    def bays(self) -> tuple[Bay, ...]:
        return tuple(unit for unit in self.units if isinstance(unit, Bay))

    @property
    def tasks(self) -> tuple[Task, ...]:
        return tuple(unit for unit in self.units if isinstance(unit, Task))


def whole_site(site: Site) -> Target:
    return Target(site.name, "site", tuple(order_of_work(site)))


def find_target(site: Site, text: str) -> Target:
    """The target a person named; Refused where nothing, or more than one bay or plane, fits.

    A phase's name comes before a room's, a task's and a plane's; `room/plane` always names the plane.
    """
    name = text.strip()
    for found in (_phase(site, name), _room(site, name), _task(site, name)):
        if found is not None:
            return found
    for table, kind in ((site.planes, "plane"), (site.bays, "bay")):
        fits = [key for key in table if name == key or name == key.split("/", 1)[1]]
        if name in fits:
            fits = [name]
        if len(fits) > 1:
            raise Refused(f"{text}: fits {' and '.join(fits)}; write one of them in full")
        if fits:
            return Target(site.short(fits[0]), kind, _units_in(site, fits[0]))
    raise Refused(f"{text}: no bay, plane, phase, task or room of that name{_closest(site, name)}")


def find_bay(site: Site, text: str) -> Bay:
    """The one bay a person named."""
    target = find_target(site, text)
    if target.kind == "bay" or (target.kind == "plane" and len(target.units) == 1):
        return target.bays[0]
    listed = ", ".join(site.short(bay.key) for bay in target.bays[:4])
    raise Refused(f"{text}: that is a {target.kind}, not one bay" + (f"; write one of {listed}" if listed else ""))


def _units_in(site: Site, key: str) -> tuple[Bay | Task, ...]:
    return tuple(unit for unit in order_of_work(site)
                 if isinstance(unit, Bay) and (unit.key == key or unit.key.startswith(f"{key}/")))


def _phase(site: Site, name: str) -> Target | None:
    if name not in (phase.name for phase in site.phases):
        return None
    return Target(name, "phase", tuple(unit for unit in order_of_work(site) if unit.phase == name))


def _room(site: Site, name: str) -> Target | None:
    if name not in (room.name for room in site.rooms):
        return None
    return Target(name, "room", tuple(unit for unit in order_of_work(site) if name in _rooms_of(site, unit)))


def _rooms_of(site: Site, unit: Bay | Task) -> frozenset[str]:
    """The room a bay is in; of a task those of the bays it comes after, else those its phase is about."""
    if isinstance(unit, Bay):
        return frozenset({unit.room})
    before = [site.bays[key] for key in unit.after if key in site.bays]
    return frozenset(bay.room for bay in before or site.bays_of(unit.phase)) or frozenset(
        room.name for room in site.rooms)


def _task(site: Site, name: str) -> Target | None:
    fits = [task for task in site.tasks.values() if name in (task.key, task.name)]
    if len(fits) > 1:
        raise Refused(f"{name}: fits {' and '.join(task.key for task in fits)}; write one of them in full")
    return Target(fits[0].key, "task", (fits[0],)) if fits else None


def _task_names(site: Site) -> list[str]:
    names = [task.name for task in site.tasks.values()]
    return [task.name if names.count(task.name) == 1 else key for key, task in site.tasks.items()]


def _closest(site: Site, name: str) -> str:
    known = [*(phase.name for phase in site.phases), *(room.name for room in site.rooms), *_task_names(site),
             *(site.short(key) for key in (*site.planes, *site.bays))]
    holding = [one for one in known if name and name.casefold() in one.casefold()]
    close = list(dict.fromkeys([*holding, *get_close_matches(name, known, n=3, cutoff=0.5)]))[:3] or known[:4]
    return f"; did you mean {', '.join(close)}?" if close else ""
