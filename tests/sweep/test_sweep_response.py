"""From a recording to the impulse response and its octave bands."""

import numpy as np
import pytest

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import align
from tracker.domain.sweep.deconvolve import deconvolved, located
from tracker.domain.sweep.octaves import OCTAVES_HZ, bandwidth_hz, envelopes, midband_hz, octave_filter
from tracker.domain.sweep.signal import Settings, signal_at
from tracker.domain.sweep.spectra import quick_length

SHORT = Settings(seconds=3.0, tail_s=1.0, end_s=0.5)


def through_nothing(settings, rate_hz, delay_s=0.4, drift_ppm=0.0):
    t = np.arange(round((settings.total_s + delay_s + 0.1) * rate_hz)) * (1 + drift_ppm * 1e-6) / rate_hz - delay_s
    return signal_at(settings, t)


@pytest.mark.parametrize(("rate_hz", "drift_ppm"), [(44100, 0.0), (48000, 137.0), (96000, -300.0)])
def test_delay_and_clock_of_a_clean_recording(rate_hz, drift_ppm):
    found = align(through_nothing(SHORT, rate_hz, 0.4, drift_ppm), rate_hz, SHORT)
    assert found.drift_ppm == pytest.approx(drift_ppm, abs=0.01)
    assert found.delay_s(SHORT) == pytest.approx(0.4 / (1 + drift_ppm * 1e-6), abs=5e-5)
    assert found.level_change_db == pytest.approx(0.0, abs=0.01)
    for instant in (0.0, 1.7, 5.0):
        assert found.signal_time_s(SHORT, found.recorded_time_s(SHORT, instant)) == pytest.approx(instant, abs=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_the_clock_within_1_ppm_in_a_noisy_room(corpus, seed):
    rng = np.random.default_rng(seed)
    heard = corpus.record(rng, corpus.make_room(rng), SHORT, snr_db=10.0)
    found = align(heard.samples, heard.rate_hz, SHORT)
    assert found.drift_ppm == pytest.approx(heard.drift_ppm, abs=1.0)
    assert found.delay_s(SHORT) == pytest.approx(heard.delay_s, abs=0.005)


def test_the_level_of_the_second_marker_over_the_first():
    samples = through_nothing(SHORT, 48000)
    samples[round((0.4 + SHORT.second_marker_s - 0.05) * 48000):] *= 10 ** (-4.3 / 20)
    assert align(samples, 48000, SHORT).level_change_db == pytest.approx(-4.3, abs=0.01)


def test_what_holds_no_markers_is_refused():
    rng = np.random.default_rng(1)
    with pytest.raises(Refused, match="chirps were not found"):
        align(0.1 * rng.standard_normal(8 * 48000), 48000, SHORT)
    with pytest.raises(Refused, match="chirps were not found"):
        align(through_nothing(Settings(seconds=4.0, tail_s=1.0, end_s=0.5), 48000), 48000, SHORT)
    with pytest.raises(Refused, match="shorter than the sweep"):
        align(np.zeros(48000), 48000, SHORT)
    with pytest.raises(Refused):
        align(np.zeros(8 * 48000), 48000, SHORT)


@pytest.mark.parametrize(("rate_hz", "drift_ppm"), [(44100, 0.0), (48000, 200.0), (96000, 0.0)])
def test_nothing_between_player_and_recorder_gives_a_flat_response(rate_hz, drift_ppm):
    """The recorder's own instants stand for a resampler: flat from 45 Hz to 11 kHz, and of one instant."""
    samples = through_nothing(SHORT, rate_hz, 0.4, drift_ppm)
    response = deconvolved(samples, rate_hz, SHORT, align(samples, rate_hz, SHORT))
    spectrum = np.abs(np.fft.rfft(response.samples))
    hertz = np.fft.rfftfreq(response.samples.size, 1 / rate_hz)
    level = 20 * np.log10(spectrum[(hertz > 45) & (hertz < 11000)] / SHORT.peak)
    assert np.ptp(level) < 0.1
    assert abs(int(np.argmax(np.abs(response.samples))) - response.onset) <= 1e-3 * rate_hz


def test_a_known_response_comes_back(corpus):
    rng = np.random.default_rng(5)
    room = corpus.make_room(rng, decay_s=(0.3,) * 8)
    heard = corpus.record(rng, room, SHORT, snr_db=80.0, hum_db=None, second=0.0, cubic=0.0, bits=24)
    response = deconvolved(heard.samples, 48000, SHORT, align(heard.samples, 48000, SHORT))
    size = quick_length(2 * 48000)
    hertz = np.fft.rfftfreq(size, 1 / 48000)
    inside = (hertz > 45) & (hertz < 11000)
    ratio = (np.abs(np.fft.rfft(response.samples, size)) / np.abs(np.fft.rfft(room.response, size)))[inside]
    level = 20 * np.log10(ratio / np.median(ratio))
    strong = np.abs(np.fft.rfft(room.response, size))[inside] > 0.3
    assert np.percentile(np.abs(level[strong]), 99) < 0.1


def test_a_recording_that_ends_in_the_sweep_is_refused():
    samples = through_nothing(SHORT, 48000)
    found = align(samples, 48000, SHORT)
    with pytest.raises(Refused, match="ends before the sweep"):
        deconvolved(samples[: 3 * 48000], 48000, SHORT, found)


def test_the_direct_sound_is_found_ahead_of_a_louder_reflection():
    response = np.zeros(24000)
    response[6000], response[6400] = 0.5, 1.0
    assert located(response, 48000, 20.0, 20000.0).onset == pytest.approx(6000, abs=12)
    with pytest.raises(Refused, match="silent"):
        located(np.zeros(24000), 48000, 20.0, 20000.0)


@pytest.mark.parametrize("nominal", OCTAVES_HZ)
def test_octave_bands_lie_where_the_standard_puts_them(nominal):
    from pyfar.constants import fractional_octave_frequencies_exact

    centres, low, high = (edge.tolist() for edge in fractional_octave_frequencies_exact(1, (50, 10000)))
    place = OCTAVES_HZ.index(nominal)
    assert midband_hz(nominal) == pytest.approx(centres[place], rel=1e-12)
    assert bandwidth_hz(nominal) == pytest.approx(high[place] - low[place], rel=1e-12)


@pytest.mark.parametrize("nominal", [63, 1000, 8000])
def test_the_octave_filter_is_scipys_analogue_butterworth(nominal):
    from scipy.signal import butter, freqs

    middle, root = midband_hz(nominal), 10**0.15
    top, bottom = butter(3, [2 * np.pi * middle / root, 2 * np.pi * middle * root], btype="band", analog=True)
    hertz = np.geomspace(middle / 8, middle * 8, 301)
    assert octave_filter(nominal, hertz) == pytest.approx(freqs(top, bottom, 2 * np.pi * hertz)[1], abs=1e-9)


# distance in octaves, least and most attenuation in dB: class 1 of IEC 61260-1, from memory
CLASS_1 = [(0.0, -0.4, 0.4), (1 / 8, -0.4, 0.5), (1 / 4, -0.4, 0.7), (3 / 8, -0.4, 1.4), (0.499, -0.4, 5.3),
           (0.501, 1.6, 99.0), (1.0, 16.6, 999.0), (2.0, 40.5, 999.0), (3.0, 60.0, 999.0), (4.0, 70.0, 999.0)]


@pytest.mark.parametrize("nominal", OCTAVES_HZ)
@pytest.mark.parametrize(("octaves", "least", "most"), CLASS_1)
def test_the_octave_filter_is_class_1(nominal, octaves, least, most):
    for side in (-1, 1):
        hertz = midband_hz(nominal) * 10 ** (0.3 * octaves * side)
        attenuation = -20 * np.log10(np.abs(octave_filter(nominal, np.array([hertz])))[0])
        assert least <= attenuation <= most


def test_an_envelope_holds_the_energy_of_its_band():
    """Parseval: twice the energy of what the filter passes of one pulse, as an analytic signal has."""
    response = np.zeros(48000)
    response[24000] = 1.0
    for one in envelopes(located(response, 48000, 20.0, 20000.0)):
        hertz = np.arange(0, min(24000, 8 * midband_hz(one.nominal_hz)), 0.5)
        passed = 2 * np.sum(np.abs(octave_filter(one.nominal_hz, hertz)) ** 2) * 0.5 / 48000**2
        assert np.sum(one.energy) * one.step_s == pytest.approx(2 * passed, rel=0.01)


def test_the_octave_filter_runs_backwards():
    response = np.zeros(48000)
    response[24000] = 1.0
    for one in envelopes(located(response, 48000, 20.0, 20000.0)):
        assert np.sum(one.energy[: one.onset]) > 20 * np.sum(one.energy[one.onset + round(0.02 / one.step_s):])


@pytest.mark.parametrize("count", [1, 7, 1000, 46081, 624001, 1103000])
def test_quick_lengths_have_only_2_3_and_5(count):
    length = quick_length(count)
    rest = length
    for prime in (2, 3, 5):
        while rest % prime == 0:
            rest //= prime
    assert rest == 1 and count <= length <= max(1.1 * count, count + 1)
