"""The stations of a group from above: one hitting line, one direction, where the others wait."""

from __future__ import annotations

from firstbounce.pictures.setup import SetUpPicture
from firstbounce.pictures.setup_signs import Sign
from firstbounce.pictures.text import METRES, YARDS
from firstbounce.practice.group import Group
from firstbounce.practice.lengths import Yardsticks
from firstbounce.units import LengthUnit

ARROW_M = 5.0  #: length of the arrow of the hitting direction


def group_picture(group: Group, yardsticks: Yardsticks) -> SetUpPicture:
    """The drawing of the stations."""
    half, end = group.spacing_m / 2, group.stations[-1].x_m
    spacing, behind = yardsticks.laid(group.spacing_m), yardsticks.laid(group.behind_m)
    signs = [
        Sign(kind="line", x=-half, to_x=end + half, said=f"the hitting line, stations {spacing.words} apart"),
        Sign(
            kind="flight",
            x=-half,
            y=-group.behind_m,
            to_x=end + half,
            to_y=-group.behind_m,
            lines=("the others wait here",),
            said=f"a line {behind.words} behind it, where the others wait",
        ),
        Sign(
            kind="cone",
            x=end + group.spacing_m,
            lines=("coach",),
            said=f"the coach, {spacing.words} beyond the last station",
        ),
    ]
    for station in group.stations:
        x, name = station.x_m, station.slot.drill.name
        signs += [
            Sign(kind="way", x=x, y=0.8, to_x=x, to_y=ARROW_M),
            Sign(kind="station", x=x, lines=(str(station.number),), said=f"station {station.number}, {name}"),
        ]
    names = ", ".join(f"{one.number} {one.slot.drill.name}" for one in group.stations)
    return SetUpPicture(
        title=f"Stations for {group.players} players",
        signs=tuple(signs),
        note=f"{names}. Stations {spacing.words} apart, all hit the same way; "
        f"the others wait {behind.words} behind.",
        measure=YARDS if yardsticks.unit is LengthUnit.YARDS else METRES,
    )
