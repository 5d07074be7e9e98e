"""What is wrong is named for what it is: cut off where and by how much, of which rate, clipped by how little."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tracker.domain.sweep.faults import find_faults
from tracker.domain.sweep.faults_bands import rises_in_s
from tracker.domain.sweep.faults_response import whole_response
from tracker.domain.sweep.faults_samples import CHANCE, _likely, flat_tops, quiet_steps
from tracker.domain.sweep.faults_transient import _rise
from tracker.domain.sweep.measured import analyse
from tracker.domain.sweep.signal import Settings

RATE_HZ = 32_000
SWEEP = Settings(seconds=8.0, rate_hz=RATE_HZ, high_hz=14_400.0, tail_s=2.0, end_s=0.5)


@pytest.fixture(scope="module")
def room(corpus):
    return corpus.make_room(np.random.default_rng(77), RATE_HZ, decay_s=(0.6, 0.55, 0.5, 0.45, 0.4, 0.35, 0.3, 0.25))


@pytest.fixture(scope="module")
def heard(corpus, room):
    return corpus.record(np.random.default_rng(78), room, SWEEP, snr_db=45.0, delay_s=1.0, drift_ppm=40.0, bits=24)


def faults_of(samples, rate_hz=RATE_HZ):
    return find_faults(samples, rate_hz, SWEEP)


def tone(hertz, width_s, over_db, bits=16):
    """A tone whose level rises and falls, cut off at full scale, as a converter keeps it."""
    t = np.arange(RATE_HZ) / RATE_HZ - 0.5
    wave = np.sin(2 * np.pi * hertz * t) * np.exp(-((t / width_s) ** 2)) * 10 ** (over_db / 20)
    steps = 2.0 ** (bits - 1)
    return np.clip(np.round(wave * steps), -steps, steps - 1) / steps


@pytest.mark.parametrize("hertz", [63.0, 411.0, 5_667.0, 9_137.0])
@pytest.mark.parametrize("bits", [8, 16, 24])
def test_tops_that_were_cut_are_told_from_tops_that_fall(hertz, bits):
    """At 9 kHz no two samples in a row are at the top, at 63 Hz dozens are at the top of a wave that is whole."""
    width_s = 25.0 / hertz
    assert flat_tops(tone(hertz, width_s, -1.0, bits)).chance > 0.1
    assert flat_tops(tone(hertz, width_s, 3.0 if bits == 8 else 1.5, bits)).chance < CHANCE


@pytest.mark.parametrize(("hits", "trials", "each"), [(1, 10, 0.02), (4, 25, 0.03), (7, 64, 0.004), (30, 60, 0.3)])
def test_the_likelihood_is_never_under_the_exact_one(hits, trials, each):
    """Against the binomial distribution of scipy."""
    from scipy import stats

    exact = stats.binom.sf(hits - 1, trials, each)
    assert exact <= _likely(hits, trials, each) < 40 * exact


def test_fewer_hits_than_chance_gives_are_no_sign():
    assert _likely(0, 0, 0.5) == _likely(0, 12, 0.1) == _likely(1, 12, 0.1) == 1.0


@pytest.mark.parametrize("seed", [95018, 95027])
def test_a_recording_clipped_at_high_frequencies_alone_is_told(damage, seed):
    """The tops that are cut are one sample wide each, and few."""
    samples = damage.bad("clipped lightly", seed, RATE_HZ, SWEEP).samples
    at_top = np.flatnonzero(samples == samples.max())
    assert 3 <= at_top.size < 10 and np.diff(at_top).min() > 1
    assert [one.code for one in faults_of(samples)] == ["clipped"]


@pytest.mark.parametrize("lost_s", [0.6, 1.7, 2.9, 3.9])
def test_how_much_of_the_sweep_is_missing_at_its_end(heard, lost_s):
    end = round((heard.delay_s + SWEEP.sweep_end_s - lost_s) * RATE_HZ)
    (found,) = faults_of(heard.samples[:end])
    assert found.code == "cut-short" and found.fatal and "before the sweep does" in found.text
    assert float(found.text.split("ends ")[1].split(" s ")[0]) == pytest.approx(lost_s, abs=0.11)


def test_a_sweep_missing_at_both_ends_is_cut_short(heard):
    begin, end = (round((heard.delay_s + at_s) * RATE_HZ)
                  for at_s in (SWEEP.sweep_start_s + 0.8, SWEEP.sweep_end_s - 1.0))
    (found,) = faults_of(heard.samples[begin:end])
    assert found.code == "cut-short"


@pytest.mark.parametrize("said_hz", [44_100, 48_000, 88_200, 96_000])
def test_the_rate_that_was_meant_is_named(heard, said_hz):
    (found,) = faults_of(heard.samples, said_hz)
    assert found.code == "wrong-rate" and f"{said_hz} Hz" in found.text and f"if it were {RATE_HZ} Hz" in found.text


@pytest.mark.parametrize("seconds", [7.7, 8.35])
def test_another_sweep_much_like_this_one_is_not_called_faint(corpus, room, seconds):
    played = replace(SWEEP, seconds=seconds)
    other = corpus.record(np.random.default_rng(6), room, played, snr_db=45.0)
    (found,) = faults_of(other.samples)
    assert found.code == "not-this-sweep" and "another sweep" in found.text
    rises_s = rises_in_s(whole_response(other.samples, RATE_HZ, SWEEP), SWEEP)
    assert rises_s == pytest.approx(played.growth_s, rel=0.015)


def test_a_knock_within_the_decay_is_told(damage):
    """It falls on the room's own decay, where it makes the slope shallower and the figure still counts."""
    knocked = damage.bad("burst in the sweep +10 dB", 9_100_049, RATE_HZ, SWEEP)
    assert [one.code for one in faults_of(knocked.samples)] == ["transient"]


def test_a_decay_that_falls_ever_more_slowly_does_not_rise():
    after_s = np.arange(80) * 0.05
    bent = 10 ** (-6 * after_s) + 1e-3 * 10 ** (-2 * after_s) + 1e-7
    assert _rise(bent, after_s, 4.0)[1] <= 0.0
    knocked = bent + 0.01 * (np.arange(80) == 20)
    at, rise_db = _rise(knocked, after_s, 4.0)
    assert at == 20 and rise_db == pytest.approx(10 * np.log10(knocked[20] / bent[19]))
    assert _rise(knocked, after_s, 0.9)[1] <= 0.0


def test_this_sweep_is_not_taken_for_another(heard):
    assert rises_in_s(whole_response(heard.samples, RATE_HZ, SWEEP), SWEEP) is None


@pytest.mark.parametrize("seed", range(4))
def test_this_sweep_under_noise_is_called_faint(corpus, room, seed):
    rng = np.random.default_rng(seed)
    (found,) = faults_of(corpus.record(rng, room, SWEEP, snr_db=rng.uniform(-12, 0)).samples)
    assert found.code == "too-noisy"


def test_a_loud_door_does_not_hide_the_sweep(corpus, room, damage):
    """The markers fit and most octaves come when they should: it is this sweep, and not a faint one."""
    kept = corpus.record(np.random.default_rng(9), room, SWEEP, snr_db=50.0, delay_s=1.0)
    (found,) = faults_of(damage.disturbed(20)(np.random.default_rng(4), kept).samples)
    assert found.code == "transient"


@pytest.mark.parametrize("seed", [7_100_007, 7_100_031])
def test_buffers_lost_further_than_the_markers_are_looked_for(damage, seed):
    """48 ms are 4400 ppm: no clock, no stretched file, and the markers are not gone either."""
    found = damage.bad("3 x 512 samples skipped", seed, RATE_HZ, SWEEP)
    assert [one.code for one in faults_of(found.samples)] == ["dropouts"]


def test_an_even_rise_that_touches_this_one_is_not_this_one(damage):
    found = damage.bad("linear sweep", 90115, RATE_HZ, SWEEP)
    assert [one.code for one in faults_of(found.samples)] == ["not-this-sweep"]


def test_what_8_bits_cut_short_would_have_counted(corpus, room):
    """A decay that falls under half a step ends there: the figure would be valid, and wrong."""
    kept = corpus.record(np.random.default_rng(12), room, SWEEP, snr_db=38.0, bits=24, peak_db=-6.0)
    coarse = corpus.quantised(kept.samples, 8)
    true, short = (analyse(one, RATE_HZ, SWEEP).band(8000).t30 for one in (kept.samples, coarse))
    assert true.valid and short.valid and abs(short.value_s / true.value_s - 1.0) > 0.05
    (found,) = faults_of(coarse)
    assert found.code == "coarse" and found.fatal and faults_of(kept.samples) == ()


def test_the_quiet_in_steps():
    """A standard deviation of 3 steps and the rounding's own, 1/12 of a step squared (any textbook)."""
    rng = np.random.default_rng(2)
    noise = np.round(3.0 * rng.standard_normal(2 * RATE_HZ)) / 2**15
    assert quiet_steps(noise, RATE_HZ, 0.0, 2.0) == pytest.approx((9 + 1 / 12) ** 0.5, rel=0.1)
    assert quiet_steps(np.r_[noise, np.zeros(RATE_HZ)], RATE_HZ, 0.5, 3.0) == 0.0
    assert quiet_steps(noise, RATE_HZ, 1.0, 1.01) == np.inf
