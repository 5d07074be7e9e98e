"""The store: strict tables, one step of undo for each write, and refusals of files it can't use."""

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine
from sqlalchemy.exc import IntegrityError
from sqlmodel import SQLModel

from tracker.domain.errors import Unusable
from tracker.domain.site import Bay, BuildUp, Item, Phase, Plane, Room, Site, TapeSet, Target, Task
from tracker.resources import folder
from tracker.store import schema
from tracker.store.site_reader import read_site
from tracker.store.site_writer import write_site
from tracker.store.store import Store
from tracker.store.tables import EntryRow, MovementRow, OffcutRow

DATA = Path(__file__).parents[1] / "data"
SQUARE = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
TAPE = TapeSet(0.0015875, 0.001, 2.0, 2.0, diagonal_m=2.0000001)


def small_site() -> Site:
    bay = Bay("room", "north", "left", "one", "wall", SQUARE, tape=TAPE)
    plane = Plane("room", "north", "wall", SQUARE, "bare", bays=(bay,), axis="x")
    task = Task("one", "hang", after=(bay.key,), hours_h=1.5, needs=(("wool", 4.0),))
    return Site(
        name="Press", unit="mm", currency="EUR", start=date(2026, 3, 2), hours=(("sat", 6.0),),
        items=(Item("wool", "board", 1.2, 0.6, 0.05, pack=6, price=54.0, on_hand=8, unit="board"),),
        build_ups=(BuildUp("wall", "wool", alpha=(0.1, 0.2, 0.3, 0.4, 0.5, 0.6)),),
        rooms=(Room("room", 43.2, (plane,), target=Target("listening")),), phases=(Phase("one", (task,)),))


@pytest.fixture
def store(tmp_path: Path) -> Store:
    path = tmp_path / "data dir 100%" / "site.db"
    path.parent.mkdir()
    schema.create(path)
    made = Store(path)
    with made.fill() as session:
        write_site(session, small_site(), date(2026, 3, 2))
    yield made
    made.close()


def contents(path: Path) -> dict[str, list[tuple]]:
    """Every row of every table but the history."""
    with closing(sqlite3.connect(path)) as connection:
        names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
                 if name not in ("operation", "change")]
        return {name: connection.execute(f"SELECT * FROM {name} ORDER BY 1").fetchall() for name in names}


def test_a_site_comes_back_as_it_was_written(store: Store) -> None:
    with store.read() as session:
        site, numbers = read_site(session)
    written = small_site()
    assert site.rooms[0].planes[0].bays[0].tape.bottom_m == pytest.approx(0.001588)
    assert site.phases == written.phases
    assert site.build_ups == written.build_ups
    assert site.items[0].name == "wool"
    assert site.items[0].on_hand == 0, "the opening count is a movement, not a figure of the item"
    assert numbers.bays == {"room/north/left": 1}


def test_every_table_is_strict(store: Store) -> None:
    with closing(sqlite3.connect(store.path)) as connection:
        loose = [row[1] for row in connection.execute("PRAGMA table_list")
                 if row[2] == "table" and not row[5] and not row[1].startswith(("sqlite_", "alembic_"))]
    assert loose == []


def test_the_schema_refuses_a_row_that_means_nothing(store: Store) -> None:
    with pytest.raises(IntegrityError, match="ck_movement_sign"), store.write() as session:
        session.add(MovementRow(item_id=1, kind="use", quantity_u=5, on_date="2026-03-03", position=9))
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), store.write() as session:
        session.add(MovementRow(item_id=99, kind="use", quantity_u=-5, on_date="2026-03-03", position=9))


def test_undo_puts_everything_back_exactly_and_repeatedly(store: Store) -> None:
    states = [contents(store.path)]
    with store.write() as session:
        entry = EntryRow(bay_id=1, step="track", done=0.5, on_date="2026-03-03", written="2026-03-03T20:00")
        session.add(entry)
        session.flush()
        session.add(MovementRow(item_id=1, kind="use", quantity_u=-2_000_000, on_date="2026-03-03", position=2,
                                entry_id=entry.id))
        session.add(OffcutRow(item_id=1, length_um=500_000, width_um=300_000, made_entry_id=entry.id))
        session.sentence = "first"
    states.append(contents(store.path))
    with store.write() as session:
        row = session.get(MovementRow, 1)
        row.note = "again"
        session.delete(session.get(OffcutRow, 1))
        session.sentence = "second"
    assert contents(store.path) != states[1]
    assert store.last_operation() == "second"
    assert store.undo() == "second"
    assert contents(store.path) == states[1]
    assert store.undo() == "first"
    assert contents(store.path) == states[0]
    assert store.undo() is None


def test_a_write_that_fails_leaves_nothing(store: Store) -> None:
    before = contents(store.path)
    with pytest.raises(RuntimeError), store.write() as session:
        session.add(MovementRow(item_id=1, kind="delivery", quantity_u=1, on_date="2026-03-03", position=2))
        session.flush()
        raise RuntimeError("power cut")
    assert contents(store.path) == before
    assert store.last_operation() is None


def test_the_version_moves_with_every_write_and_undo(store: Store) -> None:
    seen = [store.data_version()]
    with store.write() as session:
        session.add(MovementRow(item_id=1, kind="delivery", quantity_u=1, on_date="2026-03-03", position=2))
        session.sentence = "delivery"
    seen.append(store.data_version())
    store.undo()
    seen.append(store.data_version())
    assert len(set(seen)) == 3


def test_head_is_the_newest_script_and_matches_the_tables(store: Store) -> None:
    config = Config()
    config.set_main_option("script_location", str(folder("migrations")))
    assert ScriptDirectory.from_config(config).get_heads() == [schema.HEAD]
    with create_engine(f"sqlite:///{store.path}").connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), SQLModel.metadata) == []


@pytest.mark.parametrize(("prepare", "says"), [
    (lambda path: None, "no store there"),
    (lambda path: path.write_text("not a database at all, only words" * 40), "not a sound Sabinry store"),
    (lambda path: sqlite3.connect(path).execute("CREATE TABLE other (x)").connection.commit(), "not a Sabinry store"),
])
def test_a_file_that_is_no_store_is_refused_with_what_to_do(tmp_path: Path, prepare, says: str) -> None:
    path = tmp_path / "site.db"
    prepare(path)
    with pytest.raises(Unusable, match=says):
        Store(path)


def test_a_newer_store_is_refused(store: Store) -> None:
    with closing(sqlite3.connect(store.path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    with pytest.raises(Unusable, match="newer Sabinry"):
        Store(store.path)


def test_a_store_of_the_first_version_is_upgraded_after_a_safe_copy(tmp_path: Path) -> None:
    path = tmp_path / "site.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((DATA / "store_0001.sql").read_text(encoding="utf-8"))
    before = contents(path)
    Store(path).close()
    after = contents(path)
    for table, rows in before.items():
        if table != "alembic_version":
            assert [row[:len(old)] for row, old in zip(after[table], rows, strict=True)] == rows
    copies = list(tmp_path.glob("site.db.before-0001-*"))
    assert len(copies) == 1 and contents(copies[0]) == before
    with create_engine(f"sqlite:///{path}").connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), SQLModel.metadata) == []
