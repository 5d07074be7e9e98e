"""One-third-octave levels, flatness and masks."""

import numpy as np
import pytest

from tracker.domain.sweep.deconvolve import ImpulseResponse
from tracker.domain.sweep.levels import (
    MASKS,
    NOMINAL_THIRDS_HZ,
    THIRDS_HZ,
    Levels,
    fit,
    flatness,
    normalised,
    third_levels,
)
from tracker.domain.sweep.measured import analyse
from tracker.domain.sweep.octaves import OCTAVES_HZ
from tracker.domain.sweep.signal import Settings

EBU, ITU = MASKS


def test_thirds_lie_where_the_standard_puts_them():
    from pyfar.constants import fractional_octave_frequencies_exact

    assert len(THIRDS_HZ) == len(NOMINAL_THIRDS_HZ) == 26
    centres, *_ = fractional_octave_frequencies_exact(3, (50, 16000))
    assert pytest.approx(centres.tolist(), rel=1e-12) == THIRDS_HZ
    assert pytest.approx(centres.tolist(), rel=0.02) == NOMINAL_THIRDS_HZ


def test_one_pulse_is_flat():
    samples = np.zeros(96000)
    samples[14400] = 1.0
    levels = third_levels(ImpulseResponse(samples, 48000, 14400, 20.0, 20000.0), dict.fromkeys(OCTAVES_HZ, 0.3))
    assert levels.hz == NOMINAL_THIRDS_HZ
    assert levels.db == pytest.approx([0.0] * 26, abs=1e-6)


def test_a_filter_of_known_gain_shows_its_gain():
    """A pulse through a first-order low-pass: 10 lg of the mean of 1/(1 + (f/fc)^2) over the band, by arctangent."""
    corner = 1000.0
    hertz = np.fft.rfftfreq(96000, 1 / 48000)
    spectrum = np.exp(-2j * np.pi * hertz * 0.3) / (1 + 1j * hertz / corner)
    levels = third_levels(ImpulseResponse(np.fft.irfft(spectrum), 48000, 14400, 20.0, 20000.0),
                          dict.fromkeys(OCTAVES_HZ, 0.3))
    edge = 10**0.05
    exact = np.array(THIRDS_HZ)
    power = corner * (np.arctan(exact * edge / corner) - np.arctan(exact / edge / corner)) / (exact * (edge - 1 / edge))
    assert levels.db == pytest.approx(normalised(NOMINAL_THIRDS_HZ, tuple(10 * np.log10(power))).db, abs=0.03)


@pytest.mark.parametrize("seed", range(6))
def test_the_response_of_a_room_comes_back(corpus, seed):
    """Within 0.6 dB from 50 Hz and 0.3 dB from 100 Hz of the same response free of noise, 20 dB over it and more."""
    rng = np.random.default_rng(900 + seed)
    room = corpus.make_room(rng)
    heard = corpus.record(rng, room, Settings(seconds=5.0, tail_s=2.0), snr_db=rng.uniform(20, 50))
    levels = analyse(heard.samples, 48000, heard.settings).levels
    power = np.abs(np.fft.rfft(room.response, 192000)) ** 2
    hertz = np.fft.rfftfreq(192000, 1 / 48000)
    edge = 10**0.05
    true = normalised(levels.hz, tuple(
        float(10 * np.log10(power[(hertz >= exact / edge) & (hertz < exact * edge)].mean()))
        for exact in THIRDS_HZ[: len(levels.hz)]))
    error = np.abs(np.array(levels.db) - true.db)
    assert error.max() < 0.6
    assert error[3:].max() < 0.3


def test_0_db_is_the_mean_of_200_hz_to_4_khz():
    levels = normalised(NOMINAL_THIRDS_HZ, tuple(float(k) for k in range(26)))
    assert sum(levels.db[6:20]) == pytest.approx(0.0, abs=1e-9)
    assert levels.hz[6] == 200 and levels.hz[19] == 4000


def test_flatness_is_standard_deviation_and_range():
    levels = Levels((100, 125, 160, 200), (1.0, -1.0, 3.0, -3.0))
    assert flatness(levels).sd_db == pytest.approx(np.std(levels.db, ddof=1))
    assert flatness(levels).peak_to_peak_db == 6.0


@pytest.mark.parametrize(("mask", "hz", "lower"), [
    (EBU, 50, -3.0), (EBU, 2000, -3.0), (EBU, 4000, -4.0), (EBU, 16000, -6.0),
    (ITU, 1000, -3.0), (ITU, 4000, -4.5), (ITU, 16000, -7.5)])
def test_masks_of_the_standards(mask, hz, lower):
    """EBU Tech 3276 and ITU-R BS.1116-3 by text that cites them: -6 and -7.5 dB at 16 kHz; +3 dB above."""
    assert mask.lower_at(hz) == pytest.approx(lower)
    assert mask.upper_db == 3.0


def test_what_lies_outside_a_mask():
    db = [0.0] * 26
    db[0], db[10], db[25] = 4.0, -3.5, -6.5
    levels = Levels(NOMINAL_THIRDS_HZ, tuple(db))
    assert fit(levels, EBU).outside_hz == (50, 500, 16000)
    assert fit(levels, EBU).worst_db == pytest.approx(1.0)
    judged = fit(levels, ITU)
    assert judged.outside_hz == (500,) and judged.worst_db == pytest.approx(0.5)
    # below 250 Hz its figures could not be verified
    assert judged.judged == 19
