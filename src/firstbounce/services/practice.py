"""Drill files: the shipped catalogue and a coach's own, read and checked."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any

from firstbounce.errors import FileFault, FileFaults, ParameterError
from firstbounce.players.spread import SPREAD_OF_LEVEL
from firstbounce.practice.circles import circle_size
from firstbounce.practice.drill import Drill, drill_of_table
from firstbounce.practice.stick import stick_prior
from firstbounce.words import Level

FORMAT = 1


def shipped_drills() -> tuple[Drill, ...]:
    """The drills that come with the program."""
    text = (resources.files("firstbounce") / "practice" / "drills.toml").read_text(encoding="utf-8")
    return drills_of_text(Path("drills.toml"), text)


def read_drills(path: Path) -> tuple[Drill, ...]:
    """A coach's own drill file, in the format of the shipped one. FileFaults lists every fault."""
    return drills_of_text(path, path.read_text(encoding="utf-8"))


def drills_of_text(path: Path, text: str) -> tuple[Drill, ...]:
    """Drills from the text of a drill file; `path` only names it in faults."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise FileFaults(path, [_fault(None, f"this is not TOML ({error})")]) from None
    if table.get("format") != FORMAT:
        raise FileFaults(path, [_fault("format", f"must be {FORMAT}, got {table.get('format')!r}")])
    drills, faults = _all(table.get("drill"))
    if faults:
        raise FileFaults(path, faults)
    return tuple(drills)


def find_drill(drills: tuple[Drill, ...], name: str) -> Drill:
    """The drill of that name or number. ParameterError names those there are."""
    for drill in drills:
        if name.strip().lower() in (drill.name.lower(), str(drill.number)):
            return drill
    raise ParameterError(f"No drill called {name!r}; there are {', '.join(drill.name for drill in drills)}.")


def _all(tables: Any) -> tuple[list[Drill], list[FileFault]]:
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        return [], [_fault("drill", "there is no [[drill]] table; give at least one")]
    drills: list[Drill] = []
    faults: list[FileFault] = []
    for i, table in enumerate(tables):
        drill, wrong = drill_of_table(table, f"drill[{i}]")
        faults += wrong
        if drill and drill.name in [other.name for other in drills]:
            faults.append(_fault(f"drill[{i}].name", f"{drill.name!r} stands twice; each drill once"))
        elif drill:
            drills.append(drill)
    return drills, faults


def _fault(column: str | None, problem: str) -> FileFault:
    return FileFault(line=None, column=column, problem=problem)


def set_up_text(drill: Drill, level: Level, carry_m: float, say: Callable[[float], str]) -> str:
    """The set-up with its lengths for a player of this level; the carry is kept to what the drill is for."""
    carry = min(max(carry_m, drill.carry_m[0]), drill.carry_m[1])
    spread = SPREAD_OF_LEVEL[level]
    circle = 0.0
    if drill.circle_share:
        size = circle_size(
            drill.circle_share,
            along_m=float(spread.along_m(carry)),
            across_m=float(spread.across_m(carry)),
        )
        circle = size.shown_m
    lengths = {
        "carry": carry,
        "circle": circle,
        "stick": stick_prior().place(carry).distance_m,
        "distance": 2 * carry,
    }
    return drill.set_up.format(**{name: say(length) for name, length in lengths.items()})
