"""The coach's logo, colours and words: what is refused, and with which sentence."""

from __future__ import annotations

import struct
import time
import zlib

import guide_scenes
import pytest

from firstbounce.errors import ParameterError
from firstbounce.guides.blocks import Guide, Kind, Words
from firstbounce.guides.coach import Coach, check_colour
from firstbounce.guides.logo import LARGEST_BYTES, checked_logo
from firstbounce.guides.page import page_of
from firstbounce.guides.typeset import pages_of, pdf_of

SPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
SVG = f'<svg {SPACES} viewBox="0 0 9 9">{{}}</svg>'


def svg(inner: str) -> bytes:
    return SVG.format(inner).encode()


def png(width: int, height: int, rows: bytes, *, extra: bytes = b"", interlaced: int = 0) -> bytes:
    """A grey PNG of one byte a pixel."""

    def chunk(kind: bytes, part: bytes) -> bytes:
        return struct.pack(">I", len(part)) + kind + part + struct.pack(">I", zlib.crc32(kind + part))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, interlaced)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + extra
        + chunk(b"IDAT", zlib.compress(rows, 9))
        + chunk(b"IEND", b"")
    )


GOOD_PNG = png(8, 4, bytes(9 * 4))
BOMBS = {
    "entities": (
        b'<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg">&b;</svg>',
        "document type",
    ),
    "external entity": (
        b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg xmlns="http://www.w3.org/2000/svg">&x;</svg>',
        "document type",
    ),
    "style sheet": (b'<?xml-stylesheet href="x.css"?>' + svg(""), "style sheet"),
    "import": (svg("<style>@import url(x.css);</style>"), "brings in more"),
    "outside file": (svg('<use href="file:///etc/passwd#a"/>'), "points outside itself"),
    "outside fill": (svg('<path d="M0 0h9" fill="url(http://a.example/x#y)"/>'), "points outside itself"),
    "outside style": (
        svg('<path d="M0 0h9" style="fill:url(http://a.example/x)"/>'),
        "points outside itself",
    ),
    "picture": (svg('<image href="data:image/png;base64,AAAA"/>'), "<image>"),
    "script": (svg("<script>alert(1)</script>"), "<script>"),
    "handler": (svg('<path onload="alert(1)" d="M0 0h9"/>'), "script"),
    "foreign": (svg("<foreignObject><p>x</p></foreignObject>"), "<foreignObject>"),
    "filter": (svg('<filter id="f"/>'), "<filter>"),
    "nested use": (
        svg(
            '<defs><g id="a"><path d="M0 0h9"/></g><g id="b"><use href="#a"/><use href="#a"/></g></defs>'
            '<use href="#b"/>'
        ),
        "use parts again",
    ),
    "itself": (svg('<g id="a"><use href="#a"/></g>'), "use parts again"),
    "many uses": (
        svg('<g id="a">' + "<path d='M0 0h9'/>" * 100 + "</g>" + '<use xlink:href="#a"/>' * 50),
        "draws",
    ),
    "many parts": (svg('<path d="M0 0h9"/>' * 5000), "parts"),
    "deep": (svg("<g>" * 200 + "</g>" * 200), "nests"),
    "very deep": (svg("<g>" * 60_000 + "</g>" * 60_000), ""),
    "huge": (svg("<desc>" + "x" * LARGEST_BYTES + "</desc>"), "kB"),
    "not svg": (b"<html></html>", "begins with <html>"),
    "broken": (b"<svg><g></svg>", "well-formed"),
    "not utf-8": (SVG.format("").encode("utf-16"), "neither SVG nor PNG"),
    "a GIF": (b"GIF89a....", "neither SVG nor PNG"),
    "wide png": (png(20_000, 20_000, b""), "pixels"),
    "unpacking png": (png(4, 4, bytes(300_000_000)), "more or less than its size says"),
    "short png": (png(100, 100, b"\0"), "more or less"),
    "interlaced png": (png(8, 4, bytes(36), interlaced=1), "interlaced"),
    "damaged png": (GOOD_PNG[:-20] + b"\0" * 20, "damaged"),
    "empty png": (b"\x89PNG\r\n\x1a\n", "sound PNG"),
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_logo_that_is_a_bomb_is_refused_with_a_sentence_and_at_once(name):
    data, words = BOMBS[name]
    begun = time.process_time()
    with pytest.raises(ParameterError) as failure:
        checked_logo(data, "logo.svg")
    assert words in str(failure.value) and str(failure.value).startswith("logo.svg ")
    assert time.process_time() - begun < 2


def test_what_a_png_carries_beside_its_picture_is_dropped():
    text = b"tEXtComment\0" + b"x" * 1000
    chunk = struct.pack(">I", len(text) - 4) + text + struct.pack(">I", zlib.crc32(text))
    assert checked_logo(png(8, 4, bytes(36), extra=chunk)).data == GOOD_PNG


@pytest.mark.parametrize(
    "data",
    [guide_scenes.LOGO.encode(), GOOD_PNG, svg("<style>.a{fill:red}</style><path class='a' d='M0 0h9v9z'/>")],
)
def test_a_plain_logo_is_printed_and_shown(data):
    coach = Coach(name="Mara Quill", logo=checked_logo(data))
    guide = Guide(kind=Kind.GENERAL, title="x", subtitle="y", date="", blocks=(Words("z"),))
    assert pdf_of(guide, coach).startswith(b"%PDF")
    assert pages_of(guide, coach, ppi=30) and "data:image/" in page_of(guide, coach)


@pytest.mark.parametrize("colour", ["#FFD700", "#9AC0CD", "#FF7F50", "#888888"])
def test_an_unreadable_colour_is_refused(colour):
    with pytest.raises(ParameterError, match="cannot be read on paper: its contrast is"):
        check_colour(colour)


@pytest.mark.parametrize("colour", ["red", "#12345", "#GGGGGG", "#A3301A; }", "rgb(0,0,0)"])
def test_a_colour_is_six_digits(colour):
    with pytest.raises(ParameterError, match="A colour is written like"):
        check_colour(colour)


def test_the_coachs_colour_replaces_the_red_pencil_everywhere():
    coach = Coach(name="Mara Quill", accent="#1F5C4A")
    content = guide_scenes.player_content(coach=coach)
    from firstbounce.guides.make import make_guide

    page = page_of(make_guide(Kind.PLAYER, content), coach)
    assert "#1F5C4A" in page and "#A3301A" not in page
