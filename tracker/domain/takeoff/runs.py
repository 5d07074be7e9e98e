"""Runs of track around bays: what is cut as one length, from corner to corner, with how its ends are cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import dist
from typing import Literal

from tracker.domain.geometry.bays import BayShape
from tracker.domain.geometry.outline import direction
from tracker.domain.geometry.tracks import SHARED_WITHIN_M, TrackEdge, in_line
from tracker.domain.site import Outline

End = Literal["mitre", "double mitre", "square"]


@dataclass(frozen=True, slots=True)
class Run:
    """One straight run of track, m. A joint is named once, by the bay that comes first in the order of work."""

    bay: str
    mark: str
    """`E1`, `E2` … for edge track and `J1` … for joint track, around the bay."""
    kind: Literal["edge", "joint"]
    shared_with: str | None
    net_m: float
    """Length along the bay's edge."""
    length_m: float
    """Long point to long point: what is cut."""
    ends: tuple[End, End]


def track_runs(shapes: Mapping[str, BayShape], order: Sequence[str]) -> tuple[Run, ...]:
    """Every run of a plane's bays (shapes by name), lengths in m, bay by bay in the order of work.

    Source: definition; a joint that ends against other track is cut to a point (double mitre), edge track to half
    the angle, and what runs on in line is butted square.
    """
    runs: list[Run] = []
    for name in order:
        runs += _runs_of(shapes[name], shapes, order)
    return tuple(runs)


def _runs_of(shape: BayShape, shapes: Mapping[str, BayShape], order: Sequence[str]) -> Iterator[Run]:
    counts = {"edge": 0, "joint": 0}
    for edge in shape.edges:
        if edge.neighbour is not None and order.index(edge.neighbour) < order.index(shape.name):
            continue
        counts[edge.kind] += 1
        both_sides = [(shape, edge)]
        if edge.neighbour is not None:
            both_sides += [(shapes[edge.neighbour], one) for one in _other_side(edge, shape.name,
                                                                               shapes[edge.neighbour])]
        yield Run(bay=shape.name, mark=f"{edge.kind[0].upper()}{counts[edge.kind]}", kind=edge.kind,
                  shared_with=edge.neighbour, net_m=edge.length_m,
                  length_m=_long_point_m(edge, [one.quad for _, one in both_sides]),
                  ends=(_end(both_sides, at_start=True), _end(both_sides, at_start=False)))


def _other_side(edge: TrackEdge, name: str, neighbour: BayShape) -> list[TrackEdge]:
    """The same joint as the neighbour has it, running the other way; none where it is too short to show there."""
    joints = sorted((one for one in neighbour.edges if one.neighbour == name),
                    key=lambda one: dist(one.start, edge.end) + dist(one.end, edge.start))
    return joints[:1]


def _long_point_m(edge: TrackEdge, quads: list[Outline]) -> float:
    """Reach of the whole face along the run: at a corner that points into the bay the inner side is the longer."""
    u = direction(edge.start, edge.end)
    along = [(x - edge.start[0]) * u[0] + (y - edge.start[1]) * u[1] for quad in quads for x, y in quad]
    reach = max(along) - min(along)
    return edge.length_m if abs(reach - edge.length_m) < SHARED_WITHIN_M else reach


def _end(both_sides: list[tuple[BayShape, TrackEdge]], *, at_start: bool) -> End:
    """How one end is cut, by what follows it in its own bay and, for a joint, in the neighbour."""
    turns = []
    for number, (shape, edge) in enumerate(both_sides):
        before = at_start == (number == 0)  # the neighbour's line runs the other way
        other = _next(shape, edge, -1 if before else 1)
        one, two = (other, edge) if before else (edge, other)
        if in_line(direction(one.start, one.end), direction(two.start, two.end)):
            return "square"
        turns.append(other.neighbour == edge.neighbour)
    return "mitre" if all(turns) or len(turns) == 1 else "double mitre"


def _next(shape: BayShape, edge: TrackEdge, step: int) -> TrackEdge:
    ring = [one for one in shape.edges if one.ring == edge.ring]
    return ring[(ring.index(edge) + step) % len(ring)]
