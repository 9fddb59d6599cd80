"""Nothing that the server named is lost, nothing is kept twice, whatever breaks under it."""

import asyncio
import sys

import pytest
from benchmarks import web_faults, web_load
from benchmarks.database_server import server_programs
from benchmarks.web_process import ServerProcess

with_server = pytest.mark.skipif(
    server_programs() is None, reason="PostgreSQL is not installed (apt install postgresql)"
)


def held(counts):
    print(counts, file=sys.stderr)
    assert counts.acknowledged >= counts.faults
    assert counts.bad == 0, str(counts)
    return counts


def said(counts):
    """What phones were told, without what is refused by itself and sent again."""
    return {words for words in counts.refusals if not words.startswith("by itself")}


def test_a_few_kills_of_the_server_lose_nothing():
    assert held(web_faults.kills(2, phones=2)).faults == 2


@pytest.mark.slow
def test_fifty_kills_of_the_server_lose_nothing():
    counts = held(web_faults.kills(50))
    assert counts.faults == 50
    assert counts.unanswered >= 25, "most kills met a request under way"


@pytest.mark.slow
def test_kills_while_the_server_starts_lose_nothing_and_spoil_nothing():
    assert held(web_faults.kills(10, at_start=True)).faults == 10


@pytest.mark.slow
def test_a_full_disk_is_said_and_the_log_goes_on_when_there_is_room():
    counts = held(web_faults.disk_full(2))
    assert said(counts) == {"507: The disk is full: nothing was written; make room and try again."}


@pytest.mark.slow
def test_a_locked_database_is_waited_for_and_then_said():
    counts = held(web_faults.locked(1))
    assert said(counts) == {"503: Another program is writing to the records; nothing was written, try again."}


@pytest.mark.slow
def test_a_copy_with_a_torn_log_is_a_whole_beginning_and_is_served():
    assert held(web_faults.torn_log(12)).faults == 12


@pytest.mark.slow
@with_server
def test_fifty_kills_of_the_server_lose_nothing_on_postgresql():
    assert held(web_faults.killed_on_postgresql(50)).faults == 50


@pytest.mark.slow
@with_server
def test_a_database_server_that_restarts_or_crashes_under_the_pages_loses_nothing():
    counts = held(web_faults.database_restarted(4))
    assert all(words.startswith("503: ") for words in said(counts)), said(counts)
    assert said(counts), "phones met the database while it was away"


@pytest.mark.slow
def test_fifty_phones_with_plans_beside_them_lose_nothing(tmp_path):
    """How long they wait is for `python -m benchmarks web_load` to judge: tests share their machine."""
    server = ServerProcess(tmp_path)
    server.start()
    try:
        asyncio.run(web_load.run(6.0, server))
    finally:
        server.stop()
    assert server.tracebacks() == 0
