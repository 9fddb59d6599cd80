"""A usual green, for a guide when no green is known: level, nothing measured, a ball before its edge."""

from __future__ import annotations

import datetime
import math

from firstbounce.files.green_shape import Green, GreenFile, StationGiven, Today
from firstbounce.guides.lengths import Lengths
from firstbounce.services.day import Day, day_of
from firstbounce.words import TurfKind

NAME = "a usual green"
TO_EDGE_M, EDGE_TO_HOLE_M = 5.0, 10.0  #: ball to the edge, edge to the hole: a common chip, a choice [m]
HALF_WIDE_M, HALF_LONG_M = 11.0, 10.0  #: of the oval green, a choice [m]
CORNERS = 24
NO_DATE = datetime.date(2000, 1, 1)  #: a file has a date; nothing of this green is of any day


def usual_day() -> Day:
    """The day of the usual green with its one station; speed, firmness and air are what is usual."""
    middle = TO_EDGE_M + HALF_LONG_M
    turns = (2 * math.pi * k / CORNERS for k in range(CORNERS))
    outline = tuple(
        (round(HALF_WIDE_M * math.sin(turn), 2), round(middle - HALF_LONG_M * math.cos(turn), 2))
        for turn in turns
    )
    station = StationGiven(name=NAME, start=(0.0, 0.0), hole=(0.0, TO_EDGE_M + EDGE_TO_HOLE_M))
    green = Green(name=NAME, outline=outline, fringe_m=1.0, around=TurfKind.FAIRWAY)
    return day_of(GreenFile(format=1, green=green, today=Today(date=NO_DATE), station=(station,)), NAME)


def usual_words(lengths: Lengths) -> str:
    """What green the numbers are for, said to the player."""
    to_edge, on = lengths.paces(TO_EDGE_M), lengths.paces(EDGE_TO_HOLE_M)
    return f"A usual green, not yours: level, {to_edge} from ball to edge, {on} from edge to hole."
