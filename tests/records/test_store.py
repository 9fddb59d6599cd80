"""The store itself: made, migrated, refused, durable; and every released schema comes up to date."""

import datetime
import sqlite3
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from invented import NOON, World, a_player, everything
from sqlalchemy import MetaData, select, text

from firstbounce.errors import ParameterError, StoreBusy, StoreError
from firstbounce.records import migrate
from firstbounce.records.columns import METADATA
from firstbounce.records.engine import FILE_NAME
from firstbounce.records.merge import check_rows, in_order
from firstbounce.records.snapshot import open_copy
from firstbounce.records.store import FOLDER_VARIABLE, Store, data_folder, open_store
from firstbounce.records.tables import PLAYER, READING
from firstbounce.services import players
from firstbounce.services.backup import backups, restore

SCHEMAS = Path(__file__).parent / "schemas"


def test_the_folder_is_the_one_given_before_the_one_named_before_the_usual_one(monkeypatch, tmp_path):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "named"))
    assert data_folder(tmp_path / "given") == tmp_path / "given"
    assert data_folder() == tmp_path / "named"
    monkeypatch.delenv(FOLDER_VARIABLE)
    assert data_folder().name == "firstbounce"


def test_sqlite_is_durable_strict_and_minds_foreign_keys(tmp_path):
    with open_store(tmp_path) as store, store.read() as connection:
        asked = {
            name: connection.exec_driver_sql(f"pragma {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout", "secure_delete")
        }
        tables = connection.exec_driver_sql(
            "select name, strict from pragma_table_list where schema = 'main'"
        ).all()
    assert asked == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "busy_timeout": 5000,
        "secure_delete": 1,
    }
    ours = {name for name, strict in tables if strict}
    assert {table.name for table in METADATA.sorted_tables} == ours


def test_the_database_is_what_the_tables_say(store):
    with store.read() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []


def test_revisions_are_those_of_the_migrations(tmp_path):
    with open_store(tmp_path) as store, store.read() as connection:
        scripts = ScriptDirectory.from_config(migrate.alembic_config(connection))
        assert tuple(reversed([one.revision for one in scripts.walk_revisions()])) == migrate.REVISIONS


def test_nonsense_is_refused_by_the_database_itself(store):
    now = {"made_utc": "2026-05-14T10:00:00.000000Z", "made_offset_min": 120}
    good = {
        "id": "a" * 32,
        "name": "A",
        "level": "beginner",
        "hand": "right",
        "units": "metres",
        "junior": 0,
        "archived": 0,
        "balls": 0,
        **now,
    }
    bad = [
        {"id": "short"},
        {"hand": "both"},
        {"junior": 2},
        {"spread_share": 9.0},
        {"name": None},
        {"balls": -1},
        {"made_utc": "yesterday"},
        {"made_offset_min": 5000},
        {"name": "x" * 81},
        {"name": ""},
    ]
    for wrong in bad:
        with pytest.raises(StoreError, match="nothing was written"), store.write() as connection:
            connection.execute(PLAYER.insert(), good | wrong)
    for wrong in ({"name": "a\0b"}, {"name": "\ud800"}, {"attack_deg": float("nan")}, {"balls": 2**63}):
        with pytest.raises(ParameterError), store.write() as connection:
            connection.execute(PLAYER.insert(), good | wrong)
    with pytest.raises(StoreError), store.write() as connection:
        connection.execute(READING.insert(), {"id": "b" * 32, "green_id": "c" * 32})
    with store.read() as connection:
        assert connection.execute(select(PLAYER)).all() == []
    with store.write() as connection:
        connection.execute(PLAYER.insert(), good)


def test_a_failed_block_writes_nothing(store):
    with pytest.raises(RuntimeError), store.write() as connection:
        connection.execute(text("delete from player"))
        connection.execute(text("insert into setting (name, value, secret) values ('a', '1', 0)"))
        raise RuntimeError
    with store.read() as connection:
        assert connection.execute(text("select count(*) from setting")).scalar() == 0


def test_a_database_that_is_newer_is_refused_and_left_alone(database, tmp_path):
    with open_store(tmp_path, database) as store, store.write() as connection:
        connection.execute(text("update alembic_version set version_num = '9999'"))
    with pytest.raises(StoreError, match=r"newer version of the program \(schema 9999"):
        open_store(tmp_path, database)
    assert not (tmp_path / "backups").exists()


def test_a_database_of_another_program_is_refused(empty_database, tmp_path):
    bare = Store(tmp_path, empty_database)
    with bare.write() as connection:
        connection.execute(text("create table theirs (x integer)"))
    bare.close()
    with pytest.raises(StoreError, match="belongs to another program"):
        open_store(tmp_path, empty_database)


@pytest.mark.parametrize(
    "content", [b"This is a text and no database at all. " * 200, b"SQLite format 3\0" + b"\xff" * 5000]
)
def test_a_file_that_is_no_database_is_one_sentence(tmp_path, content):
    (tmp_path / FILE_NAME).write_bytes(content)
    with pytest.raises(StoreError, match="damaged or of another program"):
        open_store(tmp_path)


@pytest.mark.parametrize("url", ["mysql://u@h/x", "nonsense", "postgresql://app@127.0.0.1:1/none"])
def test_a_url_that_cannot_be_used_is_one_sentence(tmp_path, url):
    with pytest.raises(StoreError) as told:
        open_store(tmp_path, url)
    assert str(told.value).count("\n") == 0


def test_a_folder_that_cannot_be_made_is_one_sentence(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StoreError, match="cannot be made"):
        open_store(tmp_path / "file" / "data")


def released():
    return sorted(SCHEMAS.glob("*.sql"))


def test_every_released_schema_is_kept():
    assert [path.stem for path in released()] == list(migrate.REVISIONS)


def kept_schema(path, folder):
    """The database of a kept schema, and its number of rows by table."""
    old = sqlite3.connect(folder / FILE_NAME)
    old.executescript(path.read_text(encoding="utf-8"))
    asked = "select name from sqlite_master where type = 'table' and name not like 'sqlite%'"
    names = [name for (name,) in old.execute(asked).fetchall()]
    count = {name: old.execute(f"select count(*) from {name}").fetchone()[0] for name in names}
    old.close()
    assert all(count.values()), "each table of a kept schema has rows"
    return count


def is_up_to_date(store, count):
    """The schema is the newest, with every row, and each can be read back by the program."""
    with store.read() as connection:
        assert migrate.revision_of(connection) == migrate.HEAD
        check_rows(connection)
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []
        assert count == {
            name: connection.execute(text(f"select count(*) from {name}")).scalar() for name in count
        }


@pytest.mark.parametrize("path", released(), ids=lambda path: path.stem)
def test_a_released_schema_comes_up_to_date_with_its_rows_after_a_backup(path, tmp_path):
    count = kept_schema(path, tmp_path)
    with open_store(tmp_path) as store:
        is_up_to_date(store, count)
        with store.read() as connection:
            loose = connection.exec_driver_sql(
                "select name from pragma_table_list where schema = 'main' and strict = 0 "
                "and name not like 'sqlite%' and name <> 'alembic_version'"
            ).all()
        assert not loose, "strict tables stay strict"
        assert len(backups(store)) == (path.stem != migrate.HEAD)
        before = everything(store)
        for made_before in backups(store):
            restore(store, made_before)
        assert everything(store) == before, "the backup of the old schema holds the same"


@pytest.mark.parametrize("path", released(), ids=lambda path: path.stem)
def test_a_released_schema_in_postgresql_comes_up_to_date_too(path, empty_url, tmp_path):
    count = kept_schema(path, tmp_path)
    old, bare = open_copy(tmp_path / FILE_NAME), Store(tmp_path / "data", empty_url)
    migrate.bring_up(bare.engine, backup=lambda _: None, to=path.stem)
    known = MetaData()
    with old.connect() as source, bare.write() as target:
        known.reflect(source)
        for table in known.sorted_tables:
            target.execute(table.delete())
            for row in in_order(source, table):
                target.execute(table.insert(), row)
    old.dispose()
    bare.close()
    with open_store(tmp_path / "data", empty_url) as store:
        is_up_to_date(store, count)
        assert len(backups(store)) == (path.stem != migrate.HEAD)
        before = everything(store)
        for made_before in backups(store):
            restore(store, made_before)
        assert everything(store) == before


def test_ten_programs_that_start_at_once_migrate_once(empty_database, tmp_path):
    with ThreadPoolExecutor(10) as pool:
        stores = list(pool.map(lambda _: open_store(tmp_path, empty_database), range(10)))
    for store in stores:
        with store.read() as connection:
            assert migrate.revision_of(connection) == migrate.HEAD
        store.close()


def test_a_migration_that_fails_changes_nothing(empty_database, tmp_path, monkeypatch):
    def half(connection, to):
        connection.execute(text("create table half (x integer)"))
        raise RuntimeError("pulled the plug")

    monkeypatch.setattr(migrate, "_upgrade", half)
    with pytest.raises(RuntimeError):
        open_store(tmp_path, empty_database)
    monkeypatch.undo()
    with open_store(tmp_path, empty_database) as store, store.read() as connection:
        assert migrate.revision_of(connection) == migrate.HEAD


def test_readers_do_not_wait_for_a_writer_and_a_second_program_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr("firstbounce.records.engine.BUSY_TIMEOUT_MS", 100)
    monkeypatch.setattr("firstbounce.records.engine.PRAGMAS", ("busy_timeout = 100", "journal_mode = WAL"))
    with open_store(tmp_path) as one, open_store(tmp_path) as two, one.write() as connection:
        connection.execute(text("delete from setting"))
        assert players.player_list(two) == ()
        with pytest.raises(StoreBusy, match="try again"):
            players.add_player(two, a_player())
    assert players.player_list(one) == ()


def test_writers_of_one_program_take_turns(store):
    inside, most = 0, 0

    def write(_):
        nonlocal inside, most
        with store.write() as connection:
            connection.execute(select(PLAYER.c.id))
            inside += 1
            most = max(most, inside)
            time.sleep(0.002)
            inside -= 1

    threads = [threading.Thread(target=write, args=(i,)) for i in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if store.is_file:
        assert most == 1


@pytest.mark.parametrize("hours", [-9.5, 0, 2, 5.75, 13])
def test_a_moment_keeps_its_instant_to_the_microsecond_and_the_offset_of_its_place(store, hours):
    made = NOON.astimezone(datetime.timezone(datetime.timedelta(hours=hours)))
    player = a_player(made=made)
    players.add_player(store, player)
    back = players.player(store, player.id)
    assert back.made == made and back.made.utcoffset() == made.utcoffset()
    with store.read() as connection:
        assert connection.execute(select(PLAYER.c.made_utc)).scalar() == "2026-05-14T10:00:00.123456Z"


def test_a_moment_without_an_offset_is_refused():
    with pytest.raises(ValueError, match="offset of its place"):
        a_player(made=datetime.datetime(2026, 5, 14))


def test_what_is_kept_comes_back_the_same_from_a_new_start(database, tmp_path):
    with open_store(tmp_path, database) as store:
        World(store)
        before = everything(store)
    with open_store(tmp_path, database) as store:
        assert everything(store) == before
        assert all(before[name] for name in before if name not in ("erased", "setting", "fit", "plan"))
