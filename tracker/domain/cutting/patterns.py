"""The least sticks, proved: cutting patterns by column generation, then whole numbers, then an arc-flow model."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tracker.domain.cutting.arcflow import arc_flow
from tracker.domain.cutting.bars import UM, Stick
from tracker.domain.cutting.fills import filled_over
from tracker.domain.cutting.plans import StickPart, StickStock

STEP = 100
"""Lengths are reckoned in tenths of a millimetre (um): parts up and sticks down, the other way for the bound."""
ROUNDS = 400
PATTERNS_S, FLOW_S = 3.0, 12.0
"""Longest times for the whole-number models, s."""


@dataclass(frozen=True, slots=True)
class Cut1:
    """A cutting-stock problem in whole units: lengths and demands of parts, stock lengths, their numbers and costs."""

    lengths: tuple[int, ...]
    demands: tuple[int, ...]
    stocks: tuple[int, ...]
    """The new stick first, then each different offcut."""
    numbers: tuple[int, ...]
    """How many of each; the new stick's is never reached."""


Pattern = tuple[int, tuple[int, ...]]
"""Which stock, and how many of each part."""


def least_sticks(
    parts: Sequence[StickPart], stock: StickStock, known: list[Stick], bound: int
) -> tuple[list[Stick], int]:
    """Sticks for the parts, the fewest new ones found, and the lower bound that holds for any plan; lengths m.

    `known` is a plan to beat and `bound` a bound already known. Needs at most some seconds; where the two do not meet,
    the plan is the best found.
    Quick fillings come first, then whole numbers of the patterns, then the flow.
    Source: Gilmore and Gomory 1961 (patterns); Farley 1990 (bound at every round); Valerio de Carvalho 1999 (arc flow);
    all from memory.
    """
    problem = _problem(parts, stock, up=True)
    relaxed = _problem(parts, stock, up=False)
    have = sum(stick.source == "new" for stick in known)
    patterns, low = generate(problem)
    if relaxed != problem:
        low = generate(relaxed)[1]
    bound = max(bound, low)
    if have > bound:
        chosen = filled_over(problem, bound) or whole_patterns(problem, patterns, bound)
        if chosen is None or _new(chosen) > bound:
            flow = arc_flow(problem.lengths, problem.demands, problem.stocks, problem.numbers, bound, FLOW_S)
            chosen = flow if flow is not None and (chosen is None or _new(flow) < _new(chosen)) else chosen
        if chosen is not None and _new(chosen) < have:
            return _sticks(chosen, parts, stock), bound
    return known, bound


def _new(patterns: Sequence[Pattern]) -> int:
    return sum(stock == 0 for stock, _ in patterns)


def _units(um: int, up: bool) -> int:
    return -(-um // STEP) if up else um // STEP


def _problem(parts: Sequence[StickPart], stock: StickStock, *, up: bool) -> Cut1:
    """The problem with kerf added to parts and sticks; `up` rounds against us, else for us."""
    kerf = round(stock.kerf_m * UM)
    whole = _units(round(stock.length_m * UM) + kerf, not up)
    wanted: dict[int, int] = {}
    for part in parts:
        # A part as long as the stick fits it, however both are rounded.
        length = min(_units(round(part.length_m * UM) + kerf, up), whole)
        wanted[length] = wanted.get(length, 0) + 1
    have: dict[int, int] = {}
    for one in stock.offcuts:
        length = _units(round(one.length_m * UM) + kerf, not up)
        have[length] = have.get(length, 0) + 1
    lengths = tuple(sorted(wanted, reverse=True))
    stocks = tuple(length for length in sorted(have) if length >= lengths[-1])
    return Cut1(
        lengths,
        tuple(wanted[length] for length in lengths),
        (whole, *stocks),
        (sum(wanted.values()), *(have[length] for length in stocks)),
    )


def generate(problem: Cut1) -> tuple[list[Pattern], int]:
    """Patterns that the best fractional plan uses, and the whole-number lower bound on new sticks."""
    from scipy.optimize import linprog
    from scipy.sparse import csc_array

    patterns: list[Pattern] = []
    for at in range(len(problem.lengths)):
        fit = min(problem.demands[at], problem.stocks[0] // problem.lengths[at])
        patterns.append((0, tuple(fit if i == at else 0 for i in range(len(problem.lengths)))))
    seen = set(patterns)
    best = 0.0
    for _ in range(ROUNDS):
        table = np.zeros((len(problem.lengths) + len(problem.stocks) - 1, len(patterns)))
        for column, (stock, counts) in enumerate(patterns):
            table[: len(counts), column] = counts
            if stock:
                table[len(counts) + stock - 1, column] = -1
        cost = [float(stock == 0) for stock, _ in patterns]
        limits = -np.array([*problem.demands, *(-n for n in problem.numbers[1:])], dtype=float)
        found = linprog(cost, A_ub=csc_array(-table), b_ub=limits, method="highs")
        prices = np.maximum(-found.ineqlin.marginals, 0.0)
        duals, rents = prices[: len(problem.lengths)], prices[len(problem.lengths) :]
        values, fresh = _priced(problem, duals)
        scale = 1 / max(1.0, values[0])
        paid = sum(n * max(0.0, scale * v) for n, v in zip(problem.numbers[1:], values[1:], strict=True))
        best = max(best, scale * float(duals @ problem.demands) - paid)
        gains = [values[0] - 1, *(v - rent for v, rent in zip(values[1:], rents, strict=True))]
        added = [p for p, gain in zip(fresh, gains, strict=True) if gain > 1e-7 and p not in seen]
        if not added or math.ceil(best - 1e-6) >= math.ceil(found.fun - 1e-6):
            break
        patterns += added
        seen.update(added)
    return patterns, math.ceil(best - 1e-6)


def _priced(problem: Cut1, duals: np.ndarray) -> tuple[list[float], list[Pattern]]:
    """For each stock the dearest pattern that fits it and its price: one bounded knapsack serves all lengths."""
    room = max(problem.stocks)
    worth = np.zeros(room + 1)
    steps: list[tuple[int, int, np.ndarray]] = []
    for at, (length, demand) in enumerate(zip(problem.lengths, problem.demands, strict=True)):
        left, size = min(demand, room // length), 1
        while left > 0 and duals[at] > 1e-9:
            count = min(size, left)
            taken = np.zeros(room + 1, dtype=bool)
            with_it = worth[: room + 1 - count * length] + count * duals[at]
            taken[count * length :] = with_it > worth[count * length :] + 1e-12
            worth[count * length :] = np.maximum(worth[count * length :], with_it)
            steps.append((at, count, taken))
            left, size = left - count, size * 2
    patterns = []
    for kind, at_most in enumerate(problem.stocks):
        counts = [0] * len(problem.lengths)
        at = at_most
        for item, count, taken in reversed(steps):
            if taken[at]:
                counts[item] += count
                at -= count * problem.lengths[item]
        patterns.append((kind, tuple(counts)))
    return [float(worth[at_most]) for at_most in problem.stocks], patterns


def whole_patterns(problem: Cut1, patterns: Sequence[Pattern], bound: int) -> list[Pattern] | None:
    """The fewest new sticks that the given patterns allow, each pattern as often as it is cut; None where not found."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    table = np.array([counts for _, counts in patterns], dtype=float).T
    new = np.array([float(stock == 0) for stock, _ in patterns])
    rules = [LinearConstraint(table, lb=np.array(problem.demands, dtype=float)), LinearConstraint(new, lb=bound)]
    for kind, number in enumerate(problem.numbers[1:], 1):
        rules.append(LinearConstraint([float(stock == kind) for stock, _ in patterns], ub=number))
    found = milp(
        new,
        constraints=rules,
        integrality=np.ones(len(patterns)),
        bounds=Bounds(0, np.inf),
        options={"time_limit": PATTERNS_S},
    )
    if found.x is None:
        return None
    counts = np.rint(found.x).astype(int)
    if (table @ counts < np.array(problem.demands)).any():
        return None
    return [pattern for pattern, count in zip(patterns, counts, strict=True) for _ in range(count)]


def _sticks(patterns: Sequence[Pattern], parts: Sequence[StickPart], stock: StickStock) -> list[Stick]:
    """Patterns as sticks with the real parts in them; what is cut too often is left out."""
    kerf = round(stock.kerf_m * UM)
    waiting: dict[int, list[StickPart]] = {}
    for part in sorted(parts, key=lambda one: one.piece, reverse=True):
        waiting.setdefault(_units(round(part.length_m * UM) + kerf, True), []).append(part)
    lengths = sorted(waiting, reverse=True)
    offcuts: dict[int, list[str]] = {}
    sizes = {one.id: round(one.length_m * UM) for one in stock.offcuts}
    for name, size in sorted(sizes.items(), reverse=True):
        offcuts.setdefault(_units(size + kerf, False), []).append(name)
    kinds = [0, *(length for length in sorted(offcuts) if length >= lengths[-1])]
    sticks = []
    for kind, counts in patterns:
        cut = zip(lengths, counts, strict=True)
        chosen = [waiting[length].pop() for length, count in cut for _ in range(count) if waiting[length]]
        if chosen:
            name = offcuts[kinds[kind]].pop() if kind else "new"
            stick = Stick(name, sizes[name] if kind else round(stock.length_m * UM))
            for part in chosen:
                stick.take(part, kerf)
            sticks.append(stick)
    return sticks
