"""`firstbounce demo`: the main job on files that come with the program."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import FILE, json_option, units_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json
from firstbounce.units import Lengths, LengthUnit

if TYPE_CHECKING:
    from firstbounce.services.demo import Demo

FOLDER = Path("demo-output")


@click.command("demo", short_help="The main job on demo files, with pictures.")
@click.option("--folder", type=FILE, default=FOLDER, show_default=True, help="Folder to write to.")
@json_option
@units_option
def command(folder: Path, as_json: bool, units: str) -> None:
    """Learn from a few invented balls, plan three stations and draw the pictures.

    The green, the player and the balls are invented. The first run prepares the calculation and takes
    about a minute; later runs take seconds.

    Example:  firstbounce demo
    """
    from firstbounce.services.demo import run_demo

    with Progress("Demo") as progress:
        demo = run_demo(folder, unit=LengthUnit(units), progress=progress)
    summary = told(demo, Lengths(units))
    (folder / "summary.txt").write_text(summary + "\n", encoding="utf-8", newline="\n")
    if as_json:
        echo_json(shape(demo))
        return
    click.echo(summary)
    click.echo(
        f"\nWritten to {folder}: the inputs, this text (summary.txt) and {len(demo.pictures)} pictures."
    )
    click.echo(f"Look at {demo.look_at}.")
    click.echo(f"Next: change {folder / 'green.toml'} to your green and try")
    click.echo(f"  firstbounce plan {folder / 'green.toml'} --balls {folder / 'balls.csv'}")


def told(demo: Demo, lengths: Lengths) -> str:
    """The whole demo in words."""
    from firstbounce.cli.fit import told as fit_told
    from firstbounce.cli.plan import told as plan_told

    n = demo.fitted.fit.n_balls
    name = demo.day.file.green.name
    parts = [f"{name}, player {demo.day.player.name}: everyone and everything here is invented."]
    parts.append(fit_told(demo.fitted, lengths, n))
    parts += [plan_told(plan, lengths) for plan in demo.plans]
    return "\n\n".join(parts)


def shape(demo: Demo) -> dict[str, object]:
    """The shape of `demo --json`."""
    return {
        "folder": str(demo.folder),
        "fit": demo.fitted.to_dict(),
        "plans": [plan.to_dict() for plan in demo.plans],
        "pictures": [str(path) for path in demo.pictures],
    }
