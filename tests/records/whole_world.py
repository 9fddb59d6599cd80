"""A fit and a plan of an invented player, made by the models and kept."""

from firstbounce.services import greens, kept, sessions
from firstbounce.services.plan import plan_station


def fit_and_plan(world):
    """Keep a fit of the world's balls and a plan that rests on it; gives day, fit, plan and their rows."""
    from firstbounce.services.fit import fit_day

    store, ids = world.store, {"day_id": world.day.id, "session_id": world.session.id}
    day = greens.model_day(store, world.day.id, player=world.player, stations=(world.station,))
    balls = sessions.session_balls(store, world.session.id)
    fitted = fit_day(day, sessions.spoken_balls(balls))
    fit_row = kept.keep_fit(store, fitted, day, world.player.id, balls=[one.ball.id for one in balls], **ids)
    plan = plan_station(day, next(iter(day.stations.values())), fit=fitted)
    plan_row = kept.keep_plan(
        store, plan, day, world.player.id, fit=fitted, fit_id=fit_row.id, station_id=world.station.id, **ids
    )
    return day, fitted, plan, fit_row, plan_row
