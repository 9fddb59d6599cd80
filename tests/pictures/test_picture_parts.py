"""Theme, text, ticks, frames and marks."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.pictures import theme
from firstbounce.pictures.boxes import Box, as_points, thinned
from firstbounce.pictures.canvas import Canvas, Label
from firstbounce.pictures.frame import Frame, fit
from firstbounce.pictures.green_words import along_across
from firstbounce.pictures.marks import Area, Arrow, Band, Dimension, Dots, Ellipse, Polyline, Ring
from firstbounce.pictures.text import coordinate, number, shorten, signed, text_width, wrap
from firstbounce.pictures.textures import TEXTURE_OF, Texture, flat_colour, pattern
from firstbounce.pictures.ticks import nice_below, nice_step, tick_digits, tick_values

finite = st.floats(-1e4, 1e4)


@pytest.mark.parametrize("ground", theme.GROUND_COLOURS)
@pytest.mark.parametrize("ink", theme.TEXT_COLOURS)
def test_text_reaches_contrast_aa_on_every_ground(ink, ground):
    assert theme.contrast(ink, ground) >= 4.5  # WCAG 2.2, 1.4.3 (read)


def test_red_pencil_and_ink_differ_without_colour_by_mark_and_from_the_wash():
    assert theme.contrast(theme.ACCENT, theme.WASH) >= 3  # WCAG 2.2, 1.4.11 (read)
    assert theme.FLIGHT.dash
    assert not theme.RUN.dash


def test_contrast_of_black_and_white_is_21():
    assert theme.contrast("#000000", "#FFFFFF") == pytest.approx(21)  # WCAG 2.2 (read)
    assert theme.contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.01)  # known pair, from memory


def test_different_areas_have_different_textures():
    drawn = {texture: flat_colour(texture) or pattern(texture, "p") for texture in Texture}
    assert len(set(drawn.values())) == len(drawn)
    apart = [TEXTURE_OF[words] for words in ("green", "fringe", "fairway", "light rough", "heavy rough")]
    apart += [TEXTURE_OF[words] for words in ("bunker", "water")]
    assert len(set(apart)) == len(apart)


def test_smallest_text_is_readable_on_a_phone():
    assert theme.SMALL_SIZE * 390 / theme.WIDTH >= 11


@given(st.text(max_size=60), st.floats(5, 400))
def test_shortened_text_fits(text, width):
    assert text_width(shorten(text, 20, width), 20) <= max(width, text_width("…", 20))


@given(st.text(max_size=200))
def test_wrapped_lines_fit_and_lose_no_short_word(text):
    lines = wrap(text, 20, 300)
    assert all(text_width(line, 20) <= 300 for line in lines)
    if all(text_width(word, 20) <= 300 for word in text.split()):
        assert " ".join(lines).split() == text.split()


def test_numbers_for_people():
    assert number(-1.25) == "−1.2"
    assert number(-0.01) == "0.0"
    assert number(12345.6, 0) == "12,346"
    assert [signed(v) for v in (5, 0.2, -5)] == ["+5", "0", "−5"]
    assert coordinate(-0.04) == "0"
    assert coordinate(3.0) == "3"


@given(st.floats(1e-3, 1e4), st.integers(1, 20))
def test_steps_are_round_and_few(span, at_most):
    step = nice_step(span, at_most)
    assert span / step <= at_most * (1 + 1e-6)
    leading = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(leading - k) for k in (1, 2, 5)) < 1e-6


@given(st.floats(-100, 100), st.floats(0.1, 200), st.integers(2, 9))
def test_ticks_lie_inside_and_are_exact_in_their_digits(low, span, at_most):
    ticks = tick_values(low, low + span, at_most)
    digits = tick_digits(nice_step((low + span) - low, at_most))
    assert all(low - 1e-6 * span <= t <= low + span * (1 + 1e-6) for t in ticks)
    assert all(abs(round(t, digits) - t) < 1e-9 for t in ticks)


@given(st.floats(1e-2, 1e4))
def test_scale_bar_is_at_least_two_fifths_of_its_room(length):
    assert 0.4 * length <= nice_below(length) <= length * (1 + 1e-6)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.inf])
def test_no_round_step_for_no_span(bad):
    with pytest.raises(ParameterError):
        nice_step(bad, 5)
    with pytest.raises(ParameterError):
        nice_below(bad)


frames = st.builds(
    lambda cx, cy, sx, sy, turn: Frame(
        box=Box(10, 20, 600, 500), centre=(cx, cy), scale_x=sx, scale_y=sy, turn=turn
    ),
    finite,
    finite,
    st.floats(0.5, 100),
    st.floats(0.5, 100),
    st.floats(-7, 7),
)


@given(frames, finite, finite)
def test_world_and_page_are_inverse(frame, x, y):
    there_and_back = frame.world(frame.page(np.array([[x, y]])))[0]
    assert there_and_back == pytest.approx([x, y], abs=1e-6)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), max_size=12), st.floats(-7, 7))
def test_fitted_frame_shows_every_point(points, turn):
    world = as_points(points)
    frame = fit(world, left=24, top=30, width=672, heights=(300, 800), turn=turn)
    assert frame.box.grown(1e-6).inside(frame.page(world)).all()
    assert 300 <= frame.box.height <= 800
    assert frame.scale_x == frame.scale_y


def test_up_the_page_is_away_and_across_is_right():
    frame = fit(np.array([[0.0, 0.0], [1.0, 1.0]]), left=0, top=0, width=100, heights=(100, 100))
    here, right, away = frame.page(np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    assert right[0] > here[0]
    assert away[1] < here[1]


@given(st.integers(0, 3000), st.integers(1, 800))
def test_thinning_keeps_order_repeats_nothing_and_is_even(n, at_most):
    kept = thinned(n, at_most)
    assert len(kept) == min(n, at_most)
    assert (np.diff(kept) >= 1).all()
    if n > at_most:
        assert np.diff(kept).max(initial=0) <= n / at_most + 1


def test_right_of_the_line_is_positive_as_seen_from_the_start():
    assert along_across((1.0, 3.0), (0.0, 0.0), (0.0, 10.0)) == pytest.approx((3.0, 1.0))
    assert along_across((3.0, 1.0), (0.0, 0.0), (10.0, 0.0)) == pytest.approx((3.0, -1.0))


def test_every_mark_draws_and_reserves_room():
    frame = fit(np.array([[0.0, 0.0], [10.0, 10.0]]), left=24, top=24, width=600, heights=(600, 600))
    canvas = Canvas("marks", frame)
    canvas.height = 650
    canvas.draw(
        Polyline(points=[(0, 0), (5, 5)], casing=True),
        Area(outline=[(0, 0), (1, 0), (1, 1)], texture=Texture.TUFTS),
        Dots(points=[(2, 2), (3, 3)], shape="cross"),
        Ring(centre=(5, 5), radius_m=1),
        Ellipse(centre=(5, 5), half_long_m=2, half_short_m=1, turn_deg=30),
        Arrow(tail=(1, 1), head=(4, 1)),
        Arrow(tail=(1, 1), head=(1, 1)),
        Band(x=[0, 1, 2], low=[0, 0, 0], high=[1, 2, 1]),
        Dimension(a=(0, 0), b=(8, 0), words="8.0 m", aside=20),
        Label(("the arm", "0.4 m"), (5, 5)),
    )
    canvas.place_labels(frame.box)
    svg = canvas.svg("Marks", "All of them")
    assert "8.0 m" in svg
    assert "the arm" in svg
    assert canvas.unplaced == []
    for one, two in itertools.combinations(canvas.written, 2):
        assert not one.box.overlaps(two.box)


@given(st.floats(0.1, 5), st.floats(0.1, 5), st.floats(0, 360))
def test_ellipse_points_lie_on_the_ellipse(a, b, turn):
    points = Ellipse(centre=(1.0, 2.0), half_long_m=a, half_short_m=b, turn_deg=turn).points() - [1.0, 2.0]
    angle = math.radians(turn)
    u = points[:, 0] * math.cos(angle) + points[:, 1] * math.sin(angle)
    v = -points[:, 0] * math.sin(angle) + points[:, 1] * math.cos(angle)
    assert (u / a) ** 2 + (v / b) ** 2 == pytest.approx(np.ones(len(points)))
