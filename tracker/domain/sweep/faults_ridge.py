"""Whether a recording holds a sweep at all, and how fast it rises: the loudest frequency at each moment."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

_FRAME_S = 0.1
_HOP_S = 0.05
_LOW_HZ, _HIGH_HZ = 200.0, 8000.0
_APART_S = 0.5
_NEAR = 0.05
_LEAST_S = 1.0
COVERED = 0.28
"""Share of 200 Hz to 8 kHz that must be followed along one line for it to be a sweep: sweeps 0.3 to 0.9, speech, music
and noise at most 0.15, a sweep that rises evenly 0.22 (our simulation)."""
COVERED_IN_PART = 0.35
"""The same for a sweep that rises as it should, of which only a part was recorded: 0.45 and more (our simulation)."""


@dataclass(frozen=True, slots=True)
class Ridge:
    """A sweep that was found.

    growth_s: the time in which its frequency grows by e, s. covered: how much of 200 Hz to 8 kHz it was followed
    through, 0 to 1. unity_s: when it would pass 1 Hz, s from the start of the recording.
    """

    growth_s: float
    covered: float
    unity_s: float

    def passes_s(self, frequency_hz: float) -> float:
        """When it passes a frequency (Hz), s from the start of the recording."""
        return self.unity_s + self.growth_s * math.log(frequency_hz)


def find_ridge(samples: np.ndarray, rate_hz: float) -> Ridge | None:
    """The exponential sweep that a recording (1-D, rate in Hz) holds, whichever it is; None where there is none.

    Source: the slope of log frequency over time, by the median of its differences (Theil and Sen; from memory).
    """
    frame, hop = round(_FRAME_S * rate_hz), round(_HOP_S * rate_hz)
    count = (samples.size - frame) // hop
    if count < 40:
        return None
    window = np.hanning(frame)
    lines = np.fft.rfftfreq(frame, 1.0 / rate_hz)
    used = (lines >= _LOW_HZ) & (lines <= min(_HIGH_HZ, 0.45 * rate_hz))
    loudest = np.empty(count)
    for k in range(count):
        power = np.abs(np.fft.rfft(samples[k * hop: k * hop + frame] * window))[used]
        loudest[k] = lines[used][int(np.argmax(power))]
    log_hz, at_s = np.log(loudest), np.arange(count) * _HOP_S
    apart = round(_APART_S / _HOP_S)
    slopes = (log_hz[apart:] - log_hz[:-apart]) / (_APART_S)
    rising = slopes[(slopes > 0.02) & (slopes < 10.0)]
    if rising.size < 10:
        return None
    slope = float(np.median(rising))
    meets = log_hz - slope * at_s
    order = np.sort(meets)
    # the offset that most moments share
    within = np.searchsorted(order, order + 2 * _NEAR, side="right") - np.arange(order.size)
    offset = order[int(np.argmax(within))] + _NEAR
    on = np.abs(meets - offset) < _NEAR
    # each step of the frequency counts once, so that a tone held or noise that falls on the line adds nothing
    step = slope * _HOP_S
    steps = np.log(min(_HIGH_HZ, 0.45 * rate_hz) / _LOW_HZ) / step
    covered = min(1.0, np.unique(np.round(log_hz[on] / step)).size / max(steps, _LEAST_S / _HOP_S))
    return Ridge(1.0 / slope, float(covered), float(0.5 * _FRAME_S - offset / slope))
