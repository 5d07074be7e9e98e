"""Lower bounds on the boards that given pieces need, however they are packed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from tracker.domain.cutting.packing import Saw
from tracker.domain.cutting.pairs import Shape


def least_boards(shapes: Sequence[Shape], saw: Saw) -> int:
    """New boards that square pieces among `shapes`, um, need at the least; offcuts count as used up.

    Source: dual feasible functions of Fekete and Schepers, "General framework for bounds for higher-dimensional
    orthogonal packing problems", Math. Methods Oper. Res. 60 (2004); from memory. A piece that may be turned counts at
    the lesser of its two places.
    """
    sizes = [(s.width, s.height) for s in shapes if s.square]
    if not sizes:
        return 0
    length, width = saw.length + saw.kerf, saw.width + saw.kerf
    if any(long > saw.length or wide > saw.width for _, long, wide in saw.offcuts):
        return 0
    best = 0
    for f in SHARES:
        for g in SHARES:
            along = {side: f((side + saw.kerf) / length) for size in sizes for side in size}
            over = {side: g((side + saw.kerf) / width) for size in sizes for side in size}
            total = sum(_least(w, h, along, over, saw) for w, h in sizes)
            taken = sum(f((a + saw.kerf) / length) * g((b + saw.kerf) / width) for _, a, b in saw.offcuts)
            best = max(best, math.ceil(total - taken - 1e-6))
    return best


def _least(width: int, height: int, along: dict[int, float], over: dict[int, float], saw: Saw) -> float:
    """The share of a board a piece takes, the lesser of the places it fits in."""
    shares = []
    if width <= saw.length and height <= saw.width:
        shares.append(along[width] * over[height])
    if saw.turnable and height <= saw.length and width <= saw.width:
        shares.append(along[height] * over[width])
    return min(shares, default=0.0)


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
