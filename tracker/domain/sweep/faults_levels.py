"""Whether the recorder held its gain: each marker against what the sweep's own response says it should have been."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.alignment import Alignment
from tracker.domain.sweep.faults_response import WholeResponse
from tracker.domain.sweep.signal import Settings, marker_at
from tracker.domain.sweep.spectra import quick_length

_BEFORE_S = 0.01
_RING_S = 0.25
_TINY = 1e-30


@dataclass(frozen=True, slots=True)
class MarkerLevel:
    """A marker as heard against what the sweep's response makes of it: gain in dB, and likeness from 0 to 1."""

    gain_db: float
    likeness: float


def marker_levels(samples: np.ndarray, whole: WholeResponse, settings: Settings,
                  alignment: Alignment) -> tuple[MarkerLevel, MarkerLevel]:
    """Both markers against what the sweep's response expects of them, while it passed the same frequencies.

    samples: the recording (one channel, any scale); whole: its response with this alignment. A room and a loudspeaker
    treat both alike, so that 0 dB is a gain left alone; a likeness near 0 is time that was lost between.
    Source: least squares of the marker heard on the marker expected (any textbook).
    """
    rate_hz = whole.rate_hz
    before = round(_BEFORE_S * rate_hz)
    length = before + round((settings.marker_s + _RING_S) * rate_hz)
    response = np.fft.irfft(whole.spectrum, whole.size)
    response = np.concatenate([response[whole.size - before:], response[: length - before]])
    played = marker_at(settings, np.arange(round(settings.marker_s * rate_hz) + 2) * (whole.stretch / rate_hz))
    size = quick_length(length + played.size)
    spectrum = np.fft.rfft(response, size) * np.fft.rfft(played, size)
    lines = np.arange(spectrum.size)
    levels = []
    for start_s in (settings.first_marker_s, settings.second_marker_s):
        at = alignment.recorded_time_s(settings, start_s) * rate_hz - before
        first = math.floor(at)
        expected = np.fft.irfft(spectrum * np.exp(-2j * np.pi * lines * ((at - first) / size)), size)[:length]
        begin, end = max(0, first), min(samples.size, first + length)
        expected = expected[begin - first: end - first]
        heard = samples[begin:end]
        both, power = float(np.dot(heard, expected)), float(np.dot(expected, expected)) + _TINY
        levels.append(MarkerLevel(20.0 * math.log10(max(both / power, 1e-6)),
                                  max(0.0, both) / math.sqrt(power * (float(np.dot(heard, heard)) + _TINY))))
    return levels[0], levels[1]
