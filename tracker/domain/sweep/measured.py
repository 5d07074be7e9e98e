"""What a recording says: decay in each octave band, response, modes; of one position, or of several together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import DRIFT_LIMIT_PPM, Alignment, align
from tracker.domain.sweep.decay import curve_of, mean_curve, thinned
from tracker.domain.sweep.deconvolve import BEFORE_S, CrossSpectrum, ImpulseResponse, cross_spectrum, divided, located
from tracker.domain.sweep.levels import MASKS, Fit, Flatness, Levels, fit, flatness, normalised, third_levels
from tracker.domain.sweep.octaves import envelopes
from tracker.domain.sweep.progress import Told, part_of, unheard
from tracker.domain.sweep.room_modes import RoomMode, room_modes
from tracker.domain.sweep.signal import Settings
from tracker.domain.sweep.verdicts import BandDecay, band_decay

_SHORTEST_END_S = 0.1
_NO_DECAY_S = 0.5


@dataclass(frozen=True, slots=True)
class Spread:
    """Scatter over the positions: standard deviation of a decay time in s, one for each band, None under two values."""

    positions: int
    edt_s: tuple[float | None, ...]
    t20_s: tuple[float | None, ...]
    t30_s: tuple[float | None, ...]
    levels_db: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Analysis:
    """What was measured. bands: one for each octave 63 Hz to 8 kHz that the recorder's rate holds, lowest first.

    used: how many positions stand behind each band. alignment: where the signal lay in the recording, None for a
    response or several positions. spread: None for one position.
    """

    bands: tuple[BandDecay, ...]
    levels: Levels
    flatness: Flatness
    fits: tuple[Fit, ...]
    modes: tuple[RoomMode, ...]
    alignment: Alignment | None = None
    positions: int = 1
    used: tuple[int, ...] = ()
    spread: Spread | None = None

    @property
    def bands_hz(self) -> tuple[int, ...]:
        """Nominal octave midbands, Hz."""
        return tuple(one.nominal_hz for one in self.bands)

    def band(self, nominal_hz: int) -> BandDecay | None:
        """One octave band by its nominal midband in Hz; None where it was not measured."""
        return next((one for one in self.bands if one.nominal_hz == nominal_hz), None)


def analyse(samples: np.ndarray, rate_hz: float, settings: Settings, alignment: Alignment | None = None,
            crossed: CrossSpectrum | None = None, told: Told = unheard) -> Analysis:
    """Everything a recording of the sweep says (1-D samples, any scale; rate in Hz).

    alignment, crossed: where the signal lies in it and what it has of the sweep, if found before. Refused where it is
    not this sweep, or not a whole one. Damage is not looked for here: see faults.

    Source: ISO 3382-1:2009 and ISO 3382-2:2008; each part names its own.
    """
    heard = _one_channel(samples, rate_hz)
    alignment = alignment or align(heard, rate_hz, settings)
    if abs(alignment.drift_ppm) > DRIFT_LIMIT_PPM:
        raise Refused(f"sweep: its chirps lie {alignment.drift_ppm / 1e4:+.1f} % off their distance; save the "
                      "recording at the rate it was made with, unstretched")
    if crossed is None:
        crossed = cross_spectrum(heard, rate_hz, settings, alignment)
    told("working out the response", 0.0)
    response = divided(crossed, settings)
    return replace(analysed(response, part_of(told, 0.2, 1.0)), alignment=alignment)


def analyse_response(samples: np.ndarray, rate_hz: float) -> Analysis:
    """The same from an impulse response (1-D samples, any scale; rate in Hz), its direct sound anywhere in it.

    Source: ISO 3382-1:2009 and ISO 3382-2:2008; each part names its own.
    """
    heard = _one_channel(samples, rate_hz)
    before = np.zeros(round(BEFORE_S * rate_hz))
    return analysed(located(np.concatenate([before, heard]), rate_hz, 20.0, 0.46 * rate_hz))


def analysed(response: ImpulseResponse, told: Told = unheard) -> Analysis:
    """Everything an impulse response says, once its direct sound is found.

    Source: ISO 3382-1:2009 and ISO 3382-2:2008; each part names its own.
    """
    curves = {one.nominal_hz: curve_of(one) for one in envelopes(response, told=part_of(told, 0.0, 0.4))}
    known = {hz: max(_SHORTEST_END_S, curve.end_s) for hz, curve in curves.items() if curve is not None}
    longest = max(known.values(), default=_NO_DECAY_S)
    told("levels in thirds of an octave", 0.4)
    levels = third_levels(response, {hz: known.get(hz, longest) for hz in curves})
    bands = tuple(_kept(band_decay(hz, curve)) for hz, curve in curves.items())
    told("modes of the room", 0.6)
    return Analysis(bands, levels, flatness(levels), tuple(fit(levels, mask) for mask in MASKS),
                    room_modes(response, known.get(63, longest)), used=(1,) * len(bands))


def mean_of(analyses: Sequence[Analysis]) -> Analysis:
    """One measurement of several positions: decay curves averaged, response averaged by power, the spread shown.

    In each band only positions whose T20 counts take part, where any does. Modes are not averaged: those of every
    position, within 1 Hz as one. Refused without any position.

    Source: ISO 3382-2:2008, 5.4.3 and clause 8 (from memory).
    """
    if not analyses:
        raise Refused("sweep: a measurement needs at least one recording; read one first")
    if len(analyses) == 1:
        return analyses[0]
    shared = [hz for hz in analyses[0].bands_hz if all(one.band(hz) is not None for one in analyses)]
    bands, used = [], []
    for hz in shared:
        here = [one.band(hz) for one in analyses]
        counted = [one for one in here if one.t20.valid] or [one for one in here if one.curve is not None]
        curve = mean_curve([one.curve for one in counted if one.curve is not None])
        bands.append(_kept(band_decay(hz, curve)))
        used.append(len(counted))
    hertz = min((one.levels.hz for one in analyses), key=len)
    stacked = np.array([one.levels.db[: len(hertz)] for one in analyses])
    levels = normalised(hertz, tuple(float(one) for one in 10.0 * np.log10(np.mean(10.0 ** (stacked / 10.0), axis=0))))
    spread = Spread(len(analyses), *(tuple(_scatter(analyses, hz, name) for hz in shared)
                                     for name in ("EDT", "T20", "T30")),
                    tuple(float(one) for one in stacked.std(axis=0, ddof=1)))
    return Analysis(tuple(bands), levels, flatness(levels), tuple(fit(levels, mask) for mask in MASKS),
                    _together([mode for one in analyses for mode in one.modes]), None,
                    sum(one.positions for one in analyses), tuple(used), spread)


def _kept(band: BandDecay) -> BandDecay:
    """The same band, its curve in as many points as are stored."""
    return band if band.curve is None else replace(band, curve=thinned(band.curve))


def _scatter(analyses: Sequence[Analysis], nominal_hz: int, name: str) -> float | None:
    figures = [one.band(nominal_hz).figure(name) for one in analyses]
    values = [one.value_s for one in figures if one.valid]
    return float(np.std(values, ddof=1)) if len(values) > 1 else None


def _together(modes: list[RoomMode]) -> tuple[RoomMode, ...]:
    """Modes within 1 Hz of each other as one, with the loudest one's level and their mean decay time."""
    groups: list[list[RoomMode]] = []
    for mode in sorted(modes, key=lambda one: one.frequency_hz):
        if groups and mode.frequency_hz - groups[-1][0].frequency_hz <= 1.0:
            groups[-1].append(mode)
        else:
            groups.append([mode])
    return tuple(RoomMode(sum(one.frequency_hz for one in group) / len(group),
                          sum(one.decay_s for one in group) / len(group),
                          max(one.level_db for one in group)) for group in groups)


def _one_channel(samples: np.ndarray, rate_hz: float) -> np.ndarray:
    heard = np.asarray(samples, dtype=float)
    if heard.ndim != 1:
        raise Refused(f"sweep: the recording has {heard.ndim} dimensions; choose one channel")
    if not math.isfinite(rate_hz) or rate_hz < 8000:
        raise Refused(f"sweep: a rate of {rate_hz:g} Hz holds no sweep; record at 44100 or 48000 Hz")
    if heard.size < rate_hz / 10:
        raise Refused("sweep: the recording is empty or shorter than a tenth of a second; record the whole sweep")
    if not np.isfinite(heard).all():
        raise Refused("sweep: the recording holds values that are no numbers; save it again as WAV or FLAC")
    return heard
