"""When a clip or a measure is refused, why, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from firstbounce.technique.landmarks import INDEX, NEEDED, Landmarks
from firstbounce.technique.swings import Moments
from firstbounce.technique.tracking import Look

LEAST_LIGHT: Final = 45.0  #: brightness of the brightest part of the player, of 255
LEAST_SHARPNESS: Final = 0.42  #: see tracking.sharpness
MOST_TURN_DEG: Final = 24.0  #: turned further from the camera is not face-on [deg]
LEAST_SLIDE: Final = 0.004  #: a smaller slide of the background is none, share of the picture's longer side
MOST_MOVED_SHARE: Final = 0.25  #: the camera moves when the background slid at more of the looks than this
LEAST_SEEN: Final = 0.5  #: landmark confidence needed at a moment that is measured
LEAST_FRAMES_S: Final = 50.0  #: frames a second needed for tempo
MOST_DOWN_S: Final = 0.9  #: a slower way down than this is slow motion saved at normal speed [s]
FEET: Final = ("left_ankle", "right_ankle")
HANDS: Final = ("left_wrist", "right_wrist")


class Reason(StrEnum):
    """Why a clip or a measure is refused."""

    NO_PERSON = "no person"
    TOO_DARK = "too dark"
    TOO_BLURRED = "too blurred"
    TWO_PEOPLE = "two people"
    CAMERA_MOVING = "camera moving"
    NOT_FACE_ON = "not face-on"
    OUT_OF_FRAME = "out of frame"
    UNCERTAIN = "landmarks uncertain"
    NO_SWING = "no swing"
    FRAME_RATE = "frame rate"
    SLOW_MOTION = "slow motion"
    NEVER_STILL = "never still"
    NO_SHAFT = "not measurable here"
    NO_STICK = "no stick"


ADVICE: Final = {
    Reason.NO_PERSON: "Nobody was found in the clip: film one player, whole body in the picture.",
    Reason.TOO_DARK: "The picture is too dark: film with the light on the player, not behind.",
    Reason.TOO_BLURRED: "The picture is out of focus: wipe the lens, tap on the player to focus, film again.",
    Reason.TWO_PEOPLE: "More than one person is in the picture: film one player alone.",
    Reason.CAMERA_MOVING: "The camera moves: put the phone on a stand or lean it on a bag.",
    Reason.NOT_FACE_ON: "The camera does not face the player: put it square, at hand height, 4 m away.",
    Reason.OUT_OF_FRAME: "{what} out of the picture: step back until the whole body and the club fit.",
    Reason.UNCERTAIN: "The arms cannot be made out well: plain background, no loose jacket, film again.",
    Reason.NO_SWING: "No swing was found: film from a still address to the end of the held finish.",
    Reason.FRAME_RATE: "The clip has {rate:.0f} frames a second and tempo needs 50: film at 60 or more.",
    Reason.SLOW_MOTION: "This looks like slow motion saved at normal speed: say the rate it was filmed at.",
    Reason.NEVER_STILL: "The player was not still before the swing: stand still for a second first.",
    Reason.NO_STICK: "No stick of known length is marked: lay one at the hands, give its ends and length.",
    Reason.NO_SHAFT: "Not measurable here: the club is not seen, only the body.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """One reason and one sentence: what is wrong and what to do."""

    reason: Reason
    sentence: str


def refusal(reason: Reason, **details: object) -> Refusal:
    """The refusal with its sentence."""
    return Refusal(reason=reason, sentence=ADVICE[reason].format(**details))


def picture_refusals(landmarks: Landmarks, looks: Sequence[Look], frames: int) -> list[Refusal]:
    """What is wrong with the whole clip, whatever the swings in it."""
    out = []
    dark = bool(looks) and np.median([look.light for look in looks]) < LEAST_LIGHT
    if dark:
        out.append(refusal(Reason.TOO_DARK))
    elif not len(landmarks) or len(landmarks) < 0.3 * frames:
        out.append(refusal(Reason.NO_PERSON))
    if not dark and looks and np.median([look.sharpness for look in looks]) < LEAST_SHARPNESS:
        out.append(refusal(Reason.TOO_BLURRED))
    if looks and np.mean([look.others > 0 for look in looks]) > 0.3:
        out.append(refusal(Reason.TWO_PEOPLE))
    return out


def swing_refusals(landmarks: Landmarks, looks: Sequence[Look], swing: Moments) -> list[Refusal]:
    """What is wrong while one swing is made."""
    during = landmarks.between(swing.start - 0.4, swing.leaves)
    out = []
    if camera_moves([look for look in looks if swing.start - 0.6 <= look.time <= swing.leaves + 0.3]):
        out.append(refusal(Reason.CAMERA_MOVING))
    if not (face_on(landmarks.between(swing.address - 0.05, swing.start + 0.05)) and face_on(during, 60.0)):
        out.append(refusal(Reason.NOT_FACE_ON))
    if what := out_of_frame(during):
        out.append(refusal(Reason.OUT_OF_FRAME, what=what))
    elif uncertain(during):
        out.append(refusal(Reason.UNCERTAIN))
    return out


def still_refusals(landmarks: Landmarks, looks: Sequence[Look]) -> list[Refusal]:
    """What may be wrong with a clip in which no swing was found; the reasons that explain it, if any."""
    out = []
    if camera_moves(looks):
        out.append(refusal(Reason.CAMERA_MOVING))
    if np.nanmedian(np.abs(landmarks.turned)) > MOST_TURN_DEG:
        out.append(refusal(Reason.NOT_FACE_ON))
    if what := out_of_frame(landmarks):
        out.append(refusal(Reason.OUT_OF_FRAME, what=what))
    return out or [refusal(Reason.NO_SWING)]


def camera_moves(looks: Sequence[Look]) -> bool:
    """True when the background slides or shakes at more than a few looks; one odd match is no movement."""
    shifts = np.array([look.shift for look in looks if look.shift is not None])
    if len(shifts) < 4:
        return False
    moved = np.hypot(*shifts.T) > LEAST_SLIDE
    return bool(moved.sum() >= 3 and moved.mean() > MOST_MOVED_SHARE)


def face_on(address: Landmarks, most_turn_deg: float = MOST_TURN_DEG) -> bool:
    """True when the player faces the camera at address: not turned far.

    The left shoulder at picture right.
    """
    if not len(address):
        return True
    turned = address.turned[np.isfinite(address.turned)]
    across = np.median(address.point("left_shoulder")[:, 0] - address.point("right_shoulder")[:, 0])
    return bool(across > 0 and (not len(turned) or np.median(np.abs(turned)) <= most_turn_deg))


def out_of_frame(landmarks: Landmarks) -> str:
    """Which part of the body leaves the picture, or an empty string."""
    for names, what in ((FEET, "The feet are"), (HANDS, "The hands are")):
        xy = landmarks.xy[:, [INDEX[name] for name in names]]
        margin = 0.004 * landmarks.height
        out = ((xy < margin) | (xy > np.array([landmarks.width, landmarks.height]) - margin)).any(-1)
        if out.any(-1).mean() > 0.05:
            return what
    return ""


def uncertain(landmarks: Landmarks) -> bool:
    """True when arms or shoulders are not known or hardly seen in more than a tenth of the frames."""
    chosen = [INDEX[name] for name in NEEDED]
    known = np.isfinite(landmarks.xy[:, chosen]).all(axis=(1, 2))
    seen = np.nan_to_num(landmarks.seen[:, chosen]).mean(1) >= LEAST_SEEN
    return bool((~(known & seen)).mean() > 0.1)


def frame_rate(landmarks: Landmarks, swing: Moments) -> float:
    """Frames a second while the hands move."""
    during = landmarks.between(swing.start - 0.05, swing.finish + 0.05).time
    return float(1 / np.median(np.diff(during))) if len(during) > 2 else 0.0
