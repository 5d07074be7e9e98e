"""Reads the site back as the domain's plain values, with the row numbers services need to write."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from tracker.domain.site import (
    Absorber,
    Bay,
    BuildUp,
    Fixing,
    Item,
    Opening,
    Phase,
    Plane,
    Room,
    Site,
    Surface,
    TapeSet,
    Target,
    Task,
)
from tracker.store.amounts import amount, amount_or_none, read_bands, read_outline


@dataclass(frozen=True, slots=True)
class Numbers:
    """Row numbers by the domain's keys."""

    items: dict[str, int]
    planes: dict[str, int]
    bays: dict[str, int]
    tasks: dict[str, int]


def rows_of(session: Session, table: str, order: str = "id") -> list[Any]:
    """Every row of a table as plain tuples with names.

    By plain SQL, so that reading needs no table classes: making those costs more than reading a whole site.
    """
    return list(session.connection().exec_driver_sql(f"SELECT * FROM {table} ORDER BY {order}"))


def read_site(session: Session) -> tuple[Site, Numbers]:
    """The whole site, and the row numbers of its items, planes, bays and tasks."""
    head = rows_of(session, "site")[0]
    items = rows_of(session, "item")
    item_names = {row.id: row.name for row in items}
    phases = rows_of(session, "phase")
    planes = _Planes(session, {row.id: row.name for row in phases})
    tasks = _read_tasks(session, {row.id: row.name for row in phases}, item_names, planes)
    site = Site(
        name=head.name, unit=head.unit, currency=head.currency, start=date.fromisoformat(head.start),
        hours=tuple((day, hours) for day, hours in json.loads(head.hours)), cap=bool(head.cap),
        items=tuple(_item(row) for row in items), build_ups=_read_build_ups(session, item_names),
        surfaces=tuple(Surface(row.name, read_bands(row.alpha), row.source)
                       for row in rows_of(session, "surface")),
        rooms=_read_rooms(session, planes),
        phases=tuple(Phase(row.name, tuple(task for _, task in tasks if task.phase == row.name)) for row in phases))
    return site, Numbers(items={row.name: row.id for row in items}, planes=planes.numbers, bays=planes.bay_numbers,
                         tasks={task.key: number for number, task in tasks})


def _item(row: Any) -> Item:
    return Item(
        name=row.name, form=row.form, length_m=amount_or_none(row.length_um), width_m=amount_or_none(row.width_um),
        depth_m=amount_or_none(row.depth_um), density_kg_m3=row.density_kg_m3,
        flow_resistivity_pa_s_m2=row.flow_resistivity_pa_s_m2, face_m=amount(row.face_um), kerf_m=amount(row.kerf_um),
        pack=row.pack, price=None if row.price_cents is None else row.price_cents / 100, lead_days=row.lead_days,
        waste_below_m=amount(row.waste_below_um), tuck_m=amount(row.tuck_um), turnable=bool(row.turnable),
        dye_lot=row.dye_lot, unit=row.unit, flow_resistance_pa_s_m=row.flow_resistance_pa_s_m,
        weight_kg=row.weight_kg, sliver_m=amount_or_none(row.sliver_um), hairline_m=amount_or_none(row.hairline_um),
        face_down=row.face_down != 0)


def _read_build_ups(session: Session, items: dict[int, str]) -> tuple[BuildUp, ...]:
    fixings = defaultdict(list)
    for row in rows_of(session, "fixing"):
        fixings[row.build_up_id].append(Fixing(items[row.item_id], amount(row.spacing_um)))
    return tuple(BuildUp(name=row.name, infill=items[row.infill_id], gap_m=amount(row.gap_um),
                         fabric=items.get(row.fabric_id), edge=items.get(row.edge_id), joint=items.get(row.joint_id),
                         each=tuple(fixings[row.id]), alpha=None if row.alpha is None else read_bands(row.alpha))
                 for row in rows_of(session, "build_up"))


def _read_rooms(session: Session, planes: _Planes) -> tuple[Room, ...]:
    absorbers = defaultdict(list)
    for row in rows_of(session, "absorber"):
        absorbers[row.room_id].append(Absorber(row.name, read_bands(row.area_m2), row.count))
    return tuple(Room(name=row.name, volume_m3=row.volume_m3, planes=tuple(planes.of_room[row.id]),
                      temperature_c=row.temperature_c, humidity_pct=row.humidity_pct, target=_target(row.target),
                      absorbers=tuple(absorbers[row.id]))
                 for row in rows_of(session, "room"))


def _target(text: str | None) -> Target | None:
    if text is None:
        return None
    value = json.loads(text)
    return Target(value["name"], None if value["t_s"] is None else tuple(value["t_s"]), value["tolerance_s"])


class _Planes:
    """Planes and bays by row number, with their newest tape sets."""

    def __init__(self, session: Session, phases: dict[int, str]) -> None:
        room_names = {row.id: row.name for row in rows_of(session, "room")}
        build_ups = {row.id: row.name for row in rows_of(session, "build_up")}
        tapes = {(row.plane_id, row.bay_id, row.fitted): _tape(row) for row in rows_of(session, "tape")}
        plane_rows = rows_of(session, "plane")
        bay_rows = rows_of(session, "bay")
        places = {row.id: (room_names[row.room_id], row.name) for row in plane_rows}
        self.bay_key = {row.id: "/".join((*places[row.plane_id], row.name)) for row in bay_rows}
        self.bay_numbers = {key: number for number, key in self.bay_key.items()}
        self.numbers = {f"{room_names[row.room_id]}/{row.name}": row.id for row in plane_rows}
        self._before: dict[tuple[int | None, int | None], list[Any]] = defaultdict(list)
        for row in rows_of(session, "predecessor"):
            self._before[row.bay_id, row.task_id].append(row)
        self.task_key = {row.id: f"{phases[row.phase_id]}: {row.name}" for row in rows_of(session, "task")}
        openings, bays = defaultdict(list), defaultdict(list)
        for row in rows_of(session, "opening"):
            openings[row.plane_id].append(Opening(row.name, read_outline(row.outline), row.surface))
        for row in bay_rows:
            room, plane = places[row.plane_id]
            bays[row.plane_id].append(Bay(
                room=room, plane=plane, name=row.name, phase=phases[row.phase_id],
                build_up=build_ups[row.build_up_id], outline=read_outline(row.outline),
                tape=tapes.get((None, row.id, 0)), fitted=tapes.get((None, row.id, 1)),
                after=self.before(bay_id=row.id)))
        self.of_room: dict[int, list[Plane]] = defaultdict(list)
        for row in plane_rows:
            self.of_room[row.room_id].append(Plane(
                room=room_names[row.room_id], name=row.name, kind=row.kind, outline=read_outline(row.outline),
                surface=row.surface, openings=tuple(openings[row.id]), bays=tuple(bays[row.id]),
                tape=tapes.get((row.id, None, 0)), axis=row.axis))

    def before(self, *, bay_id: int | None = None, task_id: int | None = None) -> tuple[str, ...]:
        """Keys of what must be done before the bay or the task."""
        return tuple(self.bay_key[row.on_bay_id] if row.on_bay_id else self.task_key[row.on_task_id]
                     for row in self._before.get((bay_id, task_id), ()))


def _tape(row: Any) -> TapeSet:
    return TapeSet(bottom_m=amount(row.bottom_um), top_m=amount(row.top_um), left_m=amount(row.left_um),
                   right_m=amount(row.right_um), diagonal_m=amount_or_none(row.diagonal_um),
                   check_m=amount_or_none(row.check_um), middle_m=amount_or_none(row.middle_um),
                   centre_m=amount_or_none(row.centre_um))


def _read_tasks(session: Session, phases: dict[int, str], items: dict[int, str],
                planes: _Planes) -> list[tuple[int, Task]]:
    needs = defaultdict(list)
    for row in rows_of(session, "task_need"):
        needs[row.task_id].append((items[row.item_id], amount(row.quantity_u)))
    return [(row.id, Task(phase=phases[row.phase_id], name=row.name, after=planes.before(task_id=row.id),
                          hours_h=row.hours_h, needs=tuple(needs[row.id])))
            for row in rows_of(session, "task")]
