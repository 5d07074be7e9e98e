"""What is wrong with a recording of the sweep, said before anything is read out of it: what happened and what to do."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import DRIFT_LIMIT_PPM, Alignment, align
from tracker.domain.sweep.deconvolve import CrossSpectrum, cross_spectrum
from tracker.domain.sweep.faults_bands import rises_in_s, shared_s, slips
from tracker.domain.sweep.faults_identity import MARKERS_DB, in_part, placed_in, whose
from tracker.domain.sweep.faults_levels import MarkerLevel, marker_levels
from tracker.domain.sweep.faults_response import WholeResponse, whole_of, whole_response
from tracker.domain.sweep.faults_said import Fault, fault
from tracker.domain.sweep.faults_samples import CHANCE, PILED_UP, flat_tops, gaps_s, piled_up, quiet_steps, steps_high
from tracker.domain.sweep.faults_transient import LIMIT_DB, Moment, moments
from tracker.domain.sweep.progress import Told, part_of, unheard
from tracker.domain.sweep.signal import Settings

CLEAR_DB = 46.0
"""The direct sound of the right sweep stands 48 dB and more over all else at 8 dB over the noise, 43 with a slammed
door in it (our simulation)."""
CLEAR_ALONE_DB = 48.0
"""The same where the markers are not there to vouch for it, nor the bands (our simulation)."""
DRY_DB = -25.0
"""Energy after the direct sound under this is a cable, or the file itself: the driest room has -10 (our simulation)."""
GAIN_DB = 1.0
"""A marker further off its level than this is a gain that moves; clean ones are within 0.1 (our simulation)."""
BURST_DB = 3.0
"""The same where something else was heard too (our simulation)."""
LIKE = 0.5
"""Markers less like what the sweep expects of them than this were shifted in time."""
HARMONIC_DB = -38.0
"""A fifth harmonic above this is no loudspeaker but an overdriven input (our simulation)."""
_FOREIGN_DB = 34.0
_FAIR_DB = 40.0
_FLAT_SHARE = 0.001
_AROUND_S = 0.05
_AGAIN_DB = -10.0
_SHORT_GAP_S = 0.002
_LEAST_RATE_HZ = 16_000.0
_LEAST_S = 1.0
_LEAST_STEPS = 16.0
_CLEAR_OF_S = 0.01
_LEAST_QUIET_STEPS = 0.5
"""Noise of 0.4 steps and more, which is this with the rounding's own, keeps what is rounded true on the mean. Source:
B. Widrow and I. Kollar, Quantization Noise (2008): a mean error of exp(-2 pi^2 0.4^2), 4 % of a step (from memory)."""
_FAINT_DB = -60.0


@dataclass(frozen=True, slots=True)
class Findings:
    """What the check found, worst first, and where the signal lay in the recording, None where it is not known.

    crossed: what the recording has of the sweep, with that alignment, for the analysis to go on from.
    """

    faults: tuple[Fault, ...]
    alignment: Alignment | None = None
    crossed: CrossSpectrum | None = None

    @property
    def fatal(self) -> tuple[Fault, ...]:
        """Those for which nothing must be read out of the recording."""
        return tuple(one for one in self.faults if one.fatal)


def find_faults(samples: np.ndarray, rate_hz: float, settings: Settings) -> tuple[Fault, ...]:
    """What is wrong with a recording (one channel, full scale 1; rate in Hz), worst first; empty is good."""
    return examine(samples, rate_hz, settings).faults


def examine(samples: np.ndarray, rate_hz: float, settings: Settings, told: Told = unheard) -> Findings:
    """The same with what it was found by, so that an analysis need not work that out again."""
    told("looking at the samples", 0.0)
    heard = np.asarray(samples, dtype=float)
    unusable = _unusable(heard, rate_hz)
    if unusable:
        return Findings((unusable,))
    alignment = _aligned(heard, rate_hz, settings, part_of(told, 0.2, 0.6))
    trusted = alignment and alignment.clear_db >= MARKERS_DB and abs(alignment.drift_ppm) <= DRIFT_LIMIT_PPM
    known = alignment if trusted else None
    crossed = cross_spectrum(heard, rate_hz, settings, known, part_of(told, 0.6, 0.65))
    told("listening for coughs and doors", 0.65)
    whole = whole_of(crossed)
    loud = () if known is None else tuple(
        one for one in moments(whole, settings) if one.excess_db > LIMIT_DB)
    if known is None and not _ours(whole):
        told("looking for a part of the sweep", 0.7)
        known_as = in_part(whole, heard.size / rate_hz, settings) or _stretched(heard, rate_hz, settings, alignment)
        return Findings((known_as or whose(heard, whole, settings, CLEAR_ALONE_DB, part_of(told, 0.75, 1.0)),))
    if known is not None and whole.clearness_db < CLEAR_DB:
        if loud and whole.clearness_db < _FOREIGN_DB and shared_s(whole, 0.0) is None:
            return Findings((whose(heard, whole, settings, CLEAR_ALONE_DB, part_of(told, 0.75, 1.0)),))
        return Findings((_heard(loud) if loud else fault("too-noisy"),), known)
    if whole.room_db < DRY_DB:
        return Findings((fault("stimulus"),), known)
    if known is None:
        return Findings((_unaligned(heard, whole, settings, alignment),))
    told("looking for gaps and clipping", 0.8)
    tail_s = known.recorded_time_s(settings, settings.sweep_end_s)
    if quiet_steps(heard, rate_hz, tail_s, known.second_s - _CLEAR_OF_S) < _LEAST_QUIET_STEPS:
        return Findings((fault("coarse-quiet"),), known, crossed)
    # what is said or knocked on outside the markers is nobody's business
    begin = max(0, math.floor((known.first_s - _AROUND_S) * rate_hz))
    during = heard[begin: math.ceil((known.second_s + settings.marker_s + _AROUND_S) * rate_hz)]
    found = _gaps(during, begin / rate_hz, whole, settings) + _clipped(during, whole, settings, loud)
    found += _moved(marker_levels(heard, whole, settings, known), found, loud)
    return Findings(tuple(sorted(_with_moments(found, loud), key=lambda one: not one.fatal)), known, crossed)


def _unusable(heard: np.ndarray, rate_hz: float) -> Fault | None:
    if heard.ndim != 1:
        return fault("channels", count=heard.shape[-1] if heard.ndim else 0)
    if heard.size and not np.isfinite(heard).all():
        return fault("not-finite", count=int(np.count_nonzero(~np.isfinite(heard))))
    if not rate_hz >= _LEAST_RATE_HZ:
        return fault("low-rate", rate=rate_hz)
    if heard.size < _LEAST_S * rate_hz:
        return fault("empty", seconds=heard.size / rate_hz)
    if np.ptp(heard) == 0.0:
        return fault("silent")
    steps = steps_high(heard)
    if steps < _LEAST_STEPS:
        return fault("coarse", steps=max(1.0, steps))
    return None


def _ours(whole: WholeResponse) -> bool:
    """Whether it is this sweep, with no markers to say so: its direct sound comes at one time in several bands.

    A sweep that rises evenly touches this one at one frequency, and is heard at other times on either side of it.
    """
    return whole.clearness_db >= _FAIR_DB and shared_s(whole, whole.peak_s) is not None


def _aligned(heard: np.ndarray, rate_hz: float, settings: Settings, told: Told) -> Alignment | None:
    try:
        return align(heard, rate_hz, settings, told)
    except Refused:
        return None


def _unaligned(heard: np.ndarray, whole: WholeResponse, settings: Settings, alignment: Alignment | None) -> Fault:
    """It is this sweep, but its markers are not both where they should be."""
    missing = placed_in(whole, whole.peak_s, heard.size / whole.rate_hz, settings)
    if missing is not None:
        return missing
    if whole.again_db > _AGAIN_DB:
        return fault("twice")
    stretched = _stretched(heard, whole.rate_hz, settings, alignment)
    return stretched or (_slipped(whole, settings) if slips(whole) else fault("no-markers"))


def _stretched(heard: np.ndarray, rate_hz: float, settings: Settings, alignment: Alignment | None) -> Fault | None:
    """It is this sweep at another distance between its markers: stretched, or with a part missing."""
    if alignment is None:
        return None
    whole = whole_response(heard, rate_hz, settings, alignment)
    if whole.clearness_db < CLEAR_ALONE_DB:
        # at no one distance is it whole
        lost = alignment.clear_db >= MARKERS_DB and whole.clearness_db >= _FOREIGN_DB
        return _slipped(whole, settings) if lost else None
    return _slipped(whole, settings) if slips(whole) else fault("stretched", ppm=alignment.drift_ppm)


def _slipped(whole: WholeResponse, settings: Settings) -> Fault:
    """Time was lost on the way, at once; or a sweep was played that goes its own way evenly."""
    rises_s = rises_in_s(whole, settings)
    return fault("dropouts-skipped") if rises_s is None else fault("other-sweep", ratio=settings.growth_s / rises_s)


def _gaps(heard: np.ndarray, from_s: float, whole: WholeResponse, settings: Settings) -> list[Fault]:
    gaps = gaps_s(heard, whole.rate_hz, settings, whole.begins_s + whole.peak_s - from_s)
    if not gaps:
        return []
    lost_s = sum(length for _, length in gaps)
    key = "dropout" if len(gaps) == 1 and lost_s < _SHORT_GAP_S else "dropouts"
    return [fault(key, count=len(gaps), at=from_s + gaps[0][0], ms=1000.0 * lost_s)]


def _clipped(heard: np.ndarray, whole: WholeResponse, settings: Settings, loud: tuple[Moment, ...]) -> list[Fault]:
    tops = flat_tops(heard)
    if tops.chance < CHANCE:
        # what little was cut off matters once it shows above the noise
        shows = any(one.level_db > _FAINT_DB for one in loud)
        return [fault("clipped" if tops.share > _FLAT_SHARE or shows else "clipped-lightly", share=100.0 * tops.share)]
    harmonic_db = -120.0 if loud else whole.harmonic_db(5, settings)
    return [fault("clipped-before")] if piled_up(heard) > PILED_UP or harmonic_db > HARMONIC_DB else []


def _moved(levels: tuple[MarkerLevel, MarkerLevel], found: list[Fault], loud: tuple[Moment, ...]) -> list[Fault]:
    """The time or the gain that did not hold between the markers and the sweep."""
    if _fatal(found):
        return []
    if min(one.likeness for one in levels) < LIKE and levels[0].gain_db < -GAIN_DB:
        return [fault("dropouts-skipped")]
    worst_db = max(abs(levels[0].gain_db), abs(levels[1].gain_db), abs(levels[1].gain_db - levels[0].gain_db))
    # a door that slams in the sweep makes the markers look that much fainter
    limit_db = BURST_DB if any(one.level_db > _FAINT_DB for one in loud) else GAIN_DB
    return [fault("automatic-gain", db=worst_db)] if worst_db > limit_db else []


def _with_moments(found: list[Fault], loud: tuple[Moment, ...]) -> list[Fault]:
    """With what was heard besides, unless what is already said shows in the same way."""
    if not loud or _fatal(found) or any(one.code == "clipped" for one in found):
        return found
    gaps = [one for one in found if one.code == "dropouts"]
    if gaps and any(one.level_db > _FAINT_DB for one in loud):
        return [one for one in found if one not in gaps] + [replace(one, fatal=True) for one in gaps]
    return found if gaps else [*found, _heard(loud)]


def _heard(loud: tuple[Moment, ...]) -> Fault:
    """The fault of a cough or a door."""
    worst = max(loud, key=lambda one: one.excess_db)
    key = "transient" if max(one.level_db for one in loud) > _FAINT_DB else "transient-faint"
    return fault(key, at=worst.heard_s, bands=", ".join(f"{one.nominal_hz} Hz" for one in loud))


def _fatal(found: list[Fault]) -> bool:
    return any(one.fatal for one in found)
