"""Frames to landmarks, with notes on the pictures themselves: light, sharpness, people, camera."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import Cancelled
from firstbounce.technique.landmarks import INDEX, POINTS, Landmarks
from firstbounce.technique.pose import PoseModel, Seen, Square
from firstbounce.technique.reader import Frame

LOOK_EVERY_S: Final = 0.25  #: the pictures themselves are looked at this often [s]
SMALL_SIDE: Final = 192  #: longer side of the small picture used for the background [px]
LEAST_TEXTURE: Final = 2.5  #: standard deviation of a background that can be followed, of 255
CROP_HEIGHT: Final = 300  #: height of the player where sharpness is judged [px]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look at a picture as such."""

    time: float
    light: float  #: 95th percentile of the brightness of the player, 0 to 255
    sharpness: float  #: steepest edges over contrast, at the player's size; about 1 for a sharp picture
    others: int  #: people beside the player, of at least half the player's size
    shift: (
        tuple[float, float] | None
    )  #: how far the background has slid since the last look, share of the picture's longer side


@dataclass(slots=True)
class Tracked:
    """Landmarks and looks, gathered frame by frame; memory grows by about 600 bytes a frame."""

    width: int
    height: int
    times: list[float] = field(default_factory=list)
    xy: list[NDArray[np.float32]] = field(default_factory=list)
    seen: list[NDArray[np.float32]] = field(default_factory=list)
    turned: list[float] = field(default_factory=list)
    squares: list[Square] = field(default_factory=list)
    looks: list[Look] = field(default_factory=list)
    frames: int = 0

    def add(self, time: float, person: Seen | None) -> None:
        """Keep what was seen in one frame."""
        self.frames += 1
        if person is None:
            return
        self.times.append(time)
        self.xy.append(person.xy.astype(np.float32))
        self.seen.append(person.seen.astype(np.float32))
        self.turned.append(body_turn(person))
        self.squares.append(person.square)

    def take(self, closer: Tracked) -> None:
        """Add the frames of a closer look; where both have a frame, the closer look's."""
        there = {round(time, 6) for time in closer.times}
        own = [i for i, time in enumerate(self.times) if round(time, 6) not in there]
        times = [*(self.times[i] for i in own), *closer.times]
        order = sorted(range(len(times)), key=times.__getitem__)
        for name in ("times", "xy", "seen", "turned", "squares"):
            mine, theirs = getattr(self, name), getattr(closer, name)
            both = [*(mine[i] for i in own), *theirs]
            setattr(self, name, [both[i] for i in order])

    def landmarks(self) -> Landmarks:
        """Everything seen so far."""
        count = len(self.times)
        return Landmarks(
            time=np.array(self.times),
            xy=np.array(self.xy, float).reshape(count, len(POINTS), 2),
            seen=np.array(self.seen, float).reshape(count, len(POINTS)),
            turned=np.array(self.turned),
            width=self.width,
            height=self.height,
        )


def body_turn(person: Seen) -> float:
    """How far hips and shoulders are turned from the camera [deg], from the model's depth.

    180 when from behind.
    """
    w = person.world
    across = (w[INDEX["left_shoulder"]] - w[INDEX["right_shoulder"]]) + (
        w[INDEX["left_hip"]] - w[INDEX["right_hip"]]
    )
    return float(np.degrees(np.arctan2(across[2], across[0])))


def follow(
    frames: Iterable[Frame],
    model: PoseModel,
    tracked: Tracked,
    *,
    progress: Callable[[float], None] = lambda seconds: None,
    cancelled: Callable[[], bool] = lambda: False,
    look: bool = True,
) -> Tracked:
    """Run the model over frames and add what it sees to `tracked`.

    Looks at the cancel flag at every frame.
    """
    model.forget()
    last: tuple[float, NDArray[np.float64]] | None = None
    for time, rgb in frames:
        if cancelled():
            raise Cancelled("Stopped; nothing was kept.")
        person = model.track(rgb)
        tracked.add(time, person)
        progress(time)
        if look and (last is None or time - last[0] >= LOOK_EVERY_S):
            xy = person.xy if person is not None else _whole(rgb)
            small = background(rgb, xy) if person is not None else np.zeros((8, 8))
            shift = slide(last[1], small) if last and last[1].shape == small.shape else None
            others = _others(model.people(rgb), xy) if person is not None else 0
            tracked.looks.append(look_at(time, rgb, xy, others, shift))
            last = time, small
    return tracked


def look_at(
    time: float,
    rgb: NDArray[np.uint8],
    xy: NDArray[np.float64],
    others: int,
    shift: tuple[float, float] | None,
) -> Look:
    """Judge one picture as such; xy are the player's points."""
    crop = player_crop(rgb, xy)
    return Look(
        time=time, light=float(np.percentile(crop, 95)), sharpness=sharpness(crop), others=others, shift=shift
    )


def _whole(rgb: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Two corners that make the whole picture the place to look at, when nobody was found."""
    return np.array([[0.0, 0.0], [rgb.shape[1], rgb.shape[0]]])


def _others(people: list[Square], xy: NDArray[np.float64]) -> int:
    """How many people of at least half the player's size stand well away from the player's hips."""
    hips = (xy[INDEX["left_hip"]] + xy[INDEX["right_hip"]]) / 2
    tall = xy[:, 1].max() - xy[:, 1].min()
    return sum(p.side > 0.5 * tall and abs(p.x - hips[0]) > 0.2 * tall for p in people)


def _box(xy: NDArray[np.float64], shape: tuple[int, ...], margin: float) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of the player.

    Widened by a share of the height and kept in the picture [px].
    """
    low, high = xy.min(0), xy.max(0)
    more = margin * (high[1] - low[1])
    left, top = np.maximum(low - more, 0).astype(int)
    right, bottom = np.minimum(high + more, [shape[1], shape[0]]).astype(int)
    return min(left, shape[1] - 8), min(top, shape[0] - 8), max(right, left + 8), max(bottom, top + 8)


def player_crop(rgb: NDArray[np.uint8], xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """The player in grey (h, w), CROP_HEIGHT tall whatever their size in the picture."""
    from PIL import Image

    left, top, right, bottom = _box(xy, rgb.shape, 0.05)
    picture = Image.fromarray(rgb[top:bottom, left:right]).convert("L")
    width = max(8, round(CROP_HEIGHT * (right - left) / (bottom - top)))
    return np.asarray(picture.resize((width, CROP_HEIGHT), Image.Resampling.BOX), float)


def sharpness(grey: NDArray[np.float64]) -> float:
    """Steepest change over 2 pixels against that over 8: near 1 with crisp edges.

    Near 0.3 when out of focus.
    """
    near = np.abs(grey[:, 2:] - grey[:, :-2])
    far = np.abs(grey[:, 8:] - grey[:, :-8])
    return float(np.percentile(near, 99) / max(np.percentile(far, 99), 1.0))


def background(rgb: NDArray[np.uint8], xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """A small grey picture of what lies around the player, who is greyed out."""
    from PIL import Image

    scale = SMALL_SIDE / max(rgb.shape[:2])
    size = (max(8, round(rgb.shape[1] * scale)), max(8, round(rgb.shape[0] * scale)))
    small = np.asarray(Image.fromarray(rgb).convert("L").resize(size, Image.Resampling.BOX), float)
    small = small - _blurred(small)
    left, top, right, bottom = _box(xy * scale, small.shape, 0.12)
    out = small.copy()
    out[top:bottom, left:right] = 0.0
    return out


def _blurred(picture: NDArray[np.float64]) -> NDArray[np.float64]:
    from scipy.ndimage import uniform_filter

    return uniform_filter(picture, 15)


def slide(before: NDArray[np.float64], now: NDArray[np.float64]) -> tuple[float, float] | None:
    """How far the background slid between two small pictures, as shares of the picture's longer side.

    The peak of the phase correlation; None when there is too little to see (a plain wall).
    """
    if min(before.std(), now.std()) < LEAST_TEXTURE:
        return None
    spectrum = np.fft.rfft2(now) * np.conj(np.fft.rfft2(before))
    match = np.fft.irfft2(spectrum / (np.abs(spectrum) + 1e-3 * np.abs(spectrum).max()), s=now.shape)
    row, column = np.unravel_index(int(match.argmax()), match.shape)
    if match[row, column] < 6 * match.std():
        return None
    height, width = match.shape
    down = (row + height / 2) % height - height / 2
    across = (column + width / 2) % width - width / 2
    return float(across / SMALL_SIDE), float(down / SMALL_SIDE)
