"""The executor: where compiled code lies, threads, chunks, cancelling; and a light import."""

import subprocess
import sys
import threading

import numpy as np
import pytest

from firstbounce.errors import Cancelled
from firstbounce.ground.arrays import GroundArrays
from firstbounce.shot import executor
from firstbounce.shot.clearance import FAR, clearance


def test_every_ball_is_worked_on_once():
    seen = np.zeros(10_000, dtype=int)

    def work(start, stop):
        seen[start:stop] += 1

    executor.run_chunks(work, len(seen), chunk=37)
    assert (seen == 1).all()
    executor.run_chunks(work, 0)
    assert (seen == 1).all()


def test_cancel_is_noticed():
    done = []
    with pytest.raises(Cancelled):
        executor.run_chunks(lambda a, b: done.append(a), 1000, chunk=1, cancelled=lambda: len(done) >= 3)
    assert 3 <= len(done) < 1000


def test_an_error_in_a_chunk_is_raised():
    def work(start, stop):
        raise ValueError("broken")

    with pytest.raises(ValueError, match="broken"):
        executor.run_chunks(work, 100, chunk=10)


def test_two_callers_at_once():
    total = []

    def call():
        out = np.zeros(5000)

        def work(start, stop):
            out[start:stop] += 1

        executor.run_chunks(work, 5000, chunk=100)
        total.append(out.sum())

    callers = [threading.Thread(target=call) for _ in range(4)]
    for caller in callers:
        caller.start()
    for caller in callers:
        caller.join()
    assert total == [5000] * 4


def test_cache_folder_falls_back(monkeypatch, tmp_path):
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *_: tmp_path / "cache")
    assert executor.cache_folder().is_relative_to(tmp_path)
    monkeypatch.setattr(executor, "_writable", lambda _folder: False)
    assert not executor.cache_folder().is_relative_to(tmp_path / "cache")
    assert executor.source_key() in str(executor.cache_folder())


@pytest.mark.parametrize("wanted, count", [("3", 3), ("x", None), ("0", None)])
def test_thread_count(monkeypatch, wanted, count):
    monkeypatch.setenv("NUMBA_NUM_THREADS", wanted)
    assert executor.thread_count() == (count or executor.thread_count()) >= 1


def test_importing_the_doors_compiles_nothing():
    code = (
        "import sys, firstbounce.shot.play, firstbounce.shot.aim, firstbounce.shot.air;"
        "assert 'firstbounce.shot.chain' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


def turf_map(codes):
    return GroundArrays(np.zeros((4, 4)), 0, 0, 1, codes, 0, 0, 20.0, np.zeros((1, 7)), 0, 1, 0, 1, 0)


def test_clearance_of_one_kind_is_without_end():
    assert (clearance(turf_map(np.zeros((40, 33), np.uint8))) == FAR).all()


def test_clearance_never_promises_too_much():
    rng = np.random.default_rng(0)
    codes = np.zeros((160, 200), np.uint8)
    codes[60:75, 90:140] = 2
    found = clearance(turf_map(codes))
    there = np.argwhere(codes == 2) / 20.0
    for _ in range(300):
        y, x = rng.uniform(0, 8), rng.uniform(0, 10)
        free = found[int(y * 20) // 8, int(x * 20) // 8]
        if codes[int(y * 20), int(x * 20)] == 0 and free < FAR:
            near = np.maximum(np.abs(there[:, 0] + 0.025 - y), np.abs(there[:, 1] + 0.025 - x)).min() - 0.025
            assert free <= near + 1e-9


def test_clearance_of_read_only_maps_is_kept():
    codes = np.zeros((40, 40), np.uint8)
    codes[20:, :] = 1
    codes.flags.writeable = False
    assert clearance(turf_map(codes)) is clearance(turf_map(codes))
