"""The commands. Nothing heavy is imported until a command needs it; see docs/cli.md."""


def main() -> None:
    """Run the command line and leave with its exit code."""
    from firstbounce.cli.app import app

    app(prog_name="firstbounce")
