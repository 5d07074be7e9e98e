"""The desk: an open store, a clock, and the site as it stands, read once for each change of the store."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from sqlmodel import Session

from tracker.domain.site import Site
from tracker.domain.stock.ledger import balance
from tracker.domain.stock.pool import Pool
from tracker.domain.work.progress import Progress, absent_steps
from tracker.store.book_reader import (
    BookLine,
    Entry,
    read_entries,
    read_movements,
    read_offcuts,
    read_progress,
)
from tracker.store.site_reader import Numbers, read_site
from tracker.store.store import Store, version_in


@dataclass(frozen=True)
class Standing:
    """Everything the store says at one moment, as plain values."""

    site: Site
    numbers: Numbers
    entries: Mapping[int, Entry]
    book: Mapping[str, tuple[BookLine, ...]]
    """Item to its movements that count, in their order."""
    by_entry: Mapping[int, tuple[BookLine, ...]]
    """Diary entry to its movements, those a correction replaced too."""
    progress: Progress
    pool: Pool


def local_today() -> date:
    return datetime.now().astimezone().date()


class Desk:
    """An open store. Not for use by two threads at once."""

    def __init__(self, path: Path, today: Callable[[], date] = local_today) -> None:
        self.path = path
        self.today = today
        self.store = Store(path)
        self._read_at: tuple[int, int] | None = None
        self._standing: Standing | None = None

    def close(self) -> None:
        self.store.close()

    def data_version(self) -> tuple[int, int]:
        """Changes whenever this or another program changed the store."""
        return self.store.data_version()

    def standing(self) -> Standing:
        """The site as it stands now."""
        version = self.store.data_version()
        if self._standing is None or version != self._read_at:
            self._standing, self._read_at = self._read(), version
        return self._standing

    def standing_in(self, session: Session) -> Standing:
        """The site as the transaction of `session` finds it: what a change is checked against before it is written."""
        version = version_in(session.connection())
        if self._standing is not None and version == self._read_at:
            return self._standing
        return read_standing(session)

    def _read(self) -> Standing:
        with self.store.read() as session:
            return read_standing(session)


def read_standing(session: Session, without: tuple[int, ...] = ()) -> Standing:
    """The site as one session sees it, as if the diary entries `without` had never been written."""
    site, numbers = read_site(session)
    entries = {number: entry for number, entry in read_entries(session, numbers).items() if number not in without}
    lines = read_movements(session, numbers)
    book = {item: tuple(line for line in found if not line.superseded) for item, found in lines.items()}
    by_entry: dict[int, list[BookLine]] = defaultdict(list)
    for found in lines.values():
        for line in found:
            if line.entry is not None:
                by_entry[line.entry].append(line)
    pool = Pool({item: balance(line.movement for line in found) for item, found in book.items()},
                read_offcuts(session, numbers, entries))
    return Standing(site, numbers, entries, book, {entry: tuple(found) for entry, found in by_entry.items()},
                    read_progress(session, numbers, entries, absent_steps(site)), pool)


def open_desk(path: Path, today: Callable[[], date] = local_today) -> Desk:
    """Opens the store at `path`; Unusable where it can't be used."""
    return Desk(path, today)
