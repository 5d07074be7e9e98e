"""Creates and upgrades the tables; the only place that knows Alembic."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from tracker.domain.errors import Unusable
from tracker.resources import folder
from tracker.store.engine import engine_for, explained
from tracker.store.revision import HEAD, revision_of


def create(path: Path) -> None:
    """Builds every table in a new file."""
    _run_migrations(path)


def make_current(path: Path) -> None:
    """Opens the way for use: upgrades an older file after a safe copy; refuses a newer or foreign one."""
    with explained(path):
        found = revision_of(path)
        if found == HEAD:
            return
        if found is None:
            raise Unusable(f"{path}: not a Sabinry store; name another with --store, or start one with "
                           "`sabinry new FILE`")
        if found > HEAD:
            raise Unusable(f"{path}: written by a newer Sabinry (store version {found}, this one knows {HEAD}); "
                           "install the newer version")
        copy = _safe_copy(path, found)
        try:
            _run_migrations(path)
        except Exception as error:
            raise Unusable(f"{path}: the upgrade from {found} failed and changed nothing; a copy is {copy}") from error


def _safe_copy(path: Path, revision: str) -> Path:
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%f")
    copy = path.with_name(f"{path.name}.before-{revision}-{stamp}")
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)
        verdict = target.execute("PRAGMA quick_check").fetchone()[0]
    if verdict != "ok":
        raise Unusable(f"{path}: damaged ({verdict}); put a safe copy back")
    return copy


def _run_migrations(path: Path) -> None:
    # Alembic costs a tenth of a second to import: only a new or an old file pays for it.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(folder("migrations")).replace("%", "%%"))
    # A batch rebuild drops the parent table: with foreign keys on, that would empty its children.
    engine = engine_for(path, foreign_keys=False, wal=False)
    try:
        with engine.execution_options(writes=True).begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise Unusable(f"{path}: the upgrade would leave {len(broken)} rows without their parents")
    finally:
        engine.dispose()
