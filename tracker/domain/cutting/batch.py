"""Many small packings at once: the quick filling of packing.py run side by side, to weigh layouts in a search."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

Sizes = np.ndarray
"""Blocks as rows of (width, height), each with the kerf added, m."""
FAR = 1e3
EPS = 1e-5
"""Single precision holds a board to 0.1 um; 10 um of play keeps whole fits whole."""


def boards_taken(
    blocks: Sequence[Sizes], board: tuple[float, float], offcuts: Sequence[tuple[float, float]], turnable: bool
) -> np.ndarray:
    """For each list of blocks, the new boards a best-fit filling takes; sizes m, kerf added to every one.

    The fraction tells how full the emptiest new board is, so that 4.1 is nearer to 4 than 4.9.
    Source: definition; never less than a real plan of the same order of filling needs.
    """
    count = len(blocks)
    most = max((len(one) for one in blocks), default=0)
    if most == 0:
        return np.zeros(count)
    wide, high = _sorted(blocks, most)
    if turnable:
        wide, high = np.maximum(wide, high), np.minimum(wide, high)
    least = np.minimum(wide, high)[:, ::-1]
    least = np.minimum.accumulate(np.where(least > 0, least, np.float32(FAR)), axis=1)[:, ::-1]
    rows = np.arange(count)
    room = len(offcuts) + most * 2 + 2
    free_w, free_h = np.zeros((count, room), dtype=np.float32), np.zeros((count, room), dtype=np.float32)
    long, short = np.zeros_like(free_w), np.zeros_like(free_w)
    sides = (long, short) if turnable else (free_w, free_h)
    home = np.zeros((count, room), dtype=np.intp)
    for at, (w, h) in enumerate(offcuts):
        free_w[:, at], free_h[:, at], home[:, at] = w, h, most
        long[:, at], short[:, at] = max(w, h), min(w, h)
    last = np.full(count, len(offcuts))

    def put(at: np.ndarray, w: np.ndarray, h: np.ndarray, bins: np.ndarray) -> None:
        free_w[rows, at], free_h[rows, at], home[rows, at] = w, h, bins
        long[rows, at], short[rows, at] = np.maximum(w, h), np.minimum(w, h)

    used = np.zeros((count, most + 1))
    new = np.zeros(count, dtype=np.intp)
    for step in range(most):
        w, h = wide[:, step], high[:, step]
        live = w > 0
        top = int(last.max()) + 1
        # Where it may be turned, the longer side of a block goes along the longer side of a panel.
        margins = _margin(sides[0][:, :top], sides[1][:, :top], w, h)
        at = margins.argmin(axis=1)
        opens = margins[rows, at] >= FAR
        spin = (free_w[rows, at] < free_h[rows, at]) if turnable else np.zeros(count, dtype=bool)
        spin = np.where(opens, (w > board[0] + EPS) | (h > board[1] + EPS), spin)
        at = np.where(opens, last, at)
        opens &= live
        total_w = np.where(opens, board[0], free_w[rows, at])
        total_h = np.where(opens, board[1], free_h[rows, at])
        bins = np.where(opens, new, home[rows, at])
        new += opens
        last = last + opens
        take_w, take_h = np.where(spin, h, w), np.where(spin, w, h)
        used[rows, bins] += take_w * take_h
        over, up = total_w - take_w, total_h - take_h
        upright = np.maximum(over * total_h, take_w * up) >= np.maximum(over * take_h, total_w * up)
        first_h = np.where(upright, total_h, take_h)
        second_w = np.where(upright, take_w, total_w)
        floor = least[:, step] - EPS
        first = (over >= floor) & (first_h >= floor) & live
        second = (up >= floor) & (second_w >= floor) & live
        # A rest too small for what is still to come is forgotten; its place goes to the other one.
        rest_w, rest_h = np.where(second, second_w, 0.0), np.where(second, up, 0.0)
        put(at, np.where(first, over, rest_w), np.where(first, first_h, rest_h), bins)
        more = first & second
        put(last, np.where(more, rest_w, 0.0), np.where(more, rest_h, 0.0), bins)
        last = last + more
    fill = np.where(np.arange(most + 1) < new[:, None], used, FAR).min(axis=1)
    return np.where(new > 0, new - 1 + fill / (board[0] * board[1]), 0.0)


def _sorted(blocks: Sequence[Sizes], most: int) -> tuple[np.ndarray, np.ndarray]:
    """Widths and heights, longest side first, each list filled up with zeros."""
    sizes = np.zeros((len(blocks), most, 2), dtype=np.float32)
    for row, one in zip(sizes, blocks, strict=True):
        row[: len(one)] = one
    order = np.argsort(-(sizes.max(axis=2) + 1e-3 * sizes.min(axis=2)), axis=1, kind="stable")
    sizes = np.take_along_axis(sizes, order[:, :, None], axis=1)
    return sizes[:, :, 0], sizes[:, :, 1]


def _margin(panel_w: np.ndarray, panel_h: np.ndarray, w: np.ndarray, h: np.ndarray) -> np.ndarray:
    """How loosely each panel holds a block: the shorter margin, then the longer; FAR where it does not."""
    over, up = panel_w - w[:, None], panel_h - h[:, None]
    low = np.minimum(over, up)
    score = np.maximum(over, up, out=over)
    score *= np.float32(1e-3)
    score += low
    score[low < -EPS] = FAR
    return score
