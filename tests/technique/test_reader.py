"""Reading clips: true time stamps, upright frames, and a clear sentence for everything that is not a clip."""

import signal
import struct
import subprocess
import sys
import wave
from fractions import Fraction

import numpy as np
import pytest
from click.testing import CliRunner

from firstbounce.cli.app import app
from firstbounce.errors import VideoError
from firstbounce.technique.reader import read_facts, read_frames

av = pytest.importorskip("av")


def pictures(count, height=96, width=64):
    """Grey pictures with a bright upper left corner, each a little lighter than the last."""
    out = np.full((count, height, width, 3), 60, np.uint8)
    out += np.arange(count, dtype=np.uint8)[:, None, None, None] * (100 // count)
    out[:, :32, :32] = 240
    return list(out)


@pytest.mark.parametrize("codec", ["libx264", "libx265"])
@pytest.mark.parametrize("fps", [30, 120, 240])
def test_time_stamps_are_those_of_the_file(write_clip, codec, fps):
    times = np.arange(12) / fps
    path = write_clip(pictures(12), times, codec=codec)
    assert [frame.time for frame in read_frames(path)] == pytest.approx(times, abs=2e-5)


def test_a_variable_rate_keeps_its_uneven_times(write_clip):
    times = np.cumsum([0.0, *([1 / 60, 1 / 20] * 6)])
    path = write_clip(pictures(13), times)
    assert [frame.time for frame in read_frames(path)] == pytest.approx(times, abs=2e-5)


#: the matrix of a track (ISO/IEC 14496-12, tkhd) that turns it by 0 to 3 quarters clockwise, 16.16 and 2.30
QUARTERS = (
    (0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000),
    (0, 0x10000, 0, -0x10000, 0, 0, 0, 0, 0x40000000),
    (-0x10000, 0, 0, 0, -0x10000, 0, 0, 0, 0x40000000),
    (0, -0x10000, 0, 0x10000, 0, 0, 0, 0, 0x40000000),
)


def with_rotation(path, turns):
    """The file with the rotation that a phone would write into its track header."""
    content = bytearray(path.read_bytes())
    begin = content.index(b"tkhd") + 4
    matrix = begin + (52 if content[begin] == 1 else 40)
    content[matrix : matrix + 36] = struct.pack(">9i", *QUARTERS[turns])
    path.write_bytes(content)
    return path


@pytest.mark.parametrize("turns", [0, 1, 2, 3])
@pytest.mark.parametrize("name", ["clip.mp4", "clip.mov"])
def test_a_turned_clip_is_handed_out_upright(write_clip, turns, name):
    path = write_clip([np.rot90(p, turns) for p in pictures(3)], [0, 0.1, 0.2], name=name)
    facts = read_facts(with_rotation(path, turns))
    frame = next(iter(read_frames(path)))
    assert frame.rgb.shape == (96, 64, 3) and (facts.width, facts.height) == (64, 96)
    assert frame.rgb[:24, :24].mean() > 200 > frame.rgb[48:].mean()


def test_a_phones_clip_hevc_mov_turned_and_uneven(write_clip):
    """Everything at once: HEVC in a .mov, on its side, with the uneven times of a variable rate."""
    times = np.cumsum([0.0, *([1 / 240, 1 / 120] * 5)])
    turned = [np.rot90(p, 1) for p in pictures(11)]
    path = with_rotation(write_clip(turned, times, name="clip.mov", codec="libx265"), 1)
    frames = list(read_frames(path))
    assert [frame.time for frame in frames] == pytest.approx(times, abs=2e-5)
    assert {frame.rgb.shape for frame in frames} == {(96, 64, 3)}


def test_frames_may_be_thinned_and_cut_to_windows(write_clip):
    path = write_clip(pictures(30), np.arange(30) / 60)
    assert len(list(read_frames(path, least_gap_s=0.03))) == 15
    inside = [frame.time for frame in read_frames(path, windows=((0.1, 0.2), (0.4, 0.45)))]
    assert min(inside) >= 0.1 and all(t <= 0.2 or 0.4 <= t <= 0.45 for t in inside)


def test_large_frames_are_made_smaller(write_clip):
    path = write_clip([np.zeros((1600, 800, 3), np.uint8)] * 2, [0, 0.1])
    assert next(iter(read_frames(path))).rgb.shape == (1280, 640, 3)


def sound_only(tmp_path):
    path = tmp_path / "sound.wav"
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(8000)
        out.writeframes(b"\0\0" * 8000)
    return path


def a_picture(tmp_path):
    from PIL import Image

    path = tmp_path / "still.png"
    Image.new("RGB", (64, 64), "green").save(path)
    return path


def not_a_video(tmp_path):
    path = tmp_path / "notes.mp4"
    path.write_text("this is no video\n" * 200)
    return path


def empty(tmp_path):
    path = tmp_path / "empty.mp4"
    path.touch()
    return path


def sound_in_mp4(tmp_path):
    path = tmp_path / "sound.mp4"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("aac", rate=8000, layout="mono")
        for start in range(0, 8000, 1000):
            frame = av.AudioFrame.from_ndarray(np.zeros((1, 1000), np.float32), format="fltp", layout="mono")
            frame.sample_rate, frame.pts = 8000, start
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return path


def a_photograph(tmp_path):
    from PIL import Image

    path = tmp_path / "still.jpg"
    Image.new("RGB", (64, 64), "green").save(path)
    return path


def a_clip(tmp_path, times, name="clip.mp4"):
    """A small clip of noise, its index before the pictures."""
    path = tmp_path / name
    rng = np.random.default_rng(1)
    with av.open(str(path), "w", options={"movflags": "faststart"}) as out:
        stream = out.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 64, 96, "yuv420p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, 90000)
        if not len(times):
            out.start_encoding()
        for time in times:
            picture = rng.integers(0, 255, (96, 64, 3), dtype=np.uint8)
            frame = av.VideoFrame.from_ndarray(picture, format="rgb24")
            frame.pts, frame.time_base = round(time * 90000), Fraction(1, 90000)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return path


def no_frames(tmp_path):
    """A whole file with a track of pictures in which there are none."""
    return a_clip(tmp_path, [], "clip.avi")


def cut_in_half(tmp_path):
    path = a_clip(tmp_path, np.arange(40) / 30)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    return path


def cut_in_its_head(tmp_path):
    path = a_clip(tmp_path, np.arange(40) / 30)
    path.write_bytes(path.read_bytes()[:200])
    return path


BAD = {
    "sound only": (sound_only, "sound only"),
    "sound only in mp4": (sound_in_mp4, "sound only"),
    "no frames": (no_frames, "has no frames"),
    "no frames in mp4": (lambda tmp: a_clip(tmp, []), "cannot be read as a video"),
    "cut in half": (cut_in_half, "copy it from the phone again"),
    "cut in its head": (cut_in_its_head, "cannot be read as a video"),
    "four hours": (lambda tmp: a_clip(tmp, [0, 4 * 3600.0]), "240 minutes long"),
    "a picture": (a_picture, "still picture"),
    "a photograph": (a_photograph, "still picture"),
    "not a video": (not_a_video, "cannot be read as a video"),
    "empty": (empty, "is empty"),
    "a folder": (lambda tmp: tmp, "is a folder"),
    "nothing there": (lambda tmp: tmp / "gone.mp4", "There is no file"),
}


@pytest.mark.parametrize("kind", BAD)
def test_what_is_not_a_clip_is_refused_in_one_sentence(tmp_path, kind, model):
    make, said = BAD[kind]
    path = make(tmp_path)
    before = sorted(tmp_path.iterdir())
    result = CliRunner().invoke(app, ["watch", str(path)])
    assert result.exit_code != 0 and said in result.output and "Traceback" not in result.output
    assert len(result.output.strip().splitlines()) == 1
    assert sorted(tmp_path.iterdir()) == before


def test_a_file_that_breaks_off_is_refused(write_clip):
    noise = list(np.random.default_rng(1).integers(0, 255, (40, 96, 64, 3), dtype=np.uint8))
    path = write_clip(noise, np.arange(40) / 30, container_options={"movflags": "faststart"})
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(VideoError, match="copy it from the phone again"):
        list(read_frames(path))
    path.write_bytes(whole[:200])
    with pytest.raises(VideoError, match="cannot be read as a video"):
        read_facts(path)


def test_a_four_hour_file_is_refused_at_once(write_clip):
    path = write_clip(pictures(2), [0, 4 * 3600.0])
    with pytest.raises(VideoError, match="minutes"):
        read_facts(path)
    with pytest.raises(VideoError, match="minutes"):
        list(read_frames(path))


def test_a_missing_model_is_one_sentence_with_the_command(write_clip, tmp_path, monkeypatch):
    monkeypatch.setenv("FIRSTBOUNCE_MODELS", str(tmp_path / "none"))
    path = write_clip(pictures(3), [0, 0.1, 0.2])
    result = CliRunner().invoke(app, ["watch", str(path)])
    assert result.exit_code != 0 and "firstbounce watch --install-model" in result.output
    assert "Traceback" not in result.output


def a_sharp_lawn():
    return list(np.random.default_rng(2).integers(0, 255, (12, 240, 320, 3), dtype=np.uint8))


@pytest.mark.parametrize("picture", [a_sharp_lawn, lambda: pictures(12, 320, 240)], ids=["lawn", "wall"])
def test_a_clip_with_nobody_in_it_says_so(write_clip, model, picture):
    path = write_clip(picture(), np.arange(12) / 10)
    result = CliRunner().invoke(app, ["watch", str(path)])
    assert result.exit_code == 0 and result.output.startswith("Nobody was found")
    assert "Traceback" not in result.output and "Swing" not in result.output


def test_a_watch_can_be_stopped_from_the_keyboard(tmp_path, model):
    path = a_clip(tmp_path, np.arange(3000) / 30)
    out = tmp_path / "drawn.mp4"
    before = sorted(tmp_path.iterdir())
    command = [sys.executable, "-m", "firstbounce", "watch", str(path), "--annotate", str(out)]
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    with pytest.raises(subprocess.TimeoutExpired):
        run.wait(5)
    run.send_signal(signal.SIGINT)
    _, said = run.communicate(timeout=60)
    assert run.returncode == 130 and "Stopped." in said and "Traceback" not in said
    assert sorted(tmp_path.iterdir()) == before
