"""The analysis against libraries that are not ours, and a measured response in the public domain."""

import warnings
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tracker.domain.sweep.decay import curve_of, line_through
from tracker.domain.sweep.deconvolve import located
from tracker.domain.sweep.measured import analyse, analyse_response
from tracker.domain.sweep.octaves import RINGS_CYCLES, Envelope, envelopes, midband_hz
from tracker.domain.sweep.signal import Settings
from tracker.domain.sweep.truncation import truncation

LIVING_ROOM = Path(__file__).parents[1] / "data" / "sweep_living_room_1.wav"
"""Domestic living room, Open AIR Library, University of York: public domain (WAV_LICENSE.md of acoustic-toolbox 0.2.2,
tests/data, from whose source package it is taken)."""


@pytest.fixture(scope="module")
def shoeboxes():
    """Image-source rooms of a library: size in m and absorption of every surface."""
    import pyroomacoustics

    found = []
    for size, alpha in (((4.2, 3.1, 2.5), 0.3), ((5.0, 4.0, 2.6), 0.4), ((6.1, 4.6, 2.9), 0.5)):
        # enough reflections for 65 dB: a response that breaks off earlier is no reference
        order = int(np.ceil(65 / (-10 * np.log10(1 - alpha))))
        room = pyroomacoustics.ShoeBox(size, fs=48000, materials=pyroomacoustics.Material(alpha), max_order=order)
        room.add_source([1.2, 0.9, 1.1])
        room.add_microphone([size[0] - 1.1, size[1] - 1.3, 1.4])
        room.compute_rir()
        found.append(np.asarray(room.rir[0][0]))
    return found


def in_octave(response, hz):
    """The response in one octave by scipy's digital Butterworth, run backwards."""
    from scipy.signal import butter, sosfilt

    edges = midband_hz(hz) * 10 ** np.array([-0.15, 0.15])
    sos = butter(3, edges, btype="band", fs=48000, output="sos")
    return sosfilt(sos, np.concatenate([np.zeros(4800), response])[::-1])[::-1]


@pytest.mark.parametrize(("span", "decay_db"), [((-5.0, -25.0), 20), ((-5.0, -35.0), 30)])
def test_a_decay_curve_without_noise_equals_measure_rt60(shoeboxes, span, decay_db):
    """pyroomacoustics' own measure_rt60 on its own rooms, the whole response as one band."""
    from pyroomacoustics.experimental.rt60 import measure_rt60

    for response in shoeboxes:
        theirs = measure_rt60(response, fs=48000, decay_db=decay_db)
        onset = int(np.argmax(np.abs(response) > 0.1 * np.abs(response).max()))
        ours = line_through(curve_of(Envelope(1000, response[: onset + 40000] ** 2 + 1e-16, 1 / 48000, onset)), *span)
        assert ours.time_s == pytest.approx(theirs, rel=5e-3)


def test_octave_bands_of_library_rooms_equal_measure_rt60(shoeboxes):
    """The same in octave bands."""
    from pyroomacoustics.experimental.rt60 import measure_rt60

    for response in shoeboxes:
        found = analyse_response(response, 48000)
        for hz in (250, 500, 1000, 2000, 4000):
            theirs = measure_rt60(in_octave(response, hz), fs=48000, decay_db=20)
            assert found.band(hz).t20.value_s == pytest.approx(theirs, rel=0.02)


def test_library_rooms_heard_through_a_sweep(shoeboxes, corpus):
    """Sweep, noise 40 dB under it and a clock 50 ppm off, against measure_rt60 of the clean response."""
    from pyroomacoustics.experimental.rt60 import measure_rt60

    settings = Settings(seconds=4.0, tail_s=1.5, end_s=0.5)
    for seed, response in enumerate(shoeboxes):
        first = int(np.argmax(np.abs(response) > 0.1 * np.abs(response).max()))
        room = corpus.Room(48000, (0.5,) * 8, response[max(0, first - 50):])
        heard = corpus.record(np.random.default_rng(seed), room, settings, drift_ppm=50.0, snr_db=40.0)
        found = analyse(heard.samples, 48000, settings)
        for hz in (500, 1000, 2000, 4000):
            theirs = measure_rt60(in_octave(response, hz), fs=48000, decay_db=20)
            assert found.band(hz).t20.value_s == pytest.approx(theirs, rel=0.02)


@pytest.fixture(scope="module")
def living_room():
    samples, rate_hz = soundfile.read(LIVING_ROOM)
    return samples, rate_hz


def test_a_measured_living_room_against_pyrato(living_room):
    """pyrato's Lundeby, subtraction and regression on the same squared envelopes."""
    import pyfar
    import pyrato

    samples, rate_hz = living_room
    response = located(np.concatenate([np.zeros(round(0.3 * rate_hz)), samples]), rate_hz, 20.0, 0.46 * rate_hz)
    for one in envelopes(response):
        cut, curve = truncation(one), curve_of(one)
        ahead = one.onset - round(RINGS_CYCLES / one.nominal_hz / one.step_s)
        signal = pyfar.Signal(one.energy[ahead:], 1 / one.step_s)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            noise = pyrato.edc.intersection_time_lundeby(signal, [one.nominal_hz], is_energy=True)[2]
            decay = pyrato.edc.energy_decay_curve_lundeby(signal, [one.nominal_hz], is_energy=True, time_shift=False)
            theirs = [float(np.squeeze(pyrato.parameters.reverberation_time_linear_regression(decay, T=name)))
                      for name in ("T20", "T30")]
        assert [line_through(curve, -5, low).time_s for low in (-25, -35)] == pytest.approx(theirs, rel=0.025)
        assert 10 * np.log10(cut.noise / float(np.squeeze(noise))) == pytest.approx(0.0, abs=5.0)


def test_a_measured_living_room_against_acoustic_toolbox(living_room):
    """T30 that acoustic-toolbox holds its own analysis to (tests/test_room.py): plain integration, forward filters."""
    found = analyse_response(*living_room)
    published = {250: 0.303, 500: 0.259, 1000: 0.227, 2000: 0.211, 4000: 0.204, 8000: 0.181}
    for hz, time_s in published.items():
        assert found.band(hz).t30.value_s == pytest.approx(time_s, rel=0.03)


def test_a_dominant_direct_sound_is_told(living_room):
    """Its T20 and T30 differ by 19 to 160 %: the response is known for it."""
    found = analyse_response(*living_room)
    for hz in (500, 1000, 2000, 4000):
        assert any("bent" in note for note in found.band(hz).notes)
    assert not found.band(250).edt.valid
