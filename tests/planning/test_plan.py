"""The plan as a whole: laws it must obey, answers that are obvious, and the shape of what it says."""

import json
import re

import numpy as np
import pytest
from plan_places import TODAY, place, quick_plan

from firstbounce.errors import Cancelled, CannotPlan
from firstbounce.planning.plan import plan
from firstbounce.players.clubs import Bag, Club, usual_bag
from firstbounce.players.player import player_of_level
from firstbounce.units import LengthUnit
from firstbounce.words import Level, LieKind, TurfKind

NEVER = re.compile(r"\b(fit|fitted|prior|model|bias|posterior)\b", re.I)


@pytest.fixture(scope="module")
def usual():
    return quick_plan(place(), seed=1)


def test_choices_come_cheapest_first_and_know_how_far_behind_they_are(usual):
    behind = [choice.behind for choice in usual.choices]
    assert behind[0] == 0
    assert behind == sorted(behind)
    assert usual.first.equal
    assert all(choice.strokes.low < choice.strokes.value < choice.strokes.high for choice in usual.choices)


def test_numbers_of_a_choice_hang_together(usual):
    for choice in usual.choices:
        assert 0 <= choice.holed <= choice.up_and_down <= 1
        assert choice.holed <= choice.on_green <= 1
        assert choice.circle.radius_m > 0
        assert choice.circle.centre == choice.spot
        assert choice.carry_m.low < choice.carry_m.value < choice.carry_m.high
        assert np.hypot(*choice.spot) == pytest.approx(choice.carry_m.value, abs=0.4)
        assert choice.misses.mishit > 0
        assert len(choice.cloud.landed) == len(choice.cloud.finished) == len(choice.cloud.mishit)
        assert choice.path[0].z_m == pytest.approx(0, abs=1e-6)
        assert np.hypot(choice.path[-1].x_m, choice.path[-1].y_m) > choice.carry_m.value


def test_more_loft_is_landed_further_and_runs_less(usual):
    by_club = {choice.club: choice for choice in usual.choices}
    assert by_club["9i"].carry_m.value < by_club["PW"].carry_m.value < by_club["SW"].carry_m.value
    assert by_club["9i"].run_m.value > by_club["PW"].run_m.value > by_club["SW"].run_m.value


def test_same_inputs_give_the_same_plan():
    one, two = (quick_plan(place(), clubs=("PW", "SW")) for _ in range(2))
    assert one.to_dict() == two.to_dict()
    assert one.seed == two.seed


def test_another_hole_has_another_seed():
    assert quick_plan(place(), clubs=("SW",)).seed != quick_plan(place(hole=(0.5, 12.0)), clubs=("SW",)).seed


def test_a_mirrored_station_has_a_mirrored_plan():
    left = quick_plan(place(slope_percent=3, downhill_deg=270), clubs=("PW", "SW"), seed=3)
    right = quick_plan(place(slope_percent=3, downhill_deg=90), clubs=("PW", "SW"), seed=3)
    for one, other in zip(left.choices, right.choices, strict=True):
        assert one.club == other.club
        assert one.spot.x_m == pytest.approx(-other.spot.x_m, abs=0.15)
        assert one.spot.y_m == pytest.approx(other.spot.y_m, abs=0.5)
        assert one.strokes.value == pytest.approx(other.strokes.value, abs=0.05)
    assert left.first.spot.x_m > 0.1  # the ball falls to the left, so it is landed to the right


def test_better_players_need_fewer_strokes():
    strokes = [quick_plan(place(), level=level, clubs=("SW",), seed=1).first.strokes.value for level in Level]
    assert strokes == sorted(strokes)
    ups = [quick_plan(place(), level=level, clubs=("SW",), seed=1).first.up_and_down for level in Level]
    assert ups == sorted(ups, reverse=True)


def test_a_hole_nearer_the_edge_does_not_lengthen_the_carry():
    carries = [
        quick_plan(place(hole=(0.0, y)), clubs=("PW",), seed=1).first.carry_m.value for y in (6.5, 9.0, 14.0)
    ]
    assert carries == sorted(carries)


def test_uphill_is_landed_further_than_downhill():
    up = quick_plan(place(slope_percent=4, downhill_deg=180), clubs=("PW",), seed=1).first
    down = quick_plan(place(slope_percent=4, downhill_deg=0), clubs=("PW",), seed=1).first
    assert up.carry_m.value > down.carry_m.value + 0.5


def test_from_the_fringe_of_a_level_green_the_answer_is_to_putt():
    where = place(0.8, (0.0, 8.0), lie=LieKind.FRINGE, around=TurfKind.FAIRWAY)
    made = quick_plan(where, seed=1)
    assert made.first.is_putt
    assert made.reason.startswith("Putt it from here")
    assert made.first.circle is None
    assert made.first.putt_length_m > 7.0  # a little past the hole, and the fringe holds


def test_nobody_putts_from_the_rough(usual):
    assert all(not choice.is_putt for choice in usual.choices)
    assert usual.left_out == ("putter: no putting from light rough",)


def test_clubs_that_are_the_same_are_said_to_be_equal():
    twin = Club(name="twin", loft_deg=46.0)
    player = player_of_level(Level.SINGLE_FIGURE, bag=Bag((Club(name="PW", loft_deg=46.0), twin)))
    made = quick_plan(place(), player=player, seed=1)
    assert len(made.equal_choices) == 2
    assert "just as good" in made.reason
    assert made.certainty == "hunch"


def test_when_nothing_can_stop_on_the_green_it_says_so():
    where = place(5.0, (0.0, 6.5), slope_percent=7, downhill_deg=0, depth=3.0)
    made = quick_plan(where, clubs=("PW", "SW"), seed=1)
    assert not made.stops_on_green
    assert made.warning.startswith("No club can be expected to stop on the green")
    assert "Least bad" in made.warning
    assert len(made.choices) == 2


def test_a_green_that_holds_needs_no_warning(usual):
    assert usual.stops_on_green
    assert usual.warning == ""


def test_the_sentences_are_a_coachs(usual):
    for text in (usual.reason, usual.warning, *(choice.advice for choice in usual.choices)):
        assert not NEVER.search(text)
    assert usual.reason.count(".") >= 1
    assert (
        " m onto the green" in usual.reason or "edge of the green" in usual.reason or "short" in usual.reason
    )


def test_sentences_follow_the_unit_and_numbers_do_not(usual):
    yards = quick_plan(place(), seed=1, unit=LengthUnit.YARDS)
    assert "yard" in yards.reason
    assert yards.first.strokes == usual.first.strokes


def test_json_has_units_in_its_keys_and_plain_numbers(usual):
    shape = json.loads(json.dumps(usual.to_dict(), allow_nan=False))
    assert set(shape) == {
        *("station", "player", "choices", "reason", "certainty", "stops_on_green", "warning"),
        *("learned_from_balls", "seed", "left_out", "habit", "aim_off"),
    }
    first = shape["choices"][0]
    assert set(first["run"]) == {"value_m", "low_m", "high_m"}
    assert {"spot_m", "circle", "behind_strokes", "up_and_down_chance", "misses", "cloud", "path"} <= set(
        first
    )
    assert set(first["path"][0]) == {"t_s", "x_m", "y_m", "z_m", "phase"}


def test_progress_grows_to_one():
    seen = []
    quick_plan(place(), clubs=("PW", "SW"), seed=1, progress=seen.append)
    assert seen == sorted(seen)
    assert seen[-1] == 1


def test_a_plan_can_be_stopped():
    asked = []

    def stop():
        asked.append(1)
        return len(asked) > 3

    with pytest.raises(Cancelled):
        quick_plan(place(), seed=1, cancelled=stop)


def test_nothing_that_is_given_is_written_to():
    station, ground = place()
    before = [np.array(part, copy=True) for part in ground.compiled()]
    quick_plan((station, ground), clubs=("SW",), seed=1)
    for old, new in zip(before, ground.compiled(), strict=True):
        assert np.array_equal(old, new)


@pytest.mark.parametrize(
    ("where", "message"),
    [
        (lambda: place(hole=(0.0, 2.0)), "not on the green"),
        (lambda: place(0.0, (0.0, 0.2), around=TurfKind.GREEN), "a plan is for"),
        (lambda: place(hole=(0.0, 49.9), depth=20.0), "not on the green"),
    ],
)
def test_a_plan_that_makes_no_sense_is_refused(where, message):
    with pytest.raises(CannotPlan, match=message):
        quick_plan(where())


def test_a_bag_with_a_putter_only_has_no_plan():
    station, ground = place()
    player = player_of_level(Level.SCRATCH, bag=usual_bag(("putter",)))
    with pytest.raises(CannotPlan, match="no lofted club"):
        plan(station, player=player, today=TODAY, ground=ground)
