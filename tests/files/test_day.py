"""From green.toml to a day that can be played: what was read, with its error, and nothing unexpected."""

import math

import pytest
from hypothesis import given, settings
from test_green_file import GOOD, greens

from firstbounce.errors import FileFaults
from firstbounce.files.green import format_green
from firstbounce.ground.surface import HeightGrid, Plane
from firstbounce.services.day import load_balls, load_day
from firstbounce.words import LieKind, Point, Source, TurfKind


def day_of(tmp_path, change=("", "")):
    assert change[0] in GOOD
    path = tmp_path / "green.toml"
    path.write_text(GOOD.replace(*change, 1))
    return load_day(path)


def test_readings_become_the_day(tmp_path):
    day = day_of(tmp_path)
    assert day.today.stimp_ft.value == 9.5 and day.today.stimp_ft.source is Source.MEASURED
    assert day.today.firmness.source is Source.PRIOR
    assert day.stations["B"].lie.kind is LieKind.LIGHT_ROUGH
    assert day.ground.turf_at(0, 10) is TurfKind.GREEN and day.ground.turf_at(0, -3) is TurfKind.FAIRWAY


def test_rolls_give_the_level_speed(tmp_path):
    day = day_of(tmp_path, ("stimp_ft = 9.5", "rolls = { up_m = [2.4], down_m = [3.2] }"))
    # Brede 1990 (facts, computed): 2.4 and 3.2 m are 2.74 m on level ground
    assert day.today.stimp_ft.value == pytest.approx(2.743 / 0.3048, rel=1e-3)


def test_drops_give_the_firmness(tmp_path):
    soft = day_of(tmp_path, ("stimp_ft = 9.5", "drop_heights_m = [0.08, 0.09]"))
    firm = day_of(tmp_path, ("stimp_ft = 9.5", "drop_heights_m = [0.30, 0.32]"))
    assert soft.today.firmness.value < 1 < firm.today.firmness.value


def test_wind_and_weather_reach_the_day(tmp_path):
    text = "wind = { speed_m_s = 3, from_deg = 90 }\nweather = { temperature_c = 5, pressure_hpa = 900 }"
    today = day_of(tmp_path, ("stimp_ft = 9.5", text)).today
    assert today.wind.vector == pytest.approx((-3, 0))
    assert (today.weather.temperature_c, today.weather.pressure_pa) == (5, 90_000)


def test_one_slope_is_a_plane_that_is_not_known_exactly(tmp_path):
    day = day_of(tmp_path, ("[today]", "[surface]\nslope_percent = 2\ndownhill_deg = 90\n[today]"))
    assert isinstance(day.ground.surface, Plane)
    assert day.ground.surface.slope_percent == pytest.approx(2)
    assert day.ground.surface.height(5, 0) < day.ground.surface.height(-5, 0)
    assert day.ground.surface.slope_sd_at(0, 0) > 0.003


def test_a_word_of_slope_follows_each_station(tmp_path):
    day = day_of(tmp_path, ("[today]", '[surface]\nword = "uphill"\n[today]'))
    for station in day.stations.values():
        surface = day.ground_at(station).surface
        assert surface.height(*station.hole) > surface.height(*station.start)


def test_slope_readings_make_a_surface(tmp_path):
    reading = "[[surface.reading]]\nat = [{}, 10]\ndownhill_deg = 90\nlevel_deg = [{}, {}]\n"
    text = reading.format(-5, 1.4, 1.0) + reading.format(5, 0.2, -0.2)
    day = day_of(tmp_path, ("[today]", text + "[today]"))
    left, right = (day.ground.surface.gradient(x, 10)[0] for x in (-5.0, 5.0))
    assert left == pytest.approx(-math.tan(math.radians(1.2)), abs=0.006) and abs(right) < 0.006


def test_a_grid_is_taken_as_it_is(tmp_path):
    rows = [[round(0.01 * (i + j), 2) for i in range(9)] for j in range(9)]
    table = f"[surface.heights]\nx0_m = -24\ny0_m = -24\ncell_m = 6\nrows = {rows}\n"
    day = day_of(tmp_path, ("[today]", table + "[today]"))
    assert isinstance(day.ground.surface, HeightGrid)
    assert day.ground.surface.height(-12, -18) == pytest.approx(0.03)


def test_what_is_known_of_the_player_is_used(tmp_path):
    text = '[player]\nlevel = "beginner"\nhand = "left"\nmishit_share = 0.2\nspread_share = 0.3\n'
    player = day_of(tmp_path, ("[today]", text + "bag = { sw = 55, Putter = 4 }\n[today]")).player
    assert (player.mishits.share, player.spread.share, player.spread.floor_m) == (0.2, 0.3, 1.2)
    assert player.bag.names == ("SW", "putter") and player.bag.club("sw").loft_deg == 55


def test_a_club_with_an_impossible_loft_is_a_fault(tmp_path):
    with pytest.raises(FileFaults, match="Club SW has a loft of 5 degrees"):
        day_of(tmp_path, ("[today]", '[player]\nlevel = "beginner"\nbag = { SW = 5 }\n[today]'))


def test_balls_meet_stations_and_bag(tmp_path):
    day = day_of(tmp_path)
    path = tmp_path / "balls.csv"
    path.write_text("# firstbounce balls 1\nid,club,station,carry_m,run_m\n1,sand wedge,A,6,4\n")
    (ball,) = load_balls(path, day).balls
    assert (ball.club, ball.start) == ("SW", Point(0, -3))
    assert math.dist(ball.start, ball.finished) == pytest.approx(10)


@given(green=greens())
@settings(max_examples=40, deadline=None)
def test_every_sound_file_becomes_a_day_or_faults(tmp_path_factory, green):
    path = tmp_path_factory.mktemp("day") / "green.toml"
    path.write_text(format_green(green), encoding="utf-8")
    try:
        assert load_day(path).ground.compiled().coeffs.size
    except FileFaults as error:
        assert error.faults
        return
