"""The sweep that is played: its layout, its synchronisation, its settings as text."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.errors import Refused
from tracker.domain.sweep.signal import Settings, marker_at, signal_at, sweep_at, sweep_signal


def test_the_layout_is_lead_marker_gap_sweep_tail_marker_end() -> None:
    s = Settings()
    samples = sweep_signal(s)
    assert samples.size == round(s.total_s * 48000)
    def loudest(start: float, end: float) -> float:
        return float(np.abs(samples[round(start * 48000) + 1: round(end * 48000) - 1]).max())
    for start, end in ((0.0, 0.5), (0.6, 1.6), (s.sweep_end_s, s.second_marker_s), (s.total_s - 1.0, s.total_s)):
        assert loudest(start, end) == 0.0
    for start, end in ((0.5, 0.6), (1.6, s.sweep_end_s), (s.second_marker_s, s.second_marker_s + 0.1)):
        assert loudest(start, end) == pytest.approx(10 ** (-12 / 20), rel=1e-3)


@pytest.mark.parametrize("seconds", [3.0, 4.8, 10.0, 30.0])
def test_the_sweep_is_synchronised(seconds: float) -> None:
    # Novak, Lotton and Simon 2015: f1 L whole, so the n-th harmonic of the sweep is the sweep moved by L ln n
    s = Settings(seconds=seconds)
    assert s.low_hz * s.growth_s == pytest.approx(round(s.low_hz * s.growth_s), abs=1e-9)
    assert abs(s.sweep_s - seconds) <= 0.5 * np.log(1000) / 20 + 1e-9
    t = np.linspace(0.2, s.sweep_s * 0.6, 2001)
    phase = 2 * np.pi * s.low_hz * s.growth_s * np.exp(t / s.growth_s)
    assert sweep_at(s, t) == pytest.approx(np.sin(phase), abs=1e-6)
    moved = sweep_at(s, t + s.growth_s * np.log(2))
    assert moved == pytest.approx(np.sin(2 * phase), abs=1e-6)


def test_the_sweep_passes_each_frequency_when_it_says() -> None:
    s = Settings()
    for hz in (63.0, 1000.0, 8000.0):
        t = s.reaches_s(hz) + np.arange(-2400, 2400) / 480000
        crossings = np.nonzero(np.diff(np.signbit(sweep_at(s, t))))[0]
        if crossings.size > 2:
            assert (crossings.size - 1) / (2 * (t[crossings[-1]] - t[crossings[0]])) == pytest.approx(hz, rel=0.01)
    assert sweep_at(s, np.array([s.reaches_s(7000.0)]), up_to_hz=6000.0)[0] == 0.0


def test_the_same_instants_give_the_same_signal_at_any_rate() -> None:
    s = Settings(seconds=3.0)
    at_96k = signal_at(s, np.arange(round(s.total_s * 96000)) / 96000)
    at_48k = sweep_signal(s)
    np.testing.assert_allclose(at_96k[::2][:at_48k.size], at_48k, atol=1e-9)


def test_a_marker_runs_from_1_to_8_khz() -> None:
    chirp = marker_at(Settings(), np.arange(4801) / 48000)
    power = np.abs(np.fft.rfft(chirp, 48000)) ** 2
    inside = power[900:8101].sum() / power.sum()
    assert inside > 0.99


def test_settings_survive_as_text_within_another_comment() -> None:
    s = Settings(seconds=7.3, rate_hz=44100, level_db=-13.1, tail_s=2.45)
    assert Settings.from_text(s.as_text()) == s
    assert Settings.from_text(f"take 3 {s.as_text()}\x00 by hand") == s
    assert "\n" not in s.as_text() and len(s.as_text()) < 250 and s.as_text().isascii()


@given(st.floats(2, 60), st.sampled_from([44100, 48000, 96000]), st.floats(-60, -1), st.floats(0.5, 20))
def test_settings_are_read_back_to_the_bit(seconds: float, rate: int, level: float, tail: float) -> None:
    s = Settings(seconds=seconds, rate_hz=rate, level_db=level, tail_s=tail)
    assert Settings.from_text(s.as_text()) == s


@pytest.mark.parametrize("change, place", [
    ({"seconds": 0.5}, "seconds"), ({"seconds": float("nan")}, "seconds"), ({"rate_hz": 8000}, "rate"),
    ({"level_db": 0.0}, "level"), ({"level_db": 6.0}, "level"), ({"high_hz": 21500.0, "rate_hz": 44100}, "high"),
    ({"tail_s": 0.1}, "tail"), ({"rate_hz": 44100.5}, "rate"), ({"low_hz": 60.0}, "low")])
def test_foolish_settings_are_refused_with_the_remedy(change: dict, place: str) -> None:
    with pytest.raises(Refused, match=rf"sweep {place}.*(choose|such as)"):
        dataclasses.replace(Settings(), **change)


@pytest.mark.parametrize("text", [
    "", "Recorded with care", "sabinry sweep 1: seconds=10", "sabinry sweep 1: seconds=x"])
def test_a_text_without_settings_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        Settings.from_text(text)
