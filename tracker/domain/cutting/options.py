"""The layouts of a bay worth searching over, each with what it asks of the boards."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from tracker.domain.cutting.corners import corner_joints, inner_corners
from tracker.domain.cutting.grids import Board, Grid, Ground, Lead, Split, lay
from tracker.domain.cutting.layout import cost_of, faults_of
from tracker.domain.cutting.merging import merged
from tracker.domain.cutting.outlines import EPS_M, Part
from tracker.domain.cutting.pairs import Shape, shape_of
from tracker.domain.cutting.plans import Point, Region

NOTCHES = (0.0, 0.3)
"""Shares of a board that a merged piece may leave open in its hull, one kind of layout each. Common practice, no
source."""
MOST_OPTIONS = 32
"""Layouts kept for a bay."""


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One layout of a bay: parts from its lower left, m; whole boards, sizes (m) of square part boards, shapes."""

    parts: tuple[Part, ...]
    whole: int
    square: tuple[tuple[float, float], ...]
    slanted: tuple[Shape, ...]
    cost: float
    corner_joints: int = 0

    @property
    def pieces(self) -> int:
        return len(self.parts)


def options_of(
    region: Region, board: Board, turnable: bool, leads: tuple[float, ...], most: int
) -> tuple[Option, ...]:
    """Distinct layouts of a region without needless slivers, likely cheapest first.

    `leads` are lengths (m) to begin rows with; at most `most` layouts are weighed.
    """
    return _options(at_origin(region), board, turnable, leads, most)


def at_origin(region: Region) -> Region:
    """A region moved so that the box around it begins at (0, 0); bays alike become the same."""
    left, low = corner_of(region)
    return moved(region, -left, -low)


def corner_of(region: Region) -> Point:
    """The lower left of the box around a region, m."""
    points = [point for outside, _ in region for point in outside]
    return min(x for x, _ in points), min(y for _, y in points)


def moved(region: Region, dx: float, dy: float) -> Region:
    """A region moved by (dx, dy), m."""
    return tuple(
        (tuple((round(x + dx, 6), round(y + dy, 6)) for x, y in outside),
         tuple(tuple((round(x + dx, 6), round(y + dy, 6)) for x, y in hole) for hole in holes))
        for outside, holes in region
    )  # fmt: skip


@lru_cache(maxsize=512)
def _options(
    region: Region, board: Board, turnable: bool, leads: tuple[float, ...], most: int
) -> tuple[Option, ...]:
    ground = Ground(region)
    found: dict[tuple, tuple[tuple[int, int], Option]] = {}
    ways = itertools.product((False, True) if turnable else (False,), (_grids, _splits))
    kinds = [kind(ground, board, upright, leads) for upright, kind in ways]
    in_turn = (grid for lot in itertools.zip_longest(*kinds) for grid in lot if grid is not None)
    for grid in itertools.islice(in_turn, most):
        laid = tuple(lay(ground, grid, board))
        if _noted(laid, ground, board, found):
            for share in NOTCHES:
                fewer = merged(laid, board.length, board.width, turnable, share * board.area)
                if len(fewer) < len(laid):
                    _noted(fewer, ground, board, found)
                    laid = fewer
    least = min(faults for faults, _ in found.values())
    good = [option for faults, option in found.values() if faults == least]
    cheap = sorted(good, key=lambda option: option.cost)
    few = sorted(good, key=lambda option: (option.pieces, option.cost))
    kept = {id(option) for option in cheap[: MOST_OPTIONS // 2] + few[: MOST_OPTIONS // 2]}
    corners = inner_corners(region)
    return tuple(
        replace(option, corner_joints=corner_joints(corners, (part.outline for part in option.parts)))
        for option in cheap
        if id(option) in kept
    )


def _noted(
    parts: tuple[Part, ...], ground: Ground, board: Board, found: dict[tuple, tuple[tuple[int, int], Option]]
) -> bool:
    """Note a layout with its faults; False where one that asks the same of the boards is there already."""
    option = _option(parts, board)
    key = (option.whole, tuple(sorted(option.square)), tuple(sorted(s.ring for s in option.slanted)))
    if key in found:
        return False
    found[key] = (faults_of(parts, ground, board), option)
    return True


def _grids(ground: Ground, board: Board, upright: bool, leads: Sequence[float]) -> Iterable[Grid]:
    low, high = ground.span(upright)
    plain = ground.rectangle is not None
    features = sorted({round((y - low) % board.width, 6) for _, y in ground.corners(upright)})
    rows: list[Lead] = ["low", "mid", "half"] if plain else ["low", "high", "mid"]
    fits = [lead for lead in leads if board.sliver <= lead <= board.width]
    rows += [f for f in features if f >= board.sliver] + (fits[:6] if plain else fits[:2])
    reach = (ground.box[3] - ground.box[1]) if upright else (ground.box[2] - ground.box[0])
    ends: list[tuple[Lead, ...]] = [("low",), ("mid",)] if plain else [("low",), ("high",), ("mid",)]
    if reach > board.length + EPS_M:
        ends += [("low", "half")] + ([("half",), _bond(reach, board)] if plain else [])
        long = [lead for lead in leads if board.sliver <= lead <= board.length]
        ends += [(lead,) for lead in (long[:6] if plain else long[:2])]
        ends += [("low", lead) for lead in (long[:4] if plain else ())]
    for at in range(len(rows) + len(ends)):
        yield from (Grid(upright, rows[i], ends[at - i]) for i in range(len(rows)) if 0 <= at - i < len(ends))


def _splits(ground: Ground, board: Board, upright: bool, leads: Sequence[float]) -> Iterable[Split]:
    """Whole lengths of board one way, the rest of the bay across: fewer pieces where the rest is narrow."""
    rows: list[Lead] = ["low", "mid", *leads[:1]] if ground.rectangle is not None else ["low", "high", "mid"]
    ends: list[tuple[Lead, ...]] = [("low",), ("mid",)] if ground.rectangle is not None else [("low",), ("high",)]
    axis = 1 if upright else 0
    low, high = ground.box[axis], ground.box[axis + 2]
    for reach, across in _reaches(high - low, board):
        for row, end in itertools.product(rows, ends):
            main, rest = Grid(upright, row), Grid(not upright, "low", end)
            if across:
                main, rest = Grid(not upright, "low", end), Grid(upright, row)
            yield Split(axis, round(low + reach, 6), main, rest)
            if ground.rectangle is None:
                yield Split(axis, round(high - reach, 6), rest, main)


def _reaches(span: float, board: Board) -> list[tuple[float, bool]]:
    """Where to part a span, m: after whole lengths of board, or after whole widths with one length left at the most."""
    found = []
    for side, across in ((board.length, False), (board.width, True)):
        count = math.floor(span / side + EPS_M)
        for boards in (count, count - 1, *((count - 2, count - 3) if across else ())):
            rest = span - side * boards
            reach = side * boards - max(0.0, board.sliver - rest if rest > EPS_M else 0.0)
            if boards >= 1 and rest > EPS_M and not (across and rest > board.length + EPS_M):
                found.append((reach, across))
    return found


def _bond(reach: float, board: Board) -> tuple[Lead, ...]:
    """Rows that each begin with what the last board of the row below left over."""
    leads: list[Lead] = [board.length]
    for _ in range(7):
        rest = (reach - float(leads[-1])) % board.length
        lead = board.length - rest
        leads.append(lead if board.sliver <= lead <= board.length - board.sliver else board.length)
    return tuple(leads)


def _option(parts: tuple[Part, ...], board: Board) -> Option:
    whole, square, slanted = 0, [], []
    for part in parts:
        w, h = (round(side, 6) for side in part.size)
        if not part.square:
            slanted.append(shape_of(part.outline))
        elif w * h >= board.area - EPS_M:
            whole += 1
        else:
            square.append((w, h))
    return Option(parts, whole, tuple(square), tuple(slanted), cost_of(parts, board))


def useful_leads(regions: Iterable[Region], board: Board) -> tuple[float, ...]:
    """Lengths, m, that go into a board along with what other bays leave, commonest first."""
    seen: dict[float, int] = {}
    for region in regions:
        points = [point for outside, _ in region for point in outside]
        for axis in (0, 1):
            reach = max(p[axis] for p in points) - min(p[axis] for p in points)
            for side in (board.length, board.width):
                rest = reach - side * math.floor(reach / side + EPS_M)
                lead = round(side - rest, 4)
                if rest > EPS_M and lead >= board.sliver:
                    seen[lead] = seen.get(lead, 0) + 1
    return tuple(sorted(seen, key=lambda lead: (-seen[lead], lead)))
