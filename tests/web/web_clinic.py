"""A clinic of eight in the records: scores of some, balls of others."""

import datetime

from web_lesson import NOW

from firstbounce.records.rows.balls import BallRow
from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.sessions import ClinicRow, DrillScoreRow, SessionRow
from firstbounce.services import greens, players, sessions
from firstbounce.services.store import new_id
from firstbounce.words import Level, Point

NAMES = ("Mae Tolland", "Jo Strand", "Ed Quarry", "Ivy Hask", "Oli Fern", "Pia Moss", "Rolf Eck", "Una Dale")


def put_clinic(store, day_id, station_id):
    """Eight players at one station; gives the clinic and the session of the first of them."""
    station = greens.station(store, station_id)
    clinic = ClinicRow(
        id=new_id(),
        name="Thursday group",
        started=NOW,
        day_id=day_id,
        rotation_min=8,
        setup={"drill": "Landing circle"},
    )
    sessions.start_clinic(store, clinic)
    first = ""
    for k, name in enumerate(NAMES):
        player = PlayerRow(id=new_id(), name=name, level=Level.TEN_TO_EIGHTEEN, made=NOW)
        players.add_player(store, player)
        session = SessionRow(
            id=new_id(),
            player_id=player.id,
            kind="clinic",
            started=NOW + datetime.timedelta(seconds=k),
            clinic_id=clinic.id,
            green_id=station.green_id,
            day_id=day_id,
            station_id=station.id,
        )
        sessions.start_session(store, session)
        first = first or session.id
        if k % 3 != 2:
            put_score(store, session, k)
        if k < 3:
            put_tallies(store, session, station, 2 + k)
    return clinic.id, first


def put_score(store, session, k):
    score = DrillScoreRow(
        id=new_id(),
        player_id=session.player_id,
        session_id=session.id,
        drill="Landing circle",
        made=NOW,
        device=new_id(),
        successes=3 + k % 3,
        out_of=8,
    )
    assert not sessions.log_scores(store, [score]).refused


def put_tallies(store, session, station, n):
    device = new_id()
    balls = [
        BallRow(
            id=new_id(),
            session_id=session.id,
            kind="tally",
            device=device,
            seq=k,
            made=NOW,
            station_id=station.id,
            club="SW",
            start_m=station.start_m,
            hole_m=station.hole_m,
            aim_m=station.landing_spot_m or Point(0, 8),
            circle_radius_m=station.circle_radius_m or 1.2,
            tally_landed="in" if k % 2 else "short",
            tally_finished="within two paces",
        )
        for k in range(n)
    ]
    assert not sessions.log_balls(store, balls).refused
