"""Landmarks as text: the CSV and JSON that let another estimator, or a coach's hand, stand in for the model.

CSV: a column time_s, and for each point the columns NAME_x_px, NAME_y_px and, when known, NAME_seen (0 to 1).
JSON: {"width_px": w, "height_px": h, "frames": [{"time_s": t, "points": {"NAME": [x, y, seen]}}]}.
Shoulders, elbows and wrists are needed; the names are in `landmarks.POINTS`; y runs down the picture.
"""

from __future__ import annotations

import csv
import io
import json
import math
from typing import Any, Final

import numpy as np

from firstbounce.errors import FileFault, FileFaults
from firstbounce.technique.landmarks import INDEX, NEEDED, POINTS, Landmarks

MOST_FRAMES: Final = 300_000  #: longer files are refused: 20 minutes at 240 a second
MOST_FAULTS: Final = 20  #: reading stops after this many

Points = dict[str, tuple[float, float, float]]
Row = tuple[float, Points]


def landmarks_from_csv(text: str, path: str) -> Landmarks:
    """Landmarks from a CSV; raises FileFaults naming line and column."""
    reader = csv.DictReader(io.StringIO(text.lstrip("\ufeff")))
    columns = reader.fieldnames or []
    names = [name for name in POINTS if f"{name}_x_px" in columns and f"{name}_y_px" in columns]
    missing = [
        FileFault(line=1, column=f"{name}_x_px", problem="this column and its _y_px are needed")
        for name in NEEDED
        if name not in names
    ]
    if "time_s" not in columns:
        missing.insert(0, FileFault(line=1, column="time_s", problem="this column is needed"))
    if missing:
        raise FileFaults(path, missing)
    rows: list[Row] = []
    faults: list[FileFault] = []
    for number, record in enumerate(reader, start=2):
        _stop_if_long(rows, faults, path)
        rows.append(_csv_row(record, names, number, faults))
    return _landmarks(rows, faults, path, None)


def landmarks_from_json(text: str, path: str) -> Landmarks:
    """Landmarks from JSON; raises FileFaults naming the key."""
    try:
        tree = json.loads(text)
        frames = tree["frames"]
        size = (int(tree["width_px"]), int(tree["height_px"])) if "width_px" in tree else None
        if not isinstance(frames, list):
            raise TypeError
    except (ValueError, KeyError, TypeError, RecursionError) as broken:
        problem = 'this is not JSON of the form {"width_px", "height_px", "frames": [...]}'
        raise FileFaults(path, [FileFault(line=None, column=None, problem=problem)]) from broken
    rows: list[Row] = []
    faults: list[FileFault] = []
    for number, frame in enumerate(frames):
        _stop_if_long(rows, faults, path)
        rows.append(_json_row(frame, number, faults))
    return _landmarks(rows, faults, path, size)


def landmarks_to_json(landmarks: Landmarks) -> str:
    """The JSON that `landmarks_from_json` reads."""
    frames = [
        {
            "time_s": round(float(landmarks.time[i]), 6),
            "points": {
                name: [round(float(v), 3) for v in (*landmarks.xy[i, k], landmarks.seen[i, k])]
                for name, k in INDEX.items()
                if np.isfinite(landmarks.xy[i, k]).all()
            },
        }
        for i in range(len(landmarks))
    ]
    return json.dumps({"width_px": landmarks.width, "height_px": landmarks.height, "frames": frames})


def landmarks_to_csv(landmarks: Landmarks) -> str:
    """The CSV that `landmarks_from_csv` reads."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    kinds = ("x_px", "y_px", "seen")
    writer.writerow(["time_s", *(f"{name}_{kind}" for name in POINTS for kind in kinds)])
    for i in range(len(landmarks)):
        row: list[str] = [f"{landmarks.time[i]:.6f}"]
        for k in range(len(POINTS)):
            x, y = landmarks.xy[i, k]
            known = math.isfinite(x) and math.isfinite(y)
            row += [f"{x:.2f}", f"{y:.2f}", f"{landmarks.seen[i, k]:.3f}"] if known else ["", "", ""]
        writer.writerow(row)
    return out.getvalue()


def _stop_if_long(rows: list[Row], faults: list[FileFault], path: str) -> None:
    if len(rows) >= MOST_FRAMES:
        problem = f"more than {MOST_FRAMES} frames; cut out the part with the swings"
        raise FileFaults(path, [FileFault(line=None, column=None, problem=problem)])
    if len(faults) >= MOST_FAULTS:
        raise FileFaults(path, faults)


def _csv_row(record: dict[str, Any], names: list[str], line: int, faults: list[FileFault]) -> Row:
    def number(column: str, otherwise: float) -> float:
        text = (record.get(column) or "").strip()
        if not text:
            return otherwise
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            faults.append(FileFault(line=line, column=column, problem=f"{text!r:.40} is not a number"))
        return value

    time = number("time_s", math.nan)
    if not (record.get("time_s") or "").strip():
        faults.append(FileFault(line=line, column="time_s", problem="a time is needed"))
    points = {
        name: (
            number(f"{name}_x_px", math.nan),
            number(f"{name}_y_px", math.nan),
            number(f"{name}_seen", 1.0),
        )
        for name in names
    }
    return time, points


def _json_row(frame: Any, number: int, faults: list[FileFault]) -> Row:
    points: Points = {}
    try:
        time = float(frame["time_s"])
        for name, place in frame["points"].items():
            if name in INDEX:
                x, y, *seen = (float(v) for v in place)
                points[name] = (x, y, seen[0] if seen else 1.0)
    except (KeyError, TypeError, ValueError, AttributeError):
        problem = 'a frame needs "time_s" and "points" of [x, y] or [x, y, seen]'
        faults.append(FileFault(line=None, column=f"frames.{number}", problem=problem))
        return math.nan, {}
    return time, points


def _landmarks(
    rows: list[Row], faults: list[FileFault], path: str, size: tuple[int, int] | None
) -> Landmarks:
    if not rows:
        faults.append(FileFault(line=None, column=None, problem="there are no frames"))
    if faults:
        raise FileFaults(path, faults)
    time = np.array([row[0] for row in rows])
    if not np.isfinite(time).all() or (np.diff(time) <= 0).any():
        first = int(np.argmax(~(np.diff(time) > 0))) + 1
        problem = f"times must rise from frame to frame; frame {first + 1} does not"
        raise FileFaults(path, [FileFault(line=None, column="time_s", problem=problem)])
    table = np.full((len(rows), len(POINTS), 3), np.nan)
    for i, (_, points) in enumerate(rows):
        for name, values in points.items():
            table[i, INDEX[name]] = values
    xy, seen = table[:, :, :2], np.nan_to_num(table[:, :, 2], nan=0.0)
    if (np.abs(xy[np.isfinite(xy)]) > 1e5).any():
        problem = "a place lies more than 100 000 px from the corner of the picture"
        raise FileFaults(path, [FileFault(line=None, column=None, problem=problem)])
    width, height = size or _extent(xy)
    return Landmarks(
        time=time, xy=xy, seen=seen, turned=np.full(len(rows), np.nan), width=width, height=height
    )


def _extent(xy: np.ndarray) -> tuple[int, int]:
    """A picture that holds every point with room to spare, when its size is not given."""
    far = np.nanmax(xy.reshape(-1, 2), axis=0) if np.isfinite(xy).any() else np.array([1.0, 1.0])
    return int(far[0] * 1.1) + 100, int(far[1] * 1.1) + 100
