"""Every kind of guide on every paper: no overflow, no text on text, no heading alone, all words there."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import guide_pdf
import guide_scenes
import pytest

from firstbounce.guides.blocks import Box, Guide, Heading, Kind, NewPage, Paper, blocks_of, texts
from firstbounce.guides.coach import Coach
from firstbounce.guides.logo import checked_logo
from firstbounce.guides.make import make_guide
from firstbounce.guides.typeset import LARGEST_BYTES, pdf_of
from firstbounce.players.player import Hand
from firstbounce.units import LengthUnit

MM = 72 / 25.4  #: points in a millimetre
SLACK = 1.0  #: of a box of a word, which may stand out of its letters [pt]
FOOT_MM = 14.0  #: the lowest strip of a page, where the foot stands
NEAR = 40.0  #: something stands within this below a heading [pt]


def guide_for(kind, paper=Paper.A4, **more) -> tuple[Guide, Coach]:
    content = guide_scenes.content_for(kind, paper=paper, **more)
    return make_guide(kind, content), content.coach


def check_page_limits(guide, pdf):
    """No word outside the margins, and the pages are of the paper asked for."""
    side = (14 if guide.tight else 18) * MM
    expected = {Paper.A4: (595.3, 841.9), Paper.LETTER: (612.0, 792.0)}[guide.paper]
    for number, page in enumerate(guide_pdf.pages(pdf)):
        assert (page.width, page.height) == pytest.approx(expected, abs=0.5)
        for word in page.words:
            inside = side - SLACK <= word.x0 and word.x1 <= page.width - side + SLACK
            assert inside and word.y1 <= page.height - 5 * MM, (number + 1, word)


def check_nothing_printed_over(pdf):
    """No two words share their middle: text never lies on text."""
    for number, page in enumerate(guide_pdf.pages(pdf)):
        cores = []
        for word in page.words:
            third = (word.y1 - word.y0) * 0.33
            rim = max(0.8, (word.y1 - word.y0) * 0.05)  # letters that join reach over
            cores.append((word.x0 + rim, word.y0 + third, word.x1 - rim, word.y1 - third, word.text))
        for a, b in itertools.combinations(sorted(cores, key=lambda core: core[1]), 2):
            over = min(a[2], b[2]) - max(a[0], b[0]) > 0 and min(a[3], b[3]) - max(a[1], b[1]) > 0
            assert not over, (number + 1, a, b)


def check_no_heading_alone(guide, pdf):
    """Right below every heading and every title of a box stands something on the same page."""
    sheets = guide_pdf.pages(pdf)
    for words in [*(one.words for one in blocks_of(guide.blocks, Heading))] + [
        one.title for one in blocks_of(guide.blocks, Box)
    ]:
        # words that run from right to left are read back in pieces: what stands before them is looked for
        wanted = guide_pdf.bare(re.split("[\u0590-\u08ff]", words)[0])
        found = [(sheet, end) for sheet in sheets for end in ends_of(sheet.words, wanted)]
        assert found or not wanted, words
        for sheet, end in found:
            foot = sheet.height - FOOT_MM * MM
            below = [one for one in sheet.words if end < one.y0 < min(end + NEAR, foot)]
            assert below or end > foot, words


def ends_of(words: list[guide_pdf.Word], wanted: str) -> list[float]:
    """Lower edges [pt] of every place where these letters stand, word after word."""
    letters = [guide_pdf.bare(word.text) for word in words]
    ends = []
    for i in range(len(words)):
        told, k = "", i
        while k < len(words) and len(told) < len(wanted) and wanted.startswith(told + letters[k]):
            told, k = told + letters[k], k + 1
        if told == wanted:
            ends.append(max(word.y1 for word in words[i:k]))
    return ends


def check_all_words(guide, pdf):
    """Whatever the guide says can be found in the PDF."""
    whole = guide_pdf.bare(guide_pdf.text_of(pdf))
    for words in texts(guide.blocks):
        if not any(ord(letter) >= 0x590 for letter in words) and words not in _alternatives(guide):
            assert guide_pdf.bare(words) in whole, words


def _alternatives(guide):
    from firstbounce.guides.blocks import Fold, Picture, Table

    shown = [one.alt for one in blocks_of(guide.blocks, Picture)]
    shown += [one.label for one in blocks_of(guide.blocks, Table)]
    return shown + [name for fold in blocks_of(guide.blocks, Fold) for name in fold.names]


def check(guide, coach):
    pdf = pdf_of(guide, coach)
    assert len(pdf) < LARGEST_BYTES
    check_page_limits(guide, pdf)
    check_nothing_printed_over(pdf)
    check_no_heading_alone(guide, pdf)
    check_all_words(guide, pdf)
    assert guide_pdf.faults_of_structure(pdf) == []
    return pdf


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_on_a4_in_metres_and_on_letter_in_yards(kind):
    check(*guide_for(kind, Paper.A4, unit=LengthUnit.METRES))
    check(*guide_for(kind, Paper.LETTER, unit=LengthUnit.YARDS))


@pytest.mark.slow
@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("balls", [0, 30, 2000])
@pytest.mark.parametrize("unit", LengthUnit)
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("kind", Kind)
def test_the_whole_matrix(kind, paper, unit, balls, hand):
    for count, name in ((1, "R. T."), (12, guide_scenes.LONG)):
        check(*guide_for(kind, paper, unit=unit, balls=balls, hand=hand, drills=count, player=name))


@pytest.mark.parametrize("balls", [0, 2000])
def test_no_balls_and_many(balls):
    guide, coach = guide_for(Kind.PLAYER, balls=balls, drills=1)
    said = " ".join(texts(guide))
    assert ("No balls of yours yet" in said) == (balls == 0)
    if balls:
        assert f"{balls:,} balls of yours on 14 May 2026" in said
    check(guide, coach)


@pytest.mark.parametrize("kind", [Kind.PLAYER, pytest.param(Kind.GENERAL, marks=pytest.mark.slow)])
def test_the_caution_of_each_of_twelve_drills_stands_on_its_page(kind):
    guide, coach = guide_for(kind, drills=12, paper=Paper.LETTER)
    pdf = check(guide, coach)
    cautions = [one for one in blocks_of(guide.blocks, Box) if one.title == "Take care"]
    assert len(cautions) == 12
    readable = [guide_pdf.bare(text) for text in guide_pdf.page_texts(pdf)]
    for heading, caution in zip(_drill_headings(guide), cautions, strict=True):
        page = next(page for page in readable if guide_pdf.bare(heading.words) in page)
        assert guide_pdf.bare(caution.blocks[0].words) in page, heading


def _drill_headings(guide):
    return [one for one in blocks_of(guide.blocks, Heading) if one.words.startswith("Drill")]


SCRIPTS = [
    *(pytest.param(Kind.CARD, name, id=name) for name in guide_scenes.NAMES),
    pytest.param(Kind.LOG_SHEET, "one word", id="one word, log sheet"),
    *(
        pytest.param(kind, name, id=f"{name}, {kind}", marks=pytest.mark.slow)
        for kind in (Kind.PLAYER, Kind.LOG_SHEET, Kind.GENERAL)
        for name in guide_scenes.NAMES
    ),
]


@pytest.mark.parametrize("paper", [Paper.LETTER, pytest.param(Paper.A4, marks=pytest.mark.slow)])
@pytest.mark.parametrize("kind, name", SCRIPTS)
def test_long_names_and_other_scripts_fit(kind, name, paper):
    said = guide_scenes.NAMES[name]
    coach = Coach(name=said, contact="c" * 100, logo=checked_logo(guide_scenes.LOGO.encode()))
    content = guide_scenes.content_for(kind, player=said, paper=paper)
    station = None if content.station is None else replace(content.station, name=said)
    theme = said if kind is Kind.GENERAL else ""
    content = replace(content, coach=coach, station=station, theme=theme)
    guide = make_guide(kind, content)
    pdf = check(guide, coach)
    if kind in (Kind.LOG_SHEET, Kind.CARD):
        assert len(guide_pdf.pages(pdf)) == 1
    letters = {letter for letter in said if letter.isalpha()}
    assert letters <= set(guide_pdf.text_of(pdf)) | set(
        "".join(w.text for p in guide_pdf.pages(pdf) for w in p.words)
    )


def test_a_left_handed_player_stands_on_the_other_side():
    right, left = (guide_scenes.drill_sets(6, LengthUnit.METRES, hand) for hand in Hand)
    assert any(a.drawing != b.drawing for a, b in zip(right, left, strict=True))
    content = guide_scenes.player_content(drills=6, hand=Hand.LEFT)
    check(make_guide(Kind.PLAYER, content), content.coach)


def test_a_log_sheet_and_a_card_are_one_page():
    for kind, paper in itertools.product((Kind.LOG_SHEET, Kind.CARD), Paper):
        guide, coach = guide_for(kind, paper)
        assert len(guide_pdf.pages(pdf_of(guide, coach))) == 1, (kind, paper)


def test_a_page_break_stands_only_before_something():
    for kind in Kind:
        guide, _ = guide_for(kind)
        assert not isinstance(guide.blocks[-1], NewPage)
        for a, b in itertools.pairwise(guide.blocks):
            assert not (isinstance(a, NewPage) and isinstance(b, NewPage))
