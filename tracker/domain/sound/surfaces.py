"""A room as sound counts it: its planes, their bare parts, the bays on them and its free absorbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.site import Absorber, PlaneKind

AxisName = Literal["x", "y", "z"]
NONE: PerBand = (0.0,) * len(BANDS_HZ)


@dataclass(frozen=True, slots=True)
class Patch:
    """A part of a plane with one bare surface: the plane less its openings, or an opening; area in m2."""

    area_m2: float
    alpha: PerBand
    surface: str = ""
    """The bare surface's name."""
    source: str = ""


@dataclass(frozen=True, slots=True)
class BaySound:
    """A bay as sound counts it; its area in m2 is the plane it covers, openings cut out."""

    key: str
    phase: str
    area_m2: float
    alpha_new: PerBand
    alpha_covered: PerBand
    """Of the surface it replaces; nothing is covered by a cloud, whatever is given."""
    faces: int = 1
    """2 for a cloud."""
    installed_fraction: float = 0.0
    """How much of its infill is up, 0 to 1."""
    build_up: str = ""
    source: str = ""
    """Where its new coefficients are from."""
    alpha_span: tuple[PerBand, PerBand] | None = None
    """The new coefficients as low as any of their sources has them, and as high; None: there is one figure."""


@dataclass(frozen=True, slots=True)
class PlaneSound:
    """A plane as sound counts it: its bare parts and the bays on it."""

    name: str
    kind: PlaneKind
    axis: AxisName | None
    """As written for a wall; ceilings, slopes and floors are z whatever is given."""
    patches: tuple[Patch, ...]
    """The plane's bare parts; a cloud has none that count."""
    bays: tuple[BaySound, ...] = ()

    @property
    def facing(self) -> AxisName | None:
        """The pair of opposite surfaces it belongs to; None where it is not said."""
        return self.axis if self.kind == "wall" else "z"


@dataclass(frozen=True, slots=True)
class Anchor:
    """What each model's times are multiplied with so that all of them give a measured state's; 1 where none is."""

    eyring: PerBand
    fitzroy: PerBand
    arau_puchades: PerBand
    tied: tuple[bool, ...] = (True,) * len(BANDS_HZ)
    """False in bands that were not measured, or could not be brought to the measurement."""


@dataclass(frozen=True, slots=True)
class RoomSurfaces:
    """What a room's sound is counted from: m3, degC, % relative humidity, its planes and free absorbers."""

    name: str
    volume_m3: float
    temperature_c: float
    humidity_pct: float
    planes: tuple[PlaneSound, ...]
    absorbers: tuple[Absorber, ...] = ()
    anchor: Anchor | None = None
    """Where the room is calibrated, what ties the other models to the measurement as the surfaces tie Sabine's."""

    @property
    def bays(self) -> Iterator[tuple[PlaneSound, BaySound]]:
        """Every bay with its plane, in order."""
        return ((plane, bay) for plane in self.planes for bay in plane.bays)

    @property
    def absorbers_m2(self) -> PerBand:
        """Absorption area of all the free absorbers together, m2 per octave band."""
        return plus(times(one.area_m2, one.count) for one in self.absorbers)


def used(alpha: PerBand, cap: bool) -> PerBand:
    """Coefficients as they are counted with: those over 1 as 1 unless `cap` is off.

    Source: common practice; ISO 11654:1997, 4.1, caps its practical coefficients likewise.
    """
    return tuple(min(value, 1.0) for value in alpha) if cap else alpha


def plus(areas: Iterable[PerBand]) -> PerBand:
    """The sum of areas in m2, band by band.

    Source: definition.
    """
    return tuple(sum(column) for column in zip(NONE, *areas, strict=True))


def times(areas: PerBand, factor: float) -> PerBand:
    """Areas in m2 or coefficients, each times a factor.

    Source: definition.
    """
    return tuple(area * factor for area in areas)
