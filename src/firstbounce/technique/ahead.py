"""Work done ahead in a thread of its own: the next pictures are decoded while the model looks at this one."""

from __future__ import annotations

import queue
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final, TypeVar

T = TypeVar("T")
ROOM: Final = 3  #: this many are kept waiting; a picture of 720p takes 2.8 MB


class _End:
    """The end of a source, and what it raised if anything."""

    def __init__(self, fault: BaseException | None = None) -> None:
        self.fault = fault


@contextmanager
def ahead(source: Iterator[T], room: int = ROOM) -> Iterator[Iterator[T]]:
    """The items of a source in their order, at most `room` of them made before they are asked for.

    A fault of the source is raised after the items before it. On leaving, the source is closed and its thread
    has ended, whether everything was asked for or not.
    """
    waiting: queue.Queue[T | _End] = queue.Queue(room)
    stopped = threading.Event()
    thread = threading.Thread(target=_work, args=(source, waiting, stopped), daemon=True)
    thread.start()
    try:
        yield _asked_for(waiting)
    finally:
        stopped.set()
        thread.join()


def _asked_for(waiting: queue.Queue[T | _End]) -> Iterator[T]:
    while not isinstance(item := waiting.get(), _End):
        yield item
    if item.fault is not None:
        raise item.fault


def _work(source: Iterator[T], waiting: queue.Queue[T | _End], stopped: threading.Event) -> None:
    end = _End()
    try:
        for item in source:
            _put(item, waiting, stopped)
            if stopped.is_set():
                break
    except BaseException as fault:
        end = _End(fault)
    finally:
        close = getattr(source, "close", None)
        if close is not None:
            close()
    _put(end, waiting, stopped)


def _put(item: T | _End, waiting: queue.Queue[T | _End], stopped: threading.Event) -> None:
    """Wait for room, but not when nobody asks any more."""
    while not stopped.is_set():
        try:
            waiting.put(item, timeout=0.1)
        except queue.Full:
            continue
        return
