"""The commands. Nothing heavy is imported until a command needs it; see docs/cli.md."""

import sys

STOPPED = 130  #: exit code of a run that the person stopped


def main() -> None:
    """Run the command line and leave with its exit code."""
    try:
        from firstbounce.cli.app import app

        app(prog_name="firstbounce")
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        sys.exit(STOPPED)
