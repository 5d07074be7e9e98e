"""One way to reach a store file: pragmas, explicit transactions, and the errors a person can act on."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError, IntegrityError

from tracker.domain.errors import Unusable

BUSY_MS = 3000


def engine_for(path: Path, *, foreign_keys: bool = True, wal: bool = True) -> Engine:
    """An engine on the file; transactions begin as written below, never by the driver's own guess."""
    engine = create_engine(f"sqlite:///{path}", connect_args={"check_same_thread": False})

    @event.listens_for(engine, "connect")
    def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
        connection.isolation_level = None
        for pragma in (f"busy_timeout={BUSY_MS}", f"foreign_keys={'on' if foreign_keys else 'off'}",
                       f"journal_mode={'wal' if wal else 'delete'}", "synchronous=normal"):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # A deferred transaction that reads and then writes fails under a second writer whatever the time-out.
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Turns the database's own errors into what is wrong with the store and what to do."""
    try:
        yield
    except (DatabaseError, sqlite3.DatabaseError) as error:
        text = str(getattr(error, "orig", error))
        if "locked" in text or "busy" in text:
            raise Unusable(f"{path}: the store is locked by another program; close it and try again") from error
        if "readonly" in text or "unable to open" in text:
            raise Unusable(f"{path}: the store can't be written; check the folder and its permissions") from error
        if "not a database" in text or "malformed" in text:
            raise Unusable(f"{path}: not a sound Sabinry store; put a safe copy back, or start one with "
                           "`sabinry new FILE`") from error
        if isinstance(error, IntegrityError):
            raise
        raise Unusable(f"{path}: the store can't be used ({text.splitlines()[0]}); put a safe copy back") from error
