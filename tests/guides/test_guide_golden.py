"""The look of every kind of guide, held as text and as small pictures, so that a change is seen in review.

Snapshots of our own output from fixed invented numbers, looked at when they were taken. The text must be
the same; of the pictures (40 dots an inch, grey) the mean difference may be 1.5 of 255 and one dot in a
hundred may differ by more than 48. After a wanted change look at the new pages and take them again:

    python tests/guides/test_guide_golden.py
"""

from __future__ import annotations

import io
from pathlib import Path

import guide_pdf
import guide_scenes
import numpy as np
import pytest
from PIL import Image

from firstbounce.guides.blocks import Kind, Paper
from firstbounce.guides.coach import Coach
from firstbounce.guides.logo import checked_logo
from firstbounce.guides.make import make_guide
from firstbounce.guides.typeset import pages_of, pdf_of

GOLDEN = Path(__file__).parent / "golden"
PPI = 40.0
MEAN_DIFFERENCE, FAR, SHARE_FAR = 1.5, 48, 0.01
COACH = Coach(
    name="Mara Quill",
    contact="mara@quillet.example, 0555 010 010",
    logo=checked_logo(guide_scenes.LOGO.encode()),
)


def guide_of(kind: Kind):
    paper = Paper.LETTER if kind is Kind.LOG_SHEET else Paper.A4
    return make_guide(kind, guide_scenes.fixed_content(kind, paper))


def name_of(kind: Kind) -> str:
    return str(kind).replace(" ", "-")


def text_of(kind: Kind) -> str:
    """The words of the PDF, a line each as they come."""
    lines = guide_pdf.text_of(pdf_of(guide_of(kind), COACH)).splitlines()
    return "\n".join(line.strip() for line in lines if line.strip()) + "\n"


def grey_pages(kind: Kind) -> list[np.ndarray]:
    pages = pages_of(guide_of(kind), COACH, ppi=PPI)
    return [np.array(Image.open(io.BytesIO(page)).convert("L")) for page in pages]


@pytest.mark.parametrize("kind", Kind)
def test_snapshot_of_the_words(kind):
    assert text_of(kind) == (GOLDEN / f"{name_of(kind)}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", Kind)
def test_snapshot_of_the_pages(kind):
    pages = grey_pages(kind)
    kept = sorted(GOLDEN.glob(f"{name_of(kind)}-*.png"))
    assert len(kept) == len(pages)
    for page, path in zip(pages, kept, strict=True):
        held = np.array(Image.open(path))
        assert held.shape == page.shape, path.name
        difference = np.abs(held.astype(int) - page.astype(int))
        assert difference.mean() <= MEAN_DIFFERENCE, (path.name, difference.mean())
        assert (difference > FAR).mean() <= SHARE_FAR, (path.name, (difference > FAR).mean())


def test_the_tolerance_sees_a_line_that_moved():
    """A page moved down by one dot is further away than the tolerance."""
    page = grey_pages(Kind.CARD)[0].astype(int)
    difference = np.abs(np.roll(page, 1, axis=0) - page)
    assert difference.mean() > MEAN_DIFFERENCE or (difference > FAR).mean() > SHARE_FAR


if __name__ == "__main__":
    GOLDEN.mkdir(exist_ok=True)
    for old in GOLDEN.iterdir():
        old.unlink()
    for kind in Kind:
        (GOLDEN / f"{name_of(kind)}.txt").write_text(text_of(kind), encoding="utf-8")
        for k, page in enumerate(grey_pages(kind)):
            Image.fromarray(page).save(GOLDEN / f"{name_of(kind)}-{k + 1}.png", optimize=True)
