"""What is refused, and with which advice: from landmarks and looks that are written down."""

from dataclasses import replace

import numpy as np
import pytest
from people import chain_of
from render.swing import Swing

from firstbounce.technique.landmarks import INDEX
from firstbounce.technique.measures import Name
from firstbounce.technique.refusals import ADVICE, Reason
from firstbounce.technique.tracking import Look
from firstbounce.technique.watching import watch_landmarks

SWING = Swing(ratio=1.0, still_before=1.0)
PLAYER = chain_of((SWING,))
LIT = Look(time=0.0, light=180.0, sharpness=0.8, others=0, shift=(0.0, 0.0))


def looks(**changes):
    """A look every quarter of a second, all alike but for the changes."""
    return [replace(LIT, time=float(t), **changes) for t in np.arange(0, PLAYER.time[-1], 0.25)]


def reasons(landmarks=PLAYER, **options):
    watched = watch_landmarks(landmarks, **options)
    assert all(r.sentence and r.sentence[-1] == "." for r in watched.all_refusals)
    assert not watched.all_refusals or not any(swing.judged for swing in watched.swings)
    return [r.reason for r in watched.all_refusals]


def moved(names, by):
    xy = PLAYER.xy.copy()
    for name in names:
        xy[:, INDEX[name]] += by
    return replace(PLAYER, xy=xy)


def hidden(names, share):
    """Points that are hardly seen in the first `share` of the frames."""
    seen = PLAYER.seen.copy()
    for name in names:
        seen[: int(share * len(PLAYER)), INDEX[name]] = 0.1
    return replace(PLAYER, seen=seen)


def test_a_good_clip_is_not_refused():
    assert reasons(looks=looks()) == []


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"light": 20.0}, Reason.TOO_DARK),
        ({"sharpness": 0.2}, Reason.TOO_BLURRED),
        ({"others": 1}, Reason.TWO_PEOPLE),
        ({"shift": (0.02, 0.0)}, Reason.CAMERA_MOVING),
    ],
)
def test_pictures_that_cannot_be_used(changes, reason):
    assert reasons(looks=looks(**changes)) == [reason]


def test_one_odd_match_of_the_background_is_no_movement():
    every = looks()
    every[3] = replace(every[3], shift=(0.3, 0.1))
    assert reasons(looks=every) == []


def test_nobody_and_a_dark_picture_and_a_blurred_one_are_told_apart():
    nobody = PLAYER.between(-2.0, -1.0)
    assert reasons(nobody, frames=200) == [Reason.NO_PERSON]
    assert reasons(nobody, frames=200, looks=looks(light=10.0)) == [Reason.TOO_DARK]
    assert reasons(nobody, frames=200, looks=looks(sharpness=0.1)) == [Reason.NO_PERSON, Reason.TOO_BLURRED]


@pytest.mark.parametrize("turn", [30.0, 90.0, 180.0])
def test_a_player_who_does_not_face_the_camera(turn):
    assert reasons(replace(PLAYER, turned=np.full(len(PLAYER), turn))) == [Reason.NOT_FACE_ON]


def test_a_player_seen_from_behind():
    xy = PLAYER.xy * np.array([-1.0, 1.0]) + np.array([1000.0, 0.0])
    assert Reason.NOT_FACE_ON in reasons(replace(PLAYER, xy=xy))


def test_feet_and_hands_out_of_the_picture_are_named():
    low = watch_landmarks(moved(("left_ankle", "right_ankle"), np.array([0.0, 400.0])))
    assert [r.sentence[:12] for r in low.all_refusals] == ["The feet are"]
    short = replace(PLAYER, width=560)
    assert "hands" in watch_landmarks(short).all_refusals[0].sentence


def test_arms_that_are_hardly_seen_are_refused_and_a_few_such_frames_are_not():
    arms = ("left_elbow", "right_elbow", "left_wrist", "right_wrist")
    assert reasons(hidden(arms, 0.8)) == [Reason.UNCERTAIN]
    assert reasons(hidden(arms, 0.15)) == []


def test_a_still_player_makes_no_swing():
    assert reasons(PLAYER.between(0.0, 0.6)) == [Reason.NO_SWING]


def test_a_player_who_was_never_still_gets_no_arcs_and_no_tempo():
    (seen,) = watch_landmarks(PLAYER.between(1.02, 99.0)).swings
    for name in (Name.ARC_BACK, Name.RATIO, Name.TEMPO, Name.LEAD_ELBOW):
        assert seen.measures[name].refusal == ADVICE[Reason.NEVER_STILL]
    assert seen.measures[Name.HELD].value is not None
