"""Where a decay sinks into the noise: the level of the noise, and the instant from which only it is left."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.octaves import Envelope, bandwidth_hz

SIXTY_DB = 6.0 * math.log(10.0)
"""13.8: the natural logarithm of 60 dB of energy."""
_ROUNDS = 6
_FIRST_MARGIN_DB, _MARGIN_DB = 10.0, 6.0
"""How far over the noise the line is fitted down to: before and after the noise is known well."""
_LATE_DB = 20.0
"""How much of the decay above that is its late part."""
_BEYOND_DB = 10.0
"""How far past the crossing the decay is taken to be noise alone."""
_BLOCK_S, _LEAST_BLOCK_S, _DB_A_BLOCK, _LEAST_BLOCKS = 0.01, 0.002, 2.0, 5
_ENDS_SHORT = 0.95
_SILENCE = 1e-20
_DB_TO_NEPER = math.log(10.0) / 10.0


@dataclass(frozen=True, slots=True)
class Truncation:
    """noise: energy a step of the noise. end: index at which the decay is cut, from the start of the envelope.

    left: energy that the decay would still hold beyond it. late_s: decay time it was worked out with. reaches_noise:
    false where the recording ends before the decay does.
    """

    noise: float
    end: int
    left: float
    late_s: float
    reaches_noise: bool


def noise_level(energy: np.ndarray, step_s: float, width_hz: float) -> float:
    """Energy a step of steady noise (1-D envelope, step in s, width of its band in Hz), whatever a cough adds.

    Source: the median of blocks of 4/B, set right for the median of a gamma distribution of shape BT lying under its
    mean (E. B. Wilson and M. M. Hilferty, PNAS 17 (1931) 684).
    """
    block = max(1, math.ceil(4.0 / width_hz / step_s))
    count = energy.size // block
    if count < 3:
        return float(energy.mean())
    means = energy[energy.size - count * block:].reshape(count, block).mean(axis=1)
    shape = width_hz * block * step_s
    return float(np.median(means)) / (1.0 - 1.0 / (9.0 * shape)) ** 3


def truncation(envelope: Envelope) -> Truncation | None:
    """Noise and end of one band's decay; None where nothing stands out of the noise.

    Source: A. Lundeby, T. E. Vigran, H. Bietz, M. Vorlaender, Acustica 81 (1995) 344: noise, late slope and crossing
    found in turns; the energy left as ISO 3382-1:2009, 5.3.3 (from memory).
    """
    energy = envelope.energy[envelope.onset:]
    step, width = envelope.step_s, bandwidth_hz(envelope.nominal_hz)
    length = energy.size
    if not length or not energy.max() > 0.0:
        return None
    # a response worked out by a program may have no noise at all
    least = float(energy.max()) * _SILENCE
    noise = max(least, noise_level(energy[-max(1, length // 4):], step, width))
    block = max(1, math.ceil(max(1.5 / width, _BLOCK_S) / step))
    margin, crossing, late_s = _FIRST_MARGIN_DB, float(length), 0.0
    for turn in range(_ROUNDS):
        line = _late_line(energy, block, step, width, noise, margin, whole=turn == 0)
        if line is None:
            break
        before, (crossing, late_s) = crossing, line
        margin = _MARGIN_DB
        block = max(1, math.ceil(max(late_s * _DB_A_BLOCK / 60.0, 1.0 / width, _LEAST_BLOCK_S) / step))
        quiet = round(min(crossing + _BEYOND_DB / 60.0 * late_s / step, 0.9 * length))
        noise = max(least, noise_level(energy[quiet:], step, width))
        if turn > 1 and abs(crossing - before) < 0.002 * length:
            break
    if not late_s > 0.0:
        return None
    end = min(length, max(1, round(crossing)))
    # the line is at the noise where it crosses, and still above it where the recording ends first
    level = noise * math.exp(SIXTY_DB * (crossing - end) * step / late_s)
    return Truncation(noise, envelope.onset + end, level * late_s / SIXTY_DB / step, late_s,
                      crossing <= _ENDS_SHORT * length)


def _late_line(energy: np.ndarray, block: int, step_s: float, width_hz: float, noise: float, margin_db: float,
               whole: bool) -> tuple[float, float] | None:
    """Where the late part of a decay, or all of it, meets the noise, in steps, and its decay time in s, if it falls."""
    levels, middles = _blocks(energy, block, width_hz * step_s)
    if levels.size < _LEAST_BLOCKS:
        return None
    over = levels - 10.0 * math.log10(noise)
    loudest = int(np.argmax(over))
    sunk = np.nonzero(over[loudest:] < margin_db)[0]
    last = loudest + (int(sunk[0]) if sunk.size else levels.size - loudest)
    first = loudest
    if not whole:
        high = np.nonzero(over[loudest:last] > margin_db + _LATE_DB)[0]
        first += int(high[-1]) + 1 if high.size else 0
    first = max(loudest, min(first, last - _LEAST_BLOCKS))
    if last - first < 2:
        return None
    slope, start = np.polyfit(middles[first:last] * step_s, over[first:last], 1)
    return (float(start / -slope / step_s), float(-60.0 / slope)) if slope < 0.0 else None


def _blocks(energy: np.ndarray, block: int, degrees_a_step: float) -> tuple[np.ndarray, np.ndarray]:
    """Levels of blocks in dB, set right for the mean of a logarithm, and the index each is centred on."""
    count = energy.size // block
    means = energy[: count * block].reshape(count, block).mean(axis=1)
    shape = max(0.5, degrees_a_step * block)
    levels = 10.0 * np.log10(np.maximum(means, 1e-300)) + (0.5 / shape + 1.0 / (12.0 * shape**2)) / _DB_TO_NEPER
    return levels, (np.arange(count) + 0.5) * block
