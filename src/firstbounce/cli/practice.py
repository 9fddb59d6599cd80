"""`firstbounce practice`: the drills, a drill set up for one player, sessions, games and scores."""

from __future__ import annotations

import importlib

import click

COMMANDS = {
    "list": "practice_show",
    "show": "practice_show",
    "build": "practice_build",
    "score": "practice_score",
    "games": "practice_games",
}


class Verbs(click.Group):
    """Subcommands, loaded when named."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"firstbounce.cli.{COMMANDS[cmd_name]}")
        command: click.Command = getattr(module, f"{cmd_name}_command")
        return command


@click.command(
    "practice",
    cls=Verbs,
    invoke_without_command=True,
    short_help="Drills, sessions, games and scores for one player.",
)
@click.pass_context
def command(ctx: click.Context) -> None:
    """Drills with set-ups for one player, sessions built from them, games, and scores.

    Without a verb the drills are listed. Each verb takes --json.

    Example:  firstbounce practice build --minutes 45 --ball-count 80 --fault heavy --with towel,rope
    """
    if ctx.invoked_subcommand is None:
        from firstbounce.cli.practice_show import list_command

        ctx.invoke(list_command)
