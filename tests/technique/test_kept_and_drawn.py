"""Numbers read back from JSON, a stick of known length, consent, drills, and the clip drawn on."""

import datetime
import json
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner
from people import chain_of, landmarks_of
from render.swing import Swing

from firstbounce.cli.app import app
from firstbounce.errors import Cancelled, FileFaults, ParameterError, StoreError, VideoError
from firstbounce.records.queries import new_id
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, PlayerRow
from firstbounce.records.store import open_store
from firstbounce.services import kept, players
from firstbounce.services.annotated_clip import write_annotated
from firstbounce.services.practice import shipped_drills
from firstbounce.services.technique import drills_for, filming_consent, keep_ticks, keep_watched
from firstbounce.services.watch import WatchedClip, watch
from firstbounce.technique.annotate import Note, annotated, places_at, words_at
from firstbounce.technique.by_eye import judge_ticks, read_ticks
from firstbounce.technique.corrections import read_corrections
from firstbounce.technique.landmark_files import landmarks_to_json
from firstbounce.technique.landmarks import INDEX
from firstbounce.technique.marks import DRILLS, FAULTS
from firstbounce.technique.measures import Name
from firstbounce.technique.numbers import numbers_from_tree, over_swings
from firstbounce.technique.reader import read_facts, read_frames
from firstbounce.technique.report import ticks_tree, watched_tree
from firstbounce.technique.watching import watch_landmarks
from firstbounce.words import Level

GOOD = Swing(ratio=1.0)
NOON = datetime.datetime(2026, 5, 2, 12, tzinfo=datetime.UTC)


@pytest.fixture(scope="module")
def two_swings():
    return watch_landmarks(chain_of((GOOD, replace(GOOD, back=30.0))), exact=True)


def test_numbers_come_back_from_json_as_they_were(two_swings):
    swings = numbers_from_tree(json.loads(json.dumps(watched_tree(two_swings))))
    assert [swing.hand for swing in swings] == ["right", "right"]
    for swing, seen in zip(swings, two_swings.swings, strict=True):
        for name, measure in seen.measures.items():
            number = swing.numbers[str(name)]
            assert number.unit == measure.unit and number.refusal == measure.refusal
            assert number.value == pytest.approx(measure.value, abs=1e-4)
        assert swing.verdicts["recoil" if "recoil" in swing.verdicts else "no recoil"] == "passed"


def test_the_mean_over_swings_keeps_the_cameras_error_and_adds_the_players_scatter(two_swings):
    swings = numbers_from_tree(watched_tree(two_swings))
    arc = over_swings(swings, "arc back")
    assert arc.value == pytest.approx(36.0, abs=0.01) and arc.swings == 2
    assert arc.high - arc.value == pytest.approx(np.hypot(0.33, 1.645 * 6.0), rel=0.02)  # sd 8.49 over root 2
    alone = over_swings(swings[:1], "arc back")
    assert alone.high - alone.low == pytest.approx(
        swings[0].numbers["arc back"].high - swings[0].numbers["arc back"].low
    )
    assert over_swings(swings, "hands ahead at strike") is None


@pytest.mark.parametrize(
    "tree", [{}, {"format": 9, "swings": []}, {"format": 1, "swings": [{}]}, {"format": "x"}]
)
def test_what_is_no_result_is_refused(tree):
    with pytest.raises(ParameterError):
        numbers_from_tree(tree)


def stick(length_m, ends):
    return json.dumps({"stick": {"length_m": length_m, "ends": ends}})


def test_a_stick_of_known_length_gives_metres(tmp_path):
    """300 px a metre: a stick of 0.8 m is 240 px; hands 0.55 m from mid-shoulder move 2 r sin(arc / 2)."""
    path, moves = tmp_path / "swing.json", tmp_path / "moves.json"
    path.write_text(landmarks_to_json(chain_of((GOOD,))))
    moves.write_text(stick(0.8, [[100, 700], [100 + 144, 700 + 192]]))
    (seen,) = watch(path, corrections=moves).watched.swings
    back, through = seen.measures[Name.HANDS_BACK], seen.measures[Name.HANDS_THROUGH]
    assert back.value == pytest.approx(2 * 0.55 * np.sin(np.radians(GOOD.back / 2)), abs=0.004)
    assert through.value == pytest.approx(2 * 0.55 * np.sin(np.radians(GOOD.through / 2)), abs=0.004)
    assert back.unit == "m" and back.low < back.value < back.high
    (without,) = watch(path).watched.swings
    assert "stick" in without.measures[Name.HANDS_BACK].refusal


@pytest.mark.parametrize(
    "text", [stick(0.8, [[1, 1], [1, 1]]), stick(-1, [[0, 0], [9, 9]]), stick(1, [[0, 0]]), '{"stick": 3}']
)
def test_a_stick_that_makes_no_sense_is_refused(text):
    with pytest.raises(FileFaults):
        read_corrections(text, "c.json")


def a_clip(watched, path):
    landmarks = chain_of((GOOD,))
    return WatchedClip(path=path, facts=None, landmarks=landmarks, looks=(), watched=watched, slowed=1.0)


def test_a_junior_is_watched_and_kept_only_with_consent_to_filming(tmp_path, two_swings):
    with open_store(tmp_path / "records") as store:
        child = PlayerRow(id=new_id(), name="T. Reed", level=Level.BEGINNER, made=NOON, junior=True)
        record = Consent(
            id=new_id(),
            player_id=child.id,
            kind=ConsentKind.RECORD,
            given_by=Giver.GUARDIAN,
            guardian="A. Reed",
            given=NOON,
            delete_by=datetime.date(2999, 1, 1),
        )
        players.add_player(store, child, [record])
        with pytest.raises(StoreError, match="guardian"):
            watch(tmp_path / "gone.mp4", consent=filming_consent(store, child.id))
        with pytest.raises(StoreError, match="guardian"):
            keep_watched(store, a_clip(two_swings, tmp_path / "x.mp4"), child.id)
        keep_ticks(store, read_ticks("recoil yes"), child.id)
        players.add_consent(store, replace(record, id=new_id(), kind=ConsentKind.FILMING))
        kept_id = keep_watched(store, a_clip(two_swings, tmp_path / "x.mp4"), child.id)
        rows = {row.id: row for row in kept.techniques(store, child.id)}
        assert len(rows) == 2 and len(numbers_from_tree(rows[kept_id].result)) == 2
        with pytest.raises(VideoError, match="There is no file"):
            watch(tmp_path / "gone.mp4", consent=filming_consent(store, child.id))


def test_drills_named_with_a_verdict_exist_and_are_for_its_fault():
    drills = {drill.name: drill for drill in shipped_drills()}
    for item, names in DRILLS.items():
        assert names and all(FAULTS[item] in drills[name].faults for name in names), item


def test_what_failed_is_linked_to_whole_drills():
    judged = judge_ticks(read_ticks("arms together no, recoil no, through matches back no"))
    found = drills_for(judged, shipped_drills())
    assert set(found) == {"arms together", "through matches back"}
    assert [drill.name for drill in found["arms together"]][:2] == [
        "Ball between forearms",
        "Towel under both arms",
    ]
    assert all(drill.caution for drills in found.values() for drill in drills)


def test_ticks_are_kept_in_the_same_shape():
    tree = ticks_tree(judge_ticks(read_ticks("recoil yes", swings=5)), 5)
    assert tree["seen_by"] == "eye" and tree["swings_in_set"] == 5 and numbers_from_tree(tree) == ()


def test_points_are_placed_between_frames():
    landmarks = chain_of((GOOD,))
    half = places_at(landmarks, float(landmarks.time[80] + landmarks.time[81]) / 2)
    assert np.allclose(half, (landmarks.xy[80] + landmarks.xy[81]) / 2)
    assert np.allclose(places_at(landmarks, 99.0), landmarks.xy[-1])


def test_words_follow_the_swing():
    watched = watch_landmarks(chain_of((GOOD,)), exact=True)
    moments = [swing.moments for swing in watched.swings]
    marks = GOOD.marks
    middle = [
        (marks[a] + marks[b]) / 2 for a, b in (("start", "top"), ("top", "strike"), ("strike", "finish"))
    ]
    assert [words_at(moments, t) for t in middle] == ["back", "down", "through"]
    assert words_at(moments, marks["finish"] + 0.5).startswith("held 0.5")
    assert words_at(moments, 99.0) == ""


def test_the_drawing_touches_the_triangle_and_hides_the_face():
    xy = chain_of((GOOD,)).xy[0]
    grey = np.random.default_rng(2).integers(90, 160, (1000, 1000, 3), dtype=np.uint8)
    out = annotated(grey, Note(xy=xy, words="address"))
    middle = ((xy[INDEX["left_shoulder"]] + xy[INDEX["right_shoulder"]]) / 2).astype(int)
    assert (out[middle[1], middle[0]] != grey[middle[1], middle[0]]).any()
    x, y = xy[INDEX["nose"]].astype(int)
    assert out[y - 5 : y + 5, x - 5 : x + 5].std() < 0.5 * grey.std()
    assert annotated(grey, Note(xy=xy, words=""), blur_faces=False)[y, x].tolist() == grey[y, x].tolist()


@pytest.fixture
def drawn_on(write_clip, tmp_path):
    """A grey clip with landmarks that were not found by the model."""
    landmarks = chain_of((GOOD,)).between(0.0, 0.5)
    small = landmarks_of(landmarks.time, landmarks.xy * 0.2, size=200)
    path = write_clip([np.full((201, 200, 3), 90, np.uint8)[:200]] * len(small), small.time)
    watched = watch_landmarks(small, exact=True)
    return WatchedClip(
        path=path, facts=read_facts(path), landmarks=small, looks=(), watched=watched, slowed=1.0
    )


def test_the_clip_is_written_again_with_its_own_times(drawn_on, tmp_path):
    shares = []
    out = write_annotated(drawn_on, tmp_path / "drawn.mp4", progress=shares.append)
    frames = list(read_frames(out))
    assert [frame.time for frame in frames] == pytest.approx(drawn_on.landmarks.time, abs=2e-5)
    assert np.ptp(frames[5].rgb.astype(int), axis=(0, 1)).max() > 60 and shares[-1] == 1.0


def test_a_stopped_drawing_leaves_nothing(drawn_on, tmp_path):
    before = sorted(tmp_path.iterdir())
    with pytest.raises(Cancelled):
        write_annotated(drawn_on, tmp_path / "drawn.mp4", cancelled=lambda: True)
    with pytest.raises(VideoError, match="cannot be written"):
        write_annotated(drawn_on, drawn_on.path)
    with pytest.raises(VideoError, match="cannot be written to"):
        write_annotated(drawn_on, tmp_path / "no folder" / "drawn.mp4")
    with pytest.raises(VideoError, match="no pictures to draw on"):
        write_annotated(replace(drawn_on, facts=None), tmp_path / "drawn.mp4")
    assert sorted(tmp_path.iterdir()) == before


def test_the_command_says_so_when_there_is_nothing_to_draw_on(tmp_path):
    path = tmp_path / "swing.json"
    path.write_text(landmarks_to_json(chain_of((GOOD,))))
    result = CliRunner().invoke(app, ["watch", str(path), "--annotate", str(tmp_path / "a.mp4")])
    assert result.exit_code != 0 and "no pictures to draw on" in result.output
    assert "Traceback" not in result.output and not (tmp_path / "a.mp4").exists()
