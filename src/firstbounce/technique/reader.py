"""Frames of a clip with their true time stamps: the only module of this package that reads files."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import VideoError
from firstbounce.technique.landmarks import NEEDS_VIDEO

LONGEST_S: Final = 20 * 60  #: longer files are refused [s]
LARGEST_SIDE: Final = 1280  #: frames are made no larger than this when they are decoded [px]
UNREADABLE: Final = (
    "{path} cannot be read as a video: it is damaged, cut short, or of another kind; "
    "copy it from the phone again (mp4 or mov)."
)
PICTURE_FORMATS: Final = ("image2", "_pipe", "gif", "apng", "ico")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipFacts:
    """What a file says of itself. Width and height are upright [px], as frames are handed out."""

    path: Path
    width: int
    height: int
    frames_per_s: float
    seconds: float | None
    frames: int | None


class Frame(NamedTuple):
    """One upright picture (h, w, 3) uint8 and its time from the first frame [s]."""

    time: float
    rgb: NDArray[np.uint8]


def read_facts(path: Path) -> ClipFacts:
    """What the file says of itself; refuses what is not a clip that can be used."""
    with _opened(path) as container:
        stream = _picture_stream(container, path)
        first = _first_frame(container, stream, path)
        seconds = _seconds(container, stream)
        if seconds is not None and seconds > LONGEST_S:
            raise VideoError(
                f"{path} is {seconds / 60:.0f} minutes long; a clip may have {LONGEST_S // 60}: "
                "cut out the part with the swings on the phone and try again."
            )
        width, height = _target_size(first)
        if _quarter_turns(first) % 2:
            width, height = height, width
        rate = float(stream.average_rate or stream.guessed_rate or 0)
        return ClipFacts(
            path=path,
            width=width,
            height=height,
            frames_per_s=rate,
            seconds=seconds,
            frames=int(stream.frames) or None,
        )


def read_frames(
    path: Path, *, least_gap_s: float = 0.0, windows: tuple[tuple[float, float], ...] | None = None
) -> Iterator[Frame]:
    """Upright frames in order, one at a time, at least `least_gap_s` apart, inside `windows` when given.

    A file that ends early or breaks off is refused when that is noticed, after the frames before it. What
    comes after the last window is not read.
    """
    end = max((b for _, b in windows), default=0.0) if windows is not None else np.inf
    with _opened(path) as container:
        stream = _picture_stream(container, path)
        stream.thread_type = "AUTO"
        last, zero, count, kept = -1.0, None, 0, -1e9
        for raw in _decoded(container, stream, path):
            count += 1
            if raw.time is None:
                continue
            zero = raw.time if zero is None else zero
            time = float(raw.time - zero)
            if time <= last and count > 1:
                continue
            last = time
            _refuse_endless(time, path)
            if time > end:
                return
            wanted = windows is None or any(a <= time <= b for a, b in windows)
            if wanted and time - kept >= least_gap_s:
                kept = time
                yield Frame(time, _upright(raw))
        _refuse_cut_short(path, stream, count)


@contextmanager
def _opened(path: Path) -> Iterator[Any]:
    try:
        import av
        import av.error
    except ImportError as missing:
        raise VideoError(NEEDS_VIDEO) from missing
    if not path.exists():
        raise VideoError(f"There is no file {path}.")
    if path.is_dir():
        raise VideoError(f"{path} is a folder; give the clip itself.")
    if path.stat().st_size == 0:
        raise VideoError(f"{path} is empty; copy it from the phone again.")
    try:
        container = av.open(str(path), metadata_errors="ignore")
    except (av.error.FFmpegError, OSError, ValueError) as fault:
        raise VideoError(UNREADABLE.format(path=path)) from fault
    with container:
        yield container


def _picture_stream(container: Any, path: Path) -> Any:
    if any(name in container.format.name for name in PICTURE_FORMATS):
        raise VideoError(f"{path} is a still picture, not a clip; film the swing as a video.")
    streams = [s for s in container.streams.video if not (int(s.disposition) & 0x400)]
    if not streams and not container.streams.audio:
        raise VideoError(UNREADABLE.format(path=path))
    if not streams:
        raise VideoError(f"{path} has sound only; a clip needs pictures.")
    return streams[0]


def _first_frame(container: Any, stream: Any, path: Path) -> Any:
    for raw in _decoded(container, stream, path):
        return raw
    raise VideoError(f"{path} has no frames; film the swing again.")


def _decoded(container: Any, stream: Any, path: Path) -> Iterator[Any]:
    import av.error

    seen = False
    try:
        for raw in container.decode(stream):
            seen = True
            yield raw
    except (av.error.FFmpegError, OSError) as fault:
        where = "part of the way" if seen else "at its first frame"
        raise VideoError(f"{path} breaks off {where}: copy it from the phone again.") from fault


def _seconds(container: Any, stream: Any) -> float | None:
    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return container.duration / 1e6 if container.duration else None


def _refuse_endless(time: float, path: Path) -> None:
    if time > LONGEST_S:
        raise VideoError(
            f"{path} is longer than {LONGEST_S // 60} minutes: cut out the part with the swings first."
        )


def _refuse_cut_short(path: Path, stream: Any, count: int) -> None:
    if count == 0:
        raise VideoError(f"{path} has no frames; film the swing again.")
    if stream.frames and count < 0.95 * stream.frames - 2:
        raise VideoError(
            f"{path} is cut short: {count} of {stream.frames} frames are there; copy it from the phone again."
        )


def _quarter_turns(raw: Any) -> int:
    """Quarter turns against the clock that make the picture upright; PyAV counts the angle that way too."""
    return int(raw.rotation) // 90


def _target_size(raw: Any) -> tuple[int, int]:
    scale = min(1.0, LARGEST_SIDE / max(raw.width, raw.height))
    return max(2, 2 * round(raw.width * scale / 2)), max(2, 2 * round(raw.height * scale / 2))


def _upright(raw: Any) -> NDArray[np.uint8]:
    width, height = _target_size(raw)
    picture = raw.to_ndarray(format="rgb24", width=width, height=height)
    return np.ascontiguousarray(np.rot90(picture, _quarter_turns(raw)))
