"""A player, a green, a day, a station and a session in the records, and how a person logs."""

import datetime
from dataclasses import dataclass

from playwright.sync_api import expect

from firstbounce.records.rows.people import PlayerRow
from firstbounce.records.rows.places import DayRow, GreenRow, Shape, StationRow
from firstbounce.records.rows.sessions import SessionRow
from firstbounce.services import greens, players, sessions
from firstbounce.services.store import new_id
from firstbounce.words import Level, Point

NOW = datetime.datetime(2026, 5, 14, 10, 30, tzinfo=datetime.timezone(datetime.timedelta(hours=2)))
OUTLINE = ((-9.0, 4.0), (9.0, 4.0), (9.0, 22.0), (-9.0, 22.0))


@dataclass(frozen=True)
class Ids:
    player: str
    green: str
    day: str
    station: str
    session: str


def put_lesson(store, name="Ada"):
    """Everything a log needs; returns the ids."""
    ids = Ids(*(new_id() for _ in range(5)))
    players.add_player(store, PlayerRow(id=ids.player, name=name, level=Level.TEN_TO_EIGHTEEN, made=NOW))
    greens.add_green(
        store,
        GreenRow(id=ids.green, name="Practice green", made=NOW),
        Shape(id=new_id(), green_id=ids.green, made=NOW, outline=OUTLINE),
    )
    greens.add_day(store, DayRow(id=ids.day, green_id=ids.green, date=NOW.date(), made=NOW))
    greens.add_station(store, station_row(ids))
    sessions.start_session(store, session_row(ids))
    return ids


def station_row(ids):
    return StationRow(
        id=ids.station,
        name="Gate",
        made=NOW,
        green_id=ids.green,
        start_m=Point(0, 0),
        hole_m=Point(0, 14),
        landing_spot_m=Point(0, 8),
        circle_radius_m=1.2,
        club="SW",
    )


def session_row(ids):
    return SessionRow(
        id=ids.session,
        player_id=ids.player,
        kind="lesson",
        started=NOW,
        green_id=ids.green,
        day_id=ids.day,
        station_id=ids.station,
    )


def open_log(page, url, ids):
    """The log of the session, and its worker in charge where there can be one."""
    page.goto(f"{url}/sessions/{ids.session}/log")
    expect(page.locator("#log")).to_be_visible()
    page.evaluate("navigator.serviceWorker ? navigator.serviceWorker.ready.then(() => true) : true")


def tally(page, finished="Given"):
    """Two taps; waits until the page says that the ball is on the phone's disk."""
    page.evaluate("document.querySelector('#saved').textContent = ''")
    if page.locator("#tally").is_hidden():
        page.locator("#mode-tally").click()
    page.locator("#tally-landed").get_by_role("button", name="In the circle").click()
    page.locator("#tally-finished").get_by_role("button", name=finished).click()
    expect(page.locator("#saved")).to_contain_text("saved on this phone")


def waits(page, n):
    """The count on screen."""
    said = f"{n} waiting on this phone" if n else "All sent"
    expect(page.locator("#waiting")).to_have_text(said, timeout=30000)


def logged(store, ids):
    """Where each ball finished, as kept, in the order of arrival."""
    return [one.ball.tally_finished for one in sessions.session_balls(store, ids.session)]


def add_many(page, ids, n):
    """Put n balls into the outbox as the log page does, told apart by notes; returns what was sent."""
    return page.evaluate(
        """async ([session, n]) => {
            const page = document.querySelector('script[src*="page.js"]').src;
            const outbox = await import(page.replace('page.js', 'outbox.js'));
            const rows = [];
            for (let k = 0; k < n; k += 1) {
                const { id, body } = await outbox.add("ball", {
                    session_id: session, kind: "placed", club: "SW",
                    start_m: [0, 0], hole_m: [0, 14], aim_m: [0, 8],
                    landed_m: [k / 100, 8], finished_m: [k / 50, 13.5], note: `ball ${k}`,
                });
                rows.push({ id, note: body.note, landed: body.landed_m });
            }
            return rows;
        }""",
        [ids.session, n],
    )


class Faults:
    """Stands before an app: can lose the answer to an outbox after the work was done, or answer wrongly."""

    def __init__(self, app):
        self.app = app
        self.mode = None
        self.seen = 0

    async def __call__(self, scope, receive, send):
        if scope["type"] != "http" or scope["path"] != "/api/outbox":
            await self.app(scope, receive, send)
            return
        self.seen += 1
        if self.mode == "lose":

            async def nowhere(message):
                pass

            await self.app(scope, receive, nowhere)
            await _answer(send, 503, b"")
        elif self.mode == "name nothing":
            await _answer(send, 200, b'{"ok":true,"stored":[],"refused":[]}')
        elif self.mode == "fail":
            await _answer(send, 500, b'{"ok":false,"error":"planted","status":500}')
        else:
            await self.app(scope, receive, send)


async def _answer(send, status, body):
    headers = [(b"content-type", b"application/json")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
