"""From a drill's marks, with this player's lengths, to the drawing of its set-up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from firstbounce.pictures.figure import Figure
from firstbounce.pictures.setup import SetUpPicture
from firstbounce.pictures.setup_signs import Sign
from firstbounce.pictures.text import METRES, YARDS
from firstbounce.practice.drill import Drill, SetUpMark
from firstbounce.practice.lengths import Yardsticks, fill, length_of
from firstbounce.units import LengthUnit

NEAR_M = 1.7  #: signs within this of the ball are drawn close up [m]
FEET_X_M = -0.45  #: of a right-handed player, from the ball [m]
NOT_TOLD = ("ball", "flight", "patch", "line", "way", "feet")  #: signs whose distance is not written
SAID = {
    "ball": "the ball",
    "hole": "the hole",
    "spot": "the landing spot",
    "circle": "the landing circle",
    "stick": "the stick",
    "tee": "a tee",
    "line": "a line",
    "strip": "a strip",
    "towel": "the towel",
    "patch": "a patch",
    "stand": "the lead foot",
    "cone": "a cone",
    "station": "a place to play from",
}


def sheet_of(
    drill: Drill, lengths: Mapping[str, float], yardsticks: Yardsticks, *, left_handed: bool, note: str
) -> SetUpPicture:
    """The drawing of one drill."""
    signs = [_sign(mark, lengths, yardsticks, left_handed) for mark in drill.marks]
    near = [sign for sign in signs if sign.kind != "hole" and _reach(sign) < NEAR_M]
    far = [sign for sign in signs if sign not in near]
    balls = [sign for sign in near if sign.kind == "ball"]
    close_up = [sign for sign in near if sign.kind not in ("ball", "patch")]
    if far:
        far = [*(s for s in near if s.kind in ("ball", "patch")), *_flights(balls, far), *far]
    feet_m = -FEET_X_M if left_handed else FEET_X_M
    if close_up and not any(sign.kind == "stand" for sign in close_up):
        close_up = [Sign(kind="feet", x=feet_m), *close_up]
    return SetUpPicture(
        title=f"{drill.number}. {drill.name}",
        signs=tuple(far),
        near=(*close_up, *balls) if close_up else (),
        figure=_figure(drill, lengths, left_handed),
        note=note,
        measure=YARDS if yardsticks.unit is LengthUnit.YARDS else METRES,
    )


def _figure(drill: Drill, lengths: Mapping[str, float], left_handed: bool) -> Figure | None:
    if not drill.figure:
        return None
    return Figure(
        shows=drill.figure,
        words=drill.figure_words,
        stick_m=lengths.get("stick", 0.75),
        mirrored=left_handed,
    )


def _sign(mark: SetUpMark, lengths: Mapping[str, float], yardsticks: Yardsticks, left_handed: bool) -> Sign:
    x, y, to_x, to_y, size = (length_of(length, lengths) for length in mark.lengths())
    side = -1.0 if left_handed else 1.0
    sign = Sign(kind=mark.kind, x=side * x, y=y, to_x=side * to_x, to_y=to_y, size=size, ground=mark.ground)
    words = fill(mark.words, lengths, yardsticks, short=True)
    far = _reach(sign) >= NEAR_M
    away = yardsticks.laid(_distance(sign)) if far and mark.kind not in NOT_TOLD else None
    lines = tuple(line for line in (words, away.steps if away else "") if line)
    return replace(sign, lines=lines, said=_said(sign, words, away.words if away else ""))


def _distance(sign: Sign) -> float:
    """From the ball, or the hole of a drill without a ball; of a strip to its middle [m]."""
    if sign.kind == "strip":
        return math.hypot((sign.x + sign.to_x) / 2, (sign.y + sign.to_y) / 2)
    return math.hypot(sign.x, sign.y)


def _reach(sign: Sign) -> float:
    return max(_distance(sign), math.hypot(sign.to_x, sign.to_y))


def _said(sign: Sign, words: str, away: str) -> str:
    """One sign in words: what, its own words, how far, which side."""
    name = SAID.get(sign.kind, sign.kind)
    side = "to the right" if sign.x > 0.02 else "to the left" if sign.x < -0.02 else ""
    if sign.kind in ("line", "strip", "station"):
        side = ""
    return ", ".join(part for part in (name, words, away, side) if part)


def _flights(balls: list[Sign], far: list[Sign]) -> list[Sign]:
    """A dashed line from each ball to where it should land, or to the farthest sign."""
    targets = [sign for sign in far if sign.kind in ("spot", "circle", "patch")]
    if not targets:
        targets = sorted(far, key=_distance)[-1:]
    return [
        Sign(kind="flight", x=ball.x, y=ball.y, to_x=_middle(target)[0], to_y=_middle(target)[1])
        for ball in balls
        for target in targets
    ]


def _middle(sign: Sign) -> tuple[float, float]:
    if sign.kind == "strip":
        return ((sign.x + sign.to_x) / 2, (sign.y + sign.to_y) / 2)
    return (sign.x, sign.y)
