"""What the samples of a recording say by themselves: flat tops and gaps."""

from __future__ import annotations

import numpy as np

from tracker.domain.sweep.signal import Settings

FLAT_TOPS = 4
"""So many peaks cut at one height are no chance (our simulation: good recordings have none)."""
PILED_UP = 1.5
"""Samples within 3 % of the peak over those 3 to 10 % under it: 0.1 to 0.6 in a room, 1.2 for a bare sweep, 2 to 7 when
something before the converter cut them (our simulation)."""
_FEW = 10
"""Fewer samples than this say nothing of how they pile up."""
_LEAST_PILE = 20
_LEAST_RUN_S = 0.0005
_LEAST_RUN = 24
_NEAR_S = 0.005
_LEAST_SWING = 32.0
"""In steps of the resolution: where less moves, 8 bits stand still for as long by themselves (our simulation)."""


def flat_tops(samples: np.ndarray) -> int:
    """How often two samples or more in a row lie at the very largest or smallest value (1-D, any scale)."""
    return sum(int(np.count_nonzero(_runs(sign * samples >= np.max(sign * samples))[1] >= 2)) for sign in (1.0, -1.0))


def flat_share(samples: np.ndarray) -> float:
    """Share of the samples (1-D, any scale) in the tops that `flat_tops` counts, 0 to 1. Source: a count."""
    flat = 0
    for sign in (1.0, -1.0):
        lengths = _runs(sign * samples >= np.max(sign * samples))[1]
        flat += int(np.sum(lengths[lengths >= 2]))
    return flat / samples.size


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
