"""The coach's desk: plan, learn and review from the records, and keep what was said."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from firstbounce.errors import CannotEstimate
from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.ground.conditions import GreenToday, SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.planning.result import Choice
from firstbounce.planning.worlds import air_today
from firstbounce.records.rows.balls import KeptBall
from firstbounce.records.rows.kept import PlanRow, ReviewRow
from firstbounce.records.rows.people import By
from firstbounce.records.rows.places import StationRow
from firstbounce.review.review import Review, review
from firstbounce.services import greens, kept, players, sessions
from firstbounce.services.day import Day
from firstbounce.services.day_balls import by_name, stations_of
from firstbounce.services.fit import fit_day
from firstbounce.services.plan import plan_station
from firstbounce.services.store import Store, new_id
from firstbounce.units import LengthUnit

FEWEST_TO_LEARN = 3  #: balls of a day before a plan rests on them
MOST_SESSIONS = 20  #: of a player that are looked through for balls of a day
SEED = 20260514  #: of the bootstrap; the same balls give the same review


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """Another speed or firmness than was read: words, because nobody measured them."""

    speed: SpeedWord | None = None
    firmness: FirmnessWord | None = None


def plan_for(
    store: Store,
    player_id: str,
    day_id: str,
    station: StationRow,
    *,
    what_if: WhatIf | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> PlanRow:
    """The plan of a station for a player on a day, kept."""
    player = players.player(store, player_id)
    day = _as_if(greens.model_day(store, day_id, player=player, stations=(station,)), what_if)
    learned = None if what_if else learned_today(store, player_id, day, day_id)
    place = next(iter(day.stations.values()))
    made = plan_station(day, place, fit=learned, unit=player.units, progress=progress, cancelled=cancelled)
    return kept.keep_plan(store, made, day, player_id, fit=learned, station_id=station.id, day_id=day_id)


def learned_today(store: Store, player_id: str, day: Day, day_id: str) -> Fit | None:
    """What the player's balls of a day say; None before there are enough."""
    logged = sessions.spoken_balls(balls_of_day(store, player_id, day_id))
    if len(logged.balls) + len(logged.tallies) < FEWEST_TO_LEARN:
        return None
    try:
        return fit_day(day, logged)
    except CannotEstimate:
        return None


def balls_of_day(store: Store, player_id: str, day_id: str) -> tuple[KeptBall, ...]:
    """Every ball of a player on a day that stands, session by session."""
    held = sessions.sessions(store, player_id, limit=MOST_SESSIONS, by=By.COACH)
    of_day = [one.id for one in reversed(held) if one.day_id == day_id]
    return tuple(ball for session_id in of_day for ball in sessions.session_balls(store, session_id))


def review_session(store: Store, session_id: str) -> tuple[ReviewRow, Review]:
    """The review of a session, kept. CannotEstimate when there is nothing to review yet.

    What was known when the plan was made comes from the plan that the balls name; without one it is what was
    usual. What is known now is learned from the player's balls of the day.
    """
    session = sessions.session(store, session_id)
    if session.day_id is None:
        raise CannotEstimate("This session names no green; choose one on the Green page before logging.")
    balls = sessions.session_balls(store, session_id)
    if not balls:
        raise CannotEstimate("No ball of this session was logged yet.")
    player = players.player(store, session.player_id)
    stations = stations_of(store, session.day_id, balls, first=(session.station_id,))
    day = greens.model_day(store, session.day_id, player=player, stations=stations)
    logged = by_name(sessions.spoken_balls(balls), stations, day.stations)
    plan_id = next((one.ball.plan_id for one in balls if one.ball.plan_id), None)
    then = kept.plan_then(store, plan_id).fit if plan_id else prior_fit(day.player, day.today)
    told = review(
        logged.balls,
        logged.tallies,
        then=then,
        now=learned_today(store, session.player_id, day, session.day_id) or then,
        ground=day.ground,
        rng=np.random.default_rng(SEED),
        air=air_today(day.today),
        unit=player.units,
    )
    row = ReviewRow(
        id=new_id(),
        player_id=session.player_id,
        made=store.clock(),
        verdict=str(told.verdict.call),
        sentence=told.verdict.sentence,
        balls=told.verdict.n,
        result=told.to_dict(),
        session_id=session_id,
        station_id=session.station_id,
        plan_id=plan_id,
    )
    kept.keep(store, row)
    return row, told


def chosen_station(plan_id: str, base: StationRow, club: str, choice: Choice) -> StationRow:
    """The station that a choice of a plan makes: the same each time it is chosen."""
    return replace(
        base,
        id=station_id_of(plan_id, club),
        landing_spot_m=None if choice.is_putt else choice.spot,
        circle_radius_m=None if choice.circle is None else min(max(choice.circle.radius_m, 0.1), 10.0),
        club=club,
    )


def station_id_of(plan_id: str, club: str) -> str:
    """The id of the station that a choice makes."""
    return hashlib.sha256(f"station {plan_id} {club}".encode()).hexdigest()[:32]


def plan_of_station(store: Store, player_id: str, station_id: str) -> str | None:
    """The plan that a station was chosen from, if it is among the player's last ones."""
    made = kept.plans(store, player_id)
    return next(
        (one.id for one in made if one.chosen_club and station_id_of(one.id, one.chosen_club) == station_id),
        None,
    )


def units_of(store: Store) -> LengthUnit:
    """The coach's own unit of length."""
    return LengthUnit(kept.setting(store, "units", str(LengthUnit.METRES)))


def _as_if(day: Day, what_if: WhatIf | None) -> Day:
    """The day with another speed or firmness."""
    if what_if is None:
        return day
    said = GreenToday.of_words(what_if.speed, what_if.firmness, wet=day.today.wet)
    today = replace(
        day.today,
        stimp_ft=said.stimp_ft if what_if.speed else day.today.stimp_ft,
        firmness=said.firmness if what_if.firmness else day.today.firmness,
    )
    return replace(day, today=today)
