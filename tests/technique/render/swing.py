"""A chip written down in advance: hand angle, elbow bend and shoulder turn as functions of time.

Angles in degrees, times in seconds. The hand angle is that of the line from mid-shoulder to mid-wrist
from straight down, in the vertical plane square to a face-on camera, towards the target positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, kw_only=True)
class Swing:
    """One swing. The finish is `ratio` times the backswing."""

    address: float = 2.0
    back: float = 42.0  #: arc from address to top
    ratio: float = 1.15
    back_time: float = 0.62
    down_time: float = 0.31
    still_before: float = 0.9
    hold: float = 1.5  #: from the end of the follow-through or of the recoil until the hands leave
    recoil: float = 0.0
    recoil_time: float = 0.35
    return_time: float = 0.9
    elbow: float = 14.0  #: bend of both elbows at address
    collapse: float = 0.0  #: extra bend of both elbows by the finish
    turn_share: float = 0.8  #: shoulder turn about the spine as a share of the hand angle
    rocked: float = 1.0  #: rock of the shoulders as a share of what keeps both arms equally bent
    profile: str = "cosine"  #: of the backswing: cosine or "minimum jerk"

    @property
    def through(self) -> float:
        return self.back * self.ratio

    @property
    def marks(self) -> dict[str, float]:
        """Times of the key moments from the start of this swing."""
        start = self.still_before
        top = start + self.back_time
        strike = top + self.down_time
        finish = strike + self.down_time * self.ratio
        settled = finish + (self.recoil_time if self.recoil else 0.0)
        leaves = settled + self.hold
        return {
            "start": start,
            "top": top,
            "strike": strike,
            "finish": finish,
            "settled": settled,
            "leaves": leaves,
            "end": leaves + self.return_time,
        }

    def hand_angle(self, time) -> np.ndarray:
        """Hand angle at each time [deg]."""
        t, m = np.asarray(time, float), self.marks
        ease = _minimum_jerk if self.profile == "minimum jerk" else _cosine
        quarter = np.pi / 2
        last = self.through - self.recoil
        pieces = [
            (t < m["start"], lambda t: 0 * t),
            (t < m["top"], lambda t: -self.back * ease((t - m["start"]) / self.back_time)),
            (t < m["strike"], lambda t: -self.back * np.cos(quarter * (t - m["top"]) / self.down_time)),
            (
                t < m["finish"],
                lambda t: self.through * np.sin(quarter * (t - m["strike"]) / (m["finish"] - m["strike"])),
            ),
            (
                t < m["settled"],
                lambda t: self.through - self.recoil * _cosine((t - m["finish"]) / self.recoil_time),
            ),
            (t < m["leaves"], lambda t: last + 0 * t),
            (t < m["end"], lambda t: last * (1 - _cosine((t - m["leaves"]) / self.return_time))),
        ]
        out = np.zeros_like(t)
        done = np.zeros(t.shape, bool)
        for inside, value in pieces:
            now = inside & ~done
            out[now] = value(t[now])
            done |= inside
        return self.address + out

    def elbow_bend(self, time) -> np.ndarray:
        """Bend of the elbows [deg]: grows after the strike when the arms collapse.

        And goes back afterwards.
        """
        t, m = np.asarray(time, float), self.marks
        rise = _cosine(np.clip((t - m["strike"]) / (m["finish"] - m["strike"]), 0, 1))
        fall = _cosine(np.clip((t - m["leaves"]) / self.return_time, 0, 1))
        return self.elbow + self.collapse * (rise - fall)


def _cosine(s):
    return (1 - np.cos(np.pi * s)) / 2


def _minimum_jerk(s):
    return s**3 * (10 - 15 * s + 6 * s**2)


@dataclass(frozen=True)
class Truth:
    """What is known of one swing of a clip; times from the start of the clip [s], angles [deg]."""

    swing: Swing
    begins: float

    @property
    def arc_back(self) -> float:
        return self.swing.back

    @property
    def arc_through(self) -> float:
        return self.swing.through

    @property
    def ratio(self) -> float:
        return self.swing.ratio

    @property
    def tempo(self) -> float:
        return self.swing.back_time / self.swing.down_time

    @property
    def recoil(self) -> float:
        return self.swing.recoil

    def held(self, threshold: float = 10.0) -> float:
        """Seconds with the hands slower than `threshold` [deg/s] from the finish until they leave."""
        m = self.swing.marks
        step = 1e-4
        time = np.arange(m["strike"], m["end"], step)
        speed = np.abs(np.gradient(self.swing.hand_angle(time), step))
        slow = speed < threshold
        from_ = m["finish"] - 0.2
        until = m["leaves"] + 0.2
        return float(step * np.count_nonzero(slow & (time > from_) & (time < until)))


def sequence(swings: tuple[Swing, ...]) -> list[Truth]:
    """The swings one after another."""
    out, clock = [], 0.0
    for swing in swings:
        out.append(Truth(swing, clock))
        clock += swing.marks["end"]
    return out
