"""Calibration: what the bare surfaces really absorb, solved from measured decay times, and all later states from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.bare import bare_parts, factor_for, new_area, scaled_sum
from tracker.domain.sound.counting import Count, State, Times
from tracker.domain.sound.measured import (
    COVERAGE,
    Measured,
    MeasuredGain,
    area_uncertainty_m2,
    checked,
    decay_uncertainty_s,
    measured_area_m2,
    measured_gain,
    measuring_notes,
)
from tracker.domain.sound.surfaces import Anchor, BaySound, PlaneSound, RoomSurfaces, used

UNLIKELY_FACTOR = 2.0
"""Bare surfaces this many times off the handbooks' call for a second look (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Calibration:
    """The bare surfaces' absorption solved from one measurement, per octave band; None where it could not be."""

    measured: Measured
    area_m2: Times
    """Of the whole room as measured, air taken off, m2."""
    uncertainty_m2: Times
    """Standard uncertainty of that area, m2."""
    bare_m2: Times
    """Of all bare surfaces, nothing covered, m2."""
    factor: Times
    """What the bare surfaces' coefficients are multiplied with: all alike, since only their sum was measured."""
    warnings: tuple[str, ...]
    cap: bool = True
    """Whether coefficients over 1 were counted as 1."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """Predicted against measured decay times at one stage and in its climate, s per octave band."""

    name: str
    measured_s: Times
    expanded_s: Times
    """Expanded uncertainty of the measured times, about 95 %."""
    predicted: State
    off_pct: Times
    """Predicted by Sabine less measured, % of measured."""
    agrees: tuple[bool | None, ...]
    """Whether the measured time with its uncertainty meets the span over the models."""


@dataclass(frozen=True, slots=True)
class GainComparison:
    """The gain between two measurements beside the gain predicted for the same bays, m2 per octave band."""

    measured: MeasuredGain
    predicted_m2: PerBand
    agrees: tuple[bool | None, ...]
    """Whether the predicted gain lies within the measured one's expanded uncertainty."""


def as_up(room: RoomSurfaces, up: Mapping[str, float]) -> RoomSurfaces:
    """The room with these shares of its bays' infill up, and no other bay; refused for a key it has not."""
    unknown = sorted(set(up) - {bay.key for _, bay in room.bays})
    if unknown:
        raise Refused(f"{unknown[0]}: room {room.name} has no such bay")
    return _each_bay(room, lambda bay: replace(bay, installed_fraction=up.get(bay.key, 0.0)))


def calibrate(
    room: RoomSurfaces, measured: Measured, cap: bool = True, volume_uncertainty_m3: float = 0.0
) -> Calibration:
    """The bare surfaces' absorption area in m2 per band that makes Sabine's time the measured one.

    The room's own climate is not used: the measurement's is. Bands in which less would be left for the bare surfaces
    than nothing, or more than their whole area, are left out with a warning; refused where no band is left.

    Source: ISO 354:2003, 8.1.2.1, for the area; that all bare coefficients go up or down alike is common practice.
    """
    then = as_up(room, dict(checked(measured).up))
    areas = measured_area_m2(room.volume_m3, measured)
    errors = area_uncertainty_m2(room.volume_m3, measured, volume_uncertainty_m3)
    factors: list[float | None] = []
    bare: list[float | None] = []
    warnings: list[str] = []
    unlikely: list[str] = []
    free, bays = room.absorbers_m2, new_area(then, cap)
    whole, left = bare_parts(room, cap, covered=False), bare_parts(then, cap, covered=True)
    for band, (hz, area) in enumerate(zip(BANDS_HZ, areas, strict=True)):
        factor = None if area is None else factor_for(left[band], area - free[band] - bays[band], cap)
        if area is not None and factor is None:
            warnings.append(_unphysical(measured, hz, area, area - free[band] - bays[band], free[band] + bays[band]))
        elif factor is not None and not 1.0 / UNLIKELY_FACTOR <= factor <= UNLIKELY_FACTOR:
            unlikely.append(f"{factor:.2g} times at {hz} Hz")
        factors.append(factor)
        bare.append(None if factor is None else scaled_sum(whole[band], factor, cap))
    if all(factor is None for factor in factors):
        raise Refused(warnings[0].rstrip("."))
    if unlikely:
        warnings.append(
            f"{measured.name}: the bare surfaces come to {', '.join(unlikely)} the handbooks' figures; check the "
            "volume, the surfaces named and which bays were up."
        )
    return Calibration(
        measured, areas, errors, tuple(bare), tuple(factors), (*measuring_notes(measured), *warnings), cap
    )


def calibrated(room: RoomSurfaces, calibration: Calibration) -> RoomSurfaces:
    """The room with its bare surfaces, and what bays cover of them, brought to the calibration where it has a figure.

    Sabine's time then is the measured one at the measured state. The other models are tied to it by a factor, so that
    the span over the models opens from the measurement on and not before.

    Source: the calibration's measurement; that a model's error at one state is carried to the next is common practice.
    """
    def scaled(alpha: PerBand) -> PerBand:
        counted = used(alpha, calibration.cap)  # the factor was solved for these
        return tuple(
            value if solved is None else one * solved
            for value, one, solved in zip(alpha, counted, calibration.factor, strict=True)
        )

    def plane(one: PlaneSound) -> PlaneSound:
        patches = tuple(
            replace(patch, alpha=scaled(patch.alpha), source=f"{patch.source}, brought to {calibration.measured.name}")
            for patch in one.patches
        )
        bays = tuple(replace(bay, alpha_covered=scaled(bay.alpha_covered)) for bay in one.bays)
        return replace(one, patches=patches, bays=bays)

    brought = replace(room, planes=tuple(plane(one) for one in room.planes), anchor=None)
    return replace(brought, anchor=_anchor(brought, calibration))


def predicted_against_measured(room: RoomSurfaces, measured: Measured, cap: bool = True) -> Comparison:
    """Decay times predicted for the bays up at a measurement, in its climate, beside the measured ones.

    Give the room as `calibrated` for the prediction that follows from an earlier measurement.

    Source: as in `room_sound`; the measured times' uncertainty by ISO 3382-2:2008, annex A (constants from memory).
    """
    state = _state_at(room, checked(measured), cap)
    off: list[float | None] = []
    wide: list[float | None] = []
    agrees: list[bool | None] = []
    for band, time_s in enumerate(measured.decay_s):
        sabine, low, high = state.sabine_s[band], state.low_s[band], state.high_s[band]
        if time_s is None or sabine is None or low is None or high is None:
            off.append(None)
            wide.append(None)
            agrees.append(None)
            continue
        expanded = COVERAGE * decay_uncertainty_s(time_s, BANDS_HZ[band], measured.positions, measured.metric)
        off.append(100.0 * (sabine / time_s - 1.0))
        wide.append(expanded)
        agrees.append(low - expanded <= time_s <= high + expanded)
    return Comparison(measured.name, measured.decay_s, tuple(wide), state, tuple(off), tuple(agrees))


def gain_against_measured(
    room: RoomSurfaces, before: Measured, after: Measured, cap: bool = True, volume_uncertainty_m3: float = 0.0
) -> GainComparison:
    """The gain in m2 per band between two measurements beside the one predicted for the bays put up between them.

    Source: `measured_gain`; EN 12354-6:2003, equation 1, for the prediction.
    """
    found = measured_gain(room.volume_m3, before, after, volume_uncertainty_m3)
    one, two = (Count(as_up(room, dict(m.up)), cap) for m in (before, after))
    predicted = tuple(b - a for a, b in zip(one.areas(()).whole, two.areas(()).whole, strict=True))
    agrees = tuple(
        None if gain is None or wide is None else abs(gain - guess) <= wide
        for gain, wide, guess in zip(found.gain_m2, found.expanded_m2, predicted, strict=True)
    )
    return GainComparison(found, predicted, agrees)


def _state_at(room: RoomSurfaces, measured: Measured, cap: bool) -> State:
    """The state predicted for the bays up at a measurement, in its climate."""
    then = replace(
        as_up(room, dict(measured.up)), temperature_c=measured.temperature_c, humidity_pct=measured.humidity_pct
    )
    count = Count(then, cap)
    return count.state(count.areas(()))


def _anchor(room: RoomSurfaces, calibration: Calibration) -> Anchor:
    state = _state_at(room, calibration.measured, calibration.cap)

    def ties(model: Times | None) -> PerBand:
        times = model or (None,) * len(BANDS_HZ)
        return tuple(
            sabine / time_s if factor is not None and time_s is not None and sabine is not None else 1.0
            for factor, time_s, sabine in zip(calibration.factor, times, state.sabine_s, strict=True)
        )

    tied = tuple(factor is not None for factor in calibration.factor)
    return Anchor(ties(state.eyring_s), ties(state.fitzroy_s), ties(state.arau_puchades_s), tied)


def _each_bay(room: RoomSurfaces, change: Callable[[BaySound], BaySound]) -> RoomSurfaces:
    return replace(
        room, planes=tuple(replace(plane, bays=tuple(change(bay) for bay in plane.bays)) for plane in room.planes)
    )


def _unphysical(measured: Measured, hz: int, area: float, left: float, boards: float) -> str:
    if left <= 0.0:
        return (
            f"{measured.name}, {hz} Hz: {area:.1f} m2 was measured in all, less than the {boards:.1f} m2 of the boards "
            "and absorbers alone; check the volume, the decay time and which bays were up."
        )
    return (
        f"{measured.name}, {hz} Hz: {left:.1f} m2 would be left for the bare surfaces, more than they can take; "
        "check the volume, the decay time and which bays were up."
    )
