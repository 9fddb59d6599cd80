"""A camera, a stance and a picture: where every joint is, and what the camera sees of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from .body import Body, turn, turn_onto
from .raster import corner_normals, draw

JOINTS = {
    "left_shoulder": "upperarm_l",
    "right_shoulder": "upperarm_r",
    "left_elbow": "lowerarm_l",
    "right_elbow": "lowerarm_r",
    "left_wrist": "hand_l",
    "right_wrist": "hand_r",
    "left_hip": "thigh_l",
    "right_hip": "thigh_r",
    "left_ankle": "foot_l",
    "right_ankle": "foot_r",
}
ACROSS, UP, FORWARD = np.eye(3)


@dataclass(frozen=True, kw_only=True)
class View:
    """A camera aimed at the middle of the player; metres, degrees, pixels."""

    width: int = 720
    height: int = 1280
    field: float = 40.0  #: angle of view along the picture's height
    distance: float = 4.2
    lens_height: float = 0.95
    yaw: float = 0.0  #: off square, positive towards the player's left
    aim_across: float = 0.0  #: the aimed-at point, to picture right of the player
    aim_height: float = 0.9
    roll: float = 0.0

    def project(self, points: np.ndarray) -> np.ndarray:
        """Picture x, picture y and distance of world points (..., 3)."""
        around = turn(UP, math.radians(self.yaw))
        place = around @ np.array([self.aim_across, self.lens_height, self.distance])
        ahead = around @ np.array([self.aim_across, self.aim_height, 0.0]) - place
        ahead = ahead / np.linalg.norm(ahead)
        right = np.cross(ahead, UP) / np.linalg.norm(np.cross(ahead, UP))
        down = -np.cross(right, ahead)
        tilt = turn(ahead, math.radians(self.roll))
        seen = (np.asarray(points) - place) @ np.array([tilt @ right, tilt @ down, ahead]).T
        focal = self.height / 2 / math.tan(math.radians(self.field / 2))
        z = seen[..., 2]
        return np.stack(
            [focal * seen[..., 0] / z + self.width / 2, focal * seen[..., 1] / z + self.height / 2, z], -1
        )


@dataclass(frozen=True, kw_only=True)
class Stance:
    """How the player stands and how the arms hang; degrees."""

    lean: float = 34.0
    hands_forward: float = 14.0  #: hands in front of the shoulders, out of the face-on plane
    elbow_out: float = 0.75  #: how far the elbows point sideways rather than backwards, 0 to 1
    turned: float = 0.0  #: the whole player turned on the spot


@dataclass(frozen=True)
class Posed:
    """A body in one pose: bones and the place of the hands, before the skin is computed."""

    body: Body
    turn: np.ndarray
    shift: np.ndarray
    heads: np.ndarray
    hands: np.ndarray
    move: np.ndarray  #: taken off every place so that the feet stand on the ground
    around: np.ndarray

    def skin(self) -> np.ndarray:
        """Points of the skin (n, 3)."""
        return (self.body.skin(self.turn, self.shift) - self.move) @ self.around.T

    def joints(self) -> np.ndarray:
        """Heads of the bones (b, 3)."""
        return (self.heads - self.move) @ self.around.T

    def grip(self) -> np.ndarray:
        """Mid-wrist (3,)."""
        return (self.hands - self.move) @ self.around.T


def trunk(stance: Stance, shoulder_turn: float, rock: float) -> dict[str, np.ndarray]:
    """Turns of legs, spine and head; [deg]."""
    lean = math.radians(stance.lean)

    def leaning(share: float) -> np.ndarray:
        return turn(ACROSS, lean * share)

    spine_up = leaning(1.0) @ UP
    twist, half = turn(spine_up, math.radians(shoulder_turn)), turn(spine_up, math.radians(shoulder_turn / 2))
    turns = {"pelvis": leaning(0.55), "spine_01": leaning(0.8), "spine_02": half @ leaning(1.0)}
    turns["spine_03"] = turn(FORWARD, math.radians(rock)) @ twist @ leaning(1.0)
    turns["neck_01"], turns["head"] = leaning(1.1), leaning(1.25)
    for side in "lr":
        turns[f"thigh_{side}"], turns[f"calf_{side}"] = turn(ACROSS, -0.30), turn(ACROSS, 0.16)
        turns[f"foot_{side}"] = np.eye(3)
    return turns


def posed(
    body: Body, stance: Stance, hand: float, elbow: float, turn_share: float, rocked: float = 1.0
) -> Posed:
    """A connected chip pose: hands at `hand` degrees towards the player's left, both elbows bent by `elbow`.

    The shoulders turn about the spine by a share of the hand angle and rock as far as it takes for both arms
    to be equally bent (secant), or by the share `rocked` of that.
    """

    def unevenness(rock: float):
        turns = trunk(stance, turn_share * hand, rock)
        heads = body.skeleton(turns)[2]
        centre, left, right = place_hands(body, heads, stance, hand, elbow)
        one, other = left - heads[body.index["upperarm_l"]], right - heads[body.index["upperarm_r"]]
        return float(np.linalg.norm(one) - np.linalg.norm(other)), (turns, heads, centre, left, right)

    before, now = 0.1 * hand, 0.5 * hand + 0.5
    gap_before, _ = unevenness(before)
    for _ in range(6):
        gap, found = unevenness(now)
        if abs(gap) < 1e-6:
            break
        before, now, gap_before = now, now - gap * (now - before) / (gap - gap_before), gap
    turns, heads, centre, left, right = unevenness(rocked * now)[1] if rocked != 1.0 else found
    for side, wrist in (("l", left), ("r", right)):
        turns |= arm(body, heads, side, wrist, stance)
    bones = body.skeleton(turns)
    drop = bones[2][[body.index["foot_l"], body.index["foot_r"]], 1].mean() - 0.08
    move = np.array([0.0, drop, bones[2][body.index["spine_03"], 2] * 0.5])
    return Posed(body, *bones, centre, move, turn(UP, math.radians(stance.turned)))


def place_hands(body: Body, heads: np.ndarray, stance: Stance, hand: float, elbow: float):
    """Mid-wrist and the two wrists, such that the mean square reach is that of arms bent by `elbow`."""
    left, right = heads[body.index["upperarm_l"]], heads[body.index["upperarm_r"]]
    upper, lower = arm_lengths(body)
    a, f = math.radians(hand), math.radians(stance.hands_forward)
    ahead = np.array([math.sin(a) * math.cos(f), -math.cos(a) * math.cos(f), math.sin(f)])
    grip = 0.03 * np.array([math.cos(a), math.sin(a), 0.0])
    middle = (left + right) / 2
    reach2 = upper**2 + lower**2 + 2 * upper * lower * math.cos(math.radians(elbow))
    half = grip - (left - middle)  # from shoulder to wrist when the hands lie at mid-shoulder
    length = math.sqrt(reach2 - half @ half)
    centre = middle + length * ahead
    return centre, centre + grip, centre - grip


def arm_lengths(body: Body) -> tuple[float, float]:
    """Upper arm and forearm [m]."""
    at = [body.heads[body.index[f"{name}_l"]] for name in ("upperarm", "lowerarm", "hand")]
    return float(np.linalg.norm(at[1] - at[0])), float(np.linalg.norm(at[2] - at[1]))


def arm(body: Body, heads: np.ndarray, side: str, wrist: np.ndarray, stance: Stance) -> dict[str, np.ndarray]:
    """Turns of one arm's bones that bring its wrist to a place (two bones, closed form)."""
    shoulder = heads[body.index[f"upperarm_{side}"]]
    upper, lower = arm_lengths(body)
    reach = wrist - shoulder
    d = min(float(np.linalg.norm(reach)), upper + lower - 1e-6)
    along = reach / np.linalg.norm(reach)
    outward = 1.0 if side == "l" else -1.0
    pole = np.array([outward * stance.elbow_out, 0.0, stance.elbow_out - 1.0])
    pole = pole - (pole @ along) * along
    pole = pole / np.linalg.norm(pole)
    x = (upper**2 - lower**2 + d**2) / (2 * d)
    bone = along * x + pole * math.sqrt(max(upper**2 - x**2, 0.0))
    rest = [
        body.heads[body.index[f"{name}_{side}"]] for name in ("upperarm", "lowerarm", "hand", "middle_01")
    ]
    first = turn_onto(rest[1] - rest[0], bone)
    second = turn_onto(rest[2] - rest[1], reach - bone)
    third = turn_onto(rest[3] - rest[2], along + 0.3 * np.array([0, 0, 0.3]) - 0.25 * outward * ACROSS)
    return {f"upperarm_{side}": first, f"lowerarm_{side}": second, f"hand_{side}": third}


def stick(start: np.ndarray, end: np.ndarray, thick: float, sides: int = 8):
    """Points and triangles of a thin rod."""
    along = (end - start) / np.linalg.norm(end - start)
    across = np.cross(along, [0.3, 0.2, 0.9])
    across = across / np.linalg.norm(across)
    other = np.cross(along, across)
    angle = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    ring = np.cos(angle)[:, None] * across + np.sin(angle)[:, None] * other
    corners = []
    for i in range(sides):
        j = (i + 1) % sides
        corners += [[i, j, sides + i], [j, sides + j, sides + i]]
    return np.r_[start + thick * ring, end + thick * ring], np.array(corners)


def backdrop(kind: str, width: int, height: int, rng: np.random.Generator) -> np.ndarray:
    """A background picture (h, w, 3), wider than the frame so that it can be panned over."""
    rows = np.linspace(0, 1, height)[:, None, None]
    if kind == "plain":
        return np.broadcast_to(np.array([205.0, 208, 210]) - 25 * rows, (height, width, 3)).astype(np.float32)
    if kind == "grass":
        sky = np.array([185.0, 210, 235]) - 30 * rows
        turf = np.array([95.0, 140, 70]) + 25 * rows
        out = np.where(rows < 0.42, sky, turf) * np.ones((1, width, 1))
        rough = gaussian_filter(rng.normal(0, 1, (height, width)), 2.5)[:, :, None]
        out += np.where(rows < 0.42, 12, 60) * rough
        for _ in range(14):
            x, size = rng.integers(0, width), rng.integers(30, 110)
            top = int(0.42 * height) - size
            out[top : int(0.42 * height), max(0, x - size // 3) : x + size // 3] *= rng.uniform(0.35, 0.8)
        return out
    out = np.ones((height, width, 3)) * np.array([150.0, 140, 130])
    for _ in range(60):
        x, y = rng.integers(0, width), rng.integers(0, height)
        w, h = rng.integers(20, 200), rng.integers(20, 200)
        out[y : y + h, x : x + w] = rng.uniform(40, 230, 3)
    return gaussian_filter(out, (1.2, 1.2, 0))


def paint(picture, depth, view: View, points, triangles, colours, lamp, ambient: float) -> None:
    """Draw one mesh into picture and depth."""
    normals = corner_normals(points, triangles)
    draw(view.project(points), normals, colours, triangles, picture, depth, lamp, ambient)
