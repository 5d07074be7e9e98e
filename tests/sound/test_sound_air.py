"""Air: speed of sound and attenuation, against the printed tables of ISO 9613-1 and -2."""

import json
from pathlib import Path

import numpy as np
import pytest

from tracker.domain.bands import BANDS_HZ, MIDBANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.air import (
    DB_PER_NEPER_OF_ENERGY,
    attenuation_db_per_m,
    attenuation_per_m,
    speed_of_sound,
)

THIN_AIR = json.loads((Path(__file__).parents[1] / "data" / "sound_thin_air.json").read_text())["climates"]


def test_iso354_c_speed_of_sound(check):
    """ISO 354:2003: c = 331 + 0.6 t."""
    assert speed_of_sound(20.0) == pytest.approx(check("iso354-c")["expected"], abs=1e-9)


def test_iec61260_oct(check):
    """IEC 61260-1, as computed by acoustic-toolbox 0.2.2, pyfar 0.8.1 and PyOctaveBand 2.0.0 alike, 63 Hz to 8 kHz."""
    assert list(MIDBANDS_HZ) == pytest.approx(check("iec61260-oct")["expected"][1:7], abs=1e-3)


def test_air_table_m(check):
    """EN 12354-6:2003, table 1, 20 degC and 50 to 70 %: whole octaves; a pure tone takes up to 45 % more."""
    printed = check("air-table-m")["expected"][:6]
    for ours, table in zip(attenuation_per_m(20.0, 60.0), printed, strict=True):
        assert table - 0.05 <= 1000 * ours <= 1.45 * table + 0.05


@pytest.mark.parametrize("name", ["iso9613-1-20C-50", "iso9613-1-15C-50"])
def test_iso9613_1_thirds_from_50_hz_to_10_khz(check, name):
    """ISO 9613-1:1993 table 1 (h) and GOST 31295.1-2005 table 1 (i), three printed digits."""
    row = check(name)
    celsius, humidity = row["inputs"]["t"], row["inputs"]["rh"]
    found = [1000 * attenuation_db_per_m(1000 * 10 ** (k / 10), celsius, humidity) for k in range(-13, 11)]
    assert found == pytest.approx(row["expected"], rel=0.0035)


@pytest.mark.parametrize(
    "name",
    [
        "iso9613-1-10C-70-k0",
        "iso9613-1-0C-20-k3",
        "iso9613-1-20C-50-k0",
        "iso9613-1-20C-50-k3",
        "iso9613-1-25C-50-k0",
        "iso9613-1-30C-50-k0",
        "iso9613-1-30C-50-k6",
        "iso9613-1-10C-50-k6",
        "iso9613-1--20C-70-k9",
        "iso9613-1-15C-100-k10",
    ],
)
def test_iso9613_1_points(check, name):
    """ISO 9613-1:1993 table 1, single printed values."""
    row = check(name)
    hz = 1000 * 10 ** (int(name.rsplit("-k", 1)[1]) / 10)
    found = 1000 * attenuation_db_per_m(hz, row["inputs"]["t"], row["inputs"]["rh"])
    assert found == pytest.approx(row["expected"], rel=0.005)


@pytest.mark.parametrize(
    "name", ["iso9613-2-10-70", "iso9613-2-20-70", "iso9613-2-30-70", "iso9613-2-15-20", "iso9613-2-15-80"]
)
def test_iso9613_2_octaves(check, name):
    """ISO 9613-2:1996 table 2, printed to 0.1 dB/km (to 1 above 100)."""
    row = check(name)
    found = [1000 * m * DB_PER_NEPER_OF_ENERGY for m in attenuation_per_m(row["inputs"]["t"], row["inputs"]["rh"])]
    for got, printed in zip(found, row["expected"][1:7], strict=True):  # the row runs from 63 Hz to 8 kHz
        assert got == pytest.approx(printed, abs=0.06, rel=0.005)


def test_4mV_in_45_m3(check):
    """4mV by ISO 9613-1, agreeing with acoustic-toolbox 0.2.2 and pyfar 0.8.1."""
    found = [4 * m * 45 for m in attenuation_per_m(20.0, 50.0)]
    assert found == pytest.approx(check("4mV-45m3")["expected"][:6], rel=1e-6)


def test_m_from_db(check):
    """ISO 354, 8.1.2.1: m = attenuation / (10 lg e), for the 4.66 dB/km of ISO 9613-1 at 1 kHz."""
    found = 4.66e-3 / DB_PER_NEPER_OF_ENERGY
    assert found == pytest.approx(check("m-from-dB")["expected"], rel=1e-9)


@pytest.mark.parametrize("celsius", [-10.0, 5.0, 20.0, 32.0])
@pytest.mark.parametrize("humidity", [10.0, 50.0, 90.0])
def test_against_pyfar(celsius, humidity):
    """pyfar 0.8.1 air_attenuation, dB/m by ISO 9613-1; at other pressures its humidity is the wrong way up."""
    from pyfar.constants import air_attenuation

    theirs = np.squeeze(air_attenuation(celsius, BANDS_HZ, humidity / 100)[0])
    ours = [attenuation_db_per_m(hz, celsius, humidity) for hz in BANDS_HZ]
    assert ours == pytest.approx(theirs.tolist(), rel=1e-6)


@pytest.mark.parametrize("climate", THIN_AIR, ids=lambda one: f"{one['celsius']:g} degC, {one['humidity']:g} %")
def test_thin_air_against_acoustic_toolbox(climate):
    """acoustic-toolbox 0.2.2 at 80 kPa, its figures kept."""
    ours = [attenuation_db_per_m(hz, climate["celsius"], climate["humidity"], climate["kilopascal"])
            for hz in BANDS_HZ]
    assert ours == pytest.approx(climate["db_per_m"], rel=1e-6)


@pytest.mark.parametrize(
    ("climate", "names"),
    [
        ((60.0, 50.0, 101.3), "temperature 60"),
        ((20.0, 120.0, 101.3), "humidity 120"),
        ((20.0, 50.0, 0.0), "pressure 0"),
    ],
)
def test_a_climate_out_of_range_is_refused(climate, names):
    with pytest.raises(Refused, match=names):
        attenuation_per_m(*climate)
