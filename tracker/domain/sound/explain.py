"""The sum behind a figure: every surface, bay and absorber of a room with area, coefficient, source and product."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.counting import State, counted
from tracker.domain.sound.decay import sabine_constant
from tracker.domain.sound.surfaces import BaySound, RoomSurfaces, used

RowKind = Literal["surface", "covered", "bay", "cloud", "absorber"]
COVERED_SOURCE = "EN 12354-6:2003, equation 1: a lining replaces what it covers"


@dataclass(frozen=True, slots=True)
class Row:
    """One term of the sum: area (m2, or how many of an absorber) times coefficient (or m2 of one) is the product, m2.

    The area is below 0 for a surface that is covered.
    """

    kind: RowKind
    name: str
    area_m2: float
    coefficient: float
    published: float
    """The coefficient before it was capped."""
    product_m2: float
    source: str


@dataclass(frozen=True, slots=True)
class Explained:
    """An area figure of one octave band, Hz, taken apart, and the decay time that follows from it."""

    band_hz: int
    rows: tuple[Row, ...]
    total_m2: float
    """The state's absorption area without the air: the rows' products added up."""
    air_m2: float
    """4mV."""
    constant_s_per_m: float
    """24 ln(10)/c."""
    volume_m3: float
    sabine_s: float | None
    state: State
    """The whole state the figure belongs to, with the other models' times."""

    @property
    def sentence(self) -> str:
        """The decay from the sum, in figures."""
        if self.sabine_s is None:
            return "Nothing absorbs here: there is no decay time."
        return (
            f"T = {self.constant_s_per_m:.4f} x {self.volume_m3:.1f} / ({self.total_m2:.2f} + {self.air_m2:.2f}) "
            f"= {self.sabine_s:.2f} s (Sabine; {self.air_m2:.2f} m2 is the air)."
        )


def explain(room: RoomSurfaces, band_hz: int, done: Iterable[str] | None = (), cap: bool = True) -> Explained:
    """The sum behind a room's absorption area in m2 in one octave band in Hz, and Sabine's time from it.

    With the phases named done and the others as they are up: none named is now, all named is planned, None is bare.
    Refused for a band that is not counted in.

    Source: EN 12354-6:2003, equations 1 and 5; each row names its own.
    """
    if band_hz not in BANDS_HZ:
        raise Refused(f"{band_hz} Hz: figures are given for {', '.join(map(str, BANDS_HZ))} Hz")
    band = BANDS_HZ.index(band_hz)
    finished = None if done is None else set(done)
    count = counted(room, cap)
    state = count.state(count.areas(finished))
    rows = (*_surfaces(room, band, cap), *_bays(room, band, finished, cap), *_absorbers(room, band))
    return Explained(
        band_hz=band_hz,
        rows=rows,
        total_m2=state.area_m2[band],
        air_m2=4.0 * count.air_per_m[band] * room.volume_m3,
        constant_s_per_m=sabine_constant(count.speed_m_s),
        volume_m3=room.volume_m3,
        sabine_s=state.sabine_s[band],
        state=state,
    )


def _row(kind: RowKind, name: str, area: float, coefficient: float, published: float, source: str) -> Row:
    return Row(kind, name, area, coefficient, published, area * coefficient, source)


def _surfaces(room: RoomSurfaces, band: int, cap: bool) -> list[Row]:
    return [
        _row("surface", f"{plane.name}: {patch.surface}" if patch.surface else plane.name, patch.area_m2,
             used(patch.alpha, cap)[band], patch.alpha[band], patch.source)
        for plane in room.planes if plane.kind != "cloud"
        for patch in plane.patches
    ]  # fmt: skip


def _bays(room: RoomSurfaces, band: int, done: set[str] | None, cap: bool) -> list[Row]:
    rows: list[Row] = []
    for _, bay in room.bays:
        share = _share(bay, done)
        if share <= 0.0:
            continue
        up_m2 = bay.area_m2 * share
        if bay.faces != 2:
            rows.append(_row("covered", bay.key, -up_m2, used(bay.alpha_covered, cap)[band], bay.alpha_covered[band],
                             COVERED_SOURCE))  # fmt: skip
        rows.append(_row("cloud" if bay.faces == 2 else "bay", bay.key, bay.faces * up_m2,
                         used(bay.alpha_new, cap)[band], bay.alpha_new[band], bay.source))  # fmt: skip
    return rows


def _share(bay: BaySound, done: set[str] | None) -> float:
    if done is None:
        return 0.0
    return 1.0 if bay.phase in done else bay.installed_fraction


def _absorbers(room: RoomSurfaces, band: int) -> list[Row]:
    return [
        _row("absorber", one.name, one.count, one.area_m2[band], one.area_m2[band], "the site's own figures")
        for one in room.absorbers if one.count
    ]  # fmt: skip
