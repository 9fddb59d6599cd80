"""Stations of the planner's tests: a straight-edged green on a plane, invented."""

from firstbounce.fitting.fit import prior_fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.ground.surface import Plane
from firstbounce.planning.plan import plan
from firstbounce.planning.ranking import Effort
from firstbounce.players.clubs import usual_bag
from firstbounce.players.player import player_of_level
from firstbounce.words import Level, Lie, LieKind, Point, Station, TurfKind

QUICK = Effort(survey=1024, mishits=48, rounds=(128, 256), close=256)
TODAY = GreenToday.of_words()


def place(
    edge=4.0,
    hole=(0.0, 12.0),
    *,
    lie=LieKind.LIGHT_ROUGH,
    around=TurfKind.LIGHT_ROUGH,
    slope_percent=0.0,
    downhill_deg=0.0,
    depth=18.0,
):
    """A station at the origin and the ground before it."""
    ground = Ground(
        surface=Plane((0.0, 0.0, 0.0), slope_percent, downhill_deg),
        outline=((-9.0, edge), (9.0, edge), (9.0, edge + depth), (-9.0, edge + depth)),
        around=around,
        fringe_m=0.6,
        bounds=(-30.0, 30.0, -12.0, 50.0),
    )
    return Station(name="test", start=Point(0.0, 0.0), hole=Point(*hole), lie=Lie(kind=lie)), ground


def quick_plan(where, *, level=Level.TEN_TO_EIGHTEEN, clubs=("9i", "PW", "SW", "putter"), **options):
    """A plan with few balls for a player of a level with a small bag."""
    station, ground = where
    player = options.pop("player", None) or player_of_level(level, bag=usual_bag(clubs))
    today = options.pop("today", TODAY)
    options.setdefault("effort", QUICK)
    options.setdefault("fit", prior_fit(player, today))
    return plan(station, player=player, today=today, ground=ground, **options)
