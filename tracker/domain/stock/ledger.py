"""Stock as a ledger: what is on hand and on order follows from the movements, never from a typed-in figure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from tracker.domain.errors import Refused

Kind = Literal["opening", "delivery", "use", "spoil", "count", "return", "order"]

_CENT = 6
"""Decimals quantities are kept to: the store's millionths of a unit."""


@dataclass(frozen=True, slots=True)
class Movement:
    """One line of the book, signed, in the item's unit; a count holds what was counted, an order what was ordered."""

    kind: Kind
    quantity: float
    on: date
    due: date | None = None
    lot: str | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """What is still to come of one order, in the item's unit."""

    quantity: float
    due: date | None


@dataclass(frozen=True, slots=True)
class Balance:
    """What the book says of one item, in its unit."""

    on_hand: float = 0.0
    orders: tuple[Order, ...] = ()
    """Open orders, earliest due first."""
    lots: tuple[str, ...] = ()
    """Dye lots that came, in the order they came; emptied whenever none was left."""

    @property
    def on_order(self) -> float:
        return round(sum(order.quantity for order in self.orders), _CENT)

    def due_for(self, short: float) -> date | None:
        """The date by which open orders cover `short` of the item, or the last date known where they don't."""
        found = None
        for order in self.orders:
            found = order.due or found
            short -= order.quantity
            if short <= 10.0 ** -_CENT:
                break
        return found


def balance(movements: Iterable[Movement]) -> Balance:
    """Plays the movements of one item in their order in the book.

    A count sets the book right; a delivery fills the open order that is due first, then counts as unordered.
    Quantities in the item's unit. Source: definition (running balance).
    """
    on_hand, orders, lots = 0.0, [], []
    for movement in movements:
        if movement.kind == "order":
            orders.append(Order(movement.quantity, movement.due))
            orders.sort(key=lambda order: order.due or date.max)
            continue
        on_hand = movement.quantity if movement.kind == "count" else round(on_hand + movement.quantity, _CENT)
        if movement.kind == "delivery":
            orders = _filled(orders, movement.quantity)
        if movement.quantity > 0 and movement.lot and movement.lot not in lots:
            lots.append(movement.lot)
        if on_hand <= 0:
            lots = []
    return Balance(on_hand, tuple(orders), tuple(lots))


def _filled(orders: list[Order], delivered: float) -> list[Order]:
    left = []
    for order in orders:
        taken = min(order.quantity, delivered)
        delivered -= taken
        if (rest := round(order.quantity - taken, _CENT)) > 0:
            left.append(Order(rest, order.due))
    return left


def refuse_below_zero(item: str, unit: str, movements: Iterable[Movement]) -> None:
    """Refuses a book that would show less than nothing of the item at any point. Quantities in `unit`."""
    on_hand = 0.0
    for movement in movements:
        if movement.kind == "order":
            continue
        before = on_hand
        on_hand = movement.quantity if movement.kind == "count" else round(on_hand + movement.quantity, _CENT)
        if on_hand < 0:
            plural = unit if unit == "m" or before == 1 else f"{unit}s"
            raise Refused(f"{item}: the book has {before:g} {plural}, not the {-movement.quantity:g} this takes; "
                          f"count the {item} first")
