"""Low-frequency modes, against responses made of known ones."""

import math

import numpy as np
import pytest

from tracker.domain.sound.modes import box_modes
from tracker.domain.sweep.deconvolve import ImpulseResponse
from tracker.domain.sweep.room_modes import room_modes

RATE_HZ, ONSET = 48000, 14400


def ringing(modes, seed=None, over_db=40.0):
    """A response of damped sines: (Hz, decay time in s, level in dB), in noise so far under their sum."""
    t = np.arange(3 * RATE_HZ) / RATE_HZ
    rng = np.random.default_rng(seed)
    sound = sum(10 ** (level / 20) * np.exp(-3 * math.log(10) * t / decay)
                * np.cos(2 * np.pi * hertz * t + rng.uniform(0, 2 * np.pi)) for hertz, decay, level in modes)
    samples = np.concatenate([np.zeros(ONSET), sound])
    # noise of the given level below 200 Hz
    noise = rng.standard_normal(samples.size) * np.sqrt(np.mean(sound[:4800] ** 2) * RATE_HZ / 400)
    return ImpulseResponse(samples + noise * 10 ** (-over_db / 20), RATE_HZ, ONSET, 20.0, 20000.0)


def test_modes_that_lie_apart_are_found():
    """Five modes in each of eight rooms, 40 dB over the noise: none missed, none made up."""
    off_hz, off_s = [], []
    for seed in range(8):
        rng = np.random.default_rng(seed)
        known = [(hertz + rng.uniform(-5, 5), rng.uniform(0.3, 1.2), rng.uniform(-12, 0))
                 for hertz in (34, 57, 82, 118, 165)]
        found = room_modes(ringing(known, seed), 0.8)
        for hertz, decay, _ in known:
            nearest = min(found, key=lambda one, hertz=hertz: abs(one.frequency_hz - hertz))
            off_hz.append(abs(nearest.frequency_hz - hertz))
            off_s.append(abs(nearest.decay_s / decay - 1))
        assert sum(one.level_db > -20 for one in found) == len(known)
    assert np.percentile(off_hz, 95) < 0.1 and max(off_hz) < 0.3
    assert np.percentile(off_s, 95) < 0.05 and max(off_s) < 0.1


def test_the_axial_modes_of_a_box_stand_where_theory_puts_them():
    """Rayleigh's c/2 (n/l) for a box of 4.8 m: the first three along its length."""
    axial = [one.frequency_hz for one in box_modes(4.8, 0.5, 0.5, 343.0, 120.0)]
    assert len(axial) == 3
    found = room_modes(ringing([(hertz, 0.8, 0.0) for hertz in axial], 3), 0.8)
    assert [one.frequency_hz for one in found if one.level_db > -20] == pytest.approx(axial, abs=0.1)


def test_noise_has_few_modes_and_nothing_none():
    silent = ImpulseResponse(np.zeros(3 * RATE_HZ), RATE_HZ, ONSET, 20.0, 20000.0)
    assert room_modes(silent, 0.8) == ()
    short = ImpulseResponse(np.ones(ONSET + 2000), RATE_HZ, ONSET, 20.0, 20000.0)
    assert room_modes(short, 0.8) == ()
