"""Octave filters run backwards, and the squared envelope of a response in each band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.deconvolve import ImpulseResponse
from tracker.domain.sweep.progress import Told, unheard
from tracker.domain.sweep.spectra import quick_length

OCTAVES_HZ: tuple[int, ...] = (63, 125, 250, 500, 1000, 2000, 4000, 8000)
"""Nominal octave midbands of a sweep, Hz (IEC 61260-1)."""
ORDER = 3
"""Order of the Butterworth prototype: 2 is not class 1, 4 rings longer (our figures)."""
_G = 10.0 ** 0.3
RINGS_CYCLES = 7.0
"""How far ahead a filter rings, in periods of its midband, before it is 60 dB down (its slowest pole)."""
_LEAST_RATE_HZ = 2000.0
_PAD_S = 0.2


def midband_hz(nominal_hz: float) -> float:
    """Exact octave midband, Hz, of a nominal one. Source: IEC 61260-1:2014, 1000 G^x with G = 10^(3/10)."""
    return 1000.0 * _G ** round(np.log(nominal_hz / 1000.0) / np.log(_G))


def bandwidth_hz(nominal_hz: float) -> float:
    """Width of an octave band, Hz: 0.705 of its midband. Source: IEC 61260-1:2014, edges at G^(1/2) either side."""
    return midband_hz(nominal_hz) * (_G**0.5 - _G**-0.5)


def octave_filter(nominal_hz: float, frequency_hz: np.ndarray) -> np.ndarray:
    """Complex gain of an octave filter at frequencies in Hz (any shape): an analogue Butterworth of order 3.

    Class 1 by the limits of IEC 61260-1; worked out in the frequency domain, so nothing is warped near half the rate.

    Source: Butterworth prototype 1/((1 + s)(1 + s + s^2)) with s = j (f/fm - fm/f) / (G^(1/2) - G^(-1/2)).
    """
    share = np.asarray(frequency_hz, dtype=float) / midband_hz(nominal_hz)
    gain = np.zeros(share.shape, dtype=complex)
    passed = share > 0.0
    share = share[passed]
    s = 1j * (share - 1.0 / share) / (_G**0.5 - _G**-0.5)
    gain[passed] = 1.0 / ((1.0 + s) * (1.0 + s + s * s))
    return gain


@dataclass(frozen=True, slots=True)
class Envelope:
    """Squared envelope of one band: energy (1-D), its step in s, and the index at which the sound begins."""

    nominal_hz: int
    energy: np.ndarray
    step_s: float
    onset: int


def envelopes(response: ImpulseResponse, bands_hz: tuple[int, ...] = OCTAVES_HZ,
              told: Told = unheard) -> tuple[Envelope, ...]:
    """Squared envelope of a response in each octave band (Hz) that its span holds, lowest first.

    The filter runs backwards in time, which rings into the silence before the sound and leaves the decay alone: the
    shortest decay it passes is about a tenth of what ISO 3382-2 asks of a forward filter. Source: F. Jacobsen and
    J. H. Rindel, J. Sound Vib. 117 (1987) 187 (from memory); ISO 3382-2:2008, 7.3.
    """
    rate = response.rate_hz
    size = quick_length(response.samples.size + round(_PAD_S * rate))
    spectrum = np.fft.rfft(response.samples, size)
    line_hz = rate / size
    found = []
    for number, nominal in enumerate(bands_hz, start=1):
        told(f"band {number} of {len(bands_hz)}, {nominal} Hz", (number - 1) / len(bands_hz))
        middle = midband_hz(nominal)
        if middle * _G**0.5 > response.high_hz:
            continue
        last = min(spectrum.size, int(8.0 * middle / line_hz) + 1)
        count = quick_length(max(last, int(_LEAST_RATE_HZ / line_hz)))
        lines = np.zeros(count, dtype=complex)
        lines[:last] = spectrum[:last] * np.conj(octave_filter(nominal, np.arange(last) * line_hz))
        analytic = np.fft.ifft(lines) * (2.0 * count / size)
        step_s = size / (rate * count)
        # the filter also rings ahead of the end, where the response breaks off
        length = int((response.samples.size / rate - RINGS_CYCLES / nominal) / step_s)
        found.append(Envelope(nominal, (analytic.real**2 + analytic.imag**2)[:length], step_s,
                              round(response.onset / rate / step_s)))
    return tuple(found)
