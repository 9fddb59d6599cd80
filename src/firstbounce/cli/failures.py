"""From an error to one sentence for a person and an exit code for a script."""

from __future__ import annotations

import os
import sys

import click

from firstbounce.errors import (
    Cancelled,
    CannotEstimate,
    CannotPlan,
    FileFaults,
    FirstbounceError,
    ParameterError,
    StoreError,
    VideoError,
)

MOST_FAULTS = 50  #: printed of one file

EXIT_CODES = {
    0: "all went well",
    1: "a check failed, or no plan can be made",
    2: "the command was typed wrongly, or a value makes no sense",
    3: "a file has faults, or a clip cannot be used; nothing was read from it",
    4: "not enough balls or readings to say anything",
    5: "the records cannot be used as asked; nothing was written",
    70: "something unexpected went wrong in the program",
    130: "stopped by the person",
}
KINDS: tuple[tuple[type[BaseException], int], ...] = (
    (FileFaults, 3),
    (VideoError, 3),
    (CannotEstimate, 4),
    (CannotPlan, 1),
    (StoreError, 5),
    (ParameterError, 2),
    (Cancelled, 130),
    (KeyboardInterrupt, 130),
    (BrokenPipeError, 0),
    (OSError, 2),
)


def exit_code_of(error: BaseException) -> int:
    """The exit code that says what kind of failure it was."""
    return next((code for kind, code in KINDS if isinstance(error, kind)), 70)


def tell(error: BaseException) -> None:
    """Write what went wrong to stderr."""
    if isinstance(error, BrokenPipeError):
        # whoever read our output has gone; a second complaint at exit is of no use
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    elif isinstance(error, (Cancelled, KeyboardInterrupt)):
        click.echo("Stopped.", err=True)
    elif isinstance(error, FileFaults):
        click.echo(file_faults(error), err=True)
    elif isinstance(error, FirstbounceError):
        click.echo(f"Error: {error}", err=True)
    elif isinstance(error, OSError):
        name = f" {error.filename}" if error.filename else ""
        click.echo(f"Error: cannot use{name}: {error.strerror or error}.", err=True)
    else:
        click.echo(unexpected(error), err=True)


def file_faults(error: FileFaults) -> str:
    """The faults of a file, at most MOST_FAULTS of them."""
    many = "1 fault" if len(error.faults) == 1 else f"{len(error.faults)} faults"
    lines = [f"{error.path}: {many}, nothing was read."]
    lines += [f"  {fault}" for fault in error.faults[:MOST_FAULTS]]
    left = len(error.faults) - MOST_FAULTS
    if left > 0:
        lines.append(f"  and {left} more; mend these first")
    return "\n".join(lines)


def unexpected(error: BaseException) -> str:
    """Keep the whole story in a file and say where it is."""
    import tempfile
    import traceback

    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="firstbounce-report-", suffix=".txt", delete=False, encoding="utf-8"
        ) as report:
            report.write("".join(traceback.format_exception(error)))
        kept = f"a report is in {report.name}"
    except OSError:
        kept = "no report could be saved"
    return f"Error: something unexpected went wrong in the program; {kept} (or run again with --debug)."
