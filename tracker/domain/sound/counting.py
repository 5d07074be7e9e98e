"""Adding up a room: its bare parts, what each phase and bay gains, and the state that leaves it in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.air import attenuation_per_m, speed_of_sound
from tracker.domain.sound.decay import AXIS_LIMIT, arau_puchades_s, eyring_s, fitzroy_s, sabine_s
from tracker.domain.sound.surfaces import NONE, AxisName, BaySound, PlaneSound, RoomSurfaces, plus, times

Times = tuple[float | None, ...]
"""Decay times in s for each of BANDS_HZ; None where there is no figure in that band."""


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
    """The shortest of the models that have an answer; each tied to the measured state where the room is calibrated."""
    high_s: Times


@dataclass(frozen=True, slots=True)
class Areas:
    """Absorption areas, m2 per band: of the whole room, and as the models of axes count them."""

    whole: PerBand
    axes: tuple[PerBand, ...]
    """Of the planes of each axis, coefficients up to 0.99; none where an axis is not known."""
    free: PerBand
    """Of clouds and free absorbers, which belong to no axis."""


def gain_each(bay: BaySound, limit: float | None) -> PerBand:
    """What one m2 of a bay gains, m2 per band, with coefficients counted up to a limit (None: as published).

    Source: EN 12354-6:2003, equation 1 (a lining replaces what it covers; annex E, case 3).
    """
    return _gain(bay.alpha_new, bay.alpha_covered, bay.faces, limit)


@lru_cache(maxsize=1024)
def _gain(new: PerBand, covered: PerBand, faces: int, limit: float | None) -> PerBand:
    replaced = NONE if faces == 2 else _limited(covered, limit)
    return tuple(faces * a - b for a, b in zip(_limited(new, limit), replaced, strict=True))


def _limited(alpha: PerBand, limit: float | None) -> PerBand:
    return alpha if limit is None else tuple(min(value, limit) for value in alpha)


class _Ledger:
    """Absorption areas, m2, of one set of planes: bare, and what each phase gains on them.

    `end` counts the bays' coefficients at one end of their span: 0 the low one, 1 the high one.
    """

    def __init__(self, planes: Sequence[PlaneSound], limit: float | None, end: int | None = None) -> None:
        patches = [patch for plane in planes if plane.kind != "cloud" for patch in plane.patches]
        self.limit = limit
        self.surface_m2 = sum(patch.area_m2 for patch in patches)
        self.bare = plus([times(_limited(patch.alpha, limit), patch.area_m2) for patch in patches])
        # Bays alike are added up first: a site has hundreds of bays and a handful of build-ups.
        alike: dict[tuple[str, PerBand, PerBand, int], list[float]] = {}
        for bay in (bay for plane in planes for bay in plane.bays):
            new = bay.alpha_new if end is None or bay.alpha_span is None else bay.alpha_span[end]
            areas = alike.setdefault((bay.phase, new, bay.alpha_covered, bay.faces), [0.0, 0.0])
            areas[0] += bay.area_m2
            areas[1] += bay.area_m2 * bay.installed_fraction
        self.planned: dict[str, PerBand] = {}
        self.installed: dict[str, PerBand] = {}
        for (phase, new, covered, faces), (whole_m2, up_m2) in alike.items():
            each = _gain(new, covered, faces, limit)
            self.planned[phase] = plus([self.planned.get(phase, NONE), times(each, whole_m2)])
            self.installed[phase] = plus([self.installed.get(phase, NONE), times(each, up_m2)])

    def area(self, done: Iterable[str] | None) -> PerBand:
        """With the phases named done and the others as they are installed; bare where none is given."""
        if done is None:
            return self.bare
        finished = set(done)
        gains = [self.planned[p] if p in finished else self.installed[p] for p in self.planned]
        return plus([self.bare, *gains])


class Count:
    """One room's ledgers: of all its planes, and of each axis where every plane says which it belongs to."""

    def __init__(self, room: RoomSurfaces, cap: bool = True) -> None:
        self.room = room
        self.limit = 1.0 if cap else None
        self.whole = _Ledger(room.planes, self.limit)
        self.surface_m2 = self.whole.surface_m2
        if not room.volume_m3 > 0.0 or not self.surface_m2 > 0.0:
            raise Refused(f"room {room.name}: needs a volume above 0 and at least one plane that is not a cloud")
        self.air_per_m = attenuation_per_m(room.temperature_c, room.humidity_pct)
        self.speed_m_s = speed_of_sound(room.temperature_c)
        self.absorbers_m2 = room.absorbers_m2
        self.clouds = _Ledger([plane for plane in room.planes if plane.kind == "cloud"], AXIS_LIMIT)
        self.axes = self._axes()
        self.axis_names = list(self.axes)
        self._stages: dict[frozenset[str] | None, State] = {}
        self._ends: list[_Ledger] = []
        self.facing = {bay.key: plane.facing for plane, bay in room.bays if plane.kind != "cloud"}

    def _axes(self) -> dict[AxisName, _Ledger]:
        facing: dict[AxisName, list[PlaneSound]] = {"x": [], "y": [], "z": []}
        for plane in self.room.planes:
            if plane.kind == "cloud":
                continue
            if plane.facing is None:
                return {}
            facing[plane.facing].append(plane)
        return {name: _Ledger(planes, AXIS_LIMIT) for name, planes in facing.items()} if all(facing.values()) else {}

    def areas(self, done: Iterable[str] | None) -> Areas:
        """With the phases named done and the others as they are installed; bare where None is given."""
        done = None if done is None else tuple(done)
        return Areas(plus([self.whole.area(done), self.absorbers_m2]),
                     tuple(axis.area(done) for axis in self.axes.values()),
                     plus([self.clouds.area(done), self.absorbers_m2]))

    def stage(self, done: Iterable[str] | None) -> State:
        """The state with the phases named done; bare where None is given. Each is worked out once."""
        key = None if done is None else frozenset(done)
        if key not in self._stages:
            self._stages[key] = self.state(self.areas(key))
        return self._stages[key]

    def ends(self, done: Iterable[str] | None) -> tuple[PerBand, PerBand]:
        """The whole room's area, m2, with the bays' coefficients as low as any source has them, and as high."""
        done = None if done is None else tuple(done)
        if not self._ends:
            self._ends = [_Ledger(self.room.planes, self.limit, end) for end in (0, 1)]
        low, high = (plus([ledger.area(done), self.absorbers_m2]) for ledger in self._ends)
        return low, high

    def with_bay(self, areas: Areas, bay: BaySound) -> Areas:
        """Areas as given, with what is left of one bay put up as well."""
        left_m2 = bay.area_m2 * (1.0 - bay.installed_fraction)
        more = times(gain_each(bay, AXIS_LIMIT), left_m2)
        facing = self.facing.get(bay.key)  # None: a cloud, or no axis is known
        axes = tuple(plus([area, more]) if name == facing else area
                     for name, area in zip(self.axis_names, areas.axes, strict=True))
        return Areas(plus([areas.whole, times(gain_each(bay, self.limit), left_m2)]), axes,
                     areas.free if bay.key in self.facing else plus([areas.free, more]))

    def state(self, areas: Areas) -> State:
        """Absorption area and the models' decay times."""
        volume, surface, speed, air = self.room.volume_m3, self.surface_m2, self.speed_m_s, self.air_per_m
        bands = range(len(BANDS_HZ))
        sabine = tuple(sabine_s(volume, areas.whole[b], air[b], speed) for b in bands)
        eyring = tuple(eyring_s(volume, surface, areas.whole[b], air[b], speed) for b in bands)
        fitzroy = arau = None
        if self.axes:
            pairs = self._pairs(areas)
            fitzroy = tuple(fitzroy_s(volume, pairs[b], air[b], speed) for b in bands)
            arau = tuple(arau_puchades_s(volume, pairs[b], air[b], speed) for b in bands)
        models = [model for model in (sabine, *self._tied(eyring, fitzroy, arau)) if model is not None]
        low = tuple(min((t for m in models if (t := m[b]) is not None), default=None) for b in bands)
        high = tuple(max((t for m in models if (t := m[b]) is not None), default=None) for b in bands)
        return State(areas.whole, sabine, eyring, fitzroy, arau, low, high)

    def _tied(self, *models: Times | None) -> tuple[Times | None, ...]:
        """Eyring's, Fitzroy's and Arau-Puchades' times as they are, or times the room's anchor."""
        anchor = self.room.anchor
        if anchor is None:
            return models
        ties = (anchor.eyring, anchor.fitzroy, anchor.arau_puchades)
        return tuple(
            None if model is None else tuple(None if t is None else t * k for t, k in zip(model, tie, strict=True))
            for model, tie in zip(models, ties, strict=True)
        )

    def _pairs(self, areas: Areas) -> list[list[tuple[float, float]]]:
        """Per band, each axis' area and absorption area; free absorbers and clouds are spread over all by area."""
        facing = [(axis.surface_m2, area) for axis, area in zip(self.axes.values(), areas.axes, strict=True)]
        return [
            [(m2, area[b] + areas.free[b] * m2 / self.surface_m2) for m2, area in facing]
            for b in range(len(BANDS_HZ))
        ]


@lru_cache(maxsize=64)
def counted(room: RoomSurfaces, cap: bool = True) -> Count:
    """A room's ledgers, kept for as long as the room stays as it is; Refused as `Count` refuses.

    Source: definition.
    """
    return Count(room, cap)
