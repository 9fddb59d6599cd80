"""Rank every club of a bag at one station: search each, race all, put the result into words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from firstbounce.errors import Cancelled
from firstbounce.planning.contest import Contest
from firstbounce.planning.luck import Fortune, clean_luck, missed_luck
from firstbounce.planning.race import Standing
from firstbounce.planning.result import Choice
from firstbounce.planning.scene import Scene
from firstbounce.planning.search import Spot, best_putt, best_spot
from firstbounce.planning.sentences import (
    Say,
    cause,
    landing_text,
    lead,
    reason_text,
    warning_text,
)
from firstbounce.planning.summary import Entry, choice_of, parts_of

Progress = Callable[[float], None]
STAYS = 0.5  #: a clean strike that stays on the green less often than this cannot be said to stop [choice]


@dataclass(frozen=True, slots=True)
class Effort:
    """How many balls a plan may play."""

    survey: int = 2048  #: clean balls a club, to find its spot
    mishits: int = 96  #: mishits at each of five carries a club, for the same
    rounds: tuple[int, ...] = (192, 512, 1024, 2048)  #: units a choice, round by round of the race
    close: int = 512  #: units at least for each of the leading choices
    leaders: int = 3  #: how many choices are leading ones


@dataclass(frozen=True, slots=True)
class Ranked:
    """The outcome of a ranking: entries with the front runner first."""

    entries: tuple[Entry, ...]

    @property
    def balls(self) -> int:
        return sum(entry.spot.balls + len(entry.units.clean) for entry in self.entries)


def rank(scene: Scene, rng: np.random.Generator, effort: Effort, progress: Progress | None = None) -> Ranked:
    """Find each club's best spot and race the clubs."""
    say = progress or (lambda share: None)
    spots = _search(scene, rng, effort, say)
    fortune = Fortune.draw(rng, effort.rounds[-1], scene.run_tail)
    contest = Contest(scene, fortune, spots)
    standings = contest.run(effort.rounds)
    say(0.9)
    standings = contest.close(standings, effort.leaders, effort.close)
    say(1.0)
    return Ranked(tuple(_entry(scene, contest, standing) for standing in standings))


def _search(scene: Scene, rng: np.random.Generator, effort: Effort, say: Progress) -> list[Spot]:
    """The best spot of every usable club."""
    bag = scene.bag
    clean = clean_luck(rng, effort.survey, scene.run_tail)
    missed = missed_luck(rng, effort.mishits, scene.run_tail)
    spots = []
    for k, club in enumerate(bag):
        if scene.cancelled is not None and scene.cancelled():
            raise Cancelled("The plan was stopped; nothing of it was kept.")
        spots.append(
            best_putt(scene, club, clean) if club.is_putter else best_spot(scene, club, clean, missed)
        )
        say(0.6 * (k + 1) / len(bag))
    return spots


def _entry(scene: Scene, contest: Contest, standing: Standing) -> Entry:
    spot, units = contest.spots[standing.index], contest.units(standing.index)
    world = np.arange(len(units.cost)) % len(scene.unknowns)
    return Entry(spot, standing, units, scene.unknowns.features(spot.club.name)[world])


def choices_of(scene: Scene, ranked: Ranked) -> tuple[Choice, ...]:
    """What the plan says of each entry, in order."""
    return tuple(choice_of(scene, entry, ranked.entries[0]) for entry in ranked.entries)


def reason_of(scene: Scene, ranked: Ranked, choices: Sequence[Choice], say: Say) -> str:
    """The one sentence: what to do and why."""
    first = choices[0]
    equals = [choice.club for choice in choices[1:] if choice.equal]
    rest = [k for k, choice in enumerate(choices) if not choice.equal]
    why = ""
    if rest:
        other = ranked.entries[rest[0]]
        mine, theirs = (parts_of(scene, entry.units) for entry in (ranked.entries[0], other))
        why = cause(mine, theirs, other.spot.club.name, other.spot.club.is_putter)
    return reason_text(head_of(scene, ranked.entries[0], first, say), equals, why)


def head_of(scene: Scene, entry: Entry, choice: Choice, say: Say) -> str:
    """The instruction."""
    landing = landing_text(entry.spot.carry, scene.edge(entry.spot.azimuth), say)
    return lead(choice.club, choice.is_putt, landing, choice.run_m.value, say)


def stays_of(ranked: Ranked) -> float:
    """How often a clean strike of the best-staying choice finishes on the green."""
    return max(float(entry.units.clean.on_green.mean()) for entry in ranked.entries)


def warning_of(scene: Scene, ranked: Ranked, choices: Sequence[Choice], say: Say) -> str:
    """What to say when nothing stops on the green; empty otherwise."""
    stays = stays_of(ranked)
    if stays >= STAYS:
        return ""
    return warning_text(stays, head_of(scene, ranked.entries[0], choices[0], say))
