"""How a room's sound is counted: its absorption area and decay times bare, now, planned and after each phase."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.site import PlaneKind
from tracker.domain.sound.air import attenuation_per_m, speed_of_sound
from tracker.domain.sound.decay import (
    AXIS_LIMIT,
    arau_puchades_s,
    crossover_hz,
    eyring_s,
    fitzroy_s,
    mean_free_path_m,
    sabine_s,
)

Times = tuple[float | None, ...]
"""Decay times in s for each of BANDS_HZ; None where the model has no answer in that band."""
AxisName = Literal["x", "y", "z"]

_NONE: PerBand = (0.0,) * len(BANDS_HZ)
_MIDDLE = tuple(BANDS_HZ.index(hz) for hz in (500, 1000))


Patch = tuple[float, PerBand]
"""A part of a plane with one bare surface (the plane less its openings, or an opening): area in m2, coefficients."""


@dataclass(frozen=True, slots=True)
class BaySound:
    """A bay as sound counts it; its area in m2 is the plane it covers, openings cut out."""

    key: str
    phase: str
    area_m2: float
    alpha_new: PerBand
    alpha_covered: PerBand
    """Of the surface it replaces; nothing is covered by a cloud, whatever is given."""
    faces: int = 1
    """2 for a cloud."""
    installed_fraction: float = 0.0
    """How much of its infill is up, 0 to 1."""


@dataclass(frozen=True, slots=True)
class PlaneSound:
    """A plane as sound counts it: its bare parts and the bays on it."""

    name: str
    kind: PlaneKind
    axis: AxisName | None
    """As written for a wall; ceilings, slopes and floors are z whatever is given."""
    patches: tuple[Patch, ...]
    """The plane's bare parts; a cloud has none that count."""
    bays: tuple[BaySound, ...] = ()


@dataclass(frozen=True, slots=True)
class RoomSurfaces:
    """What a room's sound is counted from: m3, degC, % relative humidity, its planes and free absorbers."""

    name: str
    volume_m3: float
    temperature_c: float
    humidity_pct: float
    planes: tuple[PlaneSound, ...]
    absorbers_m2: PerBand = _NONE
    """Absorption area of all the free absorbers together, m2."""


@dataclass(frozen=True, slots=True)
class State:
    """A room at one stage, per octave band: absorption area without the air, m2, and decay times, s."""

    area_m2: PerBand
    sabine_s: Times
    eyring_s: Times
    fitzroy_s: Times | None
    """None where the planes do not say which axis they belong to."""
    arau_puchades_s: Times | None
    low_s: Times
    """The shortest of the models that have an answer."""
    high_s: Times


@dataclass(frozen=True, slots=True)
class PhaseSound:
    """What a phase gains in a room, m2 per octave band, and how the room stands after it."""

    name: str
    gain_planned_m2: PerBand
    gain_installed_m2: PerBand
    after: State
    """As now, once all phases up to it are done; what is up in later phases counts."""


@dataclass(frozen=True, slots=True)
class RoomSound:
    """A room's figures: m3, m2, m, Hz and its states."""

    name: str
    volume_m3: float
    surface_m2: float
    """Bounding area, clouds left out."""
    mean_free_path_m: float
    crossover_hz: float
    """Taken at Sabine's time now, the mean of 500 Hz and 1 kHz."""
    bare: State
    now: State
    planned: State
    phases: tuple[PhaseSound, ...]


def mean(per_band: PerBand) -> float:
    """The mean over the bands, in the unit given.

    Source: definition.
    """
    return sum(per_band) / len(per_band)


def bay_gain(bay: BaySound, cap: bool = True) -> PerBand:
    """Absorption area in m2 that a bay adds once its infill is up: its area times (its coefficient less the covered).

    A cloud gains on both faces and covers nothing. Coefficients over 1 count as 1 unless `cap` is off.

    Source: EN 12354-6:2003, equation 1 (a lining replaces what it covers; annex E, case 3).
    """
    each = _gain_each(bay.alpha_new, bay.alpha_covered, bay.faces, 1.0 if cap else None)
    return _times(each, bay.area_m2)


def room_sound(room: RoomSurfaces, phases: Sequence[str], cap: bool = True) -> RoomSound:
    """A room's absorption areas in m2 and decay times in s, bare, now, planned and after each of its phases.

    Phases are in the order they are done; those with no bay in this room are left out. Coefficients over 1 count as
    1 unless `cap` is off. Refused where the volume is not above 0 or no plane bounds the room.

    Source: EN 12354-6:2003, equation 1 for the areas; the models' sources stand in decay.py; ISO 9613-1 for the air.
    """
    count = _Count(room, cap)
    present = {bay.phase for plane in room.planes for bay in plane.bays}
    order = [name for name in phases if name in present]
    now = count.state(())
    middle = [time_s for band in _MIDDLE if (time_s := now.sabine_s[band]) is not None]
    return RoomSound(
        name=room.name,
        volume_m3=room.volume_m3,
        surface_m2=count.surface_m2,
        mean_free_path_m=mean_free_path_m(room.volume_m3, count.surface_m2),
        crossover_hz=crossover_hz(room.volume_m3, sum(middle) / len(middle)),
        bare=count.state(None),
        now=now,
        planned=count.state(present),
        phases=tuple(
            PhaseSound(name, *count.phase_gains(name), count.state(order[: place + 1]))
            for place, name in enumerate(order)
        ),
    )


def _used(alpha: PerBand, limit: float | None) -> PerBand:
    return alpha if limit is None else tuple(min(value, limit) for value in alpha)


def _gain_each(new: PerBand, covered: PerBand, faces: int, limit: float | None) -> PerBand:
    """What one m2 of bay gains, m2."""
    replaced = _NONE if faces == 2 else _used(covered, limit)
    return tuple(faces * a - b for a, b in zip(_used(new, limit), replaced, strict=True))


def _plus(areas: Iterable[PerBand]) -> PerBand:
    return tuple(sum(column) for column in zip(_NONE, *areas, strict=True))


def _times(areas: PerBand, factor: float) -> PerBand:
    return tuple(area * factor for area in areas)


class _Ledger:
    """Absorption areas, m2, of one set of planes: bare, and what each phase gains on them."""

    def __init__(self, planes: Sequence[PlaneSound], limit: float | None) -> None:
        patches = [patch for plane in planes if plane.kind != "cloud" for patch in plane.patches]
        self.surface_m2 = sum(area_m2 for area_m2, _ in patches)
        self.bare = _plus(_times(_used(alpha, limit), area_m2) for area_m2, alpha in patches)
        # Bays alike are added up first: a site has hundreds of bays and a handful of build-ups.
        alike: dict[tuple[str, PerBand, PerBand, int], list[float]] = {}
        for bay in (bay for plane in planes for bay in plane.bays):
            areas = alike.setdefault((bay.phase, bay.alpha_new, bay.alpha_covered, bay.faces), [0.0, 0.0])
            areas[0] += bay.area_m2
            areas[1] += bay.area_m2 * bay.installed_fraction
        self.planned: dict[str, PerBand] = {}
        self.installed: dict[str, PerBand] = {}
        for (phase, new, covered, faces), (whole_m2, up_m2) in alike.items():
            each = _gain_each(new, covered, faces, limit)
            self.planned[phase] = _plus([self.planned.get(phase, _NONE), _times(each, whole_m2)])
            self.installed[phase] = _plus([self.installed.get(phase, _NONE), _times(each, up_m2)])

    def area(self, done: Iterable[str] | None) -> PerBand:
        """With the phases named done and the others as they are installed; bare where none is given."""
        if done is None:
            return self.bare
        finished = set(done)
        gains = [self.planned[p] if p in finished else self.installed[p] for p in self.planned]
        return _plus([self.bare, *gains])


class _Count:
    """One room's ledgers: of all its planes, and of each axis where every plane says which it belongs to."""

    def __init__(self, room: RoomSurfaces, cap: bool) -> None:
        self.room = room
        self.whole = _Ledger(room.planes, 1.0 if cap else None)
        self.surface_m2 = self.whole.surface_m2
        if not room.volume_m3 > 0.0 or not self.surface_m2 > 0.0:
            raise Refused(f"room {room.name}: needs a volume above 0 and at least one plane that is not a cloud")
        self.air = attenuation_per_m(room.temperature_c, room.humidity_pct)
        self.speed_m_s = speed_of_sound(room.temperature_c)
        self.axes = self._axes()
        self.clouds = _Ledger([plane for plane in room.planes if plane.kind == "cloud"], AXIS_LIMIT)

    def _axes(self) -> list[_Ledger] | None:
        facing: dict[AxisName, list[PlaneSound]] = {"x": [], "y": [], "z": []}
        for plane in self.room.planes:
            if plane.kind == "cloud":
                continue
            axis = plane.axis if plane.kind == "wall" else "z"
            if axis is None:
                return None
            facing[axis].append(plane)
        return [_Ledger(planes, AXIS_LIMIT) for planes in facing.values()] if all(facing.values()) else None

    def phase_gains(self, phase: str) -> tuple[PerBand, PerBand]:
        return self.whole.planned[phase], self.whole.installed[phase]

    def state(self, done: Iterable[str] | None) -> State:
        done = None if done is None else tuple(done)
        area = _plus([self.whole.area(done), self.room.absorbers_m2])
        volume, bands = self.room.volume_m3, range(len(BANDS_HZ))
        sabine = tuple(sabine_s(volume, area[b], self.air[b], self.speed_m_s) for b in bands)
        eyring = tuple(eyring_s(volume, self.surface_m2, area[b], self.air[b], self.speed_m_s) for b in bands)
        fitzroy = arau = None
        if self.axes is not None:
            pairs = self._pairs(self.axes, done)
            fitzroy = tuple(fitzroy_s(volume, pairs[b], self.air[b], self.speed_m_s) for b in bands)
            arau = tuple(arau_puchades_s(volume, pairs[b], self.air[b], self.speed_m_s) for b in bands)
        models = [model for model in (sabine, eyring, fitzroy, arau) if model is not None]
        low = tuple(min((t for m in models if (t := m[b]) is not None), default=None) for b in bands)
        high = tuple(max((t for m in models if (t := m[b]) is not None), default=None) for b in bands)
        return State(area, sabine, eyring, fitzroy, arau, low, high)

    def _pairs(self, axes: list[_Ledger], done: tuple[str, ...] | None) -> list[list[tuple[float, float]]]:
        """Per band, each axis' area and absorption area; free absorbers and clouds are spread over all by area."""
        free = _plus([self.clouds.area(done), self.room.absorbers_m2])
        areas = [(axis.surface_m2, axis.area(done)) for axis in axes]
        return [
            [(facing, area[b] + free[b] * facing / self.surface_m2) for facing, area in areas]
            for b in range(len(BANDS_HZ))
        ]
