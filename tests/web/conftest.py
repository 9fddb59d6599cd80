"""Servers, browsers and visitors for the tests of the pages. All traffic stays on loopback."""

import shutil
import warnings

import pytest
from argon2 import PasswordHasher
from web_server import CHROMIUM, HOST, PASSPHRASE, SECRET, Server

from firstbounce.records.store import open_store
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the client says it will want a newer httpx one day
    from starlette.testclient import TestClient


@pytest.fixture(scope="session")
def passphrase_hash():
    """A hash as `hash_of` makes them, but cheap."""
    return PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1).hash(PASSPHRASE)


@pytest.fixture(scope="session")
def empty_records(tmp_path_factory):
    """A folder of empty records, made once and copied."""
    folder = tmp_path_factory.mktemp("records") / "data"
    open_store(folder).close()
    return folder


@pytest.fixture
def store(tmp_path, empty_records):
    shutil.copytree(empty_records, tmp_path / "data")
    with open_store(tmp_path / "data") as opened:
        yield opened


@pytest.fixture
def visit():
    """A client of an app: `visit(app, peer=..., host=...)`. It keeps cookies as a browser does."""
    opened = []

    def client(app, *, peer="127.0.0.1", host="127.0.0.1", scheme="http", **more):
        one = TestClient(
            app, base_url=f"{scheme}://{host}", client=(peer, 50000), follow_redirects=False, **more
        )
        opened.append(one)
        return one

    yield client
    for one in opened:
        one.close()


@pytest.fixture
def app(store):
    return create_app(store, Settings(secret=SECRET))


@pytest.fixture
def client(app, visit):
    """The coach on the machine itself."""
    return visit(app, raise_server_exceptions=False)


@pytest.fixture
def server(store):
    """A running server over the store, loopback only."""
    made = Server(lambda: create_app(store, Settings(secret=SECRET))).start()
    yield made
    made.stop()


@pytest.fixture
def network_server(store, passphrase_hash):
    """A running server as with --phone; tests still bind loopback only."""
    settings = Settings(
        secret=SECRET, passphrase_hash=passphrase_hash, on_network=True, hosts=frozenset({HOST})
    )
    made = Server(lambda: create_app(store, settings)).start()
    yield made
    made.stop()


@pytest.fixture(scope="session")
def browser():
    """Debian's Chromium."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium")
    assert path, "browser tests need Debian's chromium"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=CHROMIUM)
        yield started
        started.close()


@pytest.fixture
def phone(browser):
    """A phone's context of 360 x 640; any error of a script or a refused policy fails the test."""
    context = browser.new_context(viewport={"width": 360, "height": 640}, has_touch=True, is_mobile=True)
    context.set_default_timeout(10000)
    errors = []
    context.on("weberror", lambda error: errors.append(str(error.error)))
    context.on(
        "console",
        lambda message: errors.append(message.text) if "Content Security Policy" in message.text else None,
    )
    yield context
    context.close()
    assert not errors, errors
