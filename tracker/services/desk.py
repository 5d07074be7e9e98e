"""The desk: an open store, a clock, and the site as it stands, read once for each change of the store."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

from sqlmodel import Session

from tracker.domain.site import Site
from tracker.domain.stock.ledger import Balance
from tracker.domain.stock.pool import Pool
from tracker.domain.work.cut_list import KeptPlan, Miscut
from tracker.domain.work.progress import Progress, absent_steps
from tracker.store.balances import read_balances
from tracker.store.book import Book, Load
from tracker.store.book_reader import Entry, entries_of, miscuts_of, offcuts_of, progress_of, renewed_entries
from tracker.store.book_rows import (
    BookRows,
    Rows,
    Touched,
    covers,
    read_movements,
    read_rows,
    renewed_rows,
    some_rows,
    touched_since,
    undone_in,
)
from tracker.store.kept_plan import read_kept_plan, read_ticks
from tracker.store.site_reader import Numbers, read_site
from tracker.store.store import Store, version_in

T = TypeVar("T")


@dataclass(frozen=True)
class Standing:
    """Everything the store says at one moment, as plain values."""

    site: Site
    numbers: Numbers
    entries: Mapping[int, Entry]
    book: Book
    """Item to its movements that count, in their order; and each diary entry's movements."""
    progress: Progress
    pool: Pool
    kept: KeptPlan | None
    """The cutting plan that is kept, as it was made."""
    ticks: frozenset[str]
    """Names of the pieces ticked off the cut list."""
    miscuts: tuple[Miscut, ...]

    worked_out: dict[str, dict[int, Any]] = field(default_factory=dict, compare=False)
    """What services worked out of single entries, by kind and number: kept on while entry and movements stay."""

    def of_entry(self, kind: str, entry: Entry, work_out: Callable[[Entry], T]) -> T:
        """What `work_out` makes of an entry and its movements, worked out once for each kind."""
        known = self.worked_out.setdefault(kind, {})
        if entry.id not in known:
            known[entry.id] = work_out(entry)
        return known[entry.id]

    @cached_property
    def diary(self) -> tuple[Entry, ...]:
        """The entries that stand, in the order the work was done."""
        standing = (entry for entry in self.entries.values() if entry.corrected_by is None)
        return tuple(sorted(standing, key=lambda entry: (entry.on, entry.place)))


def local_today() -> date:
    return datetime.now().astimezone().date()


def utc_now() -> datetime:
    return datetime.now(UTC)


class Desk:
    """An open store. Not for use by two threads at once."""

    def __init__(self, path: Path, today: Callable[[], date] = local_today,
                 now: Callable[[], datetime] = utc_now) -> None:
        self.path = path
        self.today = today
        self.now = now
        self.store = Store(path)
        self._last: _Read | None = None

    def close(self) -> None:
        self.store.close()

    def data_version(self) -> tuple[int, ...]:
        """Changes whenever this or another program changed the store."""
        return self.store.data_version()

    def standing(self) -> Standing:
        """The site as it stands now."""
        if self._last is None or self.store.data_version() != self._last.version:
            with self.store.read() as session:
                self._last = self._read(session)
        return self._last.standing

    def standing_in(self, session: Session) -> Standing:
        """The site as the transaction of `session` finds it: what a change is checked against before it is written."""
        if self._last is not None and version_in(session.connection()) == self._last.version:
            return self._last.standing
        return self._read(session).standing

    def _read(self, session: Session) -> _Read:
        """The store as the session sees it, from what was read last where no more than diary and book changed."""
        version, undone = version_in(session.connection()), undone_in(session)
        last = self._last
        if last is not None:
            touched = touched_since(session, last.version[0], undone - last.undone)
            if covers(touched):
                return _Read(version, undone, *_read_on(session, last, touched, self._movements))
        with _to_stay():
            site, numbers = read_site(session)
            rows = read_rows(session)
            entries, book = entries_of(rows, numbers), Book(self._movements, _names(numbers))
        balances = read_balances(session, _names(numbers))
        return _Read(version, undone, rows, _standing(session, site, numbers, rows, entries, book, balances))

    def _movements(self) -> Rows:
        # Asked for later than the rest was read: another program's movement since then only comes a moment early.
        with self.store.read() as session, _to_stay():
            return read_movements(session)


@dataclass(frozen=True)
class _Read:
    """What was read at one version of the store, kept so that the next reading need only take what changed."""

    version: tuple[int, ...]
    """The first of it is the number of the last operation."""
    undone: frozenset[int]
    """Operations taken back."""
    rows: BookRows
    standing: Standing


def _read_on(session: Session, last: _Read, touched: Touched, load: Load) -> tuple[BookRows, Standing]:
    """What was read last with the touched rows of diary, book and cut list read again."""
    before = last.standing
    rows = renewed_rows(session, last.rows, touched)
    entries = renewed_entries(before.entries, last.rows, rows, before.numbers, touched)
    moved = touched.get("movement", ())
    movements = some_rows(session, "movement", moved)
    book = before.book.renewed(load, movements, moved)
    names = before.book.items_of(moved, movements)
    balances = {item: one for item, one in before.pool.balances.items() if item not in names.values()}
    now = _standing(session, before.site, before.numbers, rows, entries, book,
                    balances | read_balances(session, names))
    # What was worked out of an entry is handed on while it and its movements are the same.
    gone = {number for number, entry in before.entries.items() if entries.get(number) is not entry}
    gone |= before.book.entries_of(moved) | book.entries_of(moved)
    for kind, known in before.worked_out.items():
        now.worked_out[kind] = {number: one for number, one in known.items() if number not in gone}
    return rows, now


@contextmanager
def _to_stay() -> Iterator[None]:
    """Reads much that stays: not searched for garbage while it comes in, nor ever after."""
    searching = gc.isenabled()
    gc.disable()
    try:
        yield
        gc.freeze()
    finally:
        if searching:
            gc.enable()


def _standing(session: Session, site: Site, numbers: Numbers, rows: BookRows, entries: Mapping[int, Entry],
              book: Book, balances: Mapping[str, Balance]) -> Standing:
    pool = Pool(balances, offcuts_of(rows, numbers, entries))
    return Standing(site, numbers, entries, book, progress_of(rows, numbers, entries, absent_steps(site)), pool,
                    read_kept_plan(session), read_ticks(session), miscuts_of(rows, numbers))


def _names(numbers: Numbers) -> dict[int, str]:
    return {number: name for name, number in numbers.items.items()}


def read_standing(session: Session, without: tuple[int, ...] = ()) -> Standing:
    """The site as one session sees it, as if the diary entries `without` had never been written."""
    site, numbers = read_site(session)
    rows, movements = read_rows(session), read_movements(session)
    entries = {number: entry for number, entry in entries_of(rows, numbers).items() if number not in without}
    return _standing(session, site, numbers, rows, entries, Book(lambda: movements, _names(numbers)),
                     read_balances(session, _names(numbers)))


def open_desk(path: Path, today: Callable[[], date] = local_today, now: Callable[[], datetime] = utc_now) -> Desk:
    """Opens the store at `path`; Unusable where it can't be used."""
    return Desk(path, today, now)
