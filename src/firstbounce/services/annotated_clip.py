"""A watched clip written again with triangle, arc of the hands and moments drawn on every frame."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import Cancelled, VideoError
from firstbounce.services.watch import WatchedClip
from firstbounce.technique.annotate import Note, annotated, places_at, words_at
from firstbounce.technique.landmarks import NEEDS_VIDEO
from firstbounce.technique.reader import Frame, read_frames

TICKS_S: Final = 90_000  #: time stamps are kept to this part of a second
QUALITY: Final = {"crf": "23", "preset": "veryfast"}


def write_annotated(
    clip: WatchedClip,
    path: Path,
    *,
    blur_faces: bool = True,
    progress: Callable[[float], None] = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Path:
    """Write the clip as .mp4 (H.264, no sound) with the same time stamps; nothing is left when it stops.

    VideoError for landmarks from a file, and when the clip itself would be written over.
    """
    if clip.facts is None:
        raise VideoError(f"{clip.path} holds landmarks and no pictures to draw on; give the clip itself.")
    if not len(clip.landmarks):
        raise VideoError(f"{clip.path} has nobody to draw on; film one player, whole body in the picture.")
    if path.suffix.lower() != ".mp4" or path.resolve() == clip.path.resolve():
        raise VideoError(f"{path} cannot be written: name another file that ends in .mp4.")
    half = path.with_name(f"{path.stem}.part.mp4")
    try:
        _write(half, _drawn(clip, blur_faces, progress, cancelled))
        half.replace(path)
    finally:
        half.unlink(missing_ok=True)
    return path


def _drawn(
    clip: WatchedClip, blur_faces: bool, progress: Callable[[float], None], cancelled: Callable[[], bool]
) -> Iterator[Frame]:
    """Frames with their drawing, at the times of the file."""
    moments = [swing.moments for swing in clip.watched.swings]
    length = max(float(clip.landmarks.time[-1]), 1e-3) * clip.slowed
    for time, rgb in read_frames(clip.path):
        if cancelled():
            raise Cancelled("Stopped; nothing was kept.")
        progress(min(1.0, time / length))
        at = time / clip.slowed
        note = Note(xy=places_at(clip.landmarks, at), words=words_at(moments, at))
        yield Frame(time, annotated(rgb, note, blur_faces=blur_faces))


def _write(path: Path, frames: Iterator[Frame]) -> None:
    try:
        import av
    except ImportError as missing:
        raise VideoError(NEEDS_VIDEO) from missing
    try:
        with av.open(str(path), "w") as out:
            _encode(out, frames)
    except OSError as fault:
        raise VideoError(f"{path.parent} cannot be written to: {fault.strerror}.") from fault


def _encode(out: Any, frames: Iterator[Frame]) -> None:
    """Every frame with its own time stamp."""
    import av

    stream: Any = None
    for time, rgb in frames:
        even = _even(rgb)
        if stream is None:
            stream = out.add_stream("libx264", rate=30, options=dict(QUALITY))
            stream.height, stream.width = even.shape[:2]
            stream.pix_fmt = "yuv420p"
            stream.time_base = stream.codec_context.time_base = Fraction(1, TICKS_S)
        picture = av.VideoFrame.from_ndarray(even, format="rgb24")
        picture.pts, picture.time_base = round(time * TICKS_S), Fraction(1, TICKS_S)
        out.mux(stream.encode(picture))
    if stream is not None:
        out.mux(stream.encode(None))


def _even(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture without an odd last row or column, which the format cannot hold."""
    height, width = rgb.shape[:2]
    return np.ascontiguousarray(rgb[: height - height % 2, : width - width % 2])
