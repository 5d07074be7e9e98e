"""Lower bounds on the boards that given pieces need, however they are packed."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from itertools import product

from tracker.domain.cutting.packing import Saw
from tracker.domain.cutting.pairs import Shape

TENTH = 100
"""A tenth of a millimetre, um: sums of sides are reckoned in these, each side rounded down."""


def least_boards(shapes: Sequence[Shape], saw: Saw) -> int:
    """New boards that square pieces among `shapes`, um, need at the least; offcuts count as used up.

    Source: dual feasible functions of Fekete and Schepers, "General framework for bounds for higher-dimensional
    orthogonal packing problems", Math. Methods Oper. Res. 60 (2004); from memory. A piece that may be turned counts at
    the lesser of its two places.
    """
    sizes = Counter((s.width, s.height) for s in shapes if s.square)
    if not sizes or any(long > saw.length or wide > saw.width for _, long, wide in saw.offcuts):
        return 0
    sides = {side for size in sizes for side in size} | {side for _, *size in saw.offcuts for side in size}
    along = [{side: f((side + saw.kerf) / (saw.length + saw.kerf)) for side in sides} for f in SHARES]
    over = [{side: f((side + saw.kerf) / (saw.width + saw.kerf)) for side in sides} for f in SHARES]
    places = [(*_places(width, height, saw), count) for (width, height), count in sizes.items()]
    best = 0.0
    for f, g in product(along, over):
        total = sum(min(f[a] * g[b], f[c] * g[d]) * count for a, b, c, d, count in places)
        best = max(best, total - sum(f[long] * g[wide] for _, long, wide in saw.offcuts))
    return math.ceil(best - 1e-6)


def raised(sides: Mapping[int, int], board: int, kerf: int) -> dict[int, int]:
    """Sides (um, with how many there are) over half a board made longer by what nothing else can use beside them.

    At most one of them lies across any line over the board, with shorter ones beside it.
    Source: Boschetti and Mingozzi, "The two-dimensional finite bin packing problem", 4OR 1 (2003); from memory.
    """
    room = (board + kerf) // TENTH
    sums = 1
    for side, number in sides.items():
        step = (side + kerf) // TENTH
        if 0 < 2 * step <= room:
            for _ in range(min(number, room // step)):
                sums |= sums << step
            sums &= (1 << (room + 1)) - 1
    grown = {}
    least = min(((side + kerf) // TENTH for side in sides), default=0)
    for side in sides:
        rest = (board - side) // TENTH
        grown[side] = side
        if 2 * ((side + kerf) // TENTH) > room and rest >= 0:
            beside = sums & ((1 << (rest + 1)) - 1)
            rounding = rest // max(1, least)
            grown[side] += max(0, rest - beside.bit_length() + 1 - rounding) * TENTH
    return grown


def _places(width: int, height: int, saw: Saw) -> tuple[int, int, int, int]:
    """A piece's sides along and over the board, in the two ways it fits, or the one twice."""
    plain, turned = (width, height), (height, width)
    if not saw.turnable or height > saw.length or width > saw.width:
        return (*plain, *plain)
    return (*turned, *turned) if width > saw.length or height > saw.width else (*plain, *turned)


def _same(share: float) -> float:
    return share


def _stepped(k: int) -> Callable[[float], float]:
    """Shares rounded down to k-ths: of a whole cut into pieces above 1/(k+1), at most k fit."""

    def step(share: float) -> float:
        parts = (k + 1) * share
        return share if abs(parts - round(parts)) < 1e-9 else math.floor(parts) / k

    return step


def _dropped(low: float) -> Callable[[float], float]:
    """Shares under `low` count nothing, so those over 1 - low count whole."""

    def drop(share: float) -> float:
        return 0.0 if share < low - 1e-12 else 1.0 if share > 1 - low + 1e-12 else share

    return drop


SHARES: tuple[Callable[[float], float], ...] = (
    _same, _stepped(1), _stepped(2), _stepped(3), *(_dropped(low) for low in (0.1, 0.2, 0.3, 0.4)),
)  # fmt: skip
"""Superadditive functions from 0..1 to 0..1, so that a board or an offcut never holds more than its own share."""
