"""Where the signal lies in a recording, and how fast the recorder's clock ran: from the two markers in it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.progress import Told, unheard
from tracker.domain.sweep.signal import MARKER_HIGH_HZ, MARKER_LOW_HZ, Settings, marker_at
from tracker.domain.sweep.spectra import quick_length

CLEAR_DB = 6.0
"""Markers less clear than this are not taken for markers (common practice, no source)."""
DRIFT_LIMIT_PPM = 1000.0
"""A clock further off than this is not a clock's error: another rate, or a stretched file."""
_SEARCH_PPM = 3000.0
_RING_S = 0.25
_TINY = 1e-12
_BEFORE_S = 0.004
_STEP = "finding the chirps"
_OVER = 2
"""How much finer than it must be the likeness is worked out: a peak between two instants is 1 dB lower at most."""


@dataclass(frozen=True, slots=True)
class Alignment:
    """How the recorder's samples lie against the signal.

    first_s, second_s: where the markers begin in the recording, s by the recorder's clock. drift_ppm: how much longer
    the recorder's second is than the player's (a slow recorder is positive). level_change_db: the second marker's level
    over the first's. clear_db: the fainter marker over the next best pair at their distance.
    """

    first_s: float
    second_s: float
    drift_ppm: float
    level_change_db: float
    clear_db: float

    def delay_s(self, settings: Settings) -> float:
        """When the file began to sound, s by the recorder's clock from the start of the recording."""
        return self.first_s - settings.first_marker_s / self.stretch

    @property
    def stretch(self) -> float:
        """The player's seconds in one of the recorder's."""
        return 1.0 + self.drift_ppm * 1e-6

    def signal_time_s(self, settings: Settings, recorded_s: float) -> float:
        """The instant of the signal, s from the file's start, that was heard at an instant of the recording, s."""
        return settings.first_marker_s + (recorded_s - self.first_s) * self.stretch

    def recorded_time_s(self, settings: Settings, signal_s: float) -> float:
        """The instant of the recording, s, at which an instant of the signal, s from the file's start, was heard."""
        return self.first_s + (signal_s - settings.first_marker_s) / self.stretch


def align(samples: np.ndarray, rate_hz: float, settings: Settings, told: Told = unheard) -> Alignment:
    """Finds both markers in a recording (one channel, rate in Hz) and compares them with each other.

    Refused where the two are not there at their distance. The room and the loudspeaker colour both alike, so the lag
    between them is the clock's alone: within 0.1 ppm at 20 dB over the noise (our simulation).
    """
    found, found_hz = markers_like(samples, rate_hz, settings, told)
    told(_STEP, 0.7)
    spacing = settings.marker_spacing_s * found_hz
    reach = math.ceil(spacing * _SEARCH_PPM * 1e-6) + 2
    nearest = round(spacing)
    if found.size <= nearest + reach:
        raise Refused("sweep: the recording is shorter than the sweep; record from before the first chirp "
                      "to after the last")
    later = _sliding_max(found[nearest - reach:], 2 * reach + 1)
    both = np.minimum(found[: later.size], later)
    told(_STEP, 0.85)
    at = int(np.argmax(both))
    also_at = at + nearest - reach + int(np.argmax(found[at + nearest - reach: at + nearest + reach + 1]))
    # the sweep is like a marker too, but nothing is like one both now and a marker's distance later
    skip = round((settings.marker_s + _RING_S) * found_hz)
    rivals = np.concatenate([both[: max(0, at - skip)], both[at + skip:], [0.0]])
    clear_db = 20.0 * math.log10((both[at] + _TINY) / (float(rivals.max()) + _TINY))
    if clear_db < CLEAR_DB:
        raise Refused("sweep: its two chirps were not found; record the whole file that `sweep write` wrote, "
                      "louder or in a quieter hour")
    first, second = (round(_peak_near(found, one) * rate_hz / found_hz) for one in (at, also_at))
    lag, level_db = _lag_between(samples, first, second, rate_hz, settings)
    drift_ppm = (settings.marker_spacing_s * rate_hz / lag - 1.0) * 1e6
    return Alignment(first / rate_hz, (first + lag) / rate_hz, drift_ppm, level_db, clear_db)


def markers_like(samples: np.ndarray, rate_hz: float, settings: Settings,
                 told: Told = unheard) -> tuple[np.ndarray, float]:
    """How much the recording (one channel, rate in Hz) sounds like a marker begun at each instant, and their rate, Hz.

    Peak 1 at a marker that fills the scale; at a rate that just holds the marker's span. Source: matched filter, the
    signal correlated with the marker (any textbook).
    """
    told(_STEP, 0.0)
    marker = marker_at(settings, np.arange(math.ceil(settings.marker_s * rate_hz) + 1) / rate_hz)
    size = quick_length(samples.size + marker.size)
    # the analytic signal, so that the peak is where the marker is whatever the loudspeaker did to its phase
    low, high = (round(hz / rate_hz * size) for hz in (MARKER_LOW_HZ * 0.9, min(MARKER_HIGH_HZ * 1.1, rate_hz / 2)))
    count = quick_length(_OVER * (high - low))
    spectrum = np.zeros(count, dtype=complex)
    heard = np.fft.rfft(samples, size)[low:high]
    told(_STEP, 0.25)
    spectrum[: high - low] = heard * np.conj(np.fft.rfft(marker, size)[low:high])
    told(_STEP, 0.4)
    like = np.abs(np.fft.ifft(spectrum)) * (2.0 * count / size / np.sum(marker**2))
    return like[: math.ceil(samples.size * count / size)], rate_hz * count / size


def _peak_near(values: np.ndarray, at: int) -> float:
    """Where the peak lies whose largest value is at an index: the top of a parabola through three."""
    if not 0 < at < values.size - 1:
        return float(at)
    before, peak, after = values[at - 1: at + 2]
    bend = before - 2.0 * peak + after
    return at + (0.5 * (before - after) / bend if bend < 0.0 else 0.0)


def _sliding_max(values: np.ndarray, width: int) -> np.ndarray:
    """The largest of each `width` values in a row, by doubling the span."""
    most, span = values, 1
    while span < width:
        step = min(span, width - span)
        most = np.maximum(most[: most.size - step], most[step:])
        span += step
    return most


def _lag_between(samples: np.ndarray, first: int, second: int, rate_hz: float,
                 settings: Settings) -> tuple[float, float]:
    """Samples from one received marker to the other, to a small part of a sample, and the second's level, dB."""
    before = round(_BEFORE_S * rate_hz)
    length = before + round((settings.marker_s + _RING_S) * rate_hz)
    size = quick_length(2 * length)
    spectra = []
    for at in (first, second):
        begin = max(0, at - before)
        heard = np.zeros(length)
        part = samples[begin: at - before + length]
        heard[begin - (at - before): begin - (at - before) + part.size] = part
        spectra.append(np.fft.rfft(heard, size))
    hertz = np.arange(size // 2 + 1) * (rate_hz / size)
    used = (hertz >= MARKER_LOW_HZ * 1.1) & (hertz <= min(MARKER_HIGH_HZ * 0.95, rate_hz * 0.45))
    cross = np.where(used, spectra[1] * np.conj(spectra[0]), 0.0)
    # the coarse lag to a sample, then the slope of the phase, weighed by the power it comes from
    correlation = np.fft.irfft(cross, size)
    coarse = int(np.argmax(correlation))
    coarse -= size if coarse > size // 2 else 0
    turn = 2.0 * np.pi * np.arange(size // 2 + 1) / size
    lag = float(coarse)
    for _ in range(4):
        angle = np.angle(cross * np.exp(1j * turn * lag))
        weight = np.abs(cross) * turn
        lag -= float(np.sum(weight * angle) / np.sum(weight * turn))
    powers = [float(np.sum(np.abs(one[used]) ** 2)) for one in spectra]
    return second - first + lag, 10.0 * math.log10(powers[1] / powers[0])
