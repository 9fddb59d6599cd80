"""Landmarks moved to the joints, and frames in which the model was fooled."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from people import chain_of
from render.swing import Swing

from firstbounce.technique.calibration import MOST_SHIFT, calibrated
from firstbounce.technique.landmarks import INDEX, POINTS
from firstbounce.technique.odd_frames import bridged, odd_frames
from firstbounce.technique.pose import MIRRORED, Seen, Square, better, doubtful, faces
from firstbounce.technique.signals import arm_length

QUICK = Swing(back=50.0, ratio=1.2, down_time=0.22)


def mirrored(landmarks):
    """The same player seen in a mirror."""
    xy = landmarks.xy[:, MIRRORED] * [-1.0, 1.0] + [landmarks.width, 0.0]
    return replace(landmarks, xy=xy)


@settings(max_examples=10, deadline=None)
@given(scale=st.floats(0.2, 3.0), across=st.floats(-300, 300), down=st.floats(-300, 300))
def test_the_calibration_turns_grows_and_moves_with_the_player(scale, across, down):
    landmarks = chain_of((QUICK,)).between(1.0, 1.2)
    place = np.array([1000 + across, 1000 + down])
    moved = replace(landmarks, xy=landmarks.xy * scale + place, width=9000, height=9000)
    assert np.allclose(calibrated(moved).xy, calibrated(landmarks).xy * scale + place, atol=1e-6)


def test_a_mirror_changes_nothing():
    landmarks = chain_of((QUICK,))
    assert np.allclose(calibrated(mirrored(landmarks)).xy, mirrored(calibrated(landmarks)).xy, atol=1e-6)


def test_only_arms_are_moved_and_never_far():
    landmarks = chain_of((QUICK,))
    shift = np.hypot(*np.moveaxis(calibrated(landmarks).xy - landmarks.xy, -1, 0))
    arms = [k for name, k in INDEX.items() if name.endswith(("shoulder", "elbow", "wrist"))]
    others = [k for k in range(len(POINTS)) if k not in arms]
    assert (shift[:, others] == 0).all() and shift[:, arms].max() > 1
    assert shift.max() <= MOST_SHIFT * arm_length(landmarks, "left").max() * 1.01


def test_frames_without_a_point_are_left_alone():
    landmarks = chain_of((QUICK,))
    xy = landmarks.xy.copy()
    xy[5, INDEX["left_hip"]] = np.nan
    out = calibrated(replace(landmarks, xy=xy)).xy
    assert np.array_equal(out[5], xy[5], equal_nan=True) and (out[6] != xy[6]).any()


def test_arms_that_leave_the_picture_are_left_alone():
    landmarks = chain_of((QUICK,))
    xy = landmarks.xy - [420.0, 0.0]  # the right wrist is outside on the way back
    out = calibrated(replace(landmarks, xy=xy)).xy
    outside = (xy[:, INDEX["right_wrist"], 0] < 0) | (xy[:, INDEX["right_elbow"], 0] < 0)
    assert outside.any() and (out[outside] == xy[outside]).all()


@pytest.mark.parametrize("fps", [30, 60, 120])
def test_a_quick_swing_has_no_odd_frame(fps):
    assert not odd_frames(chain_of((QUICK,), fps=fps)).any()


def test_frames_with_left_and_right_exchanged_are_bridged():
    landmarks = chain_of((QUICK,))
    fooled = [10, 70, 71, 100]
    xy = landmarks.xy.copy()
    xy[fooled] = xy[fooled][:, MIRRORED]
    out = bridged(replace(landmarks, xy=xy))
    assert np.flatnonzero(odd_frames(replace(landmarks, xy=xy))).tolist() == fooled
    assert np.abs(out.xy - landmarks.xy).max() < 4  # a straight line across 2 frames, 300 px a metre
    assert (out.seen[fooled] == 0).all() and (np.delete(out.seen, fooled, axis=0) == 1).all()


def test_a_clip_that_fooled_the_model_throughout_is_left_as_it_is():
    landmarks = chain_of((QUICK,))
    rng = np.random.default_rng(4)
    shaken = replace(landmarks, xy=landmarks.xy + rng.normal(0, 60, landmarks.xy.shape))
    assert bridged(shaken) is shaken


def seen_at(left, right, presence=0.9):
    xy = np.zeros((len(POINTS), 2))
    xy[INDEX["left_shoulder"]], xy[INDEX["right_shoulder"]] = (left, 100.0), (right, 100.0)
    return Seen(presence, xy, np.ones(len(POINTS)), np.zeros((len(POINTS), 3)), Square(0, 0, 1, 0))


def test_a_front_is_believed_before_a_back_and_a_small_move_before_a_large_one():
    front, back, near = seen_at(200, 100), seen_at(100, 200), seen_at(203, 104)
    assert faces(front) and not faces(back)
    assert doubtful(back, None, 600.0) and not doubtful(near, front, 600.0)
    assert doubtful(seen_at(260, 160), front, 600.0)
    assert better(front, back, front) and not better(back, front, front)
    assert better(near, seen_at(260, 160), front) and not better(seen_at(260, 160), near, front)
    assert not better(seen_at(200, 100, presence=0.2), back, None)
