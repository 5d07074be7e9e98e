"""The store: opened once, read and written in transactions, each write one step that undo can take back.

Table classes are imported where they are written: reading does without them, and a verb that only reads is quicker.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa
from sqlmodel import Session, SQLModel

from tracker.domain.errors import Refused, Unusable
from tracker.store import schema
from tracker.store.engine import engine_for, explained

if TYPE_CHECKING:
    from tracker.store.tables import ChangeRow, OperationRow


class WriteSession(Session):
    """A session that keeps every row image its flushes change; the sentence is set before it ends."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sentence = ""
        self.images: list[tuple[str, int, dict[str, Any] | None, dict[str, Any] | None]] = []
        sa.event.listen(self, "after_flush", _keep_images)


def _keep_images(session: WriteSession, _context: Any) -> None:
    for row in session.new:
        session.images.append((row.__tablename__, row.id, None, _image(row)))
    for row in session.dirty:
        before = {name: (history.deleted[0] if (history := sa.inspect(row).attrs[name].history).deleted else value)
                  for name, value in _image(row).items()}
        if before != _image(row):
            session.images.append((row.__tablename__, row.id, before, _image(row)))
    for row in session.deleted:
        session.images.append((row.__tablename__, row.id, _image(row), None))


def _image(row: Any) -> dict[str, Any]:
    return {column.name: getattr(row, column.name) for column in row.__table__.columns}


class Store:
    """One store file. Not shared between threads; each read or write opens and closes its own session."""

    def __init__(self, path: Path) -> None:
        if not path.is_file():
            raise Unusable(f"{path}: no store there; start one with `sabinry new FILE`, or look at `sabinry demo`")
        schema.make_current(path)
        self.path = path
        self._engine = engine_for(path)
        self._marked: tuple[Any, ...] | None = None
        self._version = (0, 0)

    def close(self) -> None:
        self._engine.dispose()

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session for reading only; every row it gives is from one moment."""
        with explained(self.path), Session(self._engine, autoflush=False) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[WriteSession]:
        """One operation: all or nothing, and one step of undo described by the session's `sentence`."""
        with explained(self.path), WriteSession(self._engine.execution_options(writes=True)) as session:
            yield session
            session.flush()
            self._record(session)
            session.commit()

    @contextmanager
    def fill(self) -> Iterator[Session]:
        """Writes what no undo takes back: the first contents of a store, drafts, the clock."""
        with explained(self.path), Session(self._engine.execution_options(writes=True)) as session:
            yield session
            session.commit()

    def settle(self) -> None:
        """Folds the write-ahead log into the one file, so that the file can be moved."""
        with explained(self.path), self._engine.connect() as connection:
            connection.connection.driver_connection.execute("PRAGMA journal_mode=delete")

    def _record(self, session: WriteSession) -> None:
        if not session.images:
            return
        from tracker.store.tables import ChangeRow, OperationRow

        images, session.images = session.images, []
        operation = OperationRow(at=datetime.now(UTC).isoformat(timespec="seconds"), sentence=session.sentence)
        session.add(operation)
        session.flush()
        session.add_all(
            ChangeRow(operation_id=operation.id, table_name=table, row_id=row_id,
                      before=None if before is None else json.dumps(before),
                      after=None if after is None else json.dumps(after))
            for table, row_id, before, after in images)

    def data_version(self) -> tuple[int, ...]:
        """Changes whenever anything was committed to the file, by this process or another."""
        with explained(self.path), self._engine.connect() as connection:
            driver = connection.connection.driver_connection
            # Others' commits change the one figure, our own the other; counting operations each time costs far more.
            mark = driver, driver.execute("PRAGMA data_version").fetchone(), driver.total_changes
            if mark != self._marked:
                self._version, self._marked = version_in(connection), mark
            return self._version

    def last_operation(self) -> str | None:
        """The sentence of the change undo would take back; None where there is none."""
        with self.read() as session:
            row = _newest_operation(session)
            return None if row is None else row.sentence

    def undo(self, only: str | None = None) -> str | None:
        """Takes back the newest change not yet taken back and returns its sentence; None where there is none.

        Where `only` is given, Refused if the newest change has another sentence by now.
        """
        from tracker.store.tables import ChangeRow

        with explained(self.path), Session(self._engine.execution_options(writes=True)) as session:
            operation = _newest_operation(session)
            if operation is None:
                return None
            if only is not None and operation.sentence != only:
                raise Refused("the last change is another one by now; see which before it is taken back")
            # Rows come back in an order that may meet a child before its parent.
            session.connection().exec_driver_sql("PRAGMA defer_foreign_keys=on")
            changes = session.exec(sa.select(ChangeRow).where(ChangeRow.operation_id == operation.id)
                                   .order_by(ChangeRow.id.desc())).scalars().all()
            for change in changes:
                _put_back(session, change)
            operation.undone = 1
            sentence = operation.sentence
            session.commit()
            return sentence


def version_in(connection: sa.Connection) -> tuple[int, ...]:
    """The version as one transaction sees it: operations, those taken back, the plan that is kept, and its ticks."""
    return tuple(connection.exec_driver_sql(
        "SELECT coalesce(max(id), 0), coalesce(sum(undone), 0), (SELECT coalesce(max(id), 0) FROM kept_plan), "
        "(SELECT coalesce(max(id), 0) FROM tick), (SELECT count(*) FROM tick) FROM operation").one())


def _newest_operation(session: Session) -> OperationRow | None:
    from tracker.store.tables import OperationRow

    return session.exec(sa.select(OperationRow).where(OperationRow.undone == 0)
                        .order_by(OperationRow.id.desc()).limit(1)).scalars().first()


def _put_back(session: Session, change: ChangeRow) -> None:
    table = SQLModel.metadata.tables[change.table_name]
    if change.before is None:
        session.execute(sa.delete(table).where(table.c.id == change.row_id))
    elif change.after is None:
        session.execute(sa.insert(table).values(**json.loads(change.before)))
    else:
        session.execute(sa.update(table).where(table.c.id == change.row_id).values(**json.loads(change.before)))
