"""Is the next phase worth it? What each remaining phase and bay brings, costs and takes, and what a change would do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from tracker.domain.errors import Refused
from tracker.domain.site import Bay, Site, Task
from tracker.domain.sound.counting import counted
from tracker.domain.sound.targets import target_band
from tracker.domain.sound.worth import By, Outlay, Worth, ranked, what_if
from tracker.domain.sound.worth import worth as worth_of
from tracker.domain.work.allotment import Allotment, Share, Unit, share_out
from tracker.domain.work.targets import Target, find_target, whole_site
from tracker.services.allotment import allot
from tracker.services.buying import still_to_buy
from tracker.services.calibrating import RoomBasis, room_basis
from tracker.services.desk import Desk, Standing
from tracker.services.hours import Rates, hours_left, rates_of
from tracker.services.measurements import read_in, room_named
from tracker.services.sound_answers import Times, WorthReport, WorthRow
from tracker.services.what_if import WhatIf, read_changes, work_out

ORDERS: tuple[By, ...] = get_args(By)


def worth(desk: Desk, target: str | None = None, room: str | None = None, changes: Sequence[str] = (),
          by: str = "money") -> WorthReport:
    """What the target's phases and bays still bring, best first, and the same with changes that are asked about."""
    if by not in ORDERS:
        raise Refused(f"by {by}: rows are ranked by one of {', '.join(ORDERS)}")
    now, known = desk.standing(), read_in(desk)
    wanted = whole_site(now.site) if target is None else find_target(now.site, target)
    if not wanted.bays:
        raise Refused(f"{wanted.name}: it has no bays, and adds no absorption area")
    rooms = now.site.rooms if room is None else (room_named(now.site, room),)
    bases = [room_basis(now, one, known) for one in rooms]
    asked = work_out(now.site, now.progress, read_changes(now.site, changes))
    plain = _Reckoning(now, allot(now), WhatIf({}, (), now.site, {}))
    as_planned = plain.rows(bases, wanted, by)
    remaining = as_planned
    if asked.views:
        shared = allot(now) if asked.site is now.site else share_out(asked.site, now.progress, now.pool)
        remaining = _Reckoning(now, shared, asked).rows(bases, wanted, by)
    shown = {row.room for row in remaining}
    bases = [one for one in bases if one.room.name in shown]
    return WorthReport(
        site=now.site.name, currency=now.site.currency, by=by, remaining=remaining,
        as_planned=as_planned if asked.views else (), what_if=asked.views,
        calibrated_on=tuple((one.room.name, one.calibration.measured.name) for one in bases
                            if one.calibration is not None),
        notes=tuple(said for one in bases for said in one.cautions))


@dataclass(frozen=True)
class _Reckoning:
    """The rows for the plan, or for the plan with what is asked about."""

    now: Standing
    shared: Allotment
    asked: WhatIf

    def rows(self, bases: Sequence[RoomBasis], wanted: Target, by: By) -> tuple[WorthRow, ...]:
        rates = rates_of(self.now, self.shared)
        found: list[Worth] = []
        rows: dict[int, WorthRow] = {}
        for basis in bases:
            outlays = self._outlays(basis, rates)
            surfaces = what_if(basis.surfaces, {key: change for key, change in self.asked.changes.items()
                                                if self.now.site.bays[key].room == basis.room.name})
            target = basis.room.target
            band = None if target is None else target_band(target, basis.room.volume_m3)
            count = counted(surfaces, self.now.site.cap)
            before = count.stage(()).sabine_s
            for one in worth_of(surfaces, tuple(phase.name for phase in self.now.site.phases), band,
                                {key: outlay for key, (outlay, _) in outlays.items()}, self.now.site.cap):
                if _asked_for(self.now.site, wanted, one, basis):
                    found.append(one)
                    rows[id(one)] = self._row(basis, one, outlays[one.target][1], before)
        return tuple(rows[id(one)] for one in ranked(found, by))

    def _row(self, basis: RoomBasis, one: Worth, unpriced: tuple[str, ...], before: Times) -> WorthRow:
        site = self.now.site
        after = one.after
        return WorthRow(
            target=site.short(one.target) if one.kind == "bay" else one.target, kind=one.kind, room=basis.room.name,
            phase=site.bays[one.target].phase if one.kind == "bay" else one.target, area_m2=one.area_m2,
            gain_m2=one.gain_m2, mean_gain_m2=one.mean_gain_m2, decay_s=after.sabine_s, low_s=after.low_s,
            high_s=after.high_s, change_s=tuple(None if a is None or b is None else a - b for a, b in
                                                zip(after.sabine_s, before, strict=True)),
            bands_into_target=one.comes_in_hz, bands_out_of_target=one.falls_out_hz, cost=one.outlay.money,
            hours_h=round(one.outlay.hours_h or 0.0, 2), per_cost=one.per_money, per_hour=one.per_hour,
            unpriced=unpriced)

    def _outlays(self, basis: RoomBasis, rates: Rates) -> Mapping[str, tuple[Outlay, tuple[str, ...]]]:
        """By phase and bay: what is still to be spent in this room, and what of it has no price."""
        site, progress = self.now.site, self.now.progress
        found: dict[str, tuple[Outlay, tuple[str, ...]]] = {}
        for phase in site.phases:
            bays = [bay for bay in site.bays_of(phase.name) if bay.room == basis.room.name]
            if not bays:
                continue
            first = next(site.bays_of(phase.name)).room == basis.room.name
            units: list[Unit] = [*bays, *(phase.tasks if first else ())]
            left = tuple(unit for unit in units if not progress.done(site, unit.key))
            whole = len(units) == len([*site.bays_of(phase.name), *phase.tasks])
            # Tasks of a phase in several rooms are counted once, in the first of them.
            share = self.shared.phases[phase.name] if whole else self.shared.share_of(self._own(left))
            found[phase.name] = self._outlay(left, share, rates)
            for bay in bays:
                if bay.key in self.shared.units:
                    found[bay.key] = self._outlay((bay,), self.shared.units[bay.key], rates)
        return found

    def _own(self, units: Sequence[Unit]) -> tuple[Unit, ...]:
        """The units as the site that is planned has them."""
        return tuple(self.shared.site.bays[unit.key] if isinstance(unit, Bay) else unit for unit in units)

    def _outlay(self, units: Sequence[Unit], share: Share, rates: Rates) -> tuple[Outlay, tuple[str, ...]]:
        hours = sum(hours_left(self.now, self.shared, unit, rates) * self._part(unit) for unit in units)
        bought = list(still_to_buy(self.now, self.shared, share, self._mean_part(units)))
        unpriced = [item.name for item, _, cost in bought if cost is None]
        unpriced += [self.asked.unpriced[unit.key] for unit in units if unit.key in self.asked.unpriced]
        if unpriced:
            return Outlay(None, hours), tuple(dict.fromkeys(unpriced))
        return Outlay(round(sum(cost for _, _, cost in bought if cost is not None), 2), hours), ()

    def _part(self, unit: Unit) -> float:
        change = self.asked.changes.get(unit.key)
        return 1.0 if change is None or isinstance(unit, Task) else change.area_share

    def _mean_part(self, units: Sequence[Unit]) -> float:
        """How much more or less the bays come to in all with the areas asked about."""
        areas = [(self.shared.shapes.area_m2(unit), self._part(unit)) for unit in units if isinstance(unit, Bay)]
        whole = sum(area for area, _ in areas)
        return sum(area * part for area, part in areas) / whole if whole > 0 else 1.0


def _asked_for(site: Site, wanted: Target, one: Worth, basis: RoomBasis) -> bool:
    if wanted.kind == "site":
        return True
    if wanted.kind == "room":
        return wanted.name == basis.room.name
    if wanted.kind == "phase":
        return wanted.name == (site.bays[one.target].phase if one.kind == "bay" else one.target)
    return one.kind == "bay" and one.target in {bay.key for bay in wanted.bays}
