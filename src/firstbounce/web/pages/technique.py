"""Technique: a clip or ticks by eye; a result with pass marks, stills, curve and drills, moved by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import NotAllowed, NotThere
from firstbounce.practice.drill import Drill
from firstbounce.records.rows.kept import SeenBy, TechniqueRow
from firstbounce.records.rows.people import ConsentKind
from firstbounce.services import kept, players, technique, watched_clips
from firstbounce.services.practice import shipped_drills
from firstbounce.services.store import Store
from firstbounce.technique.landmarks import NEEDED
from firstbounce.technique.marks import Item, Judge, Judged, PassMarks, Verdict
from firstbounce.technique.measures import Name
from firstbounce.technique.numbers import numbers_from_tree, over_swings
from firstbounce.web import uploads
from firstbounce.web.api.shapes import Id
from firstbounce.web.api.technique import failed_items
from firstbounce.web.reach import Queue, Records, SettingsOf
from firstbounce.web.render import Option, page
from firstbounce.web.words import day_text
from firstbounce.words import Fault

router = APIRouter(include_in_schema=False)
YES_NO: tuple[Option, ...] = (("yes", "Yes"), ("no", "No"))
HELD: tuple[Option, ...] = (("2", "2 s"), ("1", "1 s"), ("0", "Not held"))
FOLLOWED = (Name.RATIO, Name.HELD)
UNIT = {"deg": "°", "s": " s", "m": " m", "": ""}
MARK_WORDS = {
    "ratio_low": "Through over back, from",
    "ratio_high": "Through over back, to",
    "held_s": "Finish held, seconds",
    "recoil_deg": "Recoil, degrees at most",
    "elbow_deg": "Elbows, degrees at most",
    "triangle_deg": "Triangle, degrees at most",
    "tempo_low": "Tempo, from",
    "tempo_high": "Tempo, to",
}
POINTS: tuple[Option, ...] = tuple((name, name.replace("_", " ").capitalize()) for name in NEEDED)
SHEET_POLICY = "default-src 'none'; img-src data:; style-src 'none'; frame-ancestors 'none'"


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultLine:
    """An earlier result of the list."""

    id: str
    words: str
    about: str
    numbers: str  #: of a clip: what is followed over weeks, with what each lies between


@dataclass(frozen=True, slots=True, kw_only=True)
class TechniquePage:
    """Everything technique.html may use."""

    player_id: str
    player: str
    may_film: bool
    junior: bool
    missing: str  #: command that brings what watching needs; empty when all is there
    most_mb: int
    yes_no: tuple[Option, ...]
    held: tuple[Option, ...]
    job: str  #: that is going on; empty when none is
    results: tuple[ResultLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillLink:
    """A drill for what failed."""

    name: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemRow:
    """One thing that is judged."""

    item: str
    verdict: str
    says: str
    mark: str
    drills: tuple[DrillLink, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureRow:
    """One number with what it lies between nine times in ten."""

    name: str
    value: str
    between: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyStill:
    """One key frame: its still, and the lines drawn on it."""

    caption: str
    moment: str
    time: str
    path: str
    alt: str
    triangle: str
    plumb: tuple[float, float, float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingPage:
    """Everything swing.html may use."""

    id: str
    player_id: str
    player: str
    when: str
    judge: str
    corrected: bool
    swing: int
    swings: tuple[int, ...]
    refusals: tuple[str, ...]
    says: str
    items: tuple[ItemRow, ...]
    measures: tuple[MeasureRow, ...]
    not_measured: tuple[str, ...]
    hidden: str  #: why there are no stills; empty when there are
    width: int
    height: int
    keys: tuple[KeyStill, ...]
    curve: str  #: SVG
    points: tuple[Option, ...]
    marks: tuple[tuple[str, str, float], ...]
    others: tuple[Option, ...]  #: results that can be compared
    data: dict[str, Any] | None


@router.get("/players/{player_id}/technique")
def technique_page(
    request: Request, player_id: Id, store: Records, settings: SettingsOf, jobs: Queue
) -> Response:
    """Send a clip or tick by eye; what was seen before."""
    player = players.player(store, player_id)
    going = jobs.going_on("clip", player_id)
    lacking = uploads.missing()
    context = TechniquePage(
        player_id=player_id,
        player=player.name,
        may_film=not player.junior or players.may(store, player_id, ConsentKind.FILMING),
        junior=player.junior,
        missing=lacking.command if lacking else "",
        most_mb=settings.most_upload_bytes // 1_000_000,
        yes_no=YES_NO,
        held=HELD,
        job=going[0].id if going else "",
        results=tuple(_result_line(row) for row in technique.results(store, player_id)),
    )
    return page(request, "technique.html", context)


@router.get("/technique/{technique_id}")
def swing_page(request: Request, technique_id: Id, store: Records, swing: int = 1) -> Response:
    """One result: what passes, the stills, the numbers, the drills; frames and points to move."""
    row = kept.technique_row(store, technique_id)
    player = players.player(store, row.player_id)
    told = _swing(row, swing)
    shown, hidden = _drawing(store, row, swing)
    by_eye = row.seen_by is SeenBy.EYE
    context = SwingPage(
        id=row.id,
        player_id=row.player_id,
        player=player.name,
        when=_when(row),
        judge=f"coach-judged, {_set(row)}" if by_eye else "measured from a clip",
        corrected=bool(row.result.get("corrections")),
        swing=swing,
        swings=tuple(range(1, len(row.result.get("swings", [])) + 1)),
        refusals=tuple(one["says"] for one in (told["refusals"] if told else row.result["refusals"])),
        says=says(row),
        items=_items(row, told, player.id),
        measures=tuple(_measure(one) for one in told["measures"] if one["value"] is not None) if told else (),
        not_measured=_not_measured(told),
        hidden="" if by_eye else hidden,
        width=shown["width"] if shown else 0,
        height=shown["height"] if shown else 0,
        keys=tuple(_key(row, shown, one) for one in shown["keys"]) if shown else (),
        curve=watched_clips.curve_of(shown, player.name) if shown else "",
        points=POINTS,
        marks=_marks(row) if not by_eye else (),
        others=_others(store, row),
        data={"id": row.id, "swing": swing, "needed": list(NEEDED), **shown} if shown else None,
    )
    return page(request, "swing.html", context)


@router.get("/technique/{technique_id}/sheet.svg")
def sheet(technique_id: Id, store: Records, swing: int = 1, beside: str = "") -> Response:
    """Stills and curve of a swing as one picture, or of two swings below each other (`beside`: id-swing)."""
    row = kept.technique_row(store, technique_id)
    rows = [(row, swing, _when(row))]
    other_id, _, other_swing = beside.partition("-")
    if other_id:
        other = kept.technique_row(store, other_id)
        if other.player_id != row.player_id:
            raise NotThere("The other swing is another player's.")
        rows.append((other, int(other_swing) if other_swing.isdecimal() else 1, _when(other)))
    svg = watched_clips.sheet_of(store, rows)
    headers = {"content-security-policy": SHEET_POLICY}
    return Response(svg, media_type="image/svg+xml", headers=headers)


def _swing(row: TechniqueRow, swing: int) -> dict[str, Any] | None:
    """A swing of a result (from 1); None when there is none to show."""
    every = row.result.get("swings", [])
    if not every:
        return None
    if not 1 <= swing <= len(every):
        raise NotThere(f"There is no swing {swing} in this clip; {len(every)} were found.")
    told: dict[str, Any] = every[swing - 1]
    return told


def _drawing(store: Store, row: TechniqueRow, swing: int) -> tuple[dict[str, Any] | None, str]:
    """The drawing of a swing, or why there is none."""
    try:
        return watched_clips.swing_drawing(watched_clips.drawing_of(store, row), swing), ""
    except NotAllowed as error:
        return None, str(error)
    except NotThere:
        return None, "There are no stills of this swing." if row.result.get("swings") else ""


def _items(row: TechniqueRow, told: Mapping[str, Any] | None, player_id: str) -> tuple[ItemRow, ...]:
    judged = [_judged(one) for one in (told or row.result).get("judged", [])]
    drills = technique.drills_for(judged, _drills())
    marks = _mark_words(watched_clips.marks_of(row)) if row.seen_by is SeenBy.VIDEO else {}
    return tuple(
        ItemRow(
            item=str(one.item),
            verdict=_verdict(one),
            says=one.says,
            mark=marks.get(one.item, ""),
            drills=tuple(
                DrillLink(name=drill.name, path=f"/players/{player_id}/drills/{drill.number}")
                for drill in drills.get(str(one.item), ())
            ),
        )
        for one in judged
    )


def _judged(one: Mapping[str, Any]) -> Judged:
    return Judged(
        item=Item(one["item"]),
        verdict=Verdict(one["verdict"]),
        judge=Judge(one["judge"]),
        says=one["says"],
        fault=Fault(one["fault"]) if one["fault"] else None,
        drills=tuple(one["drills"]),
        sure=one["sure"],
    )


def _verdict(one: Judged) -> str:
    close = "" if one.sure or one.verdict in (Verdict.NOT_JUDGED, Verdict.CLOSE) else ", close"
    return f"{one.verdict}{close}"


def _mark_words(marks: PassMarks) -> dict[Item, str]:
    return {
        Item.ARMS: f"elbows {marks.elbow_deg:g}°, triangle {marks.triangle_deg:g}° or less",
        Item.MATCH: f"{marks.ratio_low:g} to {marks.ratio_high:g}",
        Item.HELD: f"{marks.held_s:g} s or longer",
        Item.RECOIL: f"{marks.recoil_deg:g}° or less",
        Item.TEMPO: f"{marks.tempo_low:g} to {marks.tempo_high:g}",
    }


def _measure(one: Mapping[str, Any]) -> MeasureRow:
    digits, unit = 0 if one["unit"] == "deg" else 2, UNIT[one["unit"]]
    between = "or more: the clip ends first"
    if not one["at_least"]:
        between = f"{one['low']:.{digits}f} to {one['high']:.{digits}f}{unit}"
    return MeasureRow(name=one["name"], value=f"{one['value']:.{digits}f}{unit}", between=between)


def _not_measured(told: Mapping[str, Any] | None) -> tuple[str, ...]:
    """Measures that were refused, a line for each reason."""
    by_reason: dict[str, list[str]] = {}
    for one in told["measures"] if told else ():
        if one["value"] is None:
            by_reason.setdefault(one["refusal"], []).append(one["name"])
    return tuple(f"{', '.join(names)}: {why}" for why, names in by_reason.items())


def _key(row: TechniqueRow, shown: Mapping[str, Any], key: Mapping[str, Any]) -> KeyStill:
    points = key["points"]
    whole = len(points) == len(NEEDED)
    hands = _middle(points["left_wrist"], points["right_wrist"]) if whole else (0.0, 0.0)
    middle = _middle(points["left_shoulder"], points["right_shoulder"]) if whole else (0.0, 0.0)
    corners = (points["left_shoulder"], points["right_shoulder"], hands) if whole else ()
    reach = ((hands[0] - middle[0]) ** 2 + (hands[1] - middle[1]) ** 2) ** 0.5
    return KeyStill(
        caption=key["caption"],
        moment=key["moment"],
        time=f"{key['time_s']:.2f}",
        path=f"/api/technique/{row.id}/stills/{shown['set']}/{key['still']}",
        alt=f"The player at {key['caption']}, {key['time_s']:.2f} s",
        triangle=" ".join(f"{x:.1f},{y:.1f}" for x, y in corners),
        plumb=(middle[0], middle[1], middle[0], middle[1] + 1.15 * reach) if whole else None,
    )


def _middle(a: list[float], b: list[float]) -> tuple[float, float]:
    return round((a[0] + b[0]) / 2, 1), round((a[1] + b[1]) / 2, 1)


def _marks(row: TechniqueRow) -> tuple[tuple[str, str, float], ...]:
    marks = watched_clips.marks_of(row)
    every = [one.name for one in fields(PassMarks)]
    return tuple((name, MARK_WORDS[name], getattr(marks, name)) for name in every if name in MARK_WORDS)


def _others(store: Store, row: TechniqueRow) -> tuple[Option, ...]:
    """Swings of earlier and later clips of the player."""
    every = [one for one in technique.results(store, row.player_id) if one.seen_by is SeenBy.VIDEO]
    return tuple(
        (f"{one.id}-{n}", f"{_when(one)}, swing {n}")
        for one in every
        if one.id != row.id
        for n in range(1, min(len(one.result["swings"]), watched_clips.MOST_DRAWN) + 1)
    )


def _result_line(row: TechniqueRow) -> ResultLine:
    how = "by eye" if row.seen_by is SeenBy.EYE else "clip"
    words = f"{_when(row)}, {how}, {_set(row)}"
    return ResultLine(id=row.id, words=words, about=says(row), numbers=_followed(row))


def _followed(row: TechniqueRow) -> str:
    """The mean of a clip's swings, and what it lies between nine times in ten; empty without numbers."""
    if row.seen_by is SeenBy.EYE or not row.result.get("swings"):
        return ""
    swings = numbers_from_tree(row.result)
    means = [(one, over_swings(swings, str(one))) for one in FOLLOWED]
    told = [
        f"{name} {one.value:.2f}{UNIT[one.unit]} ({one.low:.2f} to {one.high:.2f})"
        for name, one in means
        if one is not None and one.value is not None
    ]
    said = "; ".join(told)
    return said[:1].upper() + said[1:]


def _set(row: TechniqueRow) -> str:
    n = row.result.get("swings_in_set") or len(row.result.get("swings", []))
    return "1 swing" if n == 1 else f"{n} swings"


def says(row: TechniqueRow) -> str:
    failed = failed_items(row.result)
    if failed:
        return f"To work on: {', '.join(failed)}."
    judged = [*row.result.get("judged", []), *(j for s in row.result.get("swings", []) for j in s["judged"])]
    if any(one["verdict"] == "passed" for one in judged):
        return "Nothing failed of what could be judged."
    return row.result["refusals"][0]["says"] if row.result.get("refusals") else "Nothing could be judged."


def _when(row: TechniqueRow) -> str:
    return f"{day_text(row.made.date())}, {row.made:%H:%M}"


@cache
def _drills() -> tuple[Drill, ...]:
    return shipped_drills()
