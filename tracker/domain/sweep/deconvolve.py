"""From the recording to the impulse response: division by the sweep, worked out at the recorder's own instants."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import Alignment
from tracker.domain.sweep.signal import Settings, sweep_at
from tracker.domain.sweep.spectra import quick_length

FLOOR_DB = -60.0
"""What is added to the sweep's power before dividing, dB under it; -20 to -90 dB make no odds (our simulation)."""
BEFORE_S = 0.3
"""How much is kept before the direct sound, s: the octave filters ring backwards into it."""


@dataclass(frozen=True, slots=True)
class ImpulseResponse:
    """A room's response: samples (1-D, any scale), their rate in Hz, and the sample at which the direct sound begins.

    low_hz to high_hz is the span it is good for.
    """

    samples: np.ndarray
    rate_hz: float
    onset: int
    low_hz: float
    high_hz: float


def deconvolved(samples: np.ndarray, rate_hz: float, settings: Settings, alignment: Alignment) -> ImpulseResponse:
    """Impulse response out of a recording (one channel, rate in Hz), from 0.3 s before the direct sound to the tail.

    Harmonics of the loudspeaker's distortion come before the direct sound and stay out. Refused where the recording
    ends before the sweep does. Source: A. Farina, AES 108 (2000) 5093, for the order of the harmonics; division with
    a floor as S. Mueller and P. Massarani, J. Audio Eng. Soc. 49 (2001) 443.
    """
    begin = max(0, math.floor(alignment.recorded_time_s(settings, settings.sweep_start_s - 0.5 * settings.gap_s)
                              * rate_hz))
    # the marker's first instant may be smeared a little ahead by the loudspeaker: stay clear of it
    end = min(samples.size, math.floor((alignment.second_s - 0.01) * rate_hz))
    sweep_ends = alignment.recorded_time_s(settings, settings.sweep_end_s) * rate_hz
    if end < sweep_ends:
        raise Refused("sweep: the recording ends before the sweep does; record to after the last chirp")
    heard = samples[begin:end]
    size = quick_length(heard.size)
    high_hz = min(settings.high_hz, 0.46 * rate_hz)
    instants = alignment.signal_time_s(settings, begin / rate_hz) - settings.sweep_start_s
    played = sweep_at(settings, instants + np.arange(heard.size) * (alignment.stretch / rate_hz), up_to_hz=high_hz)
    recorded = np.fft.rfft(heard, size)
    spectrum = np.fft.rfft(played, size)
    spectrum, recorded = spectrum, recorded * np.conj(spectrum)
    recorded /= np.abs(spectrum) ** 2 + _floor(settings, rate_hz, size, high_hz)
    whole = np.fft.irfft(recorded, size)
    before = round(BEFORE_S * rate_hz)
    after = math.floor(end - sweep_ends)
    kept = np.concatenate([whole[size - before:], whole[:after]])
    return located(kept, rate_hz, settings.low_hz, high_hz, search=(before - round(0.05 * rate_hz),
                                                                    before + round(0.15 * rate_hz)))


def located(samples: np.ndarray, rate_hz: float, low_hz: float, high_hz: float,
            search: tuple[int, int] | None = None) -> ImpulseResponse:
    """A response (1-D, rate in Hz) with its direct sound found: where it first comes within 20 dB of its peak.

    `search` bounds the peak, in samples. Source: ISO 3382-1:2009, 5.3.2 (from memory).
    """
    size = quick_length(samples.size)
    spectrum = np.fft.rfft(samples, size)
    hertz = np.arange(spectrum.size) * (rate_hz / size)
    # hum and rumble would hide the onset; what is left must not ring, so the edges are wide
    bend = np.clip(np.log2(np.maximum(hertz, 1.0) / 250.0), 0.0, 1.0)
    top = np.clip((0.98 * high_hz - hertz) / (0.28 * high_hz), 0.0, 1.0)
    loud = np.abs(np.fft.irfft(spectrum * np.sin(0.5 * np.pi * bend) * np.sin(0.5 * np.pi * top) ** 2, size))
    loud = loud[: samples.size]
    first, last = search or (0, samples.size)
    first, last = max(0, first), min(samples.size, last)
    peak = first + int(np.argmax(loud[first:last]))
    if not loud[peak] > 0.0:
        raise Refused("sweep: the response is silent; look at the input's level and record again")
    # not further ahead than a room can hold a sound that comes before its loudest
    start = max(first, peak - round(0.05 * rate_hz))
    onset = start + int(np.argmax(loud[start: peak + 1] >= 0.1 * loud[peak]))
    return ImpulseResponse(samples, rate_hz, onset, low_hz, high_hz)


def _floor(settings: Settings, rate_hz: float, size: int, high_hz: float) -> np.ndarray:
    """What is added to the sweep's power at each line of its spectrum: little within its span, as much outside."""
    hertz = np.arange(size // 2 + 1) * (rate_hz / size)
    usual = rate_hz**2 * settings.growth_s / (4.0 * np.maximum(hertz, settings.low_hz))
    below = np.clip(np.log2(np.maximum(hertz, 1e-3) / settings.low_hz) / 0.3, 0.0, 1.0)
    above = np.clip((0.99 * high_hz - hertz) / (0.04 * high_hz), 0.0, 1.0)
    return usual * 10.0 ** (FLOOR_DB / 10.0 * np.minimum(below, above))
