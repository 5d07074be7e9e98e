"""Which version of the tables a file has, asked without the database library: a verb in need of no more is quicker."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

HEAD = "0006"
"""The newest migration; a test holds it against the scripts."""


def revision_of(path: Path) -> str | None:
    """The migration a file was brought to; None where it is no store of ours."""
    with closing(read_only(path)) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if "alembic_version" not in tables:
            return None
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        return None if row is None else str(row[0])


def read_only(path: Path) -> sqlite3.Connection:
    """A connection that cannot write."""
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)


def noted_signals(path: Path) -> tuple[str, ...] | None:
    """Settings of the signals noted in a current store, the newest first; None where it must be opened to know."""
    try:
        if revision_of(path) != HEAD:
            return None
        with closing(read_only(path)) as connection:
            return tuple(settings for (settings,) in connection.execute("SELECT settings FROM signal ORDER BY id DESC"))
    except sqlite3.Error:
        return None
