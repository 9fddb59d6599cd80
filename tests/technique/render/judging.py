"""What was measured in a rendered clip against what is true of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from firstbounce.technique.landmarks import INDEX, POINTS, Landmarks
from firstbounce.technique.marks import Item, Verdict
from firstbounce.technique.measures import Measure, Name
from firstbounce.technique.signals import angle_at_hands, arm_line, elbow_bend, shoulder_line
from firstbounce.technique.watching import Watched, WatchedSwing

from .clips import Clip, joints_of
from .swing import Truth

FAULT_ITEMS = {
    "short": Item.MATCH,
    "long": Item.MATCH,
    "recoil": Item.RECOIL,
    "quick": Item.HELD,
    "collapse": Item.ARMS,
}


@dataclass(frozen=True)
class Compared:
    """One swing: the truth and the measure of each name that was measured."""

    clip: Clip
    truth: dict[Name, float]
    measures: dict[Name, Measure]
    seen: WatchedSwing
    swing: Truth

    def error(self, name: Name) -> float:
        """Measured less true, NaN when it was refused."""
        measure = self.measures[name]
        return float("nan") if measure.value is None else measure.value - self.truth[name]

    def covered(self, name: Name) -> bool | None:
        """Whether the 90 % interval holds the truth; None when it was refused."""
        measure = self.measures[name]
        if measure.value is None or measure.low is None or measure.high is None:
            return None
        return bool(measure.low <= self.truth[name] <= measure.high)

    def outcome(self) -> str:
        """Right, close or wrong: whether the fault that was put in failed, or all passed in a good swing.

        Of a good swing every item that a fault could fail must pass; of a faulty one its own item counts.
        """
        verdicts = {one.item: one.verdict for one in self.seen.judged}
        items = {FAULT_ITEMS[self.clip.faults[0]]} if self.clip.faults else set(FAULT_ITEMS.values())
        wanted, other = (Verdict.FAILED, Verdict.PASSED)[:: 1 if self.clip.faults else -1]
        if all(verdicts[item] is wanted for item in items):
            return "right"
        return "wrong" if any(verdicts[item] is other for item in items) else "close"


def exact_landmarks(clip: Clip, times: np.ndarray) -> Landmarks:
    """The joints themselves as landmarks, seen square on without perspective, 100 px a metre."""
    joints = joints_of(clip, times)
    xy = np.full((len(times), len(POINTS), 2), np.nan)
    for k, name in enumerate(joints.names):
        xy[:, INDEX[name], 0] = 500 + 100 * joints.world[:, k, 0]
        xy[:, INDEX[name], 1] = 500 - 100 * joints.world[:, k, 1]
    count = len(times)
    return Landmarks(
        time=times, xy=xy, seen=np.ones(xy.shape[:2]), turned=np.zeros(count), width=1000, height=1000
    )


def true_values(clip: Clip, truth: Truth) -> dict[Name, float]:
    """Every measure from the exact joints or from the swing as it was written down."""
    side = -1 if clip.left_handed else 1
    marks, begins = truth.swing.marks, truth.begins
    exact = exact_landmarks(
        clip, begins + np.array([marks["start"] - 0.1, marks["top"], marks["finish"] + 0.05])
    )
    shoulders, arm = shoulder_line(exact, side), arm_line(exact, True, side)
    lead, trail, triangle = (
        elbow_bend(exact, True, side),
        elbow_bend(exact, False, side),
        angle_at_hands(exact),
    )
    return {
        Name.ARC_BACK: truth.arc_back,
        Name.ARC_THROUGH: truth.arc_through,
        Name.RATIO: truth.ratio,
        Name.TIME_BACK: truth.swing.back_time,
        Name.TIME_DOWN: truth.swing.down_time,
        Name.TEMPO: truth.tempo,
        Name.HELD: truth.held(),
        Name.RECOIL: truth.recoil,
        Name.TRIANGLE: triangle[2] - triangle[0],
        Name.LEAD_ELBOW: lead[2] - lead[0],
        Name.TRAIL_ELBOW: trail[2] - trail[0],
        Name.SHOULDERS_ADDRESS: shoulders[0],
        Name.SHOULDERS_TOP: shoulders[1],
        Name.SHOULDERS_FINISH: shoulders[2],
        Name.LEAD_ARM_ADDRESS: arm[0],
        Name.LEAD_ARM_TOP: arm[1],
        Name.LEAD_ARM_FINISH: arm[2],
    }


LINES = (Name.SHOULDERS_ADDRESS, Name.SHOULDERS_TOP, Name.SHOULDERS_FINISH)
ARM_LINES = (Name.LEAD_ARM_ADDRESS, Name.LEAD_ARM_TOP, Name.LEAD_ARM_FINISH)


def picture_errors(compared: list[Compared]) -> tuple[float, float]:
    """Mean absolute errors of shoulder and arm lines against the joints as this camera sees them [deg].

    The truth of `true_values` is what a distant camera square to the player would see.
    """
    shoulders, arms = [], []
    for one in compared:
        side = -1 if one.clip.left_handed else 1
        marks, begins = one.swing.swing.marks, one.swing.begins
        times = begins + np.array([marks["start"] - 0.1, marks["top"], marks["finish"] + 0.05])
        joints = joints_of(one.clip, times)
        xy = np.full((3, len(POINTS), 2), np.nan)
        for k, name in enumerate(joints.names):
            xy[:, INDEX[name]] = joints.seen[:, k]
        seen = Landmarks(
            time=times, xy=xy, seen=np.ones(xy.shape[:2]), turned=np.zeros(3), width=1000, height=1000
        )
        for out, names, true in (
            (shoulders, LINES, shoulder_line(seen, side)),
            (arms, ARM_LINES, arm_line(seen, True, side)),
        ):
            values = [one.measures[name].value for name in names]
            out += [abs(v - t) for v, t in zip(values, true, strict=True) if v is not None]
    return float(np.mean(shoulders)), float(np.mean(arms))


def compare(clip: Clip, watched: Watched) -> tuple[list[Compared], list[str]]:
    """Each swing that was found against its truth, and what went wrong otherwise, in words."""
    out, wrong = [], [str(r.reason) for r in watched.refusals]
    for truth in clip.truths:
        strike = truth.begins + truth.swing.marks["strike"]
        near = [s for s in watched.swings if abs(s.moments.strike - strike) < 0.3]
        if not near:
            wrong.append("swing missed")
        elif near[0].refusals:
            wrong += [str(r.reason) for r in near[0].refusals]
        elif near[0].left_handed != clip.left_handed:
            wrong.append("wrong hand")
        else:
            out.append(Compared(clip, true_values(clip, truth), dict(near[0].measures), near[0], truth))
    wrong += ["swing that was none"] * max(0, len(watched.swings) - len(clip.truths))
    return out, wrong


def refused_rightly(clip: Clip, watched: Watched) -> bool:
    """Whether a clip to refuse was refused for the reason that was put in."""
    if clip.refuse == "frame rate":
        tempos = [swing.measures[Name.TEMPO] for swing in watched.swings if swing.measures]
        return bool(tempos) and all("frames a second" in one.refusal for one in tempos)
    return clip.refuse in [str(r.reason) for r in watched.all_refusals]


def summary(compared: list[Compared]) -> list[str]:
    """One line a measure: bias, mean absolute and worst error, and how often the interval held the truth."""
    lines = [f"{'measure':<28}{'n':>4}{'bias':>8}{'mae':>8}{'worst':>8}{'held':>7}"]
    for name in compared[0].truth:
        errors = np.array([c.error(name) for c in compared])
        errors = errors[np.isfinite(errors)]
        covered = [c.covered(name) for c in compared if c.covered(name) is not None]
        if len(errors):
            share = f"{100 * np.mean(covered):6.0f}%" if covered else ""
            figures = (errors.mean(), np.abs(errors).mean(), np.abs(errors).max())
            lines.append(f"{name:<28}{len(errors):>4}" + "".join(f"{f:8.2f}" for f in figures) + share)
    return lines
