"""How the whole site stands: phases with their meters, what is next, and every bay with its steps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.site import STEPS, Bay, Form, Phase, Plane, Task
from tracker.domain.work.allotment import Allotment
from tracker.domain.work.notices import bay_notices
from tracker.domain.work.order import remaining, waits_on
from tracker.domain.work.readiness import Readiness, item_states, unit_readiness, units_readiness
from tracker.services.allotment import allot, planned_together
from tracker.services.answers import Blocked, Gain, Hours, NextWork, PhaseState, PhaseStatus, Status, Stopped
from tracker.services.desk import Desk, Standing
from tracker.services.gains import Gains, gains_of
from tracker.services.hours import Rates, hours_left, rates_of
from tracker.services.reasons import of_step, reason, target_name
from tracker.services.site_answers import BayView, OpeningView, PlaneView, SiteView, StepCell, TaskView
from tracker.services.sounding import mean_m2
from tracker.services.wording import warned
from tracker.store.book_reader import Entry

STARTABLE = ("under way", "ready")


PLANNED_FORMS: tuple[Form, ...] = ("board", "stick")
"""What a kept cutting plan holds."""


def status(desk: Desk) -> Status:
    """Phases with their meters, what blocks each, what is next, and where the work stopped."""
    now = desk.standing()
    shared = allot(now)
    rates = rates_of(now, shared)
    spent = _spent_h(now)
    gains = gains_of(desk, now, shared.shapes)
    unplanned = () if planned_together(now, shared, now.site.bays.values()) else PLANNED_FORMS
    return Status(
        site=now.site.name, unit=now.site.unit,
        phases=tuple(_phase_status(now, shared, phase, rates, spent[phase.name], gains, unplanned)
                     for phase in now.site.phases),
        next=tuple(_next_work(now, shared)), stopped=_stopped(now), half_done=tuple(_half_done(now)))


def _spent_h(now: Standing) -> dict[str, float]:
    """Phase to the hours logged in it."""
    spent = {phase.name: 0.0 for phase in now.site.phases}
    for entry in now.entries.values():
        if entry.corrected_by is None and entry.hours_h:
            unit = now.site.bays.get(entry.key) or now.site.tasks[entry.key]
            spent[unit.phase] += entry.hours_h
    return spent


def _phase_status(now: Standing, shared: Allotment, phase: Phase, rates: Rates, spent_h: float,
                  gains: Gains, unplanned: tuple[Form, ...]) -> PhaseStatus:
    units = (*now.site.bays_of(phase.name), *phase.tasks)
    found = units_readiness(shared, units) if units else Readiness("done", None, (), ())
    states = item_states(shared, shared.phases[phase.name])
    blocked = tuple(Blocked(item=one.item, unit=one.unit, need=one.need, short=one.short, on_order=one.on_order,
                            due=one.due, plan_first=now.site.item[one.item].form in unplanned)
                    for one in states if one.short > 0)
    waits = dict.fromkeys(target_name(now.site, key) for unit in units if not now.progress.done(now.site, unit.key)
                          for key in waits_on(unit, now.site, now.progress))
    left = sum(hours_left(now, shared, unit, rates) for unit in units)
    return PhaseStatus(name=phase.name, state=_phase_state(now, units, found, bool(blocked)),
                       gain=_phase_gain(now, shared, phase, gains), blocked_by=blocked, waits_on=tuple(waits),
                       hours=Hours(spent_h=round(spent_h, 4), left_h=round(left, 2)))


def _phase_state(now: Standing, units: tuple[Bay | Task, ...], found: Readiness, blocked: bool) -> PhaseState:
    if found.verdict == "done":
        return "done"
    if any(now.progress.begun(unit) for unit in units):
        return "under way"
    if blocked:
        return "short"
    return "waiting" if found.verdict == "waiting" else "ready"


def _phase_gain(now: Standing, shared: Allotment, phase: Phase, gains: Gains) -> Gain:
    planned, installed, covered, short = ([0.0] * len(BANDS_HZ) for _ in range(4))
    for bay in now.site.bays_of(phase.name):
        gain = gains(bay)
        up = now.progress.of(bay, "infill")
        rest = covered if now.progress.bay_done(bay) or shared.covered(bay) else short
        for band, value in enumerate(gain):
            planned[band] += value
            installed[band] += value * up
            rest[band] += value * (1 - up)
    parts = [tuple(round(value, 6) for value in part) for part in (planned, installed, covered, short)]
    means = [round(mean_m2(part), 6) for part in parts]
    return Gain(*means, *parts)


def _next_work(now: Standing, shared: Allotment) -> Iterable[NextWork]:
    listed = [(unit, unit_readiness(shared, unit)) for unit in remaining(now.site, now.progress)]
    # What is begun comes first, then what can start; the rest keeps the order of work.
    rank = {"under way": 0, "ready": 1}
    listed.sort(key=lambda pair: rank.get(pair[1].verdict, 2))
    for unit, found in listed:
        progress = now.progress.so_far(unit, found.step)
        verdict, why = of_step(found, progress), reason(now.site, found)
        if verdict != found.verdict:
            why = why.removeprefix("Go on: ").capitalize()
        yield NextWork(target=target_name(now.site, unit.key), step=found.step, verdict=verdict, reason=why,
                       phase=unit.phase, progress=progress)


def _stopped(now: Standing) -> Stopped | None:
    if not now.diary:
        return None
    return _as_said(now, now.diary[-1])


def _half_done(now: Standing) -> Iterable[Stopped]:
    """The last entry of every step and task that is half done, the newest first, without the newest of all."""
    open_ = {key for key, done in now.progress.steps.items() if 0 < done < 1}
    open_ |= {(key, None) for key, done in now.progress.tasks.items() if 0 < done < 1}
    for place, entry in enumerate(reversed(now.diary)):
        if not open_:
            return
        if (entry.key, entry.step) in open_:
            open_.discard((entry.key, entry.step))
            if place:
                yield _as_said(now, entry)


def _as_said(now: Standing, entry: Entry) -> Stopped:
    return Stopped(date=entry.on, target=target_name(now.site, entry.key), step=entry.step, done=entry.done,
                   note=entry.note)


def site_view(desk: Desk) -> SiteView:
    """Every plane with its bays as drawn and as worked on, and the free tasks."""
    now = desk.standing()
    shared = allot(now)
    gains = gains_of(desk, now, shared.shapes)
    return SiteView(
        site=now.site.name, unit=now.site.unit,
        planes=tuple(_plane_view(now, shared, plane, gains) for plane in now.site.planes.values()),
        tasks=tuple(_task_view(now, shared, task) for task in now.site.tasks.values()),
        phases=tuple(phase.name for phase in now.site.phases))


def _plane_view(now: Standing, shared: Allotment, plane: Plane, gains: Gains) -> PlaneView:
    from tracker.domain.geometry.outline import area_m2

    return PlaneView(
        key=plane.key, name=now.site.short(plane.key), kind=plane.kind, room=plane.room, outline=plane.outline,
        area_m2=area_m2(plane.outline), surface=plane.surface,
        openings=tuple(OpeningView(one.name, one.outline) for one in plane.openings),
        bays=tuple(_bay_view(now, shared, bay, gains(bay)) for bay in plane.bays))


def _bay_view(now: Standing, shared: Allotment, bay: Bay, gain: PerBand) -> BayView:
    shape = shared.shapes.of(bay)
    return BayView(
        key=bay.key, target=now.site.short(bay.key), plane=now.site.short(f"{bay.room}/{bay.plane}"), phase=bay.phase,
        build_up=bay.build_up, outlines=tuple((part.exterior, part.holes) for part in shape.outline),
        area_m2=shape.area_m2, infill_m2=sum(part.area_m2 for part in shared.shapes.infill(bay)),
        fitted=bay.fitted is not None, gain_m2=mean_m2(gain),
        steps=tuple(_step_cell(now, shared, bay, step) for step in STEPS),
        warnings=tuple(warned(now.site, one) for one in bay_notices(now.site, shared.shapes, bay, now.progress,
                                                                    now.pool)))


def _step_cell(now: Standing, shared: Allotment, bay: Bay, step: str) -> StepCell:
    # The next step answers for the whole bay, as a check of it does: a bay is not begun that can't be finished.
    following = step == now.progress.next_step(bay)
    found = unit_readiness(shared, bay) if following else unit_readiness(shared, bay, step)
    progress = now.progress.of(bay, step)
    if found.verdict == "under way" and progress == 0:
        found = replace(found, verdict="ready")
    return StepCell(step=step, progress=progress, verdict=found.verdict, reason=reason(now.site, found))


def _task_view(now: Standing, shared: Allotment, task: Task) -> TaskView:
    found = unit_readiness(shared, task)
    return TaskView(key=task.key, phase=task.phase, name=task.name, verdict=found.verdict,
                    reason=reason(now.site, found), hours_h=task.hours_h)
