"""What the panels of a board can hold at most when sawn by through cuts: one table for all sizes of panel."""

from __future__ import annotations

import numpy as np

ALONG, OVER = 240, 120
"""Steps into which a board's length and width are divided; a step is about 5 mm."""
SLACK = 1e-9


def panel_worth(sides: np.ndarray, prices: np.ndarray, along: int = ALONG, over: int = OVER) -> np.ndarray:
    """For every panel up to `along` x `over` steps, the dearest rectangles that through cuts can part it into.

    `sides` are rows of (along, over) in whole steps, as each may lie; `prices` one each; any number of each may be cut.
    Source: Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions", Oper. Res. 13 (1965),
    and Beasley, "Algorithms for unconstrained two-dimensional guillotine cutting", J. Oper. Res. Soc. 36 (1985); from
    memory.
    """
    worth = np.zeros((along + 1, over + 1))
    fits = (sides[:, 0] <= along) & (sides[:, 1] <= over) & (prices > SLACK)
    np.maximum.at(worth, (sides[fits, 0], sides[fits, 1]), prices[fits])
    worth = np.maximum.accumulate(worth, axis=1)
    shift = np.arange(over + 1)[:, None] - np.arange(over // 2 + 1)[None, :]
    index = np.where(shift >= np.arange(over // 2 + 1)[None, :], shift, 0)
    first = np.where(shift >= np.arange(over // 2 + 1)[None, :], np.arange(over // 2 + 1)[None, :], 0)
    for w in range(1, along + 1):
        row = np.maximum(worth[w], worth[w - 1])
        half = w // 2
        if half:
            row = np.maximum(row, (worth[1 : half + 1] + worth[w - 1 : w - half - 1 : -1]).max(axis=0))
        while True:
            wider = np.maximum(row, (row[first] + row[index]).max(axis=1))
            if (wider - row).max() <= SLACK:
                break
            row = wider
        worth[w] = row
    return worth


class Panels:
    """A table of worths taken apart again: which rectangles make up a panel's worth; remembers panels it has seen."""

    def __init__(self, worth: np.ndarray, sides: np.ndarray, prices: np.ndarray) -> None:
        self.worth = worth
        order = np.argsort(-prices, kind="stable")
        self._ways = list(zip(prices[order].tolist(), *sides[order].T.tolist(), order.tolist(), strict=True))
        self._seen: dict[tuple[int, int], tuple[int, ...]] = {}

    def dearest(self, panel: tuple[int, int]) -> tuple[int, ...]:
        """The rectangles, by number, that make up the worth of a panel (along, over), in steps."""
        if panel not in self._seen:
            self._seen[panel] = self._found(*panel)
        return self._seen[panel]

    def _found(self, w: int, h: int) -> tuple[int, ...]:
        value = self.worth[w, h]
        if value <= SLACK:
            return ()
        for price, along, over, way in self._ways:
            if price < value - 10 * SLACK:
                break
            if along <= w and over <= h:
                return (way,)
        return sum((self.dearest(half) for half in _parted(self.worth, w, h)), ())


def _parted(worth: np.ndarray, w: int, h: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """The two panels that one through cut leaves and that together are worth the most."""
    across = worth[1 : w // 2 + 1, h] + worth[w - 1 : w - w // 2 - 1 : -1, h]
    up = worth[w, 1 : h // 2 + 1] + worth[w, h - 1 : h - h // 2 - 1 : -1]
    left, low = (int(one.argmax()) if one.size else -1 for one in (across, up))
    if low < 0 or (left >= 0 and across[left] >= up[low]):
        return (left + 1, h), (w - left - 1, h)
    return (w, low + 1), (w, h - low - 1)
