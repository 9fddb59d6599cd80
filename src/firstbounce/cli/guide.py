"""`firstbounce guide`: what a player takes home, printed and for the phone."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.options import FILE, balls_option, json_option, level_option
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json
from firstbounce.units import LengthUnit
from firstbounce.words import Fault

if TYPE_CHECKING:
    from firstbounce.services.clinic import Written
    from firstbounce.services.guide import Ask

KINDS = ("player guide", "general guide", "log sheet", "pocket card")
PAPERS = ("a4", "us-letter")


@click.command("guide", short_help="A guide to take home: PDF and a page for phones.")
@click.argument("file", type=FILE, required=False)
@click.option("--kind", type=click.Choice(KINDS), help="What to hand out.  [default: player guide]")
@click.option("--green", type=FILE, help="File of the green, green.toml.")
@balls_option
@click.option("--station", help="Name of one station of the file; the first when left out.")
@click.option("--drill", "drills", multiple=True, help="A drill by name or number; may be repeated.")
@click.option(
    "--fault", "faults", type=click.Choice([str(one) for one in Fault]), multiple=True, help="Drills for it."
)
@click.option("--drills", "own_drills", type=FILE, help="A drill file of your own beside the shipped one.")
@click.option("--coach", type=FILE, help="Your name, contact line, colour and logo, coach.toml.")
@click.option("--player", help="Name on the guide.")
@level_option
@click.option("--hand", type=click.Choice(("right", "left")), help="Which way round the player stands.")
@click.option("--saw", multiple=True, help="Something that you saw; may be repeated.")
@click.option("--aim", help="The one aim.")
@click.option("--goal", help="The next goal.")
@click.option("--theme", help="Title of a general guide.")
@click.option("--link", help="Web address of this guide, printed as a code for the phone.")
@click.option("--template", type=FILE, help="A template of your own (docs/guides.md).")
@click.option("--fonts", type=FILE, help="Folder with more fonts, for letters that ours lack.")
@click.option("--paper", type=click.Choice(PAPERS), help="Paper.  [default: a4]")
@click.option("--units", type=click.Choice([str(unit) for unit in LengthUnit]), help="Lengths.")
@click.option("--folder", type=FILE, default=Path("guides"), show_default=True, help="Folder to write to.")
@json_option
def command(file: Path | None, folder: Path, as_json: bool, coach: Path | None, **given: Any) -> None:
    """Make a guide from a green, balls and your words; or all the guides that FILE, a guide.toml, asks for.

    Each guide is written twice: as PDF to print, and as HTML page for a phone, with the same words.

    Example:  firstbounce guide --green green.toml --balls balls.csv --drill "Landing circle"

    Example:  firstbounce guide --kind "log sheet" --green green.toml --station Gate --paper us-letter

    Example:  firstbounce guide clinic.toml --folder clinic
    """
    from firstbounce.services.clinic import make_all

    asks = asked(file, coach, given)
    with Progress(f"Making {len(asks)} guide{'' if len(asks) == 1 else 's'}") as progress:
        made = make_all(asks, folder, progress=progress)
    if as_json:
        echo_json({"guides": [one.to_dict() for one in made]})
    else:
        click.echo(told(made))
    if any(one.problem for one in made):
        sys.exit(1)


def asked(file: Path | None, coach: Path | None, given: dict[str, Any]) -> tuple[Ask, ...]:
    """What the file and the options ask for; an option wins over the file."""
    from dataclasses import replace

    from firstbounce.guides.blocks import Kind, Paper
    from firstbounce.players.player import Hand
    from firstbounce.services.guide import Ask
    from firstbounce.services.guide_file import read_coach, read_guides
    from firstbounce.words import Level

    who = read_coach(coach) if coach else None
    asks = read_guides(file, who) if file else (Ask(coach=who) if who else Ask(),)
    words = {"kind": Kind, "paper": Paper, "hand": Hand, "level": Level, "units": LengthUnit}
    said = {key: value for key, value in given.items() if value not in (None, ())}
    lesson = {key: said.pop(key) for key in ("saw", "aim", "goal") if key in said}
    changes: dict[str, Any] = {
        key: words[key](value) if key in words else value for key, value in said.items()
    }
    if "units" in changes:
        changes["unit"] = changes.pop("units")
    changes["faults"] = tuple(Fault(one) for one in said.get("faults", ()))
    if not changes["faults"]:
        del changes["faults"]
    return tuple(replace(ask, lesson=replace(ask.lesson, **lesson), **changes) for ask in asks)


def told(made: list[Written]) -> str:
    """What was written, and what was not and why."""
    good = [one for one in made if not one.problem]
    lines = [f"wrote {one.pdf} and {one.page}" for one in good]
    lines += [f"not made: {one.name}: {one.problem}" for one in made if one.problem]
    if len(made) > 1:
        lines.append(f"{len(good)} of {len(made)} guides made.")
    return "\n".join(lines)
