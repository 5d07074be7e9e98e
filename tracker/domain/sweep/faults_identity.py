"""What a recording is when this sweep is not whole in it: a part, another rate's, another sweep, or only noise."""

from __future__ import annotations

import math

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import DRIFT_LIMIT_PPM, align
from tracker.domain.sweep.faults_bands import LEAST_BANDS, begins_of, held_hz, rises_in_s, shared_s
from tracker.domain.sweep.faults_response import WholeResponse, whole_response
from tracker.domain.sweep.faults_ridge import COVERED, COVERED_IN_PART, find_ridge
from tracker.domain.sweep.faults_said import Fault, fault
from tracker.domain.sweep.progress import Told, part_of, unheard
from tracker.domain.sweep.signal import Settings

RATES_HZ = (32_000, 44_100, 48_000, 88_200, 96_000, 192_000)
"""Rates that recorders run at."""
_BLOCK_S = 0.25
_EVEN_DB = 3.0
_SAME = 0.03
_NEAR = 0.06
_ANY = "looking for any other sweep"
MARKERS_DB = 12.0
"""Markers that stand out less are chance or noise; good ones do by 23 and more at 8 dB over it (our simulation)."""


def at_another_rate(samples: np.ndarray, rate_hz: float, settings: Settings, clear_db: float,
                    told: Told = unheard) -> Fault | None:
    """The fault of a recording (1-D) that is the whole signal if its rate is another than rate_hz, Hz.

    The markers and the sweep must both fit that rate as closely as a clock can be off, and the direct sound be clear by
    clear_db.
    """
    for tried, rate in enumerate(RATES_HZ):
        if abs(rate / rate_hz - 1.0) < _SAME:
            continue
        ahead = part_of(told, tried / len(RATES_HZ), (tried + 1) / len(RATES_HZ), f"as if at {rate} Hz, ")
        try:
            found = align(samples, float(rate), settings, ahead)
        except Refused:
            continue
        if found.clear_db < MARKERS_DB or abs(found.drift_ppm) > DRIFT_LIMIT_PPM:
            continue
        if whole_response(samples, float(rate), settings, found).clearness_db > clear_db:
            return fault("wrong-rate", rate=rate_hz, true=float(rate))
    return None


def in_part(whole: WholeResponse, length_s: float, settings: Settings) -> Fault | None:
    """The fault of a recording of length_s (s) in which only a part of the sweep is, by its response to all of it.

    Every octave but one that the sweep passed while it was recorded has its direct sound at one time; None where that
    is not so.
    """
    turn_s = whole.size / whole.rate_hz
    begun = begins_of(whole)
    for at_s in (one.at_s - turned for one in begun for turned in (0.0, turn_s)):
        missing = placed(at_s, length_s, settings)
        if missing is None:
            continue
        passed = [middle for middle in held_hz(whole)
                  if at_s + settings.reaches_s(middle / math.sqrt(2.0)) >= 0.0
                  and at_s + settings.reaches_s(middle * math.sqrt(2.0)) <= length_s]
        together = sum(one.middle_hz in passed and one.together(at_s, turn_s) for one in begun)
        if together >= max(LEAST_BANDS, len(passed) - 1):
            return missing
    return None


def whose(samples: np.ndarray, whole: WholeResponse, settings: Settings, clear_db: float,
          told: Told = unheard) -> Fault:
    """The fault of a recording (1-D) whose response, whole, has no direct sound clear by clear_db."""
    rate_hz = whole.rate_hz
    other = at_another_rate(samples, rate_hz, settings, clear_db, part_of(told, 0.0, 0.8))
    if other is not None:
        return other
    told(_ANY, 0.8)
    rises_s = rises_in_s(whole, settings)
    shared = shared_s(whole)
    if rises_s is None and shared is not None and not whole.aligned:
        return placed_in(whole, shared, samples.size / rate_hz, settings) or fault("too-noisy")
    told(_ANY, 0.9)
    ridge = find_ridge(samples, rate_hz)
    if ridge is not None and ridge.covered >= COVERED:
        ratio = settings.growth_s / ridge.growth_s
        if abs(ratio - 1.0) < _SAME:
            if rises_s is not None:
                return fault("other-sweep", ratio=settings.growth_s / rises_s)
            if ridge.covered >= COVERED_IN_PART:
                return placed(ridge.passes_s(settings.low_hz), samples.size / rate_hz, settings) or fault("too-noisy")
        for rate in RATES_HZ:
            like = abs(ratio * rate / rate_hz - 1.0) < _NEAR and abs(rate / rate_hz - 1.0) > _SAME
            if like and whole_response(samples, float(rate), settings).clearness_db > clear_db:
                return fault("wrong-rate", rate=rate_hz, true=float(rate))
        return fault("other-sweep", ratio=ratio)
    if _even(samples, rate_hz):
        return fault("unheard")
    return fault("not-this-sweep")


def placed_in(whole: WholeResponse, at_s: float, length_s: float, settings: Settings) -> Fault | None:
    """The same of a recording of length_s (s) whose direct sound is at at_s of a response that is not aligned, s.

    The response turns round: a sweep that begins before the recording shows at the end of it.
    """
    turned_s = at_s - whole.size / whole.rate_hz
    return placed(turned_s if -turned_s < at_s + settings.sweep_s - length_s else at_s, length_s, settings)


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
