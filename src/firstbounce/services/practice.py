"""Practice for one player: drill files read, set-ups made from what the balls and the green say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.files.reading import read_text
from firstbounce.files.toml import key_fault, open_toml
from firstbounce.fitting.result import Fit
from firstbounce.planning.chart import chart
from firstbounce.players.player import Hand, Player, player_of_level
from firstbounce.practice.drill import Drill
from firstbounce.practice.drill_file import drills_of_tables
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.runs import Runs, runs_of_chart
from firstbounce.practice.set_up import SetUp, set_up
from firstbounce.practice.stick import StickModel, stick_model
from firstbounce.services.day import USUAL_LEVEL, load_balls, load_day
from firstbounce.services.fit import fit_day
from firstbounce.words import Level

FORMAT = 1
CHART_CARRIES_M = (4.0, 8.0, 14.0)  #: from which the run of each club is taken


def shipped_drills() -> tuple[Drill, ...]:
    """The drills that come with the program."""
    text = (resources.files("firstbounce") / "practice" / "drills.toml").read_text(encoding="utf-8")
    return drills_of_text(Path("drills.toml"), text)


def read_drills(path: Path) -> tuple[Drill, ...]:
    """A coach's own drill file, in the format of the shipped one. FileFaults lists every fault by line."""
    return drills_of_text(path, read_text(path))


def all_drills(own: Path | None = None) -> tuple[Drill, ...]:
    """The shipped drills, and a coach's own after them; an own drill replaces the shipped one of its name."""
    mine = read_drills(own) if own else ()
    names = {drill.name.lower() for drill in mine}
    numbers = {drill.number for drill in mine}
    kept = [d for d in shipped_drills() if d.name.lower() not in names and d.number not in numbers]
    return (*kept, *mine)


def drills_of_text(path: Path, text: str) -> tuple[Drill, ...]:
    """Drills from the text of a drill file; `path` only names it in faults."""
    table, lines = open_toml(path, text)
    drills, problems = drills_of_tables(table.get("drill"))
    if table.get("format") != FORMAT:
        problems = [(("format",), f"must be {FORMAT}, got {table.get('format')!r}"), *problems]
    problems += [
        ((key,), "this key is not known; known are format, drill")
        for key in table
        if key not in ("format", "drill")
    ]
    if problems:
        faults = [key_fault(lines, where, problem) for where, problem in problems]
        raise FileFaults(path, sorted(faults, key=lambda fault: fault.line or 0))
    return tuple(drills)


def find_drill(drills: Sequence[Drill], name: str) -> Drill:
    """The drill of that name or number. ParameterError names those there are."""
    for drill in drills:
        if name.strip().lower() in (drill.name.lower(), str(drill.number)):
            return drill
    raise ParameterError(f"No drill called {name!r}; there are {', '.join(drill.name for drill in drills)}.")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlayerNow:
    """A player with what is known today: own balls, own run, logged sticks."""

    player: Player
    fit: Fit | None = None
    runs: Runs | None = None
    sticks: StickModel | None = None


def player_now(
    *,
    green: Path | None = None,
    balls: Path | None = None,
    level: Level | None = None,
    hand: Hand | None = None,
    sticks: Sequence[tuple[float, float]] = (),
) -> PlayerNow:
    """The player of a day and its balls, or the usual one of a level; `sticks`: logged (stick, carry) [m]."""
    learned = stick_model(sticks) if sticks else None
    if green is None:
        if balls is not None:
            raise ParameterError(
                "Balls need the green they were hit on: name its file too, --green green.toml."
            )
        player = player_of_level(level or USUAL_LEVEL, hand=hand or Hand.RIGHT)
        return PlayerNow(player=player, sticks=learned)
    if level is not None or hand is not None:
        raise ParameterError("The file of the green names the player: leave --level and --hand away.")
    day = load_day(green)
    fitted = fit_day(day, load_balls(balls, day)) if balls else None
    runs = runs_of_chart(chart(day.player, day.today, fit=fitted, carries_m=CHART_CARRIES_M))
    return PlayerNow(player=day.player, fit=fitted, runs=runs, sticks=learned)


def set_up_now(
    drill: Drill,
    now: PlayerNow,
    *,
    carry_m: float | None = None,
    yardsticks: Yardsticks | None = None,
    circle_m: float | None = None,
) -> SetUp:
    """The drill set up with everything that is known of the player."""
    return set_up(
        drill,
        now.player,
        carry_m=carry_m,
        fit=now.fit,
        runs=now.runs,
        sticks=now.sticks,
        yardsticks=yardsticks,
        circle_m=circle_m if drill.has_circle else None,
    )
