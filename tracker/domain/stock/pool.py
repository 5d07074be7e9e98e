"""What is free to take: stock on hand and offcuts, less what earlier work holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from tracker.domain.stock.ledger import Balance
from tracker.domain.stock.pieces import Offcut


@dataclass(frozen=True)
class Pool:
    """The whole stock of a site: balances by item, offcuts, and how much of each is held by earlier work."""

    balances: Mapping[str, Balance]
    offcuts: tuple[Offcut, ...] = ()
    held: Mapping[str, float] = field(default_factory=dict)
    """Item to quantity in its unit."""
    held_offcuts: frozenset[str] = frozenset()

    def balance(self, item: str) -> Balance:
        return self.balances.get(item, _NOTHING)

    def free_offcuts(self) -> tuple[Offcut, ...]:
        return tuple(offcut for offcut in self.offcuts if offcut.id not in self.held_offcuts)

    def held_of(self, item: str) -> float:
        """Spoken for by earlier work: never more than is on hand. In the item's unit."""
        return min(self.held.get(item, 0.0), self.balance(item).on_hand)

    def short_of(self, item: str, need: float) -> float:
        """Needed, less what is on hand and not held. In the item's unit. Source: definition (the job's vocabulary)."""
        return max(0.0, round(need - (self.balance(item).on_hand - self.held_of(item)), 6))

    def coming(self, item: str) -> float:
        """On order and not already spoken for by the shortage of earlier work. In the item's unit."""
        return max(0.0, round(self.balance(item).on_order - self.owed(item), 6))

    def owed(self, item: str) -> float:
        """What earlier work needs beyond what is on hand: the first of what comes is for it. In the item's unit."""
        return max(0.0, self.held.get(item, 0.0) - self.balance(item).on_hand)

    def holding(self, needs: Mapping[str, float], offcuts: Iterable[str]) -> Pool:
        """The pool as later work finds it, once these needs and offcuts are held too."""
        held = dict(self.held)
        for item, need in needs.items():
            held[item] = held.get(item, 0.0) + need
        return Pool(self.balances, self.offcuts, held, self.held_offcuts | frozenset(offcuts))


_NOTHING = Balance()
