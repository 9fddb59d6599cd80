"""One person's landmarks in a picture: a detector and a landmark model run one after the other.

The two models are BlazePose (V. Bazarevsky et al., "BlazePose: on-device real-time body pose tracking",
2020): a detector that finds a person and a square around it, and a landmark model that works on that square.
The square of the next frame comes from this frame's landmarks. The models are handed in as bytes; this module
reads no file. Measured on rendered people only: docs/technique.md.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import VideoError
from firstbounce.technique.landmarks import NEEDS_VIDEO, POINTS

DETECTOR_SIDE: Final = 224  #: the detector's input [px]
LANDMARK_SIDE: Final = 256  #: the landmark model's input [px]
HEAT_SIDE: Final = 64  #: the landmark model's heat maps [px]
FEATURES: Final = 195  #: numbers that the landmark model gives for 39 points
#: number of each of our points in the model's own list
MODEL_POINT: Final = dict(
    zip(POINTS, (0, 7, 8, 11, 12, 13, 14, 15, 16, 23, 24, 25, 26, 27, 28, 31, 32), strict=True)
)
#: for each of our points, the one that it is in a mirror
MIRRORED: Final = [
    POINTS.index(name.replace("left", "right") if "left" in name else name.replace("right", "left"))
    for name in POINTS
]
SHOULDERS: Final = [POINTS.index("left_shoulder"), POINTS.index("right_shoulder")]
LEAST_PRESENCE: Final = 0.5  #: below this nobody is there
MOST_JUMP: Final = 0.035  #: shoulders that move further between two pictures are doubted, share of the square
CENTRE, RIM = 33, 34  # the model's two helper points: middle and rim of the next square
SHARPENED: Final = np.array([*MODEL_POINT.values(), CENTRE, RIM])  #: points that their heat map moves
AROUND: Final = np.arange(-3, 4)  #: cells of the heat map looked at


class Square(NamedTuple):
    """A turned square of the picture: centre and side [px], turn [rad]."""

    x: float
    y: float
    side: float
    turn: float


@dataclass(frozen=True, slots=True)
class Seen:
    """What the landmark model says of one picture.

    presence: 0 to 1 that a person is in the square. xy (points, 2) [px]; seen (points,) 0 to 1;
    world (points, 3) [m] about the hips, x to picture right, y down, z away from the camera.
    square: that was looked at.
    """

    presence: float
    xy: NDArray[np.float64]
    seen: NDArray[np.float64]
    world: NDArray[np.float64]
    square: Square


class PoseModel:
    """Detector and landmark model, and the square where the person was last seen."""

    def __init__(self, detector: bytes, landmark: bytes, *, threads: int = 2) -> None:
        self._detector, self._landmark = _interpreter(detector, threads), _interpreter(landmark, threads)
        self._anchors = _anchors()
        by_width = {int(o["shape"][-1]): o["index"] for o in self._detector.get_output_details()}
        self._boxes, self._scores = by_width[12], by_width[1]
        outputs = {
            tuple(int(n) for n in o["shape"][1:]): o["index"] for o in self._landmark.get_output_details()
        }
        self._points, self._flag = outputs[(FEATURES,)], outputs[(1,)]
        self._world, self._heat = outputs[(117,)], outputs[(HEAT_SIDE, HEAT_SIDE, 39)]
        self._square: Square | None = None
        self._last: Seen | None = None

    def forget(self) -> None:
        """Look for the person afresh in the next picture."""
        self._square = self._last = None

    def track(self, rgb: NDArray[np.uint8]) -> Seen | None:
        """Landmarks of the person in the next picture of a clip, or None when nobody is there."""
        if self._square is None:
            found = self.people(rgb)
            if not found:
                return None
            self._square = found[0]
        seen, square = self._look(rgb, self._square)
        if doubtful(seen, self._last, self._square.side):
            mirrored, other = self._look_mirrored(rgb, self._square)
            if better(mirrored, seen, self._last):
                seen, square = mirrored, other
        if seen.presence < LEAST_PRESENCE:
            self.forget()
            return None
        self._square, self._last = square, seen
        return seen

    def _look(self, rgb: NDArray[np.uint8], square: Square) -> tuple[Seen, Square]:
        """What is seen in this square, and the square for the next picture."""
        raw, presence, world, matrix = self._run_landmark(rgb, square)
        xy = raw[:, :2] @ matrix[:, :2].T + matrix[:, 2]
        chosen = list(MODEL_POINT.values())
        seen = Seen(presence, xy[chosen], _sigmoid(raw[chosen, 3]), world[chosen], square)
        return seen, _square_between(xy[CENTRE], xy[RIM])

    def _look_mirrored(self, rgb: NDArray[np.uint8], square: Square) -> tuple[Seen, Square]:
        """The same through a mirror: where the model takes a front for a back it seldom does so twice."""
        far = rgb.shape[1] - 1.0
        seen, after = self._look(
            np.ascontiguousarray(rgb[:, ::-1]), square._replace(x=far - square.x, turn=-square.turn)
        )
        xy, world = seen.xy[MIRRORED] * [-1.0, 1.0] + [far, 0.0], seen.world[MIRRORED] * [-1.0, 1.0, 1.0]
        after = after._replace(x=far - after.x, turn=-after.turn)
        return Seen(seen.presence, xy, seen.seen[MIRRORED], world, square), after

    def looks(self, rgb: NDArray[np.uint8], square: Square) -> tuple[Seen, Seen]:
        """What is seen in a square, plainly and in a mirror; the square of the next picture stays."""
        return self._look(rgb, square)[0], self._look_mirrored(rgb, square)[0]

    def people(self, rgb: NDArray[np.uint8]) -> list[Square]:
        """A square for each person the detector is sure of, the surest first."""
        height, width = rgb.shape[:2]
        scale = DETECTOR_SIDE / max(height, width)
        small = _resized(rgb, max(1, round(width * scale)), max(1, round(height * scale)))
        top, left = (DETECTOR_SIDE - small.shape[0]) // 2, (DETECTOR_SIDE - small.shape[1]) // 2
        canvas = np.full((1, DETECTOR_SIDE, DETECTOR_SIDE, 3), -1, np.float32)
        canvas[0, top : top + small.shape[0], left : left + small.shape[1]] = small / 127.5 - 1
        _feed(self._detector, canvas)
        score = _sigmoid(self._detector.get_tensor(self._scores)[0, :, 0])
        box = self._detector.get_tensor(self._boxes)[0].astype(float) / DETECTOR_SIDE
        sure = score > 0.5
        points = box[sure, 4:].reshape(-1, 4, 2) + self._anchors[sure, None]
        middle, size = box[sure, :2] + self._anchors[sure], box[sure, 2:4]
        offset = np.array([left, top])
        return [
            _square_between(*((pair * DETECTOR_SIDE - offset) / scale))
            for pair in _without_doubles(middle, size, points[:, :2], score[sure])
        ]

    def _run_landmark(self, rgb: NDArray[np.uint8], square: Square) -> tuple[Any, float, Any, Any]:
        """Raw points (39, 5), presence, world places (39, 3) and the matrix from square to picture (2, 3)."""
        step, c, s = square.side / LANDMARK_SIDE, math.cos(square.turn), math.sin(square.turn)
        half = LANDMARK_SIDE / 2
        matrix = np.array(
            [
                [step * c, -step * s, square.x - step * half * (c - s)],
                [step * s, step * c, square.y - step * half * (s + c)],
            ]
        )
        net = self._landmark
        _feed(net, _cut_out(rgb, matrix)[None] / np.float32(255))
        raw = net.get_tensor(self._points).reshape(39, 5).astype(float)
        heat = net.get_tensor(self._heat)[0]
        world = net.get_tensor(self._world).reshape(39, 3).astype(float)
        world[:, :2] = world[:, :2] @ np.array([[c, s], [-s, c]])
        return _sharpened(raw, heat), float(net.get_tensor(self._flag).ravel()[0]), world, matrix


def faces(seen: Seen) -> bool:
    """True when the left shoulder is at picture right: the person faces the camera."""
    left, right = seen.xy[SHOULDERS]
    return bool(left[0] > right[0])


def jump(seen: Seen, last: Seen) -> float:
    """How far the shoulders have moved [px], the further of the two."""
    return float(np.hypot(*(seen.xy[SHOULDERS] - last.xy[SHOULDERS]).T).max())


def doubtful(seen: Seen, last: Seen | None, side: float) -> bool:
    """True when what is seen should be looked at once more: a back, or shoulders that jump."""
    return not faces(seen) or (last is not None and jump(seen, last) > MOST_JUMP * side)


def better(other: Seen, seen: Seen, last: Seen | None) -> bool:
    """True when the other look is to be believed.

    The one of the two that shows a front; when both do or neither does, the one nearer to the last picture.
    """
    if other.presence < LEAST_PRESENCE or faces(other) != faces(seen):
        return other.presence >= LEAST_PRESENCE and faces(other)
    return last is not None and jump(other, last) < jump(seen, last)


def _interpreter(model: bytes, threads: int) -> Any:
    try:
        from ai_edge_litert.interpreter import Interpreter
    except ImportError as missing:
        raise VideoError(NEEDS_VIDEO) from missing
    net = Interpreter(model_content=model, num_threads=threads)
    net.allocate_tensors()
    return net


def _feed(net: Any, picture: NDArray[np.float32]) -> None:
    net.set_tensor(net.get_input_details()[0]["index"], np.ascontiguousarray(picture, np.float32))
    net.invoke()


def _sigmoid(x: NDArray[np.float32]) -> NDArray[np.float64]:
    return 1 / (1 + np.exp(-np.clip(x.astype(float), -80, 80)))


def _anchors() -> NDArray[np.float64]:
    """Middles of the detector's cells (2254, 2), as shares of its picture: strides 8.

    16 and three times 32.
    """
    rows = []
    for stride, layers in ((8, 1), (16, 1), (32, 3)):
        cells = math.ceil(DETECTOR_SIDE / stride)
        y, x = np.divmod(np.arange(cells * cells), cells)
        rows.append(np.repeat(np.column_stack([x + 0.5, y + 0.5]) / cells, 2 * layers, axis=0))
    return np.concatenate(rows)


def _without_doubles(middle: Any, size: Any, points: Any, score: Any) -> list[Any]:
    """Pairs of points (2, 2) of separate people: boxes that overlap are averaged by their score."""
    people = []
    left = np.arange(len(score))
    while len(left):
        best = left[score[left].argmax()]
        low = np.maximum(middle[left] - size[left] / 2, middle[best] - size[best] / 2)
        high = np.minimum(middle[left] + size[left] / 2, middle[best] + size[best] / 2)
        shared = np.prod(np.clip(high - low, 0, None), axis=1)
        overlap = shared / (np.prod(size[left], axis=1) + np.prod(size[best]) - shared)
        same = left[(overlap > 0.3) | (left == best)]
        people.append(np.average(points[same], axis=0, weights=score[same]))
        left = left[~np.isin(left, same)]
    return people


def _square_between(centre: NDArray[np.float64], rim: NDArray[np.float64]) -> Square:
    """The square that the landmark model wants: 1.25 times twice the distance.

    Turned so that the rim is up.
    """
    across, down = rim - centre
    turn = math.pi / 2 - math.atan2(-down, across)
    turn -= 2 * math.pi * math.floor((turn + math.pi) / (2 * math.pi))
    return Square(float(centre[0]), float(centre[1]), 2.5 * math.hypot(across, down), turn)


def _resized(rgb: NDArray[np.uint8], width: int, height: int) -> NDArray[np.float32]:
    from PIL import Image

    picture = Image.fromarray(rgb).resize((width, height), Image.Resampling.BILINEAR)
    return np.asarray(picture, np.float32)


def _cut_out(rgb: NDArray[np.uint8], matrix: NDArray[np.float64]) -> NDArray[np.float32]:
    """The turned square as a picture of the landmark model's size; what lies outside the picture is black.

    Only the part of the picture around the square is handed on: a whole one would be copied first.
    """
    from PIL import Image

    corners = np.array([[0, 0, 1], [LANDMARK_SIDE, 0, 1], [0, LANDMARK_SIDE, 1], [LANDMARK_SIDE] * 2 + [1]])
    places, far = corners @ matrix.T, np.array(rgb.shape[1::-1])
    left, top = np.clip(np.floor(places.min(0)).astype(int) - 3, 0, far - 1)
    right, bottom = np.clip(np.ceil(places.max(0)).astype(int) + 3, [left + 1, top + 1], far)
    near = matrix - np.array([[0, 0, left], [0, 0, top]])
    picture = Image.fromarray(rgb[top:bottom, left:right]).transform(
        (LANDMARK_SIDE, LANDMARK_SIDE),
        Image.Transform.AFFINE,
        tuple(near.ravel()),
        Image.Resampling.BILINEAR,
    )
    return np.asarray(picture, np.float32)


def _sharpened(raw: NDArray[np.float64], heat: NDArray[np.float32]) -> NDArray[np.float64]:
    """Points moved to the centre of mass of their heat map within 3 cells, where it is sure.

    raw (39, 5); heat (64, 64, 39), before the sigmoid.
    """
    cell = LANDMARK_SIDE / HEAT_SIDE
    place = (raw[SHARPENED, :2] / cell).astype(int)
    inside = ((place >= 0) & (place < HEAT_SIDE)).all(1)
    points, place = SHARPENED[inside], place[inside]
    columns, rows = (place[:, k, None] + AROUND for k in (0, 1))
    within = [(at >= 0) & (at < HEAT_SIDE) for at in (rows, columns)]
    window = _sigmoid(
        heat[
            np.clip(rows, 0, HEAT_SIDE - 1)[:, :, None],
            np.clip(columns, 0, HEAT_SIDE - 1)[:, None, :],
            points[:, None, None],
        ]
    )
    window = window * within[0][:, :, None] * within[1][:, None, :]
    sure = window.max(axis=(1, 2)) >= 0.5
    total = np.maximum(window.sum(axis=(1, 2)), 1e-12)
    across, down = (window.sum(1) * columns).sum(1) / total, (window.sum(2) * rows).sum(1) / total
    out = raw.copy()
    out[points[sure], :2] = cell * np.column_stack([across, down])[sure]
    return out
