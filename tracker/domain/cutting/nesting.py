"""How well slanted pieces nest in twos, for all pairs at once: the table behind the search over layouts."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tracker.domain.cutting.pairs import UM, WORTH, Shape, bevel_of


class NestTable:
    """What every two of some shapes save when nested by one straight cut, m2, and the rectangle they take, m.

    Source: the sliding rule of pairs.py, with every bevel turned to the upper right first.
    """

    def __init__(
        self, shapes: Sequence[Shape], board: tuple[float, float], kerf: float, turnable: bool, flippable: bool
    ) -> None:
        self.sizes = np.array([(s.width / UM, s.height / UM) for s in shapes]).reshape(-1, 2)
        count = len(shapes)
        self.saved = np.zeros((count, count))
        self.boxes = np.zeros((count, count, 2))
        self.shapes = shapes
        self.odd = np.zeros(count, dtype=bool)
        bevels = [bevel_of(shape) for shape in shapes]
        normals, corners = np.full((count, 2), np.sqrt(0.5)), self._corners(bevels)
        for at, bevel in enumerate(bevels):
            if bevel is not None:
                normals[at] = np.abs(bevel[2])
                self.odd[at] = bevel[0] != bevel[1]
        usable = np.array([bevel is not None for bevel in bevels], dtype=bool)
        if count:
            self._fill(normals, corners, usable, board, kerf, turnable, flippable)

    def _corners(self, bevels: Sequence[tuple | None]) -> np.ndarray:
        """Corners of every shape, its bevel mirrored to the upper right, filled up with the first corner."""
        most = max((len(s.ring) for s in self.shapes), default=1)
        corners = np.zeros((len(self.shapes), most, 2))
        for at, (shape, bevel) in enumerate(zip(self.shapes, bevels, strict=True)):
            ring = np.array(shape.ring + (shape.ring[0],) * (most - len(shape.ring)))
            for axis in (0, 1):
                if bevel is not None and bevel[axis] < 0:
                    ring[:, axis] = self.sizes[at, axis] - ring[:, axis]
            corners[at] = ring
        return corners

    def _fill(
        self,
        normals: np.ndarray,
        corners: np.ndarray,
        usable: np.ndarray,
        board: tuple[float, float],
        kerf: float,
        turnable: bool,
        flippable: bool,
    ) -> None:
        reach = np.einsum("ik,jvk->ijv", normals, corners).max(axis=2)
        span = normals @ self.sizes.T
        mine = (np.diag(reach)[:, None] + kerf - (span - reach), normals[:, None, :])
        own = np.einsum("ik,ik->i", normals, self.sizes)
        theirs = (reach.T + kerf - (own - np.diag(reach))[None, :], normals[None, :, :])
        allowed = usable[:, None] & usable[None, :]
        if not flippable:
            allowed &= self.odd[:, None] == self.odd[None, :]
        area = self.sizes.prod(axis=1)
        for axis in (0, 1):
            for low in (True, False):
                box = self._box(axis, low, mine, theirs)
                fits = (box[:, :, 0] <= board[0] + 1e-7) & (box[:, :, 1] <= board[1] + 1e-7)
                if turnable:
                    fits |= (box[:, :, 1] <= board[0] + 1e-7) & (box[:, :, 0] <= board[1] + 1e-7)
                saved = np.where(fits & allowed, area[:, None] + area[None, :] - box.prod(axis=2), 0.0)
                better = saved > np.maximum(self.saved, WORTH * board[0] * board[1])
                self.saved[better] = saved[better]
                self.boxes[better] = box[better]

    def _box(self, axis: int, low: bool, *lines: tuple[np.ndarray, np.ndarray]) -> np.ndarray:
        """The rectangle around every two shapes slid together along an axis, flush at the low or the high side."""
        first, second = self.sizes[:, None, :], self.sizes[None, :, :]
        across = np.zeros(self.saved.shape) if low else first[..., 1 - axis] - second[..., 1 - axis]
        offset = np.minimum(*((level - n[..., 1 - axis] * across) / n[..., axis] for level, n in lines))
        box = np.empty((*self.saved.shape, 2))
        for k, at in ((axis, offset), (1 - axis, across)):
            box[..., k] = np.maximum(first[..., k], at + second[..., k]) - np.minimum(at, 0.0)
        return box

    def boxes_of(self, some: np.ndarray) -> np.ndarray:
        """Rectangles (m) that the shapes with these numbers take, nested greedily by what is saved."""
        saved = self.saved[np.ix_(some, some)]
        np.fill_diagonal(saved, 0.0)
        saved = np.maximum(saved, saved.T)
        alone = np.ones(len(some), dtype=bool)
        found = []
        while len(some) > 1:
            i, j = divmod(int(saved.argmax()), len(some))
            if saved[i, j] <= 0:
                break
            a, b = some[i], some[j]
            found.append(self.boxes[a, b] if self.saved[a, b] >= self.saved[b, a] else self.boxes[b, a])
            alone[[i, j]] = False
            saved[[i, j], :] = 0
            saved[:, [i, j]] = 0
        return np.concatenate([np.array(found).reshape(-1, 2), self.sizes[some[alone]]])
