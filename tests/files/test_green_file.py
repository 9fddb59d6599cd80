"""green.toml: what is read, what is refused and with which words, and that writing loses nothing."""

import datetime
import tomllib
from pathlib import Path

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import FileFaults
from firstbounce.files.green import format_green, parse_green, read_green, write_green
from firstbounce.files.green_shape import (
    Area,
    Green,
    GreenFile,
    Heights,
    LieGiven,
    PlayerGiven,
    Rolls,
    SlopeReading,
    StationGiven,
    Surface,
    Today,
    WindGiven,
)
from firstbounce.files.heights import read_heights, write_heights
from firstbounce.files.toml_lines import key_lines
from firstbounce.words import Level, LieKind, TurfKind

GOOD = """\
format = 1

[green]
name = "Any green"
outline = [[-8, 0], [8, 0], [8, 20], [-8, 20]]

[today]
date = 2026-05-14
stimp_ft = 9.5

[[station]]
name = "A"
start = [0, -3]
hole = [1, 12]

[[station]]
name = "B"
start = [-10, 5]
hole = [1, 12]
lie = { kind = "light rough", wet = true }
"""


def faults(text):
    with pytest.raises(FileFaults) as caught:
        parse_green(Path("green.toml"), text)
    return [str(fault) for fault in caught.value.faults]


def test_a_whole_file_is_read():
    green = parse_green(Path("green.toml"), GOOD)
    assert green.today.stimp_ft == 9.5
    assert green.station[1].lie == LieGiven(kind=LieKind.LIGHT_ROUGH, wet=True)
    assert green.surface.word == "level"


@pytest.mark.parametrize(
    "old, new, said",
    [
        (
            "stimp_ft = 9.5",
            "stimp_ft = 40",
            "line 9, column today.stimp_ft: 40 is outside 3 to 15 (Stimp feet)",
        ),
        ("stimp_ft = 9.5", "stimp_ft = 2.9", "a reading in metres? 1 m is 3.28 feet"),
        ("stimp_ft = 9.5", "stimp_ft = -9", "column today.stimp_ft: -9 is outside 3 to 15"),
        (
            "stimp_ft = 9.5",
            'stimp_ft = "9,5"',
            "must be a number without quotes, got text '9,5'; write a decimal point",
        ),
        ("stimp_ft = 9.5", "stimp_ft = nan", "must be a number, got nan"),
        ("stimp_ft = 9.5", "stimp_ft = true", "must be a number, got True"),
        (
            "stimp_ft = 9.5",
            "stimp = 9.5",
            "column today.stimp: this key is not known here; did you mean stimp_ft?",
        ),
        ("stimp_ft = 9.5", 'speed = "quick"', "'quick' is not known; one of: 'slow', 'medium', 'fast'"),
        (
            "stimp_ft = 9.5",
            'stimp_ft = 9\nspeed = "slow"',
            "green speed is given once: stimp_ft, rolls or speed",
        ),
        (
            "stimp_ft = 9.5",
            "rolls = {up_m = [3.0], down_m = [2.0]}",
            "the rolls down (2) are shorter than the rolls up (3)",
        ),
        (
            "stimp_ft = 9.5",
            "rolls = {up_m = [9.0], down_m = [35.0]}",
            "line 9, column today.rolls.down_m[1]: 35 is outside",
        ),
        ("stimp_ft = 9.5", "drop_heights_m = [25.0]", "were centimetres typed as metres?"),
        ("stimp_ft = 9.5", "wind = {speed_m_s = -2}", "column today.wind.speed_m_s: -2 is outside 0 to 20"),
        ("stimp_ft = 9.5", "wind = {beaufort = 9}", "9 is too high; at most 7"),
        ("stimp_ft = 9.5", "wind = {}", "needs either beaufort or speed_m_s"),
        ("date = 2026-05-14", 'date = "14.5.2026"', "must be a day like 2026-05-14 without quotes"),
        ("date = 2026-05-14\n", "", "line 7, column today.date: is missing"),
        (
            "[today]\ndate = 2026-05-14\nstimp_ft = 9.5",
            "",
            "column today: is missing; What was read of the day",
        ),
        ("format = 1", "format = 2", "line 1, column format: this version reads format 1, got 2"),
        ("format = 1\n", "", "column format: is missing"),
        (
            "hole = [1, 12]",
            "hole = [1, 42]",
            "line 14, column station[1].hole: the hole at [1, 42] is off the green",
        ),
        ("hole = [1, 12]", "hole = 12", "column station[1].hole: must be a list in square brackets, got 12"),
        (
            "start = [0, -3]",
            "start = [0, -300]",
            "the start is 312 metres from the hole, at most 70; were feet typed",
        ),
        ("start = [0, -3]", "start = [1, 12]", "the start is 0.00 metres from the hole"),
        ('name = "B"', 'name = "A"', "line 17, column station[2].name: 'A' is the name of station 1 too"),
        (
            "[8, 20], [-8, 20]",
            "[-8, 20], [8, 20]",
            "line 5, column green.outline: the outline crosses itself",
        ),
        ("[[-8, 0], [8, 0], [8, 20]", "[[8, 0], [8, 20]", None),
        ("[8, 0], [8, 20], [-8, 20]", "[8, 0]", "column green.outline: needs at least 3, got 2"),
        (
            "[8, 0], [8, 20], [-8, 20]",
            "[80, 0], [80, 90], [-8, 90]",
            "square metres, at most 2500; were feet typed",
        ),
        (
            '"light rough"',
            '"rough"',
            "line 20, column station[2].lie.kind: 'rough' is not known; one of: 'tight'",
        ),
        (
            "[today]",
            "[surface]\nslope_percent = 20\ndownhill_deg = 0\n[today]",
            "20 is outside 0 to 15 (percent",
        ),
        (
            "[today]",
            "[surface]\nslope_percent = 2\n[today]",
            "slope_percent and downhill_deg are given together",
        ),
        (
            "[today]",
            '[surface]\nword = "level"\nslope_percent = 2\ndownhill_deg = 0\n[today]',
            "needs exactly one of: word",
        ),
        (
            "[today]",
            "[surface.heights]\nx0_m = 0\ny0_m = 0\ncell_m = 1\n[today]",
            "needs either file or rows",
        ),
        (
            "[today]",
            "[[surface.reading]]\nat = [0, 1]\ndownhill_deg = 3\n[today]",
            "needs either slope_percent or level_deg",
        ),
        (
            "[today]",
            "[[surface.reading]]\nat = [0, 1]\ndownhill_deg = 3\nlevel_deg = [5, -5]\n[today]",
            "column surface.reading[1].level_deg: the level and the level turned round disagree: 5 and -5",
        ),
        (
            "[today]",
            '[player]\nlevel = "scratch"\nbag = {SW = "56"}\n[today]',
            "column player.bag.SW: must be a number without quotes",
        ),
        (
            "[today]",
            "[player]\nlevel = 'scratch'\nmishit_share = 12\n[today]",
            "12 is outside 0 to 0.9 (share of balls; 10 % is 0.1); is it in",
        ),
        ("format = 1", "format = 1\nformat = 1", "line 2: this is not TOML (Cannot overwrite a value)"),
        ("stimp_ft = 9.5", "stimp_ft = 9,5", "line 9: this is not TOML"),
        ("stimp_ft = 9.5", "stimp_ft = slow", "text needs quotes"),
    ],
)
def test_a_fault_is_named_with_its_line_and_key(old, new, said):
    assert old in GOOD
    text = GOOD.replace(old, new, 1)
    if said is None:
        parse_green(Path("green.toml"), text)
    else:
        assert any(said in one for one in faults(text)), faults(text)


def test_all_faults_come_at_once():
    text = GOOD.replace("9.5", "40").replace("[1, 12]", "[1, 42]").replace('"light rough"', '"rough"')
    assert [one.split(":")[0] for one in faults(text)] == [
        "line 9, column today.stimp_ft",
        "line 14, column station[1].hole",
        "line 20, column station[2].lie.kind",
    ]


def test_an_empty_file_is_named():
    assert faults("") == ['the file is empty; it starts with "format = 1", see docs/files.md']


def test_a_grid_file_is_read_from_beside_the_green_file(tmp_path):
    rows = tuple(tuple(0.01 * (x + y) for x in range(5)) for y in range(6))
    write_heights(tmp_path / "heights.csv", rows)
    table = '[surface.heights]\nx0_m = -9\ny0_m = -9\ncell_m = 8\nfile = "heights.csv"\n'
    (tmp_path / "green.toml").write_text(GOOD + table)
    assert read_green(tmp_path / "green.toml").surface.heights.rows == rows


@pytest.mark.parametrize(
    "text, said",
    [
        ("0,0,0,0\n" * 3, "needs 4 to 1000 rows of 4 to 1000 heights, got 3 rows of 4"),
        ("0,0,0,0\n0,0,0\n0,0,0,0\n0,0,0,0\n", "line 2: has 3 heights, the first row has 4"),
        ("0,0,0,0\n0,0,x,0\n0,0,0,0\n0,0,0,0\n", "line 2, column 3: must be a number, got 'x'"),
        ("0,0,0,0\n0,0,99,0\n0,0,0,0\n0,0,0,0\n", "line 2, column 3: 99 is outside -50 to 50 metres"),
        ("", "needs 4 to 1000 rows of 4 to 1000 heights, got 0 rows of 0"),
    ],
)
def test_a_wrong_grid_file_is_named(tmp_path, text, said):
    (tmp_path / "heights.csv").write_text(text)
    with pytest.raises(FileFaults) as caught:
        read_heights(tmp_path / "heights.csv")
    assert said in str(caught.value.faults[0])


def test_heights_in_centimetres_are_noticed(tmp_path):
    write_heights(tmp_path / "h.csv", tuple(tuple(10.0 * x for x in range(5)) for _ in range(5)))
    table = '[surface.heights]\nx0_m = -9\ny0_m = -9\ncell_m = 8\nfile = "h.csv"\n'
    (tmp_path / "green.toml").write_text(GOOD + table)
    with pytest.raises(
        FileFaults, match=r"h.csv: 1 fault[^$]*10 is 10.00 metres from its neighbour 8 metres away"
    ):
        read_green(tmp_path / "green.toml")


places = st.tuples(st.floats(-7, 7), st.floats(1, 19))
words = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20)
slopes = st.floats(0, 15)
bearings = st.floats(-360, 360)
readings = st.builds(SlopeReading, at=places, downhill_deg=bearings, slope_percent=slopes) | st.builds(
    SlopeReading, at=places, downhill_deg=bearings, level_deg=st.tuples(st.floats(0, 3), st.floats(0, 3))
)
grids = st.floats(-0.1, 0.1).map(
    lambda height: tuple(tuple(height * (x % 2) for x in range(4)) for _ in range(5))
)
surfaces = st.one_of(
    st.builds(Surface, word=st.sampled_from(["uphill", "level", "downhill"])),
    st.builds(Surface, slope_percent=slopes, downhill_deg=bearings),
    st.builds(Surface, reading=st.lists(readings, min_size=1, max_size=3).map(tuple)),
    st.builds(
        Surface,
        heights=st.builds(Heights, x0_m=st.floats(-9, 9), y0_m=st.just(0.0), cell_m=st.just(2.0), rows=grids),
    ),
)
lies = st.builds(LieGiven, kind=st.sampled_from(LieKind), wet=st.booleans(), uphill_deg=st.floats(-25, 25))
speeds = st.fixed_dictionaries({"stimp_ft": st.floats(3, 15)}) | st.just(
    {"rolls": Rolls(up_m=(2.0, 2.125), down_m=(3.0,))}
)
days = st.builds(
    lambda day, speed, wind, wet: Today(date=day, wind=wind, wet=wet, **speed),
    st.dates(datetime.date(1990, 1, 1)),
    speeds,
    st.none() | st.builds(WindGiven, beaufort=st.integers(0, 7), from_deg=bearings),
    st.booleans(),
)
areas = st.builds(Area, kind=st.sampled_from(TurfKind), polygon=st.just(((0, 0), (1, 0.1), (0.3, 2.5))))
players = st.builds(
    PlayerGiven,
    level=st.sampled_from(Level),
    name=words,
    bag=st.none() | st.dictionaries(words, st.floats(0, 75), min_size=1, max_size=3),
    attack_deg=st.none() | st.floats(-15, 10),
)


@st.composite
def greens(draw):
    stations = tuple(
        StationGiven(name=f"{i}{draw(words)}", start=(0, -5), hole=draw(places), lie=draw(lies))
        for i in range(draw(st.integers(0, 2)))
    )
    return GreenFile(
        format=1,
        green=Green(
            name=draw(words),
            outline=((-8, 0), (8, 0), (8, 20.5), (-8, 20)),
            around=draw(st.sampled_from(TurfKind)),
        ),
        surface=draw(surfaces),
        area=tuple(draw(st.lists(areas, max_size=2))),
        today=draw(days),
        station=stations,
        player=draw(st.none() | players),
    )


@given(green=greens())
@settings(max_examples=60, deadline=None)
def test_a_written_green_reads_back_equal(green):
    assert parse_green(Path("green.toml"), format_green(green)) == green


def test_writing_uses_the_file_named(tmp_path):
    green = parse_green(Path("green.toml"), GOOD)
    write_green(tmp_path / "copy.toml", green)
    assert read_green(tmp_path / "copy.toml") == green


keys = st.text(st.sampled_from("ab-_1 .\"'#=[]{},\n"), min_size=1, max_size=4)
values = st.recursive(
    st.booleans() | st.integers(-9, 9) | keys,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3),
    max_leaves=12,
)


def paths(value, above=()):
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield (*above, key)
        yield from paths(inner, (*above, key))


@given(table=st.dictionaries(keys, values, max_size=4), multiline=st.booleans())
@settings(max_examples=200, deadline=None)
def test_every_key_of_any_toml_has_a_line(table, multiline):
    text = tomli_w.dumps(table, multiline_strings=multiline)
    assert tomllib.loads(text) == table
    lines = key_lines(text)
    assert set(paths(table)) <= set(lines)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())


def test_lines_are_those_of_an_editor():
    text = 'a.b = 1\n[t]  # [x]\nc = [\n  1,\n  {d = """\n]"""}]\n\n[[t.l]]\ne = 2\n[[t.l]]\nf = 3\n'
    lines = key_lines(text)
    expected = {
        ("a", "b"): 1,
        ("t", "c"): 3,
        ("t", "c", 1, "d"): 5,
        ("t", "l", 0, "e"): 9,
        ("t", "l", 1, "f"): 11,
    }
    assert {path: lines[path] for path in expected} == expected


@given(data=st.binary(max_size=200))
@settings(deadline=None)
def test_no_bytes_cause_anything_but_faults(tmp_path_factory, data):
    only_faults(tmp_path_factory.mktemp("fuzz") / "g.toml", data)


@given(at=st.integers(0, len(GOOD)), cut=st.integers(0, 12), put=st.binary(max_size=6))
@settings(max_examples=300, deadline=None)
def test_no_damage_causes_anything_but_faults(tmp_path_factory, at, cut, put):
    text = GOOD.encode()
    only_faults(tmp_path_factory.mktemp("fuzz") / "g.toml", text[:at] + put + text[at + cut :])


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 5000, "a = " + "9" * 6000, "a" * 70000, "[" + "a." * 3000 + "a]"]
)
def test_monstrous_text_is_refused_politely(text):
    assert faults(text)


def only_faults(path, data):
    path.write_bytes(data)
    try:
        read_green(path)
    except FileFaults as error:
        assert all(fault.problem for fault in error.faults)
