"""Sessions, games and scores for one player: the use cases behind `practice build`, `games` and `score`."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np

from firstbounce.errors import CannotEstimate
from firstbounce.files.scores import add_score, read_scores
from firstbounce.practice.asked import Asked, Source, Wish, wishes_of_review
from firstbounce.practice.chips import chipper
from firstbounce.practice.drill import Drill
from firstbounce.practice.expected import Expected, expected_score, meaning
from firstbounce.practice.games import Game, GameScore, Rule, rule_of, score_game
from firstbounce.practice.group_picture import group_picture
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.scoring import DrillScore, Try, score_drill
from firstbounce.practice.session import Session, build
from firstbounce.practice.set_up import SetUp, set_up
from firstbounce.services.day import load_balls, load_day
from firstbounce.services.practice import PlayerNow, find_drill
from firstbounce.words import Fault

SEED = 20260514  #: of the orders of a session and of the games that are played in the mind


def wishes(
    coach: Sequence[str], swing: Sequence[str] = (), *, green: Path | None = None, balls: Path | None = None
) -> tuple[Wish, ...]:
    """Faults that the coach, a watched swing and, with a green and its balls, the review name."""
    named = [Wish(fault=Fault(word)) for word in coach]
    named += [Wish(fault=Fault(word), source=Source.TECHNIQUE) for word in swing]
    if green is not None and balls is not None:
        from firstbounce.services.review import review_day

        day = load_day(green)
        with suppress(CannotEstimate):  # too few balls: what the coach and the swing say stands
            named += wishes_of_review([review_day(day, load_balls(balls, day)).verdict])
    return tuple(named)


def session_now(
    drills: Sequence[Drill],
    asked: Asked,
    now: PlayerNow,
    *,
    yardsticks: Yardsticks | None = None,
    seed: int = SEED,
) -> Session:
    """A session with everything that is known of the player; the same seed gives the same order."""
    return build(
        drills,
        asked,
        now.player,
        np.random.default_rng(seed),
        fit=now.fit,
        sticks=now.sticks,
        runs=now.runs,
        yardsticks=yardsticks,
    )


def session_drawings(session: Session, yardsticks: Yardsticks) -> dict[str, str]:
    """Every drawing of a session as SVG, by name: the stations of a group, then each block."""
    from firstbounce.pictures.setup import set_up_view

    drawn = {}
    if session.group:
        drawn["stations"] = set_up_view(group_picture(session.group, yardsticks))
    for place, block in enumerate(session.blocks, 1):
        drawn[f"{place} {block.drill.name}"] = block.set_ups[0].drawing
    return drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class GameNow:
    """A game for one player: its rule, its set-up, what to expect and, when played, its score."""

    rule: Rule
    set_up: SetUp
    expected: Expected
    score: GameScore | None
    meaning: str


def game_now(
    name: str,
    entries: Sequence[str],
    drills: Sequence[Drill],
    now: PlayerNow,
    *,
    yardsticks: Yardsticks | None = None,
    seed: int = SEED,
) -> GameNow:
    """A game explained, or scored when there are entries."""
    rule = rule_of(name)
    score = score_game(rule.game, entries) if entries else None
    laid = set_up(
        find_drill(drills, rule.drill),
        now.player,
        fit=now.fit,
        runs=now.runs,
        yardsticks=yardsticks,
    )
    expected = expected_score(
        rule.game,
        chipper(now.player, fit=now.fit),
        np.random.default_rng(seed),
        circle_chance=laid.expected,
        distances_m=_distances(rule.game, laid),
    )
    said = meaning(score, expected) if score else ""
    return GameNow(rule=rule, set_up=laid, expected=expected, score=score, meaning=said)


def _distances(game: Game, laid: SetUp) -> list[float] | None:
    """Distances to the hole of the places that are laid out; None for the usual ones."""
    if game not in (Game.NINE, Game.WORST):
        return None
    places = [sign for sign in laid.picture.signs if sign.kind == "station"]
    return [float(np.hypot(sign.x, sign.y)) for sign in places]


def score_now(
    drill: Drill,
    tries: Sequence[Try],
    *,
    player: str,
    keep: Path | None = None,
    drills: Sequence[Drill] = (),
    yardsticks: Yardsticks | None = None,
    note: str = "",
) -> DrillScore:
    """The score of a drill, now; with `keep` it is added to that file."""
    score = score_drill(
        drill,
        tries,
        id=uuid.uuid4().hex,
        at=datetime.now().astimezone().isoformat(timespec="seconds"),
        player=player,
        yardsticks=yardsticks,
        note=note,
    )
    if keep is not None:
        add_score(keep, score, drills)
    return score


def sticks_of(
    path: Path | None, drills: Sequence[Drill], player: str | None = None
) -> list[tuple[float, float]]:
    """(stick, carry) pairs [m] of a player in a file of scores; of everybody when none is named."""
    if path is None:
        return []
    scores = read_scores(path, drills)
    return [pair for one in scores if player in (None, one.player) for pair in one.sticks]


def next_circle(
    path: Path | None, drills: Sequence[Drill], drill: Drill, player: str | None = None
) -> float | None:
    """The radius [m] that the last score of this drill asks for, if any."""
    if path is None:
        return None
    scores = [s for s in read_scores(path, drills) if s.drill == drill.name and player in (None, s.player)]
    return scores[-1].next_size_m if scores else None
