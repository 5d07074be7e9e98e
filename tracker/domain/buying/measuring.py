"""How often a piece measured with a tape comes out too short to be used."""

from __future__ import annotations

import math

from tracker.domain.cutting.layout import HAIRLINE_M

TRACK_GAP_M = 0.002
"""A run of track shorter than its place by more than this leaves an open mitre, and is cut again, m. Common practice,
no source."""
INFILL_GAP_M = HAIRLINE_M
"""A piece of infill shorter than its place by more than the gap a layout leaves is cut again, m."""
_DEVIATIONS = 2.0
"""The worst that a tape's class allows is taken as so many standard deviations. Common practice, no source."""


def tape_worst_m(length_m: float) -> float:
    """The most that a class II tape may be wrong over a length, both in m, at 20 degC and the pull stated on it.

    Source: Directive 2014/32/EU, annex X, chapter I: a + b L with a = 0.3 mm, b = 0.2 mm a metre, L rounded up to the
    next whole metre.
    """
    return (0.3 + 0.2 * math.ceil(length_m - 1e-9)) / 1000


def tape_error_m(length_m: float) -> float:
    """Standard deviation of a length measured with a class II tape, m.

    Source: half of the worst that its class allows. Common practice, no source for the half.
    """
    return tape_worst_m(length_m) / _DEVIATIONS


def chance_too_short(lengths_m: tuple[float, ...], gap_m: float, error_m: float | None = None) -> float:
    """Chance (0 to 1) that any of a piece's measured lengths, m, comes out more than a gap, m, too short.

    `error_m` is the standard deviation of a measured length, m; None: that of a class II tape.
    Source: normal distribution of independent errors (Gauss).
    """
    good = 1.0
    for length in lengths_m:
        deviation = tape_error_m(length) if error_m is None else error_m
        if deviation > 0:
            good *= 1 - 0.5 * math.erfc(gap_m / deviation / math.sqrt(2))
    return 1 - good
