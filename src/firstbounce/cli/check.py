"""`firstbounce check`: our numbers beside published and independent ones."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.options import json_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json, table

if TYPE_CHECKING:
    from firstbounce.checks.case import CheckResult

HEAD = ("what", "outside", "ours", "difference", "allowed", "source", "seen", "result")


@click.command("check", short_help="Compare with published and independent values.")
@json_option
def command(as_json: bool) -> None:
    """Compute published and independent cases and print ours beside them. Exit code 1 when one fails.

    Each row says how the outside value was come by: read in the source, from memory of it, common practice,
    an identity of an equation, or an independent program.

    Example:  firstbounce check
    """
    from firstbounce.checks.run import run_all

    with Progress("Checking") as progress:
        results = run_all(lambda done, total: progress(done / total))
    if as_json:
        echo_json({"checks": [shape(result) for result in results]})
    else:
        click.echo(told(results))
    if any(result.passed is False for result in results):
        sys.exit(1)


def told(results: list[CheckResult]) -> str:
    """A table for each field, and the count."""
    parts = []
    for field in dict.fromkeys(result.field for result in results):
        rows = [result.row() for result in results if result.field == field]
        parts.append(f"{field}\n{table(HEAD, rows, left=len(HEAD))}")
    passed = sum(result.passed is True for result in results)
    failed = sum(result.passed is False for result in results)
    skipped = len(results) - passed - failed
    needs = f", {skipped} not run (they need a development package)" if skipped else ""
    return "\n\n".join([*parts, f"{passed} of {len(results)} passed, {failed} failed{needs}."])


def shape(result: CheckResult) -> dict[str, Any]:
    """One check for `--json`."""
    return {
        "field": result.field,
        "what": result.what,
        "unit": result.unit,
        "published_low": result.published_low,
        "published_high": result.published_high,
        "ours": result.ours,
        "difference": result.difference,
        "tolerance": result.tolerance,
        "source": result.source,
        "tag": str(result.tag),
        "passed": result.passed,
    }
