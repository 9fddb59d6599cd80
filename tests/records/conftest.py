"""A store on each database, and invented people and places to put into it."""

import os
import shutil
import sqlite3

import pytest
from benchmarks.database_server import DatabaseServer, server_programs

from firstbounce.records.engine import FILE_NAME
from firstbounce.records.migrate import HEAD
from firstbounce.records.tables import ALL
from firstbounce.services.store import open_store

NO_SERVER = "PostgreSQL is not installed (apt install postgresql)"


@pytest.fixture(scope="session")
def server():
    if server_programs() is None:
        if os.environ.get("CI") == "true":
            pytest.fail(f"{NO_SERVER}, and in CI it must not be left out")
        pytest.skip(NO_SERVER)
    running = DatabaseServer()
    yield running
    running.close()


@pytest.fixture(scope="session")
def made_file(tmp_path_factory):
    """A data folder with an empty, up-to-date SQLite database: copying it is quicker than migrating."""
    folder = tmp_path_factory.mktemp("made")
    open_store(folder).close()
    with sqlite3.connect(folder / FILE_NAME) as database:
        database.execute("pragma wal_checkpoint(truncate)")
    database.close()
    return folder / FILE_NAME


@pytest.fixture(scope="session")
def made_url(server, tmp_path_factory):
    """The URL of an up-to-date PostgreSQL database; making one a test would take seconds."""
    url = server.url("made")
    open_store(tmp_path_factory.mktemp("made"), url).close()
    return url


@pytest.fixture(scope="session")
def bare_url(server):
    """The URL of a PostgreSQL database that is emptied for each test."""
    return server.url("bare")


@pytest.fixture
def empty_url(server, bare_url):
    """The URL of a PostgreSQL database without any table."""
    server.run("bare", "drop schema public cascade; create schema public")
    return bare_url


@pytest.fixture
def clean_url(server, made_url):
    """The URL of an up-to-date PostgreSQL database without any row."""
    rows = "; ".join(f"delete from {table.name}" for table in reversed(ALL))
    server.run("made", f"{rows}; update alembic_version set version_num = '{HEAD}'")
    return made_url


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_database(request):
    """The URL of a database without any table, None for a file that is yet to be made."""
    return None if request.param == "sqlite" else request.getfixturevalue("empty_url")


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request, tmp_path):
    """The URL of an up-to-date database, None for the file in tmp_path."""
    if request.param == "postgresql":
        return request.getfixturevalue("clean_url")
    shutil.copy(request.getfixturevalue("made_file"), tmp_path / FILE_NAME)
    return None


@pytest.fixture
def store(database, tmp_path):
    with open_store(tmp_path, database) as opened:
        yield opened


@pytest.fixture
def file_store(made_file, tmp_path):
    """An empty store in SQLite, for what has little to do with the kind of database."""
    shutil.copy(made_file, tmp_path / FILE_NAME)
    with open_store(tmp_path) as opened:
        yield opened


@pytest.fixture
def other_store(made_file, tmp_path):
    """A second, empty store in SQLite."""
    other = tmp_path / "other"
    other.mkdir()
    shutil.copy(made_file, other / FILE_NAME)
    with open_store(other) as opened:
        yield opened
