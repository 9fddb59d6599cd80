"""A small group on a practice green: stations, the rotation clock, spacing, and who must watch.

Ratios of adults to children: 4 to 8 years 1 to 6, 9 to 12 1 to 8, 13 to 18 1 to 10, and always two adults
(NSPCC and CPSU pages, read). Adults: 1 to 12 [choice]. Spacing: 3 m between hitters and 5 m behind them and
between rows [common practice]; local rules, the club's policy and the coach's own training come first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from firstbounce.errors import CannotPlan, ParameterError
from firstbounce.practice.asked import Asked
from firstbounce.practice.choose import (
    LEAST_BALLS,
    Chosen,
    Slot,
    most_balls,
    warm_up_minutes,
    with_share,
)

RATIOS = ((8, 6), (12, 8), (17, 10))  #: age up to, children to one adult
ADULT_RATIO = 12
SPACING_M = 3.6  #: between hitters of neighbouring stations: 3 m, rounded up to 4 paces of 0.9 m
BEHIND_M = 5.4  #: behind the hitters, where the others wait: 5 m, rounded up to 6 paces
MOST_AT_STATION = 3
MOST_STATIONS = 6
EXPLAIN_MINUTES = 3  #: rules and a walk past every station
CHANGE_MINUTES = 1  #: "clubs down", walk on together


@dataclass(frozen=True, slots=True, kw_only=True)
class Supervision:
    """How many adults a group needs, and why."""

    needed: int
    there: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One round of the clock: minutes from the start, and which players are at which station."""

    starts: int
    ends: int
    at_station: tuple[tuple[int, ...], ...]  #: players (from 1) of each station


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One station: where its hitters stand, what they do."""

    number: int
    x_m: float  #: along the hitting line, from the first station [m]
    slot: Slot


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Stations side by side on one hitting line, all hitting the same way."""

    players: int
    stations: tuple[Station, ...]
    turns: tuple[Turn, ...]
    turn_minutes: int
    spacing_m: float
    behind_m: float
    supervision: Supervision
    rules: tuple[str, ...]

    @property
    def width_m(self) -> float:
        """Of the whole line, a free space at both ends counted [m]."""
        return self.spacing_m * (len(self.stations) + 1)


def supervise(players: int, adults: int, youngest: int | None) -> Supervision:
    """The adults that a group needs. ParameterError when there are too few: the session may not start."""
    if youngest is not None and youngest < 4:
        raise ParameterError(f"Players must be 4 years or older for a practice session, got {youngest}.")
    if youngest is None or youngest >= 18:
        needed = max(math.ceil(players / ADULT_RATIO), 1)
        words = f"1 coach for up to {ADULT_RATIO} adults"
    else:
        ratio = next(ratio for age, ratio in RATIOS if youngest <= age)
        needed = max(math.ceil(players / ratio), 2)
        words = f"1 adult for up to {ratio} players when the youngest is {youngest}, and always two adults"
    if adults < needed:
        raise ParameterError(
            f"{players} {'player needs' if players == 1 else 'players need'} {needed} adults ({words}); "
            f"there {'is' if adults == 1 else 'are'} {adults}. Do not start before they are there."
        )
    return Supervision(needed=needed, there=adults, words=words)


def group_of(chosen: Chosen, asked: Asked, pace_m: float) -> Group:
    """Stations and clock for these drills. CannotPlan when room or time are too small for the group."""
    supervision = supervise(asked.players, asked.adults, asked.youngest)
    spacing = _in_paces(SPACING_M, pace_m)
    most = _most_stations(asked, spacing, pace_m)
    least = math.ceil(asked.players / MOST_AT_STATION)
    if most < least:
        raise CannotPlan(
            f"{asked.players} players need {least} stations, {round(spacing / pace_m)} paces apart and as "
            f"much free at each end: {math.ceil((least + 1) * spacing / pace_m)} paces. There are "
            f"{asked.room_paces:g}; come in two groups."
        )
    for n in range(min(max(len(chosen.slots), least), most), least - 1, -1):
        stations = _stations(chosen.slots, asked, n, spacing)
        if stations:
            break
    else:
        raise CannotPlan(
            f"{asked.minutes} minutes and {asked.balls} balls are too few for {asked.players} players at "
            f"{least} stations: each turn needs {LEAST_BALLS} balls for each player."
        )
    per_turn = max(station.slot.minutes for station in stations)
    return Group(
        players=asked.players,
        stations=stations,
        turns=_turns(
            asked.players, len(stations), per_turn, warm_up_minutes(asked.minutes) + EXPLAIN_MINUTES
        ),
        turn_minutes=per_turn,
        spacing_m=spacing,
        behind_m=_in_paces(BEHIND_M, pace_m),
        supervision=supervision,
        rules=_rules(asked),
    )


def _in_paces(length_m: float, pace_m: float) -> float:
    """Rounded up to whole paces [m]."""
    return math.ceil(length_m / pace_m - 1e-9) * pace_m


def _most_stations(asked: Asked, spacing: float, pace_m: float) -> int:
    if asked.room_paces is None:
        return MOST_STATIONS
    return min(MOST_STATIONS, int(asked.room_paces * pace_m / spacing + 1e-9) - 1)


def _stations(slots: Sequence[Slot], asked: Asked, n: int, spacing: float) -> tuple[Station, ...]:
    """n stations whose turns fit into time and balls; fewer drills than stations are used twice."""
    spare = asked.minutes - warm_up_minutes(asked.minutes) - EXPLAIN_MINUTES - CHANGE_MINUTES * (n - 1)
    crowd = math.ceil(asked.players / n)
    made = []
    for k in range(n):
        slot = slots[k % len(slots)]
        shared = with_share(slot, spare // n - slot.set_up_minutes, most_balls(asked) // n, turns=crowd)
        if shared is None:
            return ()
        made.append(Station(number=k + 1, x_m=spacing * k, slot=shared))
    return tuple(made)


def _turns(players: int, n: int, minutes: int, start: int) -> tuple[Turn, ...]:
    """Everybody at every station once; groups as equal as can be."""
    parts = [tuple(range(1 + k, players + 1, n)) for k in range(n)]
    turns = []
    for turn in range(n):
        begins = start + turn * (minutes + CHANGE_MINUTES)
        at = tuple(parts[(station - turn) % n] for station in range(n))
        turns.append(Turn(starts=begins, ends=begins + minutes, at_station=at))
    return tuple(turns)


def _rules(asked: Asked) -> tuple[str, ...]:
    young = asked.youngest is not None and asked.youngest < 18
    rules = [
        "Everybody hits the same way; nobody crosses the hitting line.",
        "One hits at a station, the others watch and score behind it.",
        'Balls are collected together, on the call "all down, all clear".',
        '"Stop" from anybody stops everybody; clubs are held by the head while listening.',
        "Left-handed players at one end, so that nobody stands back to back with a swing.",
        "The coach stands at the end of the line that sees every face.",
    ]
    if young:
        rules.append("Half swings only unless an adult stands at the station; consent before any filming.")
    return tuple(rules)
