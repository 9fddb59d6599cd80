"""Parts that guides are made of: from the answers of the program and the coach's words to blocks."""

from __future__ import annotations

import statistics
from collections.abc import Callable

from firstbounce.guides.blocks import (
    Beside,
    Block,
    Box,
    Cell,
    Fact,
    Facts,
    Heading,
    NewPage,
    Picture,
    Points,
    Table,
    Tone,
    Words,
    heads,
)
from firstbounce.guides.code import code_picture
from firstbounce.guides.content import Content
from firstbounce.guides.drill_page import drill_pages
from firstbounce.guides.lengths import Lengths
from firstbounce.guides.template import Part
from firstbounce.planning.chart import Chart, ChartRow
from firstbounce.planning.result import Choice
from firstbounce.planning.sentences import club_text
from firstbounce.units import out_of_ten

Maker = Callable[[Part, Content], tuple[Block, ...]]

CAUTIONS = (
    "Local rules, the club's policy and the greenkeeper's word come first.",
    "With pain, after an injury or an illness, ask your doctor or physiotherapist first. "
    "Stop when something hurts.",
    "Look all round before every swing. Nobody within 3 m of your club, nobody between you and the hole.",
    "Practise at the pace of the place: let others through, and mend your pitch marks.",
    "Take up ropes, sticks, towels and balls before you leave. Walk carefully: balls roll underfoot.",
    "In sun take water and shade; with thunder leave the green at once.",
)
WEEKS, DAYS = 3, 3
CODE_MM = 30.0  #: side of the code on paper [mm]


def saw(part: Part, content: Content) -> tuple[Block, ...]:
    """What the coach and the balls showed."""
    told = (*content.lesson.saw, *part.words)
    return (Box(title=part.heading or "What we saw", blocks=(Points(told),)),) if told else ()


def aim(part: Part, content: Content) -> tuple[Block, ...]:
    """The one aim."""
    return _sentence(part, content.lesson.aim, "Your one aim")


def goal(part: Part, content: Content) -> tuple[Block, ...]:
    """The next goal."""
    return _sentence(part, content.lesson.goal, "Your next goal")


def _sentence(part: Part, words: str, usual: str) -> tuple[Block, ...]:
    if not words:
        return ()
    more = tuple(Words(one) for one in part.words)
    return (Box(title=part.heading or usual, blocks=(Words(words, Tone.LEAD), *more), strong=True),)


def words(part: Part, content: Content) -> tuple[Block, ...]:
    """A box of the coach's own."""
    return (Box(title=part.heading or "From your coach", blocks=(Points(part.words),)),) if part.words else ()


def steps(part: Part, content: Content) -> tuple[Block, ...]:
    """What to do, in order."""
    if not part.words:
        return ()
    return (Box(title=part.heading or "Step by step", blocks=(Points(part.words, numbered=True),)),)


def shot(part: Part, content: Content) -> tuple[Block, ...]:
    """The plan of one station: one picture, one sentence, three numbers."""
    if content.shot is None:
        return ()
    plan = content.shot.plan
    choice = plan.first
    sentence = plan.warning if not plan.stops_on_green and plan.warning else plan.reason
    told: tuple[Block, ...] = (Words(sentence, Tone.LEAD), Facts(shot_facts(choice, content.lengths)))
    if choice.advice:
        told += (Words(choice.advice),)
    sure = {"sure": "This choice is sure.", "likely": "This choice is likely the best.", "hunch": "A hunch."}
    said = (sure[plan.certainty], content.shot.note, content.basis.words(), content.lengths.pace_words())
    small = " ".join(one for one in said if one)
    picture = Picture(svg=content.shot.picture.svg, alt=content.shot.picture.alt)
    heading = Heading(part.heading or f"Your shot: {plan.station.name}")
    return (heading, Beside(left=(picture,), right=(*told, Words(small, Tone.SMALL)), share=0.5))


def shot_facts(choice: Choice, lengths: Lengths) -> tuple[Fact, ...]:
    """Three numbers of a choice at most."""
    if choice.is_putt or choice.circle is None:
        length = choice.putt_length_m or 0.0
        return (
            Fact(label="As if the putt were", value=lengths.far(length), small=lengths.paces(length)),
            Fact(label="Up and down", value=out_of_ten(choice.up_and_down), small="of such balls"),
        )
    carry, run = choice.carry_m, choice.mean_run_m
    return (
        Fact(
            label="Carry",
            value=lengths.paces(carry.value),
            small=f"{lengths.far(carry.value)} to the landing spot",
        ),
        Fact(
            label="Run",
            value=lengths.paces(run.value),
            small=f"{lengths.far(run.value)}, {lengths.steps(run)} on average",
        ),
        Fact(
            label="Circle",
            value=lengths.near(choice.circle.radius_m),
            small="to each side: 7 of 10 clean strikes land in it",
        ),
    )


def chart(part: Part, content: Content) -> tuple[Block, ...]:
    """The chart of carry and run, as a table and as bars."""
    if content.charted is None:
        return ()
    charted, lengths = content.charted, content.lengths
    table = chart_table(charted.chart, lengths)
    single = single_steps(charted.chart, lengths)
    told = (
        "How far the ball runs after it lands, on average, on a level green: the length, the paces, and "
        "give or take how many steps. Uphill it runs less, downhill more."
    )
    around = f"Single balls: nine in ten stop within {single} of this."
    small = f"{content.basis.words()} {around} {lengths.pace_words()}"
    bars = Picture(svg=charted.picture.svg, alt=charted.picture.alt, width=0.66)
    heading = Heading(part.heading or "How far it carries, how far it runs")
    return (heading, Words(told), table, Words(small, Tone.SMALL), bars)


def chart_table(chart: Chart, lengths: Lengths) -> Table:
    """Clubs by carries: the run in the coach's unit, in paces, and give or take."""
    carries = sorted({row.carry_m for row in chart.rows})
    clubs = list(dict.fromkeys(row.club for row in chart.rows))
    by_place = {(row.club, row.carry_m): row for row in chart.rows}
    rows = tuple(
        (_club_cell(chart, club), *(run_cell(by_place.get((club, carry)), lengths) for carry in carries))
        for club in clubs
    )
    head = tuple((f"Carry {lengths.far(carry)}", lengths.paces(carry)) for carry in carries)
    return Table(
        head=(("Club",), *head),
        rows=rows,
        label="Run of each club by carry",
        widths=(1.3, *(1.0 for _ in carries)),
    )


def run_cell(row: ChartRow | None, lengths: Lengths) -> Cell:
    """The run of one club at one carry."""
    if row is None:
        return ("too far",)
    sure = lengths.steps(row.run_m).replace("half a step", "½").removesuffix("s").removesuffix(" step")
    return (lengths.far(row.run_m.value), lengths.paces(row.run_m.value), sure)


def _club_cell(chart: Chart, club: str) -> Cell:
    balls = next(row.balls for row in chart.rows if row.club == club)
    known = "1 ball of yours" if balls == 1 else f"{balls} balls of yours" if balls else "no balls yet"
    name = club_text(club)
    return (name[0].upper() + name[1:], known)


def single_steps(chart: Chart, lengths: Lengths) -> str:
    """Half of what holds nine single balls of ten, in the middle of the chart."""
    halves = [(row.ball_run_m.high - row.ball_run_m.low) / 2 for row in chart.rows]
    return lengths.paces(statistics.median(halves)).replace("pace", "step")


def score_sheet(part: Part, content: Content) -> tuple[Block, ...]:
    """A table a week, a row a drill, boxes to write in."""
    if not content.drills:
        return ()
    heading = Heading(part.heading or "Three weeks of practice")
    row_mm = 11.0 if len(content.drills) <= 4 else 8.0
    rows = tuple(
        (
            (one.drill.name, f"pass: {one.drill.passes} of {one.drill.out_of}"),
            *((("",),) * DAYS),
            ("",),
        )
        for one in content.drills
    )
    head = heads("Drill", *(f"Day {day + 1}" for day in range(DAYS)), "What I felt")
    weeks = tuple(
        Box(
            title=f"Week {week + 1}",
            blocks=(
                Table(
                    head=head,
                    rows=rows,
                    label=f"Scores of week {week + 1}",
                    row_mm=row_mm,
                    widths=(2.4, 0.8, 0.8, 0.8, 2.2),
                ),
            ),
        )
        for week in range(WEEKS)
    )
    return (heading, *(Words(one) for one in part.words), *weeks)


def cautions(part: Part, content: Content) -> tuple[Block, ...]:
    """General cautions; local rules and medical advice always first, whatever a template says."""
    return (
        Box(
            title=part.heading or "Before you practise",
            blocks=(Points((*CAUTIONS, *part.words)),),
            strong=True,
        ),
    )


def link(part: Part, content: Content) -> tuple[Block, ...]:
    """A code that opens the guide on a phone."""
    if not content.link:
        return ()
    code = code_picture(content.link)
    return (
        Box(
            title=part.heading or "This guide on your phone",
            blocks=(
                Beside(
                    left=(Picture(svg=code.svg, alt=code.alt, width_mm=CODE_MM),),
                    right=(Words("Point the camera at the code, or type:"), Words(content.link)),
                    left_mm=CODE_MM,
                ),
            ),
        ),
    )


def drills(part: Part, content: Content) -> tuple[Block, ...]:
    """A page a drill."""
    return drill_pages(content)


def made(part: Part, blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """The blocks of a part, on a new page when it asks for one and has something to show."""
    return (NewPage(), *blocks) if blocks and part.new_page else blocks
