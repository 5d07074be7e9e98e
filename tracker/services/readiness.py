"""Check before a wall: a straight yes or no, with the reason."""

from __future__ import annotations

from tracker.domain.errors import Refused
from tracker.domain.site import Step
from tracker.domain.work.cautions import cautions
from tracker.domain.work.notices import bay_notices
from tracker.domain.work.readiness import ItemState, Readiness, units_readiness
from tracker.domain.work.targets import Target, find_target
from tracker.services.allotment import allot
from tracker.services.answers import Check, ItemNeed, Warned
from tracker.services.desk import Desk, Standing
from tracker.services.reasons import reason, target_name
from tracker.services.wording import warned


def check_start(desk: Desk, target: str, step: Step | None = None) -> Check:
    """Can the target be started now? With a step: can that step?"""
    now = desk.standing()
    found = find_target(now.site, target)
    if not found.units:
        raise Refused(f"{target}: nothing is to be built there; name a bay, or a plane or phase that has one")
    if step is not None and not found.bays:
        raise Refused(f"{target}: a task has no steps; check it without --step")
    units = found.units if step is None else found.bays
    readiness = units_readiness(allot(now), units, step)
    return Check(
        target=found.name, step=readiness.step, verdict=readiness.verdict,
        items=tuple(item_need(one) for one in readiness.items),
        waits_on=tuple(target_name(now.site, key) for key in readiness.waits_on),
        warnings=_warnings(now, found, step), cautions=_cautions(now, found, readiness),
        reason=reason(now.site, readiness), title=_title(found, step, readiness),
        counted=_counted(found, readiness))


def _title(found: Target, asked: Step | None, readiness: Readiness) -> str:
    """The next step is that of one bay: of a whole room or phase it would be the first one's."""
    step = asked or (readiness.step if len(found.units) == 1 else None)
    return f"{found.name}, {step}" if step else found.name


def _counted(found: Target, readiness: Readiness) -> str:
    cut = any(one.short > 0 and one.unit in ("board", "stick") for one in readiness.items)
    if found.kind != "bay" or not cut:
        return ""
    return (f"A bay is counted alone, from what earlier work leaves: `check \"{found.units[0].phase}\"` counts its "
            "phase together, which can come to another figure.")


def item_need(one: ItemState) -> ItemNeed:
    """An item's state as a check answers it."""
    return ItemNeed(item=one.item, unit=one.unit, need=one.need, on_hand=one.on_hand, offcuts_used=one.offcuts_used,
                    held=one.held, short=one.short, on_order=one.on_order, due=one.due)


def _warnings(now: Standing, target: Target, step: Step | None) -> tuple[Warned, ...]:
    shared = allot(now)
    bays = [bay for bay in target.bays if not now.progress.bay_done(bay)]
    found = [warned(now.site, one, None if len(bays) == 1 else now.site.short(bay.key))
             for bay in bays for one in bay_notices(now.site, shared.shapes, bay, now.progress, now.pool, step)]
    return tuple(dict.fromkeys(found))


def _cautions(now: Standing, target: Target, readiness: Readiness) -> tuple[str, ...]:
    if readiness.step is None:
        return ()
    lines = [line for bay in target.bays
             for line in cautions(bay, now.site.planes[f"{bay.room}/{bay.plane}"], readiness.step)]
    return tuple(dict.fromkeys(lines))

