"""Rooms and recordings of a sweep by simulation: seeded, numpy only, nothing from the demo.

A response is Gaussian noise decaying in each octave band by its own decay time, with the direct sound before it, heard
through a loudspeaker. A recorder samples the played sweep at its own instants, so clock drift and any rate are exact.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from tracker.domain.sweep.signal import Settings, marker_at, sweep_at

BANDS_HZ = tuple(1000.0 * 10.0 ** (3 * k / 10) for k in range(-4, 4))
"""Exact octave midbands 63 Hz to 8 kHz (IEC 61260-1)."""
RATES_HZ = (44_100, 48_000, 96_000)
ONSET_S = 0.002
"""Room for what a loudspeaker filtered line by line rings ahead, s."""


@dataclass(frozen=True)
class Room:
    """One loudspeaker and one microphone in a room, at one rate."""

    rate_hz: int
    decay_s: tuple[float, ...]
    """Decay time the noise was drawn with, each of BANDS_HZ."""
    response: np.ndarray = field(repr=False)
    """Free of noise, loudspeaker included; its direct sound is ONSET_S after its first sample."""


@dataclass(frozen=True)
class Heard:
    """What a recorder kept, and what it should be read as."""

    samples: np.ndarray = field(repr=False)
    rate_hz: int
    room: Room = field(repr=False)
    delay_s: float
    drift_ppm: float
    snr_db: float
    settings: Settings = field(repr=False)


def fast_length(least: int) -> int:
    """The next length of only 2, 3 and 5."""
    best = 1 << (least - 1).bit_length()
    five = 1
    while five < best:
        three = five
        while three < best:
            two = three << max(0, (-(-least // three) - 1).bit_length())
            best = min(best, two) if two >= least else best
            three *= 3
        five *= 5
    return best


def convolve(signal: np.ndarray, response: np.ndarray, length: int) -> np.ndarray:
    """The first `length` samples of the convolution."""
    size = fast_length(len(signal) + len(response) - 1)
    return np.fft.irfft(np.fft.rfft(signal, size) * np.fft.rfft(response, size), size)[:length]


def loudspeaker(hz: np.ndarray, high_pass_hz: float = 60.0, crossover_hz: float = 2500.0) -> np.ndarray:
    """A closed box (second-order Butterworth high-pass) and the all-pass that a fourth-order Linkwitz-Riley sums to."""
    s = 1j * hz / high_pass_hz
    p = 1j * hz / crossover_hz
    return s * s / (s * s + np.sqrt(2) * s + 1) * (p * p - np.sqrt(2) * p + 1) / (p * p + np.sqrt(2) * p + 1)


def reverberation(rng: np.random.Generator, rate_hz: int, decay_s: tuple[float, ...]) -> np.ndarray:
    """Noise decaying in each octave band by its own time, each band of the same starting level."""
    length = int(1.6 * max(decay_s) * rate_hz)
    size = fast_length(length)
    spectrum = np.fft.rfft(rng.standard_normal(size))
    octave = np.log2(np.maximum(np.fft.rfftfreq(size, 1 / rate_hz), 1.0) / BANDS_HZ[0])
    position = np.clip(octave, 0, len(BANDS_HZ) - 1)
    t = np.arange(length) / rate_hz
    out = np.zeros(length)
    for band, decay in enumerate(decay_s):
        # Neighbours cross over by their squares within a third of an octave.
        near = np.clip(3 * (0.5 + 1 / 6 - np.abs(position - band)), 0, 1)
        out += np.fft.irfft(spectrum * np.sin(near * np.pi / 2), size)[:length] * 10 ** (-3 * t / decay)
    return out


def make_room(rng: np.random.Generator, rate_hz: int = 48_000, shortest_s: float = 0.12, longest_s: float = 1.6,
              drr_db: float | None = None, decay_s: tuple[float, ...] | None = None) -> Room:
    """A random room: decay times drawn about one middle, direct sound -10 to 0 dB against the reverberation."""
    if decay_s is None:
        middle = np.exp(rng.uniform(np.log(shortest_s), np.log(longest_s)))
        slope = rng.uniform(-0.12, 0.02) * (np.arange(len(BANDS_HZ)) - 3)
        drawn = middle * 2 ** (slope + 0.15 * rng.standard_normal(len(BANDS_HZ)))
        decay_s = tuple(float(one) for one in np.clip(drawn, shortest_s, longest_s))
    drr_db = rng.uniform(-10, 0) if drr_db is None else drr_db
    heard = reverberation(rng, rate_hz, decay_s)
    # The reverberation starts after the first reflection's way round.
    gap = int(rng.uniform(0.001, 0.004) * rate_hz)
    onset = round(ONSET_S * rate_hz)
    response = np.concatenate([np.zeros(onset + gap), heard, np.zeros(rate_hz // 10)])
    response[onset] = np.sqrt(np.sum(heard**2) * 10 ** (drr_db / 10))
    size = fast_length(len(response) + rate_hz // 10)
    spectrum = np.fft.rfft(response, size) * loudspeaker(np.fft.rfftfreq(size, 1 / rate_hz))
    response = np.fft.irfft(spectrum, size)[:len(response)]
    fade = rate_hz // 20
    response[-fade:] *= np.cos(np.linspace(0, np.pi / 2, fade)) ** 2
    return Room(rate_hz, decay_s, response / np.sqrt(np.sum(response**2)))


def coloured(rng: np.random.Generator, length: int, rate_hz: int, slope_db: float) -> np.ndarray:
    """Stationary noise of unit rms falling by `slope_db` an octave from 20 Hz up."""
    size = fast_length(length)
    octave = np.log2(np.maximum(np.fft.rfftfreq(size, 1 / rate_hz), 20.0) / 20.0)
    shaped = np.fft.rfft(rng.standard_normal(size)) * 10 ** (-slope_db * octave / 20)
    noise = np.fft.irfft(shaped, size)[:length]
    return noise / rms(noise)


def rms(samples: np.ndarray) -> float:
    return float(np.sqrt(np.mean(samples**2)))


def quantised(samples: np.ndarray, bits: int) -> np.ndarray:
    """Rounded to whole steps and held within full scale, as a converter does."""
    steps = 2.0 ** (bits - 1)
    return np.clip(np.round(samples * steps), -steps, steps - 1) / steps


def played(settings: Settings, t_s: np.ndarray, rate_hz: int, second: float = 0.0, cubic: float = 0.0) -> np.ndarray:
    """What the loudspeaker is driven to: the signal at the instants, with harmonics that no rate folds back.

    `second` is the share of the second harmonic; `cubic` that of the cube, which bends the fundamental too.
    """
    sweep_t = t_s - settings.sweep_start_s
    # a recorder's own filter keeps out what its rate cannot hold
    sweep = sweep_at(settings, sweep_t, up_to_hz=0.48 * rate_hz)
    bent = sweep - cubic * _faded(sweep**3, 0.75 * sweep, settings.reaches_s(0.15 * rate_hz) - sweep_t)
    bent += 2 * second * _faded(sweep**2, np.full_like(sweep, 0.5), settings.reaches_s(0.22 * rate_hz) - sweep_t)
    for start in (settings.first_marker_s, settings.second_marker_s):
        marker = marker_at(settings, t_s - start)
        left = settings.marker_s * (0.15 * rate_hz - 1000) / 7000 - (t_s - start)
        bent += marker - cubic * _faded(marker**3, 0.75 * marker, left)
    return bent


def _faded(before: np.ndarray, after: np.ndarray, left_s: np.ndarray) -> np.ndarray:
    """The first until the time left is up, the second from then on, with 20 ms from one to the other."""
    share = np.clip(left_s / 0.02, 0, 1)
    return share * before + (1 - share) * after


def at_the_microphone(room: Room, settings: Settings, delay_s: float = 0.5, drift_ppm: float = 0.0,
                      spare_s: float = 0.3, second: float = 0.0, cubic: float = 0.0) -> np.ndarray:
    """The signal in the room, free of noise, with a peak of 1; `delay_s` from the recorder's start to the file's."""
    length = int((delay_s + settings.total_s + spare_s) * room.rate_hz)
    t = np.arange(length) * (1 + drift_ppm * 1e-6) / room.rate_hz - delay_s
    heard = convolve(played(settings, t, room.rate_hz, second, cubic), room.response, length)
    return heard / np.max(np.abs(heard))


def sweep_span(settings: Settings, delay_s: float, rate_hz: int) -> slice:
    """The samples in which the sweep itself is heard."""
    return slice(int((delay_s + settings.sweep_start_s) * rate_hz), int((delay_s + settings.sweep_end_s) * rate_hz))


def record(rng: np.random.Generator, room: Room, settings: Settings | None = None, *, delay_s: float | None = None,
           drift_ppm: float | None = None, snr_db: float = 45.0, bits: int | None = None, hum_db: float | None = -60.0,
           second: float = 0.03, cubic: float = 0.1, peak_db: float | None = None) -> Heard:
    """A recording as a careful person makes it; what is left out is drawn.

    `snr_db` is the sweep's level as recorded against the noise's, `hum_db` that of mains hum against the sweep's,
    `peak_db` the largest sample under full scale.
    """
    settings = settings or Settings()
    delay_s = rng.uniform(0.05, 3.0) if delay_s is None else delay_s
    drift_ppm = rng.uniform(-150, 150) if drift_ppm is None else drift_ppm
    bits = int(rng.choice((16, 24))) if bits is None else bits
    peak_db = rng.uniform(-20, -2) if peak_db is None else peak_db
    heard = at_the_microphone(room, settings, delay_s, drift_ppm, rng.uniform(0.0, 1.0), second, cubic)
    loud = rms(heard[sweep_span(settings, delay_s, room.rate_hz)])
    noise = coloured(rng, len(heard), room.rate_hz, rng.uniform(0, 4)) * loud * 10 ** (-snr_db / 20)
    if hum_db is not None:
        t = np.arange(len(heard)) / room.rate_hz
        for harmonic, share in ((1, 1.0), (2, 0.5), (3, 0.3)):
            phase = rng.uniform(0, 2 * np.pi)
            noise += loud * 10 ** (hum_db / 20) * share * np.sin(2 * np.pi * 50 * harmonic * t + phase)
    kept = heard + noise
    kept *= 10 ** (peak_db / 20) / np.max(np.abs(kept))
    return Heard(quantised(kept, bits), room.rate_hz, room, delay_s, drift_ppm, snr_db, settings)


@lru_cache(maxsize=4)
def good(seed: int, snr_db: tuple[float, float] = (20.0, 60.0), rate_hz: int | None = None,
         settings: Settings | None = None) -> Heard:
    """One good recording of one room, all of it drawn from the seed; of the usual sweep unless said."""
    rng = np.random.default_rng(seed)
    rate_hz = int(rng.choice(RATES_HZ)) if rate_hz is None else rate_hz
    room = make_room(rng, rate_hz)
    return record(rng, room, settings, snr_db=rng.uniform(*snr_db), hum_db=rng.uniform(-70, -45),
                  second=rng.uniform(0, 0.03), cubic=rng.uniform(0, 0.2))
