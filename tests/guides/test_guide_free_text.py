"""Free text stays text, in the typesetter and in HTML; letters without a font are reported before."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

import guide_pdf
import guide_scenes
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.guides import fonts
from firstbounce.guides.blocks import Guide, Kind, Points, Tone, Words, texts
from firstbounce.guides.coach import Coach, checked_text
from firstbounce.guides.code import code_picture
from firstbounce.guides.content import Lesson
from firstbounce.guides.make import make_guide
from firstbounce.guides.page import page_of
from firstbounce.guides.template import fill
from firstbounce.guides.typeset import pdf_of

NASTY = (
    '#read("/etc/passwd")',
    '#import "guide.typ": *',
    "#panic() ] } $x^2$ *bold* _it_",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{ look }} {% raw %} {player}",
    "`code` @ref <label> // gone",
    "\\u{41} \\#x ~ --- ...",
    "&lt;b&gt; &#x41; <!-- -->",
)


class Tags(HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self):
        super().__init__()
        self.tags, self.attributes, self.text = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data):
        self.text.append(data)


def read(page: str) -> Tags:
    tags = Tags()
    tags.feed(page)
    return tags


@pytest.mark.parametrize("nasty", NASTY)
def test_markup_in_every_free_field_stays_text(nasty):
    coach = Coach(name=nasty[:60], contact=nasty)
    lesson = Lesson(saw=(nasty, f"again {nasty}"), aim=nasty, goal=nasty)
    content = replace(
        guide_scenes.player_content(drills=1, player=nasty, coach=coach),
        lesson=lesson,
        shot=None,
        charted=None,
    )
    guide = make_guide(Kind.PLAYER, content)
    found = guide_pdf.bare(guide_pdf.text_of(pdf_of(guide, coach)))
    assert found.count(guide_pdf.bare(nasty)) >= 6
    page = read(page_of(guide, coach))
    assert "script" not in page.tags and "img" not in page.tags
    assert not [key for key, _ in page.attributes if key.startswith("on")]
    assert guide_pdf.bare("".join(page.text)).count(guide_pdf.bare(nasty)) >= 6


@settings(max_examples=10)
@given(st.text(st.characters(codec="latin-1", exclude_categories=["Cc", "Cs"]), min_size=1, max_size=80))
def test_any_text_comes_out_as_it_went_in(words):
    if not words.strip():
        return
    guide = Guide(kind=Kind.GENERAL, title="Any", subtitle="", date="", blocks=(Points((f"<{words}>",)),))
    found = guide_pdf.bare(guide_pdf.text_of(pdf_of(guide, Coach())))
    assert guide_pdf.bare(f"<{words}>") in found
    assert f"<{words}>" in read(page_of(guide, Coach())).text


def test_a_name_in_braces_is_filled_in_once():
    assert fill("{player} and {coach}", {"player": "{coach}", "coach": "C"}) == "{coach} and C"


@pytest.mark.parametrize("letter", ["\U0001f3cc", "ก"])
def test_a_letter_that_no_font_has_is_reported_and_nothing_is_printed(letter, monkeypatch):
    monkeypatch.setattr(fonts, "all_fonts", lambda folder: fonts.shipped_fonts())  # a machine without fonts
    guide = Guide(
        kind=Kind.GENERAL, title=f"Ann {letter}", subtitle="", date="", blocks=(Words("x", Tone.BODY),)
    )
    with pytest.raises(ParameterError, match="No font here has the letter") as failure:
        pdf_of(guide, Coach())
    assert letter in str(failure.value) and f"U+{ord(letter):04X}" in str(failure.value)


def test_control_characters_and_long_text_are_refused_with_a_sentence():
    with pytest.raises(ParameterError, match=r"holds a character that cannot be printed \(U\+0007\)"):
        checked_text("a\x07b", "the aim", 10)
    with pytest.raises(ParameterError, match="The player's name is 61 letters long; at most 60 fit"):
        guide_scenes.player_content(player="x" * 61)


@pytest.mark.parametrize("kind", Kind)
def test_the_page_for_phones_says_what_the_pdf_says(kind):
    content = guide_scenes.content_for(kind)
    guide = make_guide(kind, content)
    page = read(page_of(guide, content.coach))
    seen = guide_pdf.bare("".join(page.text) + " ".join(value or "" for _, value in page.attributes))
    for words in texts(guide.blocks):
        assert guide_pdf.bare(words) in seen or words in ("cover", "metres", "yards", "steps"), words
    assert guide_pdf.bare(guide.title) in seen


@pytest.mark.parametrize("kind", Kind)
def test_the_page_loads_nothing_and_has_one_main_heading(kind):
    content = guide_scenes.content_for(
        kind, **({} if kind is Kind.GENERAL else {"link": "https://quillet.example/g"})
    )
    page = page_of(make_guide(kind, content), content.coach)
    tags = read(page)
    assert tags.tags.count("h1") == 1 and "link" not in tags.tags and "script" not in tags.tags
    sources = [
        value
        for key, value in tags.attributes
        if key in ("src", "href") and not (value or "").startswith("#")
    ]
    assert all((value or "").startswith("data:") for value in sources)
    assert "default-src 'none'" in page


@pytest.mark.parametrize("word", ["fit", "prior", "model", "bias", "posterior", "sigma"])
@pytest.mark.parametrize("kind", Kind)
def test_words_of_the_workshop_are_never_printed(kind, word):
    content = guide_scenes.content_for(kind, drills=12)
    said = " ".join(texts(make_guide(kind, content))).lower().replace(",", " ").replace(".", " ").split()
    assert word not in said


@pytest.mark.parametrize("url", ["javascript:alert(1)", "ftp://x", "https://", "https://a b", "x" * 10])
def test_a_code_is_made_for_web_addresses_only(url):
    with pytest.raises(ParameterError, match="web address"):
        code_picture(url)


def test_the_code_and_its_address_stand_in_the_guide():
    content = guide_scenes.player_content(drills=1, link="https://quillet.example/g/abc")
    guide = make_guide(Kind.PLAYER, content)
    assert "https://quillet.example/g/abc" in list(texts(guide))
    assert "https://quillet.example/g/abc" in guide_pdf.text_of(pdf_of(guide, content.coach)).replace(
        "\u200b", ""
    )
