"""Standing waves of a box room with hard walls, which rule below its crossover frequency."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from tracker.domain.errors import Refused

MODES_TO_HZ = 1000.0
"""Highest frequency modes are listed to, Hz: beyond, thousands lie too close to tell apart."""

ModeKind = Literal["axial", "tangential", "oblique"]
_KINDS: tuple[ModeKind, ...] = ("axial", "tangential", "oblique")


@dataclass(frozen=True, slots=True)
class Mode:
    """A standing wave: Hz, half waves along length, width and height, and whether along one, two or all three."""

    frequency_hz: float
    order: tuple[int, int, int]
    kind: ModeKind


def box_modes(length_m: float, width_m: float, height_m: float, speed_m_s: float, to_hz: float) -> tuple[Mode, ...]:
    """Modes of a box in m up to a frequency in Hz (at most 1000), lowest first, for a speed of sound in m/s.

    Source: f = c/2 ((p/l)^2 + (q/w)^2 + (r/h)^2)^(1/2), Rayleigh; Everest, Master Handbook of Acoustics.
    """
    sides = (length_m, width_m, height_m)
    if not all(side > 0.0 for side in sides) or not speed_m_s > 0.0:
        raise Refused("modes: length, width, height and the speed of sound must be above 0")
    if not 0.0 <= to_hz <= MODES_TO_HZ:
        raise Refused(f"modes: up to {to_hz:g} Hz is asked for; they are listed from 0 to {MODES_TO_HZ:g} Hz")
    reach = [int(2.0 * side * to_hz / speed_m_s) for side in sides]
    modes = []
    for p in range(reach[0] + 1):
        for q in range(reach[1] + 1):
            for r in range(reach[2] + 1):
                order = (p, q, r)
                hz = speed_m_s / 2.0 * math.hypot(*(n / side for n, side in zip(order, sides, strict=True)))
                if any(order) and hz <= to_hz:
                    modes.append(Mode(hz, order, _KINDS[sum(n > 0 for n in order) - 1]))
    return tuple(sorted(modes, key=lambda mode: (mode.frequency_hz, mode.order)))


def sides_m(x_m2: float, y_m2: float, z_m2: float) -> tuple[float, float, float]:
    """Sides in m of the box whose pairs of surfaces facing x, y and z have these areas in m2, all above 0.

    A room that is no box has sides of its like only.

    Source: of a box the pairs have 2wh, 2lh and 2lw, so that l = (Sy Sz / 2 Sx)^(1/2) and so on.
    """
    half = math.sqrt(x_m2 * y_m2 * z_m2 / 2.0)
    return half / x_m2, half / y_m2, half / z_m2


def mode_count(length_m: float, width_m: float, height_m: float, speed_m_s: float, to_hz: float) -> float:
    """How many modes a box in m has up to a frequency in Hz, smoothed, for a speed of sound in m/s.

    Source: N = 4 pi V f^3 / 3c^3 + pi S f^2 / 4c^2 + L f / 8c with L the sum of the twelve edges (Kuttruff, Room
    Acoustics, from memory).
    """
    volume_m3 = length_m * width_m * height_m
    surface_m2 = 2.0 * (length_m * width_m + length_m * height_m + width_m * height_m)
    edges_m = 4.0 * (length_m + width_m + height_m)
    ratio = to_hz / speed_m_s
    return 4.0 * math.pi * volume_m3 * ratio**3 / 3.0 + math.pi * surface_m2 * ratio**2 / 4.0 + edges_m * ratio / 8.0
