"""The phone's tables against the laptop's own numbers, between the rows of the tables."""

import numpy as np
import pytest

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.predict import forecast
from firstbounce.fitting.shots import shots_of
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.ground import Ground
from firstbounce.ground.slopes import SlopeWord, slope_of_word
from firstbounce.ground.surface import Bounds, Plane
from firstbounce.ground.turf import TURFS
from firstbounce.planning.asked import turf_short_of_green
from firstbounce.planning.scene import GRASS_SD, ROUGH_HEADING
from firstbounce.planning.worlds import air_today
from firstbounce.players.player import player_of_level
from firstbounce.services.tables import course_table, sloping
from firstbounce.shot.laws import N_SCATTER, SCATTER_DECELERATION, SCATTER_HEADING, SCATTER_SD
from firstbounce.shot.play import roll
from firstbounce.units import stimp_to_deceleration
from firstbounce.web import assets
from firstbounce.words import Level, Lie, LieKind, Point

pytestmark = pytest.mark.browser
CARRIES_M = tuple(float(carry) for carry in np.geomspace(1.02, 39.8, 60).round(3))
WAYS_M = ((1.0, 5.0), (2.0, 8.0), (4.0, 6.0), (1.0, 14.0), (6.0, 12.0))
CLUBS = ("7i", "9i", "PW", "SW", "LW")
WITHIN_M, WITHIN_SHARE = 0.15, 0.03  #: what the phone's mean run may differ by: the larger of the two
ENDS_M, ENDS_SHARE = 0.30, 0.06  #: the same for where nine of ten end, at all but a few carries ...
MOST_ENDS = 0.97  #: ... at this share of them at least,
WORST_ENDS = 2.0  #: and nowhere more than so many times that: ends jump where a hop comes or goes
PUTT_M, PUTT_SHARE = 0.10, 0.10  #: the same for what a putt leaves, rolled ball by ball


@pytest.fixture(scope="module")
def player():
    return player_of_level(Level.NINETEEN_TO_TWENTY_EIGHT)


@pytest.fixture(scope="module")
def table(player):
    return course_table(player).to_dict()


def in_page(page, server, expression, *arguments):
    page.goto(f"{server.url}/sign-in")
    script = (
        f"async (args) => {{ const t = await import('{assets.static('tables.js')}'); return {expression}; }}"
    )
    return page.evaluate(script, list(arguments))


@pytest.mark.parametrize("slope", list(SlopeWord))
def test_runs_between_the_rows_are_those_of_the_laptop(phone, server, player, table, slope):
    known, today = prior_fit(player, GreenToday()), GreenToday()
    asked = [(club, carry) for club in CLUBS for carry in CARRIES_M]
    n = len(asked)
    spots = [Point(0.0, carry) for _, carry in asked]
    shots = shots_of(player, [club for club, _ in asked], [Point(0.0, 0.0)] * n, spots, [Lie()] * n)
    ours = forecast(known, sloping(slope), shots, air=air_today(today))
    expression = "args[1].map(([club, carry]) => t.runOf(args[0], args[2], club, carry))"
    theirs = in_page(phone.new_page(), server, expression, table, [list(one) for one in asked], str(slope))
    off = []
    for k, told in enumerate(theirs):
        exact = float(ours.run[k])
        assert abs(told["run_m"] - exact) <= max(WITHIN_M, WITHIN_SHARE * exact), (asked[k], told, exact)
        for name, end in zip(("low_m", "high_m"), ours.ball_90[k], strict=True):
            off.append((abs(told[name] - end) / max(ENDS_M, ENDS_SHARE * end), asked[k], told, end))
    assert max(one[0] for one in off) <= WORST_ENDS, max(off, key=lambda one: one[0])
    assert np.mean([one[0] <= 1 for one in off]) >= MOST_ENDS


def test_the_choice_gets_there_and_prefers_clubs_that_land_on_the_green(phone, server, table):
    where = {"to_edge_m": 4.0, "edge_to_hole_m": 9.0, "slope": "level", "lie": "light rough"}
    found = in_page(phone.new_page(), server, "t.choices(args[0], args[1])", table, where)
    assert len(found) >= 4 and found[0]["lands_on_green"]
    for one in found:
        assert one["carry_m"] + one["run_m"] == pytest.approx(13.0, abs=0.01)
        assert one["lands_on_green"] == (
            one["carry_m"] - 4.0 >= max(0.5, _along(table, one["carry_m"])) - 1e-9
        )
    on_green = [one["leave_m"] for one in found if one["lands_on_green"]]
    assert on_green == sorted(on_green)
    assert found[0]["as_good"]


def test_what_no_club_reaches_is_left_out(phone, server, table):
    far = {"to_edge_m": 50.0, "edge_to_hole_m": 49.0, "slope": "uphill", "lie": "light rough"}
    assert in_page(phone.new_page(), server, "t.choices(args[0], args[1])", table, far) == []


@pytest.mark.parametrize("slope", list(SlopeWord))
@pytest.mark.parametrize("lie", [LieKind.GREEN, LieKind.FRINGE, LieKind.FAIRWAY])
def test_a_putt_leaves_what_rolled_balls_leave(phone, server, player, table, slope, lie):
    where = [{"to_edge_m": a, "edge_to_hole_m": b, "slope": slope, "lie": lie} for a, b in WAYS_M]
    told = in_page(phone.new_page(), server, "args[1].map((w) => t.putt(args[0], w))", table, where)
    for (edge, to_hole), one in zip(WAYS_M, told, strict=True):
        exact = rolled(player, lie, slope, edge, to_hole, one["putt_m"])
        assert abs(one["leave_m"] - exact) <= max(PUTT_M, PUTT_SHARE * exact), (edge, to_hole, one, exact)


def rolled(player, lie, slope, edge, to_hole, putt_m, n=4000):
    """Root mean square distance from the hole [m] of putts rolled one by one, the hole covered."""
    rng = np.random.default_rng(20260514)
    deceleration = stimp_to_deceleration(GreenToday().stimp_ft.value)
    far = edge + to_hole
    plane = Plane.of_gradient((0.0, slope_of_word(slope).value / 100), gradient_cov=((0.0, 0.0), (0.0, 0.0)))
    ground = Ground(
        surface=plane,
        outline=((-25.0, edge), (25.0, edge), (25.0, 90.0), (-25.0, 90.0)),
        around=turf_short_of_green(lie),
        bounds=Bounds(-30.0, 30.0, -12.0, 100.0),
    )
    work = (edge / TURFS[ground.around].stimp_ratio, to_hole)
    rough = 0.0 if lie is LieKind.GREEN else work[0] / sum(work)
    length = putt_m * np.maximum(1 + player.putting.distance_share * rng.standard_normal(n), 0.05)
    turn = np.radians(player.putting.angle_deg) * rng.standard_normal(n)
    speed = np.sqrt(2 * deceleration * length)
    scatter = np.zeros((n, N_SCATTER))
    scatter[:, SCATTER_DECELERATION] = GRASS_SD * rough * rng.standard_normal(n)
    scatter[:, SCATTER_HEADING] = SCATTER_SD[SCATTER_HEADING] * (1 + (ROUGH_HEADING - 1) * rough)
    scatter[:, SCATTER_HEADING] *= rng.standard_normal(n)
    played = roll(
        (0.0, 0.0),
        np.column_stack([np.sin(turn), np.cos(turn)]) * speed[:, None],
        ground=ground.compiled(),
        green_deceleration=np.full(n, deceleration),
        scatter=scatter,
    )
    missed = played.finished[:, :2] - (0.0, far)
    return float(np.sqrt((missed**2).sum(axis=1).mean()))


def test_the_putter_is_among_the_choices_where_it_can_be_used(phone, server, table):
    page = phone.new_page()
    asked = {"to_edge_m": 1.0, "edge_to_hole_m": 9.0, "slope": "level"}
    found = in_page(page, server, "t.choices(args[0], args[1])", table, {**asked, "lie": "fringe"})
    leaves = [one["leave_m"] for one in found if one["lands_on_green"]]
    assert any(one["is_putt"] for one in found) and leaves == sorted(leaves)
    for lie in ("light rough", "sand edge"):
        found = in_page(page, server, "t.choices(args[0], args[1])", table, {**asked, "lie": lie})
        assert found and not any(one["is_putt"] for one in found), lie
    without = {name: value for name, value in table.items() if name != "putter"}  # as older phones kept them
    found = in_page(page, server, "t.choices(args[0], args[1])", without, {**asked, "lie": "fringe"})
    assert found and not any(one["is_putt"] for one in found)


def test_no_putt_is_told_where_no_ball_would_stop(phone, server, table):
    steep = {**table["putter"], "pull": {"downhill": -0.97 * table["putter"]["deceleration"]}}
    asked = {"to_edge_m": 1.0, "edge_to_hole_m": 9.0, "slope": "downhill", "lie": "fringe"}
    assert in_page(phone.new_page(), server, "t.putt(args[0], args[1])", {"putter": steep}, asked) is None


def _along(table, carry):
    return float(np.interp(carry, table["carries_m"], table["along_m"]))
