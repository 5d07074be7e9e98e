"""What a recording is when it is not this sweep: another rate's, another sweep, only noise, or something else."""

from __future__ import annotations

import numpy as np

from tracker.domain.sweep.faults_response import whole_response
from tracker.domain.sweep.faults_ridge import COVERED, COVERED_IN_PART, find_ridge
from tracker.domain.sweep.faults_said import Fault, fault
from tracker.domain.sweep.signal import Settings

RATES_HZ = (32_000, 44_100, 48_000, 88_200, 96_000, 192_000)
"""Rates that recorders run at."""
_BLOCK_S = 0.25
_EVEN_DB = 3.0
_SAME = 0.03
_NEAR = 0.06


def whose(samples: np.ndarray, rate_hz: float, settings: Settings, clear_db: float) -> Fault:
    """The fault of a recording (1-D, rate in Hz) whose response has no direct sound clear by clear_db."""
    ridge = find_ridge(samples, rate_hz)
    if ridge is not None and ridge.covered >= COVERED:
        ratio = settings.growth_s / ridge.growth_s
        if abs(ratio - 1.0) < _SAME and ridge.covered >= COVERED_IN_PART:
            return placed(ridge.passes_s(settings.low_hz), samples.size / rate_hz, settings) or fault("too-noisy")
        for rate in RATES_HZ:
            like = abs(ratio * rate / rate_hz - 1.0) < _NEAR and abs(rate / rate_hz - 1.0) > _SAME
            if like and whole_response(samples, float(rate), settings).clearness_db > clear_db:
                return fault("wrong-rate", rate=rate_hz, true=float(rate))
        return fault("other-sweep", ratio=ratio)
    if _even(samples, rate_hz):
        return fault("unheard")
    return fault("not-this-sweep")


def placed(begins_s: float, length_s: float, settings: Settings) -> Fault | None:
    """What of the signal is not in a recording of length_s, where the sweep begins at begins_s of it (both s)."""
    over_s = begins_s + settings.sweep_s - length_s
    if begins_s < 0.0:
        return fault("cut-short-start", seconds=-begins_s)
    if over_s > 0.0:
        return fault("cut-short-end", seconds=over_s)
    if begins_s < settings.gap_s + settings.marker_s:
        return fault("cut-short-first")
    if over_s + settings.tail_s + settings.marker_s > 0.0:
        return fault("cut-short-tail", seconds=-over_s)
    return None


def _even(samples: np.ndarray, rate_hz: float) -> bool:
    """Whether the recording is as loud at one time as at another: noise, with nothing played that stands out of it."""
    block = round(_BLOCK_S * rate_hz)
    count = samples.size // block
    # differences, since what rumbles is never even
    power = np.mean(np.diff(samples, prepend=0.0)[: count * block].reshape(count, block) ** 2, axis=1)
    quiet, loud = np.percentile(power, (10, 90))
    return bool(10.0 * np.log10((loud + 1e-30) / (quiet + 1e-30)) < _EVEN_DB)
