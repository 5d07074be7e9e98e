"""Measured decay times: the area behind them, the gain between two, its uncertainty, and what is not resolved."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.air import attenuation_per_m
from tracker.domain.sound.measured import (
    FORWARD_BT,
    Measured,
    area_uncertainty_m2,
    bandwidth_hz,
    checked,
    decay_uncertainty_s,
    measured_area_m2,
    measured_gain,
    measuring_notes,
)

PRINTED = 55.3 / (24 * math.log(10))
"""ISO 354 prints 55.3 for 24 ln(10) = 55.262: 0.07 % apart."""


def at(decay_s, name="bare", celsius=20.0, humidity=50.0, **more):
    times = tuple(decay_s) if isinstance(decay_s, (list, tuple)) else (decay_s,) * 6
    return Measured(name, times, celsius, humidity, **more)


def three(*times):
    return [None, None, None, *times]


def without_air(volume, measured):
    """The area with the air put back, as the worked examples leave it out."""
    air = attenuation_per_m(measured.temperature_c, measured.humidity_pct)
    found = measured_area_m2(volume, measured)
    return [PRINTED * (area + 4 * volume * m) for area, m in zip(found, air, strict=True) if area is not None]


def test_iso354_A(check):
    """ISO 354:2003, 8.1.2.1: 200 m3 at 20 degC, 5, 4 and 3 s."""
    found = without_air(200.0, at(three(5.0, 4.0, 3.0)))
    assert found == pytest.approx(check("iso354-A")["expected"], abs=0.006)


def test_iso354_alpha(check):
    """ISO 354:2003, equation 8: 10.8 m2 of a specimen in 200 m3."""
    gain = measured_gain(200.0, at(three(5.0, 4.0, 3.0)), at(three(3.0, 2.5, 2.0), "lined")).gain_m2
    assert [PRINTED * m2 / 10.8 for m2 in gain[3:]] == pytest.approx(check("iso354-alpha")["expected"], abs=0.0006)


def test_iso354_alpha500(check):
    """The same at 500 Hz, 7.8 to 4.2 s."""
    gain = measured_gain(200.0, at([None, None, 7.8, None, None, None]), at([None, None, 4.2, None, None, None]))
    assert PRINTED * gain.gain_m2[2] / 10.8 == pytest.approx(check("iso354-alpha500")["expected"], abs=0.0006)


def test_each_visit_has_its_own_air():
    """An independent calculation: 45 m3, 0.72 s at 18 degC and 45 % to 0.41 s at 22 degC and 55 %."""
    gain = measured_gain(45.0, at(0.72, celsius=18.0, humidity=45.0), at(0.41, "lined", 22.0, 55.0)).gain_m2
    assert [gain[0], gain[2], gain[3], gain[5]] == pytest.approx([7.526, 7.502, 7.493, 7.911], abs=0.006)
    alike = measured_gain(45.0, at(0.72), at(0.41, "lined")).gain_m2
    assert alike == pytest.approx([7.62] * 6, abs=0.03)


def test_sigma_T30(check):
    """ISO 3382-2, annex A: T30 of 2 s at 1 kHz over 12 positions."""
    assert decay_uncertainty_s(2.0, 1000, 12, "t30") == pytest.approx(check("sigma-T30")["expected"], abs=1e-6)


@pytest.mark.parametrize(("hz", "percent"), [(125, 7.6), (250, 5.4), (500, 3.8), (1000, 2.7)])
def test_scatter_of_t20_in_a_small_room(hz, percent):
    """The same for T20 of 0.3 s over 6 positions, an independent calculation."""
    assert 100 * decay_uncertainty_s(0.3, hz, 6) / 0.3 == pytest.approx(percent, abs=0.06)


@pytest.mark.parametrize(
    ("metric", "drawn_pct"), [("t20", (24, 17, 13.5, 9.1, 6.1, 4.6, 3.0)), ("t30", (15, 11, 8.4, 5.5, 3.8, 2.8, 2.0))]
)
def test_scatter_against_drawn_decays(metric, drawn_pct):
    """An independent prototype drew random decays at BT of 10 to 640: the formula is 11 to 28 % on the safe side."""
    for doubling, drawn in enumerate(drawn_pct):
        decay_s = 10 * 2**doubling / bandwidth_hz(1000)
        ours = 100 * decay_uncertainty_s(decay_s, 1000, 1, metric) / decay_s
        assert 1.10 <= ours / drawn <= 1.28


@pytest.mark.parametrize(
    ("before", "after", "gain", "hz", "one", "six"),
    [
        (0.8, 0.6, 2.02, 500, 0.39, 0.16),
        (0.8, 0.6, 2.02, 125, 0.78, 0.32),
        (0.4, 0.35, 1.73, 500, 0.95, 0.39),
        (0.4, 0.35, 1.73, 125, 1.89, 0.77),
        (0.3, 0.28, 1.15, 500, 1.38, 0.56),
    ],
)
def test_uncertainty_of_a_gain(before, after, gain, hz, one, six):
    """An independent prototype: 30 m3, T30, one standard deviation over one and six positions."""
    band = BANDS_HZ.index(hz)
    for positions, expected in ((1, one), (6, six)):
        found = measured_gain(
            30.0, at(before, positions=positions, metric="t30"), at(after, positions=positions, metric="t30")
        )
        assert found.gain_m2[band] == pytest.approx(gain, abs=0.025)
        assert found.uncertainty_m2[band] == pytest.approx(expected, abs=0.011)


def test_a_change_smaller_than_its_uncertainty_is_not_resolved():
    """The same prototype calls 0.30 to 0.28 s not distinguishable from one position, and 0.8 to 0.6 s plain."""
    small = measured_gain(30.0, at(0.3, metric="t30"), at(0.28, "lined", metric="t30"))
    assert small.resolved[:3] == (False, False, False)
    assert any("not resolved" in note and "125, 250, 500" in note for note in small.notes)
    plain = measured_gain(30.0, at(0.8, positions=6), at(0.5, "lined", positions=6))
    assert plain.resolved == (True,) * 6 and not any("not resolved" in note for note in plain.notes)


def test_a_band_missing_on_one_side_has_no_gain():
    found = measured_gain(45.0, at([None, 1.0, 1.0, 1.0, 1.0, 1.0]), at([0.5, 0.5, 0.5, 0.5, 0.5, None], "lined"))
    assert (found.gain_m2[0], found.uncertainty_m2[0], found.resolved[0]) == (None, None, None)
    assert found.gain_m2[5] is None and found.gain_m2[2] > 0


@settings(max_examples=30, deadline=None)
@given(st.floats(10, 200), st.floats(0.15, 2.0), st.floats(0.15, 2.0), st.integers(1, 12), st.floats(0, 5))
def test_uncertainty_is_the_slope_times_the_input_s(volume, before, after, positions, spread):
    """JCGM 100:2008, equation 10, with the slopes taken by small steps instead of by formula."""
    step = 1e-6

    def gain(v, one, two):
        return measured_gain(v, at(one), at(two, "lined", 15.0, 40.0)).gain_m2[2]

    parts = [
        (gain(volume, before + step, after) - gain(volume, before, after)) / step
        * decay_uncertainty_s(before, 500, positions),
        (gain(volume, before, after + step) - gain(volume, before, after)) / step
        * decay_uncertainty_s(after, 500, positions),
        (gain(volume + step, before, after) - gain(volume, before, after)) / step * spread,
    ]  # fmt: skip
    found = measured_gain(
        volume, at(before, positions=positions), at(after, "lined", 15.0, 40.0, positions=positions), spread
    )
    assert found.uncertainty_m2[2] == pytest.approx(math.hypot(*parts), rel=1e-3, abs=1e-6)
    assert found.expanded_m2[2] == pytest.approx(2 * found.uncertainty_m2[2])


def test_an_unsure_volume_spreads_the_area_in_proportion():
    """By the formula: the area is proportional to the volume."""
    sure, unsure = at(0.5, positions=10_000_000), at(0.5, positions=10_000_000)
    area = measured_area_m2(45.0, sure)[2]
    assert area_uncertainty_m2(45.0, unsure, 4.5)[2] == pytest.approx(0.1 * area, rel=1e-3)


def test_bandwidths_and_shortest_decays(check):
    """ISO 3382-1, clause 7, B = 0.71 fm; ISO 3382-2, BT over 16."""
    row = check("iso3382-B")
    assert [bandwidth_hz(hz) for hz in row["inputs"]["fm"]] == pytest.approx(row["expected"])
    assert [FORWARD_BT / bandwidth_hz(hz) for hz in (63, 125, 250, 500)] == pytest.approx(
        check("bt16")["expected"], abs=1e-4
    )


def test_notes_name_the_bands_too_short_and_the_single_position():
    notes = measuring_notes(at(0.1, positions=1))
    assert any("at 125 Hz" in note and "reversed" in note for note in notes)
    assert any("one position" in note for note in notes)
    assert measuring_notes(at(0.5, positions=3)) == ()


def test_mixed_metrics_are_named():
    found = measured_gain(45.0, at(0.8, metric="t20"), at(0.5, "lined", metric="t30"))
    assert any("T20" in note and "T30" in note for note in found.notes)


@pytest.mark.parametrize(
    ("measured", "names"),
    [
        (at([0.5] * 5), "six decay times"),
        (at([None] * 6), "at least one"),
        (at([0.5, 0.5, 0.0, 0.5, 0.5, 0.5]), "0 s at 500 Hz"),
        (at([0.5, 0.5, 25.0, 0.5, 0.5, 0.5]), "25 s at 500 Hz"),
        (at([0.5, 0.5, float("nan"), 0.5, 0.5, 0.5]), "500 Hz"),
        (at(0.5, positions=0), "0 positions"),
        (at(0.5, metric="edt"), "t20 or t30"),
        (at(0.5, up=(("w/b", 1.2),)), "w/b"),
        (at(0.5, celsius=80.0), "temperature"),
        (at(0.5, humidity=120.0), "humidity"),
    ],
)
def test_a_measurement_that_cannot_be_right_is_refused(measured, names):
    with pytest.raises(Refused, match=names):
        checked(measured)


@pytest.mark.parametrize(("volume", "spread"), [(0.0, 0.0), (45.0, -1.0)])
def test_a_volume_that_cannot_be_right_is_refused(volume, spread):
    with pytest.raises(Refused, match="volume"):
        measured_gain(volume, at(0.5), at(0.4), spread)
