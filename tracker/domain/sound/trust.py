"""How far a room's figures can be trusted: why the models' span is wide, and the digits a figure deserves."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.sound.counting import Count, State, counted, gain_each
from tracker.domain.sound.decay import AXIS_LIMIT
from tracker.domain.sound.mirrors import mirror_box_s
from tracker.domain.sound.modes import sides_m
from tracker.domain.sound.rooms import room_crossover_hz
from tracker.domain.sound.surfaces import Anchor, BaySound, PlaneSound, RoomSurfaces, plus, times, used

WIDE = 1.25
"""Longest over shortest decay time from which a span is called wide (common practice, no source)."""
UNEVEN = 3.0
"""Opposite surfaces' coefficients must differ by less than this factor (EN 12354-6:2003, 4.6)."""
SLENDER = 5.0
"""No dimension may exceed another by more than this factor (EN 12354-6:2003, 4.6)."""
FACING_SHARE = 0.15
"""Share of its axis' area below which a plane is too small to weigh (common practice, no source)."""
FEW = 0.10
"""Share of the surface below which boards leave the bare surfaces to decide (common practice, no source)."""
LINGERS = 1.10
"""Decay of a box that scatters nothing over the longest formula's, from which it is told. Below it simulated boxes lie
within 15 % of the span (pyroomacoustics 0.10.1, in the tests)."""
JUST_NOTICEABLE = 0.05
"""Share of a decay time that is just noticeable (ISO 3382-1:2009, annex A, for the early decay time)."""
_MOST = 3


@dataclass(frozen=True, slots=True)
class Trust:
    """How wide the models' span is, longest over shortest decay time per octave band, and why."""

    ratio: tuple[float | None, ...]
    reasons: tuple[str, ...]
    """What shakes the figures, weightiest first; each a clause without a full stop."""
    sentence: str
    """One plain sentence."""


def trust(room: RoomSurfaces, done: Iterable[str] | None = (), cap: bool = True) -> Trust:
    """Why a room's span of decay times is wide in the state with the phases named done; None: bare.

    Source: EN 12354-6:2003, 4.6, for the limits of the formulas; Schroeder's frequency for the modes.
    """
    done = None if done is None else frozenset(done)
    count = counted(room, cap)
    state = count.stage(done)
    ratio = tuple(high / low if low and high else None for low, high in zip(state.low_s, state.high_s, strict=True))
    widest, band = max(((value, band) for band, value in enumerate(ratio) if value is not None), default=(1.0, 0))
    sides = _sides(room, done, cap)
    found = [
        *_axes(sides, band),
        *_opposite(sides, band),
        *_slender(count),
        *_mirrors(count, sides, state, band),
        *_no_axes(count),
        *_no_eyring(state),
        *_over_one(room, done, cap),
        *_few(room, count, done),
        *_modes(room, state),
    ]
    return Trust(ratio, tuple(found), _sentence(widest, BANDS_HZ[band], found, room, state))


def digits(uncertainty: float) -> int:
    """Decimal places, 0 to 3, worth showing of a figure with an uncertainty in the same unit; 3 where there is none.

    Two digits of the uncertainty where it begins below 355, one above.

    Source: rounding rule of the Particle Data Group's Review of Particle Physics, introduction, from memory; JCGM
    100:2008, 7.2.6, asks for at most two digits.
    """
    if not uncertainty > 0.0:
        return _MOST
    place = math.floor(math.log10(uncertainty))
    two = uncertainty / 10.0**place < 3.55
    return max(0, min(_MOST, -place + two))


def decay_digits(low_s: float, high_s: float) -> int:
    """Decimal places worth showing of decay times in s within a span: half the span or half what is noticeable.

    At most 2.

    Source: as `digits`; ISO 3382-1:2009, annex A, 5 % for what is just noticeable.
    """
    return min(2, digits(max(high_s - low_s, JUST_NOTICEABLE * high_s) / 2.0))


def area_digits(low_m2: float, high_m2: float) -> int:
    """Decimal places worth showing of an absorption area in m2 whose sources put it between two figures; at most 1.

    Source: as `digits`; ISO 354:2003 states areas to 0.1 m2, from memory.
    """
    return min(1, digits((high_m2 - low_m2) / 2.0))


_Part = tuple[float, PerBand]
"""A surface's area and its absorption area per band, m2."""
_Sides = dict[str, dict[str, _Part]]
"""For each axis, the surfaces that face one another along it."""


def _up(bay: BaySound, done: frozenset[str] | None) -> float:
    """How much of a bay is up in a state, 0 to 1."""
    return 0.0 if done is None else 1.0 if bay.phase in done else bay.installed_fraction


def _sides(room: RoomSurfaces, done: frozenset[str] | None, cap: bool) -> _Sides:
    sides: _Sides = {}
    for plane in room.planes:
        if plane.kind == "cloud" or plane.facing is None:
            continue
        name = plane.name if plane.kind == "wall" else "the floor" if plane.kind == "floor" else "the ceiling"
        found = _plane(plane, done, cap)
        facing = sides.setdefault(plane.facing, {})
        facing[name] = _together([facing[name], found]) if name in facing else found
    return sides


def _plane(plane: PlaneSound, done: frozenset[str] | None, cap: bool) -> _Part:
    bare = [(patch.area_m2, times(used(patch.alpha, cap), patch.area_m2)) for patch in plane.patches]
    limit = 1.0 if cap else None
    up_m2: dict[PerBand, float] = {}  # by gain: a plane has many bays and few build-ups
    for bay in plane.bays:
        each = gain_each(bay, limit)
        up_m2[each] = up_m2.get(each, 0.0) + bay.area_m2 * _up(bay, done)
    return _together([*bare, *((0.0, times(each, area_m2)) for each, area_m2 in up_m2.items())])


def _together(parts: Collection[_Part]) -> _Part:
    return sum(area for area, _ in parts), plus([absorbed for _, absorbed in parts])


def _mean(part: _Part, band: int) -> float:
    area, absorbed = part
    return absorbed[band] / area if area > 0.0 else 0.0


def _furthest(parts: dict[str, _Part], band: int) -> tuple[float, str, str]:
    """How many times the most absorbent surface takes what the least does, and both names."""
    most, least = (pick(parts, key=lambda name: _mean(parts[name], band)) for pick in (max, min))
    floor = _mean(parts[least], band)
    return (_mean(parts[most], band) / floor if floor > 0.0 else math.inf), most, least


def _axes(sides: _Sides, band: int) -> list[str]:
    """Axes that differ are what parts Fitzroy and Arau-Puchades from Sabine."""
    if len(sides) < 3:
        return []
    names = {"x": "the walls along x", "y": "the walls along y", "z": "ceiling and floor"}
    factor, most, least = _furthest({names[axis]: _together(one.values()) for axis, one in sides.items()}, band)
    if factor < UNEVEN:
        return []
    return [
        f"{most} absorb {_times(factor)} as much per m2 as {least} at {BANDS_HZ[band]} Hz, where Sabine's formula "
        "takes sound to be spread evenly"
    ]


def _large(facing: dict[str, _Part]) -> dict[str, _Part]:
    whole = sum(area for area, _ in facing.values())
    return {name: part for name, part in facing.items() if part[0] >= FACING_SHARE * whole}


def _opposite(sides: _Sides, widest: int) -> list[str]:
    """The pair of opposite surfaces that differs most, in the widest band or else in any."""
    for bands in ([widest], range(len(BANDS_HZ))):
        found = [(*_furthest(one, band), band) for one in map(_large, sides.values()) if len(one) > 1 for band in bands]
        factor, most, least, band = max(found, default=(0.0, "", "", 0))
        if factor >= UNEVEN:
            return [
                f"{most} absorbs {_times(factor)} as much per m2 as {least} on the same axis at "
                f"{BANDS_HZ[band]} Hz, where the formulas want less than 3 times and the real decay can be up to twice "
                "as long (EN 12354-6, 4.6)"
            ]
    return []


def _times(factor: float) -> str:
    return "many times" if math.isinf(factor) else f"{factor:.0f} times"


def _slender(count: Count) -> list[str]:
    if not count.axes:
        return []
    sides = sides_m(*(axis.surface_m2 for axis in count.axes.values()))
    if max(sides) <= SLENDER * min(sides):
        return []
    return [f"the room is {max(sides) / min(sides):.1f} times as long as it is narrow or low, over 5 (EN 12354-6, 4.6)"]


def _mirrors(count: Count, sides: _Sides, state: State, band: int) -> list[str]:
    """A box absorbing evenly keeps what runs along it: formulas that take sound to be mixed come out short."""
    high_s = state.high_s[band]
    means = [min(_mean(_together(facing.values()), band), AXIS_LIMIT) for facing in sides.values()]
    if not count.axes or high_s is None or not 0.0 < max(means) < UNEVEN * min(means):
        return []
    lengths = sides_m(*(axis.surface_m2 for axis in count.axes.values()))
    in_order = [means[list(sides).index(name)] for name in count.axes]
    longer = mirror_box_s(lengths, in_order, count.air_per_m[band], count.speed_m_s) / high_s
    if longer < LINGERS:
        return []
    return [
        "smooth walls that face one another may hold sound about "
        f"{5 * round(20 * (longer - 1.0))} % longer than the span at {BANDS_HZ[band]} Hz while nothing in the room "
        "scatters it (a sum over mirror images)"
    ]


def _no_axes(count: Count) -> list[str]:
    if count.axes:
        return []
    return ["the planes do not all say their axis, so that only two of four formulas could be tried"]


def _over_one(room: RoomSurfaces, done: frozenset[str] | None, cap: bool) -> list[str]:
    over = any(max(bay.alpha_new) > 1.0 and _up(bay, done) > 0.0 for _, bay in room.bays)
    how = "counted as 1" if cap else "counted as published"
    return [f"published coefficients over 1 come from the edges of a test specimen and are {how}"] if over else []


def _few(room: RoomSurfaces, count: Count, done: frozenset[str] | None) -> list[str]:
    if room.anchor is not None and any(room.anchor.tied):  # the bare surfaces are measured, not looked up
        return _not_tied(room.anchor)
    up_m2 = sum(bay.area_m2 * _up(bay, done) for _, bay in room.bays)
    if up_m2 >= FEW * count.surface_m2:
        return []
    share = f"boards on only {100 * up_m2 / count.surface_m2:.0f} % of the surface are" if up_m2 else "no boards are"
    return [
        f"{share} up, so that the handbooks' figures for the bare surfaces decide; measure the room to set them right"
    ]


def _not_tied(anchor: Anchor) -> list[str]:
    bands = [str(hz) for hz, tied in zip(BANDS_HZ, anchor.tied, strict=True) if not tied]
    if not bands:
        return []
    return [f"at {', '.join(bands)} Hz no measurement sets the handbooks' figures for the bare surfaces right"]


def _no_eyring(state: State) -> list[str]:
    over = [str(hz) for hz, time_s in zip(BANDS_HZ, state.eyring_s, strict=True) if time_s is None]
    if not over:
        return []
    return [
        f"at {', '.join(over)} Hz the room is counted to absorb as much as all its surfaces at 1, or more, where "
        "Eyring's formula has no answer"
    ]


def _modes(room: RoomSurfaces, state: State) -> list[str]:
    crossover = room_crossover_hz(room.volume_m3, state)
    below = [str(hz) for hz in BANDS_HZ if hz < crossover]
    if not below:
        return []
    return [f"below {crossover:.0f} Hz ({', '.join(below)} Hz) single modes rule and area figures only hint"]


def _sentence(widest: float, hz: int, reasons: list[str], room: RoomSurfaces, state: State) -> str:
    alone = _no_eyring(state)
    if alone and state.arau_puchades_s is None and all(time_s is None for time_s in state.eyring_s):
        return f"Only Sabine's formula has an answer: {alone[0]}."
    if widest < WIDE:
        end = f", though {reasons[0]}" if reasons else ""
        how = "agree"
        if room.anchor is not None and any(room.anchor.tied):
            bands = [str(one) for one, tied in zip(BANDS_HZ, room.anchor.tied, strict=True) if tied]
            where = "" if len(bands) == len(BANDS_HZ) else f" at {', '.join(bands)} Hz"
            how = f"are tied to a measurement{where} and agree"
        return f"The formulas {how} within {100 * (widest - 1.0):.0f} %{end}."
    why = f" because {reasons[0]}" if reasons else ""
    return f"The span is wide, {widest:.1f} times at {hz} Hz,{why}."
