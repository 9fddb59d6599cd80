"""Schemathesis over the whole interface: whatever is sent, an answer as described, never a 500."""

import urllib.request

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from web_pages import put_world
from web_server import SECRET, Server

from firstbounce.records.store import open_store
from firstbounce.services import kept
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings

pytestmark = pytest.mark.slow
EXAMPLES = 30  #: of each operation
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]


@pytest.fixture(scope="module")
def world(tmp_path_factory):
    with open_store(tmp_path_factory.mktemp("fuzz") / "data") as store:
        yield put_world(store)


@pytest.fixture(scope="module")
def known(world):
    """Ids that are there, by the name under which the interface asks for them."""
    (review, *_) = kept.reviews(world.store, world.player, session_id=world.session)
    ids = {name: getattr(world, name) for name in ("player", "session", "station", "green", "day", "plan")}
    return {f"{name}_id": row_id for name, row_id in ids.items()} | {"review_id": review.id}


@pytest.fixture(scope="module")
def running(world):
    made = Server(lambda: create_app(world.store, Settings(secret=SECRET))).start()
    urllib.request.urlopen(f"{made.url}/api/course", timeout=300).close()  # makes the tables
    yield made
    made.stop()


@pytest.fixture(scope="module")
def interface(running):
    return schemathesis.openapi.from_url(f"{running.url}/api/openapi.json")


def pointed_at(value, known):
    """The same with ids that are there."""
    if isinstance(value, dict):
        return {
            key: known[key] if key in known and isinstance(one, str) else pointed_at(one, known)
            for key, one in value.items()
        }
    return [pointed_at(one, known) for one in value] if isinstance(value, list) else value


def try_out(operation, known, statuses):
    """What an operation's description allows and what it does not, on ids that are there or not."""

    @settings(max_examples=EXAMPLES, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(case=operation.as_strategy() | operation.as_strategy(GenerationMode.NEGATIVE), there=st.booleans())
    def check(case, there):
        if there:
            case.path_parameters = pointed_at(case.path_parameters, known)
            case.body = pointed_at(case.body, known)
        answer = case.call()
        statuses.add(answer.status_code)
        case.validate_response(answer, checks=CHECKS)
        if answer.status_code >= 400:
            told = answer.json()
            assert told["ok"] is False and told["status"] == answer.status_code and told["error"]

    check()


def test_every_answer_is_as_described_and_none_is_a_failure_of_ours(interface, known):
    failures, told_of = [], {}
    for operation in (one.ok() for one in interface.get_all_operations()):
        try:
            try_out(operation, known, told_of.setdefault(operation.label, set()))
        except Exception as error:  # all operations are tried before the test fails
            failures.append(f"{operation.label}: {error}")
    print(told_of)
    assert not failures, "\n".join(failures)
    went_well = [label for label, statuses in told_of.items() if any(one < 300 for one in statuses)]
    assert len(went_well) >= len(told_of) / 2, "most operations were refused: nothing was tried"


def test_the_interface_describes_everything(interface):
    operations = {f"{one.ok().method.upper()} {one.ok().path}" for one in interface.get_all_operations()}
    assert len(operations) >= 20
    assert {"POST /api/outbox", "POST /api/plans", "GET /api/course", "POST /api/sign-in"} <= operations
