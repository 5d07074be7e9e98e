"""Absorption of a fibre board from its layers: a bulk-reacting layer, air or wall behind it, fabric before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused

if TYPE_CHECKING:
    from numpy.typing import NDArray

Model = Literal["miki", "delany-bazley"]

AIR_DENSITY_KG_M3 = 1.2058
"""Of air at 20 degC and 101.325 kPa, kg/m3 (as in the reference values)."""
SPEED_M_S = 343.152
"""Of sound in air at 20 degC, m/s (as in the reference values)."""
FIELD_ANGLE_DEG = 78.0
"""Steepest incidence counted as random; grazing sound hardly occurs (field incidence, common practice)."""
RESISTIVITY_PA_S_M2 = (1_000.0, 150_000.0)
"""Flow resistivity of mineral wool, Pa s/m2 (Cox and D'Antonio, 3rd ed. 2017, chapter 6)."""
MODEL_RANGE = (0.01, 1.0)
"""Of f/sigma (Miki 1990) and of rho f/sigma (Delany and Bazley 1970) within which the models were fitted."""
_RAYS = 64


@dataclass(frozen=True, slots=True)
class Layers:
    """A board from the wall outwards: air gap m, board m and Pa s/m2, fabric's specific flow resistance Pa s/m."""

    thickness_m: float
    flow_resistivity_pa_s_m2: float
    gap_m: float = 0.0
    fabric_pa_s_m: float = 0.0


@dataclass(frozen=True, slots=True)
class LayerAlpha:
    """Coefficients 0 to 1 at each frequency asked for, and the frequencies in Hz the model was not fitted for."""

    alpha: PerBand
    outside_hz: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Resistivity:
    """Flow resistivity in Pa s/m2 with the spread it may have, and where it is from."""

    value: float
    low: float
    high: float
    source: str


def resistivity_from_density(density_kg_m3: float) -> Resistivity:
    """Flow resistivity in Pa s/m2 of mineral wool through the sheet from its density in kg/m3, 20 to 190; else refused.

    A guess: measured boards lie within half and twice. Fitted for 38 to 162 kg/m3 and a fibre of 4.75 µm.

    Source: Hopkins, Sound Insulation, 2007, equation 1.165; the factor of 2 against Allard and Atalla, 2nd ed., tables
    10.1, 11.8, 12.2 and 13.2.
    """
    if not 20.0 <= density_kg_m3 <= 190.0:
        raise Refused(
            f"density {density_kg_m3:g} kg/m3: flow resistivity is known for mineral wool of 20 to 190 kg/m3; "
            "give flow_resistivity, or alpha"
        )
    value = 780.0 * density_kg_m3**1.59 / 4.75**2
    reach = "" if 38.0 <= density_kg_m3 <= 162.0 else ", beyond the densities it was fitted for"
    source = (
        f"Hopkins, Sound Insulation, 2007, eq. 1.165, stone wool of {density_kg_m3:g} kg/m3{reach}, within a factor 2"
    )
    low, high = RESISTIVITY_PA_S_M2
    return Resistivity(value, max(low, value / 2.0), min(high, value * 2.0), source)


def random_alpha(
    layers: Layers, model: Model = "miki", frequencies_hz: Sequence[float] = BANDS_HZ, to_deg: float = FIELD_ANGLE_DEG
) -> LayerAlpha:
    """Random-incidence coefficients of a board on a rigid wall at frequencies in Hz, from 0 to an angle in degrees.

    Flow resistivity 1 000 to 150 000 Pa s/m2; thickness above 0; refused outside. Frequencies beyond the model's range
    are named in the result, and coefficients there kept within 0 to 1. An endless board: never over about 0.97.

    Source: Paris' integral over sin cos; bulk-reacting layer, Bies, Hansen and Howard, 5th ed., appendix D.
    """
    import numpy as np

    _check(layers, to_deg)
    points, weights = _rays(to_deg)
    hz = np.asarray(frequencies_hz, dtype=float)
    per_angle = _reflected(layers, model, hz[:, None], points[None, :])
    share = np.sin(points) * np.cos(points) * weights
    return _guarded(layers, model, hz, per_angle @ share / share.sum())


def normal_alpha(layers: Layers, model: Model = "miki", frequencies_hz: Sequence[float] = BANDS_HZ) -> LayerAlpha:
    """Coefficients of a board on a rigid wall at right angles, as in a tube, at frequencies in Hz; not for rooms.

    Flow resistivity 1 000 to 150 000 Pa s/m2; thickness above 0; refused outside.

    Source: Bies, Hansen and Howard, 5th ed., appendix D; impedance of a layer before a gap, Zs = Z (Zb + jZ tan kd) /
    (Z + jZb tan kd).
    """
    import numpy as np

    _check(layers, 0.0)
    hz = np.asarray(frequencies_hz, dtype=float)
    return _guarded(layers, model, hz, _reflected(layers, model, hz[:, None], np.zeros((1, 1)))[:, 0])


def characteristic(model: Model, hz: NDArray, flow_resistivity_pa_s_m2: float) -> tuple[NDArray, NDArray]:
    """Characteristic impedance over that of air and wave number over that in air, for e^(+jwt), at Hz and Pa s/m2.

    Source: Miki, J. Acoust. Soc. Jpn (E) 11 (1990), on f/sigma; Delany and Bazley, Appl. Acoust. 3 (1970), on
    rho f/sigma, as in Bies, Hansen and Howard, 5th ed., table D.1.
    """
    if model == "miki":
        x = hz / flow_resistivity_pa_s_m2
        return 1 + (0.070 - 0.107j) * x**-0.632, 1 + (0.109 - 0.160j) * x**-0.618
    x = AIR_DENSITY_KG_M3 * hz / flow_resistivity_pa_s_m2
    impedance = 1 + 0.0571 * x**-0.754 - 0.0870j * x**-0.732
    return impedance, 1 + 0.0978 * x**-0.700 - 0.1890j * x**-0.595


def _check(layers: Layers, to_deg: float) -> None:
    low, high = RESISTIVITY_PA_S_M2
    if not low <= layers.flow_resistivity_pa_s_m2 <= high:
        raise Refused(
            f"flow resistivity {layers.flow_resistivity_pa_s_m2:g} Pa s/m2: the models hold from {low:g} to {high:g}; "
            "give test figures as alpha"
        )
    if not layers.thickness_m > 0.0 or layers.gap_m < 0.0 or layers.fabric_pa_s_m < 0.0 or not 0.0 <= to_deg <= 90.0:
        raise Refused(
            "layers: thickness must be above 0, gap and fabric resistance 0 or more, the angle 0 to 90 degrees"
        )


@cache
def _rays(to_deg: float) -> tuple[NDArray, NDArray]:
    """Angles in radians and weights of a Gauss-Legendre sum from 0 to an angle in degrees."""
    import numpy as np

    points, weights = np.polynomial.legendre.leggauss(_RAYS)
    half = np.radians(to_deg) / 2
    return half * (points + 1), half * weights


def _reflected(layers: Layers, model: Model, hz: NDArray, angle: NDArray) -> NDArray:
    """Absorbed share of a plane wave at each frequency (Hz) and angle (radians); impedances are over that of air."""
    import numpy as np

    air = 2 * np.pi * hz / SPEED_M_S
    impedance, ratio = characteristic(model, hz, layers.flow_resistivity_pa_s_m2)
    wave = air * ratio
    inward = np.sqrt(wave**2 - (air * np.sin(angle)) ** 2)  # of the wave in the board, along its depth
    layer = impedance * wave / inward
    turn = np.tan(inward * layers.thickness_m)
    hollow = np.tan(air * layers.gap_m * np.cos(angle))  # 0 on a rigid wall
    surface = -1j * layer * (1 - layer * turn * hollow * np.cos(angle)) / (layer * hollow * np.cos(angle) + turn)
    surface = (surface + layers.fabric_pa_s_m / (AIR_DENSITY_KG_M3 * SPEED_M_S)) * np.cos(angle)
    return 1 - np.abs((surface - 1) / (surface + 1)) ** 2


def _guarded(layers: Layers, model: Model, hz: NDArray, alpha: NDArray) -> LayerAlpha:
    scale = 1.0 if model == "miki" else AIR_DENSITY_KG_M3
    reach = scale * hz / layers.flow_resistivity_pa_s_m2
    low, high = MODEL_RANGE
    outside = tuple(float(f) for f, x in zip(hz, reach, strict=True) if not low <= x <= high)
    return LayerAlpha(tuple(float(min(max(a, 0.0), 1.0)) for a in alpha), outside)
