"""A free-hung cloud: what its two faces can absorb with a gap to the ceiling, and what hangs on each hanger."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.bands import PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.surfaces import times, used
from tracker.measures import SiteUnit, show_area, show_length

ASSUMPTION = (
    "A cloud is counted on both faces with its build-up's coefficients, and covers nothing: common practice, no "
    "source. Sound reaches the upper face through the opening round the edge only, and an opening takes at most its "
    "own area (definition of absorption area)."
)
CAUTION = (
    "Caution: hang it from the structure, never from plasterboard or a batten alone, with fixings rated for the load; "
    "keep it clear of wiring and lamps, and follow local codes."
)


@dataclass(frozen=True, slots=True)
class CloudSound:
    """What a cloud absorbs, m2 per octave band."""

    counted_m2: PerBand
    """Both faces, as the plan counts it."""
    one_face_m2: PerBand
    """The face to the room alone."""
    limited_m2: PerBand
    """Both faces, the upper one no more than the opening round the edge."""
    opening_m2: float
    """Edge length times the gap to the ceiling."""
    full_gap_m: float
    """The gap from which the opening is as large as the face, so that both can be counted in full."""
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CloudWeight:
    """The weight of a cloud, kg; None for a layer that was not given."""

    board_kg: float | None
    fabric_kg: float | None
    track_kg: float | None
    total_kg: float
    """Of the layers that are known."""
    per_hanger_kg: float
    one_fails_kg: float | None
    """On each of the others where one hanger fails; None with a single one."""
    unknown: tuple[str, ...]
    caution: str


def cloud_sound(
    area_m2: float, edge_m: float, gap_m: float, alpha: PerBand, cap: bool = True, unit: SiteUnit = "mm"
) -> CloudSound:
    """What a cloud of an area in m2, edge length in m and gap to the ceiling in m absorbs with these coefficients.

    Coefficients over 1 count as 1 unless `cap` is off; the notes are in the site's unit. Refused for an area or edge
    not above 0 or a gap below 0.

    Source: two faces, common practice, no source; the limit follows from the definition of absorption area: an
    opening absorbs at most its own area.
    """
    if not area_m2 > 0.0 or not edge_m > 0.0 or gap_m < 0.0:
        raise Refused("cloud: area and edge must be above 0, the gap to the ceiling 0 or more")
    face = times(used(alpha, cap), area_m2)
    opening_m2, full_gap_m = edge_m * gap_m, area_m2 / edge_m
    notes = [ASSUMPTION]
    if gap_m > 0.0:
        notes.append(
            f"Coefficients for {show_length(gap_m, unit)} of air before a wall already hold what the ceiling gives "
            "back: at 125 and 250 Hz one face is the safe figure."
        )
    if opening_m2 < max(face):
        notes.append(
            f"With {show_length(gap_m, unit)} to the ceiling the opening is {show_area(opening_m2, unit)}: the upper "
            f"face absorbs no more than that. From {show_length(full_gap_m, unit)} both faces can be counted in full."
        )
    return CloudSound(
        counted_m2=times(face, 2.0),
        one_face_m2=face,
        limited_m2=tuple(one + min(one, opening_m2) for one in face),
        opening_m2=opening_m2,
        full_gap_m=full_gap_m,
        notes=tuple(notes),
    )


def cloud_weight(
    area_m2: float,
    thickness_m: float,
    density_kg_m3: float | None,
    hangers: int,
    fabric_kg_m2: float | None = None,
    fabric_area_m2: float | None = None,
    track_kg_m: float | None = None,
    track_m: float | None = None,
) -> CloudWeight:
    """The weight in kg of a cloud and the load on each hanger: m2, m, kg/m3; fabric kg/m2 and m2, track kg/m and m.

    The fabric's area is the cloud's where none is given. What is not given is named as unknown and left out. Refused
    for less than one hanger, or sizes not above 0.

    Source: definition, density times volume and so on; the load with one hanger gone is common practice, no source.
    """
    if hangers < 1:
        raise Refused(f"cloud: {hangers} hangers; give at least 1")
    if not area_m2 > 0.0 or not thickness_m > 0.0:
        raise Refused("cloud: area and board thickness must be above 0")
    board = None if density_kg_m3 is None else density_kg_m3 * thickness_m * area_m2
    cloth_m2 = area_m2 if fabric_area_m2 is None else fabric_area_m2
    fabric = None if fabric_kg_m2 is None else fabric_kg_m2 * cloth_m2
    track = None if track_kg_m is None or track_m is None else track_kg_m * track_m
    layers = (("board", board), ("fabric", fabric), ("track", track))
    total = sum(kg for _, kg in layers if kg is not None)
    return CloudWeight(
        board, fabric, track, total, total / hangers, total / (hangers - 1) if hangers > 1 else None,
        tuple(name for name, kg in layers if kg is None), CAUTION,
    )  # fmt: skip
