"""Clips of a player in the records: watched once, then looked at again without the clip.

The clip itself is never kept. What stays is the result, what the landmark model saw (numbers), and stills of
each swing with the face blurred, so that the coach can move frames and points and have it judged again.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from firstbounce.errors import Cancelled, FileFaults, NotThere, ParameterError, VideoError
from firstbounce.records.rows.kept import TechniqueRow
from firstbounce.records.store import Store
from firstbounce.services import files, kept
from firstbounce.services.technique import filming_consent, keep_watched
from firstbounce.services.watch import WatchedClip, judge, slowed_by, track
from firstbounce.technique.corrections import Corrections, read_corrections
from firstbounce.technique.landmarks import NEEDED, Landmarks
from firstbounce.technique.marks import PassMarks
from firstbounce.technique.reader import ClipFacts, Frame, read_facts, read_frames
from firstbounce.technique.sheet import Sheet, SwingRow, sheet_view
from firstbounce.technique.signals import hand_angle
from firstbounce.technique.stills import (
    STILL_HEIGHT,
    Still,
    Window,
    key_times,
    nearest,
    placed,
    scale_of,
    stills,
    window_of,
)
from firstbounce.technique.swings import Moments, smoothed
from firstbounce.technique.tracking import Look, Tracked

CLIP, DRAWING = "watched clip", "swing drawing"  #: kinds of kept files
MARKS: Final = "pass_marks"  #: setting: the coach's own pass marks
MOST_DRAWN: Final = 6  #: swings of a clip that get stills and can be corrected on them
MOST_STILLS: Final = 72  #: of one swing
CLOSE_S: Final = 0.12  #: this near a key frame every frame gets a still [s]
BEFORE_S, AFTER_S = 0.4, 0.3  #: stills begin and end this long around a swing [s]
MOST_POINTS: Final = 400  #: of the curve of the hand angle
KEYS: Final = {
    "address": "start_s",
    "top": "top_s",
    "strike": "strike_s",
    "finish": "finish_s",
    "hold ends": "leaves_s",
}  #: key frames and the moment that each shows

Progress = Callable[[float], None]
Cancel = Callable[[], bool]


@dataclass(frozen=True, kw_only=True, eq=False)
class Seen:
    """What the model saw in a clip, and the stills that were taken of it."""

    facts: ClipFacts
    tracked: Tracked
    slowed: float
    windows: tuple[Window, ...]  #: of the stills, by swing
    stills: tuple[tuple[float, ...], ...]  #: time of each still, by swing [s]


def watch_and_keep(
    store: Store,
    path: Path,
    player_id: str,
    *,
    filmed_at: float | None = None,
    session_id: str | None = None,
    progress: Progress = lambda share: None,
    cancelled: Cancel = lambda: False,
) -> str:
    """Watch a clip and keep the result with its stills; returns the id. The clip is left where it is.

    NotAllowed without a junior's consent to filming, VideoError or ParameterError in one sentence that does
    not name the file, Cancelled when `cancelled` says so: then nothing is kept.
    """
    filming_consent(store, player_id)()
    try:
        facts = read_facts(path)
        slowed = slowed_by(facts, filmed_at)
        tracked = track(
            facts,
            slowed=slowed,
            progress=lambda share: progress(0.9 * share),
            cancelled=cancelled,
            threads=1,
        )
        marks = pass_marks(store)
        clip = judge(path, facts, tracked, marks=marks, slowed=slowed)
        seen, pictures = _with_stills(
            clip, Seen(facts=facts, tracked=tracked, slowed=slowed, windows=(), stills=()), cancelled
        )
    except VideoError as error:
        raise VideoError(str(error).replace(str(path), "The clip")) from None
    more = {"marks": asdict(marks), "corrections": {}}
    row_id = keep_watched(store, clip, player_id, session_id=session_id, more=more)
    files.keep_file(
        store, _packed(seen, pictures), kind=CLIP, name="clip.zip", player_id=player_id, technique_id=row_id
    )
    _keep_drawing(store, clip, seen, row_id, player_id)
    progress(1.0)
    return row_id


def correct(
    store: Store, technique_id: str, given: Mapping[str, Any], *, marks: PassMarks | None = None
) -> str:
    """The result with frames or points moved by hand, or other pass marks; returns the id of the new one.

    given: as docs/technique.md shows for `--corrections`; it is added to what was moved before. The result
    that is corrected stays in the records. ParameterError says what does not fit, NotThere when no clip was
    watched.
    """
    row = kept.technique_row(store, technique_id)
    filming_consent(store, row.player_id)()
    seen = seen_of(store, root_of(row))
    moves = merged(row.result.get("corrections", {}), given)
    chosen = marks or marks_of(row)
    try:
        clip = judge(
            seen.facts.path,
            seen.facts,
            seen.tracked,
            marks=chosen,
            moves=corrections_of(moves),
            slowed=seen.slowed,
        )
    except FileFaults as error:
        raise ParameterError(_plain(error)) from None
    more = {"marks": asdict(chosen), "corrections": moves, "corrects": row.id, "clip_of": root_of(row)}
    row_id = keep_watched(store, clip, row.player_id, session_id=row.session_id, more=more)
    _keep_drawing(store, clip, seen, row_id, row.player_id)
    return row_id


def corrections_of(moves: Mapping[str, Any]) -> Corrections:
    """Corrections as the models take them. ParameterError says what is wrong with them."""
    if not any(moves.get(name) for name in ("moments", "points", "stick")):
        return Corrections()
    try:
        return read_corrections(json.dumps(dict(moves)), "corrections")
    except FileFaults as error:
        raise ParameterError(_plain(error)) from None


def merged(before: Mapping[str, Any], given: Mapping[str, Any]) -> dict[str, Any]:
    """Earlier corrections and later ones, which win."""
    out: dict[str, Any] = {}
    for name in ("moments", "points"):
        every = [*before.get(name, []), *given.get(name, [])]
        if every:
            out[name] = every
    stick = given.get("stick") or before.get("stick")
    return {**out, "stick": stick} if stick else out


def pass_marks(store: Store) -> PassMarks:
    """The coach's own pass marks, or the usual ones."""
    return PassMarks(**kept.setting(store, MARKS, {}))


def set_pass_marks(store: Store, marks: PassMarks) -> None:
    """Pass marks of every clip from now on."""
    kept.set_setting(store, MARKS, asdict(marks))


def marks_of(row: TechniqueRow) -> PassMarks:
    """The pass marks that a result was judged by."""
    known = {one.name for one in fields(PassMarks)}
    return PassMarks(**{name: value for name, value in row.result.get("marks", {}).items() if name in known})


def root_of(row: TechniqueRow) -> str:
    """The result whose clip this one rests on: itself, or the first that was corrected."""
    return str(row.result.get("clip_of") or row.id)


def drawing_of(store: Store, row: TechniqueRow) -> dict[str, Any]:
    """Key frames, stills and curve of each swing. NotThere without any; NotAllowed without consent."""
    filming_consent(store, row.player_id)()
    drawing: dict[str, Any] = json.loads(files.file_of(store, DRAWING, technique_id=row.id))
    return drawing


def still_of(store: Store, row: TechniqueRow, number_of_set: int, number: int) -> bytes:
    """One still of a set (from 1), as JPEG. NotThere when there is none."""
    filming_consent(store, row.player_id)()
    with _opened(store, root_of(row)) as packed:
        return _read(packed, _name(number_of_set, number))


def seen_of(store: Store, technique_id: str) -> Seen:
    """What the model saw in the clip of a result. NotThere when it was not kept."""
    with _opened(store, technique_id) as packed:
        told = json.loads(_read(packed, "clip.json"))
        arrays = np.load(io.BytesIO(_read(packed, "tracked.npz")), allow_pickle=False)
    facts = told["facts"]
    tracked = Tracked(facts["width"], facts["height"])
    tracked.times, tracked.turned = arrays["time"].tolist(), arrays["turned"].tolist()
    tracked.xy, tracked.seen = list(arrays["xy"]), list(arrays["seen"])
    tracked.frames = told["frames"]
    tracked.looks = [Look(**{**one, "shift": _pair(one["shift"])}) for one in told["looks"]]
    return Seen(
        facts=ClipFacts(path=Path("clip"), **facts),
        tracked=tracked,
        slowed=told["slowed"],
        windows=tuple((w[0], w[1], w[2], w[3]) for w in told["windows"]),
        stills=tuple(tuple(times) for times in told["stills"]),
    )


def sheet_of(store: Store, rows: list[tuple[TechniqueRow, int, str]]) -> str:
    """The sheet of a swing, or of two below each other, as SVG: result, swing (from 1) and name of each."""
    drawn = tuple(_sheet_row(store, row, swing, name) for row, swing, name in rows)
    one = len(drawn) == 1
    title = "Swing" if one else "Two swings compared"
    return sheet_view(
        Sheet(title=title, says=drawn[0].says if one else "The same moments below each other.", rows=drawn)
    )


def curve_of(drawing: Mapping[str, Any], name: str) -> str:
    """The hand angle of a swing over time, as SVG, without stills."""
    return sheet_view(
        Sheet(
            title="Hand angle",
            says="From straight down, towards the target positive.",
            rows=(_curve_row(drawing, name, ()),),
        )
    )


def _sheet_row(store: Store, row: TechniqueRow, swing: int, name: str) -> SwingRow:
    told = swing_drawing(drawing_of(store, row), swing)
    shown = tuple(
        Still(
            caption=key["caption"],
            time=key["time_s"],
            jpeg=still_of(store, row, told["set"], key["still"]),
            width=told["width"],
            height=told["height"],
            left_shoulder=_point(key, "left_shoulder"),
            right_shoulder=_point(key, "right_shoulder"),
            hands=_hands(key),
        )
        for key in told["keys"]
        if len(key["points"]) == len(NEEDED)
    )
    return _curve_row(told, name, shown)


def swing_drawing(drawing: Mapping[str, Any], swing: int) -> dict[str, Any]:
    """The drawing of one swing (from 1). NotThere when it has none."""
    if not 1 <= swing <= len(drawing["swings"]) or drawing["swings"][swing - 1] is None:
        raise NotThere(f"Swing {swing} of this clip has no stills.")
    told: dict[str, Any] = drawing["swings"][swing - 1]
    return told


def _curve_row(told: Mapping[str, Any], name: str, shown: tuple[Still, ...]) -> SwingRow:
    curve = told["curve"]
    return SwingRow(
        name=name,
        stills=shown,
        time=np.array(curve["time_s"]),
        angle=np.array(curve["angle_deg"]),
        held=(curve["held_s"][0], curve["held_s"][1]),
        side=told["side"],
        says=told["says"],
    )


def _point(key: Mapping[str, Any], name: str) -> tuple[float, float]:
    x, y = key["points"][name]
    return float(x), float(y)


def _hands(key: Mapping[str, Any]) -> tuple[float, float]:
    left, right = _point(key, "left_wrist"), _point(key, "right_wrist")
    return (left[0] + right[0]) / 2, (left[1] + right[1]) / 2


def _with_stills(clip: WatchedClip, seen: Seen, cancelled: Cancel) -> tuple[Seen, list[list[bytes]]]:
    """Stills of every swing that gets them; of one swing at a time, so that memory stays small."""
    windows: list[Window] = []
    times: list[tuple[float, ...]] = []
    pictures: list[list[bytes]] = []
    for swing in clip.watched.swings[:MOST_DRAWN]:
        wanted = _frames_of(clip.landmarks, swing.moments)
        window = window_of(
            clip.landmarks, [nearest(clip.landmarks, t) for t in key_times(swing.moments).values()]
        )
        taken = dict(stills(_frames(clip, wanted, cancelled), clip.landmarks, set(wanted), window))
        numbers = sorted(taken)
        windows.append(window)
        times.append(tuple(taken[k].time for k in numbers))
        pictures.append([taken[k].jpeg for k in numbers])
    return replace(seen, windows=tuple(windows), stills=tuple(times)), pictures


def _frames_of(landmarks: Landmarks, swing: Moments) -> list[int]:
    """Which frames get a still: all near the key frames, the others evenly."""
    time = landmarks.time
    every = np.flatnonzero((time >= swing.start - BEFORE_S) & (time <= swing.leaves + AFTER_S))
    keys = np.array([nearest(landmarks, t) for t in key_times(swing).values()])
    close = every[(np.abs(time[every][:, None] - time[keys][None, :]) <= CLOSE_S).any(axis=1)]
    near = _evenly(close, MOST_STILLS - 24)
    rest = _evenly(np.setdiff1d(every, close), MOST_STILLS - len(near) - len(keys))
    return sorted({int(k) for part in (keys, near, rest) for k in part})


def _evenly(numbers: np.ndarray, most: int) -> np.ndarray:
    if len(numbers) <= most:
        return numbers
    return numbers[np.linspace(0, len(numbers) - 1, most).round().astype(int)]


def _frames(clip: WatchedClip, wanted: list[int], cancelled: Cancel) -> Iterator[Frame]:
    """The frames of one swing at the times at which they were filmed."""
    first, last = (float(clip.landmarks.time[k]) for k in (wanted[0], wanted[-1]))
    span = ((first * clip.slowed - 1e-3, last * clip.slowed + 1e-3),)
    for time, rgb in read_frames(clip.path, windows=span):
        if cancelled():
            raise Cancelled("Stopped; nothing was kept.")
        yield Frame(time / clip.slowed, rgb)


def _keep_drawing(store: Store, clip: WatchedClip, seen: Seen, row_id: str, player_id: str) -> None:
    drawn = json.dumps(drawing(clip, seen), separators=(",", ":")).encode()
    files.keep_file(store, drawn, kind=DRAWING, name="swings.json", player_id=player_id, technique_id=row_id)


def drawing(clip: WatchedClip, seen: Seen) -> dict[str, Any]:
    """What is needed to draw each swing of a judged clip, as plain values; null without stills."""
    return {"format": 1, "swings": [_drawn(clip, seen, k) for k in range(len(clip.watched.swings))]}


def _drawn(clip: WatchedClip, seen: Seen, k: int) -> dict[str, Any] | None:
    swing = clip.watched.swings[k].moments
    n = _set_of(seen, swing)
    if n is None:
        return None
    window, times = seen.windows[n], np.array(seen.stills[n])
    return {
        "set": n + 1,
        "width": max(10, round((window[2] - window[0]) * scale_of(window))),
        "height": STILL_HEIGHT,
        "window_px": list(window),
        "side": swing.side,
        "says": _says(clip, k),
        "times_s": [round(float(t), 4) for t in times],
        "keys": [_key(clip, window, times, name, time) for name, time in key_times(swing).items()],
        "curve": _curve(clip.landmarks, swing),
    }


def _set_of(seen: Seen, swing: Moments) -> int | None:
    """Which set of stills shows a swing: points that were moved can make a swing come or go."""
    around = (n for n, times in enumerate(seen.stills) if times and times[0] <= swing.strike <= times[-1])
    return next(around, None)


def _key(clip: WatchedClip, window: Window, times: np.ndarray, caption: str, time: float) -> dict[str, Any]:
    """A key frame: the still that is nearest to its moment, and the arms in it [px of the still]."""
    still = int(np.abs(times - time).argmin())
    frame = nearest(clip.landmarks, float(times[still]))
    points = placed(clip.landmarks, frame, window)
    return {
        "caption": caption,
        "moment": KEYS[caption],
        "time_s": round(time, 4),
        "still": still,
        "points": {name: [round(v, 2) for v in points[name]] for name in NEEDED if name in points},
    }


def _curve(landmarks: Landmarks, swing: Moments) -> dict[str, Any]:
    time = landmarks.time
    angle = smoothed(time, hand_angle(landmarks, swing.side)).value
    near = _evenly(np.flatnonzero((time >= swing.start - 0.5) & (time <= swing.leaves + 0.4)), MOST_POINTS)
    return {
        "time_s": [round(float(t), 4) for t in time[near] - swing.strike],
        "angle_deg": [round(float(a), 3) for a in angle[near]],
        "held_s": [round(swing.finish - swing.strike, 4), round(swing.leaves - swing.strike, 4)],
    }


def _says(clip: WatchedClip, k: int) -> str:
    judged = clip.watched.swings[k].judged
    if not judged:
        return "Not measured: see the reason given."
    failed = [str(one.item) for one in judged if str(one.verdict) == "failed"]
    return f"To work on: {', '.join(failed)}." if failed else "Nothing failed of what could be judged."


def _packed(seen: Seen, pictures: list[list[bytes]]) -> bytes:
    """The file of a watched clip: clip.json, tracked.npz, stills by swing and number (docs/technique.md)."""
    tracked = seen.tracked
    count = len(tracked.times)
    arrays = io.BytesIO()
    np.savez_compressed(
        arrays,
        time=np.array(tracked.times),
        turned=np.array(tracked.turned),
        xy=np.array(tracked.xy).reshape(count, -1, 2),
        seen=np.array(tracked.seen).reshape(count, -1),
    )
    facts = {name: value for name, value in asdict(seen.facts).items() if name != "path"}
    told = {
        "format": 1,
        "facts": facts,
        "slowed": seen.slowed,
        "frames": tracked.frames,
        "looks": [asdict(one) for one in tracked.looks],
        "windows": [list(one) for one in seen.windows],
        "stills": [list(one) for one in seen.stills],
    }
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as packed:
        packed.writestr("clip.json", json.dumps(told, default=_number))
        packed.writestr("tracked.npz", arrays.getvalue())
        for swing, every in enumerate(pictures, start=1):
            for number, jpeg in enumerate(every):
                packed.writestr(_name(swing, number), jpeg)
    return out.getvalue()


def _number(value: Any) -> Any:
    """A number of an array as JSON knows it."""
    if isinstance(value, np.generic):
        return value.item()
    raise TypeError(f"{type(value).__name__} cannot be kept")


def _name(swing: int, number: int) -> str:
    return f"stills/{swing}-{number:03d}.jpg"


def _opened(store: Store, technique_id: str) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(files.file_of(store, CLIP, technique_id=technique_id)))


def _read(packed: zipfile.ZipFile, name: str) -> bytes:
    try:
        return packed.read(name)
    except KeyError:
        raise NotThere("There is no such still of this clip.") from None


def _pair(value: list[float] | None) -> tuple[float, float] | None:
    return None if value is None else (value[0], value[1])


def _plain(error: FileFaults) -> str:
    said = "; ".join(one.problem for one in error.faults)
    return f"{said[:1].upper()}{said[1:]}."
