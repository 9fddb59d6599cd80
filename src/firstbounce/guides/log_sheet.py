"""The log sheet: one station, two windows to scale, rows for twenty balls, to be typed in later."""

from __future__ import annotations

import math

from firstbounce.errors import ParameterError
from firstbounce.guides.blocks import Beside, Block, Paper, Picture, Table, Tone, Words, heads
from firstbounce.guides.content import Content
from firstbounce.guides.parts import CAUTIONS, Maker
from firstbounce.guides.template import Part
from firstbounce.guides.windows import SIDE_MM, Window, hole_window, landing_window, window_picture
from firstbounce.words import Station

BALLS = 20
ROW_MM = {Paper.A4: 5.6, Paper.LETTER: 4.6}  #: room for one line of pencil [mm]


def station(part: Part, content: Content) -> tuple[Block, ...]:
    """Where to stand, how far it is, what is known of the day, and what to write down."""
    where = _station(content)
    way = content.lengths.both(math.dist(where.start, where.hole))
    told = f"Ball to hole: {way}. Lie: {where.lie.kind}{', wet' if where.lie.wet else ''}."
    spot = spot_m(content)
    if spot:
        told += f" Landing spot: {content.lengths.both(spot)} from the ball."
    fields = Table(
        head=heads("Date", "Green speed", "Firm or soft", "Wet or dry", "Wind", "Hit by"),
        rows=((("",),) * 6,),
        label="The day",
        row_mm=6.5,
        compact=True,
    )
    return (Words(told), fields)


def windows(part: Part, content: Content) -> tuple[Block, ...]:
    """The two windows beside each other."""
    unit = content.lengths.unit
    circle = content.shot.plan.first.circle if content.shot else None
    landing = landing_window(unit, circle.radius_m if circle and _is_spot_of_plan(content) else 0.0)
    return (Beside(left=_drawn(landing), right=_drawn(hole_window(unit)), share=0.5),)


def _drawn(window: Window) -> tuple[Block, ...]:
    picture = window_picture(window)
    caption = f"{window.title}. {window.scale_words}. Write the number of the ball."
    return (Picture(svg=picture.svg, alt=picture.alt, caption=caption, width_mm=SIDE_MM),)


def rows(part: Part, content: Content) -> tuple[Block, ...]:
    """A row a ball, in the columns that balls.csv knows."""
    head = heads(
        "Ball", "Club", "Landed in circle", "Carry", "Right or left", "Run", "Right or left", "Strike"
    )
    table = Table(
        head=head,
        rows=tuple(((str(ball + 1),), *((("",),) * (len(head) - 1))) for ball in range(BALLS)),
        label="Twenty balls",
        row_mm=ROW_MM[content.paper],
        widths=(0.6, 1.0, 1.2, 1.0, 1.1, 1.0, 1.1, 1.5),
        compact=True,
    )
    small = (
        "Carry: from the ball to where it landed; run: on from there to where it stopped, both in paces. "
        "Right or left of the line: in paces, R or L. Strike: clean, heavy, thin, toe, heel or shank. "
        f"{content.lengths.pace_words()}"
    )
    return (table, Words(small, Tone.SMALL))


def cautions(part: Part, content: Content) -> tuple[Block, ...]:
    """Local rules and medical advice, in one line."""
    return (Words(" ".join((*CAUTIONS[:3], *part.words)), Tone.SMALL),)


def spot_m(content: Content) -> float | None:
    """Ball to landing spot [m]: the coach's own, or the plan's; None when there is none."""
    where = _station(content)
    if where.landing_spot is not None:
        return math.dist(where.start, where.landing_spot)
    if content.shot and not content.shot.plan.first.is_putt:
        return content.shot.plan.first.carry_m.value
    return None


def _is_spot_of_plan(content: Content) -> bool:
    return _station(content).landing_spot is None


def _station(content: Content) -> Station:
    if content.station is None:
        raise ParameterError("A log sheet is for one station; name one of the green file (--station).")
    return content.station


ROWS_OF_SHEET: dict[str, Maker] = {
    "station": station,
    "windows": windows,
    "rows": rows,
    "cautions": cautions,
}
