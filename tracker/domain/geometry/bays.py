"""Bays on their plane: what track and infill each one takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tracker.domain.errors import Refused
from tracker.domain.geometry.outline import direction, extent_m, place, tidy
from tracker.domain.geometry.regions import (
    Part,
    common,
    less,
    lies_on,
    snapped,
    total_m2,
    whole,
)
from tracker.domain.geometry.tape import quadrilateral
from tracker.domain.geometry.tracks import SHARED_WITHIN_M, Stretch, TrackEdge, mitred, stretches
from tracker.domain.site import Bay, Opening, Outline, Plane, Point, Site, TapeSet

DRAWN_WITHIN_M = 0.005
"""How far a shape given by its sizes may stray from where it belongs, m; common practice, no source."""
TAPED_WITHIN_M = 0.025
"""The same where a tape set gave it: its corners fall where the tape says, not on the grid; common practice."""


@dataclass(frozen=True, slots=True)
class BayFaces:
    """What the tracks of a bay's build-up take off the infill: the width of their faces, m."""

    edge_m: float
    joint_m: float


@dataclass(frozen=True, slots=True)
class BayShape:
    """A bay with its openings cut out, its tracks, and the infill between them."""

    name: str
    surveyed: Outline
    """As surveyed, before openings are cut out."""
    outline: tuple[Part, ...]
    cut_out: tuple[Part, ...]
    """What openings take of it."""
    edges: tuple[TrackEdge, ...]
    infill: tuple[Part, ...]

    @property
    def area_m2(self) -> float:
        return total_m2(self.outline)

    @property
    def infill_m2(self) -> float:
        return total_m2(self.infill)

    @property
    def edge_track_m(self) -> float:
        return sum(edge.length_m for edge in self.edges if edge.kind == "edge")

    @property
    def joint_track_share_m(self) -> float:
        """Half of the length shared with neighbours."""
        return sum(edge.length_m for edge in self.edges if edge.kind == "joint") / 2

    @property
    def size_m(self) -> tuple[float, float]:
        """Width and height of the box around what is to be covered."""
        corners = tuple(corner for part in self.outline for corner in part.exterior)
        if not corners:
            return 0.0, 0.0
        (left, bottom), (right, top) = extent_m(corners)
        return right - left, top - bottom


def track_faces(site: Site, plane: Plane) -> dict[str, BayFaces]:
    """The faces (m) of each bay's tracks by the bay's name, from its build-up; 0 where it has no such track.

    Source: definition.
    """
    def face(item: str | None) -> float:
        return site.item[item].face_m if item else 0.0

    build_ups = {bay.name: site.build_up[bay.build_up] for bay in plane.bays}
    return {name: BayFaces(face(build_up.edge), face(build_up.joint)) for name, build_up in build_ups.items()}


def _cut(outline: Outline, openings: tuple[Opening, ...]) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """What openings leave of an outline, and what they take."""
    bay = whole(outline)
    (left, bottom), (right, top) = extent_m(outline)
    near = []
    for opening in openings:
        low, high = extent_m(opening.outline)
        if low[0] < right and low[1] < top and high[0] > left and high[1] > bottom:
            near.append(snapped(opening.outline, bay.exterior, SHARED_WITHIN_M))
    taken = common([bay], near) if near else ()
    return (less([bay], near), taken) if taken else ((bay,), ())


def bay_area_m2(outline: Outline, openings: tuple[Opening, ...]) -> float:
    """Area of a bay (outline in m) with its openings cut out, m2: the `area_m2` of its shape.

    Source: definition.
    """
    return total_m2(_cut(outline, openings)[0])


def bay_shapes(plane: Plane, faces: Mapping[str, BayFaces]) -> dict[str, BayShape]:
    """The shape of every bay of a plane by its name, from outlines and track faces in m, in the order written.

    A joint's face is that of the bay which comes first; each of the two bays gives half of it.
    Source: definition; checked against the hand-worked cases of tests/data.
    """
    cuts = {bay.name: _cut(bay.outline, plane.openings) for bay in plane.bays}
    rings = {name: [ring for part in parts for ring in part.rings] for name, (parts, _) in cuts.items()}
    boxes = {name: extent_m(tuple(corner for ring in found for corner in ring)) for name, found in rings.items()
             if found}
    order = list(cuts)
    shapes = {}
    for bay in plane.bays:
        parts, taken = cuts[bay.name]
        others = {one.name: one for one in plane.bays if one.name != bay.name and one.name in boxes
                  and bay.name in boxes and _near(boxes[bay.name], boxes[one.name])}
        within = {name: TAPED_WITHIN_M if bay.tape or one.tape else SHARED_WITHIN_M for name, one in others.items()}
        edges = []
        for number, ring in enumerate(rings[bay.name]):
            around = stretches(ring, {name: rings[name] for name in others}, within)
            edges += _ring_edges(bay, number, around, faces, order, bool(taken))
        infill = less(parts, [edge.quad for edge in edges if edge.face_m > 0])
        shapes[bay.name] = BayShape(bay.name, bay.outline, parts, taken, tuple(edges), infill)
    return shapes


def _near(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two boxes (low corner, high corner) come near enough for their bays to share a joint."""
    return all(one[0][axis] - other[1][axis] <= 2 * TAPED_WITHIN_M and other[0][axis] - one[1][axis]
               <= 2 * TAPED_WITHIN_M for axis in (0, 1))


def _ring_edges(bay: Bay, number: int, around: list[Stretch], faces: Mapping[str, BayFaces], order: list[str],
                has_opening: bool) -> list[TrackEdge]:
    if has_opening:
        around = [replace(one, at_opening=not lies_on(_middle(one), bay.outline, SHARED_WITHIN_M)) for one in around]
    widths = [faces[bay.name].edge_m if one.neighbour is None else
              faces[min(bay.name, one.neighbour, key=order.index)].joint_m / 2 for one in around]
    return [TrackEdge(one.start, one.end, "edge" if one.neighbour is None else "joint", one.neighbour, width,
                      one.at_opening, number, quad)
            for one, width, quad in zip(around, widths, mitred(around, widths), strict=True)]


def _middle(stretch: Stretch) -> Point:
    return (stretch.start[0] + stretch.end[0]) / 2, (stretch.start[1] + stretch.end[1]) / 2


def fitted_infill(shape: BayShape, fitted: TapeSet) -> tuple[Part, ...]:
    """The infill (m) by a tape set taken inside the fixed track, placed where the surveyed infill lies, less the
    openings in it with their track.

    Errors: Refused unless the bay was surveyed with four corners, and as for `quadrilateral`.
    Source: definition.
    """
    corners = tidy(shape.surveyed)
    if len(corners) != 4:
        raise Refused(f"{shape.name}: a tape set describes four sides; this bay has {len(corners)}")
    if not shape.infill:
        raise Refused(f"{shape.name}: its tracks leave no room for infill: check the bay's size and the track's face")
    surveyed_at = extent_m(tuple(corner for part in shape.infill for corner in part.exterior))[0]
    placed = place(_levelled(quadrilateral(fitted), corners), surveyed_at)
    taken = [*shape.cut_out, *(edge.quad for edge in shape.edges if edge.at_opening and edge.face_m > 0)]
    return less([whole(placed)], taken)


def _levelled(taped: Outline, corners: Outline) -> Outline:
    """The taped outline turned so that its bottom lies as the bay's bottom does on the plane."""
    first = min(range(4), key=lambda n: corners[n][0] + corners[n][1])
    ux, uy = direction(corners[first], corners[(first + 1) % 4])
    return tuple((x * ux - y * uy, x * uy + y * ux) for x, y in taped)
