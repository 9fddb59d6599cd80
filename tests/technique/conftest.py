"""What the tests of clips need: the packages for video, the landmark model, the CC0 bodies."""

from fractions import Fraction

import numpy as np
import pytest
from render import body_data

from firstbounce.services.pose_model import COMMAND, model_is_installed


@pytest.fixture(scope="session")
def model():
    """Skips when the landmark model is not on this machine; CI installs it."""
    if not model_is_installed():
        pytest.skip(f"the landmark model is not installed: make model ({COMMAND})")


@pytest.fixture(scope="session")
def bodies():
    """Skips when the bodies are not in the cache; `make bodies` puts them there."""
    if not body_data.is_there():
        pytest.skip("the test bodies are not there: make bodies")


@pytest.fixture
def write_clip(tmp_path):
    """A function that writes a small clip from pictures, with the time stamps that are given."""
    av = pytest.importorskip("av")

    def write(pictures, times, *, name="clip.mp4", codec="libx264", container_options=None):
        path = tmp_path / name
        height, width = pictures[0].shape[:2]
        with av.open(str(path), "w", options=container_options or {}) as out:
            stream = out.add_stream(codec, rate=30)
            stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
            stream.time_base = stream.codec_context.time_base = Fraction(1, 90000)
            stream.options = (
                {"preset": "ultrafast"} if codec != "libx265" else {"x265-params": "log-level=none"}
            )
            for picture, time in zip(pictures, times, strict=True):
                frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(picture), format="rgb24")
                frame.pts, frame.time_base = round(time * 90000), Fraction(1, 90000)
                out.mux(stream.encode(frame))
            out.mux(stream.encode(None))
        return path

    return write
