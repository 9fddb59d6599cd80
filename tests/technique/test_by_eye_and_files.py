"""Ticks by eye, landmark files, corrections by hand, reports and the sheet."""

import csv
import io
import json
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from people import chain_of
from render.swing import Swing

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.technique.by_eye import judge_ticks, read_ticks
from firstbounce.technique.corrections import moved_moments, moved_points, read_corrections
from firstbounce.technique.landmark_files import (
    landmarks_from_csv,
    landmarks_from_json,
    landmarks_to_csv,
    landmarks_to_json,
)
from firstbounce.technique.landmarks import INDEX
from firstbounce.technique.marks import Item, Judge, PassMarks, Verdict
from firstbounce.technique.measures import Name
from firstbounce.technique.report import measures_csv, ticks_words, watched_tree, watched_words
from firstbounce.technique.sheet import Sheet, SwingRow, sheet_view
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.stills import Still, hidden_face
from firstbounce.technique.swings import find_swings
from firstbounce.technique.watching import watch_landmarks
from firstbounce.words import Fault

SWING = Swing(ratio=1.0)


def test_ticks_say_the_same_things_as_the_camera_and_are_marked():
    ticks = read_ticks("arms together no, through matches back yes, finish held 2, recoil yes", swings=10)
    judged = {one.item: one for one in judge_ticks(ticks)}
    assert {one.judge for one in judged.values()} == {Judge.COACH}
    assert judged[Item.ARMS].fault is Fault.DISCONNECTED and judged[Item.ARMS].drills
    assert judged[Item.MATCH].verdict is Verdict.PASSED
    assert "2 s" in judged[Item.HELD].says
    assert judged[Item.RECOIL].verdict is Verdict.FAILED
    assert "Coach-judged, a set of 10 swings" in ticks_words(list(judged.values()), 10)


def test_what_was_not_looked_at_is_not_judged():
    judged = judge_ticks(read_ticks("recoil no"))
    assert [one.verdict for one in judged if one.item is not Item.RECOIL] == [Verdict.NOT_JUDGED] * 3


@pytest.mark.parametrize("text", ["arms", "arms together perhaps", "finish held 9", "wrists yes"])
def test_a_tick_that_means_nothing_is_refused(text):
    with pytest.raises(ParameterError, match="is not a tick"):
        read_ticks(text)


@pytest.mark.parametrize(
    ("write", "read"), [(landmarks_to_csv, landmarks_from_csv), (landmarks_to_json, landmarks_from_json)]
)
def test_landmark_files_read_back(write, read):
    landmarks = chain_of((SWING,))
    again = read(write(landmarks), "x")
    assert np.allclose(again.xy, landmarks.xy, atol=0.006) and np.allclose(
        again.time, landmarks.time, atol=1e-5
    )
    here, there = watch_landmarks(landmarks, exact=True), watch_landmarks(again, exact=True)
    name = Name.ARC_BACK
    assert there.swings[0].measures[name].value == pytest.approx(
        here.swings[0].measures[name].value, abs=0.05
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "time_s"),
        ("time_s,left_wrist_x_px,left_wrist_y_px\n", "left_shoulder_x_px"),
        (landmarks_to_csv(chain_of((SWING,)).between(0, 0.01)) + "abc\n", "not a number"),
        (landmarks_to_csv(chain_of((SWING,)).between(0, 0.01)) * 1 + "0,1,1\n", "must rise"),
    ],
)
def test_faults_of_a_landmark_file_are_named(text, said):
    with pytest.raises(FileFaults, match=said):
        landmarks_from_csv(text, "x.csv")


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"frames": 3}', '{"frames": [{"time_s": "x"}]}', '{"frames": []}']
)
def test_json_that_is_not_landmarks_is_refused(text):
    with pytest.raises(FileFaults):
        landmarks_from_json(text, "x.json")


def test_a_coach_may_move_moments_and_points():
    landmarks = chain_of((SWING,))
    found = find_swings(landmarks.time, hand_angle(landmarks))
    later = found[0].top + 0.05
    moves = read_corrections(json.dumps({"moments": [{"swing": 1, "top_s": later}]}), "c.json")
    (swing,) = moved_moments(landmarks, found, moves)
    assert swing.top == later and swing.top_deg > found[0].top_deg
    place = {"points": [{"time_s": 1.0, "left_elbow": [10, 20]}]}
    moved = moved_points(landmarks, read_corrections(json.dumps(place), "c.json"))
    assert np.allclose(moved.xy[60, INDEX["left_elbow"]], [10, 20])
    assert (landmarks.xy[60, INDEX["left_elbow"]] > 100).all()


@pytest.mark.parametrize(
    "text",
    ["x", '{"moments": [{"swing": 1, "middle_s": 1}]}', '{"points": [{"time_s": 1, "left_paw": [1, 2]}]}'],
)
def test_corrections_that_make_no_sense_are_refused(text):
    with pytest.raises(FileFaults):
        read_corrections(text, "c.json")


def test_moments_out_of_order_are_refused():
    landmarks = chain_of((SWING,))
    found = find_swings(landmarks.time, hand_angle(landmarks))
    moves = read_corrections('{"moments": [{"swing": 1, "top_s": 9.0}]}', "c.json")
    with pytest.raises(FileFaults, match="order"):
        moved_moments(landmarks, found, moves)


def test_reports_hold_every_measure_with_its_range_or_its_reason():
    watched = watch_landmarks(chain_of((SWING,)), exact=True)
    tree = json.loads(json.dumps(watched_tree(watched)))
    (swing,) = tree["swings"]
    assert {m["name"] for m in swing["measures"]} == {str(name) for name in Name}
    for m in swing["measures"]:
        assert (m["value"] is None) == bool(m["refusal"])
        assert m["value"] is None or m["low"] <= m["value"] <= m["high"]
    rows = list(csv.DictReader(io.StringIO(measures_csv([("a.mp4", watched), ("b.mp4", watched)]))))
    assert len(rows) == 2 * len(Name) and {row["clip"] for row in rows} == {"a.mp4", "b.mp4"}
    assert float(rows[0]["value"]) == pytest.approx(SWING.back, abs=0.01)
    words = watched_words(watched)
    assert "arc back" in words and "rendered people" in words and "club is not seen" in words


def test_the_sheet_is_well_formed_shows_both_curves_and_shades_the_hold():
    landmarks = chain_of((SWING,))
    still = Still(
        caption="top",
        time=1.0,
        jpeg=b"\xff\xd8",
        width=100,
        height=200,
        left_shoulder=(70, 50),
        right_shoulder=(30, 50),
        hands=(20, 120),
    )
    row = SwingRow(
        name="a <b>",
        stills=(still,) * 5,
        time=landmarks.time - 1,
        angle=hand_angle(landmarks),
        held=(0.3, 1.8),
    )
    svg = sheet_view(Sheet(title="Swing", says="All good.", rows=(row, replace(row, name="c"))))
    root = ElementTree.fromstring(svg)
    assert len([e for e in root.iter() if e.tag.endswith("image")]) == 10
    assert svg.count("fill-opacity") == 2 and "held 1.5 s" in svg
    with pytest.raises(ParameterError):
        Sheet(title="x", says="y", rows=(row, row, row))


def test_a_face_is_blurred_and_nothing_else():
    rng = np.random.default_rng(1)
    picture = rng.integers(0, 255, (1000, 1000, 3), dtype=np.uint8)
    xy = chain_of((SWING,)).xy[0]
    hidden = hidden_face(picture, xy)
    x, y = xy[INDEX["nose"]].astype(int)
    assert hidden[y - 5 : y + 5, x - 5 : x + 5].std() < 0.3 * picture.std()
    assert (hidden[600:] == picture[600:]).all()


@pytest.mark.parametrize("marks", [{"held_s": 0}, {"ratio_low": 2.0}, {"tempo_low": -1}])
def test_pass_marks_that_make_no_sense_are_refused(marks):
    with pytest.raises(ParameterError):
        PassMarks(**marks)


def test_moments_come_in_order():
    landmarks = chain_of((SWING, replace(SWING, recoil=8.0)))
    for swing in find_swings(landmarks.time, hand_angle(landmarks)):
        order = (swing.address, swing.start, swing.top, swing.strike, swing.finish, swing.leaves)
        assert all(a <= b for a, b in pairwise(order))
