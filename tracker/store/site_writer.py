"""Writes a site as the person described it into an empty store."""

from __future__ import annotations

import json
from datetime import date

from sqlmodel import Session

from tracker.domain.site import Bay, BuildUp, Item, Phase, Plane, Room, Site, TapeSet
from tracker.store.amounts import bands_text, outline_text, whole, whole_or_none
from tracker.store.tables import (
    AbsorberRow,
    BayRow,
    BuildUpRow,
    FixingRow,
    ItemRow,
    MovementRow,
    OpeningRow,
    PhaseRow,
    PlaneRow,
    PredecessorRow,
    RoomRow,
    SiteRow,
    SurfaceRow,
    TapeRow,
    TaskNeedRow,
    TaskRow,
)

Keys = dict[str, int]


def write_site(session: Session, site: Site, today: date) -> None:
    """Adds every row of the site; opening counts become the first movements, dated the site's start or today."""
    session.add(SiteRow(id=1, name=site.name, unit=site.unit, currency=site.currency, start=site.start.isoformat(),
                        hours=json.dumps(list(site.hours)), cap=int(site.cap)))
    session.add_all(SurfaceRow(name=one.name, alpha=bands_text(one.alpha), source=one.source) for one in site.surfaces)
    opened = min(site.start, today)
    items = {item.name: _add_item(session, item, opened) for item in site.items}
    build_ups = {one.name: _add_build_up(session, one, items) for one in site.build_ups}
    phases = {phase.name: _added(session, PhaseRow(name=phase.name)) for phase in site.phases}
    bays: Keys = {}
    for room in site.rooms:
        bays |= _add_room(session, room, phases, build_ups, opened)
    tasks: Keys = {}
    for phase in site.phases:
        tasks |= _add_tasks(session, phase, phases[phase.name], items)
    _add_predecessors(session, site, bays, tasks)
    session.flush()


def _added(session: Session, row: object) -> int:
    session.add(row)
    session.flush()
    return row.id  # every table has one


def _add_item(session: Session, item: Item, opened: date) -> int:
    item_id = _added(session, ItemRow(
        name=item.name, form=item.form, unit=item.unit, length_um=whole_or_none(item.length_m),
        width_um=whole_or_none(item.width_m), depth_um=whole_or_none(item.depth_m),
        density_kg_m3=item.density_kg_m3, flow_resistivity_pa_s_m2=item.flow_resistivity_pa_s_m2,
        face_um=whole(item.face_m), kerf_um=whole(item.kerf_m), tuck_um=whole(item.tuck_m),
        waste_below_um=whole(item.waste_below_m), turnable=int(item.turnable), pack=item.pack,
        price_cents=None if item.price is None else round(item.price * 100), lead_days=item.lead_days,
        dye_lot=item.dye_lot, flow_resistance_pa_s_m=item.flow_resistance_pa_s_m, weight_kg=item.weight_kg,
        sliver_um=whole_or_none(item.sliver_m), hairline_um=whole_or_none(item.hairline_m),
        face_down=int(item.face_down)))
    if item.on_hand:
        session.add(MovementRow(item_id=item_id, kind="opening", quantity_u=whole(item.on_hand),
                                on_date=opened.isoformat(), lot=item.dye_lot, position=item_id))
    return item_id


def _add_build_up(session: Session, one: BuildUp, items: Keys) -> int:
    build_up_id = _added(session, BuildUpRow(
        name=one.name, gap_um=whole(one.gap_m), infill_id=items[one.infill], fabric_id=items.get(one.fabric or ""),
        edge_id=items.get(one.edge or ""), joint_id=items.get(one.joint or ""),
        alpha=None if one.alpha is None else bands_text(one.alpha)))
    session.add_all(FixingRow(build_up_id=build_up_id, item_id=items[fixing.item], spacing_um=whole(fixing.spacing_m))
                    for fixing in one.each)
    return build_up_id


def _add_room(session: Session, room: Room, phases: Keys, build_ups: Keys, opened: date) -> Keys:
    target = None if room.target is None else json.dumps(
        {"name": room.target.name, "t_s": room.target.t_s, "tolerance_s": room.target.tolerance_s})
    room_id = _added(session, RoomRow(name=room.name, volume_m3=room.volume_m3, temperature_c=room.temperature_c,
                                      humidity_pct=room.humidity_pct, target=target))
    session.add_all(AbsorberRow(room_id=room_id, name=one.name, area_m2=bands_text(one.area_m2), count=one.count)
                    for one in room.absorbers)
    bays: Keys = {}
    for plane in room.planes:
        plane_id = _add_plane(session, plane, room_id, opened)
        for bay in plane.bays:
            bays[bay.key] = _add_bay(session, bay, plane_id, phases[bay.phase], build_ups[bay.build_up], opened)
    return bays


def _add_plane(session: Session, plane: Plane, room_id: int, opened: date) -> int:
    plane_id = _added(session, PlaneRow(room_id=room_id, name=plane.name, kind=plane.kind, surface=plane.surface,
                                        outline=outline_text(plane.outline), axis=plane.axis))
    session.add_all(OpeningRow(plane_id=plane_id, name=one.name, outline=outline_text(one.outline),
                               surface=one.surface) for one in plane.openings)
    if plane.tape is not None:
        session.add(tape_row(plane.tape, opened, plane_id=plane_id))
    return plane_id


def _add_bay(session: Session, bay: Bay, plane_id: int, phase_id: int, build_up_id: int, opened: date) -> int:
    bay_id = _added(session, BayRow(plane_id=plane_id, phase_id=phase_id, build_up_id=build_up_id, name=bay.name,
                                    outline=outline_text(bay.outline)))
    if bay.tape is not None:
        session.add(tape_row(bay.tape, opened, bay_id=bay_id))
    if bay.fitted is not None:
        session.add(tape_row(bay.fitted, opened, bay_id=bay_id, fitted=True))
    return bay_id


def tape_row(tape: TapeSet, taken: date, *, plane_id: int | None = None, bay_id: int | None = None,
             fitted: bool = False) -> TapeRow:
    """The row of one tape set of a plane or a bay."""
    return TapeRow(plane_id=plane_id, bay_id=bay_id, fitted=int(fitted), taken=taken.isoformat(),
                   bottom_um=whole(tape.bottom_m), top_um=whole(tape.top_m), left_um=whole(tape.left_m),
                   right_um=whole(tape.right_m), diagonal_um=whole_or_none(tape.diagonal_m),
                   check_um=whole_or_none(tape.check_m), middle_um=whole_or_none(tape.middle_m),
                   centre_um=whole_or_none(tape.centre_m))


def _add_tasks(session: Session, phase: Phase, phase_id: int, items: Keys) -> Keys:
    tasks: Keys = {}
    for task in phase.tasks:
        task_id = _added(session, TaskRow(phase_id=phase_id, name=task.name, hours_h=task.hours_h))
        session.add_all(TaskNeedRow(task_id=task_id, item_id=items[item], quantity_u=whole(quantity))
                        for item, quantity in task.needs)
        tasks[task.key] = task_id
    return tasks


def _add_predecessors(session: Session, site: Site, bays: Keys, tasks: Keys) -> None:
    for bay in site.bays.values():
        for before in bay.after:
            session.add(PredecessorRow(bay_id=bays[bay.key], on_bay_id=bays.get(before), on_task_id=tasks.get(before)))
    for task in site.tasks.values():
        for before in task.after:
            session.add(PredecessorRow(task_id=tasks[task.key], on_bay_id=bays.get(before),
                                       on_task_id=tasks.get(before)))
