"""The group of commands, and what happens when one fails: a person never meets a traceback."""

from __future__ import annotations

import importlib
import sys

import click

from firstbounce import __version__
from firstbounce.cli.failures import EXIT_CODES, exit_code_of, tell

COMMANDS = (
    "demo",
    "serve",
    "plan",
    "chart",
    "fit",
    "review",
    "progress",
    "practice",
    "guide",
    "play",
    "watch",
    "check",
    "backup",
    "restore",
    "export",
    "import",
    "erase",
)
MODULES = {"progress": "weeks", "import": "bring"}  #: module of a command that does not bear its name


class Commands(click.Group):
    """Subcommands, one module each, loaded when named; failures become sentences and exit codes."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = MODULES.get(cmd_name, cmd_name)
        command: click.Command = importlib.import_module(f"firstbounce.cli.{module}").command
        return command

    def invoke(self, ctx: click.Context) -> object:
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except (Exception, KeyboardInterrupt) as error:
            if ctx.params.get("debug") and not isinstance(error, KeyboardInterrupt):
                raise
            tell(error)
            sys.exit(exit_code_of(error))


@click.command(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="\b\nExit codes:\n" + "\n".join(f"  {code:<3} {said}" for code, said in EXIT_CODES.items()),
)
@click.option("--debug", is_flag=True, help="Show everything when something unexpected goes wrong.")
@click.version_option(__version__, prog_name="firstbounce", message="%(prog)s %(version)s")
def app(debug: bool) -> None:
    """Which club, which landing spot: chips and pitches on today's green, for one player.

    Describe the green in a file green.toml, log balls in a file balls.csv (docs/files.md), and ask.
    Start with:  firstbounce demo
    """
