"""A lower bound on the boards that laid-out pieces need as they are sawn here, by generating cutting patterns."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tracker.domain.cutting.bounds import raised
from tracker.domain.cutting.guillotine import ALONG, OVER, Panels, panel_worth
from tracker.domain.cutting.packing import Filled, Saw
from tracker.domain.cutting.pairs import Shape, nest_of

MOST_ROWS = 6000
"""Kinds of piece times rounds: of very many kinds the bound takes long and gains little."""
AT_ONCE = 30
"""Known patterns taken into the linear programme in a round."""
STARTS = 12
"""Patterns taken from one table."""
Pattern = tuple[int, ...]
"""How many of each kind of piece a board gives."""


@dataclass(frozen=True)
class Cutting:
    """Pieces by kind with their numbers; the rectangles they are sawn from, in steps of a board; panels to cut."""

    numbers: np.ndarray
    sides: np.ndarray
    """Rows of (along, over) in steps, one for each way a rectangle may lie."""
    holds: np.ndarray
    """For each row of `sides`, how many pieces of each kind it holds."""
    panels: tuple[tuple[int, int], ...]
    """The offcuts in stock, each used once."""

    def counts(self, ways: Sequence[int]) -> tuple[float, ...]:
        """How many pieces of each kind some rows of `sides` hold."""
        return tuple(self.holds[list(ways)].sum(axis=0).tolist())


def kinds_of(shapes: Sequence[Shape], turnable: bool) -> list[int]:
    """For each shape the number of its kind; squares that are each other's turn are alike where turning is allowed."""
    seen: dict[object, int] = {}
    keys: list[object] = [
        (min(s.width, s.height), max(s.width, s.height)) if s.square and turnable else s for s in shapes
    ]
    return [seen.setdefault(key, len(seen)) for key in keys]


def cutting_of(shapes: Sequence[Shape], saw: Saw, flippable: bool) -> Cutting:
    """The problem of cutting these shapes: every rectangle rounded down to whole steps, so that the bound holds."""
    kinds = kinds_of(shapes, saw.turnable)
    numbers = Counter(kinds)
    first = {kind: shape for kind, shape in reversed(list(zip(kinds, shapes, strict=True)))}
    rectangles = [(first[kind].width, first[kind].height, (kind,)) for kind in numbers]
    slanted = [kind for kind in numbers if not first[kind].square]
    for one in slanted:
        for other in slanted:
            if one != other or numbers[one] > 1:
                nest = nest_of(first[one], first[other], saw.length, saw.width, saw.kerf, saw.turnable, flippable)
                if nest is not None:
                    rectangles.append((nest.width, nest.height, (one, other)))
    counted = [(w, h, min(numbers[kind] for kind in held)) for w, h, held in rectangles]
    along, over = (_steps(counted, board, steps, saw) for board, steps in ((saw.length, ALONG), (saw.width, OVER)))
    ways = []
    for w, h, held in rectangles:
        for a, b in {(w, h), (h, w)} if saw.turnable else {(w, h)}:
            if a <= saw.length and b <= saw.width:
                ways.append((along[a], over[b], held))
    holds = np.zeros((len(ways), len(numbers)))
    for row, (_, _, held) in zip(holds, ways, strict=True):
        np.add.at(row, list(held), 1)
    sides = np.array([way[:2] for way in ways], dtype=np.intp).reshape(-1, 2)
    panels = tuple(_panel(long, wide, saw) for _, long, wide in saw.offcuts)
    return Cutting(np.array([numbers[kind] for kind in range(len(numbers))], dtype=float), sides, holds, panels)


def _steps(counted: Iterable[tuple[int, int, int]], board: int, steps: int, saw: Saw) -> Mapping[int, int]:
    """Each side in whole steps of the board, none of them less than one."""
    sides: Counter[int] = Counter()
    for w, h, count in counted:
        sides[w] += count
        if saw.turnable:
            sides[h] += count
    for _, h, count in () if saw.turnable else counted:
        sides[h] += count
    grown = {side: side for side in sides} if saw.offcuts else raised(sides, board, saw.kerf)
    return {side: max(1, (grown[side] + saw.kerf) * steps // (board + saw.kerf)) for side in sides}


def _panel(long: int, wide: int, saw: Saw) -> tuple[int, int]:
    if saw.turnable and (long > saw.length or wide > saw.width):
        long, wide = wide, long
    return _up(long + saw.kerf, saw.length + saw.kerf, ALONG), _up(wide + saw.kerf, saw.width + saw.kerf, OVER)


def _up(side: int, board: int, steps: int) -> int:
    """A side in steps of a board, rounded up."""
    return -(-side * steps // board)


def bound_by_sawing(
    shapes: Sequence[Shape], saw: Saw, flippable: bool, boards: Iterable[Filled], need: int, least: int, rounds: int
) -> int:
    """New boards that shapes (um) need at the least as they are sawn here, `least` where no better bound is found.

    `boards` are fillings already met, `need` new boards that are enough, `rounds` of pricing the most.
    Source: least_boards_sawn.
    """
    kinds = kinds_of(shapes, saw.turnable)
    number = max(kinds, default=-1) + 1
    known = set()
    for board in boards:
        if board.source == "new":
            held = Counter(kinds[member.index] for placed in board.placed for member in placed.block.members)
            known.add(tuple(held[kind] for kind in range(number)))
    return least_boards_sawn(cutting_of(shapes, saw, flippable), known, need, least, rounds)


def least_boards_sawn(cutting: Cutting, known: Iterable[Pattern], need: int, least: int, rounds: int) -> int:
    """New boards needed at the least where boards are sawn by through cuts and slanted pieces lie alone or in twos.

    `known` are patterns that help to begin with; `need` is a number of boards that is enough, `least` a bound known;
    every one of the `rounds` gives a bound that holds.
    Source: Gilmore and Gomory 1965 (patterns); Farley, "A note on bounding a class of linear programming problems,
    including cutting stock problems", Oper. Res. 38 (1990); from memory.
    """
    if any(along > ALONG or over > OVER for along, over in cutting.panels):
        return least
    kinds = len(cutting.numbers)
    columns = [tuple(int(at == kind) for at in range(kinds)) for kind in range(kinds)]
    chosen = [(0, column) for column in columns]
    pool = np.array(sorted(set(known)), dtype=float).reshape(-1, kinds)
    best = float(least)
    for _ in range(min(rounds, MOST_ROWS // kinds)):
        value, prices, rents = _priced(chosen, cutting)
        fresh = _cheap(pool, prices)
        if len(fresh):
            chosen += [(0, tuple(pattern)) for pattern in pool[fresh].tolist()]
            pool = np.delete(pool, fresh, axis=0)
            continue
        worths = cutting.holds @ prices
        table = panel_worth(cutting.sides, worths)
        whole = max(1.0, float(table[ALONG, OVER])) + 1e-7
        offcuts = [float(table[panel]) for panel in cutting.panels]
        best = max(best, (float(prices @ cutting.numbers) - sum(offcuts)) / whole)
        if math.ceil(best - 1e-6) >= min(need, math.ceil(value - 1e-6)):
            break
        panels = Panels(table, cutting.sides, worths)
        new = [(0, cutting.counts(one)) for one in _boards(cutting, panels, worths)]
        new += [
            (at, cutting.counts(panels.dearest(panel)))
            for at, (panel, paid, rent) in enumerate(zip(cutting.panels, offcuts, rents, strict=True), 1)
            if paid > rent + 1e-7
        ]
        if not new or all(column in chosen for column in new):
            break
        chosen += dict.fromkeys(new)
    return max(least, math.ceil(best - 1e-6))


def _boards(cutting: Cutting, panels: Panels, worths: np.ndarray) -> list[tuple[int, ...]]:
    """Boards worth more than they cost, each from another first rectangle sawn off a corner, the dearest first."""
    table, (along, over) = panels.worth, cutting.sides.T
    upright = table[ALONG - along, OVER] + table[along, OVER - over]
    level = table[ALONG - along, over] + table[ALONG, OVER - over]
    values = worths + np.maximum(upright, level)
    boards = []
    for way in np.argsort(-values, kind="stable")[:STARTS]:
        if values[way] <= 1 + 1e-7:
            break
        a, b = cutting.sides[way]
        beside, above = ((ALONG - a, OVER), (a, OVER - b)) if upright[way] >= level[way] else (
            (ALONG - a, b), (ALONG, OVER - b))  # fmt: skip
        boards.append((way, *panels.dearest(beside), *panels.dearest(above)))
    return boards


def _priced(chosen: Sequence[tuple[int, Sequence[float]]], cutting: Cutting) -> tuple[float, np.ndarray, np.ndarray]:
    """The fractional plan from the patterns chosen: its boards, what each kind of piece is worth, and each offcut."""
    from scipy.optimize import linprog

    kinds = len(cutting.numbers)
    table = np.zeros((kinds + len(cutting.panels), len(chosen)))
    for column, (panel, counts) in enumerate(chosen):
        table[:kinds, column] = counts
        if panel:
            table[kinds + panel - 1, column] = -1
    cost = np.array([float(panel == 0) for panel, _ in chosen])
    limits = np.concatenate([-cutting.numbers, np.ones(len(cutting.panels))])
    found = linprog(cost, A_ub=-table, b_ub=limits, method="highs")
    prices = np.maximum(-found.ineqlin.marginals, 0.0)
    return float(found.fun), prices[:kinds], prices[kinds:]


def _cheap(pool: np.ndarray, prices: np.ndarray) -> np.ndarray:
    """Known patterns that would make the fractional plan cheaper, the best first."""
    if not len(pool):
        return np.array([], dtype=np.intp)
    gains = pool @ prices - 1
    order = np.argsort(-gains, kind="stable")[:AT_ONCE]
    return order[gains[order] > 1e-7]
