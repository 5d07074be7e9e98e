"""Sticks filled in turn as full as the parts allow, over and over with other weights: quick, proves nothing."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tracker.domain.cutting.patterns import Cut1, Pattern

SPREADS = (0.01, 0.03, 0.1, 0.3, 0.6)
"""How far the weight of a part strays from its length, in turn."""
STEPS = 400_000
"""Parts tried in all: some tenths of a second of an ordinary machine."""
FILL_STEPS = 4_000


def filled_over(problem: Cut1, goal: int, seed: int = 0) -> list[Pattern] | None:
    """Patterns for all parts with at most `goal` new sticks; None where none came up.

    Offcuts are filled first, each new stick begins with the longest part left. The same problem and seed give the same.
    Source: minimum bin slack, Gupta and Ho 1999, with random weights; from memory.
    """
    chance = random.Random(seed)
    steps, turn = 0, 0
    while steps < STEPS:
        spread = SPREADS[turn % len(SPREADS)] if turn else 0.0
        worth = [length * abs(1.0 + chance.gauss(0.0, spread)) for length in problem.lengths]
        found, taken = _filled(problem, worth, goal)
        steps += taken
        turn += 1
        if found is not None:
            return found
    return None


def _filled(problem: Cut1, worth: Sequence[float], goal: int) -> tuple[list[Pattern] | None, int]:
    left = list(problem.demands)
    patterns: list[Pattern] = []
    steps = new = 0
    racks = [(kind, size) for kind, size in enumerate(problem.stocks) if kind for _ in range(problem.numbers[kind])]
    while any(left):
        kind, room = racks.pop(0) if racks else (0, problem.stocks[0])
        first = next((at for at, count in enumerate(left) if count and problem.lengths[at] <= room), None)
        if first is None:
            if kind == 0:
                return None, steps
            continue
        new += kind == 0
        if new > goal:
            return None, steps
        pattern, taken = _fullest(problem.lengths, left, room, first if kind == 0 else None, worth)
        steps += taken
        left = [count - used for count, used in zip(left, pattern, strict=True)]
        if any(pattern):
            patterns.append((kind, tuple(pattern)))
    return patterns, steps


def _fullest(lengths: Sequence[int], left: Sequence[int], room: int, first: int | None,
             worth: Sequence[float]) -> tuple[list[int], int]:
    """The pattern of most worth that fits, beginning with `first`, among those looked at."""
    now = [0] * len(lengths)
    best, most, steps = now[:], 0.0, 0

    def look(start: int, rest: int, value: float) -> None:
        nonlocal best, most, steps
        steps += 1
        if value > most:
            best, most = now[:], value
        for at in range(start, len(lengths)):
            if steps >= FILL_STEPS:
                return
            if left[at] > now[at] and lengths[at] <= rest:
                now[at] += 1
                look(at, rest - lengths[at], value + worth[at])
                now[at] -= 1

    if first is None:
        look(0, room, 0.0)
    else:
        now[first] = 1
        look(first, room - lengths[first], worth[first])
    return best, steps
