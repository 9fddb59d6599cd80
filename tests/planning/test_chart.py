"""The chart of carry and run."""

import json

import pytest
from plan_places import TODAY

from firstbounce.errors import CannotPlan
from firstbounce.planning.chart import chart
from firstbounce.players.player import player_of_level
from firstbounce.words import Level

PLAYER = player_of_level(Level.TEN_TO_EIGHTEEN)


@pytest.fixture(scope="module")
def usual():
    return chart(PLAYER, TODAY, carries_m=(4.0, 8.0))


def test_every_lofted_club_has_a_row_a_carry(usual):
    assert [(row.club, row.carry_m) for row in usual.rows] == [
        (club.name, carry) for club in PLAYER.bag.lofted for carry in (4.0, 8.0)
    ]


@pytest.mark.parametrize("carry", [4.0, 8.0])
def test_less_loft_runs_further(usual, carry):
    runs = [row.run_m.value for row in usual.rows if row.carry_m == carry]
    assert runs == sorted(runs, reverse=True)


def test_intervals_hold_the_value_and_single_balls_vary_more(usual):
    for row in usual.rows:
        assert row.run_m.low < row.run_m.value < row.run_m.high
        assert row.ball_run_m.low <= row.run_m.low
        assert row.ball_run_m.high >= row.run_m.high
        assert row.balls == 0
        assert row.total_m == pytest.approx(row.carry_m + row.run_m.value)


def test_trade_order_of_ratios_on_a_level_green(usual):
    # common practice: 7-iron 1:5 down to sand wedge 1:1 and less; bands as in the checks
    ratio = {row.club: row.ratio for row in usual.rows if row.carry_m == 4.0}
    assert 2.5 < ratio["7i"] < 5
    assert 0.5 < ratio["SW"] < 1.4


def test_json_is_plain_with_units(usual):
    shape = json.loads(json.dumps(usual.to_dict(), allow_nan=False))
    assert set(shape["rows"][0]["run"]) == {"value_m", "low_m", "high_m"}
    assert shape["learned_from_balls"] == 0


@pytest.mark.parametrize("carries", [(), (0.1,), (90.0,)])
def test_carries_that_are_no_chip_are_refused(carries):
    with pytest.raises(CannotPlan, match="A chart needs"):
        chart(PLAYER, TODAY, carries_m=carries)
