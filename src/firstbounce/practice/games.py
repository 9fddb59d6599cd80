"""Challenge games, scored by rule: what is written down, checked, and counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from firstbounce.errors import ParameterError

CALL_WITHIN = 0.2  #: a run is called when it is within this share of the run
MOST_STROKES = 12  #: written down for one hole; more is picked up
LONGEST_RUN_M = 60.0


class Game(StrEnum):
    """The games."""

    NINE = "up-and-down nine"
    WORST = "worst of two"
    ONE = "the one that counts"
    CALL = "call the run"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """How a game is played and counted."""

    game: Game
    drill: str  #: of the catalogue, for its set-up
    of: int  #: successes that there can be
    passes: int
    entry: str  #: what is written down for each
    play: str


RULES: dict[Game, Rule] = {
    Game.NINE: Rule(
        game=Game.NINE,
        drill="Up-and-down nine",
        of=9,
        passes=3,
        entry="strokes of each of nine holes",
        play=(
            "Nine places round the green, one ball: chip or pitch, then putt out. "
            "One point for two strokes or fewer."
        ),
    ),
    Game.WORST: Rule(
        game=Game.WORST,
        drill="Worst of two",
        of=6,
        passes=3,
        entry="strokes of each of six holes",
        play=(
            "Six places. Two balls each stroke, go on from the worse one, putt out. "
            "One point for three or fewer."
        ),
    ),
    Game.ONE: Rule(
        game=Game.ONE,
        drill="The one that counts",
        of=5,
        passes=3,
        entry="in or out, for each of five balls that count",
        play=(
            "Three balls to warm up, then one that counts, five times. "
            "One point for each that lands in the circle."
        ),
    ),
    Game.CALL: Rule(
        game=Game.CALL,
        drill="Call the run",
        of=10,
        passes=6,
        entry="run called and run paced, for each of ten balls",
        play=(
            "Say how far the ball will run after it lands, then hit. "
            "One point when the call is within a fifth of the run."
        ),
    ),
}
IN_WORDS = {"in": True, "yes": True, "1": True, "out": False, "no": False, "0": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class GameScore:
    """A game as it was played."""

    game: Game
    points: int
    of: int
    passed: bool
    strokes: int | None = None  #: of all holes together
    par: int | None = None  #: two strokes a hole


def rule_of(name: str) -> Rule:
    """The rule of a game by its name. ParameterError names those there are."""
    wanted = name.strip().lower()
    for game, rule in RULES.items():
        if wanted == game:
            return rule
    raise ParameterError(f"No game called {name!r}; there are {', '.join(Game)}.")


def score_game(game: Game, entries: Sequence[str]) -> GameScore:
    """The score from what was written down, one text a hole or ball. ParameterError says which is wrong."""
    rule = RULES[game]
    if len(entries) != rule.of:
        raise ParameterError(
            f"{game.capitalize()} needs {rule.entry}: {rule.of} entries, got {len(entries)}."
        )
    if game in (Game.NINE, Game.WORST):
        return _by_strokes(rule, [_strokes(i, text) for i, text in enumerate(entries, 1)])
    hits = [_in(i, text) if game is Game.ONE else _called(i, text) for i, text in enumerate(entries, 1)]
    points = sum(hits)
    return GameScore(game=game, points=points, of=rule.of, passed=points >= rule.passes)


def _by_strokes(rule: Rule, strokes: Sequence[int]) -> GameScore:
    most = 2 if rule.game is Game.NINE else 3
    points = sum(count <= most for count in strokes)
    return GameScore(
        game=rule.game,
        points=points,
        of=rule.of,
        passed=points >= rule.passes,
        strokes=sum(strokes),
        par=2 * rule.of if rule.game is Game.NINE else 3 * rule.of,
    )


def _strokes(number: int, text: str) -> int:
    if not text.strip().isdigit() or not 1 <= int(text) <= MOST_STROKES:
        raise ParameterError(
            f"Hole {number}: strokes must be a whole number 1 to {MOST_STROKES}, got {text!r}."
        )
    return int(text)


def _in(number: int, text: str) -> bool:
    if text.strip().lower() not in IN_WORDS:
        raise ParameterError(f"Ball {number}: write in or out, got {text!r}.")
    return IN_WORDS[text.strip().lower()]


def _called(number: int, text: str) -> bool:
    """Whether the run was called: "6/7" is called 6, ran 7, in one unit."""
    parts = text.split("/")
    try:
        called, ran = (float(part) for part in parts)
    except ValueError:
        raise ParameterError(
            f"Ball {number}: write called and paced run with a stroke between, such as 6/7, got {text!r}."
        ) from None
    if not (0 <= called <= LONGEST_RUN_M and 0 < ran <= LONGEST_RUN_M):
        raise ParameterError(f"Ball {number}: runs must be above 0 up to {LONGEST_RUN_M:g}, got {text!r}.")
    return abs(called - ran) <= CALL_WITHIN * ran + 1e-9
