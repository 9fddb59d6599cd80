"""From a template and what is known to a whole guide, one function for each kind."""

from __future__ import annotations

from firstbounce.errors import ParameterError
from firstbounce.guides import parts
from firstbounce.guides.blocks import Block, Box, Guide, Kind, NewPage, Tone, Words
from firstbounce.guides.card import card_blocks
from firstbounce.guides.content import Content
from firstbounce.guides.drill_page import level_tables
from firstbounce.guides.log_sheet import ROWS_OF_SHEET
from firstbounce.guides.parts import Maker
from firstbounce.guides.template import Part, Template, shipped_template


def levels(part: Part, content: Content) -> tuple[Block, ...]:
    """What is usual by level, for the chosen drills."""
    tables = level_tables(content)
    if not tables:
        return ()
    small = f"Typical values, not anyone's own balls. {content.lengths.pace_words()}"
    title = part.heading or "What is usual at your level"
    return (Box(title=title, blocks=(*tables, Words(small, Tone.SMALL))),)


MAKERS: dict[str, Maker] = {
    "saw": parts.saw,
    "aim": parts.aim,
    "shot": parts.shot,
    "chart": parts.chart,
    "steps": parts.steps,
    "drills": parts.drills,
    "goal": parts.goal,
    "score sheet": parts.score_sheet,
    "cautions": parts.cautions,
    "link": parts.link,
    "words": parts.words,
    "levels": levels,
}


def make_guide(kind: Kind, content: Content, *, template: Template | None = None) -> Guide:
    """The guide of that kind. ParameterError when what it cannot do without is missing."""
    given = template or shipped_template(kind)
    if given.kind is not kind:
        raise ParameterError(f"The template is for a {given.kind}, not for a {kind}.")
    filled = given.filled(content.names())
    blocks = _blocks(kind, filled, content)
    return Guide(
        kind=kind,
        title=filled.title,
        subtitle=filled.subtitle,
        date=content.names()["date"],
        blocks=blocks,
        paper=content.paper,
        summary=f"{filled.title}: {filled.subtitle}",
        tight=kind in (Kind.LOG_SHEET, Kind.CARD),
    )


def _blocks(kind: Kind, template: Template, content: Content) -> tuple[Block, ...]:
    if kind is Kind.CARD:
        return card_blocks(template, content)
    makers = ROWS_OF_SHEET if kind is Kind.LOG_SHEET else MAKERS
    blocks: list[Block] = []
    for part in template.parts:
        blocks += parts.made(part, makers[part.show](part, content))
    while blocks and isinstance(blocks[0], NewPage):
        blocks.pop(0)
    return tuple(blocks)
