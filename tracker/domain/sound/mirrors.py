"""How long a box with smooth walls may hold sound that nothing scatters: what no formula of even sound can know."""

from __future__ import annotations

import math
from collections.abc import Sequence

_STEPS = 10
"""Directions taken each way over an octant; 10 differ from 200 by up to 3 % where the absorption is even (our own sum).
"""
_FROM_DB, _TO_DB = 5.0, 25.0


def mirror_box_s(sides_m: Sequence[float], alpha: Sequence[float], air_per_m: float, speed_m_s: float) -> float:
    """Decay time in s, read from 5 to 25 dB down, of a box whose walls mirror and scatter nothing.

    Sides in m along three axes, the mean coefficient of the two surfaces across each (over 0, under 1), the air's
    attenuation of energy per m, speed of sound in m/s. Energy that runs one way dies out at a rate of its own, so
    that the directions that meet the dead or distant walls last are what is heard late.

    Source: energy of the image sources of a box by direction, E. Lehmann and A. Johansson, J. Acoust. Soc. Am. 124
    (2008), 269-277, from memory; held against simulated boxes in the tests; 5 to 25 dB as ISO 3382-2:2008 has T20.
    """
    loss = [-math.log1p(-a) / side for a, side in zip(alpha, sides_m, strict=True)]
    middles = [(step + 0.5) / _STEPS for step in range(_STEPS)]
    rates = [
        speed_m_s * (air_per_m + across * (math.cos(turn) * loss[0] + math.sin(turn) * loss[1]) + up * loss[2])
        for up in middles
        for across in (math.sqrt(1.0 - up * up),)
        for turn in (math.pi / 2.0 * middle for middle in middles)
    ]
    begins, ends = (_down_s(rates, decibels) for decibels in (_FROM_DB, _TO_DB))
    return 60.0 / (_TO_DB - _FROM_DB) * (ends - begins)


def _down_s(rates: Sequence[float], decibels: float) -> float:
    """When the energy still to come is so many dB down, s; rates of decay in 1/s."""
    wanted = 10.0 ** (-decibels / 10.0) * sum(1.0 / rate for rate in rates)
    time_s = 0.0
    for _ in range(50):  # Newton's steps from the left of a falling convex curve never overshoot
        left = [math.exp(-rate * time_s) for rate in rates]
        above = sum(one / rate for one, rate in zip(left, rates, strict=True)) - wanted
        step = above / sum(left)
        time_s += step
        if step < 1e-6 * time_s:
            break
    return time_s
