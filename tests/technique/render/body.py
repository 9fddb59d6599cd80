"""A person: the CC0 mesh shaped, skinned and coloured. Metres; x the person's left, y up, z forward."""

from __future__ import annotations

import gzip
import json
import math
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import numba as nb
import numpy as np

from .body_data import folder

SHOWN = ("body", "helper-l-eye", "helper-r-eye")
BARE, SHIRT, TROUSERS, SHOES, HAIR = range(5)


@dataclass(frozen=True, kw_only=True)
class Look:
    """Shape and colours of one person."""

    sex: str = "male"
    race: str = "caucasian"
    weight: str = "averageweight"
    skin: tuple[int, int, int] = (222, 170, 140)
    shirt: tuple[int, int, int] = (45, 90, 165)
    trousers: tuple[int, int, int] = (60, 60, 66)
    shoes: tuple[int, int, int] = (235, 235, 235)
    hair: tuple[int, int, int] = (60, 40, 25)
    long_sleeves: bool = False
    shorts: bool = False


@dataclass
class Body:
    """Points, triangles, up to four bones a point, and the bones of a shaped person at rest."""

    points: np.ndarray
    triangles: np.ndarray
    bone_of: np.ndarray
    share_of: np.ndarray
    bones: list[str]
    parents: list[int]
    heads: np.ndarray
    colours: np.ndarray
    index: dict[str, int] = field(default_factory=dict)

    def skeleton(self, turns: dict[str, np.ndarray]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Turn (b, 3, 3), shift (b, 3) and place of the head (b, 3) of every bone.

        Bones named in `turns` take that world rotation; the others follow their parent.
        """
        count = len(self.bones)
        turn, shift = np.zeros((count, 3, 3)), np.zeros((count, 3))
        heads = np.zeros((count, 3))
        for i, name in enumerate(self.bones):
            above = self.parents[i]
            inherited = turn[above] if above >= 0 else np.eye(3)
            turn[i] = turns.get(name, inherited)
            heads[i] = self.heads[i] if above < 0 else turn[above] @ self.heads[i] + shift[above]
            shift[i] = heads[i] - turn[i] @ self.heads[i]
        return turn, shift, heads

    def skin(self, turn: np.ndarray, shift: np.ndarray) -> np.ndarray:
        """Points (n, 3) of the skin that follows these bones."""
        return blended(self.points, self.bone_of, self.share_of, turn, shift)


@nb.njit(cache=True)
def blended(points, bone_of, share_of, turn, shift):
    """Linear blend of up to four bones a point; bone_of and share_of (n, 4)."""
    out = np.zeros_like(points)
    for i in range(points.shape[0]):
        x, y, z = points[i]
        for k in range(4):
            b, w = bone_of[i, k], share_of[i, k]
            if w > 0:
                for j in range(3):
                    out[i, j] += w * (turn[b, j, 0] * x + turn[b, j, 1] * y + turn[b, j, 2] * z + shift[b, j])
    return out


@lru_cache(maxsize=1)
def read_obj(path: Path) -> tuple[np.ndarray, dict[str, np.ndarray], dict[str, list]]:
    """Points and, by group, the point numbers and the faces of a Wavefront file."""
    points, members, faces, group = [], {}, {}, ""
    for line in path.read_text().splitlines():
        if line.startswith("v "):
            points.append([float(x) for x in line.split()[1:4]])
        elif line.startswith("g "):
            group = line.split()[1]
        elif line.startswith("f "):
            corners = [int(t.split("/")[0]) - 1 for t in line.split()[1:]]
            members.setdefault(group, set()).update(corners)
            faces.setdefault(group, []).append(corners)
    return np.array(points), {k: np.array(sorted(v)) for k, v in members.items()}, faces


def shaped(points: np.ndarray, target: str) -> np.ndarray:
    """Points moved by one shape target."""
    out = points.copy()
    with gzip.open(folder() / "targets/macrodetails" / f"{target}.target.gz", "rt") as lines:
        for line in lines:
            if line.strip() and not line.startswith("#"):
                number, *offset = line.split()[:4]
                out[int(number)] += [float(x) for x in offset]
    return out


def parents_first(rig: dict) -> list[str]:
    """Bone names with every parent before its children."""
    order: list[str] = []

    def add(name: str) -> None:
        if name in order:
            return
        if rig[name]["parent"]:
            add(rig[name]["parent"])
        order.append(name)

    for name in rig:
        add(name)
    return order


def bone_head(entry: dict, points: np.ndarray, members: dict[str, np.ndarray]) -> np.ndarray:
    """Where a bone starts, in the shaped body."""
    if entry["strategy"] == "CUBE":
        return points[members[entry["cube_name"]]].mean(0)
    x, y, z = entry["default_position"]
    return np.array([x, z, -y])


def painted(
    look: Look, points: np.ndarray, bones: list[str], weights: np.ndarray, heads: np.ndarray, eyes
) -> np.ndarray:
    """A colour for each point: clothes by bone, hair by place, eyes."""
    colours = np.tile(np.array(look.skin, float), (len(points), 1))
    shirt = ("spine", "clavicle", "upperarm") + (("lowerarm",) if look.long_sleeves else ())
    trousers = ("pelvis", "thigh", "Root") + (() if look.shorts else ("calf",))
    strongest = weights.argmax(1)
    for prefixes, colour in ((shirt, look.shirt), (trousers, look.trousers), (("foot", "ball"), look.shoes)):
        chosen = np.array([bone.startswith(prefixes) for bone in bones])
        colours[chosen[strongest]] = colour
    neck = heads[bones.index("head")]
    on_head = strongest == bones.index("head")
    high, back = points[:, 1] > neck[1] + 0.115, (points[:, 2] < neck[2]) & (points[:, 1] > neck[1] + 0.02)
    colours[on_head & (high | back)] = look.hair
    for eye in eyes:
        middle = points[eye].mean(0)
        colours[eye] = 240
        front = eye[points[eye, 2] > middle[2] + 0.008]
        colours[front[np.hypot(*(points[front, :2] - middle[:2]).T) < 0.009]] = (40, 30, 20)
    return colours


@lru_cache(maxsize=1)
def read_rig(where: Path) -> tuple[dict, dict]:
    """The bones, and by bone the skin points with their shares."""
    rig = json.loads((where / "rig.game_engine.json").read_text())
    return rig, json.loads((where / "weights.game_engine.json").read_text())["weights"]


@lru_cache(maxsize=4)
def person(look: Look) -> Body:
    """The person with this look, at rest."""
    points, members, faces = read_obj(folder() / "3dobjs/base.obj")
    points = shaped(points, f"{look.race}-{look.sex}-young")
    points = shaped(points, f"universal-{look.sex}-young-averagemuscle-{look.weight}") * 0.1
    rig, by_bone = read_rig(folder() / "rigs/standard")
    bones = parents_first(rig)
    heads = np.array([bone_head(rig[name]["head"], points, members) for name in bones])
    weights = np.zeros((len(points), len(bones)))
    for name, pairs in by_bone.items():
        if name in bones:
            for number, share in pairs:
                weights[int(number), bones.index(name)] = share
    total = weights.sum(1, keepdims=True)
    weights = np.divide(weights, total, out=np.zeros_like(weights), where=total > 0)
    triangles = np.array(
        [[f[0], f[k], f[k + 1]] for g in SHOWN for f in faces[g] for k in range(1, len(f) - 1)]
    )
    eyes = [members["helper-l-eye"], members["helper-r-eye"]]
    colours = painted(look, points, bones, weights, heads, eyes)
    used, flat = np.unique(triangles, return_inverse=True)
    parents = [bones.index(rig[n]["parent"]) if rig[n]["parent"] else -1 for n in bones]
    index = {n: i for i, n in enumerate(bones)}
    four = np.argsort(-weights[used], axis=1)[:, :4]
    shares = np.take_along_axis(weights[used], four, axis=1)
    shares = shares / shares.sum(1, keepdims=True)
    corners = flat.reshape(-1, 3)
    return Body(points[used], corners, four, shares, bones, parents, heads, colours[used], index)


def turn(axis, angle: float) -> np.ndarray:
    """Rotation by `angle` [rad] about `axis`."""
    k = np.asarray(axis, float)
    k = k / np.linalg.norm(k)
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    return np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross


def turn_onto(here, there) -> np.ndarray:
    """The smallest rotation that turns one direction onto another."""
    a, b = here / np.linalg.norm(here), there / np.linalg.norm(there)
    across = np.cross(a, b)
    size = np.linalg.norm(across)
    return np.eye(3) if size < 1e-9 else turn(across, math.atan2(size, a @ b))
