"""Putting out by the published angle and distance model, putt after putt, on level ground.

A putt is aimed to stop a foot past; it drops when the angle is good and it would roll 0 to 3 ft past
(Broadie's model, Stan case study, read). A missed one stays where it stops and is putted again.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from firstbounce.players.putting import AIM_PAST, CLEARANCE, TOO_FAST
from firstbounce.players.skill import PuttingSkill

Floats = NDArray[np.float64]
MOST_PUTTS = 6  #: after that the ball is picked up
GIVEN_M = CLEARANCE  #: nearer than this no putt is missed [m]


def putt(length: Floats, skill: PuttingSkill, rng: np.random.Generator) -> Floats:
    """What is left [m] after one putt from these lengths [m]; 0 when it is holed."""
    far = np.maximum(length, GIVEN_M)
    roll = far + AIM_PAST
    roll = roll * (1 + skill.distance_share * rng.standard_normal(far.shape))
    angle = math.radians(skill.angle_deg) * rng.standard_normal(far.shape)
    drops = (
        (np.abs(angle) < np.arcsin(np.minimum(CLEARANCE / far, 1.0)))
        & (roll >= far)
        & (roll <= far + TOO_FAST)
    )
    left = np.hypot(roll * np.cos(angle) - far, roll * np.sin(angle))
    return np.where(drops | (length <= GIVEN_M), 0.0, np.maximum(left, GIVEN_M * 1.01))


def putts_to_hole(length: Floats, skill: PuttingSkill, rng: np.random.Generator) -> NDArray[np.int64]:
    """Putts to hole out from these lengths [m]; none from 0 m."""
    left, count = np.asarray(length, float).copy(), np.zeros(np.shape(length), dtype=np.int64)
    for _ in range(MOST_PUTTS):
        playing = left > 0
        if not playing.any():
            break
        count[playing] += 1
        left[playing] = putt(left[playing], skill, rng)
    return count
