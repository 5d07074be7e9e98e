"""What every test runs under: no settings of the person's own, and no waiting for a screen longer than it takes."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

# As the command does, before numpy is there: its threads only wait for one another, a processor each.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest

if TYPE_CHECKING:
    from tracker.services.desk import Desk

SETTINGS = ("SABINRY_STORE", "SABINRY_THEME", "NO_COLOR", "COLORFGBG", "TEXTUAL_THEME", "COLUMNS", "LINES")


def pytest_configure(config: pytest.Config) -> None:
    """One search for garbage at the end, where pytest makes five: another interpreter needs them, this one does not."""
    with suppress(ImportError):  # Private in pytest; where it is gone, there are five.
        from _pytest.unraisableexception import gc_collect_iterations_key
        config.stash[gc_collect_iterations_key] = 1


def pytest_collection_finish() -> None:
    """Modules and tests stay to the end: the search for garbage passes over them."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def tables_built_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The migrations run for the first new store; the others begin with a copy of its empty tables."""
    from tracker.store import schema

    build, empty = schema.create, tmp_path_factory.mktemp("tables") / "empty.db"

    def create(path: Path) -> None:
        if not empty.exists():
            build(empty)
        shutil.copyfile(empty, path)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(schema, "create", create)
        yield


@pytest.fixture(autouse=True)
def no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Takes the person's own settings away and gives a terminal of many colours."""
    for name in SETTINGS:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")


@pytest.fixture
def quick_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pilot waits for an idle processor in shorter slices; SABINRY_SLOW_KEYS keeps Textual's own."""
    if "SABINRY_SLOW_KEYS" not in os.environ:
        # Private names of the pinned Textual, kept to this one place.
        monkeypatch.setattr("textual._wait.SLEEP_GRANULARITY", 0.005)
        monkeypatch.setattr("textual._wait.SLEEP_IDLE", 0.005 / 20)


BOX = Path(__file__).parent / "data" / "sound_box.toml"
BOX_DAY = date(2026, 3, 20)


@pytest.fixture(scope="session")
def box_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The store of a plain box room with two phases."""
    from tracker.services.setup import new_site

    path = tmp_path_factory.mktemp("box") / "site.db"
    new_site(path, BOX, lambda: BOX_DAY).close()
    return path


@pytest.fixture
def box_desk(box_store: Path, tmp_path: Path) -> Iterator[Desk]:
    """A copy of the box's store, open on 20 March 2026."""
    from tracker.services.desk import open_desk

    for part in box_store.parent.glob("site.db*"):
        shutil.copy(part, tmp_path / part.name)
    found = open_desk(tmp_path / "site.db", lambda: BOX_DAY)
    yield found
    found.close()


class Wall:
    """A clock on the wall that tests turn."""

    def __init__(self) -> None:
        self.at = datetime(2026, 3, 22, 17, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.at

    def on(self, **by: float) -> None:
        self.at += timedelta(**by)


@pytest.fixture
def wall() -> Wall:
    return Wall()
