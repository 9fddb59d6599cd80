"""Moments looked at again: the mean of the looks is believed there, and in between in proportion."""

import numpy as np
import pytest
from people import chain_of
from render.swing import Swing

from firstbounce.errors import Cancelled
from firstbounce.technique.landmarks import POINTS
from firstbounce.technique.pose import Seen, Square
from firstbounce.technique.second_look import CHANGES, FRAMES, changed, look_again, moments_to_see
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.swings import find_swings
from firstbounce.technique.tracking import Tracked

SWING = Swing(ratio=1.0)
SQUARE = Square(500.0, 500.0, 400.0, 0.1)


class Looks:
    """A model that answers with the true places and an error for each look that depends on the square."""

    def __init__(self, places, error, presence=0.9):
        self.places, self.error, self.presence, self.squares = places, error, presence, []

    def looks(self, rgb, square):
        self.squares.append(square)
        xy = self.places[int(rgb[0, 0, 0])]
        nothing = np.zeros((len(POINTS), 3))
        return tuple(
            Seen(self.presence, xy + sign * self.error(square), np.ones(len(POINTS)), nothing, square)
            for sign in (1.0, -1.0)
        )


@pytest.fixture
def clip():
    """A swing, a track of it in which every point is 3 px to the right, frames that carry their number."""
    landmarks = chain_of((SWING,), fps=30)
    tracked = Tracked(1000, 1000)
    tracked.times = list(landmarks.time)
    tracked.xy = [(xy + np.array([3.0, 0.0])).astype(np.float32) for xy in landmarks.xy]
    tracked.squares = [SQUARE] * len(landmarks)
    frames = [(t, np.full((2, 2, 3), k, np.uint8)) for k, t in enumerate(tracked.times)]
    swings = find_swings(landmarks.time, hand_angle(landmarks))
    return landmarks, tracked, frames, moments_to_see(tracked.times, swings)


def test_address_top_and_finish_of_each_swing_are_chosen(clip):
    landmarks, _, _, moments = clip
    marks = SWING.marks
    assert len(moments) == 3
    for moment, at in zip(moments, ("start", "top", "finish"), strict=True):
        times = landmarks.time[list(moment.frames)]
        assert 1 <= len(times) <= FRAMES and np.abs(times - marks[at]).max() < 0.4
    assert moments[2].last == pytest.approx(marks["leaves"], abs=0.1)


def test_the_mean_of_the_looks_is_believed_everywhere(clip):
    """Errors of a look and of its mirror cancel: what was 3 px off is where it should be."""
    landmarks, tracked, frames, moments = clip
    model = Looks(landmarks.xy, lambda square: 40 * (square.side / SQUARE.side - 1) + 5.0)
    look_again(frames, model, tracked, moments)
    assert np.allclose(tracked.xy, landmarks.xy, atol=1e-3)
    assert len(model.squares) == sum(len(moment.frames) for moment in moments)
    assert {round(s.turn, 3) for s in model.squares} > {0.1, 0.16, 0.04}


def test_between_moments_the_shift_changes_in_proportion_to_the_time(clip):
    landmarks, tracked, frames, moments = clip
    address, top, _ = moments
    places = landmarks.xy.copy()
    places[list(address.frames)] += 6.0
    look_again(frames, Looks(places, lambda square: 0.0), tracked, moments)
    off = (np.array(tracked.xy) - landmarks.xy)[:, 0, 1]
    half = int(np.abs(landmarks.time - (address.last + top.first) / 2).argmin())
    share = (landmarks.time[half] - address.last) / (top.first - address.last)
    assert off[0] == pytest.approx(6.0, abs=1e-3) and off[-1] == pytest.approx(0.0, abs=1e-3)
    assert off[half] == pytest.approx(6.0 * (1 - share), abs=1e-3)


@pytest.mark.parametrize(("error", "presence"), [(100.0, 0.9), (0.0, 0.1)])
def test_a_slip_and_a_look_at_nobody_move_nothing(clip, error, presence):
    landmarks, tracked, frames, moments = clip
    before = np.array(tracked.xy)
    look_again(frames, Looks(landmarks.xy + error, lambda square: 0.0, presence), tracked, moments)
    assert (np.array(tracked.xy) == before).all()


def test_it_can_be_stopped(clip):
    landmarks, tracked, frames, moments = clip
    with pytest.raises(Cancelled):
        look_again(frames, Looks(landmarks.xy, lambda square: 0.0), tracked, moments, cancelled=lambda: True)


def test_changes_stay_small_and_differ():
    squares = {changed(SQUARE, change) for change in CHANGES}
    assert len(squares) == len(CHANGES) == FRAMES
    assert all(abs(s.side / SQUARE.side - 1) < 0.1 and abs(s.turn - SQUARE.turn) < 0.1 for s in squares)
