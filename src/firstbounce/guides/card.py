"""The pocket card: the chart on panels the size of a bank card, folded like a concertina, both units."""

from __future__ import annotations

from collections.abc import Callable

from firstbounce.errors import ParameterError
from firstbounce.guides.blocks import Beside, Block, Box, Cell, Fold, Points, Table, Tone, Words, heads
from firstbounce.guides.content import Content
from firstbounce.guides.lengths import Lengths
from firstbounce.guides.parts import CAUTIONS, single_steps
from firstbounce.guides.template import Part, Template
from firstbounce.planning.chart import Chart, ChartRow
from firstbounce.units import LengthUnit

WIDE_MM, HIGH_MM = 86.0, 54.0  #: a bank card [mm], ISO/IEC 7810 ID-1 rounded up
MOST_CARRIES = 5
HOW_TO_FOLD = (
    "Print at full size, not fitted to the page.",
    "Cut along the outer line.",
    "Fold along the dashed lines, to and fro like a concertina.",
    "It is now as large as a bank card.",
)
WIDTHS = (1.25, 1.0, 1.0, 1.0, 1.0, 1.0)  #: of the club and up to five carries
GUESS = "*"  #: marks a run that is little more than a guess


def card_blocks(template: Template, content: Content) -> tuple[Block, ...]:
    """The card to cut out, and what it rests on."""
    charted = content.charted
    if charted is None:
        raise ParameterError("A pocket card is the chart; it needs a green file.")
    panels = tuple(PANELS[part.show](part, content) for part in template.parts)
    names = tuple(part.heading or part.show for part in template.parts)
    fold = Fold(panels=panels, names=names, width_mm=WIDE_MM, height_mm=HIGH_MM)
    how = Box(title="How to fold it", blocks=(Points(HOW_TO_FOLD, numbered=True),))
    basis = (Words(content.basis.words()), Words(content.lengths.pace_words()))
    around = (how, Box(title="What it rests on", blocks=basis))
    care = Box(title="Before you practise", blocks=(Points(CAUTIONS[:3]),), strong=True)
    return (Beside(left=(fold,), right=(*around, care), left_mm=WIDE_MM),)


def cover(part: Part, content: Content) -> tuple[Block, ...]:
    """Whose card, for which green."""
    title = part.heading or f"Carry and run: {content.names()['player']}"
    told = (
        "Each number is how far the ball runs after it lands, on average, on a level green. "
        "In brackets: the same in paces."
    )
    by = (Words(content.coach.name, Tone.SMALL),) if content.coach.name else ()
    return (Words(title, Tone.LEAD), Words(told), Words(content.basis.words(), Tone.SMALL), *by)


def metres(part: Part, content: Content) -> tuple[Block, ...]:
    """The chart in metres."""
    return _chart_panel(part, content, LengthUnit.METRES)


def yards(part: Part, content: Content) -> tuple[Block, ...]:
    """The chart in yards."""
    return _chart_panel(part, content, LengthUnit.YARDS)


def _chart_panel(part: Part, content: Content, unit: LengthUnit) -> tuple[Block, ...]:
    charted = content.charted
    assert charted is not None
    lengths = Lengths(unit=unit, pace_m=content.lengths.pace_m)
    table = card_table(charted.chart, lengths)
    guessed = any(GUESS in line for row in table.rows for cell in row for line in cell)
    single = single_steps(charted.chart, lengths)
    small = f"{unit.capitalize()}, (paces). Single balls: within {single}, nine in ten."
    return (table, Words(small + (f" {GUESS} a rough guess." if guessed else ""), Tone.SMALL))


def card_table(chart: Chart, lengths: Lengths) -> Table:
    """Clubs by carries, the run and its paces on one line."""
    carries = thinned(sorted({row.carry_m for row in chart.rows}))
    clubs = list(dict.fromkeys(row.club for row in chart.rows))
    by_place = {(row.club, row.carry_m): row for row in chart.rows}
    rows = tuple(
        ((club,), *(_cell(by_place.get((club, carry)), lengths) for carry in carries)) for club in clubs
    )
    head = heads(f"Carry, {lengths.unit}", *(_bare(carry, lengths) for carry in carries))
    return Table(
        head=head,
        rows=rows,
        label=f"Run of each club by carry, {lengths.unit}",
        compact=True,
        widths=WIDTHS[: len(head)],
    )


def thinned(carries: list[float]) -> list[float]:
    """At most five carries, the shortest and the longest among them."""
    if len(carries) <= MOST_CARRIES:
        return carries
    return [carries[round(k * (len(carries) - 1) / (MOST_CARRIES - 1))] for k in range(MOST_CARRIES)]


def _cell(row: ChartRow | None, lengths: Lengths) -> Cell:
    if row is None:
        return ("–",)
    guess = GUESS if lengths.steps(row.run_m) == "a rough guess" else ""
    return (f"{_bare(row.run_m.value, lengths)} ({_bare_paces(row.run_m.value, lengths)}){guess}",)


def _bare(length_m: float, lengths: Lengths) -> str:
    """The number of `Lengths.far` without its unit."""
    return lengths.far(length_m).split()[0]


def _bare_paces(length_m: float, lengths: Lengths) -> str:
    said = lengths.paces(length_m)
    return "½" if said.startswith("half") else said.split()[0]


def steps(part: Part, content: Content) -> tuple[Block, ...]:
    """How to choose, in order."""
    words = part.words or ("Pace the carry, pace the run, take the club that runs that far.",)
    return (Words(part.heading or "Choose the landing spot", Tone.LEAD), Points(words, numbered=True))


PANELS: dict[str, Callable[[Part, Content], tuple[Block, ...]]] = {
    "cover": cover,
    "metres": metres,
    "yards": yards,
    "steps": steps,
}
