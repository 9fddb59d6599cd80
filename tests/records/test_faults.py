"""Nothing acknowledged is lost, nothing is kept twice, whatever breaks (benchmarks/records_faults)."""

import os
import sys

import pytest
from benchmarks.database_server import server_programs

posix = pytest.mark.skipif(os.name != "posix", reason="the faults are made with signals of POSIX")
with_server = pytest.mark.skipif(
    server_programs() is None, reason="PostgreSQL is not installed (apt install postgresql)"
)
pytestmark = posix


def held(counts, at_least=1):
    print(counts, file=sys.stderr)
    assert counts.acknowledged >= at_least
    assert (counts.lost, counts.twice, counts.damaged) == (0, 0, 0), str(counts)
    return counts


def test_a_few_kills_lose_no_ball():
    from benchmarks.records_faults import kill_nine

    held(kill_nine(3))


@pytest.mark.slow
def test_fifty_kills_lose_no_ball():
    from benchmarks.records_faults import kill_nine

    assert held(kill_nine(50), 50).faults == 50


@pytest.mark.slow
@with_server
def test_fifty_kills_lose_no_ball_on_postgresql():
    from benchmarks.records_faults import killed_on_server

    assert held(killed_on_server(50), 50).faults == 50


@pytest.mark.slow
@with_server
def test_a_database_server_that_restarts_or_crashes_loses_no_ball():
    from benchmarks.records_faults import server_restarted

    assert held(server_restarted(6)).refusals, "writers met the server while it was away"


@pytest.mark.slow
def test_a_full_disk_is_said_and_the_log_goes_on_when_there_is_room():
    from benchmarks.records_faults import disk_full

    counts = held(disk_full(3))
    assert set(counts.refusals) == {"The disk is full: nothing was written; make room and try again."}


@pytest.mark.slow
def test_a_locked_database_is_waited_for_and_then_said():
    from benchmarks.records_faults import locked

    counts = held(locked(2))
    assert set(counts.refusals) == {
        "Another program is writing to the records; nothing was written, try again."
    }


@pytest.mark.slow
def test_a_copy_with_a_torn_log_is_a_whole_beginning():
    from benchmarks.records_faults import torn_log

    held(torn_log(30))
