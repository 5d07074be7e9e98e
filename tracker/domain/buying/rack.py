"""Offcuts while pieces are cut again, for many trials at once: one row of panels a trial."""

from __future__ import annotations

import numpy as np

from tracker.domain.cutting.plans import Size

_MOST = 48
"""Panels kept a trial, the largest. Spoiled pieces are few, so that more are not reached for."""
_SPARE = 8
_SLACK_M = 1e-6


class Rack:
    """The panels free in each of many trials, m (along, across); a panel of no size is an empty place."""

    def __init__(self, trials: int, kerf_m: float, least_m: float, turnable: bool) -> None:
        self._along = np.zeros((trials, _SPARE))
        self._across = np.zeros((trials, _SPARE))
        self._kerf, self._least, self._turnable = kerf_m, max(least_m, _SLACK_M), turnable

    def add(self, panels: tuple[Size, ...]) -> None:
        """The same panels, m, added in every trial; the largest of all are kept."""
        kept = np.array(sorted(panels, key=lambda size: -size[0] * size[1])[:_MOST]).reshape(-1, 2)
        trials = len(self._along)
        along = np.hstack([self._along, np.broadcast_to(kept[:, 0], (trials, len(kept)))])
        across = np.hstack([self._across, np.broadcast_to(kept[:, 1], (trials, len(kept)))])
        if along.shape[1] > _MOST + _SPARE:
            best = np.argsort(-along * across, axis=1, kind="stable")[:, :_MOST + _SPARE]
            along, across = np.take_along_axis(along, best, 1), np.take_along_axis(across, best, 1)
        self._along, self._across = along, across

    def cut(self, rows: np.ndarray, pieces: np.ndarray, fresh: np.ndarray) -> np.ndarray:
        """Cuts one piece in each of the trials `rows`, and says where it took new material.

        `pieces` and `fresh` are (rows, 2), m: what to cut, and the new material it comes from where no panel holds it.
        A piece takes the smallest panel that holds it, turned where allowed; the rest is parted along the saw cut
        that leaves the larger panel. Source: best fit, guillotine cuts with kerf (definition).
        """
        along, across = self._along[rows], self._across[rows]
        straight = _holds(along, across, pieces[:, :1], pieces[:, 1:])
        fits = straight | _holds(along, across, pieces[:, 1:], pieces[:, :1]) if self._turnable else straight
        place = np.where(fits, along * across, np.inf).argmin(axis=1)
        each = np.arange(len(rows))
        new = ~fits[each, place]
        panel = np.where(new[:, None], fresh, np.stack([along[each, place], across[each, place]], axis=1))
        as_is = new | straight[each, place]
        self._along[rows[~new], place[~new]] = self._across[rows[~new], place[~new]] = 0.0
        for rest in self._rests(panel, np.where(as_is[:, None], pieces, pieces[:, ::-1])):
            self._keep(rows, rest)
        return new

    def _rests(self, panel: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """The two rests of panels, m (2, rows, 2); too small a rest is none."""
        beside = panel - piece - self._kerf
        crossed = np.stack([_panel(beside[:, 0], panel[:, 1]), _panel(piece[:, 0], beside[:, 1])])
        ripped = np.stack([_panel(panel[:, 0], beside[:, 1]), _panel(beside[:, 0], piece[:, 1])])
        for rests in (crossed, ripped):
            rests[rests.min(axis=2) < self._least - _SLACK_M] = 0.0
        ripping = ripped.prod(axis=2).max(axis=0) > crossed.prod(axis=2).max(axis=0)
        return np.where(ripping[None, :, None], ripped, crossed)

    def _keep(self, rows: np.ndarray, panels: np.ndarray) -> None:
        """Keeps a panel in each of the rows, m, in the place of the least one there, unless that is larger."""
        size = self._along[rows] * self._across[rows]
        place = size.argmin(axis=1)
        better = panels.prod(axis=1) > size[np.arange(len(rows)), place]
        self._along[rows[better], place[better]] = panels[better, 0]
        self._across[rows[better], place[better]] = panels[better, 1]


def _panel(along: np.ndarray, across: np.ndarray) -> np.ndarray:
    return np.stack([np.maximum(along, 0.0), np.maximum(across, 0.0)], axis=1)


def _holds(along: np.ndarray, across: np.ndarray, wide: np.ndarray, high: np.ndarray) -> np.ndarray:
    return (along >= wide - _SLACK_M) & (across >= high - _SLACK_M)
