"""The cutting plan of a roll item: cloths side by side across the roll, remnants first, the fewest metres."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tracker.domain.cutting.cloths import Drop, Placed, drop_of, nested
from tracker.domain.cutting.outlines import area_m2
from tracker.domain.cutting.plans import Cloth, OffcutMade, RollPlan, RollStock, Strip
from tracker.domain.errors import Refused

EPS_M = 1e-6
KEPT_TUCKS = 4
"""Remnants keep room for two tucks at each end. Common practice, no source."""
KEPT_FROM_M = 0.1
"""The least remnant of cloth worth a place on the rack, m. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class _Cut:
    """What takes a rectangle of the roll, m: along it and across it, a cloth or two nested; turned or not."""

    bay: str
    along: float
    across: float
    turned: bool
    nest: tuple[Placed, ...] = ()


def plan_rolls(cloths: Sequence[Cloth], stock: RollStock) -> RollPlan:
    """Where each bay's cloth is cut from the roll, m; tuck is added at every side.

    A bay that fits neither way is cut as drops side by side; `joints` says where they meet. Cloths lie in bands across
    the roll, each as long as its longest cloth.
    """
    joints: list[tuple[str, tuple[float, ...]]] = []
    drops = [drop for cloth in cloths for drop in _drops(cloth, stock, joints)]
    drops, strips, offcuts = _from_remnants(drops, stock)
    pairs, single = nested(drops, stock.width_m) if stock.turnable else ([], drops)
    blocks = [_Cut(pair[0].bay, *box, False, pair) for box, pair in pairs]
    ways = [[*blocks, *turned] for turned in _ways(single, stock)]
    if blocks:
        ways += _ways(drops, stock)
    bands = min((fill(cuts, stock.width_m) for cuts in ways for fill in (_bands, _full_bands)), key=_length)
    at = 0.0
    for band in bands:
        across = 0.0
        for cut in band:
            strips += _strips(cut, at, across)
            across += cut.across
        offcuts.append(OffcutMade((at, across), (band[0].along, stock.width_m - across)))
        at += band[0].along
    bound = bound_by_width(drops, stock.width_m)
    return RollPlan(
        stock.item,
        stock.width_m,
        round(at, 6),
        tuple(strips),
        tuple(one for one in offcuts if min(one.size_m) >= _least_kept(stock)),
        math.fsum(area_m2(c.outline_m) if c.outline_m else c.width_m * c.height_m for c in cloths),
        bound,
        at <= bound + 1e-6,
        tuple(joints),
    )


def _length(bands: Sequence[Sequence[_Cut]]) -> float:
    return sum(band[0].along for band in bands)


def _strips(cut: _Cut, at: float, across: float) -> list[Strip]:
    """A cut of the roll as strips: one, or the two that are nested in it."""
    if not cut.nest:
        return [Strip(cut.bay, (at, across), (cut.along, cut.across), cut.turned)]
    return [
        Strip(
            one.bay, (at + one.at_m[0], across + one.at_m[1]), one.size_m, False,
            outline_m=tuple((round(at + x, 6), round(across + y, 6)) for x, y in one.outline_m),
        )
        for one in cut.nest
    ]  # fmt: skip


def _least_kept(stock: RollStock) -> float:
    """A remnant narrower than this, m, covers nothing between its own tucks."""
    return max(stock.waste_below_m, KEPT_TUCKS * stock.tuck_m, KEPT_FROM_M)


def _drops(cloth: Cloth, stock: RollStock, joints: list[tuple[str, tuple[float, ...]]]) -> list[Drop]:
    """The cloth, or its drops where it is wider than the roll either way, each as high as the bay is there."""
    wide, high = cloth.width_m + 2 * stock.tuck_m, cloth.height_m + 2 * stock.tuck_m
    if wide <= stock.width_m + EPS_M or (stock.turnable and high <= stock.width_m + EPS_M):
        return [drop_of(cloth, 0.0, cloth.width_m, stock.tuck_m)]
    room = stock.width_m - 2 * stock.tuck_m
    if room <= EPS_M:
        raise Refused(f"{stock.item}: its tucks take the whole width of the roll; give a smaller tuck or a wider roll")
    count = math.ceil(cloth.width_m / room - 1e-9)
    joints.append((cloth.bay, tuple(round(i * room, 6) for i in range(1, count))))
    return [drop_of(cloth, i * room, min((i + 1) * room, cloth.width_m), stock.tuck_m) for i in range(count)]


def _from_remnants(
    drops: Sequence[Drop], stock: RollStock
) -> tuple[list[Drop], list[Strip], list[OffcutMade]]:
    """Drops still to cut, those that a remnant serves, each from the smallest that holds it, and what is left of it."""
    free = sorted(stock.offcuts, key=lambda one: (one.length_m * one.width_m, one.id))
    left, strips, rests = [], [], []
    for drop in sorted(drops, key=lambda drop: (-drop.wide * drop.high, drop.bay)):
        bay, wide, high = drop.bay, drop.wide, drop.high
        for remnant in free:
            places = [(high, wide, False)] + ([(wide, high, True)] if stock.turnable else [])
            fit = [p for p in places if p[0] <= remnant.length_m + EPS_M and p[1] <= remnant.width_m + EPS_M]
            if fit:
                along, across, turned = fit[0]
                strips.append(Strip(bay, (0.0, 0.0), (along, across), turned, remnant.id))
                free.remove(remnant)
                rests.append(OffcutMade((along, 0.0), (remnant.length_m - along, remnant.width_m)))
                rests.append(OffcutMade((0.0, across), (along, remnant.width_m - across)))
                break
        else:
            left.append(drop)
    return left, strips, rests


def _ways(drops: Sequence[Drop], stock: RollStock) -> list[list[_Cut]]:
    """Ways to turn the drops: none where they fit, and where turning is allowed, all to the shorter length."""
    straight = [_turned(drop, stock, lambda wide, high: False) for drop in drops]
    if not stock.turnable:
        return [straight]
    short = [_turned(drop, stock, lambda wide, high: wide < high) for drop in drops]
    thrifty = [_turned(drop, stock, lambda w, h: w / _abreast(h, stock) < h / _abreast(w, stock)) for drop in drops]
    return [straight, short, thrifty]


def _abreast(across_m: float, stock: RollStock) -> int:
    """How many of a cloth that fits lie side by side on the roll."""
    return int((stock.width_m + EPS_M) / across_m)


def _turned(drop: Drop, stock: RollStock, wanted: Callable[[float, float], bool]) -> _Cut:
    bay, wide, high = drop.bay, drop.wide, drop.high
    if wide > stock.width_m + EPS_M or (high <= stock.width_m + EPS_M and wanted(wide, high)):
        return _Cut(bay, wide, high, True)
    return _Cut(bay, high, wide, False)


def _bands(cuts: Sequence[_Cut], width: float) -> list[list[_Cut]]:
    """Bands across the roll, first fit, longest cloth first."""
    bands: list[list[_Cut]] = []
    for cut in sorted(cuts, key=lambda c: (-c.along, -c.across, c.bay)):
        for band in bands:
            if sum(c.across for c in band) + cut.across <= width + EPS_M:
                band.append(cut)
                break
        else:
            bands.append([cut])
    return bands


def _full_bands(cuts: Sequence[_Cut], width: float) -> list[list[_Cut]]:
    """Bands across the roll, each begun with the longest cloth left and filled with those that cover the most."""
    left = sorted(cuts, key=lambda c: (-c.along, -c.across, c.bay))
    bands = []
    while left:
        band, room = [left.pop(0)], width
        room -= band[0].across
        chosen: dict[int, tuple[float, tuple[int, ...]]] = {0: (0.0, ())}
        for at, cut in enumerate(left):
            step = math.ceil(cut.across * 1000 - EPS_M)
            for used, (worth, some) in sorted(chosen.items(), reverse=True):
                total = used + step
                if total <= room * 1000 + EPS_M:
                    more = worth + cut.across * cut.along
                    if more > chosen.get(total, (0.0, ()))[0]:
                        chosen[total] = (more, (*some, at))
        picked = set(max(chosen.values(), key=lambda one: one[0])[1])
        band += [left[at] for at in sorted(picked)]
        left = [cut for at, cut in enumerate(left) if at not in picked]
        bands.append(band)
    return bands


def bound_by_width(drops: Sequence[Drop], width: float) -> float:
    """Metres of roll that drops need at the least by area, and by those no two of which lie abreast; `width` m.

    Source: definition.
    """
    area = math.fsum(drop.area_m2 for drop in drops) / width
    least = [min(drop.wide, drop.high) for drop in drops if not drop.outline_m]
    return max(area, math.fsum(side for side in least if side > width / 2 + EPS_M))
