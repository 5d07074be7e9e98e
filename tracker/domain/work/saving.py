"""What cutting phases together saves over cutting one after the other, and which of them waits for more by it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from tracker.domain.cutting.in_order import Weighed
from tracker.domain.cutting.plans import BoardPlan, Need2, StickPiece, StickPlan

Need = TypeVar("Need", Need2, StickPiece)


@dataclass(frozen=True, slots=True)
class Saving:
    """What cutting the phases of an item together saves over cutting one after the other, in whole boards or sticks."""

    item: str
    saved: int
    more: tuple[tuple[str, int], ...] = ()
    """Phase, and how many more it waits for than it would alone."""


def by_phase(needs: Iterable[Need], phases: Mapping[str, str]) -> dict[str, list[Need]]:
    """Phase to what is needed in it, in the order given; `phases` gives the phase of each bay by its short name."""
    found: dict[str, list[Need]] = defaultdict(list)
    for need in needs:
        found[phases[need.bay]].append(need)
    return dict(found)


def saving_of(item: str, phases: Sequence[str], found: Weighed[BoardPlan] | Weighed[StickPlan]) -> Saving | None:
    """What the plan weighed saves, in boards or sticks; None where that is nothing. Source: definition."""
    saved = sum(found.apart) - sum(found.needs)
    if saved <= 0:
        return None
    more, ahead = [], 0
    for phase, needed, alone in zip(phases, found.needs, found.apart, strict=True):
        ahead += needed - alone
        # One that needs more of its own where the phases before it leave as many more does not wait for them.
        if (by := min(ahead, needed - alone)) > 0:
            more.append((phase, by))
    return Saving(item, saved, tuple(more))
