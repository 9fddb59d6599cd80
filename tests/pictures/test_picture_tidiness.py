"""No label touches another or leaves the page, whatever the numbers are."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from picture_scenes import SQUARE, chart_scene, green_scene, lines_scene, side_scene, slope

from firstbounce.pictures.boxes import Box
from firstbounce.pictures.canvas import Canvas, Label
from firstbounce.pictures.chart import ChartPicture, ChartRow, compose_chart
from firstbounce.pictures.frame import fit
from firstbounce.pictures.green import BallPath, GreenPicture, LandingCircle, compose_green
from firstbounce.pictures.lines import Curve, LinesPicture, compose_lines
from firstbounce.pictures.side import SidePicture, compose_side
from firstbounce.pictures.text import METRES, YARDS, paces
from firstbounce.pictures.theme import MARGIN, WIDTH

FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
metre = st.floats(-40, 40)
point = st.tuples(metre, metre)
words = st.text(min_size=0, max_size=40)
measures = st.sampled_from([METRES, YARDS, paces(0.8)])


def assert_tidy(canvas: Canvas) -> None:
    page = Box(0, 0, canvas.width, canvas.height).grown(0.01)
    for written in canvas.written:
        assert page.holds(written.box), f"{written} leaves the page"
    for one, two in itertools.combinations(canvas.written, 2):
        assert not one.box.grown(-0.01).overlaps(two.box), f"{one} overlaps {two}"


@pytest.mark.parametrize(
    "canvas",
    [
        compose_green(green_scene())[0],
        compose_green(green_scene(up="away", measure=YARDS, hole=(9.0, 9.0)))[0],
        compose_side(side_scene())[0],
        compose_chart(chart_scene())[0],
        compose_lines(lines_scene())[0],
    ],
    ids=["green", "green as it lies", "side", "chart", "lines"],
)
def test_usual_pictures_are_tidy_and_place_every_label(canvas):
    assert_tidy(canvas)
    assert canvas.unplaced == []


@FEW
@given(
    start=point,
    hole=point,
    centre=point,
    radius=st.floats(0.05, 8),
    n=st.integers(0, 80),
    seed=st.integers(0, 99),
    percent=st.floats(-8, 8),
    title=words,
    note=words,
    measure=measures,
    up=st.sampled_from(["hole", "away"]),
)
def test_any_green_is_tidy(start, hole, centre, radius, n, seed, percent, title, note, measure, up):
    rng = np.random.default_rng(seed)
    picture = GreenPicture(
        title=title,
        start=start,
        hole=hole,
        outline=SQUARE,
        heights=slope(percent),
        circle=LandingCircle(centre=centre, radius_m=radius),
        finishes=rng.normal(hole, 2.0, (n, 2)),
        landings=rng.normal(centre, radius, (n // 2, 2)),
        path=BallPath(flight=[start, centre], run=[centre, hole]),
        note=note,
        measure=measure,
        up=up,
    )
    assert_tidy(compose_green(picture)[0])


@FEW
@given(
    carry=st.floats(0.3, 60),
    run=st.floats(-5, 60),
    apex=st.floats(0.05, 12),
    hole=st.none() | st.floats(-20, 120),
    rise=st.floats(-0.1, 0.1),
    title=words,
    measure=measures,
)
def test_any_side_view_is_tidy(carry, run, apex, hole, rise, title, measure):
    u = np.linspace(0, 1, 9)
    picture = SidePicture(
        title=title,
        flight=np.column_stack([carry * u, 4 * apex * u * (1 - u) + rise * carry * u]),
        roll=np.column_stack([carry + run * u, rise * (carry + run * u)]),
        ground=[(-50, -50 * rise), (200, 200 * rise)],
        hole_m=hole,
        measure=measure,
    )
    assert_tidy(compose_side(picture)[0])


chart_rows = st.builds(
    lambda label, carry, run, low, high, aside: ChartRow(
        label=label, carry_m=carry, run_m=run, run_low_m=run - low, run_high_m=run + high, aside=aside
    ),
    words,
    st.floats(0, 60),
    st.floats(-6, 90),
    st.floats(0, 9),
    st.floats(0, 9),
    st.just("") | words,
)


@FEW
@given(rows=st.lists(chart_rows, max_size=14), title=words, note=words, measure=measures)
def test_any_chart_is_tidy(rows, title, note, measure):
    picture = ChartPicture(title=title, rows=tuple(rows), note=note, measure=measure)
    assert_tidy(compose_chart(picture)[0])


@FEW
@given(
    curves=st.lists(
        st.builds(
            lambda label, a, b: Curve(label=label, x=[0.0, 3.0, 9.0], y=[a, (a + b) / 2, b], dots=True),
            words,
            st.floats(-50, 200),
            st.floats(-50, 200),
        ),
        max_size=8,
    ),
    title=words,
    from_zero=st.booleans(),
)
def test_any_curves_are_tidy(curves, title, from_zero):
    picture = LinesPicture(
        title=title, x_words="days", y_words="circle hits", curves=tuple(curves), from_zero=from_zero
    )
    assert_tidy(compose_lines(picture)[0])


@FEW
@given(labels=st.lists(st.tuples(point, words), max_size=30))
def test_labels_of_any_canvas_stay_apart_and_in_the_window(labels):
    width = WIDTH - 2 * MARGIN
    frame = fit(
        np.array([[-40.0, -40.0], [40.0, 40.0]]), left=MARGIN, top=10, width=width, heights=(400, 400)
    )
    canvas = Canvas("many", frame)
    canvas.height = 420
    canvas.draw(*(Label((text, "second line"), at, bold=True) for at, text in labels))
    canvas.place_labels(frame.box)
    assert_tidy(canvas)
    assert all(frame.box.grown(0.01).holds(written.box) for written in canvas.written)
    assert len(canvas.written) == 2 * (len(labels) - len(canvas.unplaced))


def test_a_label_without_room_is_said_below_the_picture():
    crowd = tuple(Label((f"a rather long name, number {k}",), (0.0, 7.0)) for k in range(400))
    canvas, _ = compose_green(green_scene(marks=crowd))
    assert canvas.unplaced
    assert any("Not written in the picture" in written.text for written in canvas.written)
    assert_tidy(canvas)
