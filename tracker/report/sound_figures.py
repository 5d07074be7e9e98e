"""How figures of sound are written: no more digits than their spread deserves."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tracker.domain.bands import BANDS_HZ
from tracker.domain.sound.trust import area_digits, decay_digits, digits

OPEN_S = 100.0
"""A target's end beyond this is none, s (common practice, no source)."""
NOT_RESOLVED = "not resolved"
BANDS = tuple(f"{band} Hz" for band in BANDS_HZ)


def span(low: float | None, high: float | None) -> str:
    """A span of decay times, s; one figure where both ends agree to the digits they deserve, a dash for none."""
    if low is None or high is None:
        return "-"
    places = decay_digits(low, high)
    ends = f"{low:.{places}f}", f"{high:.{places}f}"
    return ends[0] if ends[0] == ends[1] else "-".join(ends)


def spans(low: Sequence[float | None], high: Sequence[float | None]) -> list[str]:
    """Spans band by band."""
    return [span(one, two) for one, two in zip(low, high, strict=True)]


def ends(low: Sequence[float], high: Sequence[float]) -> list[str]:
    """A target's shortest and longest decay times as given, s; an end that no room reaches is open."""
    return [f"{one:.2f}-{two:.2f}" if two < OPEN_S else f"from {one:.2f}" for one, two in zip(low, high, strict=True)]


def area(area_m2: float, low_m2: float, high_m2: float) -> str:
    """An absorption area, m2, to the digits its sources deserve."""
    return f"{area_m2:.{area_digits(low_m2, high_m2)}f}"


def with_error(figure: float | None, expanded: float | None) -> str:
    """A measured figure with its expanded uncertainty: `3.2 ±0.8`."""
    if figure is None:
        return "-"
    if not expanded:
        return f"{figure:.2f}"
    places = min(2, digits(expanded))
    return f"{figure:.{places}f} ±{expanded:.{places}f}"


def adding_up(parts: Sequence[float], places: int = 2) -> list[str]:
    """Figures rounded so that those shown add up to their sum as shown: each up or down, the nearest halves first."""
    scaled = [part * 10**places for part in parts]
    whole = [math.floor(part) for part in scaled]
    up = round(float(f"{sum(parts):.{places}f}") * 10**places) - sum(whole)
    order = sorted(range(len(parts)), key=lambda place: whole[place] - scaled[place])
    for place in order[:up]:
        whole[place] += 1
    return [f"{part / 10**places:.{places}f}" for part in whole]


def listed(bands: Sequence[int]) -> str:
    """Bands in words: `125, 250 Hz`."""
    return f"{', '.join(map(str, bands))} Hz" if bands else "no band"
