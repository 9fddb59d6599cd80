"""Plans read back from the records, so that a page or a guide can draw them again without planning again."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from firstbounce.errors import NotThere
from firstbounce.planning.result import Choice, Cloud, Misses, PathPoint, Plan, Span
from firstbounce.services import kept
from firstbounce.services.pictures import plan_picture, side_picture
from firstbounce.services.store import Store
from firstbounce.units import LengthUnit
from firstbounce.words import Circle, Point, Station

Told = Mapping[str, Any]


@lru_cache(maxsize=32)
def kept_picture(store: Store, plan_id: str, club: str, unit: LengthUnit) -> str:
    """One choice of a kept plan from above, as SVG. NotThere when the plan has no such choice."""
    then = kept.plan_then(store, plan_id)
    plan = plan_of(then.row.result, then.station)
    return plan_picture(then.day, plan, choice_with(then.row.result, club), unit)


@lru_cache(maxsize=32)
def kept_side(store: Store, plan_id: str, club: str, unit: LengthUnit) -> str:
    """The usual ball of one choice of a kept plan from the side, as SVG. NotThere without such a choice."""
    then = kept.plan_then(store, plan_id)
    choice = choice_with(then.row.result, club)
    return side_picture(then.day, then.station, choice.club, choice.path, unit)


def choice_with(told: Told, club: str) -> Choice:
    """The choice with this club in a kept plan. NotThere when there is none."""
    for one in told.get("choices", ()):
        if one["club"] == club:
            return choice_of(one)
    raise NotThere(f"This plan has no choice with the club {club!r}.")


def plan_of(told: Told, station: Station) -> Plan:
    """The plan that `Plan.to_dict` told."""
    return Plan(
        station=station,
        player=told["player"],
        choices=tuple(choice_of(one) for one in told["choices"]),
        reason=told["reason"],
        certainty=told["certainty"],
        stops_on_green=told["stops_on_green"],
        warning=told["warning"],
        learned_from=told["learned_from_balls"],
        seed=told["seed"],
        left_out=tuple(told["left_out"]),
    )


def choice_of(told: Told) -> Choice:
    """The choice that `Choice.to_dict` told."""
    circle = told["circle"]
    return Choice(
        club=told["club"],
        is_putt=told["is_putt"],
        spot=Point(*told["spot_m"]),
        circle=None
        if circle is None
        else Circle(centre=Point(*circle["centre_m"]), radius_m=circle["radius_m"]),
        carry_m=_span(told["carry"], "_m"),
        run_m=_span(told["run"], "_m"),
        mean_run_m=_span(told["mean_run"], "_m"),
        putt_length_m=told["putt_length_m"],
        strokes=_span(told["strokes"]),
        behind=told["behind_strokes"],
        behind_error=told["behind_error_strokes"],
        beaten=told["first_choice_better_chance"],
        equal=told["equal_to_first"],
        up_and_down=told["up_and_down_chance"],
        holed=told["holed_chance"],
        on_green=told["on_green_chance"],
        leave_m=told["leave_m"],
        mishit_share=told["mishit_share"],
        misses=Misses(**{name.removesuffix("_strokes"): value for name, value in told["misses"].items()}),
        advice=told["advice"],
        cloud=_cloud(told["cloud"]),
        path=tuple(PathPoint(**point) for point in told["path"]),
        draws=told["draws"],
    )


def _span(told: Told, end: str = "") -> Span:
    return Span(value=told[f"value{end}"], low=told[f"low{end}"], high=told[f"high{end}"])


def _cloud(told: Told) -> Cloud:
    return Cloud(
        landed=tuple(Point(*place) for place in told["landed_m"]),
        finished=tuple(Point(*place) for place in told["finished_m"]),
        mishit=tuple(told["mishit"]),
    )
