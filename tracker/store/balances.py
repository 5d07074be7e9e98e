"""What the stock book says of every item, without reading all of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlmodel import Session

from tracker.domain.stock.ledger import Balance, Movement, balance
from tracker.store.amounts import amount

_COLUMNS = "item_id, kind, quantity_u, on_date, due, lot, position, id"


def read_balances(session: Session, names: Mapping[int, str]) -> dict[str, Balance]:
    """Item to its balance, of the items named by their numbers.

    It is what playing all its movements gives, with only those played that can matter. What is on hand follows from
    the last count and the sum from there on, open orders from orders and deliveries alone; only an item that came in
    dye lots asks for every movement.
    """
    query = session.connection().connection.driver_connection.execute
    counts = f"superseded = 0 AND item_id IN ({', '.join(str(int(number)) for number in names)})"
    telling: dict[int, list[Any]] = defaultdict(list)
    lotted: set[int] = set()
    since: dict[int, tuple[int, int]] = {}
    for row in query(f"SELECT {_COLUMNS} FROM movement WHERE {counts} AND (kind IN ('order', 'delivery', 'count') "
                     "OR lot IS NOT NULL) ORDER BY position, id"):
        item, kind, _, _, _, lot, position, number = row
        if lot:
            lotted.add(item)
        if kind == "count":
            since[item] = position, number
        elif kind in ("order", "delivery"):
            telling[item].append(row)
    sums: dict[int, int] = defaultdict(int)
    first = min((since.get(item, (0, 0))[0] for item in names if item not in lotted), default=0)
    moved = set(lotted)
    for item, quantity, position, number in query(
            f"SELECT item_id, quantity_u, position, id FROM movement WHERE {counts} AND kind <> 'order' "
            "AND position >= ?", (first,)):
        moved.add(item)
        if (position, number) >= since.get(item, (0, 0)):
            sums[item] += quantity
    found = {item: Balance(amount(sums[item]), balance(map(_movement, telling[item])).orders)
             for item in moved | set(telling) if item not in lotted}
    for item in lotted:
        found[item] = balance(map(_movement, query(f"SELECT {_COLUMNS} FROM movement WHERE {counts} AND item_id = ? "
                                                   "ORDER BY position, id", (item,))))
    return {name: found[number] for number, name in names.items() if number in found}


def _movement(row: Any) -> Movement:
    _, kind, quantity, on, due, lot, *_ = row
    return Movement(kind=kind, quantity=amount(quantity), on=date.fromisoformat(on),
                    due=None if due is None else date.fromisoformat(due), lot=lot)
