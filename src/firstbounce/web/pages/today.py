"""Green today: what was read of it, kept as read; new greens; rain in one tap."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.errors import FirstbounceError, NotThere
from firstbounce.ground.conditions import SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.ground.slopes import SlopeWord
from firstbounce.records.rows.places import DayRow, Reading, ReadingKind
from firstbounce.services import desk, greens
from firstbounce.services.green_picture import green_picture
from firstbounce.services.store import Store
from firstbounce.web.api.shapes import Id
from firstbounce.web.coach import pace_m
from firstbounce.web.reach import Records, now
from firstbounce.web.render import Option, options, page
from firstbounce.web.words import day_text
from firstbounce.words import Estimate, Source

router = APIRouter(include_in_schema=False)
COMPASS: tuple[Option, ...] = (
    ("0", "From the far side of the green"),
    ("45", "From far right"),
    ("90", "From the right"),
    ("135", "From near right"),
    ("180", "From the near side, where the mark is"),
    ("225", "From near left"),
    ("270", "From the left"),
    ("315", "From far left"),
)
SAID = {
    Source.MEASURED: "measured",
    Source.CLASS_WORD: "by eye",
    Source.FITTED: "learned",
    Source.PRIOR: "usual value, not measured",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenLine:
    """One green of the list."""

    id: str
    name: str
    today: bool  #: it was opened today


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLine:
    """One reading as read, and what takes it back."""

    words: str
    withdraw: str  #: the entry that takes it back, as JSON


@dataclass(frozen=True, slots=True, kw_only=True)
class ByEye:
    """What is judged by eye, with a button for each word: the word and the entry it makes, as JSON."""

    words: str
    buttons: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTold:
    """What is known of a green on a day."""

    id: str
    green_id: str
    name: str
    date: str
    speed: str
    firmness: str
    wet: bool
    remarks: tuple[str, ...]
    readings: tuple[ReadingLine, ...]
    by_eye: tuple[ByEye, ...]
    rain: str  #: the entries of one tap for soft and wet, as JSON
    dry: str
    picture: str  #: SVG of our own making
    trouble: str  #: why nothing can be said of the day


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayPage:
    """Everything today.html may use."""

    day: DayTold | None
    greens: tuple[GreenLine, ...]
    slopes: tuple[Option, ...]
    winds: tuple[Option, ...]
    pace_m: float


@router.get("/today")
def today_page(request: Request, store: Records) -> Response:
    """The green that was opened today, or the greens there are."""
    return page(request, "today.html", today_context(store, current_day(store)))


@router.get("/days/{day_id}")
def day_page(request: Request, day_id: Id, store: Records) -> Response:
    """Another green, or another day."""
    return page(request, "today.html", today_context(store, greens.day_row(store, day_id)))


def current_day(store: Store) -> DayRow | None:
    """The day of a green that was opened last today."""
    return greens.current_day(store, now().date())


def today_context(store: Store, day: DayRow | None) -> TodayPage:
    """What the page says."""
    return TodayPage(
        day=None if day is None else told(store, day),
        greens=tuple(
            GreenLine(id=green.id, name=green.name, today=_opened_today(store, green.id))
            for green in greens.greens(store)
        ),
        slopes=options(SlopeWord),
        winds=COMPASS,
        pace_m=pace_m(store),
    )


def told(store: Store, day: DayRow) -> DayTold:
    """A day in words, with what was read."""
    read = greens.readings(store, day.green_id, day.id)
    speed = firmness = trouble = picture = ""
    wet = False
    remarks: tuple[str, ...] = ()
    try:
        model = greens.model_day(store, day.id)
        speed, firmness, wet = _speed(model.today.stimp_ft), _firmness(model.today.firmness), model.today.wet
        remarks = model.remarks
        picture = green_picture(model, desk.units_of(store))
    except NotThere:
        trouble = "This green has no outline yet: draw it first."
    except FirstbounceError as error:
        trouble = str(error)
    return DayTold(
        id=day.id,
        green_id=day.green_id,
        name=greens.green(store, day.green_id).name,
        date=day_text(day.date),
        speed=speed,
        firmness=firmness,
        wet=wet,
        remarks=remarks,
        readings=tuple(_line(one) for one in reversed(read)),
        by_eye=(_by_eye(day, "speed", SpeedWord), _by_eye(day, "firmness", FirmnessWord)),
        rain=_wetness(day, True),
        dry=_wetness(day, False),
        picture=picture,
        trouble=trouble,
    )


def _speed(speed: Estimate) -> str:
    return f"about {speed.value:.1f} ft, give or take {1.645 * speed.sd:.1f} ({SAID[speed.source]})"


def _firmness(firmness: Estimate) -> str:
    word = "soft" if firmness.value < 0.8 else "firm" if firmness.value > 1.2 else "medium"
    return f"{word} ({SAID[firmness.source]})"


def _by_eye(day: DayRow, kind: str, words: type[StrEnum]) -> ByEye:
    """Buttons and no list to choose from: with the keys such a list would take each word passed by."""
    buttons = tuple((shown, _entries(day, (kind, {kind: word}))) for word, shown in options(words))
    return ByEye(words=kind.capitalize(), buttons=buttons)


def _wetness(day: DayRow, wet: bool) -> str:
    """One tap: wet and soft, or dry again; then test balls."""
    soft = [("firmness", {"firmness": "soft"})] if wet else []
    return _entries(day, ("wet", {"wet": wet}), *soft)


def _entries(day: DayRow, *read: tuple[str, dict[str, Any]]) -> str:
    """Readings of a day as entries of the outbox, in JSON."""
    places = {"green_id": day.green_id, "day_id": day.id}
    bodies = [{**places, "kind": kind, "given": given} for kind, given in read]
    return json.dumps([{"kind": "reading", "body": body} for body in bodies])


def _line(one: Reading) -> ReadingLine:
    gone = {
        "green_id": one.green_id,
        "kind": str(one.kind),
        "given": one.given,
        "corrects_id": one.id,
        "withdrawn": True,
    }
    if one.day_id:
        gone["day_id"] = one.day_id
    if one.at_m:
        gone["at_m"] = list(one.at_m)
    when = one.made.strftime("%H:%M")
    return ReadingLine(
        words=f"{when} {_given(one)}", withdraw=json.dumps([{"kind": "reading", "body": gone}])
    )


def _given(one: Reading) -> str:
    """A reading as it was read."""
    given = one.given
    where = f" at {one.at_m.x_m:.1f}, {one.at_m.y_m:.1f} m" if one.at_m else ""
    say = _SAY.get(one.kind)
    words = say(given) if say else f"{one.kind}: {', '.join(map(str, given.values()))}"
    return words + where


def _metres(lengths: list[float]) -> str:
    return ", ".join(f"{length:.1f}" for length in lengths) + " m"


_SAY: dict[ReadingKind, Callable[[dict[str, Any]], str]] = {
    ReadingKind.WET: lambda given: "wet" if given["wet"] else "dry again",
    ReadingKind.DROPS: lambda given: (
        "bounced " + ", ".join(f"{100 * height:.0f} cm" for height in given["drop_heights_m"])
    ),
    ReadingKind.ROLLS: lambda given: f"rolled up {_metres(given['up_m'])}, down {_metres(given['down_m'])}",
    ReadingKind.STIMP: lambda given: f"stimp {given['stimp_ft']:g} ft",
    ReadingKind.SLOPE: lambda given: (
        f"slope {given['slope_percent']:g} %, falls towards {given['downhill_deg']:g}°"
    ),
    ReadingKind.WIND: lambda given: f"wind {given.get('beaufort', '')} from {given.get('from_deg', 0):g}°",
}


def _opened_today(store: Store, green_id: str) -> bool:
    last = next(iter(greens.days(store, green_id, limit=1)), None)
    return last is not None and last.date == _date()


def _date() -> datetime.date:
    return now().date()
