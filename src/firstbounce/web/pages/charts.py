"""Carry and run of each club for a player, under the green that is open today."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.services import player_chart
from firstbounce.units import balls
from firstbounce.web.api.charts import pictures
from firstbounce.web.api.shapes import Id
from firstbounce.web.reach import Records, now
from firstbounce.web.render import page

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPage:
    """Everything chart.html may use; without a picture the page asks for one."""

    player_id: str
    player: str
    green: str  #: empty when no green is open today
    logged: str  #: balls of today that it can learn from
    picture: str


@router.get("/players/{player_id}/chart")
def chart_page(request: Request, player_id: Id, store: Records) -> Response:
    """The chart; once opened it stays on the phone as it was."""
    wanted = player_chart.asked(store, player_id, now().date())
    context = ChartPage(
        player_id=player_id,
        player=wanted.player.name,
        green=wanted.green_name,
        logged=balls(wanted.balls),
        picture=pictures.find(wanted.key) or "",
    )
    return page(request, "chart.html", context)
