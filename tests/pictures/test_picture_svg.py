"""What the SVG text holds: valid, safe, deterministic, small, with a text alternative."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from picture_scenes import chart_scene, green_scene, lines_scene, side_scene, slope

from firstbounce.errors import ParameterError
from firstbounce.pictures.chart import ChartPicture, ChartRow, chart_view
from firstbounce.pictures.green import GreenPicture, Heights, LandingCircle, green_view
from firstbounce.pictures.lines import Curve, LinesPicture, lines_view
from firstbounce.pictures.side import SidePicture, side_numbers, side_view
from firstbounce.pictures.text import YARDS, escape, paces

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"
ALL = [
    (green_view, green_scene),
    (side_view, side_scene),
    (chart_view, chart_scene),
    (lines_view, lines_scene),
]
EMPTY = [
    (green_view, GreenPicture(title="Nothing yet")),
    (side_view, SidePicture(title="Nothing yet")),
    (chart_view, ChartPicture(title="Nothing yet")),
    (lines_view, LinesPicture(title="Nothing yet", x_words="carry", y_words="run")),
]


def description(svg: str) -> str:
    return ElementTree.fromstring(svg).findtext(f"{SVG}desc") or ""


@pytest.mark.parametrize(("view", "scene"), ALL)
def test_valid_xml_with_title_description_and_role(view, scene):
    root = ElementTree.fromstring(view(scene()))
    assert root.get("role") == "img"
    named = [root.find(f".//*[@id='{name}']") for name in root.get("aria-labelledby").split()]
    assert all(element is not None and element.text for element in named)
    assert root.get("viewBox").startswith("0 0 720 ")


@pytest.mark.parametrize(("view", "scene"), ALL)
def test_the_same_numbers_give_the_same_text(view, scene):
    assert view(scene()) == view(scene())


@pytest.mark.parametrize(("view", "scene"), ALL)
def test_ids_are_unique_per_picture_and_every_reference_is_met(view, scene):
    first, second = view(scene()), view(scene(title="Another"))
    ids = [set(re.findall(r' id="([^"]+)"', svg)) for svg in (first, second)]
    assert not ids[0] & ids[1]
    for svg, known in zip((first, second), ids, strict=True):
        assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= known
        assert len(re.findall(r' id="', svg)) == len(known)


@pytest.mark.parametrize(("view", "scene"), ALL)
def test_no_coordinate_is_written_finer_than_a_tenth(view, scene):
    data = " ".join(re.findall(r' d="([^"]+)"', view(scene())))
    assert not re.search(r"\.\d\d", re.sub(r"0\.\d+", "0", data))
    assert "nan" not in view(scene()).lower().replace("finance", "")


@pytest.mark.parametrize(("view", "picture"), EMPTY)
def test_no_balls_still_give_a_picture_that_says_so(view, picture):
    svg = view(picture)
    ElementTree.fromstring(svg)
    assert re.search(r"No balls? yet|No clubs to show yet|Nothing to show yet", description(svg))


HOSTILE = '<script>alert("x")</script>&\' ]]> \x00\x0b￾'


@pytest.mark.parametrize(("view", "scene"), ALL)
def test_hostile_words_stay_words(view, scene):
    changes = {"title": HOSTILE, "note": HOSTILE, "alt": HOSTILE}
    root = ElementTree.fromstring(view(scene(**changes)))
    assert not root.findall(f".//{SVG}script")
    assert '<script>alert("x")</script>' in (root.findtext(f"{SVG}desc") or "")


@given(st.text())
def test_escaped_text_is_valid_xml_and_reads_back(text):
    root = ElementTree.fromstring(f"<a>{escape(text)}</a>")
    kept = "".join(c for c in text if c >= " " and not 0x7F <= ord(c) <= 0x9F and c not in "\ufffe\uffff")
    shown = re.sub(r"[\t\n\r]", " ", text)
    assert (root.text or "").replace(" ", "") == "".join(c for c in shown if c in kept).replace(" ", "")


def test_green_text_alternative_holds_the_numbers():
    text = description(green_view(green_scene()))
    for words in (
        "start to hole 14.0 m",
        "28 cm above the start",
        "radius 0.8 m",
        "6.0 m along the line",
        "0.2 m right",
        "60 balls finished",
        "3 holed",
        "Height lines",
        "Speed 9.5 ft",
    ):
        assert words in text


def test_side_text_alternative_holds_the_numbers():
    text = description(side_view(side_scene()))
    for words in ("Carry 6.0 m", "Run 7.0 m", "1.4 m above", "0.8 m short of the hole", "times as large"):
        assert words in text


def test_chart_text_alternative_holds_the_numbers():
    text = description(chart_view(chart_scene()))
    assert "7-iron: carry 4.0, run 14.4 (likely range of the run: 11.5–18.0)" in text
    assert "sand wedge: carry 8.0, run 7.2" in text


def test_lengths_follow_the_chosen_unit():
    assert "15.3 yd" in description(green_view(green_scene(measure=YARDS)))
    assert "17.5 paces" in description(green_view(green_scene(measure=paces(0.8))))
    assert "Carry 6.6 yd" in description(side_view(side_scene(measure=YARDS)))


def test_huge_clouds_are_thinned_and_say_so():
    n = 20_000
    rng = np.random.default_rng(5)
    cloud = rng.normal((0, 13), 1.5, (n, 2))
    svg = green_view(green_scene(finishes=cloud, holed=None, landings=rng.normal((0, 6), 0.6, (n, 2))))
    assert len(svg.encode()) < 60_000  # docs/pictures.md states this size
    assert "500 of 20,000 drawn" in svg
    assert "80 of 20,000 drawn" in svg
    assert "20,000 balls finished" in description(svg)


def test_balls_beyond_the_picture_are_counted():
    finishes = np.vstack([np.random.default_rng(2).normal((0, 13), 1, (200, 2)), [[0, 90]]])
    assert "1 ball finished outside this picture." in green_view(green_scene(finishes=finishes, holed=None))


def test_balls_that_never_came_to_rest_are_left_out():
    finishes = [[0, 13], [np.nan, np.nan], [1, 12]]
    text = description(green_view(green_scene(finishes=finishes, holed=[False, False, True])))
    assert "2 balls finished" in text
    assert "1 holed" in text


def test_ground_out_of_level_is_drawn_and_level_ground_has_no_height_lines():
    assert "cm of height" in green_view(green_scene())
    assert "cm of height" not in green_view(green_scene(heights=slope(0.0)))


def test_unknown_heights_are_left_blank():
    heights = np.tile(0.02 * np.arange(30.0)[:, None], (1, 30))
    heights[:, :12] = np.nan
    grid = Heights(x0_m=-15, y0_m=-5, cell_m=1.0, heights_m=heights)
    svg = green_view(green_scene(heights=grid))
    ElementTree.fromstring(svg)
    assert "nan" not in svg.lower()


def test_side_numbers_of_a_roll_without_flight():
    picture = SidePicture(title="Putt", roll=[(0, 0), (4, 0.1)])
    numbers = side_numbers(picture)
    assert numbers.carry_m is None
    assert numbers.run_m == pytest.approx(4.0)
    assert "Run 4.0 m" in description(side_view(picture))


def test_a_ball_that_rolls_back_has_a_run_below_zero():
    row = ChartRow(label="lob wedge", carry_m=6, run_m=-0.8, run_low_m=-1.5, run_high_m=0.2)
    assert "run −0.8 (likely range of the run: −1.5 to 0.2)" in description(
        chart_view(ChartPicture(title="Back", rows=(row,)))
    )


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: LandingCircle(centre=(0, 0), radius_m=0), "radius above 0 m"),
        (lambda: paces(0), "longer than 0 m"),
        (lambda: ChartRow(label="x", carry_m=float("nan"), run_m=1), "no usable carry_m"),
        (lambda: ChartRow(label="x", carry_m=-1, run_m=1), "below 0 m"),
        (lambda: green_view(green_scene(finishes=[1.0, 2.0, 3.0])), "shape"),
        (lambda: green_view(green_scene(holed=[True])), "holed marks"),
        (lambda: green_view(green_scene(heights=Heights(x0_m=0, y0_m=0, cell_m=1, heights_m=[1.0]))), "grid"),
        (lambda: lines_view(lines_scene(curves=(Curve(label="x", x=[1, 2], y=[1]),))), "y values"),
        (lambda: SidePicture(title="x", hole_m=float("inf")), "no usable place"),
    ],
)
def test_senseless_input_is_refused_in_words(make, message):
    with pytest.raises(ParameterError, match=message):
        make()


def test_pictures_load_neither_numba_nor_scipy_and_contourpy_only_when_drawn():
    code = (
        "import sys, firstbounce.pictures.green, firstbounce.pictures.side, firstbounce.pictures.chart, "
        "firstbounce.pictures.lines; print([m for m in ('numba', 'scipy', 'contourpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@settings(max_examples=10, deadline=None)
@given(n=st.integers(0, 5000))
def test_size_of_a_green_stays_bounded(n):
    assert len(green_view(green_scene(n=n)).encode()) < 60_000


def test_the_example_of_the_page_runs():
    page = (ROOT / "docs" / "pictures.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```python\n(.*?)```", page, flags=re.DOTALL)
    names: dict[str, object] = {}
    exec(example, names)
    assert "paces" in description(str(names["svg"]))


def test_the_gallery_writes_every_picture(tmp_path):
    script = ROOT / "docs" / "gallery" / "pictures.py"
    done = subprocess.run([sys.executable, script, tmp_path], capture_output=True, text=True, check=True)
    written = sorted(tmp_path.glob("*.svg"))
    assert len(written) == len(done.stdout.splitlines()) == 8
    for path in written:
        ElementTree.parse(path)
