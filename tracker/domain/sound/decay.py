"""Decay time of a room in one octave band, by four models, from areas and coefficients.

All take the volume in m3, areas in m2, the air's energy attenuation in 1/m and the speed of sound in m/s, and give
seconds, or None where the model has no answer in that band.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Axis = tuple[float, float]
"""Area of the surfaces facing along one axis and their absorption area, both m2."""

AXIS_LIMIT = 0.99
"""Highest mean coefficient an axis is counted with: at 1 its decay would be nil (common practice, no source)."""


def sabine_constant(speed_m_s: float) -> float:
    """24 ln(10)/c in s/m, from the speed of sound in m/s; above 0.

    Source: definition; IEV 801-31-09.
    """
    return 24.0 * math.log(10.0) / speed_m_s


def sabine_s(volume_m3: float, area_m2: float, air_per_m: float, speed_m_s: float) -> float | None:
    """Sabine's decay time in s for an absorption area in m2; coefficients over 1 are allowed; None without absorption.

    Source: EN 12354-6:2003, equation 5 without objects, T = 24 ln(10)/c · V/(A + 4mV).
    """
    return _decay(volume_m3, area_m2, air_per_m, speed_m_s)


def area_for_m2(volume_m3: float, decay_s: float, air_per_m: float, speed_m_s: float) -> float:
    """The absorption area in m2, air left out, that gives Sabine's decay time in s, above 0; negative past the air's.

    Source: EN 12354-6:2003, equation 5 solved for the area, A = 24 ln(10)/c · V/T - 4mV, as ISO 354:2003, 8.1.2.1.
    """
    return volume_m3 * (sabine_constant(speed_m_s) / decay_s - 4.0 * air_per_m)


def eyring_s(volume_m3: float, surface_m2: float, area_m2: float, air_per_m: float, speed_m_s: float) -> float | None:
    """Eyring's decay time in s; None where the mean coefficient reaches 1, at which the logarithm has no value.

    Surface is the room's bounding area, m2, clouds left out; area the absorption area, m2, objects counted in.

    Source: IEV 801-31-09 with the air term, T = 24 ln(10)/c · V/(-S ln(1 - A/S) + 4mV).
    """
    if surface_m2 <= 0.0 or area_m2 >= surface_m2:
        return None
    return _decay(volume_m3, -surface_m2 * math.log1p(-area_m2 / surface_m2), air_per_m, speed_m_s)


def fitzroy_s(volume_m3: float, axes: Sequence[Axis], air_per_m: float, speed_m_s: float) -> float | None:
    """Fitzroy's decay time in s: Eyring's along each axis, averaged by the area facing it; None without one.

    Axes give, for each pair of opposite surfaces, their area and absorption area in m2; a mean over 0.99 counts so.

    Source: Fitzroy 1959, T = sum over x, y, z of (Si/S) Ti, as transcribed in the documents of acoustic-toolbox.
    """
    weighted = _axis_times(volume_m3, axes, air_per_m, speed_m_s)
    return None if weighted is None else sum(weight * time_s for weight, time_s in weighted)


def arau_puchades_s(volume_m3: float, axes: Sequence[Axis], air_per_m: float, speed_m_s: float) -> float | None:
    """Arau-Puchades' decay time in s: the geometric mean of the axes' Eyring times by area; None without one.

    Axes give, for each pair of opposite surfaces, their area and absorption area in m2; a mean over 0.99 counts so.

    Source: Arau-Puchades, Acustica 65 (1988), T = product over x, y, z of Ti^(Si/S).
    """
    weighted = _axis_times(volume_m3, axes, air_per_m, speed_m_s)
    return None if weighted is None else math.exp(sum(weight * math.log(time_s) for weight, time_s in weighted))


def crossover_hz(volume_m3: float, decay_s: float) -> float:
    """Frequency in Hz below which single modes, not absorption area, describe a room: volume in m3, decay time in s.

    Source: Schroeder's frequency, 2000 (T/V)^(1/2) in SI units.
    """
    return 2000.0 * math.sqrt(decay_s / volume_m3)


def least_surface_m2(volume_m3: float) -> float:
    """The least surface, m2, that can close around a volume in m3 (over 0): a sphere's.

    Source: isoperimetric inequality, S^3 >= 36 pi V^2.
    """
    return (36 * math.pi * volume_m3**2) ** (1 / 3)


def mean_free_path_m(volume_m3: float, surface_m2: float) -> float:
    """Mean distance in m between reflections, from the volume in m3 and bounding area in m2, above 0.

    Source: 4V/S of a diffuse field, the basis of Sabine's and Eyring's formulas.
    """
    return 4.0 * volume_m3 / surface_m2


def _decay(volume_m3: float, effective_m2: float, air_per_m: float, speed_m_s: float) -> float | None:
    loss_m2 = effective_m2 + 4.0 * air_per_m * volume_m3
    return sabine_constant(speed_m_s) * volume_m3 / loss_m2 if loss_m2 > 0.0 else None


def _axis_times(
    volume_m3: float, axes: Sequence[Axis], air_per_m: float, speed_m_s: float
) -> list[tuple[float, float]] | None:
    """(share of the bounding area, Eyring's time in s as if all surfaces were like this axis'), for each axis."""
    surface_m2 = sum(facing_m2 for facing_m2, _ in axes)
    if surface_m2 <= 0.0:
        return None
    weighted = []
    for facing_m2, area_m2 in axes:
        if facing_m2 <= 0.0:
            continue
        mean = min(area_m2 / facing_m2, AXIS_LIMIT)
        time_s = eyring_s(volume_m3, surface_m2, mean * surface_m2, air_per_m, speed_m_s)
        if time_s is None:
            return None
        weighted.append((facing_m2 / surface_m2, time_s))
    return weighted
