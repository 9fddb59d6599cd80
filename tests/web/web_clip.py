"""A small clip of a drawn player with a swing that is written down, and what a model would see of it."""

import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "technique"))  # the flat player and the written swing

from people import chain_of
from render.swing import Swing

from firstbounce.technique.tracking import Look, Tracked

SIZE, SHARE = 500, 0.5  #: of the picture [px], and of the flat player in it
LINES = (
    ("left_shoulder", "right_shoulder"),
    ("left_shoulder", "left_elbow", "left_wrist"),
    ("right_shoulder", "right_elbow", "right_wrist"),
    ("left_shoulder", "left_hip", "left_ankle"),
    ("right_shoulder", "right_hip", "right_ankle"),
)


def landmarks(fps=60, **swing):
    """The flat player's landmarks in a picture of SIZE."""
    told = Swing(ratio=1.0, still_before=0.6, hold=1.2, return_time=0.6, back=40.0)
    made = chain_of((replace(told, **swing),), fps=fps, tail=0.2)
    return replace(made, xy=made.xy * SHARE, width=SIZE, height=SIZE)


def seen_by_a_model(made):
    """The same, as the landmark model hands them on."""
    tracked = Tracked(made.width, made.height)
    for time, xy, seen in zip(made.time, made.xy, made.seen, strict=True):
        tracked.times.append(float(time))
        tracked.xy.append(xy.astype(np.float32))
        tracked.seen.append(seen.astype(np.float32))
        tracked.turned.append(0.0)
        tracked.frames += 1
    tracked.looks.append(Look(time=0.0, light=200.0, sharpness=1.0, others=np.int64(0), shift=None))
    tracked.looks.append(Look(time=1.0, light=200.0, sharpness=1.0, others=0, shift=(0.0, 0.0)))
    return tracked


def write_clip(path, made):
    """The player drawn frame by frame, the face as black and white squares, as an mp4."""
    import av
    from PIL import Image, ImageDraw

    from firstbounce.technique.landmarks import INDEX

    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=60)
        stream.width = stream.height = SIZE
        stream.pix_fmt, stream.options = "yuv420p", {"preset": "ultrafast", "crf": "18"}
        stream.time_base = stream.codec_context.time_base = Fraction(1, 90000)
        for time, xy in zip(made.time, made.xy, strict=True):
            picture = Image.new("RGB", (SIZE, SIZE), (150, 170, 140))
            draw = ImageDraw.Draw(picture)
            for line in LINES:
                draw.line([tuple(xy[INDEX[name]]) for name in line], fill=(30, 30, 60), width=8)
            _face(draw, xy[INDEX["nose"]])
            frame = av.VideoFrame.from_ndarray(np.asarray(picture), format="rgb24")
            frame.pts, frame.time_base = round(time * 90000), Fraction(1, 90000)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return path


def put_swing(store, player_id):
    """A clip with a short finish, watched and kept; returns the id of its result."""
    from firstbounce.services import watched_clips

    made = landmarks(ratio=0.7)
    with TemporaryDirectory() as folder:
        path = write_clip(Path(folder) / "swing.mp4", made)
        with patch.object(watched_clips, "track", lambda facts, **_: seen_by_a_model(made)):
            return watched_clips.watch_and_keep(store, path, player_id)


def _face(draw, nose):
    for row in range(-4, 4):
        for column in range(-4, 4):
            x, y = nose[0] + 3 * column, nose[1] + 3 * row
            draw.rectangle((x, y, x + 3, y + 3), fill=(255, 255, 255) if (row + column) % 2 else (0, 0, 0))
