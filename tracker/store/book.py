"""The stock book: each item's movements in their order, made into lines only where they are asked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from tracker.domain.stock.ledger import Movement
from tracker.store.amounts import amount
from tracker.store.book_rows import MovementTuple, Rows, renewed


@dataclass(frozen=True, slots=True)
class BookLine:
    """A movement with its row number, item, and the diary entry it belongs to."""

    id: int
    item: str
    movement: Movement
    note: str
    entry: int | None
    position: int
    superseded: bool
    """Replaced when its entry was corrected: it stays to be seen, and no longer counts."""


Load = Callable[[], Rows]
"""Reads the rows of `movement`, by number."""


class Book(Mapping[str, tuple[BookLine, ...]]):
    """Item to its movements that count, in their order in the book; read when it is first asked."""

    def __init__(self, load: Load, names: Mapping[int, str]) -> None:
        """`names`: item number to its name; rows of other items are left out."""
        self._load, self._names = load, names
        self._numbers = {name: number for number, name in names.items()}
        self._lines: dict[str, tuple[BookLine, ...]] = {}

    def __getitem__(self, item: str) -> tuple[BookLine, ...]:
        if item not in self._lines:
            self._lines[item] = tuple(self._line(row) for row in self._items[self._numbers[item]]
                                      if not row.superseded)
        return self._lines[item]

    def __iter__(self) -> Iterator[str]:
        return (self._names[number] for number in self._items)

    def __len__(self) -> int:
        return len(self._items)

    @property
    def last_position(self) -> int:
        """The last place in the book that a movement which counts has; 0 where there is none."""
        last = (next((row.position for row in reversed(rows) if not row.superseded), 0)
                for rows in self._items.values())
        return max(last, default=0)

    def of_entry(self, entry: int) -> tuple[BookLine, ...]:
        """The movements of a diary entry, those a correction replaced too."""
        return tuple(self._line(row) for row in self._by_entry.get(entry, ()))

    def entries_of(self, numbers: Collection[int]) -> set[int]:
        """Diary entries that the movements of these numbers belong to; none as long as the book was not read."""
        rows = self.__dict__.get("_rows", {})
        return {row.entry_id for number in numbers if (row := rows.get(number)) is not None and row.entry_id}

    def items_of(self, numbers: Collection[int], now: Rows) -> dict[int, str]:
        """Number and name of every item that the movements of these numbers, as before or as in `now`, may touch."""
        before = self.__dict__.get("_rows", {})
        if any(number not in before and number not in now for number in numbers):
            return dict(self._names)  # One that is gone, of a book that was not read, may be of any item.
        items = {rows[number].item_id for rows in (before, now) for number in numbers if number in rows}
        return {item: self._names[item] for item in items if item in self._names}

    def without(self, entry: int) -> Book:
        """The book as if a diary entry had moved nothing."""
        return Book(lambda: {number: row for number, row in self._rows.items() if row.entry_id != entry}, self._names)

    def renewed(self, load: Load, now: Rows, numbers: Collection[int]) -> Book:
        """The book once the movements of these numbers are as in `now`, or gone; `load` reads all where none was."""
        book = Book(load, self._names)
        if "_rows" not in self.__dict__:
            return book
        before = self._rows
        book._rows = renewed(before, numbers, now)
        changed = {rows[number].item_id for rows in (before, now) for number in numbers if number in rows}
        book._lines = {item: lines for item, lines in self._lines.items() if self._numbers[item] not in changed}
        items = {item: rows for item, rows in self._items.items() if item not in changed}
        book._items = items | {item: rows for item in changed if (rows := _in_order(
            [row for row in self._items.get(item, ()) if row.id not in numbers]
            + [row for row in now.values() if row.item_id == item]))}
        return book

    @cached_property
    def _rows(self) -> Rows:
        return {number: row for number, row in self._load().items() if row.item_id in self._names}

    @cached_property
    def _items(self) -> dict[int, tuple[MovementTuple, ...]]:
        found: dict[int, list[MovementTuple]] = defaultdict(list)
        for row in self._rows.values():
            found[row.item_id].append(row)
        return {item: _in_order(own) for item, own in found.items()}

    @cached_property
    def _ranks(self) -> dict[int, int]:
        """Item number to its place among the items as they first come in the book."""
        first = sorted(self._items, key=lambda number: (self._items[number][0].position, self._items[number][0].id))
        return {number: place for place, number in enumerate(first)}

    @cached_property
    def _by_entry(self) -> dict[int, tuple[MovementTuple, ...]]:
        ranks = self._ranks
        found: dict[int, list[MovementTuple]] = defaultdict(list)
        for number in ranks:
            for row in self._items[number]:
                if row.entry_id is not None:
                    found[row.entry_id].append(row)
        return {entry: tuple(rows) for entry, rows in found.items()}

    def _line(self, row: MovementTuple) -> BookLine:
        return BookLine(row.id, self._names[row.item_id], _movement(row), row.note, row.entry_id, row.position,
                        bool(row.superseded))


def _in_order(rows: Iterable[MovementTuple]) -> tuple[MovementTuple, ...]:
    return tuple(sorted(rows, key=lambda row: (row.position, row.id)))


def _movement(row: MovementTuple) -> Movement:
    return Movement(kind=row.kind, quantity=amount(row.quantity_u), on=date.fromisoformat(row.on_date),
                    due=None if row.due is None else date.fromisoformat(row.due), lot=row.lot)
