"""What a recorder does besides: left running, knocked on, spoken over, with a resting current, or of another sweep."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tracker.domain.errors import Refused
from tracker.domain.sweep.alignment import align
from tracker.domain.sweep.faults import examine, find_faults
from tracker.domain.sweep.measured import analyse
from tracker.domain.sweep.signal import Settings
from tracker.domain.sweep.verdicts import Figure
from tracker.report.sweep_text import reading_text
from tracker.services.setup import new_site
from tracker.services.sweep_analysing import ReadRecording, known_settings, read_recording
from tracker.services.sweep_comparing import sweep_list
from tracker.services.sweep_files import path_of
from tracker.services.sweep_keeping import keep, refuse_bad_name
from tracker.services.sweep_reading import reading_of
from tracker.services.sweeping import SweepWords

BOOTH = Path(__file__).resolve().parent.parent / "data" / "geometry_booth.toml"
RATE_HZ = 32_000
SWEEP = Settings(seconds=8.0, rate_hz=RATE_HZ, high_hz=14_400.0, tail_s=2.0, end_s=0.5)


@pytest.fixture(scope="module")
def heard(corpus):
    rng = np.random.default_rng(31)
    return corpus.record(rng, corpus.make_room(rng, RATE_HZ, decay_s=(0.5,) * 8), SWEEP, snr_db=40.0, delay_s=1.0,
                         drift_ppm=20.0, bits=24)


@pytest.fixture(scope="module")
def left_running(heard):
    """The same in a recorder that ran for long before and after."""
    rng = np.random.default_rng(5)
    before, after = (1e-4 * rng.standard_normal(int(seconds * RATE_HZ)) for seconds in (20.0, 15.0))
    return replace(heard, samples=np.concatenate([before, heard.samples, after]), delay_s=heard.delay_s + 20.0)


def faults_of(samples):
    return find_faults(samples, RATE_HZ, SWEEP)


def test_a_recorder_left_running_hides_no_door(left_running, damage):
    assert faults_of(left_running.samples) == ()
    slammed = damage.disturbed(10)(np.random.default_rng(5), left_running)
    (found,) = faults_of(slammed.samples)
    assert found.code == "transient" and found.fatal
    assert 20.0 < float(found.text.split(" at ")[1].split(" s")[0]) < 20.0 + SWEEP.total_s + 2.0


def test_what_is_read_does_not_depend_on_how_long_the_recorder_ran(heard, left_running):
    short, long = (analyse(one.samples, RATE_HZ, SWEEP) for one in (heard, left_running))
    for one, other in zip(short.bands[1:], long.bands[1:], strict=True):
        assert other.t20.value_s == pytest.approx(one.t20.value_s, rel=1e-3)


def test_a_knock_or_talk_outside_the_signal_is_nobodys_business(left_running):
    rng = np.random.default_rng(8)
    knock = np.clip(8 * rng.standard_normal(1600) * np.exp(-np.arange(1600) / 500), -1, 1)
    talk = np.clip(3 * np.sin(2 * np.pi * 200 * np.arange(RATE_HZ // 2) / RATE_HZ), -0.8, 0.8)
    for at, sound in ((1000, knock), (-5000, knock), (1000, talk), (-20_000, talk)):
        samples = left_running.samples.copy()
        samples[at:][: sound.size] += sound
        assert faults_of(np.clip(samples, -1, 1 - 2**-15)) == ()


def test_a_resting_current_is_no_cough(heard):
    assert faults_of(heard.samples + 0.3) == ()
    plain, lifted = (analyse(samples, RATE_HZ, SWEEP) for samples in (heard.samples, heard.samples + 0.3))
    for one, other in zip(plain.bands[1:], lifted.bands[1:], strict=True):
        assert other.t20.value_s == pytest.approx(one.t20.value_s, rel=2e-3)


def test_a_door_is_not_taken_for_a_gain_that_moves(damage):
    found = damage.bad("burst in the sweep +20 dB", 8002)
    assert [one.code for one in find_faults(found.samples, found.rate_hz, found.settings)] == ["transient"]


def test_buffers_lost_beyond_what_a_clock_is_are_named(damage):
    for seed in (8004, 8005):
        found = damage.bad("3 x 512 samples skipped", seed)
        assert [one.code for one in find_faults(found.samples, found.rate_hz, found.settings)] == ["dropouts"]


def test_a_short_sweep_cut_off_is_known_by_its_bands(corpus):
    """With no markers, and its rise too short to follow; one that rises evenly is still told from it."""
    rng = np.random.default_rng(3)
    settings = Settings(seconds=3.0, rate_hz=RATE_HZ, high_hz=14_400.0)
    whole = corpus.record(rng, corpus.make_room(rng, RATE_HZ, decay_s=(0.6,) * 8, drr_db=-6), settings, snr_db=50,
                          delay_s=0.4, bits=16)
    (found,) = find_faults(whole.samples[: 4 * RATE_HZ], RATE_HZ, settings)
    assert found.code == "cut-short" and "record until" in found.remedy


def test_a_sweep_played_twice_is_told(heard):
    (found,) = faults_of(np.concatenate([heard.samples, heard.samples]))
    assert "more than once" in found.text and "cut it to one" in found.remedy


def test_a_level_lost_in_the_steps_is_told():
    t = np.arange(4 * RATE_HZ)
    (found,) = faults_of(np.round(3 * np.sin(t * 0.01) + 0.3 * np.sin(t * 1.3)) / 2**15)
    assert found.code == "too-noisy" and "input up" in found.remedy


def test_the_older_of_two_sweeps_much_alike_is_found(tmp_path, corpus):
    """Of 48 and 44.1 kHz they differ by their last 11 ms only: less than clocks are allowed, more than they are off."""
    newest = Settings(seconds=10.0)
    older = replace(newest, rate_hz=44_100, high_hz=0.45 * 44_100)
    rng = np.random.default_rng(4)
    played = corpus.record(rng, corpus.make_room(rng, 48_000, decay_s=(0.3,) * 8), older, snr_db=45.0, delay_s=0.2)
    soundfile.write(tmp_path / "one.wav", played.samples, 48_000, "PCM_24")
    read = read_recording(str(tmp_path / "one.wav"), "", known_settings([newest.as_text(), older.as_text()]))
    assert read.settings.high_hz == older.high_hz and not read.warnings
    assert read.analysis.alignment.drift_ppm == pytest.approx(played.drift_ppm, abs=1.0)


def test_the_check_and_the_analysis_share_one_division(heard, monkeypatch):
    found = examine(heard.samples, RATE_HZ, SWEEP)
    apart = analyse(heard.samples, RATE_HZ, SWEEP)
    monkeypatch.setattr("tracker.domain.sweep.measured.align", None)
    monkeypatch.setattr("tracker.domain.sweep.measured.cross_spectrum", None)
    shared = analyse(heard.samples, RATE_HZ, SWEEP, found.alignment, found.crossed)
    assert shared.alignment == align(heard.samples, RATE_HZ, SWEEP)
    assert [one.t30.value_s for one in shared.bands] == [one.t30.value_s for one in apart.bands]


@pytest.mark.parametrize("text", ["", "  ", "''", "a\0b.wav", "~nobody-of-this-name/x.wav"])
def test_what_is_no_path_is_refused_in_one_line(text):
    with pytest.raises(Refused, match=r"^recording: ") as refused:
        path_of("recording", text)
    assert "\n" not in str(refused.value)


def test_a_path_out_of_a_dragged_file_loses_its_quotes():
    assert str(path_of("recording", " '/tmp/my take.wav' ")) == "/tmp/my take.wav"


def test_reasons_keep_their_brackets(heard):
    analysis = analyse(heard.samples, RATE_HZ, SWEEP)
    short = replace(analysis.bands[1], t20=replace(analysis.bands[1].t20, reasons=("too short (4 over its width)",)))
    text = reading_text(reading_of(replace(analysis, bands=(analysis.bands[0], short, *analysis.bands[2:]))))
    assert any("(4 over its width)" in str(part) for part in text.renderables)


def test_a_name_of_two_lines_is_refused():
    with pytest.raises(Refused, match="one line"):
        refuse_bad_name("bare\nagain")
    refuse_bad_name("bare, after paint")


def test_a_position_in_which_nothing_counts_is_not_kept_beside_good_ones(heard, tmp_path):
    """It would move the response of the measurement it joins."""
    desk = new_site(tmp_path / "site.db", BOOTH)
    analysis = analyse(heard.samples, RATE_HZ, SWEEP)
    good = ReadRecording(tmp_path / "a.wav", "a", 1, 1, RATE_HZ, 10.0, SWEEP, analysis, ())
    lost = Figure(None, ("nothing stands out of the noise",))
    deaf = replace(good, sha256="b", analysis=replace(
        analysis, bands=tuple(replace(band, t20=lost, t30=lost) for band in analysis.bands)))
    keep(desk, SweepWords("a.wav", "bare"), good)
    with pytest.raises(Refused, match="no band has a decay time that counts"):
        keep(desk, SweepWords("b.wav", "bare"), deaf)
    (one,) = sweep_list(desk).measurements
    assert len(one.positions) == 1
    desk.close()
