"""Every page by name, with the records that fill it: for the tests of all pages and the screenshots."""

from dataclasses import dataclass

from firstbounce.services import desk, greens, players
from firstbounce.services.demo_records import put_demo
from firstbounce.services.sessions import last_session
from firstbounce.web.links import token_of
from firstbounce.web.routes import all_routers

#: Addresses that answer with no page of ours.
NO_PAGES = ("/static/", "/sw.js", "/manifest.webmanifest", "/link/", "/trust/authority.crt", "/api/")


#: Every page of the coach by name; what stands in braces is of the world.
PAGES = {
    "players": "/",
    "new player": "/players/new",
    "player": "/players/{player}",
    "edit player": "/players/{player}/edit",
    "ask": "/players/{player}/plan",
    "plan": "/plans/{plan}",
    "show": "/plans/{plan}/show",
    "log": "/sessions/{session}/log",
    "course log": "/course/log",
    "review": "/sessions/{session}/review",
    "all drills": "/drills",
    "drill of nobody": "/drills/7",
    "drills": "/players/{player}/drills",
    "drill": "/players/{player}/drills/7",
    "lesson": "/players/{player}/lesson",
    "today": "/today",
    "day": "/days/{day}",
    "green": "/greens/{green}",
    "course": "/course",
    "settings": "/settings",
    "trust": "/trust",
    "sign in": "/sign-in",
    "nothing there": "/no-such-page",
}


@dataclass(frozen=True)
class World:
    """Records in which every page has something to show, and what is there."""

    store: object
    player: str
    session: str
    station: str
    green: str
    day: str
    plan: str
    link: object


def put_world(store):
    """The demo, with a plan, a review and a link of its first player."""
    put_demo(store)
    player = next(line.id for line in players.player_list(store) if line.name == "Ada Quill")
    session = last_session(store, player)
    plan = desk.plan_for(store, player, session.day_id, greens.station(store, session.station_id))
    desk.review_session(store, session.id)
    link = players.make_link(store, player)
    ids = (session.id, session.station_id, session.green_id, session.day_id, plan.id)
    return World(store, player, *ids, link)


def address(world, name):
    """Where a page of the coach is."""
    return PAGES[name].format(**vars(world))


def player_pages(world, settings):
    """Pages of a player with a link, by name; the first address lets the player in."""
    return {"mine": f"/link/{token_of(settings, world.link)}"}


def every_route():
    """Every route of the application."""
    return [route for router in all_routers() for route in router.routes]


def page_routes():
    """Every route that answers with a page."""
    return [
        route for route in every_route() if "GET" in route.methods and not route.path.startswith(NO_PAGES)
    ]
