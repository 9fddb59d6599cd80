"""One executor for all compiled work: where the cache lies, how many threads, chunks that can be cancelled.

The kernels release the interpreter's lock, so plain threads run chunks of balls side by side. No threading
layer of the compiler is used: two callers at once are safe and share the same few threads.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

from firstbounce import __version__
from firstbounce.errors import Cancelled

#: Balls in one chunk: at the slowest measured pace (longest rolls, one busy core) well under 100 ms.
CHUNK = 1024

Work = Callable[[int, int], object]
Bounds = list[tuple[int, int]]

_lock = threading.Lock()
_pools: dict[int, ThreadPoolExecutor] = {}


def source_key() -> str:
    """Version and a hash of the compiled sources: compiled code of another state is never picked up."""
    here = Path(__file__).parent
    digest = hashlib.sha256()
    for path in sorted(
        path for part in ("ground", "shot", "players") for path in (here.parent / part).glob("*.py")
    ):
        digest.update(path.read_bytes())
    return f"{__version__}-{digest.hexdigest()[:12]}"


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".probe-{os.getpid()}"
        probe.touch()
        probe.unlink()
    except OSError:
        return False
    return True


def cache_folder() -> Path:
    """Folder of the compiled code: the user's cache; when that cannot be written, a temporary one."""
    from platformdirs import user_cache_path

    folder = user_cache_path("firstbounce") / "kernels" / source_key()
    if _writable(folder):
        return folder
    return Path(tempfile.gettempdir()) / f"firstbounce-kernels-{os.getpid()}" / source_key()


def name_cache() -> None:
    """Tell the compiler where to keep its code, unless the person has already said so."""
    if "NUMBA_CACHE_DIR" not in os.environ:
        os.environ["NUMBA_CACHE_DIR"] = str(cache_folder())
    from numba import config

    config.CACHE_DIR = os.environ["NUMBA_CACHE_DIR"]  # type: ignore[attr-defined]


def thread_count() -> int:
    """Threads to use: NUMBA_NUM_THREADS when set, else the processors this process may use."""
    wanted = os.environ.get("NUMBA_NUM_THREADS", "")
    if wanted.isdigit() and int(wanted) > 0:
        return int(wanted)
    if hasattr(os, "sched_getaffinity"):
        return max(1, len(os.sched_getaffinity(0)))
    return os.cpu_count() or 1


def _pool() -> ThreadPoolExecutor:
    """The shared threads of this process (a forked child makes its own)."""
    with _lock:
        pid = os.getpid()
        if pid not in _pools:
            _pools.clear()
            _pools[pid] = ThreadPoolExecutor(thread_count(), thread_name_prefix="shot")
        return _pools[pid]


def run_chunks(
    work: Work,
    n: int,
    *,
    chunk: int = CHUNK,
    cancelled: Callable[[], bool] | None = None,
) -> None:
    """Call work(start, stop) for all of range(n) in chunks on the shared threads.

    `cancelled` is asked between chunks (at most about 100 ms apart); a yes raises Cancelled when the
    chunks under way have ended. An error in a chunk is raised here.
    """
    bounds = [(start, min(start + chunk, n)) for start in range(0, n, chunk)]
    if cancelled is not None and cancelled():
        raise Cancelled("Stopped before the work began.")
    if len(bounds) <= 1 or thread_count() == 1:
        _run_here(work, bounds, cancelled)
        return
    _run_threaded(work, bounds, cancelled)


def _run_here(work: Work, bounds: Bounds, cancelled: Callable[[], bool] | None) -> None:
    for start, stop in bounds:
        work(start, stop)
        if cancelled is not None and stop < bounds[-1][1] and cancelled():
            raise Cancelled("Stopped on request; nothing of this piece of work was kept.")


def _run_threaded(work: Work, bounds: Bounds, cancelled: Callable[[], bool] | None) -> None:
    stopped = threading.Event()

    def guarded(start: int, stop: int) -> None:
        if not stopped.is_set():
            work(start, stop)

    futures: list[Future[None]] = [_pool().submit(guarded, *bound) for bound in bounds]
    try:
        for future in futures:
            future.result()
            if cancelled is not None and cancelled():
                raise Cancelled("Stopped on request; nothing of this piece of work was kept.")
    finally:
        stopped.set()
        for future in futures:
            future.cancel()
        for future in futures:
            if not future.cancelled():
                future.exception()
