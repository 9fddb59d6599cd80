"""Options that the verbs of `practice` share."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from firstbounce.cli.options import (
    FILE,
    balls_option,
    json_option,
    level_option,
    pictures_option,
    units_option,
)
from firstbounce.units import LengthUnit
from firstbounce.words import Fault

if TYPE_CHECKING:
    from firstbounce.practice.lengths import Yardsticks

own_option = click.option(
    "--drills",
    "own",
    type=FILE,
    help="A drill file of your own, beside the shipped drills (docs/practice.md).",
)
green_option = click.option("--green", type=FILE, help="green.toml: the player and today's green.")
hand_option = click.option("--hand", type=click.Choice(["right", "left"]), help="Right- or left-handed.")
pace_option = click.option("--pace", type=float, help="Length of one pace, metres.  [default: 0.9]")
shoe_option = click.option("--shoe", type=float, help="Length of one shoe, metres.  [default: 0.3]")
fault_option = click.option(
    "--fault",
    "faults",
    multiple=True,
    type=click.Choice([str(fault) for fault in Fault]),
    help="Fault to work on; may be given again.",
)

SET_UP = (
    own_option,
    green_option,
    balls_option,
    level_option,
    hand_option,
    pace_option,
    shoe_option,
    pictures_option,
    json_option,
    units_option,
)


def set_up_options(command: Callable[..., None]) -> Callable[..., None]:
    """What setting up for a player takes, in the order of the help."""
    for option in reversed(SET_UP):
        command = option(command)
    return command


def yardsticks_of(units: str, pace: float | None = None, shoe: float | None = None) -> Yardsticks:
    """What the coach measures with."""
    from firstbounce.practice.lengths import PACE_M, SHOE_M, Yardsticks

    return Yardsticks(
        unit=LengthUnit(units),
        pace_m=PACE_M if pace is None else pace,
        shoe_m=SHOE_M if shoe is None else shoe,
    )


STAGES = ("new move", "grooving", "testing", "pressure")
PLACES = ("green", "grass", "home")


def kit_of(words: str | None) -> tuple[str, ...]:
    """Equipment from words with commas between; everything when nothing is said."""
    from firstbounce.practice.drill import EQUIPMENT

    return EQUIPMENT if words is None else tuple(w for w in _listed(words) if w != "none")


def ground_of(words: str | None) -> tuple[str, ...]:
    """Ground from words with commas between."""
    return _listed(words or "")


def _listed(words: str) -> tuple[str, ...]:
    return tuple(word.strip().lower() for word in words.split(",") if word.strip())
