"""What the samples of a recording say by themselves: flat tops, gaps, and whether its quiet shows."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tracker.domain.sweep.signal import Settings

CHANCE = 5e-3
"""Tops that lie level with a likelihood under this were cut: half of the one good recording in a hundred that may be
taken for a bad one. Good ones of 8 to 24 bits have 0.9 and more, those clipped by 1.5 dB mostly under 1e-5, 3e-3 at the
most (our simulation)."""
PILED_UP = 1.5
"""Samples within 3 % of the peak over those 3 to 10 % under it: 0.1 to 0.6 in a room, 1.2 for a bare sweep, 2 to 7 when
something before the converter cut them (our simulation)."""
_FEW = 10
"""Fewer samples than this say nothing of how they pile up."""
_HIGH = (0.1, 0.03, 0.01)
_LEAST_STEPS_HIGH = 8.0
_LEAST_RUN_S = 0.0005
_LEAST_RUN = 24
_NEAR_S = 0.005
_QUIET_S = 0.1
_LEAST_SWING = 32.0
"""In steps of the resolution: where less moves, 8 bits stand still for as long by themselves (our simulation)."""


@dataclass(frozen=True, slots=True)
class FlatTops:
    """Tops at the very largest or smallest value: how likely so many are by chance, and their share of the samples."""

    chance: float
    share: float


def flat_tops(samples: np.ndarray) -> FlatTops:
    """How likely as many waves as here reach the very same top by chance, both ways (1-D, any scale); 0 to 1.

    A level that rises and falls is a parabola at its peak, and so is a wave between two samples: of the tops within h
    of the highest a share sqrt(d / h) is within d of it, less where both play a part. (A tone that holds its level is
    not so, but no room leaves a sweep one.) Tops close under the highest are trials, those within its own step of
    resolution hits; the least likely of 10, 3 and 1 % under it counts. Source: W. Hoeffding, J. Am. Stat. Assoc. 58
    (1963) 13, theorem 1, for the likelihood at most (from memory).
    """
    step, resting = _step(samples), float(np.mean(samples))
    hits, level, likely = 0, 0, [0.0] * len(_HIGH)
    trials = [0] * len(_HIGH)
    for sign in (1.0, -1.0):
        top = float(np.max(sign * samples))
        widths = [max(share * (top - sign * resting), _LEAST_STEPS_HIGH * step) for share in _HIGH]
        high_at = np.flatnonzero(sign * samples >= top - max(widths) - 0.5 * step)
        heard = sign * samples[high_at]
        for k, width in enumerate(widths):
            near_at = high_at[heard >= top - width - 0.5 * step]
            waves = near_at[np.diff(near_at, prepend=-2) > 1]
            # the one that is the highest is no trial
            trials[k] += waves.size - 1
            likely[k] = max(likely[k], math.sqrt(step / width) if width else 1.0)
            if k == 0:
                hits += np.unique(np.searchsorted(waves, high_at[heard == top], side="right")).size - 1
        level += int(np.count_nonzero(heard == top))
    chance = len(_HIGH) * min(_likely(hits, *each) for each in zip(trials, likely, strict=True))
    return FlatTops(min(1.0, chance), level / samples.size)


def _likely(hits: int, trials: int, each: float) -> float:
    """At most how likely so many hits or more are; each: the likelihood of one."""
    share = hits / trials if trials else 0.0
    if share <= each:
        return 1.0
    missed = (1.0 - share) * math.log((1.0 - share) / (1.0 - each)) if share < 1.0 else 0.0
    return math.exp(-trials * (share * math.log(share / max(each, 1e-12)) + missed))


def piled_up(samples: np.ndarray) -> float:
    """How many samples lie close under the peak for each a little lower: the lesser of both signs (1-D, any scale).

    Source: common practice, no source.
    """
    ratios = []
    for sign in (1.0, -1.0):
        peak = float(np.max(sign * samples))
        high = np.count_nonzero(sign * samples > 0.97 * peak)
        lower = np.count_nonzero(sign * samples > 0.90 * peak) - high
        ratios.append(high / max(_FEW, lower))
    return min(ratios)


def steps_high(samples: np.ndarray) -> float:
    """How many steps of its resolution a recording is high (1-D, any scale); infinite where it does not show.

    Source: a count.
    """
    step = _step(samples)
    return float(np.max(np.abs(samples - np.mean(samples)))) / step if step else np.inf


def quiet_steps(samples: np.ndarray, rate_hz: float, from_s: float, to_s: float) -> float:
    """The rms of the quietest tenth of a second of a recording (1-D, rate in Hz), in steps of its resolution.

    Between two instants, s from its start; infinite where it does not show, or that is shorter. Two values in turn are
    half a step. Source: a standard deviation.
    """
    step, block = _step(samples), round(_QUIET_S * rate_hz)
    part = samples[max(0, round(from_s * rate_hz)): max(0, round(to_s * rate_hz))]
    count = part.size // block
    if not step or not count:
        return math.inf
    return float(np.min(np.std(part[: count * block].reshape(count, block), axis=1))) / step


def gaps_s(samples: np.ndarray, rate_hz: float, settings: Settings,
           sweep_begins_s: float) -> tuple[tuple[float, float], ...]:
    """Where the samples (1-D, rate in Hz) stand still while the sweep sounds, and how long, both in s.

    A run of one value counts if it is longer than the top of the slowest wave could look at this resolution, the sound
    around it moves, and it is not at the extremes, where it would be clipped. sweep_begins_s: s from the start.
    """
    starts, lengths = _runs(np.diff(samples) == 0.0)
    long = lengths + 1 >= max(_LEAST_RUN, _LEAST_RUN_S * rate_hz)
    found = []
    near = round(_NEAR_S * rate_hz)
    least, most = float(samples.min()), float(samples.max())
    peak = max(-least, most)
    step = _step(samples)
    for start, length in zip(starts[long], lengths[long] + 1, strict=True):
        at_s = start / rate_hz - sweep_begins_s
        if not 0.0 < at_s < settings.sweep_s or samples[start] in (least, most):
            continue
        around = np.concatenate([samples[max(0, start - near): start], samples[start + length: start + length + near]])
        swing = float(np.ptp(around)) / 2.0 if around.size else 0.0
        frequency_hz = settings.low_hz * np.exp(at_s / settings.growth_s)
        # a sine stays within one step of its top for this long, s
        natural_s = np.sqrt(2.0 * step / max(swing, step)) / (np.pi * frequency_hz)
        if swing > _LEAST_SWING * step and swing > 1e-3 * peak and length / rate_hz > 3.0 * natural_s:
            found.append((start / rate_hz, length / rate_hz))
    return tuple(found)


def _runs(true: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where each run of true begins, and how long it is."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], true, [False]]).astype(np.int8)))
    return edges[::2], edges[1::2] - edges[::2]


def _step(samples: np.ndarray) -> float:
    """The least distance between two neighbouring samples that differ: the resolution of the recording."""
    moves = np.abs(np.diff(samples[: 200_000]))
    moves = moves[moves > 0.0]
    return float(moves.min()) if moves.size else 0.0
