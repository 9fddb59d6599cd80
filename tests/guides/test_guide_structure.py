"""The PDF's structure: by an outside checker of PDF/UA-1, and by our own checks through pikepdf.

The typesetter itself refuses what breaks PDF/UA-1 (no title, no alternative text, a heading left out, a
letter without a glyph); these tests look at what came out. tests/guides/test_guide_layout.py asks the outside
checker about every PDF of the matrix.
"""

from __future__ import annotations

import io
import itertools
import re

import guide_pdf
import guide_scenes
import pikepdf
import pytest

from firstbounce.guides.blocks import Box, Heading, Kind, Picture, Table, blocks_of
from firstbounce.guides.coach import Coach
from firstbounce.guides.logo import checked_logo
from firstbounce.guides.make import make_guide
from firstbounce.guides.typeset import pdf_of
from firstbounce.guides.windows import hole_window, landing_window, window_picture
from firstbounce.units import LengthUnit

COACH = Coach(name="Mara Quill", logo=checked_logo(guide_scenes.LOGO.encode()))


@pytest.fixture(scope="module", params=list(Kind), ids=str)
def made(request):
    content = guide_scenes.content_for(request.param)
    guide = make_guide(request.param, content)
    return guide, pdf_of(guide, COACH)


def test_title_language_and_claim_of_pdf_ua(made):
    guide, pdf = made
    document = pikepdf.open(io.BytesIO(pdf))
    root = document.Root
    assert str(root["/Lang"]) == "en"
    assert bool(root["/MarkInfo"]["/Marked"])
    assert bool(root["/ViewerPreferences"]["/DisplayDocTitle"])
    with document.open_metadata() as about:
        assert guide.title in about["dc:title"]
        assert about["pdfuaid:part"] == "1"


def test_an_outside_checker_finds_no_fault(made):
    _, pdf = made
    assert guide_pdf.faults_of_structure(pdf) == []


def without_alternatives(document: pikepdf.Pdf) -> None:
    for one in document.objects:
        if isinstance(one, pikepdf.Dictionary) and one.get("/S") == "/Figure":
            del one["/Alt"]


def without_language(document: pikepdf.Pdf) -> None:
    del document.Root["/Lang"]


def without_tags(document: pikepdf.Pdf) -> None:
    del document.Root["/StructTreeRoot"]


@pytest.mark.parametrize("broken", [without_alternatives, without_language, without_tags])
def test_the_outside_checker_sees_what_is_taken_away(broken):
    content = guide_scenes.player_content(drills=1)
    document = pikepdf.open(io.BytesIO(pdf_of(make_guide(Kind.PLAYER, content), COACH)))
    broken(document)
    kept = io.BytesIO()
    document.save(kept)
    assert guide_pdf.faults_of_structure(kept.getvalue())


def test_every_picture_has_words_and_every_table_a_head(made):
    guide, pdf = made
    parts = guide_pdf.structure(pdf)
    said = [alt for kind, alt in parts if kind == "Figure"]
    pictures = list(blocks_of(guide.blocks, Picture))
    assert len(said) == len(pictures) + 1  # and the logo
    assert all(said)
    assert {one.alt for one in pictures} | {"Logo of Mara Quill"} == set(said)
    tables = list(blocks_of(guide.blocks, Table))
    assert sum(kind == "Table" for kind, _ in parts) == len(tables)
    assert sum(kind == "TH" for kind, _ in parts) >= sum(len(one.head) for one in tables)


def test_headings_go_down_one_level_at_a_time_and_stand_in_order(made):
    guide, pdf = made
    levels = [int(kind[1]) for kind, _ in guide_pdf.structure(pdf) if kind[0] == "H" and kind[1:].isdigit()]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b <= a + 1 for a, b in itertools.pairwise(levels))
    wanted = sum(1 for kind in (Heading, Box) for _ in blocks_of(guide.blocks, kind))
    assert len(levels) == wanted + 1


def test_text_is_read_in_the_order_of_the_guide(made):
    guide, pdf = made
    whole = guide_pdf.bare(guide_pdf.text_of(pdf))
    places = [whole.find(guide_pdf.bare(one.title)) for one in blocks_of(guide.blocks, Box)]
    first = list(dict.fromkeys(places))
    assert -1 not in places
    assert first == sorted(first)


def test_every_font_is_inside_and_can_be_searched(made):
    _, pdf = made
    document = pikepdf.open(io.BytesIO(pdf))
    fonts = [
        one for one in document.objects if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/Font"
    ]
    whole = [one for one in fonts if one.get("/Subtype") == "/Type0"]
    assert whole and all("/ToUnicode" in one for one in whole)
    for one in whole:
        about = one["/DescendantFonts"][0]["/FontDescriptor"]
        assert any(key in about for key in ("/FontFile2", "/FontFile3"))


def test_nothing_in_it_runs_or_leads_out(made):
    _, pdf = made
    for name in (b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"/URI", b"/OpenAction"):
        assert name not in pdf


def test_the_same_guide_gives_the_same_bytes():
    content = guide_scenes.player_content(drills=1)
    guide = make_guide(Kind.CARD, content)
    assert pdf_of(guide, COACH) == pdf_of(guide, COACH)


@pytest.mark.parametrize("unit, metres", [(LengthUnit.METRES, 1.0), (LengthUnit.YARDS, 0.9144)])
def test_the_windows_of_a_log_sheet_are_to_scale(unit, metres):
    """A ring of one unit has a radius of 2 cm in the one window and of 1 cm in the other."""
    guide = make_guide(Kind.LOG_SHEET, guide_scenes.player_content(unit=unit))
    document = pikepdf.open(io.BytesIO(pdf_of(guide, COACH)))
    scales = {
        round(float(operands[0]), 4)
        for operands, operator in pikepdf.parse_content_stream(document.pages[0])
        if str(operator) == "cm" and 0 < float(operands[0]) < 0.4
    }
    assert round(80 / 25.4 * 72 / 720, 4) in scales  # 720 page units are 80 mm
    for window, radius_mm in ((landing_window(unit), 20.0), (hole_window(unit), 10.0)):
        drawn = window_picture(window).svg
        rings = re.findall(r'<path d="M([\d.]+) [^"]*Z" fill="none" stroke="#565B60"', drawn)
        units_per_ring = [float(x) - 360 for x in rings]
        one = units_per_ring[window.rings.index(1.0)]
        assert one / 720 * 80 == pytest.approx(radius_mm, abs=0.05)
        assert window.metres == metres
