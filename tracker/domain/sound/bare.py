"""A room's bare surfaces by coefficient, and the factor on all of them that gives a measured area."""

from __future__ import annotations

import math

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.sound.surfaces import RoomSurfaces, used

Parts = list[tuple[float, float]]
"""(coefficient as in the handbook, area in m2 it holds for) in one band."""


def bare_parts(room: RoomSurfaces, cap: bool, covered: bool) -> list[Parts]:
    """A room's bare surfaces for each band, with what the bays that are up cover taken off where asked; areas in m2.

    Source: EN 12354-6:2003, equation 1 (a lining replaces what it covers).
    """
    areas: dict[PerBand, float] = {}
    for plane in room.planes:
        if plane.kind == "cloud":
            continue
        for patch in plane.patches:
            alpha = used(patch.alpha, cap)
            areas[alpha] = areas.get(alpha, 0.0) + patch.area_m2
        for bay in plane.bays if covered else ():
            if bay.faces != 2:
                alpha = used(bay.alpha_covered, cap)
                areas[alpha] = areas.get(alpha, 0.0) - bay.area_m2 * bay.installed_fraction
    return [[(alpha[band], area) for alpha, area in areas.items()] for band in range(len(BANDS_HZ))]


def new_area(room: RoomSurfaces, cap: bool) -> PerBand:
    """What the bays that are up absorb by themselves, m2 per band.

    Source: EN 12354-6:2003, equation 1.
    """
    rows = [(bay.area_m2 * bay.installed_fraction * bay.faces, used(bay.alpha_new, cap)) for _, bay in room.bays]
    return tuple(sum(area * alpha[band] for area, alpha in rows) for band in range(len(BANDS_HZ)))


def scaled_sum(parts: Parts, factor: float, cap: bool) -> float:
    """The absorption area in m2 of surfaces whose coefficients are all multiplied with a factor.

    Source: definition.
    """
    return sum(area * (min(1.0, factor * alpha) if cap else factor * alpha) for alpha, area in parts)


def factor_for(parts: Parts, wanted_m2: float, cap: bool) -> float | None:
    """The factor on all coefficients that gives an area in m2; None where none above 0 does.

    With the cap a coefficient stops at 1 and the others carry the rest.

    Source: definition: the inverse of `scaled_sum`.
    """
    if wanted_m2 <= 0.0 or wanted_m2 >= sum(area for _, area in parts):
        return None
    held_m2 = 0.0
    rest = sorted((alpha, area) for alpha, area in parts if alpha > 0.0)
    while rest:
        plain = sum(alpha * area for alpha, area in rest)
        if plain <= 0.0:
            return None
        factor = (wanted_m2 - held_m2) / plain
        if not cap or factor * rest[-1][0] <= 1.0 + 1e-12:
            return factor if math.isfinite(factor) and factor > 0.0 else None
        held_m2 += rest.pop()[1]  # the most absorbent surface reaches 1 and takes no more
    return None
