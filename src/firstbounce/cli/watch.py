"""watch: what a phone clip of a swing can tell, or a coach's ticks without one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from firstbounce.cli.options import FILE, json_option
from firstbounce.cli.progress import Progress


def _marks(_ctx: click.Context, _param: click.Parameter, value: str | None) -> dict[str, float]:
    """Pass marks from "held_s=2, recoil_deg=4"."""
    out = {}
    for part in filter(None, (piece.strip() for piece in (value or "").split(","))):
        name, _, number = part.partition("=")
        try:
            out[name.strip()] = float(number)
        except ValueError as bad:
            raise click.BadParameter(f"{part!r} is not NAME=NUMBER, for example held_s=2") from bad
    return out


@click.command("watch")
@click.argument("clips", type=FILE, nargs=-1)
@click.option("--by-eye", help='A coach\'s ticks, no clip: "arms together yes, finish held 2, recoil no".')
@click.option("--swings", type=click.IntRange(1, 1000), default=1, help="Swings in the set ticked by eye.")
@click.option("--swing", type=click.IntRange(min=1), default=1, help="Which swing goes on the sheet.")
@click.option("--sheet", type=FILE, help="Write stills and the hand angle over time to this SVG file.")
@click.option("--annotate", type=FILE, help="Write the clip again as .mp4, triangle and arcs drawn on it.")
@click.option("--csv", "csv_file", type=FILE, help="Write the measures to this CSV file.")
@click.option("--save-landmarks", type=FILE, help="Write the landmarks to this .csv or .json file.")
@click.option(
    "--corrections", type=FILE, help="JSON: moments or points moved by hand, a stick of known length."
)
@click.option("--marks", callback=_marks, help='Other pass marks: "held_s=2, recoil_deg=4, elbow_deg=12".')
@click.option("--filmed-at", type=click.FloatRange(min=1), help="Rate slow motion was filmed at, a second.")
@click.option("--show-faces", is_flag=True, help="Do not blur the face in what is saved.")
@click.option("--install-model", is_flag=True, help="Put the landmark model on this machine, once.")
@json_option
def command(clips: tuple[Path, ...], install_model: bool, by_eye: str | None, **options: Any) -> None:
    """Measure swings in CLIPS filmed face-on (mp4, mov), or in landmarks from a .csv or .json file.

    Two clips are compared. Needs pip install "firstbounce[video]" and one run with --install-model.
    Clips stay on this machine.

    Example:  firstbounce watch swing.mp4 --sheet swing.svg
    """
    if install_model:
        _install()
    elif by_eye is not None:
        _ticks(by_eye, options["swings"], options["as_json"])
    elif not 1 <= len(clips) <= 2:
        raise click.UsageError("Give one clip, or two to compare; or ticks with --by-eye.")
    else:
        _watch(clips, **options)


def _install() -> None:
    from firstbounce.services.pose_model import install_model

    click.echo(f"The landmark model is in {install_model()}.")


def _ticks(text: str, swings: int, as_json: bool) -> None:
    from firstbounce.technique.by_eye import judge_ticks, read_ticks
    from firstbounce.technique.report import ticks_tree, ticks_words

    judged = judge_ticks(read_ticks(text, swings=swings))
    if as_json:
        click.echo(json.dumps(ticks_tree(judged, swings), indent=2))
    else:
        click.echo(ticks_words(judged, swings))


def _watch(
    clips: tuple[Path, ...],
    *,
    swings: int,
    swing: int,
    sheet: Path | None,
    annotate: Path | None,
    csv_file: Path | None,
    save_landmarks: Path | None,
    corrections: Path | None,
    marks: dict[str, float],
    filmed_at: float | None,
    show_faces: bool,
    as_json: bool,
) -> None:
    from firstbounce.services.watch import sheet_svg, watch
    from firstbounce.technique.report import measures_csv, watched_tree, watched_words

    del swings
    chosen = _pass_marks(marks)
    _refuse_outputs(clips, [sheet, annotate, csv_file, save_landmarks])
    if len(clips) > 1 and (annotate or save_landmarks or corrections):
        raise click.UsageError("--annotate, --save-landmarks and --corrections take one clip at a time.")
    seen = []
    for path in clips:
        with Progress(f"Watching {path.name}") as progress:
            seen.append(
                watch(path, marks=chosen, filmed_at=filmed_at, corrections=corrections, progress=progress)
            )
    if csv_file:
        _write(csv_file, measures_csv([(clip.path.name, clip.watched) for clip in seen]))
    if save_landmarks:
        _save(save_landmarks, seen[0])
    if sheet:
        _write(sheet, sheet_svg(seen, swing=swing, blur_faces=not show_faces))
    if annotate:
        _annotate(seen[0], annotate, show_faces)
    if as_json:
        trees = [{"clip": str(clip.path), **watched_tree(clip.watched)} for clip in seen]
        click.echo(json.dumps(trees[0] if len(trees) == 1 else {"clips": trees}, indent=2))
        return
    for clip in seen:
        click.echo(("" if len(seen) == 1 else f"{clip.path}\n") + watched_words(clip.watched))


def _annotate(clip, path: Path, show_faces: bool) -> None:  # type: ignore[no-untyped-def]
    from firstbounce.services.annotated_clip import write_annotated

    with Progress(f"Drawing on {clip.path.name}") as progress:
        write_annotated(clip, path, blur_faces=not show_faces, progress=progress)


def _pass_marks(values: dict[str, float]):  # type: ignore[no-untyped-def]
    from dataclasses import fields

    from firstbounce.technique.marks import PassMarks

    known = [field.name for field in fields(PassMarks)]
    for name in values:
        if name not in known:
            raise click.BadParameter(
                f"{name} is not a pass mark; there are {', '.join(known)}", param_hint="--marks"
            )
    return PassMarks(**values)


def _save(path: Path, clip) -> None:  # type: ignore[no-untyped-def]
    from firstbounce.technique.landmark_files import landmarks_to_csv, landmarks_to_json

    write = landmarks_to_json if path.suffix.lower() == ".json" else landmarks_to_csv
    _write(path, write(clip.landmarks))


def _refuse_outputs(clips: tuple[Path, ...], outputs: list[Path | None]) -> None:
    """Say before a clip is watched, not after, that a file cannot be written."""
    for path in filter(None, outputs):
        if not path.parent.is_dir():
            raise click.UsageError(f"There is no folder {path.parent} to write {path.name} to.")
        if path.is_dir() or path.resolve() in [clip.resolve() for clip in clips]:
            raise click.UsageError(f"{path} is a folder or the clip itself; name another file.")


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")
