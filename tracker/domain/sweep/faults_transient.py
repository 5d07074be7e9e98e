"""Coughs and doors: what is louder for a moment than the quiet of the whole-length response around it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.faults_response import WholeResponse
from tracker.domain.sweep.signal import MARKER_HIGH_HZ, MARKER_LOW_HZ, Settings

BANDS_HZ = tuple(1000.0 * 10.0 ** (3 * k / 10) for k in range(-4, 4))
"""Exact octave midbands 63 Hz to 8 kHz (IEC 61260-1)."""
NOMINAL_HZ = (63, 125, 250, 500, 1000, 2000, 4000, 8000)
BLOCK_S = 0.05
LIMIT_DB = 8.0
"""A block this far over the median of its band is no steady noise: those of clean recordings stay under 5 dB with hum
and distortion (our simulation)."""
_CYCLES = 17.0
_LEAST_BLOCKS = 8
_DECAY_S = 4.0
_TINY = 1e-30
_ORDERS = (2, 3, 4, 5, 6, 7)
_RINGS = 80.0
"""Cycles of the midband for which a band's filter may ring ahead of a loud sound."""


@dataclass(frozen=True, slots=True)
class Moment:
    """The loudest moment of a band outside the room's decay, or where that rises again.

    excess_db: over the band's median, or over the least of the decay before it, dB; level_db: over the band's loudest
    moment of all, dB; heard_s: when in the recording, s.
    """

    nominal_hz: int
    excess_db: float
    level_db: float
    heard_s: float


def moments(whole: WholeResponse, settings: Settings) -> tuple[Moment, ...]:
    """Each octave band's loudest moment outside the room's decay, where enough of it is quiet to tell, or within it.

    In blocks of 50 ms, longer in the lowest bands, where fewer cycles make a block.
    """
    found = []
    for nominal, middle in zip(NOMINAL_HZ, BANDS_HZ, strict=True):
        if middle * math.sqrt(2.0) > 0.46 * whole.rate_hz:
            break  # a slow recorder does not hold it
        envelope, rate_hz = whole.within(middle / math.sqrt(2.0), middle * math.sqrt(2.0))
        block = round(max(BLOCK_S, _CYCLES / middle) * rate_hz)
        count = envelope.size // block
        level = np.mean(envelope[: count * block].reshape(count, block) ** 2, axis=1) + _TINY
        at_s = (np.arange(count) + 0.5) * block / rate_hz
        length_s = envelope.size / rate_hz
        quiet = _quiet(whole, settings, middle, level, at_s, block / rate_hz, length_s)
        at, excess_db = _rise(level, (at_s - whole.peak_s) % length_s, _decays_s(settings, middle, block / rate_hz))
        if np.count_nonzero(quiet) >= _LEAST_BLOCKS:
            loudest = int(np.argmax(np.where(quiet, level, 0.0)))
            over_db = _db(level[loudest], float(np.median(level[quiet])))
            at, excess_db = (loudest, over_db) if over_db > excess_db else (at, excess_db)
        # the response shows a sound earlier by when the sweep passes the band
        turn_s = whole.size / whole.rate_hz
        into_s = (at_s[at] + settings.reaches_s(middle) / whole.stretch) % turn_s
        heard_s = whole.begins_s + (into_s if into_s < turn_s - settings.gap_s else into_s - turn_s)
        found.append(Moment(nominal, excess_db, _db(level[at], float(level.max())), float(heard_s)))
    return tuple(found)


def _decays_s(settings: Settings, middle_hz: float, block_s: float) -> float:
    """For how long after the direct sound a band (exact midband, Hz) holds its decay alone, s.

    Before the harmonics, and before what was cut away after the sweep.
    """
    left_s = settings.sweep_s + settings.tail_s - settings.reaches_s(middle_hz * math.sqrt(2.0))
    return min(_DECAY_S, left_s - block_s - max(0.15, _RINGS / middle_hz))


def _rise(level: np.ndarray, after_s: np.ndarray, until_s: float) -> tuple[int, float]:
    """Where a band's level rises most over the least since the direct sound, or over its noise, and by how much, dB.

    A decay, however bent, only falls.
    """
    order = np.argsort(after_s)
    order = order[after_s[order] < until_s]
    if order.size < 2:
        return 0, 0.0
    least = np.maximum(np.minimum.accumulate(level[order])[:-1], np.median(level))
    at = int(np.argmax(level[order][1:] / least))
    return int(order[at + 1]), _db(level[order[at + 1]], float(least[at]))


def _quiet(whole: WholeResponse, settings: Settings, middle_hz: float, level: np.ndarray, at_s: np.ndarray,
           block_s: float, length_s: float) -> np.ndarray:
    """The blocks that hold noise alone: not the decay, the harmonics, nor what was cut away around the sweep."""
    upper, lower = middle_hz * math.sqrt(2.0), middle_hz / math.sqrt(2.0)
    peak = whole.peak_s
    after = (at_s - peak) % length_s
    order = np.argsort(after)
    loud = level[order] > 2.0 * np.median(level)
    decay_s = max(0.1, float(after[order][int(np.argmin(loud))]))
    reach = 2.0 * decay_s
    ahead_s = block_s + max(0.15, _RINGS / middle_hz)
    quiet = (after > reach) & (after < length_s - ahead_s)
    for k in _ORDERS:
        ahead = (peak - settings.growth_s / whole.stretch * math.log(k) - at_s) % length_s
        quiet &= ~((ahead < ahead_s) | (ahead > length_s - reach - block_s))
    # what sounds at an instant of the recording shows earlier in the response by when the sweep passes the band
    cut_before = -0.3 * settings.gap_s
    cut_after = settings.sweep_s + settings.tail_s - 0.01
    least, most = cut_before - settings.reaches_s(lower), cut_after - settings.reaches_s(upper)
    turned = (at_s - peak + 0.5 * length_s) % length_s - 0.5 * length_s
    turned = np.where(turned < least - block_s, turned + length_s, turned)
    inside = (turned > least + block_s) & (turned < most - block_s)
    if upper > MARKER_LOW_HZ and lower < MARKER_HIGH_HZ:
        # the first marker still rings when the sweep begins
        rings = cut_before + max(0.0, reach - (1.0 - 0.3) * settings.gap_s)
        inside &= turned > rings - settings.reaches_s(lower) + block_s
    return quiet & inside


def _db(above: float, below: float) -> float:
    return 10.0 * math.log10(above / below)
