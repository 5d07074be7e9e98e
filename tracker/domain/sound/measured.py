"""Decay times measured in a room, the absorption area behind them, and what a phase gained by measurement."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.air import attenuation_per_m, speed_of_sound
from tracker.domain.sound.counting import Times
from tracker.domain.sound.decay import area_for_m2, sabine_constant

Metric = Literal["t20", "t30"]

COVERAGE = 2.0
"""Expanded uncertainty over standard uncertainty: about 95 % (JCGM 100:2008, 6.3.3)."""
LONGEST_S = 20.0
"""No room that is fitted out decays more slowly, s (common practice, no source)."""
APPARENT = (
    "In a small room sound is not spread evenly: a measured gain is apparent, and may lie a fifth or more off what the "
    "boards' coefficients give."
)
"""Our simulation: 30 to 55 m3 with a treated ceiling, 26 % under to 41 % over."""
FORWARD_BT = 16.0
"""Least product of bandwidth and decay time with a forward filter (ISO 3382-2:2008, 7.3, from memory)."""
_DECAYS = 10
"""An impulse response counts as about ten decays per position (ISO 3382-2:2008, annex A, from memory)."""
_SCATTER: dict[Metric, tuple[float, float]] = {"t20": (0.88, 1.90), "t30": (0.55, 1.52)}
"""Factor and share of decays in the scatter of a decay time (ISO 3382-2:2008, annex A, constants from memory)."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Decay times of a room at one stage: s per octave band (None: not measured), degC, % relative humidity.

    Positions are the pairs of source and microphone they were averaged over.
    """

    name: str
    decay_s: Times
    temperature_c: float
    humidity_pct: float
    positions: int = 1
    metric: Metric = "t20"
    up: tuple[tuple[str, float], ...] = ()
    """(bay key, share of its infill that was up, 0 to 1); bays not named were bare."""


@dataclass(frozen=True, slots=True)
class MeasuredGain:
    """What was gained between two measurements, m2 per octave band; None where either band was not measured."""

    gain_m2: Times
    uncertainty_m2: Times
    """Standard uncertainty."""
    expanded_m2: Times
    """Twice that, about 95 %."""
    resolved: tuple[bool | None, ...]
    """False where the gain is smaller than its expanded uncertainty: not resolved."""
    notes: tuple[str, ...]


def checked(measured: Measured) -> Measured:
    """A measurement as given; refused where a band, the climate or the positions can't be right.

    Decay times above 0 and up to 20 s, six bands of which at least one is measured, at least one position.
    """
    where = f"measured {measured.name}"
    if len(measured.decay_s) != len(BANDS_HZ):
        raise Refused(f"{where}: give six decay times for {', '.join(map(str, BANDS_HZ))} Hz, - where not measured")
    if all(time_s is None for time_s in measured.decay_s):
        raise Refused(f"{where}: no band has a decay time; give at least one, such as 0.62")
    for hz, time_s in zip(BANDS_HZ, measured.decay_s, strict=True):
        if time_s is not None and not 0.0 < time_s <= LONGEST_S:
            raise Refused(f"{where}: {time_s:g} s at {hz} Hz; a decay time lies above 0 and up to {LONGEST_S:g} s")
    if measured.positions < 1:
        raise Refused(f"{where}: {measured.positions} positions; give at least 1")
    if measured.metric not in _SCATTER:
        raise Refused(f"{where}: {measured.metric}; decay times are given as t20 or t30")
    for key, share in measured.up:
        if not 0.0 <= share <= 1.0:
            raise Refused(f"{where}: {key} is {share:g} up; the share lies between 0 and 1")
    attenuation_per_m(measured.temperature_c, measured.humidity_pct)
    return measured


def bandwidth_hz(band_hz: float) -> float:
    """Bandwidth of an octave filter in Hz at its midband in Hz.

    Source: ISO 3382-2:2008, annex A, B = 0.71 fm.
    """
    return 0.71 * band_hz


def decay_uncertainty_s(decay_s: float, band_hz: float, positions: int, metric: Metric = "t20") -> float:
    """Standard uncertainty in s of a decay time in s, octave band in Hz, averaged over positions.

    The scatter over positions only: filter, noise and operator come on top. 11 to 38 % on the safe side where it was
    tried against drawn decays, 11 to 28 % for products of bandwidth and time of 10 and up.

    Source: ISO 3382-2:2008, annex A, with n = 10 for an impulse response; constants from memory, one value checked.
    """
    factor, share = _SCATTER[metric]
    return factor * decay_s * math.sqrt((1.0 + share / _DECAYS) / (positions * bandwidth_hz(band_hz) * decay_s))


def measured_area_m2(volume_m3: float, measured: Measured) -> Times:
    """Equivalent absorption area in m2 per band behind measured decay times, air taken off; volume in m3.

    Source: ISO 354:2003, 8.1.2.1, A = 24 ln(10) V/(c T) - 4Vm (printed with 55.3 for 24 ln(10)), c = 331 + 0.6 t; m by
    ISO 9613-1.
    """
    speed_m_s = speed_of_sound(measured.temperature_c)
    air = attenuation_per_m(measured.temperature_c, measured.humidity_pct)
    return tuple(
        None if time_s is None else area_for_m2(volume_m3, time_s, m, speed_m_s)
        for time_s, m in zip(measured.decay_s, air, strict=True)
    )


def area_uncertainty_m2(volume_m3: float, measured: Measured, volume_uncertainty_m3: float = 0.0) -> Times:
    """Standard uncertainty in m2 per band of a measured absorption area; volume and its standard uncertainty in m3.

    Source: JCGM 100:2008, equation 10, on A = 24 ln(10) V/(c T) - 4Vm.
    """
    constant = sabine_constant(speed_of_sound(measured.temperature_c))
    areas = measured_area_m2(volume_m3, measured)
    share = volume_uncertainty_m3 / volume_m3
    return tuple(
        None
        if time_s is None or area is None
        else math.hypot(_scatter_m2(volume_m3, constant, time_s, hz, measured), area * share)
        for time_s, area, hz in zip(measured.decay_s, areas, BANDS_HZ, strict=True)
    )


def measured_gain(
    volume_m3: float, before: Measured, after: Measured, volume_uncertainty_m3: float = 0.0
) -> MeasuredGain:
    """The gain A2 - A1 in m2 per band between two measurements, each at its own temperature and humidity.

    Volume and its standard uncertainty in m3; refused where a measurement can't be right or the volume is not above 0.

    Source: ISO 354:2003, equation 8, on the room itself; uncertainty by JCGM 100:2008, equation 10, from the scatter of
    ISO 3382-2:2008, annex A (constants from memory), and the volume's.
    """
    if not volume_m3 > 0.0 or volume_uncertainty_m3 < 0.0:
        raise Refused("volume: needs a volume above 0 and an uncertainty of 0 or more, in m3")
    first, second = checked(before), checked(after)
    gains: list[float | None] = []
    errors: list[float | None] = []
    pairs = zip(measured_area_m2(volume_m3, first), measured_area_m2(volume_m3, second), strict=True)
    for band, (one, two) in enumerate(pairs):
        if one is None or two is None:
            gains.append(None)
            errors.append(None)
            continue
        gains.append(two - one)
        parts = [
            _scatter_m2(volume_m3, sabine_constant(speed_of_sound(m.temperature_c)), m.decay_s[band] or 0.0,
                        BANDS_HZ[band], m)
            for m in (first, second)
        ]
        errors.append(math.hypot(*parts, (two - one) / volume_m3 * volume_uncertainty_m3))
    expanded = tuple(None if error is None else COVERAGE * error for error in errors)
    resolved = tuple(
        None if gain is None or wide is None else abs(gain) > wide for gain, wide in zip(gains, expanded, strict=True)
    )
    return MeasuredGain(tuple(gains), tuple(errors), expanded, resolved, _notes(first, second, resolved))


def _scatter_m2(volume_m3: float, constant: float, time_s: float, hz: int, measured: Measured) -> float:
    """What the scatter of a decay time makes of the area, m2: |dA/dT| u(T)."""
    spread_s = decay_uncertainty_s(time_s, hz, measured.positions, measured.metric)
    return constant * volume_m3 / time_s**2 * spread_s


def measuring_notes(measured: Measured) -> tuple[str, ...]:
    """What shakes trust in a measurement, one sentence each."""
    short = [
        f"{hz}" for hz, time_s in zip(BANDS_HZ, measured.decay_s, strict=True)
        if time_s is not None and bandwidth_hz(hz) * time_s < FORWARD_BT
    ]
    notes = []
    if short:
        notes.append(
            f"{measured.name}: at {', '.join(short)} Hz the decay is so short that an octave filter run forwards "
            "lengthens it; only a reversed filter reads it right."
        )
    if measured.positions < 2:
        notes.append(f"{measured.name}: one position only; two or more tell the room from the spot.")
    return tuple(notes)


def _notes(before: Measured, after: Measured, resolved: Sequence[bool | None]) -> tuple[str, ...]:
    notes = [*measuring_notes(before), *measuring_notes(after)]
    if before.metric != after.metric:
        notes.append(
            f"{before.name} was read as {before.metric.upper()} and {after.name} as {after.metric.upper()}; "
            "read both alike before trusting the difference."
        )
    lost = [f"{hz}" for hz, yes in zip(BANDS_HZ, resolved, strict=True) if yes is False]
    if lost:
        notes.append(
            f"At {', '.join(lost)} Hz the change is smaller than its uncertainty: not resolved. "
            "More positions, or T30 where the noise allows, make it smaller."
        )
    return (*notes, APPARENT)
