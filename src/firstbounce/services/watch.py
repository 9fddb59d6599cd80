"""Watch a clip, or landmarks from a file: swings, measures, verdicts, and the sheet to look at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from firstbounce.errors import ParameterError, VideoError
from firstbounce.services.pose_model import load_model
from firstbounce.technique.ahead import ahead
from firstbounce.technique.calibration import calibrated
from firstbounce.technique.corrections import Corrections, moved_moments, moved_points, read_corrections
from firstbounce.technique.landmark_files import landmarks_from_csv, landmarks_from_json
from firstbounce.technique.landmarks import Landmarks
from firstbounce.technique.marks import PassMarks, Verdict
from firstbounce.technique.odd_frames import bridged
from firstbounce.technique.pose import PoseModel
from firstbounce.technique.reader import ClipFacts, Frame, read_facts, read_frames
from firstbounce.technique.second_look import Moment, look_again, moments_to_see
from firstbounce.technique.sheet import Sheet, SwingRow, sheet_view
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.stills import Still, key_times, row_of_stills
from firstbounce.technique.swings import Moments, find_swings, smoothed
from firstbounce.technique.tracking import Look, Tracked, follow
from firstbounce.technique.watching import Watched, watch_landmarks

ENOUGH_FRAMES_S: Final = 62.0  #: of faster clips, only the movements are looked at frame by frame
MOST_FRAMES_S: Final = 125.0  #: no more frames a second than this are looked at
LAST_PART: Final = 0.9  #: the share of the progress at which the second look begins
LEAST_FRAMES: Final = 5  #: with fewer no swing is looked for
AROUND_S: Final = 0.2  #: what counts as part of a movement, before its start and after its end [s]
LONGEST_TEXT: Final = 300_000_000  #: largest landmark file read [bytes]

Progress = Callable[[float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchedClip:
    """What was seen, and what is needed to draw it. facts: None for landmarks from a file."""

    path: Path
    facts: ClipFacts | None
    landmarks: Landmarks
    looks: tuple[Look, ...]
    watched: Watched
    slowed: float


def watch(
    path: Path,
    *,
    marks: PassMarks | None = None,
    filmed_at: float | None = None,
    corrections: Path | None = None,
    progress: Progress = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
    threads: int = 2,
    consent: Callable[[], None] = lambda: None,
) -> WatchedClip:
    """Watch a clip, or landmarks from a .csv or .json file.

    consent: called before anything is opened; raises when the player may not be filmed (services.technique).

    filmed_at: frames a second at which slow motion was filmed, when the file does not say. Raises VideoError
    or FileFaults with one clear sentence, Cancelled when `cancelled` says so; keeps nothing on disk.
    """
    consent()
    moves = read_corrections(_text(corrections), str(corrections)) if corrections else Corrections()
    if path.suffix.lower() in (".csv", ".json") and path.is_file():
        return _watch_file(path, marks or PassMarks(), moves)
    facts = read_facts(path)
    slowed = slowed_by(facts, filmed_at)
    tracked = track(facts, slowed=slowed, progress=progress, cancelled=cancelled, threads=threads)
    return judge(path, facts, tracked, marks=marks or PassMarks(), moves=moves, slowed=slowed)


def sheet_svg(clips: list[WatchedClip], *, swing: int = 1, blur_faces: bool = True) -> str:
    """The sheet of one swing, or of the same swing of two clips, as SVG text."""
    rows = tuple(_row(clip, swing, blur_faces) for clip in clips)
    title = "Swing" if len(rows) == 1 else "Two swings compared"
    says = _says(clips[0], swing) if len(rows) == 1 else "The same moments below each other."
    return sheet_view(Sheet(title=title, says=says, rows=rows))


def track(
    facts: ClipFacts,
    *,
    slowed: float = 1.0,
    progress: Progress = lambda share: None,
    cancelled: Callable[[], bool] = lambda: False,
    threads: int = 2,
) -> Tracked:
    """What the model sees in a clip, as it comes.

    Fast clips are watched at about 60 frames a second, then their movements frame by frame; in the end the
    moments that are measured are looked at again.
    """
    model = PoseModel(*load_model(), threads=threads)
    length = (facts.seconds or 60.0) / slowed
    quick = facts.frames_per_s * slowed > ENOUGH_FRAMES_S
    part = 0.5 if quick else LAST_PART
    seen = Tracked(facts.width, facts.height)
    done = _share_of(progress, length, 0.0, part)
    with ahead(read_frames(facts.path, least_gap_s=0.9 * slowed / ENOUGH_FRAMES_S)) as frames:
        follow(_timed(frames, slowed), model, seen, progress=done, cancelled=cancelled)
    if quick and (windows := _movements(seen.landmarks())):
        fine = Tracked(facts.width, facts.height)
        done = _share_of(progress, length, part, LAST_PART)
        again = read_frames(
            facts.path, least_gap_s=0.9 * slowed / MOST_FRAMES_S, windows=_spans(windows, slowed)
        )
        with ahead(again) as frames:
            follow(_timed(frames, slowed), model, fine, progress=done, cancelled=cancelled, look=False)
        seen.take(fine)
    if moments := _moments_to_see(seen):
        done = _share_of(progress, length, LAST_PART, 1.0)
        spans = [(seen.times[m.frames[0]] - 1e-4, seen.times[m.frames[-1]] + 1e-4) for m in moments]
        with ahead(read_frames(facts.path, windows=_spans(spans, slowed))) as frames:
            look_again(_timed(frames, slowed), model, seen, moments, progress=done, cancelled=cancelled)
    progress(1.0)
    return seen


def _moments_to_see(seen: Tracked) -> list[Moment]:
    """Of the swings that are there as far as one look can tell."""
    landmarks = calibrated(bridged(seen.landmarks()))
    if len(landmarks) < LEAST_FRAMES:
        return []
    return moments_to_see(seen.times, find_swings(landmarks.time, hand_angle(landmarks)))


def _spans(windows: Sequence[tuple[float, float]], slowed: float) -> tuple[tuple[float, float], ...]:
    """Times of the clip as times of the file."""
    return tuple((first * slowed, last * slowed) for first, last in windows)


def judge(
    path: Path,
    facts: ClipFacts,
    tracked: Tracked,
    *,
    marks: PassMarks = PassMarks(),  # noqa: B008 frozen
    moves: Corrections = Corrections(),  # noqa: B008 frozen
    slowed: float = 1.0,
) -> WatchedClip:
    """Everything that can be said of what the model saw: landmarks moved to the joints, swings, measures."""
    settled = calibrated(bridged(tracked.landmarks()))
    return _judged(path, facts, settled, tuple(tracked.looks), tracked.frames, marks, moves, slowed)


def _share_of(progress: Progress, length: float, first: float, last: float) -> Callable[[float], None]:
    """Progress from `first` to `last` over the seconds of a clip."""

    def done(seconds: float) -> None:
        progress(first + (last - first) * min(1.0, seconds / length))

    return done


def _watch_file(path: Path, marks: PassMarks, moves: Corrections) -> WatchedClip:
    text = _text(path)
    read = landmarks_from_csv if path.suffix.lower() == ".csv" else landmarks_from_json
    landmarks = read(text, str(path))
    return _judged(path, None, landmarks, (), len(landmarks), marks, moves, 1.0)


def _judged(
    path: Path,
    facts: ClipFacts | None,
    landmarks: Landmarks,
    looks: tuple[Look, ...],
    frames: int,
    marks: PassMarks,
    moves: Corrections,
    slowed: float,
) -> WatchedClip:
    landmarks = moved_points(landmarks, moves) if moves.points else landmarks
    moments: list[Moments] | None = None
    if moves.moments:
        moments = moved_moments(landmarks, find_swings(landmarks.time, hand_angle(landmarks)), moves)
    watched = watch_landmarks(
        landmarks,
        looks=looks,
        frames=frames,
        marks=marks,
        exact=facts is None,
        moments=moments,
        metres_per_px=moves.metres_per_px,
    )
    return WatchedClip(
        path=path, facts=facts, landmarks=landmarks, looks=looks, watched=watched, slowed=slowed
    )


def _timed(frames: Iterator[Frame], slowed: float) -> Iterator[Frame]:
    """Frames with the times at which they were filmed."""
    for time, rgb in frames:
        yield Frame(time / slowed, rgb)


def _movements(landmarks: Landmarks) -> list[tuple[float, float]]:
    """From before the start to after the finish of each swing [s]."""
    if len(landmarks) < LEAST_FRAMES:
        return []
    swings = find_swings(landmarks.time, hand_angle(landmarks))
    return [(swing.start - AROUND_S, swing.finish + AROUND_S) for swing in swings]


def slowed_by(facts: ClipFacts, filmed_at: float | None) -> float:
    """How many times slower than life the file plays."""
    if filmed_at is None:
        return 1.0
    if not (facts.frames_per_s > 0 and facts.frames_per_s <= filmed_at <= 1000):
        raise ParameterError(
            f"The clip plays at {facts.frames_per_s:.0f} frames a second; it cannot have been filmed "
            f"at {filmed_at:g}: give the rate of the camera, up to 1000."
        )
    return filmed_at / facts.frames_per_s


def _row(clip: WatchedClip, number: int, blur_faces: bool) -> SwingRow:
    chosen = _chosen(clip, number)
    angle = smoothed(clip.landmarks.time, hand_angle(clip.landmarks, chosen.side)).value
    time = clip.landmarks.time
    near = (time >= chosen.start - 0.5) & (time <= chosen.leaves + 0.4)
    return SwingRow(
        name=clip.path.name,
        stills=_stills(clip, chosen, blur_faces),
        time=time[near] - chosen.strike,
        angle=angle[near],
        held=(chosen.finish - chosen.strike, chosen.leaves - chosen.strike),
        side=chosen.side,
        says=_says(clip, number),
    )


def _chosen(clip: WatchedClip, number: int) -> Moments:
    swings = clip.watched.swings
    if not 1 <= number <= len(swings):
        why = clip.watched.all_refusals
        more = f": {why[0].sentence}" if why and not swings else ""
        raise VideoError(f"{clip.path} has no swing {number} to draw, {len(swings)} found{more}")
    return swings[number - 1].moments


def _stills(clip: WatchedClip, chosen: Moments, blur_faces: bool) -> tuple[Still, ...]:
    if clip.facts is None:
        return ()
    times = key_times(chosen)
    spans = tuple((t * clip.slowed - 0.1, t * clip.slowed + 0.1) for t in times.values())
    frames = _timed(read_frames(clip.path, windows=spans), clip.slowed)
    return row_of_stills(frames, clip.landmarks, times, blur_faces=blur_faces)


def _says(clip: WatchedClip, number: int) -> str:
    judged = clip.watched.swings[number - 1].judged
    if not judged:
        return "Not measured: see the reason given."
    said = []
    for verdict, words in ((Verdict.FAILED, "To work on"), (Verdict.CLOSE, "Too close to call")):
        items = [str(one.item) for one in judged if one.verdict is verdict]
        said += [f"{words}: {', '.join(items)}."] if items else []
    return " ".join(said) or "Everything that could be judged passed."


def _text(path: Path | None) -> str:
    if path is None:
        return ""
    if not path.is_file():
        raise VideoError(f"There is no file {path}.")
    if path.stat().st_size > LONGEST_TEXT:
        raise VideoError(f"{path} is too large for a landmark file; cut out the part with the swings.")
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as fault:
        raise VideoError(f"{path} is not a text file in UTF-8.") from fault
