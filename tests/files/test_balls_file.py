"""balls.csv: what is read, what is refused and with which words, and that writing loses nothing."""

import math
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.files import balls as balls_file
from firstbounce.files.ball_checks import doubts, worth_a_look
from firstbounce.files.ball_columns import Column
from firstbounce.files.balls import (
    FIRST_LINE,
    LoggedBalls,
    format_balls,
    parse_balls,
    read_balls,
    write_balls,
)
from firstbounce.players.clubs import usual_bag
from firstbounce.words import (
    Ball,
    Circle,
    Lie,
    LieKind,
    Point,
    Station,
    Strike,
    Tally,
    TallyFinish,
    TallyLanding,
)

PLACED = "id,club,start_x_m,start_y_m,hole_x_m,hole_y_m,landed_x_m,landed_y_m,finished_x_m,finished_y_m"
GOOD = "b1,PW,0,0,0,15,0.5,6,1,14"
STATION = Station(
    name="A",
    start=Point(0, 0),
    hole=Point(0, 15),
    lie=Lie(kind=LieKind.FRINGE, wet=True),
    landing_spot=Point(0, 6),
)


def parse(*lines, **more):
    return parse_balls(Path("balls.csv"), "\n".join([FIRST_LINE, *lines]) + "\n", **more)


def faults(*lines, **more):
    with pytest.raises(FileFaults) as caught:
        parse(*lines, **more)
    return [str(fault) for fault in caught.value.faults]


def test_a_placed_ball_is_read_as_typed():
    (ball,) = parse(PLACED + ",strike,hang_time_s", GOOD + ",thin,1.25").balls
    assert ball == Ball(
        id="b1",
        club="PW",
        lie=Lie(),
        start=Point(0, 0),
        hole=Point(0, 15),
        landed=Point(0.5, 6),
        finished=Point(1, 14),
        strike=Strike.THIN,
        hang_time_s=1.25,
    )


def test_a_station_fills_what_a_row_leaves_empty():
    (ball,) = parse("id,club,station,carry_m", "b1,PW,A,6", stations={"A": STATION}).balls
    assert (ball.start, ball.hole, ball.aim, ball.lie) == (
        STATION.start,
        STATION.hole,
        STATION.landing_spot,
        STATION.lie,
    )


def test_paces_become_places_along_the_line_to_the_landing_spot():
    station = Station(name="A", start=Point(1, 1), hole=Point(9, 9), landing_spot=Point(4, 5))  # line 3-4-5
    header = "id,club,station,carry_m,carry_side_m,run_m,finish_side_m"
    (ball,) = parse(header, "b1,PW,A,10,1,5,2", stations={"A": station}).balls
    assert ball.landed == pytest.approx((1 + 6 + 0.8, 1 + 8 - 0.6))
    assert ball.finished == pytest.approx((1 + 9 + 1.6, 1 + 12 - 1.2))
    # one person's calibrated pace: 5 % (facts: common practice), beside the usual placing error
    assert ball.landed_sd_m == pytest.approx(math.hypot(0.25, 0.05 * math.hypot(10, 1)))


def test_a_ball_paced_without_side_rolls_straight_on():
    (ball,) = parse(
        "id,club,station,carry_m,carry_side_m,run_m", "b1,PW,A,6,0.6,6", stations={"A": STATION}
    ).balls
    assert ball.finished == pytest.approx((1.2, 12))


def test_a_tally_keeps_its_ranges():
    header = "id,club,station,tally_landed,tally_finished,circle_radius_m"
    (tally,) = parse(header, "t1,SW,A,short,within two paces,1.2", stations={"A": STATION}).tallies
    assert tally.circle == Circle(centre=Point(0, 6), radius_m=1.2)
    assert (tally.landing, tally.finish) == (TallyLanding.SHORT, TallyFinish.WITHIN_TWO_PACES)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("\n", "\r"),
        lambda text: "\ufeff" + text,
    ],
)
def test_line_ends_and_byte_order_mark_do_not_matter(tmp_path, change):
    path = tmp_path / "balls.csv"
    path.write_bytes(change(f"{FIRST_LINE}\n{PLACED}\n{GOOD}\n").encode())
    assert read_balls(path) == parse(PLACED, GOOD)


def test_what_a_spreadsheet_adds_does_not_matter():
    text = f"{FIRST_LINE},,,\n# a remark,,\n{PLACED},,\n{GOOD},,\n,,,\n\n"
    assert parse_balls(Path("b"), text) == parse(PLACED, GOOD)


@pytest.mark.parametrize(
    "lines, said",
    [
        (["club,landed_x_m,landed_y_m,station", "PW,1,2,A"], "line 2, column id: this column is missing"),
        (["id,club,landed_x_m,landed_y_m", "1,PW,1,2"], "line 2, column start_x_m: this column is missing"),
        (["id,club,station,landed_x_m", "1,PW,A,1"], "line 2, column landed_y_m: this column is missing"),
        (["id,club,station", "1,PW,A"], "line 2: no column says where a ball went"),
        (
            [PLACED + ",strke", GOOD + ",thin"],
            "line 2, column strke: this column is not known; did you mean strike?",
        ),
        ([PLACED + ",id", GOOD + ",3"], "line 2, column id: this column stands twice"),
        (["id;club;start_x_m", "1;PW;0"], "line 2: columns are separated by semicolons"),
        (["id\tclub\tstart_x_m", "1\tPW\t0"], "line 2: columns are separated by tabs"),
    ],
)
def test_a_wrong_header_is_named(lines, said):
    assert said in faults(*lines)[0]


@pytest.mark.parametrize(
    "row, said",
    [
        ("b1,PW,0,0,0,15,0.5,six,1,14", "column landed_y_m: must be a number, got 'six'"),
        (
            'b1,PW,0,0,0,15,0.5,"6,2",1,14',
            "column landed_y_m: must be a number, got '6,2'; write a decimal point: 6.2",
        ),
        ("b1,PW,0,0,0,15,0.5,6 m,1,14", "column landed_y_m: must be a number, got '6 m'; leave out 'm'"),
        ("b1,PW,0,0,0,15,0.5,nan,1,14", "column landed_y_m: must be a plain number"),
        ("b1,PW,0,0,0,15,0.5,1_0,1,14", "column landed_y_m: must be a plain number"),
        ("b1,PW,0,0,0,15,0.5,600,1,14", "outside -500 to 500"),
        (
            "b1,PW,0,0,0,15,1,33,1,36",
            "column landed_x_m: landed 33.0 metres from the start though the hole is 15.0",
        ),
        ("b1,PW,0,0,,,1,66,1,66", "farther than any chip or pitch; 66.0 feet would be 20.1 metres"),
        ("b1,PW,0,0,0,15,0,14,0,6", "column landed_x_m: landed 8.0 metres beyond where it finished"),
        ("b1,PW,0,0,0,15,0.5,6,0,15", "column finished_x_m: finished in the hole; write holed = yes"),
        ("b1,PW,0,0,0,15,0.5,,1,14", "column landed_y_m: is empty though its partner is given"),
        ("b1,PW,,,0,15,0.5,6,1,14", "column start_x_m: is empty; give start_x_m and start_y_m"),
        ("b1,PW,0,0,0,15,,,,", "nothing says where this ball went"),
        (",PW,0,0,0,15,0.5,6,1,14", "column id: is empty"),
        ("b1,,0,0,0,15,0.5,6,1,14", "column club: is empty"),
        ("b1,PW,0,0,0,15,0.5,6", "has 8 cells, the header names 10 columns"),
        ("b1,PW,0,0,0,15,0.5,6,1,14,9", "has 11 cells, the header names 10 columns"),
    ],
)
def test_a_wrong_row_is_named(row, said):
    (fault,) = faults(PLACED, row)
    assert fault.startswith("line 3") and said in fault


@pytest.mark.parametrize(
    "columns, cells, said",
    [
        ("hang_time_s", "-1", "column hang_time_s: -1 is outside"),
        ("lie", "ruff", "column lie: 'ruff' is not known; one of: tight; fairway"),
        ("strike", "fat", "column strike: 'fat' is not known; one of: clean; heavy; thin"),
        ("wet", "maybe", "column wet: must be yes or no"),
        ("holed", "yes", "column holed: a holed ball has no finish"),
        ("carry_m", "6", "column carry_m: give places"),
        ("carry_m", "-6", "column carry_m: -6 is below 0, negative"),
        ("run_m", "6", "column carry_m: give places"),
        ("tally_landed", "in", "column landed_x_m: a row is a tally or a placed ball"),
        ("landed_sd_m", "0", "column landed_sd_m: 0 is outside 0.01 to 10"),
    ],
)
def test_a_wrong_extra_cell_is_named(columns, cells, said):
    (fault,) = faults(f"{PLACED},{columns}", f"{GOOD},{cells}")
    assert said in fault


@pytest.mark.parametrize(
    "header, row, said",
    [
        ("id,club,station,tally_landed", "t,SW,A,in", "column circle_radius_m: is empty"),
        ("id,club,station,tally_landed,circle_radius_m", "t,SW,A,near,1", "'near' is not known"),
        (
            "id,club,station,tally_landed,circle_radius_m",
            "t,SW,A,in,-1",
            "column circle_radius_m: -1 is outside",
        ),
        ("id,club,start_x_m,start_y_m,tally_finished", "t,SW,0,0,given", "a tally needs the hole"),
        (
            "id,club,station,carry_m",
            "t,SW,B,6",
            "column station: 'B' is not a station of the green file; there: A",
        ),
        ("id,club,station,carry_m,run_m", "t,SW,A,,6", "column carry_m: is empty; run_m needs it"),
        ("id,club,start_x_m,start_y_m,carry_m", "t,SW,0,0,6", "paced distances need a line"),
    ],
)
def test_wrong_tallies_stations_and_paces_are_named(header, row, said):
    (fault,) = faults(header, row, stations={"A": STATION})
    assert said in fault


def test_all_faults_come_at_once_and_nothing_is_kept():
    said = faults(PLACED, GOOD, GOOD, "b2,PW,0,0,0,15,0.5,six,1,ten", "b3,PW,0,0,0,15,0,14,0,6")
    assert [line.split(":")[0] for line in said] == [
        "line 4, column id",
        "line 5, column landed_y_m",
        "line 5, column finished_y_m",
        "line 6, column landed_x_m",
    ]
    assert said[0].endswith("ball 'b1' stands on line 3 already; each ball once")


def test_a_club_outside_the_bag_is_named():
    (fault,) = faults(PLACED, GOOD, bag=usual_bag(("7i", "SW")))
    assert "column club: 'PW' is not in the bag: 7i, SW" in fault


def test_a_club_takes_the_name_it_has_in_the_bag():
    balls = parse(
        PLACED, GOOD.replace("PW", "pitching wedge"), GOOD.replace("b1,PW", "b2,46"), bag=usual_bag()
    ).balls
    assert [ball.club for ball in balls] == ["PW", "PW"]


def test_checked_keeps_a_ball_that_came_far_back():
    (ball,) = parse(PLACED + ",checked", "b1,PW,0,0,0,15,0,14,0,6,yes").balls
    assert ball.finished == Point(0, 6)


@pytest.mark.parametrize(
    "data, said",
    [
        (b"", "the file is empty"),
        (b"id,club\n1,PW\n", "line 1: the first line must be '# firstbounce balls 1'"),
        (b"# firstbounce balls 2\nid\n", "this version reads format 1, got '2'"),
        (f"{FIRST_LINE}\n".encode(), "there is no line of column names"),
        (f"{FIRST_LINE}\n{PLACED}\n".encode(), "there are no balls in the file"),
        (f"{FIRST_LINE}\n{PLACED}\nb1,Sandkeil \xfc,0,0".encode("latin-1"), "line 3: a letter is not UTF-8"),
        (f"{FIRST_LINE}\n".encode("utf-16"), "the text is UTF-16; save it as text in UTF-8"),
        (b"PK\x03\x04\0\0", "line 1: this is not a text file"),
    ],
)
def test_a_file_that_is_no_balls_file_is_named(tmp_path, data, said):
    path = tmp_path / "balls.csv"
    path.write_bytes(data)
    with pytest.raises(FileFaults) as caught:
        read_balls(path)
    assert said in str(caught.value.faults[0])


@pytest.mark.parametrize("name, said", [("none.csv", "there is no such file"), (".", "this is a folder")])
def test_a_file_that_is_not_there_is_named(tmp_path, name, said):
    with pytest.raises(FileFaults, match=said):
        read_balls(tmp_path / name)


@given(data=st.data())
@settings(max_examples=60)
def test_plain_rows_read_at_once_are_those_read_one_by_one(data):
    cells = {
        "id": st.sampled_from(["a", "b", "c", "d", "", "e e"]),
        "club": st.sampled_from(["PW", "SW", ""]),
        "station": st.sampled_from(["", "A", "B"]),
        "lie": st.sampled_from(["", "fringe", "light rough", "moon"]),
        "start_x_m": st.sampled_from(["", "0", " 0.5"]),
        "start_y_m": st.sampled_from(["", "0", "1e-3"]),
        "hole_x_m": st.sampled_from(["", "0", "1_0"]),
        "hole_y_m": st.sampled_from(["", "15", "15.0"]),
        "landed_x_m": st.sampled_from(["", "0", "0.5", "nan"]),
        "landed_y_m": st.sampled_from(["", "6", "66", "14"]),
        "finished_x_m": st.sampled_from(["", "0", "x"]),
        "finished_y_m": st.sampled_from(["", "6", "15", "14", "700"]),
        "holed": st.sampled_from(["", "no", "yes"]),
        "carry_m": st.sampled_from(["", "", "0", "6"]),
        "checked": st.sampled_from(["", "yes"]),
    }
    lines = [",".join(data.draw(one) for one in cells.values()) for _ in range(data.draw(st.integers(1, 5)))]

    def outcome(*rows):
        try:
            return parse(",".join(cells), *rows, stations={"A": STATION}).balls, []
        except FileFaults as error:
            return (), [str(fault) for fault in error.faults]

    together = outcome(*lines)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(balls_file, "quick_balls", lambda columns, n, *_: [None] * n)
        patch.setattr(Column, "_at_once", lambda *_: None)
        assert outcome(*lines) == together


near = st.sampled_from([0.0, 1e-9, -1e-9, 1e-4, -1e-4])


@given(
    carry=st.sampled_from([2.0, 6.0, 31.0, 60.0]),
    run=st.sampled_from([-1.5, -2.1, 4.0, 20.0]),
    hole=st.none() | st.sampled_from([6.0, 15.0, (31.0 - 4.0) / 1.8]),
    slip=near,
    side=near,
)
def test_no_doubt_is_passed_over_when_columns_are_looked_at(carry, run, hole, slip, side):
    ball = Ball(
        id="b",
        club="PW",
        lie=Lie(),
        start=Point(0, 0),
        hole=None if hole is None else Point(0, hole),
        landed=Point(side, carry + slip),
        finished=Point(side, carry + run - slip),
    )
    tables = [
        np.array([point or (math.nan, math.nan)])
        for point in (ball.start, ball.hole, ball.landed, ball.finished)
    ]
    assert worth_a_look(*tables)[0] or not list(doubts(ball))


def test_a_hundred_thousand_rows_are_read_in_seconds():
    rows = [f"b{i},PW,0,0,0,15,0.5,{6 + i % 7 / 10},1,{13 + i % 9 / 10}" for i in range(100_000)]
    begun = time.process_time()
    assert len(parse(PLACED, *rows).balls) == 100_000
    assert time.process_time() - begun < 8  # about 1 s on a quiet machine


names = st.text(
    st.characters(categories=["L", "N", "P", "Zs"], exclude_characters="\x00"), min_size=1, max_size=12
).filter(lambda text: text.strip() == text and text.isprintable())
coordinates = st.floats(-500, 500)
points = st.builds(Point, coordinates, coordinates)
lies = st.builds(
    Lie,
    kind=st.sampled_from(LieKind),
    wet=st.booleans(),
    uphill_deg=st.floats(-25, 25),
    above_feet_deg=st.floats(-25, 25),
)
strikes = st.none() | st.sampled_from(Strike)
common = {"club": names, "lie": lies, "start": points, "strike": strikes}
labels = {"station": st.none() | names, "session": st.none() | names}
errors = st.floats(0.01, 10)


@st.composite
def placed_balls(draw, number):
    holed = draw(st.booleans())
    landed = draw(st.none() | points)
    finished = None if holed else draw(points if landed is None else st.none() | points)
    optional = {
        "hole": st.none() | points,
        "aim": st.none() | points,
        "hang_time_s": st.none() | st.floats(0.05, 8),
    }
    parts = {**common, **labels, **optional, "landed_sd_m": errors, "finished_sd_m": errors}
    chosen = {key: draw(strategy) for key, strategy in parts.items()}
    return Ball(id=f"b{number}", holed=holed, landed=landed, finished=finished, **chosen)


@st.composite
def tallied_balls(draw, number):
    circle = Circle(centre=draw(points), radius_m=draw(st.floats(0.1, 10)))
    seen = {"landing": st.sampled_from(TallyLanding), "finish": st.sampled_from(TallyFinish)}
    chosen = {key: draw(strategy) for key, strategy in {**common, **labels, **seen, "hole": points}.items()}
    return Tally(id=f"t{number}", circle=circle, **chosen)


@st.composite
def logs(draw):
    balls = tuple(draw(placed_balls(i)) for i in range(draw(st.integers(1, 4))))
    return LoggedBalls(
        balls=balls, tallies=tuple(draw(tallied_balls(i)) for i in range(draw(st.integers(0, 3))))
    )


@given(logged=logs())
@settings(max_examples=80, deadline=None)
def test_written_balls_read_back_equal(logged):
    assert parse_balls(Path("balls.csv"), format_balls(logged)) == logged


def test_written_balls_read_back_equal_beside_stations(tmp_path):
    ball = Ball(
        id="1",
        club="PW",
        lie=Lie(),
        start=Point(1, 2),
        hole=Point(3, 4),
        aim=Point(2, 3),
        landed=Point(2, 3),
        station="A",
    )
    logged = LoggedBalls(balls=(ball,))
    write_balls(tmp_path / "balls.csv", logged)
    assert read_balls(tmp_path / "balls.csv", stations={"A": STATION}) == logged


@pytest.mark.parametrize(
    "bad", [{"id": " b"}, {"club": ""}, {"session": "a\nb"}, {"landed": Point(math.nan, 0)}]
)
def test_balls_that_would_not_read_back_are_not_written(bad):
    ball = {"id": "1", "club": "PW", "lie": Lie(), "start": Point(0, 0), "landed": Point(0, 6)} | bad
    with pytest.raises(ParameterError, match="cannot be written"):
        format_balls(LoggedBalls(balls=(Ball(**ball),)))


SEED = f"{FIRST_LINE}\n{PLACED},lie,tally_landed\n{GOOD},mat,\nb2,SW,0,0,0,15,,,,,bare,in\n".encode()


@given(data=st.binary(max_size=200))
@settings(deadline=None)
def test_no_bytes_cause_anything_but_faults(tmp_path_factory, data):
    only_faults(tmp_path_factory.mktemp("fuzz") / "b.csv", data)


@given(at=st.integers(0, len(SEED)), cut=st.integers(0, 12), put=st.binary(max_size=8))
@settings(max_examples=300, deadline=None)
def test_no_damage_causes_anything_but_faults(tmp_path_factory, at, cut, put):
    only_faults(tmp_path_factory.mktemp("fuzz") / "b.csv", SEED[:at] + put + SEED[at + cut :])


def only_faults(path, data):
    path.write_bytes(data)
    try:
        read_balls(path)
    except FileFaults as error:
        assert all(fault.problem for fault in error.faults)
