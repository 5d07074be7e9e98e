"""Layouts of all bays searched together: annealing over one option a bay, many neighbours weighed at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from tracker.domain.cutting.batch import boards_taken
from tracker.domain.cutting.nesting import NestTable
from tracker.domain.cutting.options import Option
from tracker.domain.cutting.packing import Saw
from tracker.domain.cutting.pairs import UM

CHAINS, NEIGHBOURS = 3, 16
"""Layouts kept side by side, and changes of each that are weighed at once."""
HOT, COLD = 0.5, 0.02
"""Rise of the cost, boards, that is taken easily at the start and at the end."""


@dataclass
class Weigher:
    """What a choice of one option a bay costs: boards, part boards filled, and pieces."""

    options: Sequence[Sequence[Option]]
    saw: Saw
    flippable: bool
    fixed: np.ndarray
    """Blocks (m, kerf added) cut whatever is chosen."""
    piece_cost: float
    """Boards that one more piece is worth."""
    corner_cost: float = 0.0
    """Boards that one more joint over the corner of an opening is worth."""
    nested: dict[tuple[tuple[int, int], ...], np.ndarray] = field(default_factory=dict)

    def __post_init__(self) -> None:
        kerf = self.saw.kerf / UM
        self.kerf = kerf
        self.board_m = (self.saw.length / UM, self.saw.width / UM)
        self.board = (self.saw.length / UM + kerf, self.saw.width / UM + kerf)
        self.offcuts = [(w / UM + kerf, h / UM + kerf) for _, w, h in self.saw.offcuts]
        self.squares = [[np.array(o.square, dtype=float).reshape(-1, 2) + kerf for o in some] for some in self.options]
        shapes = dict.fromkeys(shape for some in self.options for option in some for shape in option.slanted)
        kinds = {shape: at for at, shape in enumerate(shapes)}
        self.table = NestTable(list(kinds), self.board_m, kerf, self.saw.turnable, self.flippable)
        self.kinds = [[[kinds[shape] for shape in option.slanted] for option in some] for some in self.options]
        self.slanting = [at for at, some in enumerate(self.options) if any(option.slanted for option in some)]
        most = max(len(some) for some in self.options)
        self.steady = np.zeros((len(self.options), most))
        for row, some in zip(self.steady, self.options, strict=True):
            row[: len(some)] = [self._steady(option) for option in some]

    def _steady(self, option: Option) -> float:
        return option.whole + self.piece_cost * option.pieces + self.corner_cost * option.corner_joints

    def costs(self, choices: np.ndarray) -> np.ndarray:
        """The cost of each row of choices, in boards."""
        blocks = [self._blocks(choice) for choice in choices]
        steady = self.steady[np.arange(choices.shape[1]), choices].sum(axis=1)
        return steady + boards_taken(blocks, self.board, self.offcuts, self.saw.turnable)

    def _blocks(self, choice: np.ndarray) -> np.ndarray:
        key = tuple((bay, int(choice[bay])) for bay in self.slanting)
        if key not in self.nested:
            some = np.array([kind for bay, at in key for kind in self.kinds[bay][at]], dtype=np.intp)
            self.nested[key] = self.table.boxes_of(some) + self.kerf
        some = [squares[at] for squares, at in zip(self.squares, choice.tolist(), strict=True)]
        return np.concatenate([*some, self.nested[key], self.fixed])


def search(
    weigher: Weigher, rounds: int, seed: int, told: Callable[[float, float], bool | None] | None = None
) -> list[tuple[int, ...]]:
    """The best choices found in `rounds`, best first, one a chain; `told(share done, cost)` may stop it with True."""
    random = np.random.default_rng(seed)
    counts = np.array([len(some) for some in weigher.options])
    open_bays = np.flatnonzero(counts > 1)
    now = np.zeros((CHAINS, len(counts)), dtype=np.intp)
    if not len(open_bays):
        return [tuple(now[0].tolist())]
    cost = np.repeat(weigher.costs(now[:1]), CHAINS)
    best, least = now.copy(), cost.copy()
    for round_at in range(rounds):
        heat = HOT * (COLD / HOT) ** (round_at / max(1, rounds - 1))
        tries = np.repeat(now, NEIGHBOURS, axis=0)
        _change(tries, open_bays, counts, random)
        costs = weigher.costs(tries).reshape(CHAINS, NEIGHBOURS)
        lot = costs - heat * random.exponential(size=costs.shape)
        pick = lot.argmin(axis=1)
        picked = costs[np.arange(CHAINS), pick]
        taken = picked - heat * random.exponential(size=CHAINS) <= cost
        now[taken] = tries.reshape(CHAINS, NEIGHBOURS, -1)[np.arange(CHAINS), pick][taken]
        cost[taken] = picked[taken]
        better = cost < least
        best[better], least[better] = now[better], cost[better]
        if round_at % 25 == 24:
            worst, first = cost.argmax(), least.argmin()
            now[worst], cost[worst] = best[first], least[first]
        if told is not None and told((round_at + 1) / rounds, float(least.min())):
            break
    return [tuple(best[at].tolist()) for at in np.argsort(least, kind="stable")]


def _change(tries: np.ndarray, open_bays: np.ndarray, counts: np.ndarray, random: np.random.Generator) -> None:
    """Change one bay of each row, in a quarter of them two; likely cheap options come up more often."""
    rows = np.arange(len(tries))
    for share in (1.0, 0.25):
        some = rows[random.random(len(rows)) < share]
        bays = random.choice(open_bays, size=len(some))
        draws = random.random(len(some)) ** 1.5
        tries[some, bays] = (draws * counts[bays]).astype(np.intp)
