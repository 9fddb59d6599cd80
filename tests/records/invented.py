"""Invented people, places and balls."""

import datetime

from firstbounce.records.rows.balls import BallKind, BallRow
from firstbounce.records.rows.kept import GuideLinkRow, GuideRow, PlanRow, ReviewRow, TechniqueRow
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, Note, PlayerRow
from firstbounce.records.rows.places import (
    DayRow,
    GreenRow,
    Reading,
    ReadingKind,
    Shape,
    ShapeArea,
    StationRow,
)
from firstbounce.records.rows.sessions import (
    ClinicRow,
    DrillScoreRow,
    LessonDrill,
    LessonRow,
    SessionKind,
    SessionRow,
)
from firstbounce.services import files, greens, kept, lessons, players, sessions
from firstbounce.services.store import new_id
from firstbounce.words import Level, Lie, LieKind, Strike, TallyFinish, TallyLanding, TurfKind

ZONE = datetime.timezone(datetime.timedelta(hours=2))
NOON = datetime.datetime(2026, 5, 14, 12, 0, 0, 123456, ZONE)
OUTLINE = ((-8, 0), (8, 0), (8, 18), (-8, 18))


def a_player(**given):
    return PlayerRow(**{"id": new_id(), "name": "Ines K", "level": Level.BEGINNER, "made": NOON} | given)


def a_session(player, **given):
    usual = {"id": new_id(), "player_id": player.id, "kind": SessionKind.LESSON, "started": NOON}
    return SessionRow(**usual | given)


def a_ball(session, seq=0, **given):
    usual = {
        "id": new_id(),
        "session_id": session.id,
        "device": "d" * 32,
        "seq": seq,
        "made": NOON + datetime.timedelta(seconds=seq),
        "club": "PW",
        "start_m": (0, -4),
        "hole_m": (1, 11),
        "aim_m": (0.2, 3),
        "landed_m": (0.1, 2.8),
        "finished_m": (0.9, 10.2),
    }
    return BallRow(**usual | given)


def a_tally(session, seq=0, **given):
    usual = {
        "kind": BallKind.TALLY,
        "landed_m": None,
        "finished_m": None,
        "circle_radius_m": 0.8,
        "tally_landed": TallyLanding.SHORT,
        "tally_finished": TallyFinish.WITHIN_TWO_PACES,
    }
    return a_ball(session, seq, **usual | given)


def withdrawn(ball, seq):
    return BallRow(
        id=new_id(),
        session_id=ball.session_id,
        kind=BallKind.WITHDRAWN,
        device=ball.device,
        seq=seq,
        made=NOON,
        corrects_id=ball.id,
    )


def a_score(player, **given):
    usual = {"id": new_id(), "player_id": player.id, "drill": "Clock", "made": NOON, "device": "d" * 32}
    return DrillScoreRow(**usual | {"successes": 6, "out_of": 10, "entries": ({"in": 1},)} | given)


def a_plan(player, **given):
    usual = {
        "id": new_id(),
        "player_id": player.id,
        "made": NOON,
        "model_version": "1",
        "inputs": {},
        "result": {},
    }
    return PlanRow(**usual | given)


class World:
    """A player with something of every kind."""

    def __init__(self, store, name="Ines K", balls=5):
        self.store = store
        self.player = a_player(name=name)
        players.add_player(store, self.player)
        self._people(store)
        self._places(store)
        self.session = a_session(
            self.player,
            green_id=self.green.id,
            day_id=self.day.id,
            station_id=self.station.id,
            clinic_id=self.clinic.id,
        )
        sessions.start_session(store, self.session)
        self.balls = [a_ball(self.session, i, station_id=self.station.id) for i in range(balls)]
        self.balls += [a_tally(self.session, balls, strike=Strike.THIN)]
        corrected = a_ball(
            self.session, 90, corrects_id=self.balls[0].id, landed_m=(0.3, 2.2), note="was nudged"
        )
        sessions.log_balls(store, [*self.balls, corrected, withdrawn(self.balls[1], 91)])
        self._lesson(store)

    def _people(self, store):
        players.add_note(
            store, Note(id=new_id(), player_id=self.player.id, made=NOON, text="Left wrist, go easy")
        )
        self.consent = Consent(
            id=new_id(), player_id=self.player.id, kind=ConsentKind.FILMING, given_by=Giver.PLAYER, given=NOON
        )
        players.add_consent(store, self.consent)
        self.link = players.make_link(store, self.player.id, days=10)

    def _places(self, store):
        self.green = GreenRow(id=new_id(), name="Lower practice green", made=NOON)
        bunker = ShapeArea(kind=TurfKind.BUNKER, polygon=((9, 2), (11, 2), (10, 5)))
        self.shape = Shape(
            id=new_id(), green_id=self.green.id, made=NOON, outline=OUTLINE, fringe_m=1, areas=(bunker,)
        )
        greens.add_green(store, self.green, self.shape)
        self.day = DayRow(id=new_id(), green_id=self.green.id, date=NOON.date(), made=NOON)
        greens.add_day(store, self.day)
        greens.add_reading(store, self.reading(ReadingKind.STIMP, {"stimp_ft": 9.2}))
        greens.add_reading(
            store,
            self.reading(
                ReadingKind.SLOPE, {"slope_percent": 1.5, "downhill_deg": 90}, at_m=(0, 6), day_id=None
            ),
        )
        self.station = StationRow(
            id=new_id(),
            name="Path",
            green_id=self.green.id,
            made=NOON,
            start_m=(0, -4),
            hole_m=(1, 11),
            lie=Lie(kind=LieKind.LIGHT_ROUGH, uphill_deg=2.5),
        )
        greens.add_station(store, self.station)
        self.clinic = ClinicRow(
            id=new_id(), name="Thursday group", started=NOON, day_id=self.day.id, rotation_min=8
        )
        sessions.save_clinic(store, self.clinic)

    def _lesson(self, store):
        self.lesson = LessonRow(
            id=new_id(),
            player_id=self.player.id,
            date=NOON.date(),
            made=NOON,
            session_id=self.session.id,
            aim="Hold the finish",
            drills=(
                LessonDrill(drill="Clock", balls=20),
                LessonDrill(drill="Towel", minutes=5, homework=False),
            ),
            next_date=datetime.date(2026, 5, 28),
        )
        lessons.save_lesson(store, self.lesson)
        score = a_score(self.player, session_id=self.session.id, lesson_id=self.lesson.id)
        again = a_score(self.player, corrects_id=score.id, successes=7)
        sessions.log_scores(store, [score, again])
        mine = {"player_id": self.player.id, "made": NOON}
        kept.keep(
            store,
            ReviewRow(
                id=new_id(), verdict="strike", sentence="Practise it", balls=5, result={"n": 5}, **mine
            ),
        )
        technique = TechniqueRow(id=new_id(), seen_by="eye", model_version="1", result={"held": True}, **mine)
        kept.keep(store, technique)
        guide = GuideRow(
            id=new_id(), kind="player guide", title="Hold it", inputs={}, lesson_id=self.lesson.id, **mine
        )
        kept.keep(store, guide)
        until = NOON + datetime.timedelta(days=30)
        kept.keep(store, GuideLinkRow(id=new_id(), guide_id=guide.id, expires=until, **mine))
        self.file = files.keep_file(
            store, b"not really a picture", kind="still", name="top.png", player_id=self.player.id
        )

    def reading(self, kind, given, **more):
        usual = {"id": new_id(), "green_id": self.green.id, "day_id": self.day.id, "made": NOON}
        return Reading(**usual | {"kind": kind, "given": given} | more)


def everything(store, *leave_out):
    """Every row of every table but what is left out, without arrival numbers: for comparing stores."""
    from sqlalchemy import select

    from firstbounce.records.tables import ALL

    found = {}
    with store.read() as connection:
        for table in ALL:
            if table.name in leave_out:
                continue
            order = [table.c.arrival] if "arrival" in table.c else list(table.primary_key)
            rows = connection.execute(select(table).order_by(*order)).mappings()
            found[table.name] = [{key: row[key] for key in row if key != "arrival"} for row in rows]
    return found
