"""Long work in a queue: one piece at a time, with progress, and it can be left or stopped."""

from __future__ import annotations

import logging
import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Literal

from firstbounce.errors import Cancelled, FirstbounceError

log = logging.getLogger("firstbounce.web")

State = Literal["waiting", "working", "done", "failed", "stopped"]
KEPT = 200  #: finished jobs remembered
Work = Callable[["Job"], dict[str, Any]]


@dataclass(slots=True)
class Job:
    """One piece of work, as pages ask about it."""

    id: str
    what: str
    state: State = "waiting"
    share: float = 0.0
    answer: dict[str, Any] = field(default_factory=dict)
    error: str = ""
    stop: threading.Event = field(default_factory=threading.Event)

    def progress(self, share: float) -> None:
        """Note the share done, 0 to 1."""
        self.share = min(max(share, 0.0), 1.0)

    def cancelled(self) -> bool:
        """Whether the person stopped it."""
        return self.stop.is_set()

    def told(self) -> dict[str, Any]:
        """The shape of `/api/jobs/{id}`."""
        shape = {"id": self.id, "what": self.what, "state": self.state, "share": round(self.share, 3)}
        return {"ok": True, **shape, "answer": self.answer, "error": self.error}


class Jobs:
    """The queue. Plans share the compiled kernels, so one runs at a time."""

    def __init__(self) -> None:
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="jobs")
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()

    def add(self, what: str, work: Work) -> Job:
        """Put work into the queue; its answer is what pages read once it is done."""
        job = Job(id=secrets.token_hex(16), what=what)
        with self._lock:
            self._jobs[job.id] = job
            self._forget_old()
        self._worker.submit(_run, job, work)
        return job

    def find(self, job_id: str) -> Job | None:
        """The job of that id, if it is remembered."""
        return self._jobs.get(job_id)

    def close(self) -> None:
        """Stop what runs, drop what waits, and wait until the worker is free."""
        for job in list(self._jobs.values()):
            job.stop.set()
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _forget_old(self) -> None:
        over = [job.id for job in self._jobs.values() if job.state not in ("waiting", "working")]
        for job_id in over[: max(0, len(over) - KEPT)]:
            del self._jobs[job_id]


def _run(job: Job, work: Work) -> None:
    if job.cancelled():
        job.state = "stopped"
        return
    job.state = "working"
    try:
        job.answer = work(job)
        job.share, job.state = 1.0, "done"
    except Cancelled:
        job.state = "stopped"
    except FirstbounceError as error:
        job.error, job.state = str(error), "failed"
    except Exception as error:  # a failure of one job must not end the queue
        log.error("unexpected failure of a job", exc_info=error)
        job.error, job.state = "Something unexpected went wrong in the program; nothing was lost.", "failed"
