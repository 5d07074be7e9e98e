"""The air of a room: how fast sound travels in it and how much of it the air takes."""

from __future__ import annotations

import math

from tracker.domain.bands import MIDBANDS_HZ, PerBand
from tracker.domain.errors import Refused

_REFERENCE_K = 293.15
"""Reference temperature T0, K (ISO 9613-1)."""
_TRIPLE_POINT_K = 273.16
"""Triple point of water T01, K (ISO 9613-1)."""
_REFERENCE_KPA = 101.325
"""Reference pressure pr, kPa (ISO 9613-1)."""
DB_PER_NEPER_OF_ENERGY = 10.0 * math.log10(math.e)
"""10 lg e = 4.342945 dB: turns attenuation in dB/m into the energy attenuation m in 1/m (ISO 354)."""


def speed_of_sound(temperature_c: float) -> float:
    """Speed of sound in m/s at a temperature in degC, for 15 to 30 degC; a straight line outside.

    Source: ISO 354:2003, c = 331 + 0.6 t.
    """
    return 331.0 + 0.6 * temperature_c


def attenuation_per_m(temperature_c: float, humidity_pct: float, pressure_kpa: float = _REFERENCE_KPA) -> PerBand:
    """Energy attenuation m of air, 1/m per octave band, for 4mV in m2 with V in m3.

    Temperature -20 to 50 degC, relative humidity 0 to 100 %, pressure in kPa up to 200; refused outside.
    Pure tones at the exact midbands: over-states the loss of a whole octave above 2 kHz.

    Source: ISO 9613-1:1993, equations 3 to 5; m = attenuation / (10 lg e), ISO 354:2003, 8.1.2.1.
    """
    return tuple(
        attenuation_db_per_m(hz, temperature_c, humidity_pct, pressure_kpa) / DB_PER_NEPER_OF_ENERGY
        for hz in MIDBANDS_HZ
    )


def attenuation_db_per_m(
    frequency_hz: float, temperature_c: float, humidity_pct: float, pressure_kpa: float = _REFERENCE_KPA
) -> float:
    """Attenuation of a pure tone in air, dB/m, at a frequency in Hz.

    Temperature -20 to 50 degC, relative humidity 0 to 100 %, pressure in kPa up to 200; refused outside. Good to 10 %.

    Source: ISO 9613-1:1993, equations 3 to 5 and annex B (saturation pressure).
    """
    _check(temperature_c, humidity_pct, pressure_kpa)
    kelvin = temperature_c + 273.15
    warmth = kelvin / _REFERENCE_K
    pressure = pressure_kpa / _REFERENCE_KPA
    saturation = 10.0 ** (-6.8346 * (_TRIPLE_POINT_K / kelvin) ** 1.261 + 4.6151)
    water_pct = humidity_pct * saturation / pressure
    oxygen_hz = pressure * (24.0 + 4.04e4 * water_pct * (0.02 + water_pct) / (0.391 + water_pct))
    nitrogen_hz = (
        pressure * warmth**-0.5 * (9.0 + 280.0 * water_pct * math.exp(-4.170 * (warmth ** (-1.0 / 3.0) - 1.0)))
    )
    square = frequency_hz**2
    classical = 1.84e-11 * warmth**0.5 / pressure
    oxygen = 0.01275 * math.exp(-2239.1 / kelvin) / (oxygen_hz + square / oxygen_hz)
    nitrogen = 0.1068 * math.exp(-3352.0 / kelvin) / (nitrogen_hz + square / nitrogen_hz)
    return 8.686 * square * (classical + warmth**-2.5 * (oxygen + nitrogen))


def _check(temperature_c: float, humidity_pct: float, pressure_kpa: float) -> None:
    if not -20.0 <= temperature_c <= 50.0:
        raise Refused(f"temperature {temperature_c:g} °C: the air formula holds from -20 to 50 °C, such as 20")
    if not 0.0 <= humidity_pct <= 100.0:
        raise Refused(f"humidity {humidity_pct:g} %: relative humidity lies between 0 and 100 %, such as 50")
    if not 0.0 < pressure_kpa <= 200.0:
        raise Refused(f"pressure {pressure_kpa:g} kPa: the air formula holds up to 200 kPa, such as 101.325")
