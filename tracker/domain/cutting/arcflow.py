"""Cutting stock as one flow: every stick is a path of parts, every stock length a set of ends of paths."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

MOST_ARCS = 40_000
"""Larger models are not tried: they take minutes."""


def arc_flow(
    lengths: Sequence[int],
    demands: Sequence[int],
    stocks: Sequence[int],
    numbers: Sequence[int],
    bound: int,
    seconds: float,
) -> list[tuple[int, tuple[int, ...]]] | None:
    """The fewest sticks of the first stock, with `numbers` of each other one, as patterns; None where none in time.

    Lengths in whole units, longest first; `bound` is a number of new sticks surely needed, `seconds` the time limit, s.
    Source: Valerio de Carvalho, "Exact solution of bin-packing problems using column generation and
    branch-and-bound", Ann. Oper. Res. 86 (1999); from memory.
    """
    arcs, nodes = _arcs(lengths, demands, max(stocks))
    ends = [(node, kind) for kind, size in enumerate(stocks) for node in nodes if 0 < node <= size]
    if len(arcs) + len(ends) > MOST_ARCS:
        return None
    solution = _solved(arcs, ends, nodes, lengths, demands, numbers, bound, seconds)
    if solution is None:
        return None
    return _paths(arcs, ends, solution, len(lengths))


def _arcs(lengths: Sequence[int], demands: Sequence[int], room: int) -> tuple[list[tuple[int, int, int]], list[int]]:
    """Arcs (from, to, part), parts in falling order of length along any path, at most as many copies as wanted."""
    reached = {0}
    arcs: set[tuple[int, int, int]] = set()
    for item, (length, demand) in enumerate(zip(lengths, demands, strict=True)):
        for start in sorted(reached):
            at = start
            for _ in range(demand):
                if at + length > room:
                    break
                arcs.add((at, at + length, item))
                at += length
                reached.add(at)
        if len(arcs) > MOST_ARCS:
            break
    return sorted(arcs), sorted(reached)


def _solved(
    arcs: Sequence[tuple[int, int, int]],
    ends: Sequence[tuple[int, int]],
    nodes: Sequence[int],
    lengths: Sequence[int],
    demands: Sequence[int],
    numbers: Sequence[int],
    bound: int,
    seconds: float,
) -> np.ndarray | None:
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    row_of = {node: row for row, node in enumerate(node for node in nodes if node)}
    entries: list[tuple[int, int, float]] = []
    for column, (start, end, item) in enumerate(arcs):
        entries.append((row_of[end], column, 1.0))
        if start:
            entries.append((row_of[start], column, -1.0))
        entries.append((len(row_of) + item, column, 1.0))
    for column, (node, kind) in enumerate(ends, len(arcs)):
        entries.append((row_of[node], column, -1.0))
        entries.append((len(row_of) + len(lengths) + kind, column, 1.0))
    rows, columns, values = zip(*entries, strict=True)
    shape = (len(row_of) + len(lengths) + len(numbers), len(arcs) + len(ends))
    low = np.array([*[0.0] * len(row_of), *demands, bound, *[0.0] * (len(numbers) - 1)])
    high = np.array([*[0.0] * len(row_of), *demands, *numbers], dtype=float)
    cost = np.array([0.0] * len(arcs) + [float(kind == 0) for _, kind in ends])
    found = milp(
        cost,
        constraints=[LinearConstraint(coo_array((values, (rows, columns)), shape=shape).tocsc(), low, high)],
        integrality=np.ones(shape[1]),
        bounds=Bounds(0, np.inf),
        options={"time_limit": seconds},
    )
    return None if found.x is None else np.rint(found.x).astype(int)


def _paths(
    arcs: Sequence[tuple[int, int, int]], ends: Sequence[tuple[int, int]], flow: np.ndarray, count: int
) -> list[tuple[int, tuple[int, ...]]]:
    """The flow taken apart into sticks, walking back from every end."""
    into: dict[int, list[list[int]]] = {}
    for (start, end, item), amount in zip(arcs, flow[: len(arcs)].tolist(), strict=True):
        if amount:
            into.setdefault(end, []).append([start, item, amount])
    patterns = []
    for (node, kind), amount in zip(ends, flow[len(arcs) :].tolist(), strict=True):
        for _ in range(amount):
            counts = [0] * count
            at = node
            while at:
                arc = next(one for one in into[at] if one[2])
                arc[2] -= 1
                counts[arc[1]] += 1
                at = arc[0]
            patterns.append((kind, tuple(counts)))
    return patterns
