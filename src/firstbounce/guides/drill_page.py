"""A page for each drill: drawing, this player's numbers, what counts as done, and its caution."""

from __future__ import annotations

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
from firstbounce.guides.content import Content
from firstbounce.guides.lengths import Lengths
from firstbounce.practice.set_up import SetUp, SetUpNumber

TRIES = 5  #: rows to write in
LABELS = {
    "circle": "Circle, radius",
    "stick": "Stick, from the ball",
    "distance": "Ball to hole",
    "low": "Carry of the low club",
    "step": "From rung to rung",
    "strip": "Strip, depth",
}
MOST_FACTS = 3
MOST_COLUMNS = 4  #: drills beside each other in the table of levels


def drill_pages(content: Content) -> tuple[Block, ...]:
    """One page a drill."""
    pages: list[Block] = []
    for i, one in enumerate(content.drills):
        name = f"Drill {i + 1}: {one.drill.name}" if len(content.drills) > 1 else f"Drill: {one.drill.name}"
        pages += [NewPage(), Heading(name), *drill_blocks(one, content)]
    return tuple(pages)


def drill_blocks(one: SetUp, content: Content) -> tuple[Block, ...]:
    """What stands on the page of one drill."""
    drill = one.drill
    picture = Picture(svg=one.drawing, alt=f"Set-up of {drill.name}: {one.text}")
    needs = f"You need: {', '.join(drill.equipment)}."
    laid: tuple[Block, ...] = (Words(one.text), Words(needs, Tone.SMALL))
    return (
        Words(drill.purpose, Tone.LEAD),
        Beside(
            left=(picture,),
            right=(Box(title="Set it up", blocks=laid), *_numbers(one, content), _done(one)),
            share=0.52,
        ),
        Box(
            title="Too hard, too easy",
            blocks=(Points((f"Easier: {one.easier}", f"Harder: {one.harder}")),),
        ),
        Box(title="Take care", blocks=(Words(one.caution),), strong=True),
        _tries(one),
    )


def _tries(one: SetUp) -> Box:
    """Rows to write in beside the drawing: what was done, and what it felt like."""
    table = Table(
        head=heads("Date", f"Made of {one.drill.out_of}", "What I changed, what I felt"),
        rows=tuple((("",),) * 3 for _ in range(TRIES)),
        label=f"Tries of {one.drill.name}",
        row_mm=9.0,
        widths=(1.0, 1.0, 4.0),
    )
    return Box(title="My tries", blocks=(table,))


def _done(one: SetUp) -> Box:
    drill = one.drill
    passed = f"Done when you make {drill.passes} of {drill.out_of}."
    score = f"One counts when {one.score}."
    dose = f"{drill.balls} balls, about {drill.minutes:g} minutes."
    return Box(
        title="How to score", blocks=(Words(passed, Tone.LEAD), Words(score), Words(dose)), strong=True
    )


def _numbers(one: SetUp, content: Content) -> tuple[Block, ...]:
    """Up to three numbers, the others and what they rest on in small print."""
    if not one.numbers:
        return ()
    facts = tuple(_fact(number, content.lengths) for number in one.numbers[:MOST_FACTS])
    more = [f"{_capital(number.what)}: {number.words}." for number in one.numbers[MOST_FACTS:]]
    bases = dict.fromkeys(_basis(number) for number in one.numbers if _basis(number))
    small = " ".join([*more, *bases, content.basis.green(), content.lengths.pace_words()])
    return (Facts(facts), Words(small, Tone.SMALL))


def _fact(number: SetUpNumber, lengths: Lengths) -> Fact:
    paced, _, said = number.words.partition(" (")
    sure = ""
    if number.low_m is not None and number.high_m is not None:
        sure = f", give or take {lengths.near(max((number.high_m - number.low_m) / 2, 0.05))}"
    return Fact(label=_label(number), value=paced, small=f"{said.removesuffix(')')}{sure}")


def _label(number: SetUpNumber) -> str:
    """What a length is, short enough to stand over it."""
    return LABELS.get(number.name, _capital(number.what))


def _basis(number: SetUpNumber) -> str:
    if number.rests_on == "chosen":
        return ""
    balls = f" ({number.n} balls)" if number.n and str(number.n) not in number.rests_on else ""
    return f"{_capital(number.what)}: {number.rests_on}{balls}."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def level_tables(content: Content) -> tuple[Block, ...]:
    """The lengths that differ by level, a row a level, at most four drills a table."""
    columns = [column for i in range(len(content.drills)) for column in _columns(i, content)]
    tables: list[Block] = []
    for first in range(0, len(columns), MOST_COLUMNS):
        some = columns[first : first + MOST_COLUMNS]
        rows = tuple(
            ((str(level),), *(cells[k] for _, cells in some)) for k, (level, _) in enumerate(content.by_level)
        )
        tables.append(
            Table(head=(("Level",), *(head for head, _ in some)), rows=rows, label="Set-up numbers by level")
        )
    return tuple(tables)


def _columns(i: int, content: Content) -> list[tuple[Cell, list[Cell]]]:
    """Head and cells of each length of one drill that is not the same for every level."""
    found: list[tuple[Cell, list[Cell]]] = []
    for number in content.drills[i].numbers:
        of_levels = [sets[i].number(number.name).words for _, sets in content.by_level]
        if len(set(of_levels)) > 1:
            cells = [tuple(words.removesuffix(")").split(" (")) for words in of_levels]
            found.append(((content.drills[i].drill.name, _label(number)), cells))
    return found
