"""A store on each database, and invented people and places to put into it."""

import os
import shutil
import sqlite3
import uuid

import pytest
from database_server import DatabaseServer, server_programs

from firstbounce.records.engine import FILE_NAME
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
def made_template(server, tmp_path_factory):
    """The name of an empty, up-to-date PostgreSQL database to make others from."""
    open_store(tmp_path_factory.mktemp("made"), server.url("made")).close()
    return "made"


@pytest.fixture
def empty_url(server):
    """The URL of an empty PostgreSQL database."""
    name = f"t{uuid.uuid4().hex}"
    yield server.url(name)
    server.drop(name)


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_database(request):
    """The URL of a database without any table, None for a file that is yet to be made."""
    return None if request.param == "sqlite" else request.getfixturevalue("empty_url")


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request, tmp_path):
    """The URL of an up-to-date database, None for the file in tmp_path."""
    if request.param == "sqlite":
        shutil.copy(request.getfixturevalue("made_file"), tmp_path / FILE_NAME)
        yield None
        return
    server, name = request.getfixturevalue("server"), f"t{uuid.uuid4().hex}"
    yield server.url(name, request.getfixturevalue("made_template"))
    server.drop(name)


@pytest.fixture
def store(database, tmp_path):
    with open_store(tmp_path, database) as opened:
        yield opened


@pytest.fixture
def other_store(made_file, tmp_path):
    """A second, empty store in SQLite."""
    other = tmp_path / "other"
    other.mkdir()
    shutil.copy(made_file, other / FILE_NAME)
    with open_store(other) as opened:
        yield opened
