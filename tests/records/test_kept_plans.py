"""A plan and a fit keep the world of their moment, whatever is read or changed afterwards."""

from dataclasses import replace

import numpy as np
import pytest
from invented import World, a_plan
from whole_world import fit_and_plan

from firstbounce.errors import NotThere, ParameterError
from firstbounce.planning.plan import plan as plan_again
from firstbounce.records.rows.kept import ReviewRow
from firstbounce.records.rows.places import ReadingKind
from firstbounce.services import greens, kept, players
from firstbounce.services.store import new_id


def test_a_plan_brings_back_the_day_the_station_and_the_fit_of_its_moment(file_store):
    world = World(file_store, balls=8)
    day, fitted, plan, fit_row, plan_row = fit_and_plan(world)
    greens.add_reading(file_store, world.reading(ReadingKind.STIMP, {"stimp_ft": 12.0}))
    players.change_player(file_store, replace(world.player, clubs=world.player.clubs[:3], spread_share=0.5))
    then = kept.plan_then(file_store, plan_row.id)
    assert then.day.today == day.today and then.station == plan.station
    assert (then.day.player.name, then.day.player.bag.names) == (day.player.name, day.player.bag.names)
    np.testing.assert_array_equal(then.fit.theta, fitted.theta)
    np.testing.assert_array_equal(then.fit.covariance, fitted.covariance)
    row, day_of_fit, fit_again = kept.fit_then(file_store, fit_row.id)
    assert row.inputs["balls"] and day_of_fit.today == day.today and fit_again.verdict == fitted.verdict
    assert then.row.result["choices"][0]["club"] == plan.first.club
    once_more = plan_again(
        then.station, player=then.day.player, today=then.day.today, ground=then.day.ground, fit=then.fit
    )
    assert [one.club for one in once_more.choices] == [one.club for one in plan.choices]
    assert once_more.first.strokes.value == pytest.approx(plan.first.strokes.value, abs=1e-9)


def test_a_plan_from_a_phones_tables_is_kept_without_a_day(store):
    world = World(store)
    row = a_plan(world.player, made_by="phone")
    kept.keep(store, row)
    assert kept.plan_row(store, row.id) == row
    with pytest.raises(ParameterError, match="prepared tables"):
        kept.plan_then(store, row.id)
    kept.choose(store, row.id, "SW", None)
    assert kept.plans(store, world.player.id)[0].chosen_club == "SW"
    with pytest.raises(NotThere):
        kept.choose(store, new_id(), "SW", None)


def test_the_coach_overrules_and_both_verdicts_are_kept(store):
    world = World(store)
    told: ReviewRow = kept.reviews(store, world.player.id)[0]
    kept.overrule(store, told.id, to="plan", why="The green had dried")
    now = kept.reviews(store, world.player.id)[0]
    assert (now.verdict, now.overruled_to, now.overruled_why) == ("strike", "plan", "The green had dried")


def test_settings_are_kept_and_secrets_are_not_listed(store):
    kept.set_setting(store, "units", "yards")
    kept.set_setting(store, "units", "metres")
    kept.set_setting(store, "key", {"k": [1]}, secret=True)
    assert kept.settings(store) == {"units": "metres"}
    assert kept.setting(store, "key") == {"k": [1]} and kept.setting(store, "none", 3) == 3
