"""Builds the site from the file's tables: lengths read, names matched, shapes checked."""

from __future__ import annotations

import math
from collections.abc import Iterable
from difflib import get_close_matches

from tracker.domain.errors import Refused
from tracker.domain.geometry.bays import bay_shapes, plane_faults, track_faces
from tracker.domain.site import (
    Absorber,
    BuildUp,
    Fixing,
    Item,
    Phase,
    Plane,
    Room,
    Site,
    Surface,
    Target,
)
from tracker.domain.sound.build_up import build_up_alpha
from tracker.domain.sound.catalogue import bare_surfaces
from tracker.domain.sound.targets import built_in_names, target_band
from tracker.measures import MeasureError, read_length, read_quantity, read_volume
from tracker.services.site_file.order import resolve_order
from tracker.services.site_file.shapes import ShapeReader, box_volume_m3
from tracker.services.site_file.tables import (
    BuildUpTable,
    FileTables,
    ItemTable,
    PhaseTable,
    PlaneTable,
    RoomTable,
    TargetTable,
)

_SIZES = {"board": ("size",), "stick": ("length",), "roll": ("width",), "each": (), "bulk": ()}
_UNITS = {"board": "board", "stick": "stick", "roll": "m", "each": "piece"}


class Builder:
    """One file's tables on their way to a site."""

    def __init__(self, tables: FileTables) -> None:
        self._tables = tables
        self._unit = tables.site.unit
        self._shapes = ShapeReader(self._unit, len(tables.room))

    def site(self) -> Site:
        """The whole site; Refused at the first thing that does not fit."""
        tables = self._tables
        for kind, named in (("item", tables.item), ("build_up", tables.build_up), ("surface", tables.surface),
                            ("room", tables.room), ("phase", tables.phase)):
            _refuse_twice(f"[[{kind}]]", (one.name for one in named))
        items = {one.name: self._item(one) for one in tables.item}
        self._surfaces = {one.name for one in tables.surface} | set(bare_surfaces())
        site = Site(
            name=tables.site.name, unit=self._unit, currency=tables.site.currency, start=tables.site.start,
            hours=tuple(tables.site.hours.items()), cap=tables.site.cap, items=tuple(items.values()),
            build_ups=tuple(self._build_up(one, items) for one in tables.build_up),
            surfaces=tuple(Surface(one.name, tuple(one.alpha), one.source) for one in tables.surface),
            rooms=tuple(self._room(one) for one in tables.room),
            phases=tuple(self._phase(one, items) for one in tables.phase))
        self._check_joints(site)
        return resolve_order(site)

    def _length(self, value: object, where: str, key: str, *, position: bool = False) -> float:
        try:
            return read_length(value, self._unit, what=key, position=position)
        except MeasureError as error:
            raise Refused(f"{where}: {error}") from error

    def _item(self, one: ItemTable) -> Item:
        where = f'[[item]] "{one.name}"'
        for key in ("size", "length", "width"):
            given, wanted = getattr(one, key) is not None, key in _SIZES[one.form]
            if given != wanted:
                raise Refused(f"{where}: {key} {'does not belong to' if given else 'is missing: it belongs to'} "
                              f"a {one.form}")
        if one.unit is not None and one.form != "bulk":
            raise Refused(f'{where}: unit = "{one.unit}": only bulk has a unit of its own; leave it out')
        if one.flow_resistance is not None and one.form != "roll":
            raise Refused(f"{where}: flow_resistance is a cloth's, in Pa s/m; a board has flow_resistivity, in Pa s/m2")
        if one.weight is not None and one.form not in ("roll", "stick"):
            raise Refused(f"{where}: weight is a cloth's (kg/m2) or a track's (kg/m); a board has density, in kg/m3")
        for key in ("sliver", "hairline", "face_down"):
            if getattr(one, key) is not None and one.form != "board":
                raise Refused(f"{where}: {key} is about how boards are laid; leave it out of a {one.form}")
        if one.form == "roll" and one.pack != 1:
            raise Refused(f"{where}: pack = {one.pack:g}: a roll is sold by length; leave it out")
        if one.form != "bulk" and one.pack != int(one.pack):
            raise Refused(f"{where}: pack = {one.pack:g}: must be a whole number")
        unit = one.unit or "unit" if one.form == "bulk" else _UNITS[one.form]
        length, width = one.size or (one.length, one.width)
        try:
            on_hand = read_quantity(one.on_hand, form=one.form, unit=self._unit, pack=one.pack, item_unit=unit,
                                    what="on_hand", allow_zero=True)
        except MeasureError as error:
            raise Refused(f"{where}: {error}") from error
        sizes = {name: None if value is None else self._length(value, where, name)
                 for name, value in (("length", length), ("width", width), ("depth", one.depth))}
        allowances = {key: self._length(getattr(one, key), where, key, position=True)
                      for key in ("face", "kerf", "tuck", "waste_below")}
        laid = {key: None if getattr(one, key) is None else self._length(getattr(one, key), where, key, position=True)
                for key in ("sliver", "hairline")}
        shorter = min(size for size in (sizes["length"], sizes["width"], math.inf) if size is not None)
        for key, size in laid.items():
            if size is not None and size > shorter / 2:
                raise Refused(f"{where}: {key} is over half the board's shorter side; no layout could keep to it")
        return Item(
            name=one.name, form=one.form, length_m=sizes["length"], width_m=sizes["width"], depth_m=sizes["depth"],
            density_kg_m3=one.density, flow_resistivity_pa_s_m2=one.flow_resistivity, face_m=allowances["face"],
            kerf_m=allowances["kerf"], tuck_m=allowances["tuck"], waste_below_m=allowances["waste_below"],
            pack=one.pack, price=one.price, lead_days=one.lead_days, on_hand=on_hand, turnable=one.turnable,
            dye_lot=one.dye_lot, unit=unit, flow_resistance_pa_s_m=one.flow_resistance, weight_kg=one.weight,
            sliver_m=laid["sliver"], hairline_m=laid["hairline"], face_down=one.face_down is not False)

    def _build_up(self, one: BuildUpTable, items: dict[str, Item]) -> BuildUp:
        where = f'[[build_up]] "{one.name}"'
        for key, forms in (("infill", ("board",)), ("fabric", ("roll",)), ("edge", ("stick",)), ("joint", ("stick",))):
            name = getattr(one, key)
            if name is not None:
                _refuse_other_form(where, key, name, items, forms)
        for name in one.each:
            _refuse_other_form(where, "each", name, items, ("each", "bulk"))
        if items[one.infill].depth_m is None:
            raise Refused(f'[[item]] "{one.infill}": depth is missing; a board used as infill needs its thickness')
        gap_m = self._length(one.gap, where, "gap", position=True)
        if one.alpha is None:
            _refuse_no_coefficient(where, items[one.infill], gap_m)
        return BuildUp(
            name=one.name, infill=one.infill, gap_m=gap_m,
            fabric=one.fabric, edge=one.edge, joint=one.joint,
            each=tuple(Fixing(name, self._length(value, where, f"each {name}")) for name, value in one.each.items()),
            alpha=None if one.alpha is None else tuple(one.alpha))

    def _room(self, one: RoomTable) -> Room:
        where = f'[[room]] "{one.name}"'
        _refuse_twice(f"{where} plane", (plane.name for plane in one.plane))
        _refuse_twice(f"{where} absorbers", (absorber.name for absorber in one.absorbers))
        planes = tuple(self._plane(one.name, plane) for plane in one.plane)
        if one.volume is None:
            volume = box_volume_m3(planes)
            if volume is None:
                raise Refused(f"{where}: volume is missing, and the room is no plain box to work it out from; add it")
        else:
            try:
                volume = read_volume(one.volume)
            except MeasureError as error:
                raise Refused(f"{where}: {error}") from error
        return Room(name=one.name, volume_m3=volume, planes=planes, temperature_c=one.temperature,
                    humidity_pct=one.humidity, target=self._target(one.target, volume, where),
                    absorbers=tuple(Absorber(each.name, tuple(each.area), each.count) for each in one.absorbers))

    def _target(self, given: str | TargetTable | None, volume_m3: float, where: str) -> Target | None:
        if given is None:
            return None
        if isinstance(given, TargetTable):
            return Target("own", tuple(given.t), given.tolerance)
        if given not in built_in_names():
            raise Refused(f"{where}: target = \"{given}\" is no built-in target; the built-in ones are "
                          f"{', '.join(built_in_names())}, or give {{ t = [...], tolerance = 0.05 }}")
        try:
            target_band(Target(given), volume_m3)
        except Refused as error:
            raise Refused(f"{where}: {error}") from error
        return Target(given)

    def _plane(self, room: str, one: PlaneTable) -> Plane:
        where = self._shapes.part("room.plane", room, one.name)
        for key, what in (("opening", one.opening), ("bay", one.bay)):
            _refuse_twice(f"{where} {key}", (each.name for each in what))
        self._known_surface(where, one.surface)
        for opening in one.opening:
            self._known_surface(f'{where} opening "{opening.name}"', opening.surface)
        phases = [phase.name for phase in self._tables.phase]
        build_ups = [build_up.name for build_up in self._tables.build_up]
        for bay in one.bay:
            place = self._shapes.part("room.plane.bay", room, one.name, bay.name)
            _known(place, "phase", bay.phase, phases)
            _known(place, "build_up", bay.build_up, build_ups)
        plane = self._shapes.plane(room, one, where)
        faults = plane_faults(plane)
        if faults:
            raise Refused(f"{where}: {faults[0]}" + (f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""))
        return plane

    def _known_surface(self, where: str, name: str) -> None:
        _known(where, "surface", name, self._surfaces)

    def _phase(self, one: PhaseTable, items: dict[str, Item]) -> Phase:
        where = f'[[phase]] "{one.name}"'
        _refuse_twice(f"{where} task", (task.name for task in one.task))
        return Phase(one.name, tuple(self._shapes.task(one.name, task, items, where) for task in one.task))

    def _check_joints(self, site: Site) -> None:
        for plane in site.planes.values():
            bays = {bay.name: bay for bay in plane.bays}
            for name, shape in bay_shapes(plane, track_faces(site, plane)).items():
                for edge in shape.edges:
                    if edge.neighbour is None:
                        continue
                    first = next(bay for bay in plane.bays if bay.name in (name, edge.neighbour))
                    if site.build_up[bays[first.name].build_up].joint is None:
                        raise Refused(f'[[build_up]] "{first.build_up}": joint is missing; bays {name} and '
                                      f"{edge.neighbour} of {plane.name} share an edge")


def _known(where: str, key: str, name: str, names: Iterable[str]) -> None:
    known = list(names)
    if name not in known:
        close = get_close_matches(name, known, n=2, cutoff=0.5)
        listed = f"add it, or use one of {', '.join(known[:5])}" if known else "add it"
        said = f"did you mean {' or '.join(close)}?" if close else listed
        raise Refused(f'{where}: {key} = "{name}" matches nothing; {said}')


def _refuse_other_form(where: str, key: str, name: str, items: dict[str, Item], forms: tuple[str, ...]) -> None:
    _known(where, key, name, items)
    if items[name].form not in forms:
        raise Refused(f'{where}: {key} = "{name}" is a {items[name].form}; it takes a {" or ".join(forms)}')


def _refuse_no_coefficient(where: str, board: Item, gap_m: float) -> None:
    """Refused here, since every figure of the room would be refused later."""
    try:
        build_up_alpha(board.depth_m or 0.0, board.density_kg_m3, board.flow_resistivity_pa_s_m2, gap_m)
    except Refused as error:
        raise Refused(f'{where}: infill = "{board.name}": {error}') from error


def _refuse_twice(where: str, names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise Refused(f'{where}: name = "{name}" is given twice; give each its own name')
        seen.add(name)
