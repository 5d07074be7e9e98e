"""The rows of the diary and the book as one moment has them, and the same brought up to a later moment.

Ten years of work are tens of thousands of rows: they are read once, as plain tuples, and afterwards only those that an
operation touched, since each operation keeps which rows it changed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields
from typing import Any, NamedTuple

from sqlmodel import Session


class EntryTuple(NamedTuple):
    """A row of `entry`."""

    id: int
    bay_id: int | None
    task_id: int | None
    step: Any
    done: float
    hours_h: float | None
    note: str
    lesson: str
    on_date: str
    corrects_id: int | None


class MovementTuple(NamedTuple):
    """A row of `movement`."""

    id: int
    item_id: int
    kind: Any
    quantity_u: int
    on_date: str
    due: str | None
    lot: str | None
    note: str
    entry_id: int | None
    position: int
    superseded: int


class CutTuple(NamedTuple):
    """A row of `cut`."""

    id: int
    entry_id: int
    bay_id: int
    step: Any
    piece: str
    outline: str | None
    length_um: int | None


class PhotoTuple(NamedTuple):
    """A row of `photo`."""

    id: int
    entry_id: int
    path: str


class OffcutTuple(NamedTuple):
    """A row of `offcut` still in stock."""

    id: int
    item_id: int
    length_um: int
    width_um: int | None
    made_entry_id: int | None
    piece: str | None


class MiscutTuple(NamedTuple):
    """A row of `miscut`."""

    id: int
    item_id: int
    piece: str
    size: float


_KINDS: Mapping[str, tuple[type[Any], str]] = {
    "entry": (EntryTuple, "1"), "movement": (MovementTuple, "1"), "cut": (CutTuple, "1"), "photo": (PhotoTuple, "1"),
    "offcut": (OffcutTuple, "used_entry_id IS NULL"), "miscut": (MiscutTuple, "1")}
"""Table to the columns read of it and which of its rows."""

Rows = dict[int, Any]
Touched = Mapping[str, Collection[int]]
"""Table to the numbers of its rows that were added, changed or removed."""


@dataclass(frozen=True)
class BookRows:
    """Rows by number, in the order of their numbers; movements are left to the book."""

    entry: Rows
    cut: Rows
    photo: Rows
    offcut: Rows
    miscut: Rows


def read_rows(session: Session) -> BookRows:
    """Every row that counts, as the session's transaction finds them."""
    return BookRows(**{field.name: _select(session, field.name, "") for field in fields(BookRows)})


def read_movements(session: Session) -> Rows:
    """Every row of the stock book."""
    return _select(session, "movement", "")


def renewed_rows(session: Session, rows: BookRows, touched: Touched) -> BookRows:
    """The rows once those touched are read again; rows that were not are the same tuples as before."""
    return BookRows(**{field.name: renewed(getattr(rows, field.name), numbers, some_rows(session, field.name, numbers))
                       if (numbers := touched.get(field.name)) else getattr(rows, field.name)
                       for field in fields(BookRows)})


def some_rows(session: Session, table: str, numbers: Collection[int]) -> Rows:
    """The rows of these numbers that are there and count."""
    listed = ", ".join(str(int(number)) for number in numbers)
    return _select(session, table, f" AND id IN ({listed})") if numbers else {}


def renewed(before: Rows, numbers: Collection[int], now: Rows) -> Rows:
    """Rows with those of these numbers as they are now, or gone, in the order of their numbers."""
    rows = dict(before)
    for number in numbers:
        rows.pop(number, None)
    in_order = not rows or not now or min(now) > next(reversed(rows))
    rows |= now
    return rows if in_order else dict(sorted(rows.items()))


def covers(touched: Touched) -> bool:
    """Does every touched row belong to diary, book, cut list or measurements, none to the site as described?"""
    return set(touched) <= {*_KINDS, "kept_plan", "tick", "measurement", "recording", "signal"}


def undone_in(session: Session) -> frozenset[int]:
    """Numbers of the operations that were taken back."""
    return frozenset(number for number, in session.connection().exec_driver_sql(
        "SELECT id FROM operation WHERE undone = 1"))


def touched_since(session: Session, last: int, undone: Collection[int]) -> Touched:
    """Rows that operations after number `last` changed, and those that taking back the ones of `undone` changed."""
    query = "SELECT DISTINCT table_name, row_id FROM change WHERE operation_id"
    connection = session.connection()
    found: dict[str, set[int]] = defaultdict(set)
    for table, number in connection.exec_driver_sql(f"{query} > ?", (last,)):
        found[table].add(number)
    for operation in undone:
        for table, number in connection.exec_driver_sql(f"{query} = ?", (operation,)):
            found[table].add(number)
    return found


def _select(session: Session, table: str, more: str) -> Rows:
    kind, which = _KINDS[table]
    # Straight from the driver: its plain tuples cost a third of the library's rows.
    cursor = session.connection().connection.driver_connection.execute(
        f"SELECT {', '.join(kind._fields)} FROM {table} WHERE {which}{more} ORDER BY id")
    return {row[0]: row for row in map(kind._make, cursor)}
