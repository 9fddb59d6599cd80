"""Many guides in one go: a process a core, a failing one reported and the rest made."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path

from firstbounce.errors import FirstbounceError
from firstbounce.services.guide import Ask, make, name_of, write_guide

FEW = 3  #: fewer guides are made in this process: starting others would take longer


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
    progress: Callable[[float], None] = lambda share: None,
    processes: int | None = None,
) -> list[Written]:
    """Every guide into the folder, in the order asked; names that would clash get a number."""
    names = distinct([name_of(ask) for ask in asks])
    jobs = list(zip(asks, names, strict=True))
    if len(jobs) < FEW or processes == 1:
        return [_one_by_one(k, job, folder, len(jobs), progress) for k, job in enumerate(jobs)]
    done: dict[str, Written] = {}
    with ProcessPoolExecutor(
        processes or os.cpu_count() or 1, mp_context=multiprocessing.get_context("spawn")
    ) as pool:
        waiting = {pool.submit(written, ask, folder, name): name for ask, name in jobs}
        for future in as_completed(waiting):
            done[waiting[future]] = future.result()
            progress(len(done) / len(jobs))
    return [done[name] for name in names]


def _one_by_one(
    k: int, job: tuple[Ask, str], folder: Path, of: int, progress: Callable[[float], None]
) -> Written:
    ask, name = job
    return written(ask, folder, name, progress=lambda share: progress((k + share) / of))


def written(
    ask: Ask, folder: Path, name: str, *, progress: Callable[[float], None] = lambda share: None
) -> Written:
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
