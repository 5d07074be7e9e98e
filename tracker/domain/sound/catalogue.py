"""The built-in catalogue: bare surfaces, persons and fibre boards, each row with its source."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from tracker.domain.bands import PerBand
from tracker.domain.site import Absorber, Surface

_HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class BoardRow:
    """A printed row for a fibre board; coefficients as published, which may exceed 1."""

    name: str
    thickness_m: float
    density_kg_m3: tuple[float, float] | None
    """Lowest and highest the row is printed for; None where the handbook does not say."""
    air_gap_m: float
    alpha: PerBand
    source: str
    note: str


@dataclass(frozen=True, slots=True)
class AbsorberRow:
    """A person: the equivalent absorption area of one, m2."""

    absorber: Absorber
    source: str
    note: str


@cache
def bare_surfaces() -> dict[str, Surface]:
    """Bare surfaces by trade name, coefficients as fractions per octave band of random incidence.

    Source: surfaces.toml, each row with its handbook.
    """
    return {row["name"]: Surface(row["name"], _bands(row["alpha"]), row["source"]) for row in _rows("surface")}


@cache
def surface_kinds() -> dict[str, str]:
    """What each bare surface is part of: wall, ceiling, floor, glass, door, curtain, seating or other.

    Source: surfaces.toml.
    """
    return {row["name"]: row["kind"] for row in _rows("surface")}


@cache
def surface_notes() -> dict[str, str]:
    """What the handbooks add about a bare surface: its make, a misprint met elsewhere, how far they disagree.

    Source: surfaces.toml.
    """
    return {row["name"]: row["note"] for row in _rows("surface") if "note" in row}


@cache
def absorber_rows() -> tuple[AbsorberRow, ...]:
    """Persons, each with the equivalent absorption area of one in m2.

    Source: surfaces.toml, each row with its handbook.
    """
    return tuple(
        AbsorberRow(Absorber(row["name"], _bands(row["area_m2"])), row["source"], row.get("note", ""))
        for row in _rows("absorber")
    )


@cache
def boards() -> tuple[BoardRow, ...]:
    """Fibre boards by thickness (m), density (kg/m3) and the air gap behind (m), coefficients as published.

    Source: boards.toml, each row with its handbook.
    """
    return tuple(
        BoardRow(
            name=row["name"],
            thickness_m=float(row["thickness_m"]),
            density_kg_m3=_pair(row.get("density_kg_m3")),
            air_gap_m=float(row["air_gap_m"]),
            alpha=_bands(row["alpha"]),
            source=row["source"],
            note=row.get("note", ""),
        )
        for row in _table("boards.toml")["board"]
    )


def _rows(kind: str) -> list[dict[str, Any]]:
    return _table("surfaces.toml")[kind]


def _bands(values: list[float]) -> PerBand:
    return tuple(float(value) for value in values)


def _pair(values: list[float] | None) -> tuple[float, float] | None:
    return None if values is None else (float(values[0]), float(values[1]))


@cache
def _table(file: str) -> dict[str, Any]:
    import tomllib  # late: only what asks for the catalogue pays for reading it

    return tomllib.loads((_HERE / file).read_text(encoding="utf-8"))
