"""Decay curves and what is read off them, against closed forms and ISO 3382."""

import dataclasses
import math

import numpy as np
import pytest

from tracker.domain.sweep.decay import clarity_db, curve_of, early_share, line_through, mean_curve, thinned
from tracker.domain.sweep.octaves import Envelope, bandwidth_hz
from tracker.domain.sweep.truncation import noise_level, truncation
from tracker.domain.sweep.verdicts import band_decay

STEP_S = 1 / 4000
ONSET = 400
SIXTY_DB = 6 * math.log(10)


def decaying(*parts, noise_db=-200.0, length_s=3.0, nominal_hz=1000, direct=0.0):
    """An envelope whose energy is a sum of exponentials (decay time in s, level in dB) from the onset on."""
    t = np.arange(round(length_s / STEP_S)) * STEP_S
    energy = sum(10 ** (level / 10) * np.exp(-SIXTY_DB * t / decay) for decay, level in parts)
    energy[0] += direct
    return Envelope(nominal_hz, np.concatenate([np.zeros(ONSET), energy]) + 10 ** (noise_db / 10), STEP_S, ONSET)


def noisy(seed, decay_s, over_db, nominal_hz=1000, length_s=3.0):
    """The same with the random energy of Gaussian noise through a band, and as random a floor under it."""
    rng = np.random.default_rng(seed)
    width, count = bandwidth_hz(nominal_hz), round((length_s + 0.1) / STEP_S)
    spectrum = np.zeros(count, dtype=complex)
    inside = round(width * count * STEP_S)

    def band():
        spectrum[:inside] = rng.standard_normal(inside) + 1j * rng.standard_normal(inside)
        return np.fft.ifft(spectrum)

    t = (np.arange(count) - ONSET) * STEP_S
    room = band() * np.where(t >= 0, np.exp(-SIXTY_DB * t / decay_s / 2), 0.0)
    heard = room + band() * 10 ** (-over_db / 20)
    return [Envelope(nominal_hz, np.abs(one) ** 2, STEP_S, ONSET) for one in (heard, room)]


@pytest.mark.parametrize("decay_s", [0.15, 0.4, 1.2])
def test_an_exponential_decay_gives_its_own_time(decay_s):
    """Closed forms: T = EDT = T20 = T30, C80 = 10 lg(exp(13.8 0.08/T) - 1), D50 = 1 - exp(-13.8 0.05/T)."""
    band = band_decay(1000, curve_of(decaying((decay_s, 0.0), noise_db=-70.0)))
    for name in ("EDT", "T20", "T30"):
        assert band.figure(name).value_s == pytest.approx(decay_s, rel=2e-3) and band.figure(name).valid
    assert band.c80_db == pytest.approx(10 * math.log10(math.exp(SIXTY_DB * 0.08 / decay_s) - 1), abs=0.02)
    assert band.d50 == pytest.approx(1 - math.exp(-SIXTY_DB * 0.05 / decay_s), abs=1e-3)
    assert band.curvature_pct == pytest.approx(0.0, abs=0.2) and band.xi20_permille < 0.1 and band.xi30_permille < 0.1
    # a constant is no noise: its median needs no setting right, which is 0.4 dB here
    assert band.dynamic_db == pytest.approx(70.0, abs=0.6)


def test_clarity_at_a_half_is_0_db():
    # ISO 3382-1:2009, equation A.12: C = 10 lg(D/(1 - D))
    assert clarity_db(0.5) == 0.0
    assert clarity_db(1.0) is None and clarity_db(0.0) is None
    curve = curve_of(decaying((0.2, 0.0), noise_db=-30.0))
    assert early_share(curve, 5.0) == pytest.approx(1.0, abs=1e-6)
    assert early_share(curve, curve.end_s * 1.01) > early_share(curve, curve.end_s * 0.99)


def test_a_direct_sound_raises_clarity_and_shortens_edt_alone():
    plain, direct = (curve_of(decaying((0.5, 0.0), noise_db=-80.0, direct=share)) for share in (0.0, 200.0))
    energy = 0.5 / SIXTY_DB / STEP_S
    early = math.exp(-SIXTY_DB * 0.08 / 0.5) * energy / (energy + 200.0)
    assert clarity_db(early_share(direct, 0.08)) == pytest.approx(10 * math.log10((1 - early) / early), abs=0.05)
    assert line_through(direct, -5.0, -25.0).time_s == pytest.approx(line_through(plain, -5, -25).time_s, rel=0.005)
    assert line_through(direct, 0.0, -10.0).time_s < 0.99 * line_through(plain, 0.0, -10.0).time_s


@pytest.mark.parametrize("over_db", [35.0, 40.0, 50.0, 60.0])
def test_noise_is_taken_off_without_a_bias(over_db):
    """T20 against the same response free of noise: the mean error of forty within what scatter leaves."""
    errors = []
    for seed in range(40):
        both, room = noisy(seed, 0.5, over_db)
        free = dataclasses.replace(room, energy=room.energy + 1e-30)
        errors.append(line_through(curve_of(both), -5, -25).time_s / line_through(whole(free), -5, -25).time_s - 1)
    assert abs(np.mean(errors)) < 3.5 * np.std(errors) / math.sqrt(40) + 1e-3
    assert np.percentile(np.abs(errors), 95) < {35.0: 0.06, 40.0: 0.04, 50.0: 0.015, 60.0: 0.01}[over_db]


def whole(envelope):
    """Full integration, for a response without noise."""
    left = np.cumsum(envelope.energy[::-1])[::-1]
    level = 10 * np.log10(left / left[0])[envelope.onset:]
    return dataclasses.replace(curve_of(decaying((0.5, 0.0), noise_db=-60.0)), level_db=level, step_s=envelope.step_s)


def test_the_noise_floor_survives_a_cough():
    """Mean of the energy against a median of blocks with its correction, within 0.5 dB, with a cough or without."""
    width = bandwidth_hz(1000)
    levels = []
    for seed in range(20):
        rng = np.random.default_rng(seed)
        spectrum = np.zeros(8000, dtype=complex)
        inside = round(width * 8000 * STEP_S)
        spectrum[:inside] = rng.standard_normal(inside) + 1j * rng.standard_normal(inside)
        energy = np.abs(np.fft.ifft(spectrum)) ** 2
        quiet = noise_level(energy, STEP_S, width)
        energy_with = energy.copy()
        energy_with[2000:2400] *= 1000.0
        levels.append((10 * math.log10(quiet / energy.mean()),
                       10 * math.log10(noise_level(energy_with, STEP_S, width) / energy.mean())))
    quiet, coughed = np.mean(levels, axis=0)
    assert abs(quiet) < 0.1 and abs(coughed) < 0.6


def test_truncation_lies_where_the_decay_meets_the_noise():
    found = truncation(decaying((0.6, 0.0), noise_db=-45.0))
    assert (found.end - ONSET) * STEP_S == pytest.approx(0.6 * 45 / 60, rel=0.03)
    assert found.noise == pytest.approx(10**-4.5, rel=0.1)
    assert found.reaches_noise
    assert truncation(Envelope(1000, np.full(12000, 1.0), STEP_S, ONSET)) is None
    assert curve_of(Envelope(1000, np.zeros(12000), STEP_S, ONSET)) is None


@pytest.mark.parametrize(("over_db", "t20", "t30"), [(30.0, False, False), (40.0, True, False), (50.0, True, True)])
def test_iso_3382_2_dynamic_range(over_db, t20, t30):
    """ISO 3382-2:2008, 5.3.3: 35 dB over the noise for T20 and 45 dB for T30."""
    band = band_decay(1000, curve_of(noisy(7, 0.5, over_db)[0]))
    assert (band.t20.valid, band.t30.valid) == (t20, t30)
    for figure in (band.t20, band.t30):
        assert figure.valid or any("dB over the noise" in reason and "needed" in reason for reason in figure.reasons)


def test_a_tail_cut_short_is_told():
    band = band_decay(1000, curve_of(noisy(2, 1.5, 70.0, length_s=0.5)[0]))
    assert not band.t20.valid and not band.t30.valid


def test_iso_3382_2_bandwidth_times_time():
    """ISO 3382-2:2008, 7.3: BT over 4 for filters run backwards."""
    band = band_decay(125, curve_of(decaying((0.04, 0.0), noise_db=-70.0, nominal_hz=125)))
    assert any("shorter than this band can show" in reason for reason in band.t20.reasons)
    assert band_decay(125, curve_of(decaying((0.06, 0.0), noise_db=-70.0, nominal_hz=125))).t20.valid


def test_a_strong_direct_sound_and_the_lowest_band_rule_edt():
    curve = dataclasses.replace(curve_of(decaying((0.5, 0.0), noise_db=-70.0)), drop_db=6.0)
    assert any("direct sound" in reason for reason in band_decay(1000, curve).edt.reasons)
    assert band_decay(1000, curve).t20.valid
    low = band_decay(63, curve_of(decaying((0.5, 0.0), noise_db=-70.0, nominal_hz=63)))
    assert any("loudspeaker" in reason for reason in low.edt.reasons) and low.t20.valid
    short = band_decay(63, curve_of(decaying((0.3, 0.0), noise_db=-70.0, nominal_hz=63)))
    assert any("loudspeaker" in reason for reason in short.t20.reasons)


def test_a_second_slope_is_seen_and_only_where_it_can_be():
    bent = [(0.4, 0.0), (1.2, -20.0)]
    clear = band_decay(2000, curve_of(decaying(*bent, noise_db=-80.0, nominal_hz=2000)))
    # the closed form: both integrals, and lines through -5 to -25 and -5 to -35 dB
    t = np.arange(0, 3, STEP_S)
    left = sum(10 ** (level / 10) * decay * np.exp(-SIXTY_DB * t / decay) for decay, level in bent)
    level = 10 * np.log10(left / left[0])
    times = [-60 / np.polyfit(t[(level <= -5) & (level >= low)], level[(level <= -5) & (level >= low)], 1)[0]
             for low in (-25, -35)]
    assert clear.t20.value_s == pytest.approx(times[0], rel=0.01)
    assert clear.curvature_pct == pytest.approx(100 * (times[1] / times[0] - 1), abs=1.5)
    assert any("bent" in note for note in clear.notes)
    short = band_decay(125, curve_of(decaying((0.1, 0.0), (0.3, -18.0), noise_db=-80.0, nominal_hz=125)))
    assert short.bt < 20 and short.notes == () or "cannot be judged" in short.notes[0]


def test_perfect_decays_are_seldom_called_bent():
    """The textbook's 10 % would call one in ten of these bent, ours one in fifty."""
    called = [band_decay(500, curve_of(noisy(seed, 0.25, 70.0, 500)[0])) for seed in range(60)]
    assert sum(abs(one.curvature_pct) > 10 for one in called) >= 6
    assert sum(bool(one.notes) for one in called) <= 2


def test_a_curve_kept_in_fewer_points_gives_the_same_figures():
    curve = curve_of(noisy(4, 0.6, 60.0)[0])
    kept = thinned(curve, 300)
    assert kept.level_db.size <= 300
    for span in ((0, -10), (-5, -25), (-5, -35)):
        assert line_through(kept, *span).time_s == pytest.approx(line_through(curve, *span).time_s, rel=0.01)


def test_the_mean_curve_averages_energies():
    """Two exponentials: the mean's early slope is the mean of the rates, weighed by the energy left."""
    curves = [curve_of(decaying((decay, 0.0), noise_db=-90.0)) for decay in (0.3, 0.6)]
    mean = mean_curve(curves)
    t = mean.times_s
    expected = 10 * np.log10(0.5 * (np.exp(-SIXTY_DB * t / 0.3) + np.exp(-SIXTY_DB * t / 0.6)))
    assert mean.level_db == pytest.approx(expected, abs=0.05)
    assert mean.dynamic_db == min(one.dynamic_db for one in curves)
    assert mean_curve([]) is None
    same = mean_curve([curves[0], curves[0]])
    assert line_through(same, -5, -25).time_s == pytest.approx(0.3, rel=2e-3)


def test_the_mean_of_random_positions_nears_the_true_decay():
    curves = [thinned(curve_of(noisy(seed, 0.4, 60.0, 250)[0])) for seed in range(30)]
    assert line_through(mean_curve(curves), -5, -25).time_s == pytest.approx(0.4, rel=0.05)


def test_a_line_needs_its_span():
    curve = curve_of(decaying((0.5, 0.0), noise_db=-20.0))
    assert line_through(curve, -5.0, -35.0) is None
    assert band_decay(1000, None).t20.reasons == ("nothing stands out of the noise",)
