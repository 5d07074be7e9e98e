"""The octave bands every figure is given in."""

from __future__ import annotations

BANDS_HZ: tuple[int, ...] = (125, 250, 500, 1000, 2000, 4000)
"""Nominal octave midbands, Hz (IEC 61260-1)."""

MIDBANDS_HZ: tuple[float, ...] = tuple(1000.0 * 10.0 ** (3 * k / 10) for k in range(-3, 3))
"""Exact octave midbands 1000 * 10^(3k/10), Hz (IEC 61260-1; ISO 9613-1 tabulates at these)."""

PerBand = tuple[float, ...]
"""One figure for each of BANDS_HZ."""
