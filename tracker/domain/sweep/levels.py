"""The response in one-third-octave bands, how flat it is, and the masks of two open standards."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.deconvolve import ImpulseResponse
from tracker.domain.sweep.octaves import midband_hz
from tracker.domain.sweep.spectra import quick_length

THIRDS_HZ: tuple[float, ...] = tuple(1000.0 * 10.0 ** (k / 10.0) for k in range(-13, 13))
"""Exact midbands of the one-third octaves 50 Hz to 16 kHz, Hz (IEC 61260-1, base 10)."""
NOMINAL_THIRDS_HZ: tuple[int, ...] = (50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600,
                                      2000, 2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000)
"""Their nominal midbands, Hz (IEC 61260-1)."""
_MEAN_HZ = (200, 4000)
_EDGE = 10.0 ** 0.05
_LEAST_LENGTH_S = 1.0
_FADE_S = 0.02


@dataclass(frozen=True, slots=True)
class Levels:
    """Levels in dB of the one-third octaves hz (nominal), 0 dB the mean of those from 200 Hz to 4 kHz."""

    hz: tuple[int, ...]
    db: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Mask:
    """Limits in dB that a standard sets the normalised response, from_hz on; below it, none could be verified."""

    name: str
    upper_db: float
    lower_db: float
    falls_from_hz: float
    falls_db_an_octave: float
    from_hz: float
    source: str

    def lower_at(self, hz: float) -> float:
        """The lower limit in dB at a frequency in Hz.

        Source: the mask's own.
        """
        return self.lower_db - self.falls_db_an_octave * max(0.0, math.log2(hz / self.falls_from_hz))


MASKS: tuple[Mask, ...] = (
    Mask("EBU Tech 3276", 3.0, -3.0, 2000.0, 1.0, 50.0,
         "EBU Tech 3276, 2nd edition 1998, 2.4 and figure 2, by text that cites it; its range from memory"),
    Mask("ITU-R BS.1116", 3.0, -3.0, 2000.0, 1.5, 250.0,
         "ITU-R BS.1116-3 (2015), 8.3.4.1 and figure 2, by text that cites it; not given below 250 Hz"),
)
"""Masks whose figures could be checked against text that cites the standard; the standards were not at hand."""


@dataclass(frozen=True, slots=True)
class Flatness:
    """How flat: standard deviation and peak to peak of the levels in dB, over the one-third octaves measured."""

    sd_db: float
    peak_to_peak_db: float


@dataclass(frozen=True, slots=True)
class Fit:
    """How a response lies in a mask: one-third octaves judged, those outside (nominal Hz), the worst excess in dB."""

    name: str
    judged: int
    outside_hz: tuple[int, ...]
    worst_db: float


def third_levels(response: ImpulseResponse, ends_s: Mapping[int, float]) -> Levels:
    """One-third-octave levels of a response, by the power in each band.

    ends_s: for each octave (nominal Hz), where its decay meets the noise, s after the direct sound; what comes later is
    left out, and the noise before it is taken off where there is enough of it to know. Source: IEC 61260-1:2014 for the
    bands; EBU Tech 3276, 2.4, for 0 dB as the mean of the levels from 200 Hz to 4 kHz.
    """
    octaves = sorted(ends_s)
    measured: list[tuple[int, float]] = []
    cumulated: dict[float, tuple[np.ndarray, float]] = {}
    quiet_s = max(ends_s.values()) * 1.3
    for exact, nominal in zip(THIRDS_HZ, NOMINAL_THIRDS_HZ, strict=True):
        if exact * _EDGE > response.high_hz:
            break
        octave = min(octaves, key=lambda one: abs(math.log(midband_hz(one) / exact)))
        end_s = ends_s[octave]
        if end_s not in cumulated:
            cumulated[end_s] = _cumulated_power(response, end_s, quiet_s)
        power, line_hz = cumulated[end_s]
        lines = np.arange(power.size) - 0.5
        low, high = np.interp([exact / _EDGE / line_hz, exact * _EDGE / line_hz], lines, power)
        measured.append((nominal, 10.0 * math.log10(max(high - low, 1e-300) / (exact * (_EDGE - 1.0 / _EDGE)))))
    return normalised(tuple(hz for hz, _ in measured), tuple(db for _, db in measured))


def normalised(hz: tuple[int, ...], db: tuple[float, ...]) -> Levels:
    """Levels in dB at nominal one-third octaves (Hz), moved so that those from 200 Hz to 4 kHz have the mean 0 dB.

    Source: EBU Tech 3276, 2nd edition 1998, 2.4, and ITU-R BS.1116-3, 8.3.4.1.
    """
    middle = [one for at, one in zip(hz, db, strict=True) if _MEAN_HZ[0] <= at <= _MEAN_HZ[1]]
    mean = sum(middle) / len(middle)
    return Levels(hz, tuple(one - mean for one in db))


def flatness(levels: Levels) -> Flatness:
    """How flat a response is; neither standard has a single figure for it.

    Source: standard deviation (of a sample) and range, by their definitions.
    """
    mean = sum(levels.db) / len(levels.db)
    variance = sum((one - mean) ** 2 for one in levels.db) / (len(levels.db) - 1)
    return Flatness(math.sqrt(variance), max(levels.db) - min(levels.db))


def fit(levels: Levels, mask: Mask) -> Fit:
    """Which one-third octaves of a response lie outside a mask, and by how much at the worst (dB, 0 if none).

    Source: the mask's own.
    """
    excess = {hz: max(db - mask.upper_db, mask.lower_at(hz) - db)
              for hz, db in zip(levels.hz, levels.db, strict=True) if hz >= mask.from_hz}
    outside = tuple(hz for hz, over in excess.items() if over > 0.0)
    return Fit(mask.name, len(excess), outside, max([0.0, *excess.values()]))


def _cumulated_power(response: ImpulseResponse, end_s: float, quiet_s: float) -> tuple[np.ndarray, float]:
    """Power summed up to each line of the spectrum of the response cut at end_s, and the lines' distance in Hz."""
    rate, onset = response.rate_hz, response.onset
    fade = round(_FADE_S * rate)
    first, last = max(0, onset - 2 * fade), min(response.samples.size, onset + round(end_s * rate))
    size = quick_length(max(last - first, round(_LEAST_LENGTH_S * rate)))
    rise = np.ones(last - first)
    rise[:fade] = np.sin(0.5 * np.pi * np.arange(fade) / fade) ** 2
    power = np.abs(np.fft.rfft(response.samples[first:last] * rise, size)) ** 2
    begins = onset + round(quiet_s * rate)
    if response.samples.size - begins >= 0.5 * rate:
        noise = response.samples[max(begins, response.samples.size - round(2.0 * rate)):]
        noise = noise[: min(noise.size, size)] * np.hanning(min(noise.size, size))
        share = float(np.sum(rise**2) / np.sum(np.hanning(noise.size) ** 2))
        power -= share * np.abs(np.fft.rfft(noise, size)) ** 2
    return np.concatenate([[0.0], np.cumsum(power) * (rate / size)]), rate / size
