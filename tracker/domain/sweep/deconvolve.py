"""From the recording to the impulse response: division by the sweep, worked out at the recorder's own instants."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import Alignment
from tracker.domain.sweep.progress import Told, unheard
from tracker.domain.sweep.signal import Settings, sweep_at
from tracker.domain.sweep.spectra import quick_length

FLOOR_DB = -60.0
"""What is added to the sweep's power before dividing, dB under it; -20 to -90 dB make no odds (our simulation)."""
BEFORE_S = 0.3
"""How much is kept before the direct sound, s: the octave filters ring backwards into it."""

_KEPT_OF_GAP = 0.3
_CLEAR_OF_S = 0.01
_STEP = "finding the sweep"


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


@dataclass(frozen=True, slots=True, eq=False)
class CrossSpectrum:
    """A recording's spectrum times the conjugate of the sweep's: what every division by the sweep begins with.

    cross, power: of each line of a transform over `size` samples at rate_hz, power the sweep's own; their zero is the
    sweep's start. begins_s: that start, s from the start of the recording. stretch: the player's seconds in one
    of the recorder's. tail_s: what was heard after the sweep's end, s. high_hz: what the rate holds of the sweep.
    aligned: whether that start is known, so that what comes before it is at the end.
    """

    cross: np.ndarray
    power: np.ndarray
    size: int
    rate_hz: float
    begins_s: float
    stretch: float
    tail_s: float
    high_hz: float
    aligned: bool


def cross_spectrum(samples: np.ndarray, rate_hz: float, settings: Settings,
                   alignment: Alignment | None = None, told: Told = unheard) -> CrossSpectrum:
    """What a recording (one channel, rate in Hz) has of the sweep: from shortly before it to the last marker.

    With no alignment all of the recording, the sweep's start taken to be its first sample. Source: the sweep is worked
    out at the instants of the recorder's samples, so its clock needs no resampling.
    """
    told(_STEP, 0.0)
    high_hz = min(settings.high_hz, 0.46 * rate_hz)
    stretch, begins_s, first, last, offset_s = 1.0, 0.0, 0, samples.size, 0.0
    heard, earlier = samples, samples[:0]
    if alignment is not None:
        stretch = alignment.stretch
        begins_s = alignment.recorded_time_s(settings, settings.sweep_start_s)
        first = max(0, math.floor(begins_s * rate_hz))
        # the marker's first instant may be smeared a little ahead by the loudspeaker: stay clear of it
        last = max(first, min(samples.size, math.floor((alignment.second_s - _CLEAR_OF_S) * rate_hz)))
        offset_s = alignment.signal_time_s(settings, first / rate_hz) - settings.sweep_start_s
        earlier = samples[max(0, math.floor((begins_s - _KEPT_OF_GAP * settings.gap_s) * rate_hz)): first]
        heard = samples[first:last]
    length = math.ceil((settings.sweep_s - offset_s) / stretch * rate_hz) + 1
    size = quick_length(max(heard.size + earlier.size, length + round(rate_hz)))
    turned = np.zeros(size)
    # a converter's direct current would break off at both ends
    resting = float(np.mean(heard)) if heard.size else 0.0
    turned[: heard.size] = heard - resting
    turned[size - earlier.size:] = earlier - resting
    played = np.fft.rfft(sweep_at(settings, offset_s + np.arange(length) * (stretch / rate_hz), up_to_hz=high_hz), size)
    told(_STEP, 0.4)
    cross = np.fft.rfft(turned)
    told(_STEP, 0.8)
    cross *= np.conj(played)
    tail_s = last / rate_hz - begins_s - settings.sweep_s / stretch
    return CrossSpectrum(cross, played.real**2 + played.imag**2, size, rate_hz, begins_s, stretch, tail_s, high_hz,
                         alignment is not None)


def deconvolved(samples: np.ndarray, rate_hz: float, settings: Settings, alignment: Alignment) -> ImpulseResponse:
    """Impulse response out of a recording (one channel, rate in Hz), from 0.3 s before the direct sound to the tail.

    Harmonics of the loudspeaker's distortion come before the direct sound and stay out. Refused where the recording
    ends before the sweep does. Source: A. Farina, AES 108 (2000) 5093, for the order of the harmonics; division with
    a floor as S. Mueller and P. Massarani, J. Audio Eng. Soc. 49 (2001) 443.
    """
    return divided(cross_spectrum(samples, rate_hz, settings, alignment), settings)


def divided(crossed: CrossSpectrum, settings: Settings) -> ImpulseResponse:
    """The same from the cross-spectrum of an aligned recording.

    Source: as of `deconvolved`.
    """
    if crossed.tail_s < 0.0:
        raise Refused("sweep: the recording ends before the sweep does; record to after the last chirp")
    rate_hz, size, high_hz = crossed.rate_hz, crossed.size, crossed.high_hz
    whole = np.fft.irfft(crossed.cross / (crossed.power + _floor(settings, rate_hz, size, high_hz)), size)
    before = round(BEFORE_S * rate_hz)
    kept = np.concatenate([whole[size - before:], whole[: math.floor(crossed.tail_s * rate_hz)]])
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
