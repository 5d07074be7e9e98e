"""A whole recording read, several positions as one measurement, and a measurement as plain values."""

import json

import numpy as np
import pytest

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import Alignment
from tracker.domain.sweep.gain import gain_between
from tracker.domain.sweep.measured import analyse, analyse_response, mean_of
from tracker.domain.sweep.octaves import OCTAVES_HZ
from tracker.domain.sweep.signal import Settings
from tracker.domain.sweep.stored import as_plain, from_plain

SHORT = Settings(seconds=4.0, tail_s=1.5, end_s=0.5)


@pytest.fixture(scope="module")
def positions(corpus):
    """Two states of one room, 0.6 s and 0.4 s in every band, at three positions each."""
    found = {}
    for decay_s in (0.6, 0.4):
        found[decay_s] = []
        for seed in range(3):
            rng = np.random.default_rng(round(1000 * decay_s) + seed)
            room = corpus.make_room(rng, decay_s=(decay_s,) * 8, drr_db=-6.0)
            heard = corpus.record(rng, room, SHORT, snr_db=45.0)
            found[decay_s].append(analyse(heard.samples, heard.rate_hz, SHORT))
    return found


def test_a_recording_gives_every_octave(positions):
    one = positions[0.6][0]
    assert one.bands_hz == OCTAVES_HZ
    assert one.alignment is not None and one.positions == 1
    assert all(band.t20.valid for band in one.bands[1:])
    assert len(one.levels.hz) == 26 and len(one.fits) == 2 and one.modes


def test_several_positions_are_one_measurement(positions):
    mean = mean_of(positions[0.6])
    assert mean.positions == 3 and mean.used[1:] == (3,) * 7 and mean.alignment is None
    for band in mean.bands[2:]:
        single = [one.band(band.nominal_hz).t20.value_s for one in positions[0.6]]
        assert 0.97 * min(single) < band.t20.value_s < 1.03 * max(single)
        assert band.t30.value_s == pytest.approx(0.6, rel=0.15)
    assert mean.spread.positions == 3
    at = mean.bands_hz.index(1000)
    assert mean.spread.t20_s[at] == pytest.approx(
        np.std([one.band(1000).t20.value_s for one in positions[0.6]], ddof=1))
    assert mean_of(positions[0.6][:1]) is positions[0.6][0]
    with pytest.raises(Refused, match="at least one recording"):
        mean_of([])


def test_a_position_in_noise_stays_out_of_the_bands_it_cannot_tell(corpus, positions):
    rng = np.random.default_rng(77)
    room = corpus.make_room(rng, decay_s=(0.6,) * 8, drr_db=-6.0)
    deaf = corpus.record(rng, room, SHORT, snr_db=-2.0)
    mean = mean_of([*positions[0.6], analyse(deaf.samples, deaf.rate_hz, SHORT)])
    assert min(mean.used) == 3 and mean.positions == 4
    assert mean.band(125).t20.valid


def test_the_gain_of_a_change_that_is_known(positions):
    """From 0.6 to 0.4 s in 30 m3: 55.3 V/c (1/0.4 - 1/0.6) = 4.03 m2, within three standard deviations a band."""
    gains = gain_between(mean_of(positions[0.6]), mean_of(positions[0.4]), 30.0)
    for one in gains[1:]:
        assert abs(one.gain_m2 - 55.3 * 30 / 343 * (1 / 0.4 - 1 / 0.6)) < 3 * one.sd_m2
    assert all(one.verdict == "more" for one in gains[2:])


def test_two_states_alike_cannot_be_told_apart(positions):
    one, other = positions[0.6][0], positions[0.6][1]
    verdicts = [gain.verdict for gain in gain_between(one, other, 30.0)[1:]]
    assert verdicts.count("cannot be told apart") >= 6


def test_a_measurement_survives_as_plain_values(positions):
    for one in (positions[0.6][0], mean_of(positions[0.6])):
        text = json.dumps(as_plain(one), allow_nan=False)
        back = from_plain(json.loads(text))
        assert json.dumps(as_plain(back)) == text
        assert back.band(500).t20 == one.band(500).t20
        assert back.alignment == one.alignment and back.spread == one.spread and back.levels == one.levels
    again = mean_of([from_plain(json.loads(json.dumps(as_plain(one)))) for one in positions[0.6]])
    assert again.band(1000).t30 == mean_of(positions[0.6]).band(1000).t30


@pytest.mark.parametrize("plain", [{}, {"version": 9}, {"version": 1}, {"version": 1, "bands": 3}])
def test_what_is_no_measurement_is_refused(plain):
    with pytest.raises(Refused, match="read the recording again"):
        from_plain(plain)


@pytest.mark.parametrize(("samples", "rate_hz", "said"), [
    (np.zeros((10, 2)), 48000, "choose one channel"), (np.zeros(10), 48000, "empty"), (np.zeros(99999), 0, "rate"),
    (np.full(99999, np.nan), 48000, "no numbers"), (np.zeros(99999), float("nan"), "rate")])
def test_what_is_no_recording_is_refused(samples, rate_hz, said):
    with pytest.raises(Refused, match=said):
        analyse(samples, rate_hz, SHORT)


def test_a_recording_at_another_rate_than_its_header_is_refused(corpus):
    settings = Settings(seconds=2.0, tail_s=0.5, end_s=0.3, gap_s=0.3, lead_s=0.1)
    rng = np.random.default_rng(0)
    heard = corpus.record(rng, corpus.make_room(rng, decay_s=(0.5,) * 8), settings, snr_db=30, delay_s=0.2)
    with pytest.raises(Refused):
        analyse(heard.samples, 44100, settings)
    with pytest.raises(Refused, match="off their distance"):
        analyse(heard.samples, 48000, settings, Alignment(0.3, 3.3, -28000.0, 0.0, 20.0))


def test_a_response_of_silence_is_refused():
    with pytest.raises(Refused, match="silent"):
        analyse_response(np.zeros(48000), 48000)


def test_a_slow_recorder_gives_the_bands_it_holds(corpus):
    rng = np.random.default_rng(4)
    room = corpus.make_room(rng, 16000, decay_s=(0.4,) * 8)
    heard = corpus.record(rng, room, SHORT, snr_db=45.0, second=0.0, cubic=0.0)
    found = analyse(heard.samples, 16000, SHORT)
    assert found.bands_hz == OCTAVES_HZ[:7]
    assert found.band(1000).t20.valid
