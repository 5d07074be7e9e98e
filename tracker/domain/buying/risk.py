"""The chance of running short: the work played through many times, with pieces spoiled as they are in practice."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from zlib import crc32

import numpy as np

from tracker.domain.buying.demand import Demand
from tracker.domain.buying.rack import Rack
from tracker.domain.errors import Refused

TRIALS = 4000
"""Times the work is played through: a chance of 5 % is then known to within 0.35 % (one standard error)."""
LEAST_RISK, MOST_RISK = 0.005, 0.95
"""A smaller chance would rest on fewer than 20 trials."""
MOST_RATE = 0.5
"""A piece is never taken to be spoiled more often than this. Common practice, no source."""
_SLACK = 1e-6


@dataclass(frozen=True, eq=False)
class NeedSpread:
    """What an item takes, in its unit, over the trials: the plan's need and what spoiled pieces add to it."""

    needs: np.ndarray = field(repr=False)
    """One figure a trial, least first."""

    def chance_of_running_short(self, packs: float, pack: float, on_hand: float = 0.0) -> float:
        """Chance (0 to 1) that so many packs of `pack` beside what is on hand, in the item's unit, are not enough.

        `on_hand` is below nothing where earlier work takes more than there is.
        Source: definition (share of trials).
        """
        there = on_hand + packs * pack + _SLACK
        return (len(self.needs) - int(np.searchsorted(self.needs, there, side="right"))) / len(self.needs)

    def least_packs(self, risk: float = 0.05, pack: float = 1.0, on_hand: float = 0.0, *,
                    whole: bool = True) -> tuple[float, float]:
        """The least packs whose chance of running short is at most `risk`, and that chance (0 to 1).

        `pack` and `on_hand` are in the item's unit; packs are whole ones unless told otherwise.
        Source: definition (quantile of the trials).
        """
        last = math.ceil(len(self.needs) * (1 - risk) - _SLACK)
        wanted = max(0.0, (float(self.needs[last - 1]) - on_hand) / pack)
        packs = float(math.ceil(wanted - _SLACK)) if whole else round(wanted, 6)
        return packs, self.chance_of_running_short(packs, pack, on_hand)


def refuse_risk(risk: float) -> None:
    """Refuses a chance of running short, 0 to 1, that the trials cannot tell from none, or that is nearly sure."""
    if not LEAST_RISK <= risk <= MOST_RISK:
        raise Refused(f"risk {risk:g}: it must be {LEAST_RISK} to {MOST_RISK}; write e.g. 0.05 for a chance of 5 %")


@lru_cache(maxsize=256)
def need_spread(demand: Demand, spoil_rate: float, error_m: float | None = None, *, seed: int = 0,
                trials: int = TRIALS) -> NeedSpread:
    """Plays the work through: a piece may be spoiled, or measured too short, and is then cut again until it is good.

    `spoil_rate` is the chance (0 to 1) that a piece is spoiled, `error_m` the standard deviation of a measured length,
    m (None: a class II tape). What is spoiled is lost whole. A piece is cut again by its bounding rectangle, from an
    offcut of its own lot or an earlier one, else from new material, whose rest can be used again. The same input and
    seed give the same figures.
    Source: definition (independent pieces, geometric number of tries); no offcuts to use: negative binomial.
    """
    rate = min(spoil_rate, MOST_RATE)
    draw = np.random.default_rng([seed, crc32(demand.item.encode())])
    extra = np.zeros(trials)
    rack = Rack(trials, demand.kerf_m, demand.waste_below_m, demand.turnable)
    for lot in demand.lots:
        rack.add(lot.leaves)
        failing = [1 - (1 - rate) * (1 - demand.chance_too_short(piece, error_m)) for piece in lot.pieces]
        extra += _cut_again(demand, rack, np.array(lot.pieces), _failures(draw, np.array(failing), trials))
    if demand.loose > 0 and rate > 0:
        # A bulk quantity is spoiled by parts, none larger than its unit.
        parts = math.ceil(demand.loose - _SLACK)
        extra += draw.negative_binomial(parts, 1 - rate, trials) * (demand.loose / parts)
    needs = np.sort(demand.need + extra)
    needs.setflags(write=False)
    return NeedSpread(needs)


def _failures(draw: np.random.Generator, failing: np.ndarray, trials: int) -> np.ndarray:
    """How often each piece fails before it is good, (trials, pieces): geometric, from one even draw each."""
    even = 1 - draw.random((trials, len(failing)))
    with np.errstate(divide="ignore"):
        return np.where(failing > 0, np.log(even) / np.log(failing), 0.0).astype(int)


def _cut_again(demand: Demand, rack: Rack, pieces: np.ndarray, failures: np.ndarray) -> np.ndarray:
    """New material that failed pieces take in each trial, in the item's unit; the rack is left as they leave it."""
    extra = np.zeros(len(failures))
    if not failures.any():
        return extra
    fresh_for = _fresh(demand)
    each = np.repeat(np.arange(failures.size), failures.ravel())
    trial, piece = np.divmod(each, failures.shape[1])
    turn = np.arange(len(each)) - np.searchsorted(trial, trial, side="left")
    for number in range(int(turn.max()) + 1):
        rows, again = trial[turn == number], pieces[piece[turn == number]]
        new = rack.cut(rows, again, fresh_for(again))
        extra[rows] += new * (again[:, 0] if demand.by_length else 1.0)
    return extra


def _fresh(demand: Demand) -> Callable[[np.ndarray], np.ndarray]:
    """New material for pieces, m: a whole board or stick, or as much of the roll as the piece is long."""
    if demand.by_length:
        return lambda pieces: np.stack([pieces[:, 0], np.full(len(pieces), demand.fresh_m[1])], axis=1)
    return lambda pieces: np.broadcast_to(np.array(demand.fresh_m), (len(pieces), 2))
