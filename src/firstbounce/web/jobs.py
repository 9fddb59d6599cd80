"""Long work in a queue: one piece at a time, with progress, and it can be left or stopped."""

from __future__ import annotations

import logging
import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

from firstbounce.errors import Cancelled, FirstbounceError

log = logging.getLogger("firstbounce.web")

State = Literal["waiting", "working", "done", "failed", "stopped"]
Lane = Literal["models", "clips"]  #: work of one lane is done one by one; the lanes go on side by side
KEPT = 200  #: finished jobs remembered
Work = Callable[["Job"], dict[str, Any]]
After = Callable[[], None]


def _nothing() -> None:
    """What is to be done after a job that leaves nothing behind."""


@dataclass(slots=True)
class Job:
    """One piece of work, as pages ask about it."""

    id: str
    what: str
    about: str = ""  #: id of what it is for
    after: After = _nothing  #: called once when it ended, however it ended
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
    """The queue. Plans share the compiled kernels, so one runs at a time; a clip holds no plan up."""

    def __init__(self) -> None:
        self._workers = {
            lane: ThreadPoolExecutor(max_workers=1, thread_name_prefix=lane) for lane in get_args(Lane)
        }
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()

    def add(
        self, what: str, work: Work, *, about: str = "", lane: Lane = "models", after: After = _nothing
    ) -> Job:
        """Put work into the queue; its answer is what pages read once it is done."""
        job = Job(id=secrets.token_hex(16), what=what, about=about, after=after)
        with self._lock:
            self._jobs[job.id] = job
            self._forget_old()
        self._workers[lane].submit(_run, job, work)
        return job

    def going_on(self, what: str, about: str | None = None) -> list[Job]:
        """Jobs of this kind (and for this id, when it is named) that wait or are being worked on."""
        with self._lock:
            jobs = list(self._jobs.values())
        mine = [job for job in jobs if job.what == what and about in (None, job.about)]
        return [job for job in mine if job.state in ("waiting", "working")]

    def find(self, job_id: str) -> Job | None:
        """The job of that id, if it is remembered."""
        return self._jobs.get(job_id)

    def close(self) -> None:
        """Stop what runs, drop what waits, and wait until the workers are free."""
        for job in list(self._jobs.values()):
            job.stop.set()
        for worker in self._workers.values():
            worker.shutdown(wait=True, cancel_futures=True)
        for job in self._jobs.values():
            if job.state == "waiting":
                job.state = "stopped"
                job.after()

    def _forget_old(self) -> None:
        over = [job.id for job in self._jobs.values() if job.state not in ("waiting", "working")]
        for job_id in over[: max(0, len(over) - KEPT)]:
            del self._jobs[job_id]


def _run(job: Job, work: Work) -> None:
    try:
        _worked(job, work)
    finally:
        job.after()


def _worked(job: Job, work: Work) -> None:
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
