"""Where track runs around a bay: joints where a neighbour shares the line, edges elsewhere, each with its true face."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import dist
from typing import Literal

from tracker.domain.geometry.outline import STRAIGHT_SINE, cross, direction, sides
from tracker.domain.site import Outline, Point

SHARED_WITHIN_M = 0.002
"""Sides of two drawn bays nearer than this are one joint, m. Common practice, no source."""
_ALMOST_STRAIGHT_SINE = 0.02  # under about 1 degree the offset lines meet too far off to be a mitre
_LONGEST_MITRE = 10.0  # of the face; a sharper corner is cut square instead

Kind = Literal["edge", "joint"]


@dataclass(frozen=True, slots=True)
class TrackEdge:
    """One straight stretch of track along a bay, the bay on its left."""

    start: Point
    end: Point
    kind: Kind
    neighbour: str | None
    """The bay on the other side of a joint."""
    face_m: float
    """What it takes off this bay: an edge's whole face, half a joint's."""
    at_opening: bool
    ring: int
    """Which of the bay's closed lines it belongs to; its stretches follow each other in order."""
    quad: Outline
    """Its mitred face within this bay: start, end, and the two inner corners."""

    @property
    def length_m(self) -> float:
        return dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class Line:
    """A side of a neighbouring bay, m, and how near it must be to be a joint."""

    bay: str
    start: Point
    end: Point
    within_m: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight part of a bay's line with one kind of track, before its ends are mitred."""

    start: Point
    end: Point
    neighbour: str | None
    at_opening: bool


def stretches(ring: Outline, neighbours: Mapping[str, Sequence[Outline]], within_m: Mapping[str, float]
              ) -> list[Stretch]:
    """A bay's closed line (m) split into stretches shared with one neighbour or with none, in order around it.

    `within_m`: how near (m) the side of each neighbour must be to be the same line. Source: definition.
    """
    lines = [Line(name, start, end, within_m[name]) for name, rings in neighbours.items() for ring_ in rings
             for start, end in sides(ring_)]
    found: list[Stretch] = []
    for start, end in sides(ring):
        found += _split(start, end, lines)
    return merged(found)


def merged(around: list[Stretch]) -> list[Stretch]:
    """Stretches of one closed line with those that run on in line, in the same kind, made one.

    Source: definition; in line is STRAIGHT_SINE.
    """
    joined: list[Stretch] = []
    for stretch in around:
        if joined and _runs_on(joined[-1], stretch):
            stretch = Stretch(joined.pop().start, stretch.end, stretch.neighbour, stretch.at_opening)
        joined.append(stretch)
    if len(joined) > 1 and _runs_on(joined[-1], joined[0]):
        last = joined.pop()
        joined[0] = Stretch(last.start, joined[0].end, last.neighbour, last.at_opening)
    return joined


def _runs_on(one: Stretch, other: Stretch) -> bool:
    return ((one.neighbour, one.at_opening) == (other.neighbour, other.at_opening)
            and in_line(direction(one.start, one.end), direction(other.start, other.end)))


def in_line(one: Point, other: Point) -> bool:
    """Whether two unit vectors point the same way, to STRAIGHT_SINE.

    Source: definition.
    """
    return abs(cross(one, other)) < STRAIGHT_SINE and one[0] * other[0] + one[1] * other[1] > 0


def _split(start: Point, end: Point, lines: list[Line]) -> list[Stretch]:
    length = dist(start, end)
    shared = sorted((*span, line.bay, line.within_m) for line in lines if (span := _shared(start, end, line)))
    cuts: list[tuple[float, float, str | None]] = []
    done = 0.0
    u = direction(start, end)
    for low, high, name, within in shared:
        low = done if low - done < within else low
        if high - low < within:
            continue
        if low > done:
            cuts.append((done, low, None))
        cuts.append((low, high, name))
        done = high
    if done < length:
        cuts.append((done, length, None))

    def at(along: float) -> Point:
        if along in (0.0, length):
            return end if along else start
        return start[0] + along * u[0], start[1] + along * u[1]

    return [Stretch(at(low), at(high), name, at_opening=False) for low, high, name in cuts]


def _shared(start: Point, end: Point, line: Line) -> tuple[float, float] | None:
    """From where to where along a side another bay's side, which runs the other way, lies on it."""
    span = _beside(start, end, line.start, line.end)
    back = _beside(line.start, line.end, start, end)
    if span is None or back is None:
        return None
    low, high, off = span
    # The two bays must agree, so what is measured from either side is judged by the same figure.
    if min(high - low, back[1] - back[0]) < line.within_m or min(off, back[2]) > line.within_m:
        return None
    length = dist(start, end)
    return (0.0 if low < line.within_m else low), (length if length - high < line.within_m else high)


def _beside(start: Point, end: Point, c: Point, d: Point) -> tuple[float, float, float] | None:
    """Where c-d runs back beside start-end: from, to, and how far off at the most."""
    u = direction(start, end)
    to_c, to_d = (c[0] - start[0], c[1] - start[1]), (d[0] - start[0], d[1] - start[1])
    along_c, along_d = u[0] * to_c[0] + u[1] * to_c[1], u[0] * to_d[0] + u[1] * to_d[1]
    low, high = max(0.0, along_d), min(dist(start, end), along_c)
    if high <= low:
        return None
    off_c, off_d = cross(u, to_c), cross(u, to_d)
    rise = (off_c - off_d) / (along_c - along_d)
    return low, high, max(abs(off_d + rise * (low - along_d)), abs(off_d + rise * (high - along_d)))


def mitred(ring: Sequence[Stretch], faces_m: Sequence[float]) -> list[Outline]:
    """The face of each stretch (m) around a closed line, cut at its ends where its inner line meets its neighbours'.

    Source: definition (a mitre runs from the outer corner to where the inner lines meet).
    """
    inner = [_inner_corners(ring[n - 1], faces_m[n - 1], ring[n], faces_m[n]) for n in range(len(ring))]
    quads = []
    for n, stretch in enumerate(ring):
        from_start, from_end = inner[n][1], inner[(n + 1) % len(ring)][0]
        quads.append(_face(stretch.start, stretch.end, from_end, from_start))
    return quads


def _inner_corners(one: Stretch, one_face: float, other: Stretch, other_face: float) -> tuple[Point, Point]:
    """Where the inner lines of two stretches end at the corner between them: one point, or two where they step."""
    corner = other.start
    u, v = direction(one.start, one.end), direction(other.start, other.end)
    square = ((corner[0] - u[1] * one_face, corner[1] + u[0] * one_face),
              (corner[0] - v[1] * other_face, corner[1] + v[0] * other_face))
    sine = cross(u, v)
    if abs(sine) < _ALMOST_STRAIGHT_SINE:
        return square
    along = cross((square[1][0] - square[0][0], square[1][1] - square[0][1]), v) / sine
    meet = (square[0][0] + along * u[0], square[0][1] + along * u[1])
    if dist(meet, corner) > _LONGEST_MITRE * max(one_face, other_face):
        return square
    return meet, meet


def _face(start: Point, end: Point, from_end: Point, from_start: Point) -> Outline:
    """The four corners of a face; a stretch too short for both its mitres ends in the point where they cross."""
    u = direction(start, end)
    if (from_end[0] - from_start[0]) * u[0] + (from_end[1] - from_start[1]) * u[1] >= 0:
        return start, end, from_end, from_start
    a, b = (from_start[0] - start[0], from_start[1] - start[1]), (from_end[0] - end[0], from_end[1] - end[1])
    share = cross((end[0] - start[0], end[1] - start[1]), b) / cross(a, b)
    point = (start[0] + share * a[0], start[1] + share * a[1])
    return start, end, point, point
