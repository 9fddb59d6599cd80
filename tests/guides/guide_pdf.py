"""Read a PDF back: words with their boxes (poppler), text, structure (pikepdf), for tests of guides."""

from __future__ import annotations

import html
import io
import re
import shutil
import subprocess
from functools import lru_cache
from typing import NamedTuple

import page as checker
import pikepdf
import pypdf
import pytest

WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.S)
SKIPPED = "\u200b\u00ad\u202a\u202b\u202c\u200e\u200f"  #: marks of breaking and direction


class Word(NamedTuple):
    """A word and its box from the upper left corner [pt]."""

    x0: float
    y0: float
    x1: float
    y1: float
    text: str


class Page(NamedTuple):
    """A page [pt] and its words."""

    width: float
    height: float
    words: list[Word]


@lru_cache(maxsize=4)
def pages(pdf: bytes) -> list[Page]:
    """Every page with the boxes of its words."""
    tool = shutil.which("pdftotext")
    if tool is None:
        pytest.skip("poppler's pdftotext is not here")
    ran = subprocess.run([tool, "-bbox", "-", "-"], input=pdf, capture_output=True, check=True)
    found = []
    for width, height, inner in PAGE.findall(ran.stdout.decode()):
        words = [
            Word(float(a), float(b), float(c), float(d), html.unescape(text))
            for a, b, c, d, text in WORD.findall(inner)
        ]
        found.append(Page(float(width), float(height), words))
    return found


@lru_cache(maxsize=4)
def page_texts(pdf: bytes) -> tuple[str, ...]:
    """The text of every page in the order of the content."""
    return tuple(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def text_of(pdf: bytes) -> str:
    """All text in the order of the content."""
    return "\n".join(page_texts(pdf))


def bare(text: str) -> str:
    """Letters only: no spaces, no breaking marks, one case, as a search would compare."""
    return re.sub(rf"[\s{SKIPPED}]", "", text).casefold()


def structure(pdf: bytes) -> list[tuple[str, str]]:
    """Every element of the structure tree in reading order: its type and its text alternative."""
    document = pikepdf.open(io.BytesIO(pdf))
    found: list[tuple[str, str]] = []

    def walk(node) -> None:
        if isinstance(node, pikepdf.Array):
            for one in node:
                walk(one)
        elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
            found.append((str(node["/S"]).lstrip("/"), str(node.get("/Alt", ""))))
            if "/K" in node:
                walk(node["/K"])

    walk(document.Root["/StructTreeRoot"]["/K"])
    return found


MISREAD = "PDFUA1-FONT-GLYPH-WIDTH-001"


def faults_of_structure(pdf: bytes) -> list[str]:
    """What an outside checker of PDF/UA-1 finds wrong: rule and message of each fault.

    Widths of glyphs are left out: of a CJK font it reads 0 where fontTools reads what /W says (1000), because
    the font's default width stands in the private part of its descriptor.
    """
    report = checker.validate_pdf_bytes(pdf, profile="ua1")
    return [f"{one.rule_id}: {one.message}" for one in report.failures if one.rule_id != MISREAD]
