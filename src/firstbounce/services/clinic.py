"""Many guides in one go: a process a core, a failing one reported and the rest made."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path
from threading import Lock, Thread

from firstbounce.errors import FirstbounceError
from firstbounce.services.guide import Ask, make, name_of, write_guide

FEW = 3  #: fewer guides are made in this process: starting others would take longer
MOST_TOGETHER = 4  #: guides of the same balls that one process makes one after the other, from one fit
Progress = Callable[[float], None]
Job = tuple[Ask, str]  #: what to make, and the name of its files


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What became of one guide: its files, or why there are none."""

    name: str
    kind: str
    pdf: str = ""
    page: str = ""
    problem: str = ""

    def to_dict(self) -> dict[str, object]:
        """Its shape in JSON."""
        return {
            "name": self.name,
            "kind": self.kind,
            "pdf": self.pdf,
            "page": self.page,
            "problem": self.problem,
        }


def make_all(
    asks: Sequence[Ask],
    folder: Path,
    *,
    progress: Progress = lambda share: None,
    processes: int | None = None,
) -> list[Written]:
    """Every guide into the folder, in the order asked; names that would clash get a number.

    When a process dies another takes its place; a guide that ends two of them is reported.
    """
    names = distinct([name_of(ask) for ask in asks])
    jobs = list(zip(asks, names, strict=True))
    if len(jobs) < FEW or processes == 1:
        return [_one_by_one(k, job, folder, len(jobs), progress) for k, job in enumerate(jobs)]
    done: dict[str, Written] = {}
    lock, left = Lock(), together(jobs)

    def take() -> list[Job] | None:
        with lock:
            return next(left, None)

    def note(some: Sequence[Written]) -> None:
        with lock:
            done.update({one.name: one for one in some})
            progress(len(done) / len(jobs))

    many = min(processes or os.cpu_count() or 1, len(jobs))
    with ThreadPoolExecutor(many) as minders:
        minding = [minders.submit(_minded, take, folder, note) for _ in range(many)]
        try:
            for one in minding:
                one.result()
        finally:
            for _ in iter(take, None):  # stopped: nothing more is begun
                pass
    return [done[name] for name in names]


def _minded(
    take: Callable[[], list[Job] | None], folder: Path, note: Callable[[Sequence[Written]], None]
) -> None:
    """One process and the jobs that it is given; when it dies another tries them once more, one at a time."""
    again: list[list[Job]] = []
    pool = _pool()
    try:
        while some := again.pop(0) if (second := bool(again)) else take():
            try:
                note(pool.submit(_written, some, folder).result())
            except BrokenProcessPool:
                pool.shutdown()
                pool = _pool()
                if second:
                    note([_died(*some[0])])
                else:
                    again = [[job] for job in some]
    finally:
        pool.shutdown()


def _died(ask: Ask, name: str) -> Written:
    problem = "The process that made it was ended from outside, perhaps for want of memory; try it alone."
    return Written(name=name, kind=str(ask.kind), problem=problem)


def together(jobs: Sequence[Job]) -> Iterator[list[Job]]:
    """Jobs in turn, those of the same green and balls that follow each other together."""
    some: list[Job] = []
    for job in jobs:
        if some and (len(some) == MOST_TOGETHER or _same(some[-1][0]) != _same(job[0]) or not job[0].balls):
            yield some
            some = []
        some.append(job)
    if some:
        yield some


def _same(ask: Ask) -> tuple[object, ...]:
    """What a fit and a plan rest on."""
    return (ask.green, ask.balls, ask.level, ask.hand, ask.station)


def _pool() -> ProcessPoolExecutor:
    return ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn"), initializer=_begin)


def _begin() -> None:
    """In a new process: one thread, since there is one process a core, and an end with the one that began it.

    A process that is killed cannot tell those that it began: a thread of theirs waits for its end.
    """
    os.environ["NUMBA_NUM_THREADS"] = "1"
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _written(jobs: Sequence[Job], folder: Path) -> list[Written]:
    """Guides made one after the other in this process; whatever fails is said."""
    return [_surely(ask, folder, name) for ask, name in jobs]


def _surely(ask: Ask, folder: Path, name: str) -> Written:
    """As `written`; a fault of the program in one guide stops no other."""
    try:
        return written(ask, folder, name)
    except Exception as error:
        problem = f"A fault of the program: {type(error).__name__}: {error}"
        return Written(name=name, kind=str(ask.kind), problem=problem)


def _one_by_one(k: int, job: Job, folder: Path, of: int, progress: Progress) -> Written:
    ask, name = job
    return written(ask, folder, name, progress=lambda share: progress((k + share) / of))


def written(ask: Ask, folder: Path, name: str, *, progress: Progress = lambda share: None) -> Written:
    """One guide made and written; what goes wrong with it is said, not raised."""
    try:
        made = make(ask, progress=progress)
        pdf, page = write_guide(made, folder, name)
    except (FirstbounceError, OSError) as error:
        return Written(name=name, kind=str(ask.kind), problem=str(error))
    progress(1.0)
    return Written(name=name, kind=str(ask.kind), pdf=str(pdf), page=str(page))


def distinct(names: Sequence[str]) -> list[str]:
    """The names, later ones with a number where they would be the same."""
    made: list[str] = []
    for name in names:
        fresh, k = name, 2
        while fresh in made:
            fresh, k = f"{name}-{k}", k + 1
        made.append(fresh)
    return made
