"""Builds the site from the file's tables: lengths read, names matched, shapes checked."""

from __future__ import annotations

from typing import Any

from tracker.domain.errors import Refused
from tracker.domain.geometry.bays import BayFaces, bay_shapes
from tracker.domain.site import Absorber, Phase, Plane, Room, Site, Surface, Target, Task
from tracker.domain.sound.catalogue import bare_surfaces
from tracker.domain.sound.targets import built_in_names, target_band
from tracker.measures import MeasureError, read_volume
from tracker.services.site_file.box import box_volume_m3
from tracker.services.site_file.faults import Gathered, Loc, judged
from tracker.services.site_file.items import ItemReader
from tracker.services.site_file.lengths import Lengths
from tracker.services.site_file.names import names_in, note_twice, refuse_unknown, shown_name, tables_in
from tracker.services.site_file.order import Order, Unit, in_order
from tracker.services.site_file.shapes import ShapeReader
from tracker.services.site_file.tables import (
    UNREAD,
    FileTables,
    PhaseTable,
    PlaneTable,
    RoomTable,
    TargetTable,
    TaskTable,
)

_NO_FACES = BayFaces(0.0, 0.0)  # which bays share an edge does not depend on them


class Builder:
    """One file's tables on their way to a site; what is wrong with them is noted in `found`."""

    def __init__(self, tables: FileTables, found: Gathered) -> None:
        self._tables = tables
        self._found = found
        self._lengths = Lengths(UNREAD if tables.site is UNREAD else tables.site.unit, found)
        self._shapes = ShapeReader(self._lengths, found, self._part)
        self._order = Order()
        self._jointless: set[int] = set()

    def site(self) -> Site | None:
        """The whole site; None where anything is wrong."""
        tables = self._tables
        for kind in ("item", "build_up", "surface", "room", "phase"):
            twice = note_twice(self._found, f"[[{kind}]]", getattr(tables, kind), kind)
            self._order.nameless |= twice and kind in ("room", "phase")
        self._items = ItemReader(tables.item, self._lengths, self._found)
        build_ups = [self._items.build_up(number, one) for number, one in enumerate(tables_in(tables.build_up))]
        rooms = [self._room(number, one) for number, one in enumerate(tables_in(tables.room))]
        phases = [self._phase(number, one) for number, one in enumerate(tables_in(tables.phase))]
        waits = self._order.resolved(self._found)
        if self._found.faults:
            return None
        return in_order(Site(
            name=tables.site.name, unit=tables.site.unit, currency=tables.site.currency, start=tables.site.start,
            hours=tuple(tables.site.hours.items()), cap=tables.site.cap,
            items=tuple(item for item in self._items.items.values() if item),
            build_ups=tuple(one for one in build_ups if one),
            surfaces=tuple(Surface(one.name, tuple(one.alpha), one.source) for one in tables.surface),
            rooms=tuple(room for room in rooms if room), phases=tuple(phase for phase in phases if phase)), waits)

    def _part(self, table: str, room: str, *names: str) -> str:
        """A part of a room as a fault names it; with its room where there are several."""
        alone = len(tables_in(self._tables.room)) == 1
        return f'[[{table}]] "{"/".join(names if alone else (room, *names))}"'

    def _room(self, number: int, one: RoomTable) -> Room | None:
        name, loc = shown_name(one.name, number), ("room", number)
        where = f'[[room]] "{name}"'
        self._order.nameless |= note_twice(self._found, f"{where} plane", one.plane, *loc, "plane")
        note_twice(self._found, f"{where} absorbers", one.absorbers, *loc, "absorbers")
        self._order.nameless |= UNREAD in (one.name, one.plane)
        planes = [self._plane(name, each, n, (*loc, "plane", n)) for n, each in enumerate(tables_in(one.plane))]
        whole = tuple(plane for plane in planes if plane is not None)
        volume, target = None, None
        with self._found.at(*loc, "volume"):
            volume = self._volume(one, where, whole if len(whole) == len(planes) > 0 else None)
        with self._found.at(*loc, "target"):
            target = _target(one.target, volume, where)
        if volume is None or UNREAD in vars(one).values() or self._found.faults:
            return None
        return Room(name=one.name, volume_m3=volume, planes=whole, temperature_c=one.temperature,
                    humidity_pct=one.humidity, target=target,
                    absorbers=tuple(Absorber(each.name, tuple(each.area), each.count) for each in one.absorbers))

    def _volume(self, one: RoomTable, where: str, planes: tuple[Plane, ...] | None) -> float:
        if one.volume is None:
            volume = box_volume_m3(judged(UNREAD if planes is None else planes))
            if volume is None:
                raise Refused(f"{where}: volume is missing, and the room is no plain box to work it out from; add it")
            return volume
        try:
            return read_volume(judged(one.volume))
        except MeasureError as error:
            raise Refused(f"{where}: {error}") from error

    def _plane(self, room: str, one: PlaneTable, number: int, loc: Loc) -> Plane | None:
        name = shown_name(one.name, number)
        where = self._part("room.plane", room, name)
        for key in ("opening", "bay"):
            self._order.nameless |= note_twice(self._found, f"{where} {key}", getattr(one, key), *loc, key)
        self._note_names(one, where, room, name, loc)
        plane = self._shapes.plane(room, one, where, loc)
        if plane is not None:
            self._note_joints(plane)
        return plane

    def _note_names(self, one: PlaneTable, where: str, room: str, plane: str, loc: Loc) -> None:
        """Notes the surfaces, phases and build-ups of a plane that match nothing, and what its bays wait on."""
        surfaces = [*names_in(self._tables.surface), *bare_surfaces()]
        phases, build_ups = names_in(self._tables.phase), names_in(self._tables.build_up)
        with self._found.at(*loc, "surface"):
            refuse_unknown(where, "surface", one.surface, surfaces)
        for number, opening in enumerate(tables_in(one.opening)):
            with self._found.at(*loc, "opening", number, "surface"):
                refuse_unknown(f'{where} opening "{shown_name(opening.name, number)}"', "surface", opening.surface,
                               surfaces)
        self._order.nameless |= UNREAD in (one.name, one.bay)
        self._order.planes.setdefault(f"{room}/{plane}", [])
        for number, bay in enumerate(tables_in(one.bay)):
            name = shown_name(bay.name, number)
            place = self._part("room.plane.bay", room, plane, name)
            for key, names in (("phase", phases), ("build_up", build_ups)):
                with self._found.at(*loc, "bay", number, key):
                    refuse_unknown(place, key, getattr(bay, key), names)
            self._order.nameless |= bay.name is UNREAD
            self._order.add_bay(f"{room}/{plane}", Unit(f"{room}/{plane}/{name}", place, (*loc, "bay", number),
                                                        bay.after, name))

    def _note_joints(self, plane: Plane) -> None:
        """Notes each build-up without joint track whose bay comes first at a shared edge."""
        tables: dict[Any, Any] = {}
        for number, table in enumerate(tables_in(self._tables.build_up)):
            tables.setdefault(table.name, (number, table))
        bays = {bay.name: bay for bay in plane.bays}
        faces = dict.fromkeys(bays, _NO_FACES)
        for name, shape in bay_shapes(plane, faces).items():
            for edge in shape.edges:
                first = next((bay for bay in plane.bays if bay.name in (name, edge.neighbour)), None)
                if edge.neighbour is None or first is None or first.build_up not in tables:
                    continue
                number, table = tables[first.build_up]
                if table.joint is not None or number in self._jointless:
                    continue
                self._jointless.add(number)
                with self._found.at("build_up", number, "joint"):
                    raise Refused(f'[[build_up]] "{first.build_up}": joint is missing; bays {name} and '
                                  f"{edge.neighbour} of {plane.name} share an edge")

    def _phase(self, number: int, one: PhaseTable) -> Phase | None:
        name, loc = shown_name(one.name, number), ("phase", number)
        where = f'[[phase]] "{name}"'
        self._order.nameless |= note_twice(self._found, f"{where} task", one.task, *loc, "task")
        self._order.nameless |= UNREAD in (one.name, one.task)
        tasks = [self._task(name, task, n, f'{where} task "{shown_name(task.name, n)}"', (*loc, "task", n))
                 for n, task in enumerate(tables_in(one.task))]
        return Phase(one.name, tuple(tasks))

    def _task(self, phase: str, one: TaskTable, number: int, where: str, loc: Loc) -> Task:
        """A free task with what it needs; what it waits on is still as written."""
        needs = []
        for name, quantity in () if one.needs is UNREAD else one.needs.items():
            with self._found.at(*loc, "needs", name):
                needs.append((name, self._lengths.quantity(
                    quantity, where, f'needs "{name}"', **self._items.counted(where, "needs", name))))
        name = shown_name(one.name, number)
        self._order.nameless |= one.name is UNREAD
        unit = Unit(f"{phase}: {name}", where, loc, one.after, name, phase)
        self._order.tasks.setdefault(unit.key, unit)
        return Task(phase=phase, name=name, hours_h=one.hours, needs=tuple(needs))


def _target(given: Any, volume_m3: float | None, where: str) -> Target | None:
    if judged(given) is None:
        return None
    if isinstance(given, TargetTable):
        return Target("own", tuple(given.t), given.tolerance) if UNREAD not in vars(given).values() else None
    if given not in built_in_names():
        raise Refused(f"{where}: target = \"{given}\" is no built-in target; the built-in ones are "
                      f"{', '.join(built_in_names())}, or give {{ t = [...], tolerance = 0.05 }}")
    try:
        target_band(Target(given), judged(UNREAD if volume_m3 is None else volume_m3))
    except Refused as error:
        raise Refused(f"{where}: {error}") from error
    return Target(given)
