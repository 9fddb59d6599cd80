"""Many guides at once when something dies: no process stays behind, no guide is lost but the deadly one."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from firstbounce.guides.blocks import Kind
from firstbounce.services import clinic
from firstbounce.services.clinic import MOST_TOGETHER, make_all, together
from firstbounce.services.guide import Ask

PATIENCE_S = 60.0

MAKE_MANY = """
    from pathlib import Path
    from firstbounce.guides.blocks import Kind
    from firstbounce.services.clinic import make_all
    from firstbounce.services.guide import Ask

    if __name__ == "__main__":
        asks = [Ask(kind=Kind.GENERAL, name=f"sheet {k}", drills=("Line brush",)) for k in range(400)]
        make_all(asks, Path("made"), processes=2)
"""


def below(pid: int) -> set[int]:
    """Processes begun by a process, and by those."""
    parents: dict[int, int] = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            stat = status(int(entry.name))
            if stat:
                parents[int(entry.name)] = int(stat[1])
    found, more = set[int](), {pid}
    while more:
        more = {child for child, parent in parents.items() if parent in more} - found
        found |= more
    return found


def status(pid: int) -> list[str]:
    """State and parent of a process; empty when there is none."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return []


def runs(pid: int) -> bool:
    """Whether it is there and not merely waiting to be counted out."""
    stat = status(pid)
    return bool(stat) and stat[0] not in "ZX"


def wait_for(true, what: str) -> None:
    end = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < end, what
        time.sleep(0.05)


def begun(folder: Path) -> subprocess.Popen[bytes]:
    """A clinic under way, in a process of its own, its first guides made."""
    script = folder / "many.py"
    script.write_text(textwrap.dedent(MAKE_MANY))
    begun = subprocess.Popen([sys.executable, str(script)], cwd=folder, stderr=subprocess.DEVNULL)
    wait_for(lambda: len(list(folder.glob("made/*.html"))) >= 3, "no guide was made")
    return begun


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_a_killed_clinic_leaves_no_process_and_no_half_file_behind(tmp_path, how):
    clinic = begun(tmp_path)
    helpers = below(clinic.pid)
    assert len(helpers) >= 2
    os.kill(clinic.pid, how)
    clinic.wait(PATIENCE_S)
    wait_for(lambda: not any(runs(pid) for pid in helpers), f"still there: {helpers}")
    made = sorted((tmp_path / "made").glob("*.pdf"))
    assert 3 <= len(made) < 400
    assert all(one.read_bytes().rstrip().endswith(b"%%EOF") for one in made)


@pytest.mark.slow
def test_a_process_that_is_killed_costs_no_guide(tmp_path):
    asks = [Ask(kind=Kind.GENERAL, name=f"sheet {k}", drills=("Line brush",)) for k in range(8)]
    killed: list[int] = []

    def kill_one(share: float) -> None:
        if not killed:
            killed.append(next(pid for pid in below(os.getpid()) if is_worker(pid)))
            os.kill(killed[0], signal.SIGKILL)

    made = make_all(asks, tmp_path, progress=kill_one, processes=2)
    assert killed and not [one for one in made if one.problem]
    assert len(list(tmp_path.glob("*.pdf"))) == 8


class Deadly:
    """Ends the process that it is sent to."""

    def __reduce__(self):
        return os._exit, (1,)


@pytest.mark.slow
def test_a_guide_that_ends_its_process_is_reported_and_the_rest_made(tmp_path):
    asks = [Ask(kind=Kind.GENERAL, name=f"sheet {k}", drills=("Line brush",)) for k in range(5)]
    asks[2] = Ask(kind=Kind.GENERAL, name="sheet 2", fonts=Deadly())
    made = make_all(asks, tmp_path, processes=2)
    assert ["ended from outside" in one.problem for one in made] == [False, False, True, False, False]
    assert len(list(tmp_path.glob("*.pdf"))) == 4


def is_worker(pid: int) -> bool:
    """Whether it is a process that makes guides."""
    return b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes()


def test_a_fault_of_the_program_in_one_guide_stops_no_other(tmp_path, monkeypatch):
    def broken(ask: Ask, *more, **even_more):
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr(clinic, "make", broken)
    (made,) = clinic._written([(Ask(kind=Kind.GENERAL), "x")], tmp_path)
    assert made.problem == "A fault of the program: ZeroDivisionError: by nought"


def test_guides_of_the_same_balls_are_made_together_and_others_apart():
    ann, tom = (Path(f"{name}.csv") for name in ("ann", "tom"))
    asks = [Ask(green=Path("g"), balls=balls) for balls in (ann, ann, tom, *[ann] * 5, None, None)]
    groups = list(together([(ask, str(k)) for k, ask in enumerate(asks)]))
    assert [name for group in groups for _, name in group] == [str(k) for k in range(10)]
    assert [len(group) for group in groups] == [2, 1, MOST_TOGETHER, 1, 1, 1]
