"""The phone's tables against the laptop's own numbers, between the rows of the tables."""

import numpy as np
import pytest

from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.predict import forecast
from firstbounce.fitting.shots import shots_of
from firstbounce.ground.conditions import GreenToday
from firstbounce.ground.slopes import SlopeWord
from firstbounce.planning.worlds import air_today
from firstbounce.players.player import player_of_level
from firstbounce.services.tables import course_table, sloping
from firstbounce.web import assets
from firstbounce.words import Level, Lie, Point

pytestmark = pytest.mark.browser
CARRIES_M = (1.2, 2.6, 5.7, 7.2, 11.2, 16.5, 24.0, 36.0)
CLUBS = ("7i", "PW", "SW", "LW")
WITHIN_M, WITHIN_SHARE = 0.15, 0.03  #: what the phone's mean run may differ by: the larger of the two
ENDS_M, ENDS_SHARE, ENDS_UP_TO_M = 0.30, 0.06, 20.0  #: the same for where nine of ten end, up to this carry


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
    for k, told in enumerate(theirs):
        exact = float(ours.run[k])
        assert abs(told["run_m"] - exact) <= max(WITHIN_M, WITHIN_SHARE * exact), (asked[k], told, exact)
        if asked[k][1] <= ENDS_UP_TO_M:
            for name, end in zip(("low_m", "high_m"), ours.ball_90[k], strict=True):
                assert abs(told[name] - end) <= max(ENDS_M, ENDS_SHARE * end), (asked[k], told, end)


def test_the_choice_gets_there_and_prefers_clubs_that_land_on_the_green(phone, server, table):
    where = {"to_edge_m": 4.0, "edge_to_hole_m": 9.0, "slope": "level"}
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
    far = {"to_edge_m": 50.0, "edge_to_hole_m": 49.0, "slope": "uphill"}
    assert in_page(phone.new_page(), server, "t.choices(args[0], args[1])", table, far) == []


def _along(table, carry):
    return float(np.interp(carry, table["carries_m"], table["along_m"]))
