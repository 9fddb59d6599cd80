"""`firstbounce practice games`: challenge games, what to expect, and what a score means."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.options import balls_option, json_option, level_option, pictures_option, units_option
from firstbounce.cli.practice_options import green_option, hand_option, yardsticks_of
from firstbounce.cli.words import echo_json
from firstbounce.words import Level

if TYPE_CHECKING:
    from firstbounce.services.practice_session import GameNow


@click.command("games", short_help="Challenge games: rules, what to expect, what a score means.")
@click.argument("game", required=False)
@click.argument("entries", nargs=-1)
@green_option
@balls_option
@level_option
@hand_option
@pictures_option
@json_option
@units_option
def games_command(
    game: str | None,
    entries: tuple[str, ...],
    green: Path | None,
    balls: Path | None,
    level: str | None,
    hand: str | None,
    pictures: Path | None,
    as_json: bool,
    units: str,
) -> None:
    """List the games; explain GAME; or score it from ENTRIES, one for each hole or ball.

    Examples:  firstbounce practice games "up-and-down nine" 2 3 2 2 4 3 2 3 2
               firstbounce practice games "call the run" 6/7 5/5 8/10 6/6 7/9 4/4 9/8 6/5 7/7 5/6
    """
    from firstbounce.players.player import Hand
    from firstbounce.practice.games import RULES
    from firstbounce.services.pictures import save_pictures
    from firstbounce.services.practice import player_now, shipped_drills
    from firstbounce.services.practice_session import game_now

    if game is None:
        if as_json:
            echo_json(
                {"games": [{"game": str(r.game), "play": r.play, "entry": r.entry} for r in RULES.values()]}
            )
        else:
            click.echo("\n".join(f"{rule.game}: {rule.play}" for rule in RULES.values()))
        return
    now = player_now(
        green=green,
        balls=balls,
        level=Level(level) if level else None,
        hand=Hand(hand) if hand else None,
    )
    played = game_now(game, entries, shipped_drills(), now, yardsticks=yardsticks_of(units))
    if as_json:
        echo_json(shape(played))
    else:
        click.echo(told(played))
    if pictures:
        for path in save_pictures(pictures, {played.rule.game: played.set_up.drawing}):
            click.echo(f"Drawn: {path}", err=True)


def shape(played: GameNow) -> dict[str, Any]:
    """A game in JSON."""
    score = played.score
    return {
        "game": str(played.rule.game),
        "play": played.rule.play,
        "entry": played.rule.entry,
        "out_of": played.rule.of,
        "passes": played.rule.passes,
        "set_up": played.set_up.text,
        "caution": played.set_up.caution,
        "expected": played.expected.to_dict(),
        "score": None
        if score is None
        else {"points": score.points, "passed": score.passed, "strokes": score.strokes, "par": score.par},
        "meaning": played.meaning,
    }


def told(played: GameNow) -> str:
    """A game in words."""
    rule, expected, score = played.rule, played.expected, played.score
    lines = [f"{rule.game.capitalize()}: {rule.play}", f"  Set-up: {played.set_up.text}"]
    lines.append(
        f"  To expect ({expected.basis}): {expected.mean:.1f} of {rule.of} points, "
        f"nine games in ten {expected.low} to {expected.high}."
    )
    if expected.strokes is not None:
        lines.append(
            f"  Strokes: {expected.strokes:.1f}, nine games in ten "
            f"{expected.strokes_low:.0f} to {expected.strokes_high:.0f}."
        )
    if score is not None:
        strokes = f", {score.strokes} strokes against {score.par}" if score.strokes is not None else ""
        lines.append(
            f"  Scored: {score.points} of {score.of}{strokes}, {'passed' if score.passed else 'not passed'}."
        )
        lines.append(f"  {played.meaning}")
    else:
        lines.append(f"  Write down: {rule.entry}.")
    return "\n".join([*lines, f"  Caution: {played.set_up.caution}"])
