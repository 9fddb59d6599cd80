"""Misses about a target: tidy whatever the numbers, and told in words as well."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from firstbounce.pictures.boxes import Box
from firstbounce.pictures.misses import (
    MOST_DOTS,
    MissArrow,
    MissDots,
    MissEllipse,
    MissesPicture,
    away,
    compose_misses,
    misses_view,
)
from firstbounce.pictures.text import METRES, YARDS

metre = st.floats(-30, 30)


def picture(n=12, seed=1, **changes) -> MissesPicture:
    rng = np.random.default_rng(seed)
    given = {
        "title": "Landings about the spot",
        "target": "landing spot",
        "ring_m": 1.3,
        "ring_words": "7 of 10 usual clean strikes",
        "dots": (MissDots(points=rng.normal(0, 1, (n, 2)), words="landed, clean"),),
        "ellipses": (
            MissEllipse(
                centre=(0.1, 0.2), half_long_m=1.1, half_short_m=0.6, turn_deg=70, words="half of the next"
            ),
        ),
        "arrows": (MissArrow(tail=(0, 0), head=(0.1, 0.2), words="on average 0.2 m long", label="mean"),),
    }
    return MissesPicture(**{**given, **changes})


def assert_tidy(canvas) -> None:
    page = Box(0, 0, canvas.width, canvas.height).grown(0.01)
    assert all(page.holds(written.box) for written in canvas.written)
    for one, two in itertools.combinations(canvas.written, 2):
        assert not one.box.grown(-0.01).overlaps(two.box), f"{one} overlaps {two}"


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    n=st.integers(0, 60),
    seed=st.integers(0, 99),
    ring=st.none() | st.floats(0.1, 8),
    head=st.tuples(metre, metre),
    half=st.floats(0.01, 12),
    target=st.sampled_from(["hole", "landing spot"]),
    measure=st.sampled_from([METRES, YARDS]),
    title=st.text(max_size=40),
)
def test_any_misses_are_tidy(n, seed, ring, head, half, target, measure, title):
    one = picture(
        n,
        seed,
        ring_m=ring,
        target=target,
        measure=measure,
        title=title,
        arrows=(MissArrow(tail=(0, 0), head=head, words="missed the spot", label="strike"),),
        ellipses=(
            MissEllipse(
                centre=head, half_long_m=half, half_short_m=half / 3, turn_deg=20, words="half", label="run"
            ),
        ),
    )
    assert_tidy(compose_misses(one)[0])


def test_the_same_misses_give_the_same_text():
    assert misses_view(picture()) == misses_view(picture())


def test_long_is_up_and_right_is_right():
    canvas, _ = compose_misses(picture())
    (x0, y0), (x1, y1) = canvas.page(np.array([[0.0, 0.0], [1.0, 2.0]])).tolist()
    assert x1 > x0 and y1 < y0
    assert (x1 - x0) / (y0 - y1) == pytest.approx(0.5)


def test_words_say_what_the_picture_shows():
    svg = misses_view(picture())
    for words in ("7 of 10 usual clean strikes, radius 1.3 m", "landed, clean (12)", "half of the next"):
        assert words in svg
    assert "on average 0.2 m long" in svg and 'role="img"' in svg


@pytest.mark.parametrize(
    ("miss", "words"),
    [
        ((0.0, 1.24), "1.2 m long"),
        ((-0.5, -2.0), "2.0 m short and 0.5 m left"),
        ((0.01, 0.02), "on target"),
        ((math.nan, 1.0), "1.0 m long"),
    ],
)
def test_a_miss_in_words(miss, words):
    assert away(np.array(miss), METRES) == words


def test_many_balls_are_thinned_and_the_legend_says_so():
    svg = misses_view(picture(3000))
    assert f"({MOST_DOTS} of 3,000 drawn)" in svg and len(svg) < 60_000


def test_no_balls_are_no_fault():
    svg = misses_view(MissesPicture(title="Nothing yet"))
    assert "No balls to show yet." in svg
