"""The sheet of a set-up: every sign drawn apart, nothing overlapping, words for those who cannot see it."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_picture_tidiness import assert_tidy

from firstbounce.errors import ParameterError
from firstbounce.pictures.figure import SHOWS, Figure
from firstbounce.pictures.setup import SetUpPicture, compose_set_up, set_up_view
from firstbounce.pictures.setup_signs import KINDS, Sign, sign_points
from firstbounce.pictures.text import METRES, YARDS

SVG = "{http://www.w3.org/2000/svg}"
metre = st.floats(-30, 30)
words = st.text(max_size=40)
any_sign = st.builds(
    Sign,
    kind=st.sampled_from(KINDS),
    x=metre,
    y=metre,
    to_x=metre,
    to_y=metre,
    size=st.floats(0.05, 6),
    ground=st.sampled_from(["", "rough", "sand", "water"]),
    lines=st.lists(words, max_size=3).map(tuple),
    said=words,
)


def scene(**changes):
    parts = {
        "title": "12. Landing circle",
        "signs": (
            Sign(kind="ball"),
            Sign(
                kind="circle",
                y=10,
                size=1.3,
                lines=("radius 1 club and 4 hands", "11 paces"),
                said="the circle",
            ),
        ),
        "near": (
            Sign(kind="feet", x=-0.45),
            Sign(kind="stick", x=0.7, y=0.8, lines=("stick",), said="the stick"),
        ),
        "figure": Figure(shows="stick", words="foam tip"),
        "note": "Nobody ahead.",
    }
    return SetUpPicture(**(parts | changes))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    signs=st.lists(any_sign, min_size=1, max_size=10).map(tuple),
    near=st.lists(any_sign, max_size=4).map(tuple),
    shows=st.sampled_from(["", *SHOWS]),
    said=words,
    title=words,
    mirrored=st.booleans(),
    measure=st.sampled_from([METRES, YARDS]),
)
def test_any_sheet_is_tidy(signs, near, shows, said, title, mirrored, measure):
    figure = Figure(shows=shows, words=said, mirrored=mirrored) if shows else None
    canvas, _ = compose_set_up(
        SetUpPicture(title=title, signs=signs, near=near, figure=figure, measure=measure)
    )
    assert_tidy(canvas)


@pytest.mark.parametrize("shows", SHOWS)
@pytest.mark.parametrize("mirrored", [False, True])
def test_every_figure_is_drawn_inside_its_window(shows, mirrored):
    picture = scene(signs=(), near=(), figure=Figure(shows=shows, words="words", mirrored=mirrored))
    canvas, said = compose_set_up(picture)
    assert canvas.unplaced == [] and "Face on: words" in said
    box = canvas.frame.box.grown(1)
    marks = canvas.busy()
    assert box.inside(marks).mean() > 0.95  # the line of the ground may run out


@pytest.mark.parametrize("kind", KINDS)
def test_every_sign_is_drawn_differently(kind):
    def drawn(sign_kind):
        signs = (Sign(kind=sign_kind, x=1, y=3, to_x=2, to_y=4, size=0.4), Sign(kind="spot", y=8))
        return "\n".join(compose_set_up(SetUpPicture(title="t", signs=signs, key="k"))[0].parts)

    others = [drawn(other) for other in KINDS if other != kind]
    # without colour: black ink on white paper
    grey = re.compile(r"#[0-9A-Fa-f]{6}")
    assert all(grey.sub("#000000", drawn(kind)) != grey.sub("#000000", other) for other in others)


def test_title_description_and_ids():
    svg = set_up_view(scene())
    root = ElementTree.fromstring(svg)
    assert root.findtext(f"{SVG}desc").startswith("Seen from above, the target up the page: the circle.")
    assert "Close to the ball: the stick" in svg and "Face on: foam tip" in svg
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    assert svg == set_up_view(scene()) and len(svg) < 30_000


def test_windows_hold_what_they_show():
    for near in (scene().near, ()):
        for figure in (scene().figure, None):
            canvas, _ = compose_set_up(scene(near=near, figure=figure))
            assert canvas.unplaced == []
    points = sign_points(scene().signs)
    assert np.ptp(points[:, 1]) == pytest.approx(11.3)


@pytest.mark.parametrize(
    "wrong", [{"kind": "cannon"}, {"kind": "ball", "x": float("nan")}, {"kind": "circle", "size": 0.0}]
)
def test_nonsense_is_refused(wrong):
    with pytest.raises(ParameterError):
        Sign(**wrong)
    with pytest.raises(ParameterError, match="at least one sign"):
        SetUpPicture(title="empty")
