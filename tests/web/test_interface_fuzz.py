"""Schemathesis over the whole interface: whatever is sent, an answer of the one shape, never a 500."""

import urllib.request

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from web_lesson import put_lesson
from web_server import SECRET, Server

from firstbounce.records.store import open_store
from firstbounce.web.app import create_app
from firstbounce.web.settings import Settings

pytestmark = pytest.mark.slow
EXAMPLES = 20  #: of each operation


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with open_store(tmp_path_factory.mktemp("fuzz") / "data") as store:
        put_lesson(store)
        made = Server(lambda: create_app(store, Settings(secret=SECRET))).start()
        urllib.request.urlopen(f"{made.url}/api/course", timeout=300).close()  # makes the tables
        yield made
        made.stop()


@pytest.fixture(scope="module")
def interface(running):
    return schemathesis.openapi.from_url(f"{running.url}/api/openapi.json")


def test_no_answer_is_a_failure_of_ours(interface):
    """Every operation, with what its description allows and what it does not."""
    failures = []
    for operation in (one.ok() for one in interface.get_all_operations()):

        @settings(
            max_examples=EXAMPLES, deadline=None, database=None, suppress_health_check=list(HealthCheck)
        )
        @given(case=operation.as_strategy() | operation.as_strategy(GenerationMode.NEGATIVE))
        def check(case):
            answer = case.call()
            case.validate_response(answer, checks=[not_a_server_error])
            if answer.status_code >= 400:
                told = answer.json()
                assert told["ok"] is False and told["status"] == answer.status_code and told["error"]

        try:
            check()
        except Exception as error:  # all operations are tried before the test fails
            failures.append(f"{operation.label}: {error}")
    assert not failures, "\n".join(failures)


def test_the_interface_describes_everything(interface, running):
    operations = {f"{one.ok().method.upper()} {one.ok().path}" for one in interface.get_all_operations()}
    assert len(operations) >= 20
    assert {"POST /api/outbox", "POST /api/plans", "GET /api/course", "POST /api/sign-in"} <= operations
