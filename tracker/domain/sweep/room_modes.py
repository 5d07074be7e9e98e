"""Low-frequency modes of a room out of its response: frequency, decay time and level of each."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.deconvolve import ImpulseResponse
from tracker.domain.sweep.spectra import quick_length

TO_HZ = 200.0
"""Highest mode looked for, Hz: above, they overlap in any small room."""
FROM_HZ = 20.0
_SPAN_S = 1.0
_AFTER_S = 0.03
_FAINT_DB = 30.0
_SHORT_S = 0.1
_LONG_S = 10.0
_NOISE_DB = 3.0


@dataclass(frozen=True, slots=True)
class RoomMode:
    """A mode heard in a response: its frequency in Hz, decay time in s, and level in dB under the loudest."""

    frequency_hz: float
    decay_s: float
    level_db: float


def room_modes(response: ImpulseResponse, end_s: float) -> tuple[RoomMode, ...]:
    """Modes from 20 to 200 Hz heard in a response until it meets the noise, end_s (s after the direct sound).

    Lowest first; those decaying in less than 0.1 s or 30 dB under the loudest are left out. Good for modes that lie
    apart: of close ones the sum may show as one. Source: Y. Hua and T. K. Sarkar, matrix pencil, IEEE Trans. ASSP 38
    (1990) 814.
    """
    samples, step_s = _low(response)
    first = round((response.onset / response.rate_hz + _AFTER_S) / step_s)
    count = min(samples.size - first, round(min(_SPAN_S, max(end_s, 0.25) - _AFTER_S) / step_s))
    heard = samples[first: first + max(0, count)]
    if count < 60 or not heard.any():
        return ()
    poles = _poles(heard)
    weights = np.linalg.lstsq(poles[None, :] ** np.arange(count)[:, None], heard.astype(complex), rcond=None)[0]
    found = []
    for pole, weight in zip(poles, weights, strict=True):
        hertz = math.atan2(pole.imag, pole.real) / (2.0 * math.pi * step_s)
        damping = -math.log(max(abs(pole), 1e-9)) / step_s
        if FROM_HZ <= hertz <= TO_HZ and damping > 0.0:
            found.append((hertz, 3.0 * math.log(10.0) / damping, abs(weight)))
    found = [one for one in found if _SHORT_S <= one[1] <= _LONG_S]
    if not found:
        return ()
    loudest = max(strength for *_, strength in found)
    modes = (RoomMode(hertz, decay, 20.0 * math.log10(strength / loudest)) for hertz, decay, strength in found)
    return tuple(sorted((one for one in modes if one.level_db >= -_FAINT_DB), key=lambda one: one.frequency_hz))


def _low(response: ImpulseResponse) -> tuple[np.ndarray, float]:
    """The response below 200 Hz at some 500 samples a second, and its step in s."""
    size = quick_length(response.samples.size)
    spectrum = np.fft.rfft(response.samples, size)
    line_hz = response.rate_hz / size
    last = min(spectrum.size, round(1.2 * TO_HZ / line_hz))
    hertz = np.arange(last) * line_hz
    shape = np.clip((1.2 * TO_HZ - hertz) / (0.15 * TO_HZ), 0.0, 1.0)
    count = quick_length(round(2.5 * TO_HZ / line_hz))
    lines = np.zeros(count // 2 + 1, dtype=complex)
    lines[:last] = spectrum[:last] * np.sin(0.5 * np.pi * shape) ** 2
    return np.fft.irfft(lines, count), 1.0 / (line_hz * count)


def _poles(heard: np.ndarray) -> np.ndarray:
    """Poles of the damped sines that a series is made of, its noise judged from the small singular values."""
    columns = heard.size // 3
    hankel = np.lib.stride_tricks.sliding_window_view(heard, columns + 1)
    # by the square's eigenvectors: a tenth of the time of singular values, and noise hides what it loses
    powers, vectors = np.linalg.eigh(hankel.T @ hankel)
    strengths = np.sqrt(np.maximum(powers[::-1], 0.0))
    floor = float(np.median(strengths))
    many = max(1, int(np.sum(strengths > max(floor * 10.0 ** (_NOISE_DB / 10.0), strengths[0] * 1e-4))))
    kept = vectors[:, : -1 - min(many, columns // 2): -1]
    return np.linalg.eigvals(np.linalg.lstsq(kept[:-1], kept[1:], rcond=None)[0])
