"""Rendered clips: who stands where, in which light, what the swing is, and what is true of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from scipy.ndimage import gaussian_filter

from .body import Look, person
from .scene import JOINTS, Posed, Stance, View, backdrop, paint, posed, stick
from .swing import Swing, Truth, sequence


@dataclass(frozen=True, kw_only=True)
class Clip:
    """One clip to render. `refuse` names the reason when it should be refused."""

    name: str
    swings: tuple[Swing, ...] = (Swing(),)
    look: Look = Look()  # noqa: RUF009
    view: View = View()  # noqa: RUF009
    stance: Stance = Stance()  # noqa: RUF009
    fps: int = 60
    left_handed: bool = False
    background: str = "grass"
    lamp: tuple[float, float, float] = (0.4, 0.7, 0.6)
    ambient: float = 0.45
    exposure: float = 1.0
    noise: float = 2.0
    blur: float = 0.0  #: out of focus [px]
    shutter: int = 1  #: pictures averaged over half a frame: motion blur
    pan: float = 0.0  #: camera swept sideways during the clip [m at the player]
    shake: float = 0.0  #: hand-held shake [px]
    second: float | None = None  #: another person this far to the side [m]
    tail: float = 0.4  #: still time after the last swing [s]
    codec: str = "libx264"
    crf: int = 20
    quarter_turns: int = 0  #: stored turned, with a rotation flag
    seed: int = 1
    refuse: str = ""
    faults: tuple[str, ...] = field(default=())

    @property
    def seconds(self) -> float:
        return sum(s.marks["end"] for s in self.swings) + self.tail

    @property
    def truths(self) -> list[Truth]:
        return sequence(self.swings)


@dataclass(frozen=True)
class Joints:
    """Joints of every frame: time (n,), world places (n, points, 3) and picture places (n, points, 2)."""

    time: np.ndarray
    names: tuple[str, ...]
    world: np.ndarray
    seen: np.ndarray


def state_at(clip: Clip, time: float) -> tuple[float, float, float, float]:
    """Hand angle towards the target, elbow bend [deg], turn share and rock of the shoulders at a time."""
    truth = [t for t in clip.truths if t.begins <= time or t.begins == 0.0][-1]
    local = np.array([time - truth.begins])
    hand, bend = float(truth.swing.hand_angle(local)[0]), float(truth.swing.elbow_bend(local)[0])
    return hand, bend, truth.swing.turn_share, truth.swing.rocked


def body_at(clip: Clip, time: float) -> Posed:
    """The player at a time."""
    side = -1.0 if clip.left_handed else 1.0
    hand, bend, share, rocked = state_at(clip, time)
    return posed(person(clip.look), clip.stance, side * hand, bend, share, rocked)


def joints_of(clip: Clip, times: np.ndarray) -> Joints:
    """Where every joint is at the given times."""
    body = person(clip.look)
    chosen = [body.index[bone] for bone in JOINTS.values()]
    world = np.array([body_at(clip, t).joints()[chosen] for t in times])
    return Joints(times, tuple(JOINTS), world, clip.view.project(world)[..., :2])


def panned(clip: Clip, time: float, rng: np.random.Generator) -> tuple[View, int]:
    """The view at a time and how far the background has slid [px]."""
    if not clip.pan and not clip.shake:
        return clip.view, 0
    focal = clip.view.height / 2 / np.tan(np.radians(clip.view.field / 2))
    slide = clip.pan * time / clip.seconds + rng.normal(0, clip.shake) * clip.view.distance / focal
    return replace(clip.view, aim_across=clip.view.aim_across + slide), round(
        focal * slide / clip.view.distance
    )


def picture_at(
    clip: Clip, time: float, behind: np.ndarray, rng: np.random.Generator
) -> tuple[np.ndarray, np.ndarray, int]:
    """The picture at one instant (h, w, 3), 0 to 255; depth (h, w); where the background starts [px]."""
    view, slide = panned(clip, time, rng)
    half = (behind.shape[1] - view.width) // 2
    start = int(np.clip(half + slide, 0, 2 * half))
    picture = behind[:, start : start + view.width].copy()
    depth = np.full(picture.shape[:2], 1e9, np.float32)
    lamp = np.array(clip.lamp) / np.linalg.norm(clip.lamp)
    body = person(clip.look)
    player = body_at(clip, time)
    points, hands = player.skin(), player.grip()
    paint(picture, depth, view, points, body.triangles, body.colours, lamp, clip.ambient)
    if clip.second is not None:
        aside = np.array([clip.second, 0.0, -0.2])
        paint(picture, depth, view, points + aside, body.triangles, body.colours, lamp, clip.ambient)
    side = -1.0 if clip.left_handed else 1.0
    lean = np.radians(side * state_at(clip, time)[0] * 1.5)
    ahead = np.array([np.sin(lean) * 0.8, -np.cos(lean) * 0.8, 0.6])
    rod, corners = stick(hands - 0.12 * ahead, hands + 0.75 * ahead, 0.006)
    tone = np.tile(np.array([90.0, 90, 95]), (len(rod), 1))
    paint(picture, depth, view, rod, corners, tone, lamp, 0.6)
    return picture, depth, start


def frames(clip: Clip):
    """Every frame as (time, picture uint8). A pose that was just drawn is not drawn again."""
    rng = np.random.default_rng(clip.seed)
    behind = backdrop(clip.background, clip.view.width + 400, clip.view.height, rng).astype(np.float32)
    soft = lens(clip, behind)
    drawn, picture = None, None
    for number in range(int(clip.seconds * clip.fps)):
        time = number / clip.fps
        instants = time + 0.5 / clip.fps * np.arange(clip.shutter) / clip.shutter
        states = [state_at(clip, t) for t in instants]
        if states != drawn or clip.pan or clip.shake:
            drawn, picture = states, exposed(clip, instants, behind, soft, rng)
        grain = rng.standard_normal((clip.view.height, clip.view.width, 1), np.float32)
        yield time, np.clip(picture + np.float32(clip.noise) * grain, 0, 255).astype(np.uint8)


def lens(clip: Clip, picture: np.ndarray) -> np.ndarray:
    """A picture as dark or light as it is filmed, through a lens that may be out of focus."""
    picture = picture * np.float32(clip.exposure)
    return gaussian_filter(picture, (clip.blur, clip.blur, 0)) if clip.blur else picture


def exposed(
    clip: Clip, instants: np.ndarray, behind: np.ndarray, soft: np.ndarray, rng: np.random.Generator
) -> np.ndarray:
    """The mean of the pictures at these instants through the lens; `soft` is the background through it.

    Only the part around the people is blurred again.
    """
    total, covered, start = 0.0, np.zeros((clip.view.height, clip.view.width), bool), 0
    for time in instants:
        picture, depth, start = picture_at(clip, time, behind, rng)
        total = total + picture
        covered |= depth < 1e8
    out = soft[:, start : start + clip.view.width].copy()
    rows, columns = np.flatnonzero(covered.any(1)), np.flatnonzero(covered.any(0))
    if not len(rows):
        return out
    reach = int(4 * clip.blur) + 1
    wide = [slice(max(0, x[0] - 2 * reach), x[-1] + 1 + 2 * reach) for x in (rows, columns)]
    near = lens(clip, total[wide[0], wide[1]] / np.float32(len(instants)))
    inside = [
        slice(max(0, x[0] - reach) - w.start, x[-1] + 1 + reach - w.start)
        for x, w in zip((rows, columns), wide, strict=True)
    ]
    placed = [slice(max(0, x[0] - reach), x[-1] + 1 + reach) for x in (rows, columns)]
    out[placed[0], placed[1]] = near[inside[0], inside[1]]
    return out


def kept(clip: Clip, folder: Path) -> Path:
    """The clip in a folder, named by what it shows and by how it is drawn; rendered when it is not there."""
    folder.mkdir(parents=True, exist_ok=True)
    sources = [
        Path(__file__).with_name(f"{name}.py") for name in ("body", "raster", "scene", "swing", "clips")
    ]
    told = repr(clip).encode() + b"".join(path.read_bytes() for path in sources)
    return write(clip, folder / f"{clip.name}-{hashlib.sha256(told).hexdigest()[:12]}.mp4")


def write(clip: Clip, path: Path) -> Path:
    """Encode the clip; a finished file is kept as it is."""
    if path.exists():
        return path
    half = path.with_suffix(".part.mp4")
    with av.open(str(half), "w") as out:
        stream = out.add_stream(clip.codec, rate=clip.fps)
        turned = clip.quarter_turns % 2
        stream.width, stream.height = (
            (clip.view.height, clip.view.width) if turned else (clip.view.width, clip.view.height)
        )
        stream.pix_fmt, stream.time_base = "yuv420p", Fraction(1, 90000)
        stream.options = {"crf": str(clip.crf), "preset": "ultrafast"}
        for time, picture in frames(clip):
            stored = np.ascontiguousarray(np.rot90(picture, clip.quarter_turns))
            frame = av.VideoFrame.from_ndarray(stored, format="rgb24")
            frame.pts, frame.time_base = round(time * 90000), Fraction(1, 90000)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    half.replace(path)
    return path
