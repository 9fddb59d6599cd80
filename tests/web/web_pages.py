"""Every page by name, with the records that fill it: for the tests of all pages and the screenshots."""

import re
from dataclasses import dataclass

from web_clinic import put_clinic
from web_clip import put_swing
from web_lesson import put_lesson

from firstbounce.services import desk, desk_guides, greens, players
from firstbounce.services.demo_records import put_demo
from firstbounce.services.desk_guides import GuideAsked
from firstbounce.services.sessions import last_session
from firstbounce.services.technique import keep_ticks
from firstbounce.technique.by_eye import read_ticks
from firstbounce.web.links import token_of
from firstbounce.web.routes import all_routers

#: Addresses that answer with no page of ours.
NO_PAGES = (
    "/static/",
    "/sw.js",
    "/manifest.webmanifest",
    "/link/",
    "/shared/",
    "/trust/authority.crt",
    "/api/",
    "/guides/{guide_id}/pdf",
    "/technique/{technique_id}/sheet.svg",
)
#: Every page of the coach by name; what stands in braces is of the world.
PAGES = {
    "players": "/",
    "new player": "/players/new",
    "player": "/players/{player}",
    "edit player": "/players/{player}/edit",
    "chart": "/players/{player}/chart",
    "weeks": "/players/{player}/weeks",
    "ask": "/players/{player}/plan",
    "plan": "/plans/{plan}",
    "show": "/plans/{plan}/show",
    "log": "/sessions/{session}/log",
    "course log": "/course/log",
    "clinics": "/clinics",
    "new clinic": "/clinics/new",
    "clinic": "/clinics/{clinic}",
    "log in a clinic": "/sessions/{clinic_log}/log",
    "clinic of nobody": "/clinics/any",
    "review": "/sessions/{session}/review",
    "all drills": "/drills",
    "drill of nobody": "/drills/7",
    "drills": "/players/{player}/drills",
    "drill": "/players/{player}/drills/7",
    "lesson": "/players/{player}/lesson",
    "make guide": "/players/{player}/guide",
    "guide": "/guides/{guide}",
    "guide on a phone": "/guides/{guide}/page",
    "share guide": "/guides/{guide}/share/{guide_link}",
    "technique": "/players/{player}/technique",
    "swing": "/technique/{swing}",
    "ticks": "/technique/{ticks}",
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
    tally: str  #: a session whose station has a circle
    clinic: str
    clinic_log: str  #: the session of its first member
    guide: str
    guide_link: str
    swing: str  #: a clip that was watched
    ticks: str  #: a set judged by eye


def put_world(store):
    """The demo, with a plan, a review and a link of its first player; and a session with a circle."""
    put_demo(store)
    player = next(line.id for line in players.player_list(store) if line.name == "Ada Quill")
    session = last_session(store, player)
    plan = desk.plan_for(store, player, session.day_id, greens.station(store, session.station_id))
    desk.review_session(store, session.id)
    link = players.make_link(store, player)
    ids = (session.id, session.station_id, session.green_id, session.day_id, plan.id)
    tally = put_lesson(store, "Bea Lind").session
    more = (*put_clinic(store, session.day_id, session.station_id), *put_guide(store, player))
    return World(store, player, *ids, link, tally, *more, *put_technique(store, player))


def put_guide(store, player):
    """A guide of the player and a link to it."""
    drills = ("Landing circle", "Line brush")
    guide = desk_guides.make_for(store, GuideAsked(player_id=player, drills=drills)).id
    return guide, desk_guides.make_link(store, guide, days=30).id


def put_technique(store, player):
    """A drawn clip with a short finish that was watched, and a set judged by eye."""
    ticks = read_ticks("arms together yes, through matches back no, finish held 1, recoil no", swings=5)
    return put_swing(store, player), keep_ticks(store, ticks, player)


def addresses(ids):
    """Pages that need no more than these ids, by name."""
    asked = {name: re.findall(r"{(\w+)}", path) for name, path in PAGES.items()}
    return {name: PAGES[name].format(**ids) for name, needed in asked.items() if set(needed) <= set(ids)}


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
