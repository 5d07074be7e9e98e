"""Targets against the formulas of EBU Tech 3276 and DIN 18041."""

import pytest

from tracker.domain.errors import Refused
from tracker.domain.site import Target
from tracker.domain.sound.targets import TargetBand, built_in_names, in_target, middle_s, target_band


@pytest.mark.parametrize(
    ("name", "volume"), [("tm-45", 45.0), ("tm-51.2", 51.2), ("tm-100", 100.0), ("tm-409.6", 409.6)]
)
def test_tm_kept_within_ebu_limits(check, name, volume):
    """EBU Tech 3276: Tm = 0.25 (V/100)^(1/3), 0.2 to 0.4 s; 45 m3 falls below."""
    expected = max(0.2, check(name)["expected"])
    assert middle_s("listening", volume) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize(("volume", "tm"), [(60, 0.211), (85, 0.237), (200, 0.315), (1000, 0.4), (10, 0.2)])
def test_tm_at_other_volumes(volume, tm):
    """The same, printed to three decimals; 10 and 1000 m3 at the EBU's limits."""
    assert middle_s("listening", volume) == pytest.approx(tm, abs=0.0005)


def test_listening_band():
    """Plus and minus 0.05 s from 250 Hz to 4 kHz (public sources citing EBU Tech 3276); 125 Hz +0.152 s from memory."""
    band = target_band(Target("listening"), 100.0)
    assert band.low_s == pytest.approx((0.20,) * 6)
    assert band.high_s == pytest.approx((0.402, 0.30, 0.30, 0.30, 0.30, 0.30))
    assert "from memory" in band.source


def test_listening_125_hz_is_straight_over_log_frequency():
    """From memory: 0.3 s at 63 Hz to 0.05 s at 200 Hz; the stored 0.152 s is that line at 125 Hz."""
    from math import log

    share = log(125 / 63) / log(200 / 63)
    above = target_band(Target("listening"), 100.0).high_s[0] - 0.25
    assert above == pytest.approx(0.3 + (0.05 - 0.3) * share, abs=0.001)


@pytest.mark.parametrize(("name", "volume"), [("din18041-45", 45.0), ("din18041-90", 90.0)])
def test_din18041(check, name, volume):
    """DIN 18041:2016 groups A1, A2, A3."""
    found = [middle_s(target, volume) for target in ("rehearsal", "speech", "teaching")]
    assert found == pytest.approx(check(name)["expected"][:3], abs=0.0005)


def test_din18041_bands():
    """DIN 18041:2016: 0.65 to 1.45 at 125 Hz, 0.8 to 1.2 at 250 Hz to 2 kHz, 0.65 to 1.2 at 4 kHz."""
    band = target_band(Target("rehearsal"), 45.0)
    assert [low / 0.814 for low in band.low_s] == pytest.approx([0.65, 0.8, 0.8, 0.8, 0.8, 0.65], rel=1e-3)
    assert [high / 0.814 for high in band.high_s] == pytest.approx([1.45, 1.2, 1.2, 1.2, 1.2, 1.2], rel=1e-3)


@pytest.mark.parametrize("volume", [15.0, 1200.0])
def test_no_figure_is_invented_outside_a_standards_volumes(volume):
    with pytest.raises(Refused, match="30 to 1000"):
        target_band(Target("rehearsal"), volume)


def test_own_figures():
    band = target_band(Target("own", (0.30, 0.25, 0.25, 0.25, 0.25, 0.02), 0.05), 15.0)
    assert band.low_s == pytest.approx((0.25, 0.20, 0.20, 0.20, 0.20, 0.0))
    assert band.high_s == pytest.approx((0.35, 0.30, 0.30, 0.30, 0.30, 0.07))


def test_an_unknown_name_lists_the_known_ones():
    with pytest.raises(Refused, match="listening, rehearsal, speech, teaching"):
        target_band(Target("cinema"), 45.0)


@pytest.mark.parametrize("name", built_in_names())
def test_every_target_names_its_source(name):
    band = target_band(Target(name), 100.0)
    assert "EBU" in band.source or "DIN 18041" in band.source
    assert all(0 < low < high for low, high in zip(band.low_s, band.high_s, strict=True))


def test_in_target_counts_both_ends_and_skips_bands_without_a_time():
    band = TargetBand("own", (0.2,) * 6, (0.3,) * 6, "own")
    assert in_target((0.2, 0.3, 0.31, 0.19, None, 0.25), band) == (125, 250, 4000)
