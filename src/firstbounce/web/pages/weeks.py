"""A player over the last weeks: one verdict of all days together, and what changed, luck or not."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.services import over_weeks
from firstbounce.units import balls
from firstbounce.web.api.shapes import Id
from firstbounce.web.api.weeks import USUAL_WEEKS, Weeks, made, since
from firstbounce.web.reach import Records
from firstbounce.web.render import Option, page

router = APIRouter(include_in_schema=False)
CHOICES: tuple[Option, ...] = (("4", "4 weeks"), ("8", "8 weeks"), ("26", "half a year"), ("52", "a year"))


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksTold:
    """What the weeks say, in words and pictures."""

    sentence: str
    reason: str
    to_try: str
    certainty: str
    changes: tuple[str, ...]  #: one sentence a measure
    pictures: tuple[tuple[str, str], ...]  #: words and SVG


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksPage:
    """Everything weeks.html may use; without an answer the page asks for one."""

    player_id: str
    player: str
    weeks: str
    choices: tuple[Option, ...]
    logged: str
    nothing: bool
    told: WeeksTold | None


@router.get("/players/{player_id}/weeks")
def weeks_page(request: Request, player_id: Id, store: Records, weeks: Weeks = USUAL_WEEKS) -> Response:
    """The last weeks of a player; once opened it stays on the phone as it was."""
    wanted = over_weeks.asked(store, player_id, since(weeks))
    answer = made.find(wanted.key)
    days = len(wanted.days)
    context = WeeksPage(
        player_id=player_id,
        player=wanted.player.name,
        weeks=str(weeks),
        choices=CHOICES,
        logged=f"{balls(wanted.balls)} on {days} {'day' if days == 1 else 'days'}",
        nothing=not wanted.balls,
        told=None if answer is None else told(answer),
    )
    return page(request, "weeks.html", context)


def told(answer: over_weeks.OverWeeks) -> WeeksTold:
    """The answer in words."""
    verdict = answer.review.verdict
    return WeeksTold(
        sentence=verdict.sentence,
        reason=verdict.reason,
        to_try=verdict.to_try,
        certainty=f"{verdict.certainty.capitalize()}, from {balls(verdict.n)}",
        changes=tuple(one.change.sentence for one in answer.progress.series),
        pictures=tuple((name.capitalize(), svg) for name, svg in answer.pictures.items()),
    )
