"""Landmarks of one person over time: the only thing the measures look at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from firstbounce.errors import ParameterError

POINTS: Final = (
    "nose",
    "left_ear",
    "right_ear",
    "left_shoulder",
    "right_shoulder",
    "left_elbow",
    "right_elbow",
    "left_wrist",
    "right_wrist",
    "left_hip",
    "right_hip",
    "left_knee",
    "right_knee",
    "left_ankle",
    "right_ankle",
    "left_foot",
    "right_foot",
)
#: said when the packages of the extra are missing
NEEDS_VIDEO: Final = (
    'Reading a clip needs the extra packages for video; install them with: pip install "firstbounce[video]"'
)
NEEDED: Final = ("left_shoulder", "right_shoulder", "left_elbow", "right_elbow", "left_wrist", "right_wrist")
INDEX: Final = {name: number for number, name in enumerate(POINTS)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Landmarks:
    """One person's points in every measured frame.

    time (n,): true time stamps [s], rising. xy (n, points, 2): picture x to the right, y down [px]; NaN where
    a point is not known. seen (n, points): 0 hidden to 1 plainly seen. width, height: of the picture [px].
    turned (n,): how far the body is turned from the camera [deg], 0 when facing it, NaN when not known.
    """

    time: NDArray[np.float64]
    xy: NDArray[np.float64]
    seen: NDArray[np.float64]
    turned: NDArray[np.float64]
    width: int
    height: int

    def __post_init__(self) -> None:
        count = len(self.time)
        shapes = (self.xy.shape, self.seen.shape, self.turned.shape)
        if shapes != ((count, len(POINTS), 2), (count, len(POINTS)), (count,)):
            raise ParameterError(f"Landmarks of {count} frames have arrays of other shapes: {shapes}.")
        if count > 1 and not (np.diff(self.time) > 0).all():
            raise ParameterError("The time stamps of landmarks must rise from frame to frame.")

    def __len__(self) -> int:
        return len(self.time)

    def point(self, name: str) -> NDArray[np.float64]:
        """Places of one point (n, 2) [px]."""
        return self.xy[:, INDEX[name]]

    def between(self, start: float, end: float) -> Landmarks:
        """The frames with start <= time <= end [s]."""
        keep = (self.time >= start) & (self.time <= end)
        return Landmarks(
            time=self.time[keep],
            xy=self.xy[keep],
            seen=self.seen[keep],
            turned=self.turned[keep],
            width=self.width,
            height=self.height,
        )
