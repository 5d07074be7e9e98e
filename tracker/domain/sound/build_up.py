"""Coefficients of a build-up: its own test figures, else a handbook's, else worked out from its layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from tracker.domain.bands import PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.catalogue import BoardRow, boards

if TYPE_CHECKING:
    from tracker.domain.sound.layers import Resistivity

SAME_THICKNESS = 0.10
"""Share of the thickness within which a printed row is of the same thickness (common practice, no source)."""
SAME_DENSITY = 2.0
"""Factor of density beyond which a printed row is of another board (common practice, no source)."""
SAME_GAP_M = 0.010
"""Difference in the air behind within which a printed row is built alike, m (common practice, no source)."""


Basis = Literal["test figures", "handbook", "layers"]


@dataclass(frozen=True, slots=True)
class BuildUpAlpha:
    """Coefficients per octave band as published (they may exceed 1), where they are from, and the spread they may have.

    The spread of a handbook's is that of all rows of this thickness and gap, of layers that of the flow resistivity.
    """

    alpha: PerBand
    source: str
    low: PerBand
    high: PerBand
    basis: Basis


def build_up_alpha(
    thickness_m: float,
    density_kg_m3: float | None,
    flow_resistivity_pa_s_m2: float | None,
    gap_m: float,
    given: PerBand | None = None,
    fabric_pa_s_m: float = 0.0,
) -> BuildUpAlpha:
    """Coefficients of a fibre board: thickness in m, density in kg/m3, flow resistivity in Pa s/m2, air behind in m.

    Test figures given come first; then the handbook rows of the same thickness and gap nearest in density, averaged
    where several are as near; then the layer model. Refused where none of them has what it needs. Of a fabric's
    specific flow resistance, Pa s/m, only the layer model knows.

    Source: as the result's source says: boards.toml, or layers.py.
    """
    alike = alike_rows(thickness_m, gap_m)
    if given is not None:
        low, high = _spread([given, *(row.alpha for row in alike)])
        return BuildUpAlpha(given, "the site's own test figures", low, high, "test figures")
    nearest = _nearest(alike, density_kg_m3)
    if nearest:
        low, high = _spread([row.alpha for row in alike])
        return BuildUpAlpha(_average([row.alpha for row in nearest]), _named(nearest), low, high, "handbook")
    return _from_layers(thickness_m, density_kg_m3, flow_resistivity_pa_s_m2, gap_m, fabric_pa_s_m)


def alike_rows(thickness_m: float, gap_m: float) -> tuple[BoardRow, ...]:
    """The handbook rows of one thickness and one gap, both in m, of any density.

    Source: boards.toml.
    """
    return tuple(row for row in boards() if _same_make(row, thickness_m, gap_m))


def flow_resistivity(density_kg_m3: float | None, flow_resistivity_pa_s_m2: float | None) -> Resistivity | None:
    """Flow resistivity in Pa s/m2 as given, else from the density in kg/m3 with its spread; None without either.

    Source: layers.resistivity_from_density.
    """
    from tracker.domain.sound.layers import Resistivity, resistivity_from_density

    if flow_resistivity_pa_s_m2 is not None:
        return Resistivity(*[flow_resistivity_pa_s_m2] * 3, "as given")
    return None if density_kg_m3 is None else resistivity_from_density(density_kg_m3)


def _same_make(row: BoardRow, thickness_m: float, gap_m: float) -> bool:
    close = abs(row.thickness_m - thickness_m) <= SAME_THICKNESS * thickness_m
    return close and abs(row.air_gap_m - gap_m) <= SAME_GAP_M


def _nearest(rows: Sequence[BoardRow], density_kg_m3: float | None) -> list[BoardRow]:
    """The rows as near in density as any, none beyond a factor of 2; all of them where the density is not known."""
    if density_kg_m3 is None:
        return list(rows)
    factors = [(factor, row) for row in rows if (factor := _factor(row, density_kg_m3)) is not None]
    least = min((factor for factor, _ in factors), default=SAME_DENSITY + 1.0)
    return [row for factor, row in factors if factor == least <= SAME_DENSITY]


def _factor(row: BoardRow, density_kg_m3: float) -> float | None:
    if row.density_kg_m3 is None:
        return None
    low, high = row.density_kg_m3
    return max(low / density_kg_m3, density_kg_m3 / high, 1.0)


def _from_layers(
    thickness_m: float, density: float | None, resistivity: float | None, gap_m: float, fabric: float
) -> BuildUpAlpha:
    from tracker.domain.sound.layers import Layers, random_alpha

    flow = flow_resistivity(density, resistivity)
    if flow is None:
        raise Refused(
            f"board {1000 * thickness_m:g} mm with {1000 * gap_m:g} mm air: no handbook row fits; "
            "give its density, flow_resistivity or alpha"
        )
    found, *ends = (
        random_alpha(Layers(thickness_m, value, gap_m, fabric)) for value in (flow.value, flow.low, flow.high)
    )
    low, high = _spread([found.alpha, *(end.alpha for end in ends)])
    beyond = ", ".join(f"{hz:g}" for hz in found.outside_hz)
    source = (
        f"worked out from the layers, Miki 1990, random incidence 0 to 78 degrees, "
        f"flow resistivity {round(flow.value, -2):.0f} Pa s/m2 ({flow.source})"
        + (f"; beyond the model's range at {beyond} Hz" if beyond else "")
    )
    return BuildUpAlpha(found.alpha, source, low, high, "layers")


def _average(alphas: Sequence[PerBand]) -> PerBand:
    return tuple(round(sum(column) / len(column), 3) for column in zip(*alphas, strict=True))


def _spread(alphas: Sequence[PerBand]) -> tuple[PerBand, PerBand]:
    columns = list(zip(*alphas, strict=True))
    return tuple(min(column) for column in columns), tuple(max(column) for column in columns)


def _named(rows: Sequence[BoardRow]) -> str:
    first = rows[0]
    if len(rows) == 1:
        return f"{first.name}: {first.source}"
    books = dict.fromkeys(row.source.split(",")[0] for row in rows)
    return f"mean of {len(rows)} handbook rows of {1000 * first.thickness_m:g} mm: {'; '.join(books)}"
