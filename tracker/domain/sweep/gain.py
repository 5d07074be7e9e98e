"""What changed between two measurements of a room: absorption area gained, band by band, and how sure that is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tracker.domain.errors import Refused
from tracker.domain.sound.air import DB_PER_NEPER_OF_ENERGY, attenuation_db_per_m, speed_of_sound
from tracker.domain.sound.decay import sabine_constant
from tracker.domain.sound.measured import decay_uncertainty_s
from tracker.domain.sweep.measured import Analysis
from tracker.domain.sweep.octaves import midband_hz
from tracker.domain.sweep.verdicts import BandDecay

SURE = 1.96
"""How many standard deviations a gain must be away from nothing to be told apart: 95 in 100."""
_UNKNOWN_C, _READ_C = 3.0, 0.5
_UNKNOWN_PCT, _READ_PCT = 15.0, 3.0
"""How far off a temperature (degC) and a humidity (%) may lie, not noted and noted (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """Air while a measurement was made: temperature in degC and relative humidity in %; None where it was not noted."""

    temperature_c: float | None = None
    humidity_pct: float | None = None


@dataclass(frozen=True, slots=True)
class BandGain:
    """The gain measured in one octave band, in m2, with its standard deviation; None where it cannot be worked out.

    metric: T30 or T20, the same before and after. reasons: why there is no figure.
    """

    nominal_hz: int
    metric: str | None
    before_s: float | None
    after_s: float | None
    gain_m2: float | None
    sd_m2: float | None
    reasons: tuple[str, ...] = ()

    @property
    def told_apart(self) -> bool:
        """Whether the two differ by more than chance would have it, 95 times in 100."""
        return self.gain_m2 is not None and abs(self.gain_m2) > SURE * self.sd_m2

    @property
    def low_m2(self) -> float | None:
        """Lower end of the span that holds the gain 95 times in 100, m2."""
        return None if self.gain_m2 is None else self.gain_m2 - SURE * self.sd_m2

    @property
    def high_m2(self) -> float | None:
        """Upper end of that span, m2."""
        return None if self.gain_m2 is None else self.gain_m2 + SURE * self.sd_m2

    @property
    def verdict(self) -> str:
        """`more`, `less` or `cannot be told apart`; `not measured` without a figure."""
        if self.gain_m2 is None:
            return "not measured"
        if not self.told_apart:
            return "cannot be told apart"
        return "more" if self.gain_m2 > 0.0 else "less"

    def agrees_with(self, predicted_m2: float) -> bool | None:
        """Whether a predicted gain in m2 lies within the span measured; None without a figure."""
        return None if self.gain_m2 is None else self.low_m2 <= predicted_m2 <= self.high_m2


def gain_between(before: Analysis, after: Analysis, volume_m3: float, conditions_before: Conditions | None = None,
                 conditions_after: Conditions | None = None) -> tuple[BandGain, ...]:
    """Absorption area gained between two measurements of a room of a volume in m3, for each octave both hold.

    Apparent: in a small room the field is not diffuse, so the figure may lie a fifth or more off what the laboratory's
    coefficients would give (our simulation), beyond the uncertainty stated here. Air is taken off where both humidities
    were noted. Refused for a volume that is none. Source: ISO 354:2003, 8.1.2.4: 55.3 V (1/(c2 T2) - 1/(c1 T1)) - 4V
    (m2 - m1); uncertainty ISO 3382-2:2008, annex A, and our own of temperature and humidity.
    """
    if not math.isfinite(volume_m3) or volume_m3 <= 0.0:
        raise Refused(f"sweep: a room of {volume_m3:g} m3 holds no sound; give the room's volume")
    conditions = (conditions_before or Conditions(), conditions_after or Conditions())
    return tuple(_band_gain(band, other, (before, after), volume_m3, conditions)
                 for band in before.bands if (other := after.band(band.nominal_hz)) is not None)


def _band_gain(before: BandDecay, after: BandDecay, analyses: tuple[Analysis, Analysis], volume_m3: float,
               conditions: tuple[Conditions, Conditions]) -> BandGain:
    hz = before.nominal_hz
    metric = next((name for name in ("T30", "T20") if before.figure(name).valid and after.figure(name).valid), None)
    if metric is None:
        said = [f"{when}: {reason}" for when, band in (("before", before), ("after", after))
                for reason in band.t20.reasons or (() if band.t20.valid else ("no T20",))]
        return BandGain(hz, None, before.t20.value_s, after.t20.value_s, None, None, tuple(said))
    times = (before.figure(metric).value_s, after.figure(metric).value_s)
    areas, variance = [], 0.0
    for time_s, analysis, air in zip(times, analyses, conditions, strict=True):
        warm_c = 20.0 if air.temperature_c is None else air.temperature_c
        speed = speed_of_sound(warm_c)
        area = sabine_constant(speed) * volume_m3 / time_s
        unsure_c = _UNKNOWN_C if air.temperature_c is None else _READ_C
        variance += area**2 * (_decay_share(metric, hz, time_s, analysis) ** 2 + (0.6 * unsure_c / speed) ** 2)
        areas.append(area)
        variance += _air_area_sd(hz, volume_m3, air) ** 2
    gain = areas[1] - areas[0]
    if all(air.humidity_pct is not None for air in conditions):
        gain -= _air_area(hz, volume_m3, conditions[1]) - _air_area(hz, volume_m3, conditions[0])
    return BandGain(hz, metric, times[0], times[1], gain, math.sqrt(variance))


def _decay_share(metric: str, nominal_hz: int, time_s: float, analysis: Analysis) -> float:
    """Scatter of the mean, as a share: by theory, or as the positions themselves show it where that is more."""
    at = analysis.bands_hz.index(nominal_hz)
    positions = max(1, analysis.used[at])
    share = decay_uncertainty_s(time_s, nominal_hz, positions, metric.lower()) / time_s
    if analysis.spread is not None and positions >= 3:
        seen = (analysis.spread.t30_s if metric == "T30" else analysis.spread.t20_s)[at]
        share = max(share, (seen or 0.0) / time_s / math.sqrt(positions))
    return share


def _air_area(nominal_hz: int, volume_m3: float, air: Conditions) -> float:
    """Absorption area of the air itself, 4mV in m2."""
    warm_c = 20.0 if air.temperature_c is None else air.temperature_c
    damp_pct = 50.0 if air.humidity_pct is None else air.humidity_pct
    return 4.0 * volume_m3 * attenuation_db_per_m(midband_hz(nominal_hz), warm_c, damp_pct) / DB_PER_NEPER_OF_ENERGY


def _air_area_sd(nominal_hz: int, volume_m3: float, air: Conditions) -> float:
    """How far that may be off, m2, for a humidity read or not."""
    damp_pct = 50.0 if air.humidity_pct is None else air.humidity_pct
    unsure = _UNKNOWN_PCT if air.humidity_pct is None else _READ_PCT
    low, high = (_air_area(nominal_hz, volume_m3, Conditions(air.temperature_c, min(100.0, max(0.0, damp_pct + step))))
                 for step in (-unsure, unsure))
    return abs(high - low) / 2.0
